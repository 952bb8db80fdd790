"""Cavities and soft slots below rock are crossed by a casing lowered in the hole cored down to them, never where its plant cannot be."""

import pytest

from methodpick.plan.pipeline import plan, planning_basis
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.sequence.search_input import drilling_hours

SITE = """methodpick: 1
site: {{name: Harrow, units: si, fluids_allowed: [mineral]{site}}}
borings:
  - id: B
    depth: 26
    water: [{{reading: settled, depth: 2, after: 24 h}}]
    layers:
      - {{top: 0, base: 6, description: "stiff brown lean clay", symbol: CL, su: 90, unit_weight: 19, absent: [fissured]}}
      - {{top: 6, base: 10, description: "strong grey limestone", symbol: rock, ucs: 60, rqd: 85, recovery: 98,
         absent: [cavities, vuggy]}}
      - {{top: 10, base: 11.5, {slot}}}
      - {{top: 11.5, base: 26, description: "strong grey limestone", symbol: rock, ucs: 60, rqd: 85, recovery: 98,
         absent: [cavities, vuggy]}}
shafts: [{{id: P, boring: B, diameter: 1200, tip: 16}}]
"""
VOID = 'description: "void, rods dropped", symbol: void'
CLAY_FILLED = 'description: "broken limestone with clay-filled joints and cavities", symbol: rock, rqd: 10, recovery: 70'
ROTATOR = "equipment: {rotator: true, vibratory: false, kelly_twist: false, impact_hammer: false}"
NO_ROTATOR = "equipment: {rotator: false, oscillator: false, vibratory: false, kelly_twist: false, impact_hammer: false}"


def made(read_text, book, slot, site=""):
    """Return the plan of the shaft through a slot from 10 to 11.5 m in strong limestone."""
    return plan(read_text(SITE.format(slot=slot, site=", " + site if site else "")), book).shafts[0]


@pytest.mark.parametrize("slot", [VOID, CLAY_FILLED])
def test_a_casing_is_lowered_in_the_cored_hole_and_turned_across_the_cavity(read_text, book, slot):
    """Common practice in karst, no source: case the overburden into the rock, core down to the cavity wider than the next casing,
    lower that one, turn it into the rock below, leave it."""
    shaft = made(read_text, book, slot, ROTATOR)
    (casing,) = [casing for casing in shaft.casings if casing.kind == "permanent"]
    assert casing.way == "oscillated"
    assert casing.predrill_base_m == pytest.approx(10.0)
    assert 11.5 + 0.3 - 1e-6 <= casing.base_m < 15.0  # the shoe cuts 0.3 m into the floor at least (own)
    advanced = next(stage for stage in shaft.stages if stage.action == "advance_casing" and stage.base_m == casing.base_m)
    assert advanced.text.startswith(f"Lower casing {len(shaft.casings)} to ⟦10|m⟧ in its hole and advance it to ⟦")
    cored = [stage for stage in shaft.stages if stage.action == "drill" and 6.0 <= stage.top_m < 10.0]
    assert cored
    assert all(stage.text.startswith("Core") and stage.tool_m > casing.outside_diameter_m for stage in cored)
    assert advanced.tool_m < casing.inside_m
    assert {check.id for check in shaft.checks} >= {"torque-turning", "reach-casing", "clearance-tool"}
    assert shaft.proven


def test_the_hours_of_a_casing_that_is_lowered_first(read_text, book):
    """Over the digging from 10 to 11.8 m: 1.8 x 0.15 h, half of the 1.5 h that setting takes, one weld of 2.8 h/m x 1.3 m (own values)."""
    site = read_text(SITE.format(slot=VOID, site=", " + ROTATOR))
    (shaft,) = plan(site, book).shafts
    advanced = next(stage for stage in shaft.stages if stage.action == "advance_casing" and stage.top_m == 10.0)
    context = PlanContext(planning_basis(site, book), site.borings[0], site.shafts[0])
    dug_h = drilling_hours(context.search_input.slices, 10.0, advanced.base_m)
    assert shaft.casings[-1].joints == 1
    assert advanced.hours - dug_h == pytest.approx(0.27 + 0.75 + 3.64, abs=0.006)


def test_plant_that_the_site_does_not_name_is_hired_where_nothing_else_gets_across(read_text, book):
    shaft = made(read_text, book, VOID)
    assert "oscillated" in {casing.way for casing in shaft.casings}
    assert any("hired" in gap.question for gap in shaft.gaps)


