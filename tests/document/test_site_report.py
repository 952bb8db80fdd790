"""The report of a whole site: alike shafts on one sheet, borings, sums, strings, hours and cost; and the fluid programme."""

import re
from dataclasses import replace

import pytest

from methodpick.document.grouping import groups
from methodpick.drawings.site_section import even
from methodpick.formats.html import report_html
from methodpick.formats.markdown import plan_markdown
from methodpick.unit_markup import say, spell

MOST_BYTES = 4_000_000
"""A file that a mail takes (own value)."""


def words_of(html):
    from html import unescape

    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


@pytest.fixture(scope="module")
def viaduct(takeoff):
    return takeoff("viaduct")


@pytest.fixture(scope="module")
def html(viaduct):
    pytest.importorskip("jinja2")
    return report_html(viaduct.site.plan, "us", (), viaduct)


def test_every_shaft_has_exactly_one_sheet(viaduct):
    """60 shafts stand in the file (15 bents of 4 columns, see its head)."""
    plan = viaduct.site.plan
    sheets = groups(plan.shafts)
    named = [one.id for sheet in sheets for one in sheet.shafts]
    assert sorted(named) == sorted(one.id for one in plan.shafts)
    assert len(named) == 60
    assert 12 <= len(sheets) < 40
    for sheet in sheets:
        for one in sheet.shafts:
            assert (one.decision, one.stages, one.cautions, one.boring, one.diameter_m, one.tip_depth_m, one.concrete) == (
                sheet.first.decision,
                sheet.first.stages,
                sheet.first.cautions,
                sheet.first.boring,
                sheet.first.diameter_m,
                sheet.first.tip_depth_m,
                sheet.first.concrete,
            )


def test_one_word_that_differs_parts_two_shafts(planned):
    (shaft,) = planned("caving-lens").shafts
    own = tuple(text.replace("shaft P4", "shaft P5") for text in shaft.doubts)
    twin = replace(shaft, id="P5", boring_distance_m=4.0, doubts=own, design=replace(shaft.design, east_m=1.0, north_m=2.0))
    assert [one.names for one in groups([shaft, twin])] == ["P4, P5"]
    assert [one.count for one in groups([shaft, twin])] == [8], "4 shafts stand behind each"
    other = replace(twin, cautions=twin.cautions[1:])
    assert [one.names for one in groups([shaft, other])] == ["P4", "P5"]


def test_the_report_of_sixty_shafts_names_each_and_is_of_a_size_to_send(viaduct, html):
    said = words_of(html)
    for one in viaduct.site.plan.shafts:
        assert re.search(rf"\b{one.id}\b", said)
    assert len(html.encode()) < MOST_BYTES
    assert html.count("<article") == 2 + len(groups(viaduct.site.plan.shafts)), "summary, sheets, record"


def test_the_summary_holds_the_takeoff(viaduct, html):
    summary = words_of(html.split("</article>")[0])
    for line in viaduct.totals:
        assert f"{spell(line.item, 'us')} {say(line.amount.likely, line.unit, 'us')}" in summary, line.item
    for line in viaduct.cost.lines:
        assert f"{spell(line.item, 'us')} {line.amount.low:,.0f} {line.amount.likely:,.0f} {line.amount.high:,.0f}" in summary, line.item
    assert "Cost, crowns" in summary, "the rates of the file are in crowns"
    for string in viaduct.yard.strings:
        assert f"{string.name} {say(string.outside_diameter_m, 'size', 'us')} x {say(string.wall_m, 'wall', 'us')}" in summary
    hours = sum(one.total.likely * one.count for one in viaduct.hours)
    assert f"{hours:,.0f} h over all shafts, by your rates" in summary


def test_the_summary_says_which_boring_decided_and_what_is_flagged(viaduct, html):
    summary = words_of(html.split("</article>")[0])
    flagged = 0
    for one in viaduct.site.assignments:
        assert f"{one.shaft} {one.boring} {say(one.distance_m, 'm', 'us')}" in summary
        for flag in one.flags:
            if flag.severity == "caution":
                flagged += 1
                assert " ".join(spell(flag.text, "us").split()) in summary
    assert flagged, "the two nearest borings do not always agree here"
    assert "layers and water are set over by elevation" in summary


def test_without_rates_there_is_no_cost(takeoff):
    pytest.importorskip("jinja2")
    made = takeoff("karst")
    text = words_of(report_html(made.site.plan, "si", (), made))
    assert "Sums over the site" in text
    assert ("Cost, " in text) == (made.cost is not None)


def test_rows_of_a_section_are_even():
    """26 shafts, 8 in a row at most: 4 rows of 6 or 7. 8 stand in one row, 9 in two."""
    assert [len(row) for row in even(list(range(26)), 8)] == [6, 7, 7, 6]
    assert [len(row) for row in even(list(range(8)), 8)] == [8]
    assert sorted(len(row) for row in even(list(range(9)), 8)) == [4, 5]
    assert [one for row in even(list(range(26)), 8) for one in row] == list(range(26))


@pytest.mark.parametrize("name", ["artesian-sand", "caving-lens", "saturated-sand", "cobbles-thin"])
def test_the_fluid_programme_is_in_the_report_and_in_the_installation_plan(planned, name):
    pytest.importorskip("jinja2")
    plan = planned(name)
    html = words_of(report_html(plan, "si"))
    markdown = " ".join(re.sub(r"\\(.)", r"\1", plan_markdown(plan, "si")).split())
    assert any(shaft.fluid_programme is not None for shaft in plan.shafts)
    for shaft in plan.shafts:
        one = shaft.fluid_programme
        if one is None:
            continue
        told = [
            one.loss.text,
            one.sand.text,
            *one.mix.checks,
            *(time.text for time in one.times),
            *(check.text for check in one.water),
            *(fluid.why for fluid in one.choice if fluid.standing != "not_allowed"),
            *(row.test for row in one.controls),
            *(part.formula for part in one.mix.ingredients[1:]),
            f"have {say(one.stock_m3, 'm3', 'si')} in stock",
        ]
        for text in told:
            wanted = " ".join(spell(text, "si").split())
            assert wanted in html, text
            assert wanted in markdown, text


def test_an_empty_window_comes_with_its_remedies_in_order(empty_window):
    pytest.importorskip("jinja2")
    plan = empty_window
    (shaft,) = plan.shafts
    assert shaft.slurry.density_target_kg_m3 is None
    remedies = [" ".join(spell(one.text, "us").split()) for one in shaft.slurry.remedies]
    assert len(remedies) > 1
    for said in (words_of(report_html(plan, "us")), " ".join(re.sub(r"\\(.)", r"\1", plan_markdown(plan, "us")).split())):
        places = [said.index(text) for text in remedies]
        assert places == sorted(places)
        assert "The window is empty: at least" in said
