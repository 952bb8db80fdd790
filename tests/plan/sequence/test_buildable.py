"""What the search may build, and a shaft that no sequence builds."""

import json
import re

import pytest

from methodpick.formats.json import plan_json
from methodpick.plan.casing.sizes import most_strings
from methodpick.plan.pipeline import plan, planning_basis
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.sequence.families import NotBuildable
from methodpick.review.verify import verify
from methodpick.site.planning import plan_site
from methodpick.site.site_takeoff import take_off

# ---- What makes a sequence buildable: the margin before trouble, the base inside a casing, plant, neighbours, fluids


SITE = """methodpick: 1
site: {{name: Mill Road, units: si{site}}}
borings:
  - id: B
    depth: 30
    water: {water}
    layers:
{layers}
shafts:
  - {{id: P, boring: B, diameter: 1200, tip: {tip}{shaft}}}
"""
STIFF_OVER_SAND = """      - {top: 0, base: 6, description: "stiff lean clay", symbol: CL, su: 90, absent: [fissured]}
      - {top: 6, base: 9, description: "medium dense fine sand", symbol: SP, fines: 3 %, absent: [cobbles, boulders, cemented]}
      - {top: 9, base: 30, description: "very stiff fat clay", symbol: CH, su: 180, absent: [fissured, slickensided]}"""


def made(
    read_text, book, *, water="[{reading: settled, depth: 6, after: 24 h}]", layers=STIFF_OVER_SAND, tip=20, site="", shaft="", rates=""
):
    text = SITE.format(water=water, layers=layers, tip=tip, site=", " + site if site else "", shaft=", " + shaft if shaft else "")
    return plan(read_text(f"{text}\n{rates}\n"), book).shafts[0]


def test_fluid_goes_in_a_full_metre_before_the_sand_and_its_water(read_text, book):
    """GEC 10 (2018) sec. 3.2: the fluid is in the hole before the caving ground or the water is reached; margin 1 m, own value."""
    shaft = made(read_text, book, site="equipment: {vibratory: false, oscillator: false, rotator: false, kelly_twist: false}")
    fill = next(stage for stage in shaft.stages if stage.action == "introduce_fluid")
    assert fill.base_m <= 5.0 + 1e-6
    assert all(
        stage.base_m <= fill.base_m + 1e-6 for stage in shaft.stages if stage.action == "drill" and stage.state == "dry" and stage.top_m < 6
    )


ARTESIAN = """      - {top: 0, base: 4, description: "stiff lean clay", symbol: CL, su: 90, unit_weight: 19, absent: [fissured]}
      - {top: 4, base: 7, description: "medium dense fine sand", symbol: SP, fines: 3 %, unit_weight: 19, absent: [cobbles, boulders]}
      - {top: 7, base: 14, description: "stiff fat clay", symbol: CH, su: 90, unit_weight: 18, absent: [fissured, slickensided]}
      - {top: 14, base: 30, description: "medium dense fine sand", symbol: SP, fines: 3 %, unit_weight: 19, absent: [cobbles]}"""


@pytest.mark.parametrize(("rises_to", "lifts"), [(0.5, True), (9.0, False)])
def test_a_base_dug_out_dry_inside_its_casing_is_judged_for_uplift(read_text, book, rises_to, lifts):
    """With the pressure at 0.5 m the clay left from 8.2 to 14 m weighs 5.8 x 18 = 104 kPa against 9.81 x 13.5 = 132 kPa: 0.79,
    below 1 (UFC 3-220-10, uplift of the bottom of an excavation); at 9 m it is 104 against 49 kPa: 2.1."""
    shaft = made(
        read_text,
        book,
        layers=ARTESIAN,
        tip=9.5,
        water=f"[{{reading: settled, depth: 4, after: 24 h}}, {{reading: confined, struck: 14, rises_to: {rises_to}}}]",
    )
    emptied = [stage for stage in shaft.stages if stage.state in {"dry", "cased_dry"} and stage.base_m > 8.0]
    assert bool(emptied) is not lifts
    assert (shaft.placement.state == "wet") is lifts


