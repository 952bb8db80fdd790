"""Limits of the starter, of seats, casings, pulls and the wall under fluid: small sites planned, with the numbers worked out by hand.

Where a docstring names no source the number is common practice or an own value of the project, as its limit says.
"""

from math import pi

import pytest

from methodpick.plan.casing.sizes import starter_size
from methodpick.plan.fluid.window import HeldLength
from methodpick.plan.judging.planning_input import user_assumptions
from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.units import INCH_M

SITE = """methodpick: 1
site: {units: si, WITH}
borings:
  - id: B-1
    depth: 40
    water: [{reading: piezometer, depth: WATER}]
    layers: [LAYERS]
shafts: [{id: P1, diameter: 1200, tip: TIP}]
"""
CLAY = 'description: "stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]'
HARDER = 'description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured]'
SAND = 'description: "medium dense fine to medium sand", symbol: SP, unit_weight: 19, phi: 34, d10: 0.2'
OTHER_SAND = 'description: "dense brown coarse sand", symbol: SP, unit_weight: 19, phi: 34, d10: 0.2'


def layers(*parts):
    """Write layers from (base, description), the last down to 40 m."""
    written, top = [], 0.0
    for base, words in parts:
        written.append(f"{{top: {top}, base: {base}, {words}}}")
        top = base
    return ", ".join(written)


def text(ground, tip=18.0, water=8.0, **more):
    site = ", ".join(f"{key}: {value}" for key, value in more.items()) or "surcharge: 0"
    return SITE.replace("WITH", site).replace("LAYERS", ground).replace("TIP", str(tip)).replace("WATER", str(water))


def context(book, read_text, written):
    site = read_text(written)
    return PlanContext(PlanBasis(site, book, (*user_assumptions(site, book), *book.assumptions)), site.borings[0], site.shafts[0])


def planned(book, read_text, written):
    return plan(read_text(written), book).shafts[0]


# ---- the starter


def test_the_starter_goes_through_the_loose_top_into_the_clay(book, read_text):
    """starter_into_m: 2.2 m of sand and half a metre of clay."""
    assert context(book, read_text, text(layers((2.2, SAND), (40, CLAY)))).levels.starter_base_m == pytest.approx(2.7)


def test_the_starter_of_a_short_shaft(book, read_text):
    """starter_tip_share: half of 2.4 m."""
    assert context(book, read_text, text(layers((40, CLAY)), tip=2.4)).levels.starter_base_m == pytest.approx(1.2)


def test_a_starter_goes_through_what_the_fluid_would_open_below_its_shoe(book, read_text):
    """Slurry 1.52 m over the ground: clay to 1.6 m holds it at a shoe of 1.5 m, the gravel just below does not, and does from 2.6 m on.

    By hand: 10.59 (z + 1.52) = 9.81 z + (0.384 + 0.3) (21 z - 2.4 - 9.81 z), opening_stress_share 0.3, K0 of 38 degrees.
    """
    gravel = 'description: "dense sandy gravel", symbol: GP, unit_weight: 21, phi: 38'
    levels = context(book, read_text, text(layers((1.6, CLAY), (40, gravel)), water=0)).levels
    assert levels.starter_base_m == pytest.approx(2.6, abs=0.1)


# ---- seats


def seats(book, read_text, ground, tip=18.0):
    return {seat.depth_m: seat for seat in context(book, read_text, text(ground, tip)).search_input.seats}


def test_seats_in_a_thick_clay_below_sand(book, read_text):
    """seat_step_m: 1.2 m into the clay, and deeper by 3 m each; last_push_m: the last 1.5 m of the deeper ones are pushed."""
    found = seats(book, read_text, layers((9, SAND), (40, HARDER)))
    assert [depth for depth in found if depth > 9] == pytest.approx([10.2, 13.2, 16.2, 18.0])
    assert (found[10.2].pushed_m, found[13.2].pushed_m) == pytest.approx((1.2, 1.5))
    assert found[13.2].pushed_from_m == pytest.approx(11.7)


def test_a_shoe_leaves_a_foot_of_tight_ground_below(book, read_text):
    """seat_cover_m: a clay of 1.53 m takes the usual 1.2 m and leaves 0.33 m, one of 1.47 m only the least seat."""
    for thickness, usual in ((1.53, True), (1.47, False)):
        found = seats(book, read_text, layers((9, SAND), (9 + thickness, HARDER), (40, SAND)))
        assert (10.2 in found) is usual


def test_the_thinnest_layer_in_which_a_casing_may_end(book, read_text):
    """seat_layer_least_m: in the middle of 42 cm, not of 38 cm."""
    for thickness, there in ((0.42, True), (0.38, False)):
        found = seats(book, read_text, layers((9, SAND), (9 + thickness, HARDER), (40, SAND)))
        assert (round(9 + thickness / 2, 3) in found) is there


def test_a_shoe_near_the_surface_seals_perhaps(book, read_text):
    """seal_cover_m: 1.2 m into a very stiff clay from 1.7 m ends at 2.9 m, from 1.9 m at 3.1 m."""
    for top, seals in ((1.7, "probable"), (1.9, "yes")):
        found = seats(book, read_text, layers((top, SAND), (40, HARDER)))
        assert found[round(top + 1.2, 3)].seals == seals


