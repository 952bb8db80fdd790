"""The pages of the readers: the answer fits a page, says what it must, and what holds everywhere is said once."""

from io import StringIO
from types import SimpleNamespace

import pytest
from rich.console import Console

from methodpick.document.cautions import safety_page
from methodpick.document.grouping import group_shafts
from methodpick.document.model import Document, texts_of
from methodpick.document.reader_pages import bid_letter, engineer_page, foreman_page
from methodpick.document.report import estimator_pages, owner_report, plan_pages, site_report
from methodpick.document.shaft import MOST_HAZARDS, answer_page, clause, dangers_here, first_sentence, next_best, shaft_page, short_layer
from methodpick.document.site import MOST_QUESTIONS, roll_up
from methodpick.engine.rule import Always
from methodpick.formats.console import print_document
from methodpick.resources import folder
from methodpick.site.planning import plan_site
from methodpick.terms import STARTER
from methodpick.unit_markup import spell

EXAMPLES = sorted(path.stem for path in folder("profiles").glob("*.yaml"))
MOST_LINES = 105
"""A page of the answer at 80 columns. Simple shafts take 55; the longest here cases its soil, crosses a cavity and is dug dry below."""


def said(page, units="us"):
    return texts_of(Document("", (page,), ""), units)


def plainly(text, units="us"):
    return " ".join(spell(text, units).split())


def printed_lines(page, units):
    out = StringIO()
    print_document(Document("", (page,), ""), Console(file=out, width=80), units)
    return out.getvalue().splitlines()


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_answer_fits_a_page(planned, name):
    for group in group_shafts(planned(name).shafts):
        assert len(printed_lines(answer_page(group), "us")) <= MOST_LINES


def test_a_simple_shaft_is_told_in_sixty_lines(planned):
    for group in group_shafts(planned("stiff-clay").shafts):
        assert len(printed_lines(answer_page(group), "us")) <= 60


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_answer_says_what_a_bid_letter_would(planned, name):
    """Boring, water and drilling grade relied on, each casing with its ends and shoe, each fluid, the placement, what is left out."""
    for group in group_shafts(planned(name).shafts):
        shaft, page = group.first, said(answer_page(group))
        for text in (shaft.decision, shaft.placement.why, *map(clause, shaft.stages)):
            assert plainly(text) in page
        assert f"as logged in {shaft.boring}" in page
        assert "drilling grade" in page
        assert "Left out: obstructions" in page
        for number, casing in enumerate(shaft.casings, 1):
            assert f"Casing {number}, {casing.kind}" in page
            assert casing.kind == STARTER or f"shoe in {short_layer(casing.seat_layer)}" in page
        for what in ("fall protection", "no entry", "gas", "hanging loads", "buried services"):
            assert what in page


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
    assert len(items) == MOST_HAZARDS
    assert items[0].startswith("Water was struck below tight ground")
    count = len(
        [1 for caution in shaft.cautions if caution.severity != "note" and caution.reach != "every_shaft"] + list(shaft.open_hazards)
    )
    assert f"{count - MOST_HAZARDS} more that come with this ground" in said(answer_page(group_shafts([shaft])[0]))


def test_a_site_begins_with_its_roll_up(takeoff):
    """60 shafts stand in the file; theory and casing are summed here by hand from the plans."""
    plan = takeoff("viaduct").site.plan
    groups = group_shafts(plan.shafts)
    first = plan_pages(plan).pages[0]
    assert first == roll_up(plan, groups)
    assert first.title.endswith(f"60 shafts of {len(groups)} kinds")
    assert len(first.sections[0].blocks[0].rows) == len(groups)
    theory = sum(shaft.concrete.theoretical_m3 * shaft.count for shaft in plan.shafts)
    assert plainly(f"Concrete: ⟦{theory}|m3⟧ by the drawings") in said(first)
    length = sum((shaft.tip_depth_m - shaft.cutoff_m) * shaft.count for shaft in plan.shafts)
    assert plainly(f"Shaft from cut-off to tip: ⟦{length}|m⟧.") in said(first)
    kept = sum(casing.mass_kg * shaft.count for shaft in plan.shafts for casing in shaft.casings if casing.kind == "temporary")
    assert plainly(f"⟦{kept}|kg⟧ in all") in said(first)
    (questions,) = [part for part in first.sections if part.title == "Ask the owner first"]
    assert 0 < len(questions.blocks[0].entries) <= MOST_QUESTIONS