SOFT_OVER_HARD = """      - {top: 0, base: 10, description: "soft grey clay", symbol: CH, su: 20, unit_weight: 16, absent: [organic]}
      - {top: 10, base: 30, description: "very stiff clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured]}"""


def test_where_no_casing_may_be_pulled_the_one_that_stays_ends_below_what_needs_it(read_text, book):
    """Common practice, no source: a permanent casing through soft clay into stiff clay that stands dry. What the specification forbids is
    no ground that must keep its casing: a second one was set down to the tip."""
    shaft = made(read_text, book, layers=SOFT_OVER_HARD, tip=15, water="[{reading: none_met}]", site="allowed: [permanent_casing, dry]")
    (casing,) = shaft.casings
    assert casing.kind == "permanent"
    assert 10.0 < casing.base_m < 12.5
    assert shaft.stages[-1].action == "pour"
    assert [stage.state for stage in shaft.stages if stage.action == "drill"] == ["dry"]


FILL_MUD_AND_RESIDUAL = """      - {top: 0, base: 6, description: "FILL: loose silty sand with cobbles and boulders"}
      - {top: 6, base: 12, description: "soft dark grey clay with shells", symbol: CH}
      - {top: 12, base: 45, description: "completely decomposed granite: dense silty coarse sand", symbol: SM}"""


def test_a_liner_is_set_through_the_soft_clay_alone_in_a_hole_that_stands_full(read_text, book):
    """Common practice in reclaimed land, no source: the liner that keeps fresh concrete off marine clay ends a little below it, and the
    hole goes on under the same fluid. That stands as high around the liner as in it, so that nothing runs out at its shoe."""
    site = "equipment: {oscillator: true, vibratory: false, max_casing: 2800}"
    text = SITE.format(water="[{reading: settled, depth: 2.5}]", layers=FILL_MUD_AND_RESIDUAL, tip=39, site=f", {site}", shaft="")
    shaft = plan(read_text(text.replace("diameter: 1200", "diameter: 2500").replace("depth: 30", "depth: 45")), book).shafts[0]
    (liner,) = (casing for casing in shaft.casings if casing.kind == "permanent")
    assert 12.0 < liner.base_m <= 14.0
    assert shaft.proven


@pytest.mark.parametrize(("distance", "shakes"), [(60, True), (4, False)])
def test_casing_is_not_shaken_in_beside_a_neighbour(read_text, book, distance, shakes):
    """GEC 10 (2018) sec. 5.2: vibration harms what stands near; within 6 m none is planned (own value)."""
    shaft = made(
        read_text,
        book,
        site=f"allowed: [dry, temporary_casing], neighbours: [{{what: a brick house, distance: {distance}}}], "
        "equipment: {vibratory: true, oscillator: true, rotator: false, kelly_twist: false, impact_hammer: true, vibrator_pull_kn: 2000}",
    )
    ways = [casing.installed_by for casing in shaft.casings if casing.kind != "starter"]
    assert ways
    assert any("vibrated" in way or "driven" in way for way in ways) is shakes
    assert any("oscillated" in way for way in ways) is not shakes


@pytest.mark.parametrize(("largest_mm", "strings"), [(1100, 1), (1350, 1), (1550, 2), (1750, 3), (None, 3)])
def test_the_largest_casing_of_the_plant_limits_the_strings(read_text, trade_sizes, largest_mm, strings):
    """A 1200 mm shaft needs one of 1321 mm that lets its tool pass, the next outer ones 6 in wider each at least (GEC 10 sec. 5.2):
    1524 and 1727 mm (sizes of EN 10220, from memory). Where even one is wider than the plant's largest, one is left and the sizes tell."""
    largest = "" if largest_mm is None else f", equipment: {{max_casing: {largest_mm}}}"
    site = read_text(SITE.format(water="[]", layers=STIFF_OVER_SAND, tip=20, site=largest, shaft=""))
    assert most_strings(site, site.shafts[0], trade_sizes("si")) == strings


