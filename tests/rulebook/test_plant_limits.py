"""Limits of plant, rates, sizes and seats: what the proofs and the search read, with the expected numbers worked out by hand.

Where a docstring names no source the number is common practice or an own value of the project, as its limit says.
"""

from math import pi
from types import SimpleNamespace

import pytest

from methodpick.plan.casing.sizes import is_cored
from methodpick.plan.hours import splice_hours
from methodpick.plan.judging.planning_input import user_assumptions
from methodpick.plan.other_ways.alternates import both_open
from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.proving.open_hole import plug_length
from methodpick.plan.sequence.path import Run, Score, SequencePath
from methodpick.plan.sequence.search_input import drilling_rate, read_costs, size_factors
from methodpick.site.yard import trade_lengths
from methodpick.units import FOOT_M
from methodpick.vocabulary.values import Span, point

SITE = """methodpick: 1
site:
  units: si
  allowed: [ALLOWED]
  fluids_allowed: [FLUIDS]
  equipment: {PLANT}
borings:
  - {id: B, depth: 90, hammer_efficiency: 60, water: [WATER], layers: [LAYERS], cores: [CORES]}
shafts: [{id: P, boring: B, diameter: 1200, tip: TIP}]
"""
PLANT = {"twisted": "kelly_twist", "vibrated": "vibratory", "driven": "impact_hammer", "oscillated": "oscillator"}
NO_STONES = "absent: [cobbles, boulders, cemented]"
SAND = f'{{top: 0, base: 90, description: "medium dense fine sand", symbol: SP, fines: 3 %, unit_weight: 19.81, {NO_STONES}}}'
COBBLES = '{top: 0, base: 90, description: "dense cobbles", unit_weight: 21}'
CLAY = '{top: 0, base: 90, description: "stiff clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured, boulders, cobbles]}'


DRY_OR_CASED, ALL_FLUIDS, AT_THE_GROUND = "dry, temporary_casing", "water, polymer, mineral", "{reading: piezometer, depth: 0}"


def site(read_text, layers, *, tip=10, way="", allowed=DRY_OR_CASED, fluids=ALL_FLUIDS, water=AT_THE_GROUND, cores=""):
    """Give a site of some layers, on which casing is advanced in one way only."""
    plant = ", ".join(f"{key}: {str(name == way).lower()}" for name, key in PLANT.items()) + ", rotator: false"
    text = (
        SITE.replace("ALLOWED", allowed).replace("PLANT", plant).replace("FLUIDS", fluids).replace("WATER", water).replace("LAYERS", layers)
    )
    return read_text(text.replace("CORES", cores).replace("TIP", str(tip)))


def context(book, made):
    return PlanContext(PlanBasis(made, book, (*user_assumptions(made, book), *book.assumptions)), made.borings[0], made.shafts[0])


def proofs(book, made):
    """Give the shaft of a site, and the inputs and both sides of its proofs by name, the last of a name where there are several."""
    (shaft,) = plan(made, book).shafts
    return shaft, {check.id: check for check in shaft.checks}


def ends(value):
    return value.low, value.likely, value.high


# ---- what turns, shakes, drives and pulls casing


TWISTED_KN_M, OSCILLATED_KN_M = (15.0, 43.75, 112.5), (33.3, 63.0, 311.0)