def test_one_shaft_has_no_roll_up(planned):
    assert [page.title for page in plan_pages(planned("caving-lens")).pages] == ["Shaft P4 (4 of this kind) - Mill Road bridge, pier 2"]


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_foreman_gets_every_step_and_no_rule_or_source(planned, name):
    for group in group_shafts(planned(name).shafts):
        shaft, page = group.first, said(foreman_page(group))
        for stage in shaft.stages:
            assert plainly(stage.text) in page
        for caution in shaft.cautions:
            assert f"[{caution.rule}" not in page
            if caution.severity != "note" and caution.reach != "every_shaft":
                assert plainly(caution.text) in page
        for step in shaft.concrete.pulls:
            assert f"{step.casing_no}.{step.lift_no}" in page


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
    page = said(engineer_page(group_shafts(plan_site(read_text(text), book).plan.shafts)[0]), "si")
    assert "water from 12.00 m to 15.00 m unread" in page
    assert "water from 22.00 m to 30.00 m unread" in page


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_engineer_gets_checks_assumptions_and_hold_points(planned, name):
    for group in group_shafts(planned(name).shafts):
        shaft, page = group.first, said(engineer_page(group))
        for taken in shaft.assumptions:
            assert plainly(taken.why) in page
        for check in shaft.checks:
            assert check.id.replace("-", " ") in page
        assert "the cage in" in page or not any(stage.action == "pour" for stage in shaft.stages)


def test_the_estimator_gets_concrete_net_and_to_order_and_what_has_no_rate(takeoff):
    made = takeoff("karst")
    page = texts_of(estimator_pages(made), "us")
    for shaft in made.site.plan.shafts:
        assert plainly(f"⟦{shaft.concrete.theoretical_m3}|m3⟧ by the drawing, ⟦{shaft.concrete.expected_m3}|m3⟧ to order") in page
    assert ("No money: the site file gives no rates" in page) == (made.cost is None)
    assert "Sums over the site" in page
    assert "Against the plan:" in page


def test_the_letter_leaves_names_and_prices_to_its_writer(planned):
    """Nothing is said of a method that the plans do not use."""
    page = texts_of(bid_letter(planned("stiff-clay")), "us")
    assert "Obstructions, boulders" in page
    assert "Loss of fluid" not in page
    wet = texts_of(bid_letter(planned("saturated-sand")), "us")
    assert "Loss of fluid" in wet
    assert "standby of the rig, an hour" in wet


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


def test_a_shaft_on_which_nothing_is_decided_invents_nothing(book, read_text):
    """Without a layer in the log there is no stage, no volume and no pull to speak of; what is to be asked stands there."""
    text = "methodpick: 1\nborings: [{id: B}]\nshafts: [{id: S, diameter: 48, tip: 30}]\n"
    (shaft,) = plan_site(read_text(text), book).plan.shafts
    page = answer_page(group_shafts([shaft])[0])
    assert [part.title for part in page.sections][:2] == ["Decision", "Strip"]
    assert "Stages" not in [part.title for part in page.sections]
    assert "nothing is decided" in said(page)
    assert "Drill dry" not in said(page)
    assert "no entry" in said(page)
    assert [part.title for part in foreman_page(group_shafts([shaft])[0]).sections] == ["Do not start"]
    whole = {part.title for part in shaft_page(group_shafts([shaft])[0]).sections}
    assert whole.isdisjoint({"Stages", "Casings", "Concrete", "Checks", "Quantities", "Cautious plan"})
    assert "Questions to ask" in whole


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


@pytest.mark.parametrize(
    ("results", "words"),
    [(("holds", "open_range"), "It costs twice."), (("open_likely", "holds"), "It costs twice. Likely short in it: torque turning.")],
)
def test_the_next_best_way_says_what_is_likely_short_in_it_too(results, words):
    checks = [SimpleNamespace(id=name, result=result) for name, result in zip(("torque-turning", "pull"), results, strict=True)]
    other = SimpleNamespace(family="permanent casing", proven=True, relative_cost=2.0, why_not="It costs twice.", checks=checks)
    assert next_best(SimpleNamespace(alternates=(other,))) == f"Next best: permanent casing. {words}"