@pytest.mark.parametrize("slot", [VOID, CLAY_FILLED])
def test_no_casing_is_turned_where_the_site_rules_its_plant_out(read_text, book, slot):
    shaft = made(read_text, book, slot, NO_ROTATOR)
    ways = [shaft.casings, *(other.casings for other in shaft.alternates)]
    assert not any(casing.way for casings in ways for casing in casings)


def test_no_casing_is_turned_through_sound_rock_that_is_only_vuggy(read_text, book):
    vuggy = 'description: "strong limestone, vuggy in places", symbol: rock, ucs: 60, rqd: 85, recovery: 98, features: [vuggy]'
    shaft = made(read_text, book, vuggy, ROTATOR)
    assert not any(casing.way == "oscillated" and casing.base_m > 10.4 > casing.predrill_base_m for casing in shaft.casings)


DRY = SITE.replace("reading: settled, depth: 2, after: 24 h", "reading: none_met, hole_depth: 26")


@pytest.mark.parametrize("allowed", [True, False])
def test_an_empty_hole_crosses_a_void_only_to_set_casing_across_it(read_text, book, allowed):
    """UFC 3-220-20 sec. 6-4.2.1, as the rule cites it: a cavity is crossed to case it; it has no wall of its own that could fall in."""
    site = NO_ROTATOR + ("" if allowed else ", allowed: [dry]")
    shaft = plan(read_text(DRY.format(slot=VOID, site=", " + site)), book).shafts[0]
    across = [casing for casing in shaft.casings if casing.base_m > 11.5]
    assert bool(across) is allowed
    assert all(casing.kind == "permanent" and casing.way is None for casing in across)
    assert any(stage.action == "drill" and stage.state == "dry" and stage.base_m > 11.0 for stage in shaft.stages) is allowed


# ---- The soil above a cavity is cased before the cavity can take the fluid that holds it


SAND = SITE.replace(
    '"stiff brown lean clay", symbol: CL, su: 90, unit_weight: 19, absent: [fissured]', '"loose fine sand", symbol: SP, fines: 3 %'
)
LOSS = "    remarks: [{{depth: 10.2, text: all drill water lost, tag: fluid_loss}}]\n    layers:\n"


def drilled_through(read_text, book, *, soil, loss, site):
    """Return the plan over the void with a soil above the rock, and whether the boring lost its water in the void."""
    text = soil.replace("    layers:\n", LOSS) if loss else soil
    return plan(read_text(text.format(slot=VOID, site=", " + site)), book).shafts[0]


def held_by_fluid_m(shaft):
    """Return the length of soil that stands in the open hole under fluid when the void at 10 m is opened."""
    opening = next(stage for stage in shaft.stages if stage.action in {"drill", "advance_casing"} and stage.base_m > 10.0 + 1e-6)
    shoes = [stage.base_m for stage in shaft.stages if stage.no < opening.no and stage.action in {"set_casing", "advance_casing"}]
    drilled = [stage for stage in shaft.stages if stage.action == "drill" and stage.state == "mineral" and stage.no <= opening.no]
    return sum(max(0.0, min(stage.base_m, 6.0) - max(stage.top_m, *shoes, 0.0)) for stage in drilled)


@pytest.mark.parametrize("loss", [True, False])
def test_sand_is_cased_into_the_rock_before_the_void_is_opened(read_text, book, loss):
    """Loose sand stands by the fluid alone; the casing over it stands in a hole cored 0.3 m into the limestone at least (own)."""
    shaft = drilled_through(read_text, book, soil=SAND, loss=loss, site=ROTATOR)
    assert held_by_fluid_m(shaft) == 0.0
    assert any(6.3 - 1e-6 <= casing.base_m <= 10.0 for casing in shaft.casings)
    assert {check.result for check in shaft.checks if check.id == "drained-wall"} <= {"holds"}


def test_where_no_casing_can_be_brought_the_page_says_what_falls_in(read_text, book):
    """Nothing but slurry is allowed: the void rules it out; through clay-filled cavities it may go, and the sand above is the doubt."""
    site = NO_ROTATOR + ", allowed: [slurry]"
    shaft = plan(read_text(SAND.format(slot=CLAY_FILLED, site=", " + site)), book).shafts[0]
    (check,) = [check for check in shaft.checks if check.id == "drained-wall"]
    assert check.result == "open_range"
    assert (check.top_m, check.base_m) == (pytest.approx(1.5, abs=1.6), pytest.approx(6.0))
    assert check.remedy == "Case the soil into the rock and seal it before the cavity is opened, or fill the cavity first."