def test_torque_of_a_rig_and_the_friction_on_its_casing(book, read_text):
    """Sand of 10 kN/m3 under water, 10 m: its effective stress times length is 500 kN/m, the static friction 0.2, 0.35 and 0.5 of it (API
    RP 2A by density); the teeth of a twisted shoe leave 0.3, 0.5, 0.9, and half of that acts while it moves: 15, 43.75, 112.5 kN/m. Its
    shoe takes 10 kN on a metre: 10 pi D2 / 2 kNm. A large rig has 390 kNm, 312 to 468 by class, 700 kN of pull, casing of 2 m.

    moving_share, overcut_share, overcut_share_low, overcut_share_high, shoe_cut_soil_kn_m, torque_twisted_knm, plant_class_share,
    pull_twisted_kn, casing_twisted_m.
    """
    shaft, found = proofs(book, site(read_text, SAND, way="twisted"))
    inputs = found["torque-turning"].inputs
    assert ends(inputs["friction_kn_m"]) == pytest.approx(TWISTED_KN_M, rel=0.02)
    assert inputs["shoe_kn_m"].likely == pytest.approx(10 * pi * shaft.casings[0].outside_diameter_m ** 2 / 2, rel=0.01)
    assert ends(inputs["rated_kn_m"]) == pytest.approx((312, 390, 468))
    assert ends(found["pull"].inputs["plant_kn"]) == pytest.approx((560, 700, 840))
    assert found["reach-diameter"].has.likely == pytest.approx(2.0)


def test_torque_of_an_oscillator_and_the_ground_that_arches_over_its_gap(book, read_text):
    """20 m of the same sand: 0.3 x 0.2, 0.5 x 0.35 and 0.9 x 0.5 of the stress, but 4, 7 and 40 kPa at most, which they reach 6.67, 4 and
    8.89 m deep: 66.7, 126 and 622 kN/m, half of it while the casing moves. In cobbles the teeth take 50 kN on a metre.

    overcut_most_kpa, overcut_most_low_kpa, overcut_most_high_kpa, torque_oscillated_knm, pull_oscillated_kn, casing_oscillated_m,
    shoe_cut_hard_kn_m.
    """
    _, found = proofs(book, site(read_text, SAND, tip=20, way="oscillated"))
    assert ends(found["torque-turning"].inputs["friction_kn_m"]) == pytest.approx(OSCILLATED_KN_M, rel=0.05)
    assert ends(found["torque-turning"].inputs["rated_kn_m"]) == pytest.approx((7200, 9000, 10800))
    assert ends(found["pull"].inputs["plant_kn"]) == pytest.approx((3600, 4500, 5400))
    assert found["reach-diameter"].has.likely == pytest.approx(3.3)
    shaft, found = proofs(book, site(read_text, COBBLES, tip=8, way="oscillated"))
    assert found["torque-turning"].inputs["shoe_kn_m"].likely == pytest.approx(50 * pi * shaft.casings[0].outside_diameter_m ** 2 / 2)


@pytest.mark.parametrize(("way", "pull_kn"), [("vibrated", 2500), ("driven", 800)])
def test_pull_of_a_vibrator_and_of_an_extractor_and_the_blow_of_a_hammer(book, read_text, way, pull_kn):
    """A vibrator stands for 2500 kN, an extractor for 800, by class a fifth either way; a hammer strikes 60 kJ, half to twice of it.

    pull_vibrated_kn, pull_driven_kn, hammer_energy_j.
    """
    _, found = proofs(book, site(read_text, SAND, tip=8, way=way))
    assert ends(found["pull"].inputs["plant_kn"]) == pytest.approx((0.8 * pull_kn, pull_kn, 1.2 * pull_kn))
    if way == "driven":
        assert ends(found["neighbour-vibration"].inputs["energy_j"]) == pytest.approx((30000, 60000, 120000))


SET = (
    '{top: 0, base: 3, description: "medium dense fine sand, moist", symbol: SM, fines: 25 %, unit_weight: 19}, '
    '{top: 3, base: 90, description: "stiff clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured, boulders, cobbles]}'
)


def test_crowd_and_pull_on_a_casing_that_is_set(book, read_text):
    """A casing set through perched sand is pushed into the clay by 350 kN of crowd and pulled by 600 kN, a fifth either way.

    crowd_kn, pull_set_kn.
    """
    wet = "{reading: perched, depth: 2, zone: sand}, {reading: none_met, hole_depth: 90}"
    _, found = proofs(book, site(read_text, SET, tip=12, water=wet, allowed="dry, slurry, temporary_casing"))
    assert ends(found["crowd"].inputs["crowd_kn"]) == pytest.approx((280, 350, 420))
    assert ends(found["pull"].inputs["plant_kn"]) == pytest.approx((480, 600, 720))


