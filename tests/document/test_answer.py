"""The pages of the readers: the answer fits a page, says what it must, and what holds everywhere is said once."""

import re
from dataclasses import replace
from io import StringIO
from types import SimpleNamespace

import pytest
from rich.console import Console
from written_plan import verify_plan

from methodpick.document.bid_letter import bid_letter
from methodpick.document.built_with import short_layer
from methodpick.document.casings_and_concrete import casings, hardest_pull
from methodpick.document.cautions import MOST_TOLD, QUESTIONS, cares, dangers_here, in_lines, in_two_lines
from methodpick.document.checks import SHOWN_MARGINS, not_proven, smallest_margins
from methodpick.document.decision import lifts_of, supports, timed
from methodpick.document.engineer_page import engineer_page
from methodpick.document.fluid import window
from methodpick.document.foreman_page import HARMS_PEOPLE, care_in_short, foreman_page
from methodpick.document.model import Document, Page, TextTable, texts_of
from methodpick.document.pages import group_shafts
from methodpick.document.reasons import nearest
from methodpick.document.record import plain_name
from methodpick.document.report import estimator_pages, owner_report, plan_pages, site_report
from methodpick.document.safety_page import SETTLED_BEFORE, TOLD_AS_STEPS, safety_page
from methodpick.document.shaft import answer_page, drilling_grade, next_best, relied_on, shaft_page, taken_as_likely, what_decides
from methodpick.document.site import ASK_FIRST, MOST_QUESTIONS, roll_up
from methodpick.document.strip import strip_section
from methodpick.document.takeoff import SUMS
from methodpick.document.ways_of_working import ways_of_working
from methodpick.engine.rule import Always
from methodpick.formats.console import print_document
from methodpick.plan.checks.catalogue import BY_ID
from methodpick.plan.pipeline import plan
from methodpick.plan.reasons.notes import FAMILY_WORDS, FIRST_SIGN
from methodpick.plan.result import Alternate, OtherWays
from methodpick.resources import folder
from methodpick.site.planning import plan_site
from methodpick.site.site_takeoff import take_off
from methodpick.terms import STARTER
from methodpick.unit_markup import bare_number, first_sentence, spell
from methodpick.unit_markup import number as number_of_size

EXAMPLES = sorted(path.stem for path in folder("profiles").glob("*.yaml"))


def said(page, units="us"):
    return texts_of(Document("", (page,), ""), units)


def printed_lines(page, units):
    out = StringIO()
    print_document(Document("", (page,), ""), Console(file=out, width=80), units)
    return out.getvalue().splitlines()


def plainly(text, units="us"):
    return " ".join(spell(text, units).split())


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_answer_says_what_a_bid_letter_would(planned, name):
    """Boring, water and drilling grade relied on, each casing with its ends and shoe, each fluid, the placement, what is left out."""
    for group in group_shafts(planned(name).shafts):
        shaft, page = group.first, said(answer_page(group))
        assert plainly(shaft.decision) in page
        assert shaft.placement.state == "wet" or plainly(in_lines(shaft.placement.why, 1, brackets=True)).removesuffix(" ...") in page
        assert f"boring {shaft.boring}" in page
        assert f", grade {plainly(drilling_grade(shaft))}." in page
        assert "Left out: obstructions" in page
        for number, casing in enumerate(shaft.casings, 1):
            assert f"Casing {number}, {casing.kind}" in page
            assert casing.kind == STARTER or f" in {short_layer(casing.seat_layer)}" in page
        assert "safety page (falls, gas, loads, lines): --for foreman" in page


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_stage_stands_on_the_answer_with_its_hours_and_tool(planned, name):
    """The numbers run on without a gap, the hours add up, and stages share a row only where they drill with the same tool."""
    for group in group_shafts(planned(name).shafts):
        shaft = group.first
        (table,) = [part for part in answer_page(group).sections if part.title.startswith("Stages, about")]
        rows = table.blocks[0].rows
        numbers = [number for first, *_ in rows for number in range(int(first.split("-")[0]), int(first.split("-")[-1]) + 1)]
        assert numbers == [stage.no for stage in shaft.stages]
        assert sum(float(hours or 0) for _, hours, *_ in rows) == pytest.approx(sum(stage.hours or 0 for stage in shaft.stages), abs=0.5)
        for first, _, _, tool in rows:
            held = shaft.stages[int(first.split("-")[0]) - 1 : int(first.split("-")[-1])]
            assert {plainly(number_of_size(stage.tool_m, "size")) for stage in held if stage.tool_m} == {plainly(tool)} - {""}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_engineers_table_and_the_strip_name_the_starter_over_the_same_lengths(planned, name):
    for group in group_shafts(planned(name).shafts):
        (strip,) = [block for block in strip_section(group.first).blocks if isinstance(block, TextTable)]
        (held,) = [block for block in supports(group.first).blocks if isinstance(block, TextTable)]
        tops = [[plainly(row[0]).split(" ")[0] for row in rows if "starter casing" in row] for rows in (strip.rows, held.rows)]
        assert set(tops[0]) <= set(tops[1])
        assert bool(tops[0]) is bool(tops[1])


FILL_ON_CLAY = """methodpick: 1
site: {units: si, contamination: none}
borings:
  - id: B-1
    depth: 20
    technique: auger
    water: [{reading: none_met, hole_depth: 20}]
    layers:
      - {top: 0, base: 4, description: "fill: clay with brick, voids", symbol: CL, origin: fill}
      - {top: 4, base: 20, description: stiff grey clay, symbol: CL, su: 100}
    spt: [{depth: 2, n: 5}, {depth: 5, n: 14}, {depth: 10, n: 18}]
shafts: [{id: P1, boring: B-1, diameter: 1000, cutoff: 0.5, tip: 14}]
"""


