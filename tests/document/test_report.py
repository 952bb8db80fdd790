"""The documents about a site: complete, every shaft on exactly one page, the takeoff in the summary."""

import re
from dataclasses import replace

import pytest

from methodpick.document.cautions import QUESTIONS
from methodpick.document.fluid import over_the_hole
from methodpick.document.model import Blanks, Document, Figure, Items, Page, Paragraph, Subheading, TextTable, section, texts_of
from methodpick.document.pages import group_shafts
from methodpick.document.reasons import SINGLE_CHANGES, why_document
from methodpick.document.report import owner_report, plan_pages, site_report, takeoff_page
from methodpick.document.site import BORINGS, first_names
from methodpick.document.takeoff import SUMS
from methodpick.plan.result.checks import Flip
from methodpick.resources import folder
from methodpick.site.planning import plan_site, settled_site
from methodpick.unit_markup import spell
from methodpick.units import write_number
from methodpick.why.explanation import explain_depth
from methodpick.why.flips import shaft_question

EXAMPLES = sorted(path.stem for path in folder("profiles").glob("*.yaml"))


@pytest.fixture(scope="module")
def viaduct(takeoff):
    return takeoff("viaduct")


def everything(plan, reader_doubts=()):
    """Return the full pages of a plan."""
    return plan_pages(plan, reader_doubts=reader_doubts, reader="everything")


def plainly(text, units):
    return " ".join(spell(text, units).split())


def titles(document):
    return [part.title for page in document.pages for part in page.sections]


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("make", [site_report, everything])
def test_a_page_holds_every_text_of_the_plan(planned, name, make):
    plan = planned(name)
    said = texts_of(make(plan, reader_doubts=("a doubt of the reader",)), "si")
    assert "⟦" not in said
    assert "a doubt of the reader" in said
    assert plan.rulebook.digest[:12] in said
    assert plan.tool_version in said
    assert said.endswith("decide. Local safety codes govern the work. Nobody enters the hole.")
    for shaft in plan.shafts:
        texts = [
            shaft.decision,
            shaft.placement.why,
            *(stage.text for stage in shaft.stages),
            *(casing.why for casing in shaft.casings),
            *(caution.text for caution in shaft.cautions),
            *(gap.question for gap in shaft.gaps),
            *(taken.why for taken in shaft.assumptions),
            *(hazard.treatment for hazard in shaft.open_hazards),
            *(other.why_not for other in shaft.alternates),
            *(line.formula for line in shaft.quantities),
            *(step.note for step in shaft.concrete.pulls),
            *(reason.text for interval in shaft.intervals for reason in interval.reasons),
        ]
        for text in texts:
            assert plainly(text, "si") in said, text


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_section_of_a_shaft_is_there(planned, name):
    pages = [page for page in everything(planned(name)).pages if page.title.startswith("Shaft ")]
    assert len(pages) == len(group_shafts(planned(name).shafts))
    for page in pages:
        found = [part.title for part in page.sections]
        assert found[0] == "Decision"
        assert {
            "Strip log", "Holds only if", "Stages", "Casing schedule", "Concrete", "Reasons", "Cautions", QUESTIONS,
            "What holds the wall when the tip is reached", "Quantities of one shaft", "Cautious plan", "Other ways, and why they lost",
        } <= set(found)  # fmt: skip
        assert found.index("Stages") < found.index("Reasons")


def test_the_record_of_reliance_names_what_was_used(planned):
    plan = planned("karst")
    (last,) = site_report(plan).pages[-1:]
    said = texts_of(Document("", (last,), ""), "us")
    for wanted in (plan.rulebook.digest, plan.input.digest, plan.tool_version, "ft, in, psf, pcf"):
        assert wanted in said


def test_every_shaft_stands_on_exactly_one_page(viaduct):
    """60 shafts stand in the file (15 bents of 4 columns, see its head)."""
    plan = viaduct.site.plan
    groups = group_shafts(plan.shafts)
    named = [shaft.id for group in groups for shaft in group.shafts]
    assert sorted(named) == sorted(shaft.id for shaft in plan.shafts)
    assert len(named) == 60
    assert 12 <= len(groups) < 40
    report = site_report(plan)
    assert len(report.pages) == 3 + len(groups), "summary, groups, safety, record"
    for group, page in zip(groups, report.pages[1:-2], strict=True):
        said = texts_of(Document("", (page,), ""), "us")
        for shaft in group.shafts:
            assert re.search(rf"\b{shaft.id}\b", said)
            assert (shaft.decision, shaft.stages, shaft.cautions, shaft.boring, shaft.concrete) == (
                group.first.decision, group.first.stages, group.first.cautions, group.first.boring, group.first.concrete,
            )  # fmt: skip


