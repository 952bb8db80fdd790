"""The proofs of the ground beside the work and of what stands round a shaft, on whole ways, by hand."""

from dataclasses import replace

import pytest

from methodpick.ground.site import Neighbour
from methodpick.plan.pipeline import plan
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.objections_of import objections_of
from methodpick.plan.proving.surroundings import prove_predrilled_sand
from methodpick.plan.result import Stage
from methodpick.review.ground_anew import basis_of, ground_anew

# ---- A wall predrilled wider than the shaft, by hand: overload ratio of clay over its strength, six at most (Broms & Bennermark, memory)


STIFF = 'description: "stiff grey clay", symbol: CH, su: 90, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
WALL_SAND = 'description: "loose fine sand", symbol: SP, fines: 3 %, unit_weight: 19, phi: 30, absent: [cobbles, boulders, cemented]'
WALL_HARD = 'description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
NO_PLANT = "surcharge: 0, equipment: {vibratory: false, kelly_twist: false, oscillator: false, impact_hammer: false, rotator: false}"


def test_the_wall_of_the_hole_for_a_set_casing(made, found):
    """Drilled dry to 8 m for a casing: 8 x 20 = 160 kPa over 90 are 1.78. Below, under fluid, the clay bears less than that."""
    water = "[{reading: settled, depth: 10.5, after: 24 h}]"
    shaft = made((0, 9, STIFF), (9, 11, WALL_SAND), (11, 30, WALL_HARD), tip=25, water=water, site=NO_PLANT)
    dry = next(stage for stage in shaft.stages if stage.action == "drill")
    assert (dry.state, dry.base_m) == ("dry", 8.0)
    walls = [check for check in found(shaft, "wall-overload") if check.stage == dry.no]
    assert [check.needed.likely for check in walls] == [pytest.approx(160.0 / 90.0, rel=1e-3)]
    assert [check.rule for check in walls] == ["clay-wall-collapses"]


LOADED_CLAY = (
    'description: "soft grey clay", symbol: CL, su: {su}, unit_weight: 18, absent: [fissured, slickensided, boulders, cobbles, sensitive]'
)


@pytest.mark.parametrize(("su", "stands"), [(16.8, True), (16.3, False)])
def test_a_heavy_load_presses_most_on_the_top_of_the_wall_of_a_hole_for_a_casing(made, found, su, stands):
    """100 kPa on 4 x 5 m are 55.9 at the starter's shoe at 1.5 m; with 1.5 x 18 and less 11.8 of polymer at 0.3 m they are 71.2 kPa.

    A hole of 1.4 m for the casing bears 2 (1 + ln(1 + 3 / 1.4)) = 4.29 times the strength there: 16.8 kPa ask for 4.24, 16.3 for 4.37.
    At 2 m it would bear 4.70, and 16.3 kPa ask for 4.11: the wall of a slice is not proved by its base alone.
    """
    layers = ((0, 3, LOADED_CLAY.format(su=su)), (3, 9, STIFF), (9, 11, WALL_SAND), (11, 30, WALL_HARD))
    water = "[{reading: settled, depth: 10.5, after: 24 h}]"
    shaft = made(*layers, tip=25, water=water, site=NO_PLANT.replace("surcharge: 0", "surcharge: 100"))
    walls = [(check.needed.likely, check.has.likely) for check in found(shaft, "wall-overload")]
    assert walls == ([(pytest.approx(4.236, abs=0.002), pytest.approx(4.290, abs=0.001))] if stands else [])
    assert [casing.predrill_base_m for casing in shaft.casings if not casing.is_starter] == ([11.0] if stands else [])


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
    layers = {"dry": DRY_SAND.format(low=low), "stiff": STIFF, "sand": WALL_SAND, "hard": WALL_HARD}
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
    assert way.reached_until_held_m(drill, 6.0) == 10.0