def test_a_starter_that_holds_some_of_its_length_is_told_over_all_of_it(book, read_text):
    """The fill may close above 1.2 m; the starter goes through to 3 m, and no row says that its lower part stands dry."""
    shaft = plan(read_text(FILL_ON_CLAY), book).shafts[0]
    (starter,) = shaft.casings
    assert starter.base_m > next(each.base_m for each in shaft.intervals if shaft.in_starter(each)) + 0.5
    for part in (strip_section(shaft), supports(shaft)):
        (table,) = [block for block in part.blocks if isinstance(block, TextTable)]
        ends = [[plainly(cell, "si") for cell in row[:2]] for row in table.rows if "starter casing" in row]
        assert ends[0][0].startswith("0.00")
        assert ends[-1][1].startswith(f"{starter.base_m:.2f}")


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_danger_and_no_open_proof_is_left_out_of_the_answer(planned, name):
    """Must rules that are open, and dangers: with their words or by name. Open proofs: as a margin, a hazard, in words or by name.

    Where there is no room for all names, the page says how many more there are, and where they stand.
    """
    for group in group_shafts(planned(name).shafts):
        shaft, page = group.first, said(answer_page(group))
        for hazard in shaft.open_hazards:
            assert hazard.rule.replace("-", " ") in page
        for caution in cares(shaft):
            if caution.severity == "danger":
                told = plainly(in_two_lines(caution.text, caution.where)) in page or caution.rule.replace("-", " ") in page
                assert told or re.search(r"Keep in mind: [^.]* and \d+ more\.", page), caution.rule
        told, hazards = smallest_margins(shaft), {hazard.rule for hazard in shaft.open_hazards}
        assert len(told) <= SHOWN_MARGINS
        for proof in {check.id for check in shaft.checks if check.result in {"open_range", "open_likely", "unknown", "fails"}} - hazards:
            found = [
                check for check in shaft.checks if check.id == proof and check.result in {"open_range", "open_likely", "unknown", "fails"}
            ]
            title = BY_ID[proof].title if proof in BY_ID else proof.replace("-", " ")
            named = title.lower() in page.lower() or re.search(r"Open besides: [^.]* and \d+ more \(--for engineer\)", page)
            assert named or any(plainly(check.what) in page for check in found), proof


def test_the_foremans_list_begins_with_the_dangers_of_the_place(planned):
    """The answer refers to it for what it has no room for."""
    (group,) = group_shafts(planned("caving-lens").shafts)
    (care,) = [part for part in foreman_page(group).sections if part.title == "Take care"]
    assert care.blocks[0].numbered
    assert care.blocks[0].entries[0].startswith("Water was struck below tight ground")
    assert "--for foreman" in said(answer_page(group))


def test_how_far_a_fact_is_taken_so_is_read_off_its_lengths_and_not_off_words(planned):
    """The log of karst has soil to 36 ft, 10.973 m, with three layers that touch, and limestone below."""
    shaft = planned("karst").shafts[0]
    (cavities,) = [taken for taken in shaft.assumptions if taken.fact == "cavities"]
    assert cavities.lengths_m == ((0.0, pytest.approx(10.9728, abs=0.001)),)
    assert spell(cavities.where, "us") == "0.0 ft to 36.0 ft"
    (words,) = taken_as_likely(shaft)
    assert "no cavities or boulders to 36.0 ft" in spell(words, "us")
    other = replace(shaft, assumptions=(replace(cavities, where="in the upper 3 layers", lengths_m=((0.0, 3.048),)),))
    assert spell(next(taken_as_likely(other)), "us") == "Assumed where not logged: no cavities to 10.0 ft."


def test_only_the_nearest_change_stands_on_the_answer():
    """A casing cost of 1.09 is 0.09 of 0.25 on its way, 36 %; a fluid cost of 0.88 is 0.12 of 0.20, 60 %."""
    casing = SimpleNamespace(flip=SimpleNamespace(input="casing_cost", now=1.0, flips_at=1.09), low=0.8, high=1.25)
    fluid = SimpleNamespace(flip=SimpleNamespace(input="fluid_cost", now=1.0, flips_at=0.88), low=0.8, high=1.25)
    row = SimpleNamespace(flip=SimpleNamespace(input="shafts", now=1.0, flips_at=2.0), low=1.0, high=6.0)
    assert nearest((fluid, casing)) == [casing]
    assert nearest((row, fluid, casing)) == [casing, row], "that plant is paid alone is no doubt, and stands besides"
    assert nearest(()) == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_holds_everywhere_is_said_once_and_only_there(planned, book, name):
    plan = planned(name)
    everywhere = {rule.id for rule in book.rules if isinstance(rule.condition, Always) and rule.effect == "caution"}
    assert {"no-entry", "open-hole-edge", "lifting", "utilities", "engineer-decides"} <= everywhere
    for shaft in plan.shafts:
        assert {caution.rule for caution in shaft.cautions if caution.reach == "every_shaft"} == everywhere
    whole = texts_of(plan_pages(plan, reader="everything"), "us")
    report = texts_of(site_report(plan), "us")
    for caution in plan.shafts[0].cautions:
        if caution.reach == "every_shaft":
            tagged = f"{plainly(caution.text)} [{caution.rule};"
            assert whole.count(tagged) == 1, tagged
            assert report.count(tagged) == 1, tagged
    assert said(safety_page(plan.shafts)).count("[no-entry;") == 1


def test_a_caution_reaches_as_far_as_its_rule_asks(planned):
    """Fluid and casing are of the method; strikes, seams and neighbours are of the place."""
    (shaft,) = planned("caving-lens").shafts
    reach = {caution.rule: caution.reach for caution in shaft.cautions}
    assert reach["no-entry"] == "every_shaft"
    assert reach["fluid-level-kept"] == "method"
    assert reach["water-under-pressure-below"] == "here"


def test_dangers_of_the_place_come_before_those_of_the_method(planned):
    (shaft,) = planned("caving-lens").shafts
    items = dangers_here(shaft).blocks[0].entries
    assert len(items) <= MOST_TOLD + 1
    assert items[0].startswith("Water was struck below tight ground")
    assert items[-1] == "Keep in mind: fluid level kept; concrete above shoe at every pull; emptied casing stays still."


