"""A wall predrilled wider than the shaft, by hand: overload ratio of clay over its strength, six at most (Broms & Bennermark, memory)."""

from dataclasses import replace

import pytest

from methodpick.plan.pipeline import plan
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.objections_of import objections_of
from methodpick.plan.proving.surroundings import prove_predrilled_sand
from methodpick.plan.result import Stage
from methodpick.review.ground_anew import basis_of, ground_anew

STIFF = 'description: "stiff grey clay", symbol: CH, su: 90, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
SAND = 'description: "loose fine sand", symbol: SP, fines: 3 %, unit_weight: 19, phi: 30, absent: [cobbles, boulders, cemented]'
HARD = 'description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
NO_PLANT = "surcharge: 0, equipment: {vibratory: false, kelly_twist: false, oscillator: false, impact_hammer: false, rotator: false}"


def test_the_wall_of_the_hole_for_a_set_casing(made, found):
    """Drilled dry to 8 m for a casing: 8 x 20 = 160 kPa over 90 are 1.78. Below, under fluid, the clay bears less than that."""
    water = "[{reading: settled, depth: 10.5, after: 24 h}]"
    shaft = made((0, 9, STIFF), (9, 11, SAND), (11, 30, HARD), tip=25, water=water, site=NO_PLANT)
    dry = next(stage for stage in shaft.stages if stage.action == "drill")
    assert (dry.state, dry.base_m) == ("dry", 8.0)
    walls = [check for check in found(shaft, "wall-overload") if check.stage == dry.no]
    assert [check.needed.likely for check in walls] == [pytest.approx(160.0 / 90.0, rel=1e-3)]
    assert [check.rule for check in walls] == ["clay-wall-collapses"]


def test_a_hole_as_wide_as_the_shaft_is_judged_by_the_rules_alone(made, found):
    shaft = made((0, 30, STIFF), tip=10, site=NO_PLANT)
    assert found(shaft, "wall-overload") == []
    assert len(found(shaft, "clay-wall-collapses")) == 1


DRY_SAND = 'description: "dense fine sand", symbol: SP, fines: 3 %, cohesion: {{low: {low}, likely: 8, high: 10}}, unit_weight: 19, phi: 36'
OVER_WET_SAND = """methodpick: 1
site: {{units: si, {plant}}}
borings:
  - id: B
    water: [{{reading: settled, depth: 10.5}}]
    layers:
      - {{top: 0, base: {thickness}, {dry}}}
      - {{top: {thickness}, base: 9, {stiff}}}
      - {{top: 9, base: 11, {sand}}}
      - {{top: 11, base: 30, {hard}}}
shafts: [{{id: P, boring: B, diameter: 1200, tip: 25}}]
"""


def over_wet_sand(thickness, low, plant):
    """Write a site: clean dry sand with so much cohesion at its low end, clay, wet sand, clay."""
    layers = {"dry": DRY_SAND.format(low=low), "stiff": STIFF, "sand": SAND, "hard": HARD}
    return OVER_WET_SAND.format(thickness=thickness, plant=plant, **layers)


@pytest.mark.parametrize(
    ("thickness", "low", "thin", "holds"),
    [(2.9, 3.1, "holds", "holds"), (3.5, 3.1, "little_margin", "holds"), (4.2, 3.1, "fails", "holds"), (2.9, 2.9, "holds", "fails")],
)
def test_clean_dry_sand_is_drilled_open_for_a_casing_only_where_it_is_thin_and_holds(read_text, book, thickness, low, thin, holds):
    """Three to four metres at most, and 3 kPa at the low end of its cohesion (own values); else the hole for the casing is barred."""
    site = read_text(over_wet_sand(thickness, low, NO_PLANT))
    made = plan(site, book)
    (shaft,) = made.shafts
    ground = ground_anew(basis_of(made, site, book), shaft, shaft.levels, shaft.cuts_m)
    assert any(casing.predrill_base_m == 11.0 for casing in shaft.casings), "a casing is set in a predrilled hole"
    (drilled,) = (stage for stage in shaft.stages if stage.action == "drill" and stage.base_m == 11.0)
    dry = replace(drilled, state="dry", fluid=None, top_m=0.0)
    stages = tuple(dry if stage is drilled else stage for stage in shaft.stages)
    way = BuiltWay(stages=stages, casings=shaft.casings, fluids=(), placement=shaft.placement, concrete=shaft.concrete)
    checks = [check for check in prove_predrilled_sand(ground, way) if check.base_m == pytest.approx(thickness)]
    assert [(check.id, check.result) for check in checks] == [("dry-sand-thickness", thin), ("dry-sand-cohesion", holds)]
    against = [objection for objection in objections_of(checks, way) if objection.weight == "barred"]
    assert [(found.kind, found.word) for found in against] == [("predrill", "dry")] * ([thin, holds].count("fails"))


def test_a_casing_dug_dry_above_water_is_barred_over_the_ground_that_it_opens(read_text, book):
    """A casing set dry from 9 to 10 m with water at 10.5 m was objected to from its top over the ground, where no run begins: in vain."""
    plant = "surcharge: 0, equipment: {oscillator: false, impact_hammer: false, rotator: false, vibratory: true, kelly_twist: true}"
    (shaft,) = plan(read_text(over_wet_sand(3, 2, plant)), book).shafts
    assert shaft.proven
    assert all(check.result != "fails" for check in shaft.checks)


def test_a_wall_stands_open_from_its_drilling_to_the_casing_or_the_concrete():
    """10 m in 5 h: 4 m of it are left below 6 m, 2 h; then 1.5 h of cleaning and 3 h of pouring. No length is open for its hour."""

    def stage(number, action, top, base, hours):
        return Stage(number, action, top, base, "dry", "dry", None, hours, "")

    drill, sump = stage(1, "drill", 0.0, 10.0, 5.0), stage(2, "drill", 10.0, 10.0, 1.0)
    rest = (stage(3, "clean", 10.0, 10.0, 0.5), stage(4, "pour", 0.0, 10.0, 3.0), stage(5, "pull_casing", 0.0, 3.0, 7.0))
    way = BuiltWay(stages=(drill, sump, *rest), casings=(), fluids=(), placement=None, concrete=None)
    assert way.hours_until_held(drill, 6.0) == pytest.approx(2.0 + 1.0 + 0.5 + 3.0)
    assert way.hours_until_held(drill, -1.0) == pytest.approx(5.0 + 1.0 + 0.5 + 3.0)
    assert way.hours_until_held(sump, 10.0) == pytest.approx(1.0 + 0.5 + 3.0)