def test_a_wall_stands_open_until_fluid_is_brought_in_or_a_casing_passes_it():
    """10 m dry in 5 h, filled in 1 h, then drilled on under fluid: the wall at 6 m is open for 2 + 1 h. A casing to 12 m after 2 m more
    of dry drilling holds it after 2 + 0.8 + 0.5 h instead. Drilling dry to just above caving ground and then filling is the usual start of
    the wet method (GEC 10, from memory)."""

    def stage(number, action, top, base, hours):
        return Stage(number, action, top, base, "dry", "dry", None, hours, "")

    drill, pour = stage(1, "drill", 0.0, 10.0, 5.0), stage(9, "pour", 0.0, 20.0, 3.0)
    filled = (drill, stage(2, "introduce_fluid", 0.0, 10.0, 1.0), stage(3, "drill", 10.0, 20.0, 9.0), pour)
    cased = (drill, stage(2, "drill", 10.0, 11.8, 0.8), stage(3, "set_casing", 11.8, 12.0, 0.5), stage(4, "drill", 12.0, 20.0, 9.0), pour)
    for stages, hours, reached in ((filled, 2.0 + 1.0, 10.0), (cased, 2.0 + 0.8 + 0.5, 12.0)):
        way = BuiltWay(stages=stages, casings=(), fluids=(), placement=None, concrete=None)
        assert way.hours_until_held(drill, 6.0) == pytest.approx(hours)
        assert way.reached_until_held_m(drill, 6.0) == reached


# ---- Water that rises above the ground, on a whole way: stick-up by hydrostatics, the seat in the lid by own values


LID_CLAY = 'description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
ARTESIAN_SAND = 'description: "loose fine sand", symbol: SP, fines: 3 %, unit_weight: 19, phi: 30, absent: [cobbles, boulders, cemented]'


def water(rises_to):
    return f"[{{reading: confined, struck: 12, rises_to: {rises_to}}}]"


def of(shaft):
    return {check.id: check for check in shaft.checks if check.id.startswith("artesian")}


def test_the_stick_up_and_the_seat_of_a_starter_in_the_lid(made):
    """Head 1 m above the ground over sand at 12 m; with the least head of 1 m the fluid presses 9.81 x 14 = 137.3 kPa there. Polymer of
    1001 kg/m3 stands 13.99 m high for it, 1.99 m over the ground, 2.29 m with 0.3 m of freeboard; 3 m is the most. A seal asks for 1 m
    at least in the undrilled lid (own): the starter's hole ends so far above its shoe, and the rig pushes it in.
    """
    site = "allowed: [slurry], fluids_allowed: [polymer]"
    shaft = made((0, 12, LID_CLAY), (12, 30, ARTESIAN_SAND), tip=16, water=water(-1.0), site=site)
    found, starter = of(shaft), shaft.casings[0]
    assert found["artesian-stick-up"].needed.likely == pytest.approx(2.29, abs=0.01)
    assert found["artesian-stick-up"].result == "holds"
    assert found["artesian-lid"].result == "holds"
    assert found["artesian-seat"].result == "holds"
    assert found["artesian-seat"].needed.likely == found["artesian-seat"].has.likely == pytest.approx(1.0)
    assert starter.predrill_base_m == pytest.approx(starter.base_m - 1.0)
    assert "push or twist it from" in shaft.stages[0].text
    assert any(check.id == "crowd" and check.stage == shaft.stages[0].no for check in shaft.checks)


def test_a_starter_through_fill_goes_as_deep_into_the_lid_as_its_seal_asks_for(made):
    """Fill to 1.8 m: half a metre in clay would do for a starter, 1 m seals it (own): its shoe stands at 2.8 m."""
    fill = 'description: "fill: silty sand", symbol: SM, origin: fill, unit_weight: 18, absent: [obstructions]'
    site = "allowed: [slurry], fluids_allowed: [polymer]"
    layers = (0, 1.8, fill), (1.8, 12, LID_CLAY), (12, 30, ARTESIAN_SAND)
    sealed = made(*layers, tip=16, water=water(-1.0), site=site)
    assert sealed.levels.starter_base_m == pytest.approx(2.8)
    assert sealed.casings[0].predrill_base_m == pytest.approx(1.8)
    assert of(sealed)["artesian-seat"].result == "holds"
    assert made(*layers, tip=16, water=water(3.0), site=site).levels.starter_base_m == pytest.approx(2.3), "no water rises above it"


def test_a_starter_over_a_casing_that_seals_the_lid_is_not_pushed(made):
    """Casing that is sealed in the clay before it is pierced holds what rises below it."""
    shaft = made((0, 12, LID_CLAY), (12, 30, ARTESIAN_SAND), tip=16, water=water(-1.0), site="allowed: [temporary_casing]")
    assert shaft.casings
    assert all(casing.advanced_m == 0.0 for casing in shaft.casings if casing.is_starter)