def test_a_site_begins_with_its_roll_up(takeoff):
    """60 shafts stand in the file; theory and casing are summed here by hand from the plans."""
    plan = takeoff("viaduct").site.plan
    groups = group_shafts(plan.shafts)
    first = plan_pages(plan).pages[0]
    assert first.sections == roll_up(plan, groups, len(ways_of_working(groups))).sections
    assert first.title.endswith(f"60 shafts of {len(groups)} kinds")
    assert len(first.sections[0].blocks[0].rows) == len(groups)
    theory = sum(shaft.concrete.theoretical_m3 * shaft.count for shaft in plan.shafts)
    assert plainly(f"Concrete: ⟦{theory}|m3⟧ by the drawings") in said(first)
    length = sum((shaft.tip_depth_m - shaft.cutoff_m) * shaft.count for shaft in plan.shafts)
    assert plainly(f"Shaft from cut-off to tip: ⟦{length}|m⟧.") in said(first)
    kept = sum(casing.mass_kg * shaft.count for shaft in plan.shafts for casing in shaft.casings if casing.kind == "temporary")
    assert plainly(f"⟦{kept}|kg⟧ in all") in said(first)
    (questions,) = [part for part in first.sections if part.title == ASK_FIRST]
    assert 0 < len(questions.blocks[0].entries) <= MOST_QUESTIONS


def test_one_shaft_has_no_roll_up(planned):
    assert [page.title for page in plan_pages(planned("caving-lens")).pages] == ["Shaft P4 (4 of this kind) - Mill Road bridge, pier 2"]


def test_a_reader_of_sheets_begins_with_the_shafts_and_not_with_totals_and_questions(planned):
    for reader in ("foreman", "engineer"):
        pages = plan_pages(planned("karst"), reader=reader).pages
        assert [part.title for part in pages[0].sections] == ["Shafts"]
    assert ASK_FIRST in [part.title for part in plan_pages(planned("karst")).pages[0].sections]


def test_the_foreman_reads_a_sign_once_with_what_to_go_over_to_and_no_sources_of_the_safety_page(planned):
    """R1 of karst goes over to the cautious plan at one sign; its pull of a starter that meets no concrete has no table of strokes."""
    plan = planned("karst")
    pages = plan_pages(plan, reader="foreman").pages
    sheet, safety = said(pages[2]), said(pages[-1])
    assert sheet.count(f"{FIRST_SIGN}fluid loss, uplift, squeezing or caving, stop") == 1
    (cautious,) = [rung for rung in plan.shafts[0].ladder if rung.name == "fallback"]
    means = "temporary casing to 26.9 ft and 37.0 ft, permanent casing to 45.5 ft, mineral slurry to 60.0 ft; concrete by tremie"
    assert f"That is: {means} (steps: --full)." in sheet, "the longest sheet names its means"
    whole = said(plan_pages(plan, reader="foreman", full=True).pages[1])
    assert plainly(f"That is: {cautious.method[0].lower()}{cautious.method[1:]}") in whole
    assert "casing, lift" not in sheet
    assert "Nobody enters the hole" in safety
    assert "[" not in safety
    assert "[no-entry;" in said(safety_page(plan.shafts))


def test_the_letter_names_fluid_placement_and_what_is_not_proven_and_leaves_out_once(planned):
    plan = planned("karst")
    letter = texts_of(bid_letter(plan), "us")
    assert "Mineral slurry: 4.9 to 37.0 ft and 37.0 to 42.0 ft" in letter
    assert "Concrete, wet: Nobody knows yet how fast water rises" in letter
    assert "Left out" not in letter
    belled = texts_of(bid_letter(planned("bell-in-wet-ground")), "si")
    assert "Not yet offered: not proven. Drill under mineral slurry" in belled
    assert "To be settled before it is built: The bell" in belled
    assert belled.lower().count("not proven") == 1


@pytest.mark.parametrize("name", [*EXAMPLES, "bell-in-wet-ground", "near-a-wall", "descriptions-only"])
def test_the_letter_cuts_no_sentence_and_says_nothing_twice(planned, name):
    """It goes to an owner: whole sentences, the number of shafts once, and no advice to the bidder but under its own heading."""
    made = planned(name)
    (page,) = bid_letter(made).pages
    words = said(page)
    assert "..." not in re.sub(r"[a-z] \.\.\.(, | |$)", "", words), "only the name of a layer may be cut"
    for part in page.sections:
        told = [text for text in said(Page("", (), (part,))).split(". ") if len(text.split()) > 6]
        assert len(told) == len(set(told)), part.title
    assert [part.title for part in page.sections][:1] == ["Based on"]
    (last,) = [part for part in page.sections if part.title == "Before it is sent"]
    assert "qualified bid" not in said(Page("", (), tuple(part for part in page.sections if part is not last)))
    priced = said(Page("", (), tuple(part for part in page.sections if part.title == "In the price")))
    assert ("fluid" in priced) is any(shaft.slurries for shaft in made.shafts)


def test_a_letter_without_a_reading_of_water_excludes_water_and_not_what_lies_above_a_range(planned):
    letter = texts_of(bid_letter(planned("descriptions-only")), "us")
    assert "water not read" in letter
    assert "Water where no level was read" in letter
    assert "Water higher than the range named" not in letter


def test_levels_of_several_waters_say_where_each_stands(planned):
    """The silo has water in the fill, in the sand below it, and in the deep gravel from 65.6 ft."""
    levels = spell(relied_on(planned("twenty-layers").shafts[0]), "us")
    assert "24.6 ft (21.3 to 26.2 ft) in the ground from 65.6 ft down" in levels
    assert "down" not in spell(relied_on(planned("caving-lens").shafts[0]), "us")


def test_of_two_margins_with_the_same_numbers_one_is_told(planned):
    """The fluid of saturated-sand presses with 749 psf where the ground opens at 890 psf, by two proofs."""
    margins = smallest_margins(planned("saturated-sand").shafts[0])
    assert sum("890 psf" in spell(words, "us") for words in margins) == 1
    assert len(margins) == 3


