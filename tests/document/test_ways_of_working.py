"""A site of many kinds: those whose work differs in numbers only share a page, and nothing of a kind is lost on it."""

import re
from io import StringIO

import pytest
from rich.console import Console

from methodpick.document.cautions import cares
from methodpick.document.checks import not_proven
from methodpick.document.model import Document, Items, Paragraph, TextTable, texts_of
from methodpick.document.pages import group_shafts
from methodpick.document.report import MOST_KINDS, WHOLE_SITE, plan_pages
from methodpick.document.shaft import answer_page
from methodpick.document.ways_of_working import way_page, ways_of_working
from methodpick.formats.console import print_document
from methodpick.unit_markup import first_sentence, spell

MOST_LINES_A_WAY = 88


def said(page):
    return texts_of(Document("", (page,), ""), "us")


def plainly(text):
    return " ".join(spell(text, "us").split())


def lines_of(page):
    out = StringIO()
    print_document(Document("", (page,), ""), Console(file=out, width=80), "us")
    return len(out.getvalue().splitlines())


def filled(text, values):
    """Return a text of a schedule with the numbers in place of its letters."""
    return re.sub(r"\bthe tip\b|\b[A-Z]{1,2}\b", lambda found: values[found[0]], spell(text, "us"))


@pytest.fixture(scope="module")
def ways(planned):
    return ways_of_working(group_shafts(planned("viaduct").shafts))


@pytest.fixture(scope="module")
def shared(ways):
    """The ways of several kinds, each with its page."""
    return [(way, way_page(way)) for way in ways if len(way.groups) > 1]


def test_the_answer_of_a_viaduct_is_its_roll_up_and_a_page_for_each_way(planned, ways):
    """60 shafts of 26 kinds were 1,718 lines; most ways of working are shared, and each takes hardly more than a kind did."""
    plan = planned("viaduct")
    pages = plan_pages(plan).pages
    assert pages[0].title.endswith("60 shafts of 26 kinds")
    assert len(pages) == 2 + len(ways) < 12
    assert pages[-1].title == WHOLE_SITE
    assert max(lines_of(page) for page in pages[1:]) <= MOST_LINES_A_WAY
    assert sum(lines_of(page) for page in pages) <= 620
    assert "7 ways of working" in said(pages[0])
    assert "--shaft" in said(pages[0])


def test_every_kind_has_its_row_on_one_page(planned, ways):
    kinds = [group.first.id for way in ways for group in way.groups]
    assert sorted(kinds) == sorted(group.first.id for group in group_shafts(planned("viaduct").shafts))
    assert sum(way.count for way in ways) == 60
    assert [way for way in ways if len(way.groups) == 1]
    assert all(way_page(way) == answer_page(way.groups[0]) for way in ways if len(way.groups) == 1)


def test_the_decision_of_every_kind_is_read_off_its_letters(shared):
    """The letters of the decision, with the numbers in the row of a kind, give the decision of that kind word for word."""
    for way, page in shared:
        (decision,) = [block.text for block in page.sections[0].blocks if isinstance(block, Paragraph)]
        tables = [block for block in page.sections[1].blocks if isinstance(block, TextTable) and block.heads[0] == "shaft"]
        for group in way.groups:
            shaft = group.first
            values = {"the tip": spell(f"⟦{shaft.tip_depth_m!r}|m⟧", "us")}
            for table in tables:
                row = next(row for row in table.rows if row[0] == shaft.id)
                for head, cell in zip(table.heads[1:], row[1:], strict=True):
                    letter, unit = spell(head, "us").split(", ")
                    values[letter] = f"{spell(cell, 'us')} {unit}"
            assert filled(decision, values) == spell(shaft.decision, "us")


def all_at(place, name):
    """Return whether a place is of all kinds or names one."""
    return place.startswith("all kinds") or name in re.split(r",? ", place)


def test_every_open_hazard_and_danger_of_every_kind_stands_on_the_page(shared):
    """An open hazard names the kinds, a length that holds that of each, and what to do; a danger stands with its words or by its name."""
    for way, page in shared:
        danger = page.sections[-1]
        assert danger.title == "Dangerous here"
        entries = [spell(entry, "si") for block in danger.blocks if isinstance(block, Items) for entry in block.entries]
        words = said(page)
        for shaft in way.shafts:
            for hazard in shaft.open_hazards:
                name = hazard.rule.replace("-", " ")
                (entry,) = [entry for entry in entries if entry.startswith("Open") and name in entry]
                place = next(part for part in re.split("at (?=all kinds|B\\d)", entry)[1:] if all_at(part, shaft.id))
                ends = [float(end) for span in re.findall(r"([\d.-]+) to ([\d.-]+) m", place) for end in span]
                assert min(ends) <= hazard.top_m + 0.01
                assert hazard.base_m <= max(ends) + 0.01
                assert spell(first_sentence(hazard.treatment), "si") in entry or entry.startswith("Open as well")
            for caution in cares(shaft):
                if caution.severity == "danger":
                    named = caution.rule.replace("-", " ") in words
                    assert named or plainly(caution.text)[:40] in words, caution.rule
            assert plainly(not_proven(shaft)) in words


def test_a_site_of_few_kinds_keeps_a_page_for_each(planned):
    plan = planned("stiff-clay")
    groups = group_shafts(plan.shafts)
    assert len(groups) <= MOST_KINDS
    assert [page.title.split(" - ")[0] for page in plan_pages(plan).pages[1:]] == [group.title for group in groups]