# ---- what stands on the platform


def test_tracks_on_clay(book, read_text):
    """A rig of 600 to 1200 kN, 0.7 of it on a track of 0.8 by 5 m: 105 to 210 kPa on clay of su 90, which bears 5.14 x 1.032 x 90 = 477.

    rig_weight_low_kn, rig_weight_high_kn, track_share, track_width_m, track_length_m.
    """
    _, found = proofs(book, site(read_text, CLAY))
    check = found["platform-bearing"]
    assert ends(check.inputs["load_kn"])[::2] == pytest.approx((420, 840))
    assert check.has.adverse == pytest.approx(5.14 * (1 + 0.2 * 0.8 / 5) * 90, rel=0.005)
    assert check.needed.adverse == pytest.approx(840 / (0.8 * 5))


def test_the_plate_of_an_oscillator_on_clay(book, read_text):
    """0.4 of the friction on its casing, the casing's weight and 300 kN of its own, on a plate 2 m wider than the casing.

    oscillator_weight_kn, plate_wider_m, turning_share.
    """
    shaft, found = proofs(book, site(read_text, CLAY, way="oscillated", allowed="temporary_casing"))
    check, (pull,) = found["platform-bearing"], shaft.concrete.extraction
    assert check.inputs["load_kn"].likely == pytest.approx(0.4 * pull.friction_kn + pull.weight_kn + 300)
    side = shaft.casings[0].outside_diameter_m + 2.0
    assert check.needed.adverse == pytest.approx(check.inputs["load_kn"].high / side**2)


# ---- rates, hours, sizes, costs


def rock(rqd_percent):
    """Give a slice of rock of 60 MPa, 10 m deep, in a shaft of 2 m."""
    strength, likely = point(60000.0), SimpleNamespace(likely="rock")
    facts = {"ucs_kpa": SimpleNamespace(value=strength), "rqd_percent": SimpleNamespace(value=point(rqd_percent))}
    spans = {"diameter_m": point(2.0), "ucs_kpa": strength, "headroom_m": point(30.0)}
    sheet = SimpleNamespace(facts=facts, span=spans.__getitem__, value=lambda _: strength)
    counted = SimpleNamespace(
        slice=SimpleNamespace(stratum=likely), sheet=sheet, look_up=lambda table: table.look_up({"ucs_kpa": strength})
    )
    return SimpleNamespace(counted_as=counted, sheet=sheet, middle_m=10.0)


@pytest.mark.parametrize(("rqd_percent", "rate_m_h"), [(70, 0.0947), (80, 0.0635)])
def test_massive_rock_is_drilled_slower(book, rqd_percent, rate_m_h):
    """Rock of 60 MPa: 0.25 m/h in a shaft of 1 m, 2^1.4 = 2.639 times slower in one of 2 m; from RQD 75 on two thirds of that, as it takes
    1.5 to 2 times as long (from memory).

    rate_exponent_rock, massive_rqd_percent, massive_rate_share.
    """
    assert drilling_rate(rock(rqd_percent), book, None) == pytest.approx(rate_m_h, rel=0.01)


def test_no_rate_falls_under_half_a_metre_a_day(book):
    """drilling_rate_least_m_h: two centimetres in an hour, where rates of a user say less; 10 m deep in a shaft of 1 m."""
    slow = rock(50)
    slow.sheet.span = {"diameter_m": point(1.0), "headroom_m": point(30.0)}.__getitem__
    slow.counted_as.look_up = lambda _: {"rock_rate_m_h": Span(0.001, 0.01, 0.005)}
    assert drilling_rate(slow, book, None) == pytest.approx(0.02)