def test_the_tables_of_the_full_page_break_no_word_and_say_nothing_on_every_row(planned):
    """80 columns hold the casing schedule on one line a casing; what binds the fluid at every level is a sentence, no column."""
    shaft = planned("caving-lens").shafts[0]
    lines = printed_lines(Page("", (), (casings(shaft), window(shaft))), "us")
    assert any("2 temporary" in line and "10,424 lb" in line for line in lines)
    assert "Shoe sealed: yes." in said(Page("", (), (casings(shaft),)))
    levels = [line for line in lines if line.split()[:1] in (["-8.9"], ["1.0"]) and "pcf" in line and "#" not in line]
    assert [line.split()[-1] for line in levels] == ["pcf", "planned"]
    assert sum("stability of the granular wall at 29.0 ft" in line for line in lines) == 1


def test_a_boring_at_the_shaft_is_not_called_nothing_away(planned):
    (group,) = group_shafts(planned("river-crossing").shafts)
    assert group.boring == "B-4 of 2026-03-23, at the shaft"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_foreman_gets_every_step_and_no_rule_or_source(planned, name):
    """In short as well, but that the level of the fluid, the size of a casing and its lifts stand once elsewhere, and a caution that is no
    danger by its first sentence, told as a step of the work, on the safety page of the site, or, where the sheet is long and it harms
    nobody, by its name."""
    safety = said(safety_page(planned(name).shafts, sources=False, on_the_rig=True))
    for group in group_shafts(planned(name).shafts):
        shaft, page, short = group.first, said(foreman_page(group, full=True)), f"{said(foreman_page(group))} {safety}"
        for stage in shaft.stages:
            lifts = lifts_of(shaft, stage)
            assert plainly(stage.text) in page
            depths = (plainly(bare_number(depth, "m")) for depth in (stage.top_m, stage.base_m))
            step = plainly(timed(stage, "")) if stage.action in {"drill", "set_casing", "set_starter"} else ""
            told = step and step in short and all(depth in short for depth in depths)
            assert told or plainly(stage.text) in short or (lifts and all(lift.safe for lift in lifts))
            for lift in lifts:
                row = (lift.level_least_m, lift.level_before_m, lift.level_after_m)
                told = " ".join(plainly(bare_number(level, "m")) for level in row) if lift.level_least_m is not None else plainly(lift.note)
                assert told in short or plainly(stage.text) in short
        sticks = any(caution.rule == "casing-will-stick" for caution in shaft.cautions)
        elsewhere = [*(["casing-residence"] if sticks else []), *(["placement-dry-check"] if shaft.placement.state == "wet" else [])]
        for caution in shaft.cautions:
            assert f"[{caution.rule}" not in page
            if caution.severity != "note" and caution.reach != "every_shaft":
                assert plainly(caution.text) in page
                begun = plainly(caution.text if caution.severity == "danger" else care_in_short(caution))
                by_name = caution.rule.replace("-", " ") in short.partition("Keep in mind: ")[2]
                assert begun in short or by_name or caution.rule in {*TOLD_AS_STEPS, *SETTLED_BEFORE, *elsewhere}
                assert HARMS_PEOPLE.isdisjoint((caution.hazard, caution.rule)) or plainly(caution.text) in short
        for step in shaft.concrete.pulls:
            meets_concrete = step.level_before_m is not None
            assert (f"{step.casing_no}.{step.lift_no}" in page) or not meets_concrete


def test_what_the_ways_of_working_add_whatever_the_ground_stands_once_for_the_site(planned):
    """Lye, flame and spent fluid are no matter of one shaft: the sheets refer to the safety page; a loss of fluid is a reason to stop."""
    *_, first, second, safety = (said(page) for page in plan_pages(planned("karst"), reader="foreman").pages)
    for words in ("Soda ash and caustic soda", "spliced and cut by flame", "Used fluid is kept in tanks"):
        assert safety.count(words) == 1
        assert words not in first
        assert words not in second
    assert "At a sudden loss of fluid, stop drilling" in first
    assert "At a sudden loss of fluid" not in safety
    whole = [said(page) for page in plan_pages(planned("karst"), reader="foreman", full=True).pages]
    assert "Soda ash and caustic soda" in whole[1]
    assert "Soda ash and caustic soda" not in whole[-1], "with all words the sheet has it, and the page what holds at every shaft"


def test_a_pull_that_its_table_does_not_make_safe_is_told_in_words(planned):
    shaft = planned("caving-lens").shafts[0]
    first, *others = shaft.planned_concrete.pulls
    short = said(foreman_page(group_shafts([shaft])[0]))
    assert "Pull casing 2: lift 2.1 of the table of pulls." in short
    assert "Pull casing slowly and straight while the concrete still flows." in short
    unsafe = replace(shaft, concrete=replace(shaft.planned_concrete, pulls=(replace(first, safe=False), *others)))
    assert plainly(next(stage.text for stage in shaft.stages if stage.action == "pull")) in said(foreman_page(group_shafts([unsafe])[0]))


def test_the_sheet_of_a_hole_that_is_poured_dry_says_when_it_may_not_be(planned):
    """A hole that is filled before the pour has no such sign; R1 of karst is drilled dry and placed by tremie."""
    dry, wet = planned("caving-lens").shafts[0], planned("karst").shafts[0]
    sign = "Just before a dry pour the water at the base is less than"
    assert said(foreman_page(group_shafts([dry])[0])).count(sign) == 1
    assert sign not in said(foreman_page(group_shafts([wet])[0]))


def test_the_foreman_is_told_what_fails_what_the_cautious_plan_is_and_what_the_fluid_must_be(planned):
    """A bell in wet sand is not proven, and its sheet says why; karst's R2 goes over to another plan, with the limits of its tests."""
    belled = planned("bell-in-wet-ground").shafts[0]
    assert plainly(not_proven(belled)) in said(foreman_page(group_shafts([belled])[0]))
    shaft = planned("karst").shafts[1]
    page = said(foreman_page(group_shafts([shaft])[0]))
    (fallback,) = [rung for rung in shaft.ladder if rung.name == "fallback"]
    assert plainly(f"That is: {fallback.method[0].lower()}{fallback.method[1:]}") in page
    tests = said(plan_pages(planned("karst"), reader="foreman").pages[1])
    assert "page of fluid tests" in page
    assert "before concrete" in tests
    assert "sand content" in tests