def test_one_word_that_differs_parts_two_shafts(planned):
    (shaft,) = planned("caving-lens").shafts
    twin = replace(shaft.named("P5"), boring_distance_m=4.0, design=replace(shaft.design, east_m=1.0, north_m=2.0))
    (group,) = group_shafts([shaft, twin])
    assert group.names == "P4, P5"
    assert group.count == 8, "4 shafts stand behind each"
    assert spell(group.boring, "si") == "B-3 of 2026-03-16, 1.52 to 4.00 m away", "5 ft are 1.524 m"
    other = replace(twin, cautions=twin.cautions[1:])
    assert [each.names for each in group_shafts([shaft, other])] == ["P4", "P5"]


def test_the_summary_holds_the_takeoff(viaduct):
    report = site_report(viaduct.site.plan, (), viaduct)
    for summary in (texts_of(Document("", report.pages[:1], ""), "us"), texts_of(takeoff_page(viaduct), "us")):
        for line in viaduct.totals:
            told = f"{spell(line.item, 'us')} {write_number(line.amount.likely, line.unit, 'us')}" in summary
            assert told == (line.amount.high > 0), line.item
        for line in viaduct.cost.lines:
            money = f"{line.amount.low:,.0f} {line.amount.likely:,.0f} {line.amount.high:,.0f}"
            assert f"{spell(line.item, 'us')} {money}" in summary, line.item
        assert "Cost, crowns" in summary, "the rates of the file are in crowns"
        for string in viaduct.yard.strings:
            size = write_number(string.outside_diameter_m, "size", "us", "bare")
            assert f"{string.name} {size} x {write_number(string.wall_m, 'wall', 'us')}" in summary
        hours = sum(row.total.likely * row.count for row in viaduct.hours)
        assert f"{hours:,.0f} h over all shafts, by your rates" in summary


def test_the_summary_says_which_boring_decided_and_what_is_flagged(viaduct):
    summary = texts_of(Document("", site_report(viaduct.site.plan, (), viaduct).pages[:1], ""), "us")
    flagged = 0
    for assigned in viaduct.site.assignments:
        assert f"{assigned.shaft} {assigned.boring} {write_number(assigned.distance_m, 'm', 'us')}" in summary
        for flag in assigned.flags:
            if flag.severity == "caution":
                flagged += 1
                assert all(part in summary for part in plainly(flag.text, "us").partition(": ")[2].split(". "))
    assert flagged, "the two nearest borings do not always agree here"
    assert "layers and water are set over by elevation" in summary


def test_borings_that_were_weighed_follow_the_pages(viaduct):
    planned = viaduct.site
    assert titles(plan_pages(planned.plan, planned.assignments))[-1] == BORINGS
    assert BORINGS not in titles(plan_pages(planned.plan))


def test_a_takeoff_of_few_shafts_shows_its_lines(viaduct, takeoff):
    few = takeoff("karst")
    assert [title for title in titles(takeoff_page(few)) if title.startswith("Shaft ")] == ["Shaft R1, 5 alike, each", "Shaft R2"]
    assert not [title for title in titles(takeoff_page(viaduct)) if title.startswith("Shaft ")]
    assert "--shaft ID shows every line" in texts_of(takeoff_page(viaduct), "us")
    assert len([title for title in titles(takeoff_page(viaduct, lines=True)) if title.startswith("Shaft ")]) == 60


def test_without_rates_there_is_no_cost(takeoff):
    made = takeoff("karst")
    found = titles(site_report(made.site.plan, (), made))
    assert SUMS in found
    assert any(title.startswith("Cost, ") for title in found) == (made.cost is not None)


@pytest.mark.parametrize("name", ["artesian-sand", "caving-lens", "saturated-sand", "cobbles-thin"])
def test_the_fluid_programme_is_on_the_page(planned, name):
    plan = planned(name)
    said = texts_of(everything(plan), "si")
    programmes = [shaft.fluid_programme for shaft in plan.shafts if shaft.fluid_programme is not None]
    assert programmes
    for programme in programmes:
        texts = [
            programme.loss.text,
            programme.sand.text,
            *programme.mix.checks,
            *(time.text for time in programme.times),
            *(check.text for check in programme.water),
            *(fluid.why for fluid in programme.choice if fluid.standing != "not_allowed"),
            *(row.test for row in programme.controls),
            *(part.formula for part in programme.mix.ingredients[1:]),
            f"have {write_number(programme.stock_m3, 'm3', 'si')} in stock",
        ]
        for text in texts:
            assert plainly(text, "si") in said, text


def test_an_empty_window_comes_with_its_remedies_in_order(empty_window):
    plan = empty_window
    (shaft,) = plan.shafts
    assert shaft.slurry.density_target_kg_m3 is None
    said = texts_of(everything(plan), "us")
    places = [said.index(plainly(remedy.text, "us")) for remedy in shaft.slurry.remedies]
    assert len(places) > 1
    assert places == sorted(places)
    assert said.index(plainly(over_the_hole(shaft.slurry), "us")) < places[0]