def test_a_casing_lowered_through_the_lid_leaves_its_seal_to_the_starter(made):
    """Head 5 m above the ground, a lid of 8 m: the casing stands in a hole drilled through all of it and grips nothing of the lid."""
    sand = 'description: "dense sand", symbol: SP, unit_weight: 20, phi: 38, absent: [cobbles, boulders, cemented]'
    water_below = "[{reading: confined, struck: 8, rises_to: -5.0}]"
    shaft = made(
        (0, 8, LID_CLAY), (8, 30, sand), tip=20, water=water_below, site="allowed: [slurry, temporary_casing], equipment: {vibratory: true}"
    )
    starter, string = shaft.casings
    assert string.predrill_base_m == pytest.approx(8.0)
    assert starter.advanced_m == pytest.approx(1.0)
    assert (of(shaft)["artesian-seat"].has.likely, of(shaft)["artesian-seat"].result) == (pytest.approx(1.0), "holds")


def test_a_head_above_the_highest_stick_up_leaves_no_way_under_fluid(made):
    """Head 4 m above the ground: 9.81 x 17 = 166.8 kPa, 17.0 m of polymer, 5.3 m over the ground with its freeboard; 3 m is the most."""
    site = "allowed: [slurry], fluids_allowed: [polymer], drilling_grade: {above_ground: 0}"
    shaft = made((0, 12, LID_CLAY), (12, 30, ARTESIAN_SAND), tip=16, water=water(-4.0), site=site)
    assert shaft.method == "undecided"
    assert shaft.decision.startswith("No way of building")


def test_water_below_the_ground_asks_for_nothing(made):
    assert of(made((0, 12, LID_CLAY), (12, 30, ARTESIAN_SAND), tip=16, water=water(3.0))) == {}


# ---- Ground that meets concrete bare, on a whole way: excess of the concrete over the ground by hand, a ring yields near 6 (own)


SOFT = 'description: "soft grey clay", symbol: CH, su: {}, unit_weight: 16, absent: [fissured, boulders, cobbles, organic]'
HARD_CLAY = 'description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'


@pytest.mark.parametrize(("su", "word"), [(14, "open_likely"), (20, "open_range"), (40, "holds")])
def test_soft_clay_bulges_under_the_concrete(made, found, su, word):
    """At 10 m of a pour of 15 m at most 23.5 x 10 = 235 kPa, at least 23.5 x 5 + 9.81 x 5 = 166.6 kPa (Lings, Ng and Nash 1994, from
    memory), likely the middle, 200.8 kPa, against at rest 0.7 x 160 = 112 kPa: 88.8 kPa over the strength, 6.3 at 14 kPa, 4.4 at 20
    (7.8 with the whole weight and the least pressure at rest, 0.5 x 160), 2.2 at 40 (3.9)."""
    shaft = made((0, 10, SOFT.format(su)), (10, 30, HARD_CLAY), tip=15, site="allowed: [slurry]")
    (check,) = found(shaft, "bare-soft-clay")
    assert check.needed.likely == pytest.approx(88.8 / su, rel=0.01)
    assert check.result == word


def test_a_casing_that_stays_keeps_the_concrete_off(made, found):
    shaft = made((0, 10, SOFT.format(20)), (10, 30, HARD_CLAY), tip=15, site="allowed: [permanent_casing, dry]")
    assert shaft.casings[-1].kind == "permanent"
    assert shaft.casings[-1].base_m > 10.0
    assert [check.top_m > 10.0 for check in found(shaft, "bare-soft-clay")] == [True], "only the hard clay below meets the concrete"


# ---- Neighbours and platform of a whole way: TRL Report 429 (digest), the railroads' 12 ft (read), Skempton for clay (memory)


SAND = 'description: "loose fine sand", symbol: SP, fines: 3 %, unit_weight: 19, phi: 30, absent: [cobbles, boulders, cemented]'
CLAY = 'description: "stiff grey clay", symbol: CH, su: {}, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
VIBRATED = "allowed: [dry, temporary_casing], equipment: {vibratory: true, kelly_twist: false, oscillator: false}, neighbours: "
RIG = "equipment: {rig_weight_kn: 900}"
WET = "[{reading: settled, depth: 1, after: 24 h}]"