def test_a_casing_pulled_from_around_one_that_stays_takes_no_side_friction(planned):
    """R1 of karst has a temporary casing to 37 ft around a permanent one to 45.5 ft; that of caving-lens has bare concrete behind it."""
    around, alone = (
        said(engineer_page(group_shafts(planned(name).shafts[:1])[0])).partition("Side friction: ")[2].partition(": the designer")[0]
        for name in ("karst", "caving-lens")
    )
    assert around == "lost or changed along the permanent casing, 0.0 to 45.5 ft"
    assert alone == "changed along the temporary casing, 0.0 to 32.9 ft"
    deeper = [replace(casing, base_m=20.0) if casing.kind == "temporary" else casing for casing in planned("karst").shafts[0].casings]
    group = group_shafts([replace(planned("karst").shafts[0], casings=tuple(deeper))])[0]
    assert "changed along the temporary casing, 45.5 to 65.6 ft" in said(engineer_page(group)), "below the one that stays it does"


def test_the_engineer_tells_two_unread_aquifers_apart(book, read_text):
    text = """methodpick: 1
site: {units: si}
borings:
  - id: B
    depth: 30
    water: [{reading: piezometer, depth: 2, response_zone: [2, 6]}]
    layers:
      - {top: 0, base: 6, description: "medium dense sand", symbol: SP}
      - {top: 6, base: 12, description: "stiff clay", su: 100 kPa}
      - {top: 12, base: 15, description: "dense sand", symbol: SP}
      - {top: 15, base: 22, description: "stiff clay", su: 140 kPa}
      - {top: 22, base: 30, description: "dense sand", symbol: SP}
shafts: [{id: S, boring: B, diameter: 900 mm, tip: 20}]
"""
    (group,) = group_shafts(plan_site(read_text(text), book).plan.shafts)
    for full, joint in ((True, ""), (False, ":")):
        page = said(engineer_page(group, full=full), "si").lower()
        assert f"water from 12.00 m to 15.00 m{joint} not read" in page
        assert f"water from 22.00 m to 30.00 m{joint} not read" in page
        assert "unread: not read" not in page


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_engineer_gets_checks_assumptions_and_hold_points(planned, name):
    for group in group_shafts(planned(name).shafts):
        shaft, page = group.first, said(engineer_page(group, full=True))
        for taken in shaft.assumptions:
            assert plainly(taken.why) in page
        for check in shaft.checks:
            assert (BY_ID[check.id].title.lower() if check.id in BY_ID else check.id.replace("-", " ")) in page.lower()
        for key in {cited.key for check in shaft.checks for cited in check.sources}:
            assert key in page
        assert "the cage in" in page or not any(stage.action == "pour" for stage in shaft.stages)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_engineers_page_in_short_leaves_out_what_holds_and_counts_it(planned, name):
    """What does not hold, what is open, taken or asked stands on it; of what holds the least of each subject, the others by number."""
    for group in group_shafts(planned(name).shafts):
        shaft, page = group.first, said(engineer_page(group))
        for taken in shaft.assumptions:
            assert plain_name(taken.fact) in page
        for gap in shaft.gaps:
            assert plainly(gap.question) in page
        for hazard in shaft.open_hazards:
            assert hazard.rule.replace("-", " ") in page
        assert "the cage in" in page or not any(stage.action == "pour" for stage in shaft.stages)
        by_id = {}
        for check in shaft.checks:
            by_id.setdefault(check.id, set()).add(check.result)
        held = {proof for proof, results in by_id.items() if results <= {"holds", "little_margin"}}
        named = [proof for proof in by_id if (BY_ID[proof].title if proof in BY_ID else proof.replace("-", " ")).lower() in page.lower()]
        assert set(by_id) - held <= set(named), "what does not hold is named"
        (counted,) = re.findall(r"(\d+) more checks hold", page)
        assert 0 <= len(held & set(named)) + int(counted) - len(held) <= 3, "a title may stand within another one"


def test_the_estimator_gets_concrete_net_and_to_order_and_what_has_no_rate(takeoff):
    made = takeoff("karst")
    page = texts_of(estimator_pages(made), "us")
    for shaft in made.site.plan.shafts:
        ordered_m3 = shaft.concrete.expected_m3 + shaft.concrete.over_pour_m3
        assert plainly(f"{shaft.id} {shaft.count} ⟦{shaft.concrete.theoretical_m3}|m3⟧ ⟦{ordered_m3}|m3⟧") in page
    assert "one by the drawing to order low to high trucks of 9.0 yd3" in page
    assert ("No money: the site file gives no rates" in page) == (made.cost is None)
    assert SUMS in page
    assert "Against the plan:" in page


def test_the_letter_leaves_names_and_prices_to_its_writer(planned):
    """Nothing is said of a method that the plans do not use."""
    page = texts_of(bid_letter(planned("stiff-clay")), "us")
    assert "Obstructions, boulders" in page
    assert "Loss of fluid" not in page
    wet = texts_of(bid_letter(planned("saturated-sand")), "us")
    assert "Loss of fluid" in wet
    assert "standby of the rig, per hour" in wet


def test_the_letter_offers_only_what_is_proven(planned):
    """The straight shaft is proven and offered; the one with a bell in wet sand is not, and its letter says so first."""
    open_one, proven = planned("bell-in-wet-ground").shafts
    page = texts_of(bid_letter(planned("bell-in-wet-ground")), "us")
    assert (proven.proven, open_one.proven) == (True, False)
    assert "We offer to drill under mineral slurry" in page
    assert "Not yet offered: not proven. Drill" in page
    assert "We offer to not proven" not in page


def test_a_sentence_ends_at_its_stop():
    assert first_sentence("The level is 1.2 m. Keep it.") == "The level is 1.2 m."
    assert first_sentence("One sentence only.") == "One sentence only."