@pytest.mark.parametrize(("headroom_m", "share"), [(30.0, 1.0), (12.5, 1.0), (11.5, 0.96), (6.0, 0.5), (3.0, 0.3), (None, 1.0)])
def test_under_low_headroom_all_drilling_is_slower(book, headroom_m, share):
    """headroom_low_m 12, headroom_rate_least 0.3 (own values): a kelly and a tool half as long bring up half as much; no source has a rate.

    Rock of 60 MPa in a shaft of 2 m: 0.0947 m/h under free sky, as above.
    """
    low = rock(70)
    spans = {
        "diameter_m": point(2.0),
        "ucs_kpa": point(60000.0),
        "headroom_m": Span(0.0, 200.0) if headroom_m is None else point(headroom_m),
    }
    low.sheet.span = spans.__getitem__
    assert drilling_rate(low, book, None) == pytest.approx(0.0947 * share, rel=0.01)


def test_a_splice_of_pipe_of_a_yard_takes_two_and_a_half_hours(book):
    """hours_splice_m: 2 to 3 h for a pipe of 0.9 m (from memory)."""
    kept = SimpleNamespace(kind="permanent", outside_diameter_m=0.9, joints=1)
    assert splice_hours(kept, book.values) == pytest.approx(2.5, rel=0.05)


def test_narrow_shafts_cost_as_a_published_list_has_it(book):
    """Of a shaft of 0.45 m a Spanish cost base (2024-01, seen in a transcription) has slurry at 2.04 to 2.19 times dry, recoverable
    casing at 2.60 to 2.79. Fluid adds 0.45 at 1.2 m, casing 0.8.

    size_usual_m, size_fluid_exponent_narrow, size_casing_exponent_narrow.
    """
    size = size_factors(0.45, book.values)
    assert 2.04 <= 1 + 0.45 * size.fluid <= 2.19
    assert 2.58 <= 1 + 0.8 * size.casing <= 2.81


def test_wide_shafts_cost_more_in_fluid_and_casing(book):
    """Twice the usual 1.2 m: fluid 2^0.3 = 1.231 by its volume, D^1.8, over a dry metre, D^1.5; casing 2^0.5 = 1.414, D^2 over D^1.5.

    size_usual_m, size_fluid_exponent_wide, size_casing_exponent_wide.
    """
    size = size_factors(2.4, book.values)
    assert (size.fluid, size.casing) == pytest.approx((1.231, 1.414), rel=0.01)


def test_smeared_clay_costs_as_a_metre_against_advice_and_no_preference_pays_for_itself(book):
    """cost_smeared_m 1, relative_cost_least 0.05 of a dry metre."""
    costs = read_costs(book.values, None, 1)
    assert (costs.smeared_m, costs.least_m) == pytest.approx((1.0, 0.05))


@pytest.mark.parametrize(("cost", "open_too"), [(114, True), (117, False)])
def test_fluid_and_casing_within_15_percent_are_both_open(book, cost, open_too):
    """both_open_share: relative costs are no better known."""

    def path(state, casing, cost):
        segment = SimpleNamespace(casing=casing, runs=(Run(0.0, 10.0, state),), top_m=0.0, base_m=10.0)
        return SequencePath((segment,), Score(cost=cost))

    ground = SimpleNamespace(limits=book.values, slices=())
    found = both_open(ground, path("polymer", "none", float(cost)), path("cased_plug", "advance", 100.0))
    assert found == ("fluid_or_casing" if open_too else None)


@pytest.mark.parametrize(("cost", "open_too"), [(114, True), (117, False)])
def test_casing_that_stays_and_casing_that_is_pulled_within_15_percent_are_both_open(book, cost, open_too):
    """both_open_share: GEC 10 (2018) sec. 5.3 counts no side resistance along casing that stays, which is no cost of the search."""

    def path(cost, *, keep):
        segment = SimpleNamespace(casing="advance", runs=(Run(0.0, 10.0, "cased_plug"),), top_m=0.0, base_m=10.0, keep=keep)
        return SequencePath((segment,), Score(cost=cost))

    ground = SimpleNamespace(limits=book.values, slices=())
    found = both_open(ground, path(float(cost), keep=True), path(100.0, keep=False))
    assert found == ("pulled_or_stays" if open_too else None)
    assert both_open(ground, path(float(cost), keep=False), path(100.0, keep=False)) is None


