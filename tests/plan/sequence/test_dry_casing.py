"""Dry granular ground is cased, dug and poured dry, and ground that stands an hour is drilled dry and cased at once.

Common practice (O'Neill and Reese, as a textbook tells): dry soil that stands when cut but sloughs soon is drilled, cased quickly and
poured dry. Without a seal a casing is emptied only where no water stands within 1.5 m and one diameter below it (own value).
"""

import pytest

from methodpick.plan.pipeline import plan

SITE = """methodpick: 1
site: {{units: si, equipment: {{vibratory: true, oscillator: true, kelly_twist: true}}}}
borings:
  - id: B-1
    depth: 30
    water: [{water}]
    layers:
{layers}
shafts: [{{id: P1, diameter: 1200, tip: {tip}}}]
"""
SAND = 'description: "medium dense dry clean sand", symbol: SP, unit_weight: 18, phi: 34'
CLAY = 'description: "stiff brown clay", symbol: CL, su: 100, unit_weight: 19.5, absent: [fissured]'


@pytest.fixture
def planned_in(book, read_text):
    def made(layers, water, tip=12):
        tops = [0, *(base for base, _ in layers)]
        lines = "\n".join(f"      - {{top: {top}, base: {base}, {words}}}" for top, (base, words) in zip(tops, layers, strict=False))
        return plan(read_text(SITE.format(layers=lines, water=water, tip=tip)), book).shafts[0]

    return made


def states(shaft):
    return {stage.state for stage in shaft.stages if stage.action in {"advance_casing", "drill"}}


@pytest.mark.parametrize(
    "water", ["{reading: none_met}", "{reading: piezometer, depth: 20}", "{reading: piezometer, depth: 14}"], ids=["none", "20 m", "14 m"]
)
def test_dry_sand_is_cased_dug_and_poured_dry(water, planned_in):
    shaft = planned_in([(30, SAND)], water)
    assert states(shaft) == {"cased_dry"}
    assert shaft.placement.state == "dry"
    assert "dug dry" in shaft.decision
    assert "kept full" not in shaft.decision
    assert shaft.fluid_programme is None
    unsealed = next(check for check in shaft.checks if check.id == "unsealed-dry")
    assert unsealed.result in {"holds", "open_range", "unknown"}


@pytest.mark.parametrize(
    "water", ["{reading: piezometer, depth: 13}", "{reading: piezometer, depth: 9}", ""], ids=["13 m", "9 m", "unread"]
)
def test_water_near_the_tip_or_not_known_keeps_the_casing_full(water, planned_in):
    """12 m and the greater of 1.5 m and a diameter of 1.2 m: water at 13 m is too near; what nobody read is not taken as dry."""
    shaft = planned_in([(30, SAND)], water)
    assert "cased_dry" not in states(shaft)
    assert shaft.placement.state == "wet"


def test_a_casing_through_dry_sand_into_clay_needs_no_bailing(planned_in):
    shaft = planned_in([(7, SAND), (30, CLAY)], "{reading: piezometer, depth: 26}", tip=16)
    assert states(shaft) == {"cased_dry", "dry"}
    assert not {"seal_test", "bail"} & {stage.action for stage in shaft.stages}
    assert all(check.result in {"holds", "little_margin", "open_range"} for check in shaft.checks if check.id.startswith("emptied-seal"))


def test_sand_that_stands_an_hour_is_drilled_dry_and_cased(book, planned_in):
    """5 m of moist silty sand: under an hour to drill at 6 m an hour, half an hour until the casing is in, an hour and a half of stand."""
    assert book.values["hours_casing_in"] == 0.5
    moist = 'description: "medium dense moist silty fine sand", symbol: SM, fines: 25, unit_weight: 19, phi: 33, cohesion: 9'
    shaft = planned_in([(5, moist), (30, CLAY)], "{reading: piezometer, depth: 26}", tip=16)
    assert states(shaft) <= {"dry", "cased_dry"}
    assert shaft.placement.state == "dry"


NOISE_WALL = """methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: 12
    water: [{reading: none_met, hole_depth: 12}]
    technique: solid_auger
    layers: [{top: 0, base: 12, description: "loose to medium dense light brown fine sand, dry", symbol: SP}]
    spt: [{depth: 1, n: 6}, {depth: 3, n: 9}, {depth: 5, n: 12}, {depth: 8, n: 16}, {depth: 11, n: 19}]
shafts: [{id: P1, diameter: 750, tip: 6, count: 120}]
"""


def test_a_short_shaft_in_dry_dune_sand_is_cased_and_not_drilled_under_fluid(read_text, book):
    """Common practice of noise walls, no source: a casing a little longer than the starter it spares, no fluid where no water is."""
    shaft = plan(read_text(NOISE_WALL), book).shafts[0]
    assert states(shaft) == {"cased_dry"}
    assert shaft.placement.state == "dry"


MAST = """methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: 12
    water: [{reading: none_met, hole_depth: 12}]
    technique: window_sampler
    layers:
      - {top: 0, base: 3.5, description: "MADE GROUND: loose black ash, clinker and ballast"}
      - {top: 3.5, base: 12, description: "firm becoming stiff brown clay", symbol: CL}
    spt: [{depth: 1, n: 4}, {depth: 2.5, n: 6}, {depth: 4, n: 8}, {depth: 6, n: 11}, {depth: 8, n: 15}, {depth: 11, n: 18}]
shafts: [{id: P1, diameter: 750, tip: 6.5, count: 40}]
"""


def test_ash_a_little_deeper_than_a_starter_goes_is_cased_into_the_clay(read_text, book):
    """Common practice of masts along old embankments, no source: a casing screwed through the ash into the clay, dry below it."""
    shaft = plan(read_text(MAST), book).shafts[0]
    (casing,) = shaft.casings
    assert casing.kind == "temporary"
    assert 3.5 < casing.base_m < 5.5
    assert states(shaft) == {"cased_dry", "dry"}
    assert "seal" not in shaft.decision, "no stage tests a seal that keeps no water out"
    assert "seal_test" not in {stage.action for stage in shaft.stages}