def test_water_in_a_casing_gives_way_to_the_fluid_before_drilling_below_it(read_text, book):
    """The casing stands full of water when it is not sealed; the support fluid comes in at the base, the level kept up."""
    layers = """      - {top: 0, base: 6, description: "cobbles and boulders with sand", symbol: cobbles}
      - {top: 6, base: 30, description: "dense silt", symbol: ML, pi: 4}"""
    shaft = made(
        read_text,
        book,
        layers=layers,
        tip=20,
        water="[{reading: settled, depth: 2, after: 24 h}]",
        site="equipment: {oscillator: true, vibratory: false, kelly_twist: false}, allowed: [slurry, temporary_casing]",
        rates="rates: {cost_advance_oscillated_m: 1.2, cost_fill: 0}",
    )
    full = next(stage.fluid for stage in shaft.stages if stage.action == "advance_casing")
    later = next(stage for stage in shaft.stages if stage.action == "drill")
    brought = next(stage for stage in shaft.stages if stage.action == "introduce_fluid")
    assert full == "water"
    assert later.fluid == brought.fluid == "mineral"
    assert "never lower the level" in brought.text
    assert brought.no < later.no


def test_relief_wells_are_an_option_of_the_engineer_where_nothing_else_holds(read_text, book):
    """Clay from 7 to 14 m under sand, a head 8 m above the ground, a shaft to 11 m: 3 m of clay at 18 kN/m3 are 54 kPa, water in a
    casing to 2.7 m above the ground (stick-up 3 m less freeboard) 134 kPa, against 9.81 x 22 = 216 kPa: 0.87. With a safety of 1.1 the
    head may be 188 / 1.1 / 9.81 = 17.5 m over the sand, 3.5 m above the ground (UFC 3-220-10, uplift of the bottom of an excavation).
    """
    water = "[{reading: settled, depth: 4, after: 24 h}, {reading: confined, struck: 14, rises_to: -8}]"
    shaft = made(
        read_text, book, layers=ARTESIAN, tip=11, water=water, site="allowed: [dry, temporary_casing], equipment: {oscillator: true}"
    )
    wells = [one for one in shaft.alternates if one.family.startswith("relief wells")]
    assert len(wells) == 1
    level = -float(re.search(r"at ⟦([0-9.]+)[|]m⟧ above the ground or deeper", wells[0].why_not)[1])
    assert -3.5 <= level <= 1.0
    assert wells[0].intervals
    assert shaft.method == "undecided"
    assert {one.support for one in shaft.intervals} == {"undecided"}
    assert "No way of building" in shaft.decision
    assert any(reason.rule == "base-lifts-by-water-below" for one in shaft.intervals for reason in one.reasons)
    free = made(read_text, book, layers=ARTESIAN, tip=5, water="[{reading: settled, depth: 4, after: 24 h}]")
    assert not [one for one in free.alternates if one.family.startswith("relief wells")]


def test_the_ladder_climbs_from_the_plan_over_a_fallback_with_its_trigger_to_the_worst(read_text, book):
    shaft = made(read_text, book)
    names = [rung.name for rung in shaft.ladder]
    assert names == ["planned", "fallback", "worst_credible"]
    planned, fallback, worst = shaft.ladder
    assert (planned.extra_casing_m, planned.extra_concrete_m3, planned.trigger) == (0.0, 0.0, "")
    assert fallback.trigger
    assert fallback.method != planned.method
    assert worst.extra_concrete_m3 > fallback.extra_concrete_m3, "with the most overbreak that is credible"


@pytest.mark.parametrize(("headroom", "longest"), [(None, 12.19), (20, 12.19), (9, 6.0), (3.5, 1.0)])
def test_under_limited_headroom_casing_comes_in_short_sections(read_text, book, headroom, longest):
    """headroom_gear_m 3, section_least_m 1 (own values): 9 m of headroom leave sections of 6 m; 3.5 m the shortest of 1 m."""
    shaft = made(read_text, book, site="equipment: {kelly_twist: true}" + ("" if headroom is None else f", headroom: {headroom}"))
    casing = next(one for one in shaft.casings if one.kind != "starter")
    assert max(casing.sections_m) == pytest.approx(min(longest, casing.length_m), abs=0.01)
    assert sum(casing.sections_m) == pytest.approx(casing.length_m, abs=0.01)


# ---- A shaft that no sequence builds: nothing is claimed at any depth, and no sequence is offered