def test_a_string_of_the_yard_is_used_up_to_10_ft_too_long(book):
    """string_longer_most_m."""
    assert trade_lengths([SimpleNamespace(limit=book.values.__getitem__)]).longer_m == pytest.approx(10 * FOOT_M, rel=0.02)


# ---- seats and strings


ROCK = '{top: 0, base: 8, description: "dense fine sand", symbol: SP}, {top: 8, base: 90, description: "sandstone, jointed", ucs: STRENGTH}'


@pytest.mark.parametrize(("ucs_mpa", "on_it"), [(22.5, False), (27.5, True)])
def test_a_rig_pushes_a_shoe_into_weak_rock_and_onto_stronger(book, read_text, ucs_mpa, on_it):
    """seat_ucs_most_kpa: weak rock ends at 25 MPa (ISO 14689-1, from memory); on stronger rock the casing stands at its top, unsealed."""
    seats = context(book, site(read_text, ROCK.replace("STRENGTH", str(ucs_mpa)), tip=14)).search_input.seats
    assert any(seat.depth_m == 8.0 and seat.seals == "no" for seat in seats) is on_it


@pytest.mark.parametrize(("recovered", "seat_there"), [(27, False), (33, True)])
def test_no_casing_ends_where_hardly_any_core_was_recovered(book, read_text, recovered, seat_there):
    """seat_recovery_least_percent: below 30 % nobody knows what is there."""
    cores = f"{{top: 8, base: 11, recovery: {recovered}}}"
    seats = context(book, site(read_text, ROCK.replace("STRENGTH", "10"), tip=14, cores=cores)).search_input.seats
    assert any(8.0 < seat.depth_m < 11.0 for seat in seats) is seat_there


@pytest.mark.parametrize(("ucs_mpa", "cored"), [(9, False), (11, True)])
def test_rock_is_cored_from_10_mpa_on(book, ucs_mpa, cored):
    """core_ucs_least_kpa: kelly rigs auger rock of 1 MPa and core it from 20 MPa on (trade pages); 10 MPa lie between them."""
    slice_ = rock(50)
    slice_.sheet.value = lambda _: point(ucs_mpa * 1000.0)
    assert is_cored(slice_, book.values) is cored


def test_a_string_goes_5_ft_past_the_one_around_it(book, read_text):
    """string_step_least_m."""
    assert context(book, site(read_text, SAND)).search_input.options.least_step_m == pytest.approx(5 * FOOT_M, rel=0.02)


def test_a_shoe_is_pushed_3_m_into_clay_at_most(book, read_text):
    """push_most_m: 25 m of water over the clay ask for more; a rig does not push further."""
    layers = '{top: 0, base: 25, description: "dense sand", symbol: SP}, ' + CLAY.replace("top: 0", "top: 25")
    seats = context(book, site(read_text, layers, tip=40)).search_input.seats
    assert max(seat.pushed_m for seat in seats) == pytest.approx(3.0)


SOFT = '{top: 0, base: 90, description: "very soft clay", symbol: CH, su: 5, unit_weight: 16}'


def test_a_plug_of_three_diameters_is_the_longest(book, read_text):
    """plug_most_diameters: 20 m under the ground clay of su 5 asks for more than the 3.6 m that are dug over."""
    facts = context(book, site(read_text, SOFT, tip=20)).ground_facts
    assert plug_length(facts, (15.0, 20.0), "water", 1.2) == pytest.approx(3.6)


def test_a_starter_that_holds_the_fluid_goes_no_deeper_than_20_ft(book, read_text):
    """starter_fluid_max_m 6 m: fluid 2.7 m over the ground, of 1080 kg/m3, presses 10.6 z + 28.6 kPa; very soft clay of 15 kN/m3 and su 4
    opens at 12.4 z + 8 at most, so that no shoe above 11 m holds it.
    """
    layers = SOFT.replace("base: 90", "base: 14").replace("su: 5, unit_weight: 16", "su: 4, unit_weight: 15")
    layers += ', {top: 14, base: 90, description: "dense sand", symbol: SP}'
    water = "{reading: piezometer, depth: -1.5, response_zone: [15, 20]}, {reading: piezometer, depth: 0, response_zone: [1, 3]}"
    made = site(read_text, layers, tip=20, allowed="slurry", water=water)
    assert context(book, made).levels.starter_base_m == pytest.approx(6.0)