def test_an_owner_reads_few_pages_and_asks_for_the_rest(takeoff):
    """A viaduct of 26 kinds is the site, all kinds on one page, safety and reliance; a site of two kinds has a page for each."""
    viaduct, karst = takeoff("viaduct"), takeoff("karst")
    report = owner_report(viaduct.site.plan, ("a doubt of the reader",), viaduct)
    groups = group_shafts(viaduct.site.plan.shafts)
    assert len(report.pages) == 4
    kinds = said(report.pages[1])
    for group in groups:
        assert plainly(group.first.decision) in kinds
        assert group.names in kinds
    assert "a doubt of the reader" in said(report.pages[0])
    assert "fall protection" in kinds
    assert [page.title for page in owner_report(karst.site.plan).pages[1:3]] == ["Shaft R1 (5 of this kind)", "Shaft R2"]


def test_an_owner_reads_no_rates_and_no_cost_of_the_contractor(takeoff):
    """The viaduct prices all of its work; what a contractor pays for an hour of rig and crew is nobody else's."""
    viaduct = takeoff("viaduct")
    titles = [section.title for page in owner_report(viaduct.site.plan, (), viaduct).pages for section in page.sections]
    assert not [title for title in titles if title.startswith(("Cost", "Bid"))]
    assert "rig and crew" not in said(owner_report(viaduct.site.plan, (), viaduct))
    assert "rig and crew" in said(site_report(viaduct.site.plan, (), viaduct))


def test_a_shaft_on_which_nothing_is_decided_invents_nothing(book, read_text):
    """Without a layer in the log there is no stage, no volume and no pull to speak of; what is to be asked stands there."""
    text = "methodpick: 1\nborings: [{id: B}]\nshafts: [{id: S, diameter: 48, tip: 30}]\n"
    (shaft,) = plan_site(read_text(text), book).plan.shafts
    page = answer_page(group_shafts([shaft])[0])
    assert [part.title for part in page.sections][:2] == ["Decision", "Strip, undecided all the way"]
    assert "Stages" not in [part.title for part in page.sections]
    assert "nothing is decided" in said(page)
    assert "Drill dry" not in said(page)
    assert "no entry" in said(page)
    assert [part.title for part in foreman_page(group_shafts([shaft])[0]).sections] == ["Do not start"]
    whole = {part.title for part in shaft_page(group_shafts([shaft])[0]).sections}
    assert whole.isdisjoint({"Stages", "Casings", "Concrete", "Checks", "Quantities", "Cautious plan"})
    assert QUESTIONS in whole


def test_what_lies_below_the_boring_is_planned_and_priced_only_if_its_last_layer_goes_on(book, read_text):
    """The decision says it in the order of the work, the strip and the stages mark it, and clay below is priced as the clay above."""
    text = """methodpick: 1
site: {units: si}
borings:
  - {id: B, depth: 12, layers: [{top: 0, base: 12, description: "stiff grey clay", su: 100 kPa}]}
shafts: [{id: S, boring: B, diameter: 900 mm, tip: 16}]
"""
    (shaft,) = plan_site(read_text(text), book).plan.shafts
    assert plainly(shaft.decision, "si") == (
        "Drill dry to 12.00 m, where the log ends, and on to 16.00 m if its last layer goes on; concrete by tremie. "
        "Below 12.00 m nothing is decided: the log tells neither ground nor water there; ask for a deeper boring."
    )
    above, below = [stage for stage in shaft.stages if stage.action == "drill"]
    assert (above.base_m, below.top_m, below.base_m) == (12.0, 12.0, 16.0)
    assert "if the ground above goes on" in below.text
    assert "goes on" not in above.text
    assert "12.00 16.00 m unknown (dry) undecided" in said(answer_page(group_shafts([shaft])[0]), "si")
    whole = plan_site(read_text(text.replace("depth: 12", "depth: 20").replace("base: 12", "base: 20")), book).plan.shafts[0]
    drilled = [sum(stage.hours for stage in each.stages if stage.action == "drill") for each in (shaft, whole)]
    assert drilled[0] == pytest.approx(drilled[1], abs=0.02)
    assert shaft.concrete.overbreak_m3 == pytest.approx(whole.concrete.overbreak_m3)


def test_gaps_of_the_log_stand_in_one_sentence(book, read_text):
    """Two lengths without a log between clays: both in the order of the ground, the verifier reads the same two, and each has its row."""
    text = """methodpick: 1
site: {units: si}
borings:
  - {id: B, depth: 20, water: [{reading: none_met}],
     layers: [{top: 0, base: 5, description: "stiff grey clay", su: 100 kPa}, {top: 5, base: 7, description: "not logged"},
              {top: 7, base: 10, description: "stiff grey clay", su: 100 kPa}, {top: 10, base: 11, description: "not logged"},
              {top: 11, base: 20, description: "stiff grey clay", su: 100 kPa}]}
shafts: [{id: S, boring: B, diameter: 900 mm, tip: 16}]
"""
    site = read_text(text)
    made = plan(site, book)
    said_there = "From 5.00 m to 7.00 m and 10.00 m to 11.00 m nothing is decided: the log says nothing there; priced as the ground above."
    assert said_there in plainly(made.shafts[0].decision, "si")
    assert list(verify_plan(made, site, book)) == []
    page = said(answer_page(group_shafts(made.shafts)[0]), "si")
    assert "5.00 7.00 m unknown" in page
    assert "10.00 11.00 m unknown" in page


def test_unknown_ground_at_the_top_is_not_called_like_the_ground_above(book, read_text):
    """There is no ground above the first layer: it is priced as ground of which nothing is known."""
    text = """methodpick: 1
site: {units: si}
borings:
  - {id: B, depth: 20, water: [{reading: none_met}],
     layers: [{top: 0, base: 8, description: "not logged"}, {top: 8, base: 20, description: "stiff grey clay", su: 100 kPa}]}
shafts: [{id: S, boring: B, diameter: 900 mm, tip: 16}]
"""
    (shaft,) = plan_site(read_text(text), book).plan.shafts
    assert "From 0.00 m to 8.00 m nothing is decided: the log says nothing there; priced as ground of which nothing is known." in plainly(
        shaft.decision, "si"
    )
    page = said(answer_page(group_shafts([shaft])[0]), "si")
    assert "priced as unknown ground" in page
    assert "ground above" not in page