def test_flips_that_were_asked_for_stand_beside_the_reasons(planned):
    plan = planned("stiff-clay-thin")
    weaker = Flip(input="su", said="the undrained strength", design=False, now=75.0, flips_at=8.0, step=1.0, unit="kPa", then="slurry")
    shaft = plan.shafts[0]
    intervals = tuple(replace(interval, would_change=(weaker,)) for interval in shaft.intervals)
    flipped = replace(plan, shafts=(replace(shaft, intervals=intervals),))
    assert SINGLE_CHANGES not in titles(everything(plan))
    found = titles(everything(flipped))
    assert found.index(SINGLE_CHANGES) == found.index("Reasons") + 1


def test_the_answer_to_why_is_an_outline(site, book):
    planned = plan_site(site("stiff-clay-thin"), book)
    (shaft,) = planned.plan.shafts
    answer = explain_depth(shaft_question(settled_site(site("stiff-clay-thin"), planned), book, shaft.id), shaft, 5.0)
    (page,) = why_document(answer).pages
    derivation = next(part for part in page.sections if part.title == "Derivation").blocks[0]
    assert derivation.entries[0] == answer.derivation[0].text
    assert derivation.levels[0] == 0
    assert max(derivation.levels) >= 2, "verdict, rule, fact"
    assert sum(level == 0 for level in derivation.levels) == len(answer.derivation)
    assert "Tried, each alone: " in texts_of(why_document(answer), "si")


def test_the_full_report_draws_the_calendar_and_the_strip_that_stands_alone_is_higher(takeoff):
    """Takeoff on the console has the calendar in words; an owner's strip has a sheet of its own."""
    made = takeoff("karst")
    reports = [make(made.site.plan, (), made) for make in (site_report, owner_report)]
    for report in reports:
        (calendar,) = [part for part in report.pages[0].sections if part.title == "Calendar"]
        assert isinstance(calendar.blocks[-1], Figure)
    strips = [part.blocks[0].draw("us", "a") for report in reports for part in report.pages[1].sections if part.title == "Strip log"]
    below, alone = (float(re.search(r'height="([0-9.]+)"', svg)[1]) for svg in strips)
    assert alone >= below + 100


def test_a_single_shaft_has_its_calendar_in_words_before_the_sums(takeoff):
    """A chart of one bar tells nothing, and three lines behind the table would begin a sheet of their own."""
    made = takeoff("stiff-clay-thin")
    few = replace(made, calendar=replace(made.calendar, shafts=made.calendar.shafts[:1]))
    found = [part.title for part in owner_report(made.site.plan, (), few).pages[1].sections]
    assert found.index("Calendar") < found.index("Sums over the site")
    (calendar,) = [part for part in owner_report(made.site.plan, (), few).pages[1].sections if part.title == "Calendar"]
    assert not [block for block in calendar.blocks if isinstance(block, Figure)]


def test_the_answer_to_one_kind_comes_before_its_sums(takeoff):
    made = takeoff("stiff-clay-thin")
    answer, summary, *_ = owner_report(made.site.plan, (), made).pages
    assert answer.sections[0].title == "Decision"
    assert "Sums over the site" in [part.title for part in summary.sections]
    assert answer.title.endswith(f" - {made.site.plan.site_name}")


def test_many_names_are_counted():
    assert first_names([f"P{index}" for index in range(1, 10)]) == "P1, P2, P3, P4, P5, P6 and 3 more"


def test_a_section_leaves_out_what_holds_nothing():
    empty = (Paragraph(""), Subheading(""), Items(()), Blanks(()), TextTable(("depth",), ()), None)
    assert section("Notes", *empty).blocks == ()
    figure = Figure(lambda units, prefix: f"<svg>{units}{prefix}</svg>")
    assert section("Strip", *empty, figure).blocks == (figure,)


def test_texts_are_written_in_the_readers_units():
    table = TextTable(("in ⟦0|m|unit⟧",), (("⟦3.048|m|bare⟧",),))
    document = Document("Plan", (Page("P1", ("⟦3.048|m⟧",), (section("Depth", table),)),), "")
    assert texts_of(document, "us") == "Plan P1 10.0 ft Depth in ft 10.0"
    assert texts_of(document, "si") == "Plan P1 3.05 m Depth in m 3.05"


def test_the_engineer_reads_the_sources_that_the_page_names_and_the_full_page_has_all(planned):
    plan = planned("caving-lens")
    short, full = (texts_of(plan_pages(plan, reader=reader), "us") for reader in ("engineer", "everything"))
    assert "timoshenko: Timoshenko and Gere" in short, "wall against pressure rests on it"
    assert "osha-1926-352" not in short, "hot work is on the safety page"
    assert all(f"{key}: {text}" in full for key, text in plan.sources.items())