@pytest.mark.parametrize(
    ("neighbours", "word"),
    [
        ("[{what: brick house, distance: 25}]", "holds"),  # 266 / 25^1.3 = 4.05 mm/s
        ("[{what: brick house, distance: 12}]", "open_likely"),  # 10.5 mm/s at most, 2.4 mm/s one time in two
        ("[{what: brick house, distance: 12, vibration_mm_s: 15}]", "holds"),
        ("[{what: brick house, distance: 25}, {what: hospital, distance: 30, vibration_mm_s: 2}]", "open_likely"),  # 3.2 mm/s
        ("[{what: brick house}]", "unknown"),
        ("[]", None),
    ],
)
def test_vibration_at_the_neighbour_that_is_worst_off(made, found, neighbours, word):
    shaft = made((0, 30, SAND), tip=10, water=WET, site=VIBRATED + neighbours)
    assert [casing.way for casing in shaft.casings if casing.way] == ["vibrated"]
    assert [check.result for check in found(shaft, "neighbour-vibration")] == ([] if word is None else [word])


def test_casing_is_turned_where_vibration_would_reach_a_neighbour(made):
    site = (
        "allowed: [dry, temporary_casing], equipment: {{vibratory: true, kelly_twist: true}}, neighbours: [{{what: house, distance: {}}}]"
    )
    far, near = (made((0, 30, SAND), tip=8, water=WET, site=site.format(distance)) for distance in (60, 12))
    assert {casing.way for casing in near.casings if casing.way} == {"twisted"}
    assert far.relative_cost <= near.relative_cost


@pytest.mark.parametrize(
    ("railway", "word"),
    [
        ("{what: live railroad track, distance: 3.5}", "fails"),  # 12 ft are 3.658 m
        ("{what: live railroad track, distance: 3.5, approved: true}", "little_margin"),
        ("{what: live railroad track, distance: 9}", "holds"),
        ("{what: rail line}", "unknown"),
    ],
)
def test_a_railway_keeps_its_distance(made, found, railway, word):
    shaft = made((0, 30, CLAY.format(100)), tip=10, site=f"neighbours: [{railway}, {{what: brick house, distance: 2}}]")
    assert [check.result for check in found(shaft, "neighbour-railway")] == [word]


def test_a_railway_is_known_by_its_words():
    assert [Neighbour(what=what).is_railway for what in ("Rails of the yard", "railings", "tracked crane", "railway line")] == [
        True,
        False,
        False,
        True,
    ]


@pytest.mark.parametrize(("su", "word"), [(100, "holds"), (50, "little_margin"), (30, "fails")])
def test_clay_under_the_tracks_of_a_rig(made, found, su, word):
    """0.7 x 900 kN on 0.8 x 5 m are 157.5 kPa; clay bears 5.14 su (1 + 0.2 x 0.8 / 5) = 5.304 su: 530, 265 and 159 kPa, 2 and 1.5
    times the load asked for."""
    shaft = made((0, 30, CLAY.format(su)), tip=6, site=f"drilling_grade: {{above_ground: 0}}, {RIG}")
    (check,) = found(shaft, "platform-bearing")
    assert check.result == word
    assert check.has.likely == pytest.approx(5.3045 * su, rel=1e-3)


def test_a_raised_platform_spreads_the_load(made, found):
    """1 m of fill: 630 / (1.8 x 6) = 58.3 kPa on clay of 30 kPa, that bears 5.14 x 30 x (1 + 0.2 x 1.8 / 6) = 163.5 kPa."""
    (check,) = found(made((0, 30, CLAY.format(30)), tip=6, site=f"drilling_grade: {{above_ground: 1}}, {RIG}"), "platform-bearing")
    assert check.result == "holds"
    assert check.has.likely == pytest.approx(163.5, abs=0.1)


@pytest.mark.parametrize(("su", "word"), [(100, "holds"), (50, "unknown"), (25, "unknown")])
def test_a_rig_that_is_not_named_is_asked_about_where_it_matters(made, found, su, word):
    """60 to 120 t: 105 to 210 kPa; 530 kPa bear the heaviest twice, 265 kPa the lightest 1.5 times, 133 kPa neither;
    the site tells of no platform."""
    (check,) = found(made((0, 30, CLAY.format(su)), tip=6), "platform-bearing")
    assert check.result == word


def test_granular_ground_under_the_tracks_is_asked_about(made, found):
    (check,) = found(made((0, 30, SAND), tip=10, water=WET), "platform-bearing")
    assert check.result == "unknown"
    assert check.remedy.endswith("?")
