"""A report as HTML: well formed, self-contained, the same twice, of a size to send, and proof against foreign text."""

import os
import re
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

import pytest
from effort import examples
from hostile import HOSTILE, spoilt
from hypothesis import given, settings

from methodpick.document.model import texts_of
from methodpick.document.report import owner_report, site_report
from methodpick.formats.report import document_html
from methodpick.resources import folder

pytest.importorskip("jinja2", reason="the extra 'html' is not installed")
EXAMPLES = sorted(path.stem for path in folder("profiles").glob("*.yaml"))
GOLDEN = Path(__file__).parents[1] / "golden" / "sample.html"
VOID = {"meta", "line", "rect", "path", "circle", "br", "img"}
MOST_BYTES = 4_000_000
"""A file that a mail takes (own value)."""


class Reader(HTMLParser):
    """Keep tags, their attributes, and the text outside of style and pictures."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.open, self.texts = [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, tuple(name for name, _ in attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, tuple(name for name, _ in attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag, "tags close in order"

    def handle_data(self, data):
        if self.open and self.open[-1] != "style":
            self.texts.append(data)


@pytest.fixture(scope="module")
def html(planned):
    """Return the report of each example in both units, the long one of sixty shafts in one."""
    return {
        (name, units): document_html(site_report(planned(name)), units)
        for name in EXAMPLES
        for units in (("us",) if name == "viaduct" else ("us", "si"))
    }


def test_the_body_of_the_sample_is_the_golden_one(sample):
    """After a wanted change: METHODPICK_GOLDEN=write pytest tests/formats, then look at the page."""
    shown = document_html(sample, "us").split("</head>\n")[1]
    if os.environ.get("METHODPICK_GOLDEN") == "write":
        GOLDEN.write_text(shown, encoding="utf-8")
    assert shown == GOLDEN.read_text(encoding="utf-8")


def test_the_report_asks_nothing_of_a_network(html):
    for text in html.values():
        assert "http" not in text.replace('xmlns="http://www.w3.org/2000/svg"', "").replace('http-equiv="Content-Security-Policy"', "")
        assert not re.search(r"<(script|link|iframe|img|object|embed)|@import|url\((?!#)|src=", text)
        assert "default-src 'none'" in text


def test_every_text_of_the_document_is_written_and_every_figure_drawn(html, planned):
    for (name, units), text in html.items():
        document = site_report(planned(name))
        assert Reader(text).open == []
        written = " ".join(unescape(re.sub(r"<svg.*?</svg>|<[^>]+>", " ", text, flags=re.DOTALL)).split())
        body = texts_of(document, units).removeprefix(" ".join(document.title.split()))
        for page in document.pages:
            for part in page.sections:
                assert " ".join(part.title.split()) in written
        assert set(re.findall(r"[\w.,]+", body)) <= set(re.findall(r"[\w.,]+", written))
        assert "⟦" not in text
        figures = sum(type(block).__name__ == "Figure" for page in document.pages for part in page.sections for block in part.blocks)
        assert text.count("<svg ") == figures >= 3
        names = re.findall(r'<pattern id="([^"]+)"', text)
        assert len(names) == len(set(names)), "no picture takes the hatches of another"


def test_the_report_is_the_same_twice(html, planned):
    assert document_html(site_report(planned("karst")), "us") == html["karst", "us"]


def test_the_report_of_sixty_shafts_is_of_a_size_to_send(html):
    assert len(html["viaduct", "us"].encode()) < MOST_BYTES


@given(words=HOSTILE)
@settings(max_examples=examples(25))
def test_foreign_text_stays_text(planned, words):
    text = document_html(site_report(spoilt(planned("caving-lens"), words), (words,)), "us")
    text.encode("utf-8")
    fine = Reader(document_html(site_report(planned("caving-lens"), ("doubt",)), "us"))
    page = Reader(text)
    assert page.open == []
    assert set(page.tags) <= set(fine.tags)
    if len(words) > 3 and words.isprintable() and words.isascii():
        assert words in "".join(page.texts)


def test_every_shaft_is_found_in_the_index(takeoff):
    """Each name leads to the page or the section of its kind; a report of one page of kinds leads to their sections."""
    made = takeoff("viaduct")
    text = document_html(owner_report(made.site.plan, (), made), "us")
    links = re.findall(r'<a href="#([^"]+)">(B\d+-\d)</a>', text)
    assert {name for _, name in links} == {shaft.id for shaft in made.site.plan.shafts}
    assert all(f'id="{place}"' in text for place, _ in links)


def test_names_in_tables_are_not_broken_and_wide_tables_can_be_moved_by_keyboard(takeoff):
    """B10-2 broken behind its hyphen reads as two names; a table of ten columns scrolls on a phone, one of three folds."""
    made = takeoff("viaduct")
    text = document_html(owner_report(made.site.plan, (), made), "us")
    assert '<span class="word">B10-2</span>' in text
    assert text.count('<div class="wide" tabindex="0">') == text.count('class="wide"')
    assert re.search(r'<table class="many[^>]*>\s*<thead><tr><th>shaft</th>', text)
    assert re.search(r'<table class="few[^>]*>\s*<thead><tr><th>item</th>', text)


def test_every_picture_says_what_it_shows(html):
    for text in html.values():
        pictures = re.findall(r"<svg[^>]*>", text)
        assert pictures
        assert all('role="img" aria-labelledby=' in one for one in pictures)
        assert all(len(said) > 40 for said in re.findall(r"<desc[^>]*>([^<]*)</desc>", text))
        assert len(re.findall(r"<desc", text)) == len(pictures)
