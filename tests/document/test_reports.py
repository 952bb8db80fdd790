"""HTML, PDF and the installation plan: complete, self-contained, the same twice, and proof against foreign text."""

import re
import sys
from dataclasses import replace
from html.parser import HTMLParser
from math import ceil

import pytest
from effort import examples
from hostile import HOSTILE, spoilt
from hypothesis import given, settings

from methodpick.document.grouping import groups
from methodpick.document.site import A_PICTURE
from methodpick.drawings.strip_log import draw_strip
from methodpick.errors import InputError
from methodpick.formats import extras
from methodpick.formats.html import report_html
from methodpick.formats.markdown import plan_markdown
from methodpick.formats.pdf import report_pdf
from methodpick.formats.png import picture_png
from methodpick.resources import folder
from methodpick.unit_markup import spell

EXAMPLES = sorted(path.stem for path in folder("profiles").glob("*.yaml"))
VOID = {"meta", "line", "rect", "path", "circle", "br", "img"}


class Reader(HTMLParser):
    """Keep tags, their attributes, and the text outside of style."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.open, self.said = [], [], []
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
            self.said.append(data)


@pytest.fixture(scope="module")
def html(planned):
    pytest.importorskip("jinja2")
    return {(name, units): report_html(planned(name), units) for name in EXAMPLES for units in ("us", "si")}


def test_the_report_asks_nothing_of_a_network(html):
    for text in html.values():
        assert "http" not in text.replace('xmlns="http://www.w3.org/2000/svg"', "").replace('http-equiv="Content-Security-Policy"', "")
        assert not re.search(r"<(script|link|iframe|img|object|embed)|@import|url\((?!#)|src=", text)
        assert "default-src 'none'" in text


def test_the_report_holds_every_sheet(html, planned):
    for (name, _), text in html.items():
        page = Reader(text)
        assert page.open == []
        said = " ".join(page.said)
        sheets = groups(planned(name).shafts)
        for sheet in sheets:
            assert f"Shaft {sheet.first.id}" in said
        for shaft in planned(name).shafts:
            assert re.search(rf"(Shaft {shaft.id}\b)|(For shafts [^;]*\b{shaft.id}\b[^;]*;)", said), shaft.id
        for wanted in (
            "Decision",
            "Strip log",
            "Stages",
            "Casing schedule",
            "Concrete",
            "Reasons",
            "Dangers",
            "Cautions",
            "Holds only if",
            "Questions to ask",
            "Record of reliance",
            "digest of the input",
            "licensed engineer",
            "Nobody enters the hole",
        ):
            assert wanted in said, (name, wanted)
        assert "⟦" not in text
        pictures = ceil(len(sheets) / A_PICTURE) + sum(3 if sheet.first.slurry is not None else 2 for sheet in sheets)
        assert text.count("<svg ") == pictures
        names = re.findall(r'<pattern id="([^"]+)"', text)
        assert len(names) == len(set(names)), "no picture takes the hatches of another"


def test_every_word_that_the_plan_warns_with_is_in_the_report(html, planned):
    for name in EXAMPLES:
        said = " ".join(" ".join(Reader(html[name, "si"]).said).split())
        for shaft in planned(name).shafts:
            told = [
                shaft.decision,
                *(one.text for one in shaft.stages),
                *(one.text for one in shaft.cautions),
                *(one.question for one in shaft.gaps),
                *(one.treatment for one in shaft.open_hazards),
                *(reason.text for one in shaft.intervals for reason in one.reasons),
            ]
            for text in told:
                assert " ".join(spell(text, "si").split()) in said, text


def test_the_record_of_reliance_names_what_was_used(html, planned):
    plan = planned("karst")
    said = " ".join(Reader(html["karst", "us"]).said)
    assert plan.rulebook.digest in said
    assert plan.input.digest in said
    assert plan.tool_version in said


def test_the_report_is_the_same_twice(html, planned):
    assert report_html(planned("karst"), "us") == html["karst", "us"]
    assert plan_markdown(planned("karst")) == plan_markdown(planned("karst"))


@given(words=HOSTILE)
@settings(max_examples=examples(25))
def test_foreign_text_stays_text_in_html(planned, words):
    pytest.importorskip("jinja2")
    text = report_html(spoilt(planned("caving-lens"), words), "us", (words,))
    text.encode("utf-8")
    fine = Reader(report_html(planned("caving-lens"), "us", ("doubt",)))
    page = Reader(text)
    assert page.open == []
    assert set(page.tags) <= set(fine.tags)
    if len(words) > 3 and words.isprintable() and words.isascii():
        assert words in "".join(page.said)


@given(words=HOSTILE)
@settings(max_examples=examples(40))
def test_foreign_text_stays_text_in_markdown(planned, words):
    from markdown_it import MarkdownIt

    plan = planned("caving-lens")

    def kinds(text):
        tokens = MarkdownIt("commonmark", {"html": True}).enable("table").parse(text)
        inside = [child.type for token in tokens for child in token.children or ()]
        return {token.type for token in tokens} | set(inside), sum(token.type == "heading_open" for token in tokens)

    shown, headings = kinds(plan_markdown(spoilt(plan, words), "us"))
    fine, wanted = kinds(plan_markdown(plan, "us"))
    assert headings == wanted
    assert shown <= fine | {"text_special"}


def test_the_installation_plan_fills_what_is_known_and_names_the_rest(planned):
    text = plan_markdown(planned("caving-lens"), "us")
    assert "Not for construction" in text
    decision = spell(planned("caving-lens").shafts[0].decision, "us")
    for wanted in (decision, "48 in", "polymer", "Bring the concrete to", "licensed engineer"):
        assert wanted in text
    for blank in ("superintendent", "drill foreman", "licensed engineer in charge", "drill rigs", "product and maker", "supplier"):
        assert re.search(rf"\*\*BLANK\*\* [^\n]*{re.escape(blank)}[^\n]*: ______", text), blank
    assert int(re.search(r"(\d+) blanks are left", text)[1]) == text.count("* **BLANK** ")


def test_the_installation_plan_has_the_sections_that_agencies_ask_for(planned):
    """Contents of a drilled shaft installation plan as guide specifications list them (common practice, from memory of those lists)."""
    headings = " ".join(line for line in plan_markdown(planned("karst")).splitlines() if line.startswith("## ")).lower()
    for word in (
        "experience",
        "people",
        "sequence",
        "equipment",
        "excavation",
        "stable",
        "temporary casing",
        "permanent casing",
        "fluid",
        "reinforcement",
        "concrete",
        "pulling",
        "depth-volume",
        "joint",
        "integrity",
        "tolerance",
        "obstruction",
        "environment",
        "neighbour",
        "trial",
        "anomal",
        "safety",
        "otherwise",
        "question",
    ):
        assert word in headings, word


def test_each_warning_stands_once_in_the_installation_plan(planned):
    plan = planned("karst")
    text = plan_markdown(plan)
    for rule in {one.rule for shaft in plan.shafts for one in shaft.cautions}:
        assert f"\\[{rule}\\]" in text, rule
    assert text.count("\\[no-entry\\]") == 1


def test_the_installation_plan_invents_no_name(planned):
    """Words with a capital inside a sentence come from the input or are units, headings and labels; no firm and no machine stands there."""
    text = plan_markdown(planned("caving-lens"), "us")
    body = "\n".join(line for line in text.splitlines() if not line.startswith("#"))
    inside = set(re.findall(r"(?<=[a-z,;] )[A-Z][a-z]{2,}\b", body))
    assert inside <= {"Marsh", "Search"}, inside


def test_pdf_is_set_and_the_same_twice(planned):
    pytest.importorskip("typst", reason="the extra 'pdf' is not installed")
    plan = planned("caving-lens")
    one = report_pdf(plan, "us")
    assert one.startswith(b"%PDF-")
    assert one == report_pdf(plan, "us")
    assert len(one) > 50_000
    for words in ("#set page(width: 1pt)", "<script>", "\\ $x$ @a", "\x00\ud800"):
        assert report_pdf(replace(plan, site_name=words), "si").startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("module", "extra", "call"),
    [
        ("jinja2", "html", report_html),
        ("typst", "pdf", report_pdf),
        ("resvg_py", "png", lambda plan: picture_png(draw_strip(plan.shafts[0], "us"))),
    ],
)
def test_a_missing_extra_says_what_to_install(planned, monkeypatch, module, extra, call):
    monkeypatch.setitem(sys.modules, module, None)
    with pytest.raises(InputError, match=rf"methodpick\[{extra}\]"):
        call(planned("stiff-clay"))
    with pytest.raises(InputError, match="not installed"):
        extras.need(module, extra, "it")