def test_a_seat_just_under_the_starter_is_not_worth_a_casing(book, read_text):
    """run_least_m: the starter ends at 1.5 m; 1.2 m into a clay from 0.57 m is 27 cm deeper, from 0.63 m 33 cm."""
    for top, there in ((0.57, False), (0.63, True)):
        found = seats(book, read_text, layers((top, CLAY), (40, HARDER)))
        assert (round(top + 1.2, 3) in found) is there
    assert context(book, read_text, text(layers((40, CLAY)))).search_input.options.least_run_m == pytest.approx(0.3)


def test_how_long_the_wall_must_stand_after_the_cage(book, read_text):
    """hours_pour_start: 1.5 h of cleaning, 0.5 + 0.1 x 18 x 1.2 = 2.66 h for the cage, 1 h for its splice (18 m in pieces of 40 ft),
    0.5 h to the first concrete and 18 x 1.131 m3 at 30 m3/h for the pour."""
    assert context(book, read_text, text(layers((40, CLAY)))).search_input.options.finish_h == pytest.approx(6.339, abs=1e-3)


# ---- casing


def test_the_tool_has_an_inch_to_spare(trade_sizes):
    """tool_clear_m: 52.25 in with an inch and twice 0.325 in are just under 54 in, 52.45 in just over, so 60 in (6 in steps)."""
    for inside, outside in ((52.25, 54), (52.45, 60)):
        assert starter_size(inside * INCH_M, trade_sizes("us")).outside_m == pytest.approx(outside * INCH_M, abs=1e-3)


def test_a_lift_of_less_than_half_a_metre_is_not_made(book, read_text):
    """shortest_lift_m: casing of 1.62 m pieces leaves 0.55 m for the last lift but one, of 1.52 m pieces 0.45 m, which is left out."""
    ground = layers((9, SAND), (40, HARDER))
    plant = {"allowed": "[dry, temporary_casing]", "equipment": "{vibratory: true, oscillator: false, rotator: false, kelly_twist: false}"}
    for piece, last in ((1.62, 0.55), (1.52, 1.97)):
        shaft = planned(book, read_text, text(ground, water=3, headroom=piece + 3.0, **plant))
        shoes = [step.shoe_m for step in shaft.concrete.pulls if step.casing_no == 1]
        assert shoes[-1] == pytest.approx(last, abs=0.01), piece


def test_a_casing_hangs_lighter_in_fresh_concrete(book, read_text):
    """concrete_light_kg_m3: 1 - 2350 / 7850 of its weight."""
    ground = layers((9, SAND), (40, HARDER))
    shaft = planned(book, read_text, text(ground, water=3, allowed="[dry, temporary_casing]"))
    pull, casing = shaft.concrete.extraction[-1], shaft.casings[-1]
    assert pull.weight_low_kn == pytest.approx(casing.mass_kg * 9.81 / 1000 * (1 - 2350 / 7850), rel=1e-3)


# ---- fluid


def window_of(book, read_text, written):
    """Give the window of mineral slurry over the whole hole."""
    made = context(book, read_text, written)
    return HeldLength(made.ground, "mineral", (0.0, 18.0), made.levels).slurry


def test_the_wall_just_under_the_fluid_is_not_held_by_it(book, read_text):
    """fluid_unheld_m: the fluid stands 0.3 m deep, so the window speaks from 0.8 m down: of a layer that ends at 0.85, not of 0.75 m."""
    ground = layers((0.75, SAND), (0.85, OTHER_SAND), (40, SAND))
    window = window_of(book, read_text, text(ground, water=12))
    assert window.level_m == pytest.approx(0.3, abs=0.01)
    depths = [row.depth_m for row in window.by_depth]
    assert 0.85 in depths
    assert 0.75 not in depths


def test_the_theories_of_the_wall_are_compared_where_they_mean_something(book, read_text):
    """wall_theories_from_m: 2 m under the fluid at 0.3 m: at 2.4 m, not at 2.2 m, where a round wall asks for more density still."""
    ground = layers((2.2, SAND), (2.4, OTHER_SAND), (40, SAND))
    window = window_of(book, read_text, text(ground, water=30))
    assert window.wall_spread.depth_m == pytest.approx(2.4)


def test_slurry_that_runs_far_is_lost(book, read_text):
    """fluid_runs_away_m: in gravel of D10 20 mm a weak gel (1.4 Pa) runs on for more than 20 m, pores 0.35: pi (20.6^2 - 0.6^2) 0.35 L."""
    gravel = 'description: "dense sandy gravel", symbol: GP, unit_weight: 21, phi: 38, d10: 20'
    ground = layers((12, CLAY), (40, gravel))
    loss = planned(book, read_text, text(ground, water=12, allowed="[slurry]", fluids_allowed="[mineral]")).fluid_programme.loss
    assert loss.once_most_m3 == pytest.approx(pi * (20.6**2 - 0.6**2) * 0.35 * 6.0, rel=1e-3)