def other_way(family, why="", checks=(), *, proven=True, cost=2.0, both_open=None):
    return Alternate(family=family, intervals=(), relative_cost=cost, why_not=why, checks=checks, proven=proven, both_open=both_open)


@pytest.mark.parametrize(
    ("results", "words"),
    [
        (("holds", "open_range"), "at about 2.00 times the cost."),
        (("open_likely", "holds"), "at about 2.00 times the cost. Not proven: torque to turn the casing."),
    ],
)
def test_the_next_best_way_says_what_is_likely_short_in_it_too(results, words):
    checks = [
        SimpleNamespace(id=name, is_short=result == "open_likely") for name, result in zip(("torque-turning", "pull"), results, strict=True)
    ]
    other = other_way("permanent casing", checks=checks, proven="open_likely" not in results)
    shaft = SimpleNamespace(relative_cost=50.0, other_ways=SimpleNamespace(next_best=replace(other, relative_cost=100.0)))
    assert next_best(shaft) == f"Next best: permanent casing, {words}"


def test_a_next_best_way_of_the_same_cost_is_told_without_why_the_plan_ranks_first():
    way = other_way(FAMILY_WORDS["casing_then_dry"], "The plan ranks first.", cost=100.4)
    shaft = SimpleNamespace(relative_cost=100.0, other_ways=SimpleNamespace(next_best=way))
    assert next_best(shaft) == f"Next best: {FAMILY_WORDS['casing_then_dry']}, at about the same cost."


def test_a_next_best_way_that_is_as_open_as_the_plan_says_what_decides():
    way = other_way("permanent casing", cost=104.0, both_open="pulled_or_stays")
    shaft = SimpleNamespace(relative_cost=100.0, other_ways=SimpleNamespace(next_best=way))
    assert next_best(shaft) == "Next best: permanent casing, at about 1.04 times the cost."
    assert what_decides(shaft) == "Both are open: side resistance along the casing, who pays for steel and the pull in time decide."


def test_a_way_by_other_means_at_hardly_another_cost_is_told_behind_a_nearer_one_by_the_same_means():
    """Fluid at 100, fluid below a casing at 104, casing at 110 and at 116: 15 % apart are both open (own)."""
    fluid = other_way("partial casing", cost=104.0)
    casing = other_way("casing", cost=110.0, both_open="fluid_or_casing")
    far = other_way("permanent casing", cost=116.0)
    shaft = SimpleNamespace(relative_cost=100.0, other_ways=OtherWays.known(None, (far, fluid, casing), ()))
    assert next_best(shaft) == "Next best: partial casing, at about 1.04 times the cost."
    told, decides = what_decides(shaft).split("; ")
    assert told == "Open as well: casing, at about 1.10 times the cost"
    assert decides == "obstructions, lost fluid, open water, reserve and a dry base decide."
    assert what_decides(SimpleNamespace(relative_cost=100.0, other_ways=OtherWays.known(None, (far, fluid), ()))) == ""
    unproven = replace(casing, proven=False)
    assert what_decides(SimpleNamespace(relative_cost=100.0, other_ways=OtherWays.known(None, (unproven, fluid), ()))) == ""


@pytest.mark.parametrize("name", ["caving-lens", "artesian-sand", "saturated-sand"])
def test_what_a_casing_takes_that_is_turned_out_stands_beside_its_pull(planned, name):
    """The page has one pull of a casing, and the check of the same casing another where the plant turns it: both are told."""
    shaft = planned(name).shafts[0]
    hardest = max(shaft.planned_concrete.extraction, key=lambda pull: pull.pull_kn)
    shoe_m = shaft.casings[hardest.casing_no - 1].base_m
    check = next(check for check in shaft.checks if check.id == "pull" and check.base_m == pytest.approx(shoe_m))
    told = plainly(hardest_pull(shaft), "si")
    assert told in said(answer_page(group_shafts([shaft])[0]), "si")
    assert f"hardest pull {hardest.pull_kn:.0f} kN" in told
    assert (f", {check.needed.likely:.0f} kN turned" in told) == (check.needed.likely < 0.9 * hardest.pull_kn)


def test_a_next_best_way_whose_search_ended_is_not_called_proven():
    way = other_way("all dry", proven=False, cost=100.0)
    shaft = SimpleNamespace(relative_cost=50.0, other_ways=SimpleNamespace(next_best=way))
    assert next_best(shaft) == "Next best: all dry, at about 2.00 times the cost. Not proven: its trials ended."


def test_a_next_best_way_that_leaves_more_open_is_told_with_where():
    why = "It leaves 3.00 m of the shaft unlikely to be safe. From 4.00 m: sand runs."
    way = replace(other_way("all dry", why, cost=90.0), leaves_open_m=3.0)
    shaft = SimpleNamespace(relative_cost=100.0, other_ways=SimpleNamespace(next_best=way))
    assert next_best(shaft) == "Next best: all dry: It leaves 3.00 m of the shaft unlikely to be safe."


NO_WAY = """methodpick: 1
site: {units: si, allowed: [dry], contamination: fuel in the fill}
borings:
  - id: B-1
    depth: 20
    water: [{depth: 2, reading: settled, after: 24 h}]
    layers:
      - {top: 0, base: 3, description: "stiff clay", symbol: CL, su: 100}
      - {top: 3, base: 14, description: "loose fine sand", symbol: SP, fines: 3, n: [6, 7, 8]}
      - {top: 14, base: 20, description: "stiff clay", symbol: CH, su: 120}
shafts: [{id: P1, boring: B-1, diameter: 1200, cutoff: 1, tip: 12}]
"""