def test_concrete_is_retarded_for_half_a_day_at_most(book, read_text):
    """workable_most_h: 450 m3 at 30 m3/h are 15 h; no mix is planned to stay workable for longer than 12 h, so more trucks come."""
    made = site(read_text, CLAY.replace("su: 90", "su: 200"), tip=60, allowed="dry", water="{reading: none_met}")
    wide = made.model_copy(update={"shafts": (made.shafts[0].model_copy(update={"diameter_m": 3.0}),)})
    (shaft,) = plan(wide, book).shafts
    assert shaft.concrete.workable_h == pytest.approx(12.0)
    assert shaft.concrete.pour_hours < 12.0


@pytest.mark.parametrize(("agency", "most_s", "most_pcf"), [("", 40.0, 71.8), ("aashto", 50.0, 72.0), ("en1536", 50.0, 71.8)])
def test_marsh_times_and_densities_of_the_control_sheet(under, read_text, agency, most_s, most_pcf):
    """mineral_marsh_max_s: 40 s in sand (FHWA-NHI-18-024 table of slurry properties, digest); 50 s by the AASHTO construction
    specifications and EN 1536, both from memory. mineral_density_max_kg_m3: 1.15 g/ml by GEC 10 (digest) and EN 1536, 72 pcf by
    AASHTO (from memory); 1 pcf is 16.018 kg/m3.
    """
    made = site(read_text, SAND, tip=12, allowed="slurry", fluids="mineral", water="{reading: piezometer, depth: 5}")
    (shaft,) = plan(made, under(agency)).shafts
    row = next(row for row in shaft.fluid_programme.controls if row.name == "Marsh time")
    assert row.concreting_high.value == most_s
    assert shaft.slurry.density_max_kg_m3 == pytest.approx(most_pcf * 16.018, rel=0.001)


# ---- the pick at its radius


PICKED = """methodpick: 1
site: {units: si, equipment: {pick_radius: 6, pick_capacity_t: CAPACITY}}
borings:
  - id: B-1
    depth: 30
    water: [{reading: none_met}]
    layers: [{top: 0, base: 30, description: "stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]}]
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""


def picked(capacity_t, book, read_text):
    (shaft,) = plan(read_text(PICKED.replace("CAPACITY", str(capacity_t))), book).shafts
    return shaft, next(check for check in shaft.checks if check.id == "pick")


def test_the_steel_of_a_cage_by_the_concrete_of_the_drawing(book, read_text):
    """cage_steel_least_kg_m3 50, cage_steel_likely_kg_m3 100, cage_steel_most_kg_m3 200 (from memory): pi / 4 x 1.2^2 x 18 = 20.36 m3."""
    _, check = picked(20, book, read_text)
    cage = check.inputs["cage_kg"]
    assert (cage.low, cage.likely, cage.high) == pytest.approx((1018, 2036, 4072), abs=1)


def test_the_share_of_a_chart_that_a_lift_is_planned_with(book, read_text):
    """pick_rigging_share 0.1 (own), pick_chart_share_most 0.85, pick_chart_share 0.75 (common practice, from memory).

    A cage of 2.036 t, 4.072 at most, is heavier than the starter: with its hook 2.240 t and 4.479 t. 85 % of 5.27 t lift 4.48 t;
    75 % of 2.99 t would lift 2.24 t.
    """
    for capacity_t, word in ((5.28, "holds"), (5.26, "open_range"), (2.64, "open_range"), (2.63, "fails")):
        assert picked(capacity_t, book, read_text)[1].result == word, capacity_t
    assert not picked(2.63, book, read_text)[0].proven