SITE_WITHOUT_A_WAY = """methodpick: 1
site: {units: si, allowed: [dry]}
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


@pytest.fixture(scope="module")
def shaft(read_text, book):
    return plan(read_text(SITE_WITHOUT_A_WAY), book).shafts[0]


def test_the_search_says_that_nothing_can_be_built(read_text, book):
    site = read_text(SITE_WITHOUT_A_WAY)
    context = PlanContext(planning_basis(site, book), site.borings[0], site.shafts[0])
    assert isinstance(context.paths(), NotBuildable)
    assert context.best() is None


def test_every_depth_is_undecided_with_its_reasons(shaft):
    assert shaft.method == "undecided"
    assert shaft.decision.startswith("No way of building this shaft is left")
    assert {interval.support for interval in shaft.intervals} == {"undecided"}
    assert {interval.confidence for interval in shaft.intervals} == {"undecided"}
    for interval in shaft.intervals:
        assert interval.drilled_in is None
        assert interval.reasons[0].rule == "no-way"
    assert "granular-below-water-flows" in {reason.rule for reason in shaft.intervals[-1].reasons}


def test_no_way_of_building_is_offered(shaft):
    assert shaft.cautious is None
    assert shaft.ladder == ()
    offered = [alternate for alternate in shaft.alternates if alternate.stages]
    assert all(alternate.drawdown is not None for alternate in offered), "wells that draw the water down change the ground"
    assert shaft.slurry is None
    assert shaft.checks == ()


def test_nothing_of_a_shaft_that_no_way_builds_can_be_counted(shaft):
    """No stage, casing, quantity or night, and neither placement nor concrete: whoever adds up plans has nothing to add."""
    assert not shaft.has_method
    assert (shaft.stages, shaft.casings, shaft.slurries, shaft.quantities, shaft.nights) == ((), (), (), (), ())
    assert (shaft.placement, shaft.concrete, shaft.relative_cost) == (None, None, 0.0)
    with pytest.raises(ValueError, match="no concrete"):
        _ = shaft.planned_concrete
    with pytest.raises(ValueError, match="no placement"):
        _ = shaft.planned_placement


def test_a_site_is_taken_off_as_if_a_shaft_without_a_way_were_not_there(read_text, book):
    """Concrete, strings, hours, days and cost are those of the other shaft alone, which stands in clay to 2 m."""
    other = "{id: P2, boring: B-1, diameter: 1200, cutoff: 1, tip: 2}"
    rates = "rates: {currency: EUR, rig: 300, pour: {concrete: 150}, spoil: 20}\n"
    both = SITE_WITHOUT_A_WAY.replace("tip: 12}]", f"tip: 12}}, {other}]") + rates
    alone = SITE_WITHOUT_A_WAY[: SITE_WITHOUT_A_WAY.index("shafts:")] + f"shafts: [{other}]\n" + rates
    taken_off = []
    for text in (both, alone):
        site = read_text(text)
        taken_off.append(take_off(site, plan_site(site, book), book))
    first, second = taken_off
    assert [shaft.shaft for shaft in first.shafts] == ["P2"]
    assert (first.totals, first.yard, first.hours, first.cost) == (second.totals, second.yard, second.hours, second.cost)
    assert first.calendar.days == second.calendar.days


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ({"stages": "other"}, "number of stages"),
        ({"concrete": "other", "placement": "other"}, "placement and concrete"),
        ({"decision": "Drill dry to 12.00 m; concrete in the dry."}, "decision"),
    ],
)
def test_a_written_plan_that_gives_such_a_shaft_work_is_found_out(read_text, book, change, what):
    made = json.loads(plan_json(plan(read_text(SITE_WITHOUT_A_WAY), book)))
    whole = json.loads(plan_json(plan(read_text(SITE_WITHOUT_A_WAY.replace("tip: 12", "tip: 2")), book)))
    assert verify(made, book) == ()
    made["shafts"][0] |= {key: whole["shafts"][0][key] if value == "other" else value for key, value in change.items()}
    if "concrete" in change:  # of casings that the plan does not have; a file that pulls those is no plan
        made["shafts"][0]["concrete"] |= {"pulls": [], "extraction": []}
    assert any(found.what.startswith(what) for found in verify(made, book))