def test_a_shaft_that_no_way_builds_says_why_what_opens_one_and_what_is_dangerous(read_text, book):
    """Nothing of a hole that nobody builds is counted; the page says what is in the way, what opens a way, and the dangers of the place."""
    made = plan(read_text(NO_WAY), book)
    groups = group_shafts(made.shafts)
    page = answer_page(groups[0])
    titles = [part.title for part in page.sections]
    assert "Stages" not in titles
    assert titles.index("What stands in the way") < titles.index("What would open a way") < titles.index(QUESTIONS)
    text = said(page)
    assert "The specification leaves neither temporary nor permanent casing open" in text
    assert "If the specification allows the method: slurry" in text
    assert "The ground is contaminated" in text
    first = said(roll_up(made, groups))
    assert "Not counted, since no way of building is left or the log says nothing there: P1." in first
    assert "Concrete:" not in first
    assert "Hours" not in first


def test_no_page_offers_or_counts_what_nobody_builds_without_saying_so(read_text, book):
    """The letter offers no method and no concrete, the engineer's page has no hold points, the estimator's says what its sums hold."""
    site = read_text(NO_WAY)
    made = plan(site, book)
    letter = texts_of(bid_letter(made), "si")
    assert "No method and no price are offered for it." in letter
    assert "In the price" not in letter
    page = said(engineer_page(group_shafts(made.shafts)[0]), "si")
    assert "Before stage" not in page
    assert "Concrete: wet" not in page
    assert "If the specification allows the method: slurry" in page
    planned = plan_site(site, book)
    words = texts_of(estimator_pages(take_off(site, planned, book)), "si")
    assert "P1 (1): no way of building is left, or the log says nothing there." in words


def test_what_is_taken_only_above_what_the_log_met_says_down_to_where(planned):
    """The boring met a void at 42 ft: above the rock at 36 ft none is taken, and a page that said "no cavities" alone would be wrong."""
    group = next(group for group in group_shafts(planned("karst").shafts) if group.first.id == "R1")
    assert "no cavities or boulders to 36.0 ft" in said(answer_page(group))


def test_where_the_log_names_no_ground_no_order_of_work_is_blamed(book, read_text):
    """It once said that every length could be held by something, under a decision that the log says nothing of the ground."""
    site = read_text("""methodpick: 1
site: {units: si}
borings:
  - id: B
    depth: 16
    layers: [{top: 0, base: 16, description: "Rate of penetration 44 seconds. No voids encountered."}]
shafts: [{id: S, boring: B, diameter: 900 mm, tip: 12}]
""")
    (group,) = group_shafts(plan_site(site, book).plan.shafts)
    page = said(answer_page(group), "si")
    assert "The log names no soil or rock from 0.00 m to 12.00 m, so that no rule can judge it." in page
    assert "could be held by something" not in page


def test_a_slab_is_called_a_slab(book, read_text):
    """On the page, in the table of the engineer, on the strip in characters and in the takeoff, though it is drilled as cobbles are."""
    text = """methodpick: 1
site: {units: si}
borings:
  - id: B
    depth: 20
    layers:
      - {top: 0, base: 0.2, description: "CONCRETE"}
      - {top: 0.2, base: 20, description: "stiff clay", su: 100 kPa}
shafts: [{id: S, boring: B, diameter: 900 mm, tip: 12}]
"""
    site = read_text(text)
    found = plan_site(site, book)
    (group,) = group_shafts(found.plan.shafts)
    assert group.first.intervals[0].soil_class == "cobbles"
    for page in (answer_page(group), foreman_page(group), engineer_page(group), shaft_page(group)):
        assert " slab " in said(page, "si")
        assert " cobbles in the starter" not in said(page, "si")
    drilled = [line.item for line in take_off(site, found, book).totals if line.item.startswith("drilled in")]
    assert "drilled in slab" in drilled
    assert "drilled in cobbles" not in drilled


def test_water_that_was_not_met_is_told_so_and_by_no_level_that_nobody_read(book, read_text):
    """Dry through sand to 8 m of a hole of 25 m: counted from a metre of swing above the base of the sand, in a letter too."""
    site = """methodpick: 1
site: {units: si}
borings:
  - id: B
    depth: 25
    technique: hollow_stem_auger
    water: [{reading: none_met, hole_depth: 25}]
    layers:
      - {top: 0, base: 3, description: "stiff brown clay", symbol: CL}
      - {top: 3, base: 8, description: "medium dense fine sand", symbol: SP}
      - {top: 8, base: 25, description: "very stiff brown clay", symbol: CH}
shafts: [{id: P1, boring: B, diameter: 1200, tip: 18}]
"""
    (group,) = group_shafts(plan_site(read_text(site), book).plan.shafts)
    assert "Relied on: water none met (7.00 m or deeper), grade at the ground." in said(answer_page(group), "si")
    assert relied_on(group.first).startswith("Relied on: log B, water none met (")


def test_the_heaviest_pick_has_a_radius_or_the_page_asks_for_it(book, read_text):
    """Steel of the cage 50 to 200 kg to a cubic metre of 20.36 m3, likely 100; with a tenth of hook 2.240 t, 21.97 kN, at 6 m 132 kNm."""
    text = """methodpick: 1
site: {units: si, equipment: {EQUIPMENT}}
borings:
  - id: B
    depth: 30
    water: [{reading: none_met}]
    layers: [{top: 0, base: 30, description: "stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]}]
shafts: [{id: P1, boring: B, diameter: 1200, tip: 18}]
"""

    def page(equipment):
        (group,) = group_shafts(plan_site(read_text(text.replace("EQUIPMENT", equipment)), book).plan.shafts)
        return said(answer_page(group), "si")

    assert "radius not given: state it" in page("desander: true")
    assert "what the crane lifts there is not given: state it" in page("pick_radius: 6")
    given = page("pick_radius: 6, pick_capacity_t: 5.28")
    assert "cage 1018 to 4072 kg, at 6.00 m: 132 kNm, 50 % of what the crane may lift there with its hook, holds" in given
    assert "Not proven" in page("pick_radius: 6, pick_capacity_t: 2")
