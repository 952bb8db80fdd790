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


CEMENTED = 'description: "very dense cemented silty gravel, dry", symbol: GM, unit_weight: 21, phi: 38, cohesion: 60'
CEMENTED_SAND = 'description: "very dense fine sand, well cemented, dry", symbol: SP, unit_weight: 20, phi: 38, cohesion: 60'


@pytest.mark.parametrize("ground", [CEMENTED, CEMENTED_SAND], ids=["gravel", "sand"])
@pytest.mark.parametrize("water", ["{reading: none_met}", "{reading: piezometer, depth: 25}"], ids=["none", "25 m"])
def test_below_a_casing_through_dry_sand_the_hole_goes_on_dry_whatever_its_shoe_stands_in(ground, water, planned_in):
    """Common practice of desert ground, no source: where no water is, a shoe only has to keep the sand out, and seals nothing."""
    shaft = planned_in([(8, SAND), (30, ground)], water, tip=16)
    (casing,) = [one for one in shaft.casings if one.kind == "temporary"]
    assert casing.sealed == "no"
    assert 8 < casing.base_m < 11
    assert states(shaft) == {"cased_dry", "dry"}
    assert shaft.placement.state == "dry"
    assert not {"seal_test", "bail"} & {stage.action for stage in shaft.stages}
    assert "no seal" in casing.why
    assert {check.result for check in shaft.checks if check.id == "unsealed-dry"} == {"holds"}
    assert "probable-seal-tested-in-steps" not in {caution.rule for caution in shaft.cautions}


def test_a_probable_seal_is_no_danger_where_no_water_is(planned_in):
    """Caliche, read as rock, seals probably only: in dry ground it keeps sand out, and no water can burst in at the shoe."""
    caliche = 'description: "hard white caliche, strongly cemented"'
    waters = "{reading: none_met}", "{reading: piezometer, depth: 3}"
    dry, wet = (planned_in([(8, SAND), (30, caliche)], water, tip=12) for water in waters)
    assert {one.sealed for one in dry.casings if one.kind == "temporary"} == {"probable"}
    assert dry.placement.state == "dry"
    assert "probable-seal-tested-in-steps" not in {caution.rule for caution in dry.cautions}
    assert wet.placement.state == "wet" or "probable-seal-tested-in-steps" in {caution.rule for caution in wet.cautions}


NEAR = ["{reading: piezometer, depth: 10}", "{reading: piezometer, depth: 5}", ""]


@pytest.mark.parametrize("water", NEAR, ids=["10 m", "5 m", "unread"])
def test_with_water_near_its_shoe_nothing_is_dug_dry_below_a_casing_that_does_not_seal(water, planned_in):
    """A shoe at 9 m and the greater of 1.5 m and a diameter of 1.2 m: water at 10 m is too near; what nobody read is not taken as dry."""
    shaft = planned_in([(8, SAND), (30, CEMENTED)], water, tip=16)
    unsealed = [one.base_m for one in shaft.casings if one.kind != "starter" and one.sealed == "no"]
    dry_below = {stage.top_m for stage in shaft.stages if stage.action == "drill" and stage.state == "dry"}
    assert not dry_below & set(unsealed)
