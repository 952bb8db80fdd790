"""Limits that the planner reads, not the rules: small sites planned, with the expected numbers worked out by hand.

Where a docstring names no source the number is common practice or an own value of the project, as its limit says.
"""

from dataclasses import replace
from math import exp, log
from types import SimpleNamespace

import pytest

from methodpick.engine.compiler import FALSE
from methodpick.engine.load import lay_over
from methodpick.plan.casing.sizes import CasingUse, splices, starter_size, string_sizes, wall_for
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.reach import KellyReachFacts, check_kelly_reach
from methodpick.plan.concrete.placement import decide_placement
from methodpick.plan.hours import nights_of
from methodpick.plan.judging.planning_input import user_assumptions
from methodpick.plan.other_ways.filled_cavities import steps
from methodpick.plan.other_ways.openings import site_changes
from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.proving.open_hole import plug_length
from methodpick.plan.result import Stage
from methodpick.plan.result.steps import FLUID_IN_STOCK, FLUID_TO_FILL
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import NOTHING, Run, Segment, SequencePath
from methodpick.plan.sequence.search import search
from methodpick.plan.sequence.search_input import SearchInput, SearchOptions, SearchSlice, read_costs, without_short_hazards
from methodpick.plan.sequence.seats import Seat
from methodpick.strict_yaml import read
from methodpick.terms import CASING_WAYS, STATES
from methodpick.units import FOOT_M, INCH_M, YARD3_M3
from methodpick.vocabulary.values import point

CLAY = """methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: DEPTH
    water: [{reading: none_met}]
    layers: [{top: 0, base: DEPTH, description: "stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]}]
shafts:
  - {id: P1, diameter: 1200, tip: 18}
  - {id: P2, diameter: 1200, tip: 18, bell: {diameter: 2400, height: 1.2}}
"""
SAND = """methodpick: 1
site: {units: si, fluids_allowed: [FLUID], allowed: [slurry]}
borings:
  - id: B-1
    depth: 30
    water: [{reading: piezometer, depth: WATER}]
    layers: [{top: 0, base: 30, description: "dense fine to medium sand", symbol: SP, phi: 36, unit_weight: 20}]
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""
ROCK = """methodpick: 1
site: {units: si, fluids_allowed: [water], allowed: [slurry]}
borings:
  - id: B-1
    depth: 30
    water: [{reading: piezometer, depth: 2}]
    layers: [{top: 0, base: 30, description: "strong grey sandstone, massive", symbol: rock, rqd: 95, ucs: 60, absent: [cavities, slaking]}]
shafts: [{id: P1, diameter: 1200, tip: 12}]
"""
LENS = """methodpick: 1
site: {units: si, equipment: {vibratory: false, oscillator: false, rotator: false, kelly_twist: true}}
borings:
  - id: B-1
    depth: 30
    water: [{reading: piezometer, depth: 7.5, response_zone: [8, 9]}]
    layers:
      - {top: 0, base: 6, description: "stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]}
      - {top: 6, base: 9, description: "medium dense grey fine to medium sand", symbol: SP, unit_weight: 19, phi: 34}
      - {top: 9, base: 30, description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured]}
shafts: [{id: P1, diameter: 1200, tip: 18, count: 6}]
"""
OVER = """methodpick: 1
site: {units: si, allowed: [dry, temporary_casing], equipment: {vibratory: true, oscillator: false, rotator: false,
       kelly_twist: false, impact_hammer: false}}
borings:
  - id: B-1
    depth: 30
    water: [{reading: piezometer, depth: 3}]
    layers:
      - {top: 0, base: 9, description: "loose grey fine to medium sand", symbol: SP, unit_weight: 19, phi: 34}
      - {top: 9, base: 30, description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured]}
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""
RIVER = """methodpick: 1
site: {units: si, setting: water, water_depth: 5}
borings:
  - id: B-1
    depth: 30
    water: [{reading: settled, depth: -5}]
    layers: [{top: 0, base: 30, description: "stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]}]
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""
STAND = """methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: 30
    hammer_efficiency: 60
    water: [{reading: piezometer, depth: 25}]
    layers: [{top: 0, base: 30, description: "LAYER"}]
    spt: [{depth: 5, n: COUNT}]
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""


def shafts(text, book, read_text):
    return plan(read_text(text), book).shafts


def hours(shaft, action):
    return sum(stage.hours for stage in shaft.stages if stage.action == action)


def line(shaft, item):
    return next(one.value for one in shaft.quantities if one.item == item)


def shop(text, book, read_text):
    site = read_text(text)
    return PlanContext(PlanBasis(site, book, (*user_assumptions(site, book), *book.assumptions)), site.borings[0], site.shafts[0])


# ---- starter, stick-up, fluid levels


def test_the_starter_is_5_ft_in_clay_and_10_ft_in_sand(book, read_text):
    """starter_min_m, starter_max_m: 5 ft and 10 ft, as 1.5 and 3.0 m; stick_up_m: the 42 in (1.07 m) of a guardrail, 29 CFR 1926.502."""
    starter = shafts(CLAY.replace("DEPTH", "30"), book, read_text)[0].casings[0]
    assert (starter.top_m, starter.base_m) == pytest.approx((-42 * INCH_M, 5 * FOOT_M), rel=0.02)
    sand = shafts(SAND.replace("FLUID", "polymer").replace("WATER", "8"), book, read_text)[0].casings[0]
    assert sand.base_m == pytest.approx(10 * FOOT_M, rel=0.02)


def test_the_fluid_stands_a_foot_below_the_top_where_no_head_asks_for_more(book, read_text):
    """freeboard_m: 1 ft, as 0.3 m; the water at 8 m asks for a level of 6.5 m only."""
    (shaft,) = shafts(SAND.replace("FLUID", "polymer").replace("WATER", "8"), book, read_text)
    assert shaft.fluid_level_m == pytest.approx(1 * FOOT_M, abs=0.01)


def test_artesian_water_is_followed_as_far_as_a_stick_up_of_10_ft(book, read_text):
    """stick_up_max_m: water 2 m above the ground asks for 3.5 m of fluid; the casing ends at 3.0 m, the fluid 0.3 m lower."""
    stated = "mineral], drilling_grade: {above_ground: 0"
    text = SAND.replace("FLUID]", stated + "}").replace("WATER", "-2")
    (shaft,) = shafts(text, book, read_text)
    assert shaft.casings[0].top_m == pytest.approx(-3.0)
    assert shaft.fluid_level_m == pytest.approx(-2.7)


FLUID_HELD_CLAY = """methodpick: 1
site: {units: si, allowed: [dry, slurry], fluids_allowed: [mineral], surcharge: 0, drilling_grade: {above_ground: 0}}
borings:
  - id: B
    depth: 30
    water: [{reading: none_met, hole_depth: 30}]
    layers: [{top: 0, base: 30, description: "firm clay", symbol: CL, su: SU, unit_weight: 18, absent: [fissured]}]
shafts: [{id: P, diameter: 1200, tip: 20}]
"""


@pytest.mark.parametrize(("su", "level_m"), [(25.0, 0.15), (24.5, -0.15), (24.25, 0.3), (27.0, 0.3)])
def test_the_fluid_stands_a_little_higher_where_that_alone_holds_the_clay(read_text, book, su, level_m):
    """level_for_clay_m, 0.5 m: clay bears an overload of 6 (Broms and Bennermark 1967, memory), so at 20 m a wall of 25 kPa asks for
    20 x 18 - 6 x 25 = 210 kPa, which are 19.83 m of 1080 kg/m3: a level of 0.17 m in place of 0.3 m; 24.5 kPa ask for 20.11 m, 24.25
    kPa for 20.25 m, which is 0.55 m more and too much for a foreman; 27 kPa ask for less than there is."""
    (shaft,) = shafts(FLUID_HELD_CLAY.replace("SU", str(su)), book, read_text)
    assert shaft.levels.fluid_m["mineral"] == pytest.approx(level_m)


def test_over_water_the_platform_stands_2_m_above_the_river(book, read_text):
    """platform_above_water_m: over 5 m of river and 2 m of air the tip, 18 m below the mudline, is 25 m below the platform; of these the
    ground alone is drilled, as the takeoff counts it.
    """
    (shaft,) = shafts(RIVER, book, read_text)
    assert shaft.tip_depth_m - shaft.levels.grade_m == pytest.approx(25.0)
    assert line(shaft, "drilled length") == pytest.approx(18.0)


def test_fluid_goes_in_a_metre_above_caving_sand(book, read_text):
    """introduce_margin_m: the sand starts at 6 m and is dry there, so nothing but the sand asks for the fluid."""
    (shaft,) = shafts(LENS, book, read_text)
    fluid = next(stage for stage in shaft.stages if stage.action == "introduce_fluid")
    assert fluid.base_m == pytest.approx(5.0)


# ---- densities


def test_the_window_of_each_fluid_where_the_ground_asks_for_nothing(book, read_text):
    """Densities at mixing and before concrete, by the slurry tables of the AASHTO construction specification (from memory): polymer at
    most 64 pcf and mixed as water with 1 kg of polymer in a cubic metre (62.5 pcf), mineral 64.3 pcf to 1.15 g/ml (GEC 10, digest)
    mixed at 67.4 pcf (UFC 3-220-20 sec. 6-4.2.1), water 62.4 to 64 pcf; 1 pcf is 16.018 kg/m3.

    water_density_kg_m3, polymer_density_kg_m3, polymer_density_max_kg_m3, mineral_density_kg_m3, mineral_density_min_kg_m3,
    mineral_density_max_kg_m3, water_fluid_density_max_kg_m3.
    """
    for text, low, target, high in (
        (SAND.replace("FLUID", "polymer"), 62.4, 62.49, 64),
        (SAND.replace("FLUID", "mineral"), 64.3, 67.4, 71.8),
        (ROCK, 62.4, 62.4, 64),
    ):
        window = shafts(text.replace("WATER", "8"), book, read_text)[0].slurry
        found = window.density_min_kg_m3, window.density_target_kg_m3, window.density_max_kg_m3
        assert found == pytest.approx((low * 16.018, target * 16.018, high * 16.018), rel=0.001)


# ---- casing sizes


def test_sizes_and_least_walls_of_trade_pipe(book, trade_sizes):
    """FHWA-NHI-18-024 sec. 5.2 (digest): 6 in steps, 0.325 in least wall. A starter for 48 in: 48 + 1 + 0.65 in is over 48, so 54 in.
    36 in pipe: 0.325 in is between 5/16 and 3/8 in, so 3/8 in. casing_step_m, casing_wall_min_m.
    """
    assert starter_size(48 * INCH_M, trade_sizes("us")).outside_m == pytest.approx(54 * INCH_M, abs=1e-3)
    assert wall_for(36 * INCH_M, CasingUse(), book.values) == pytest.approx(0.375 * INCH_M, abs=1e-5)


def test_the_wall_of_an_emptied_casing(book):
    """48 in by 1/2 in, m = r/t = 48, ovality n = 0.01, yield 250 MPa, safety 2 (Timoshenko & Gere 1961, from memory):

    pcr = 2 x 200e6 / 0.91 x (0.5 / 48)^3 = 496.8 kPa; sy / m = 5208 kPa; 5208 + (1 + 6 x 48 x 0.01) 496.8 = 7136;
    p = (7136 - sqrt(7136^2 - 4 x 5208 x 496.8)) / 2 = 383.2 kPa, so 191.6 kPa with the safety. casing_ovality, steel_yield_kpa,
    collapse_safety: 20 % of any of them moves this by more than 4 %.
    """
    assert wall_for(48 * INCH_M, CasingUse(190.0), book.values) == pytest.approx(0.5 * INCH_M, abs=1e-5)
    assert wall_for(48 * INCH_M, CasingUse(193.0), book.values) == pytest.approx(0.5625 * INCH_M, abs=1e-5)


def test_casing_wider_than_the_metric_lists(trade_sizes):
    """casing_step_metric_m: beyond 2540 mm sizes go by 100 mm."""
    assert trade_sizes("si").outside_from(2.635) == pytest.approx(2.7)


def test_the_plug_of_sand_that_a_casing_keeps(book, read_text):
    """shoe_lead_diameters: half of the 1.2 m of the shaft, so 0.6 m."""
    facts = shop(SAND.replace("FLUID", "water").replace("WATER", "2"), book, read_text).ground_facts
    assert plug_length(facts, (6.0, 12.0), "water", 1.2) == pytest.approx(0.6)


def test_what_in_the_yard_is_too_wide(trade_sizes, read_text):
    """casing_oversize_m: for a tool of 48 in twice 6 in more, 60 in: 59 in is used, 61 in is not, and 1321 mm is bought."""
    text = CLAY.replace("DEPTH", "30") + "stock: [{outside_diameter: OUTSIDE, wall: 15, length: 12}]\n"
    for outside_in, used in ((59, True), (61, False)):
        site = read_text(text.replace("OUTSIDE", f"{outside_in * 25.4:.1f}"))
        shaft = site.shafts[0].model_copy(update={"diameter_m": 48 * INCH_M})
        (size,) = string_sizes(site, shaft, [CasingUse()], trade_sizes("si"))
        assert (size.outside_m == pytest.approx(outside_in * INCH_M, abs=1e-3)) == used
        assert size.wider_m == pytest.approx(outside_in * INCH_M - 1.321 if used else 0.0, abs=1e-3)


def test_splices_of_40_ft_lengths(book):
    """splice_length_m: 38 ft is one length, 44 ft are two."""
    assert [splices(length_ft * FOOT_M, book.values) for length_ft in (38, 44)] == [0, 1]


def test_the_predrilled_hole_is_100_mm_wider(book, read_text):
    """predrill_oversize_m, tool_step_m: 1116 mm is drilled with a tool of 1100 mm, which go by 50 mm, 57.9 in with one of 56 in."""
    site = read_text(LENS + "rates: {cost_seal_test: 0}\n")
    for units, shaft_m, casing_m, tool_m in (("si", 0.9, 1.016, 1.1), ("us", 48 * INCH_M, 54 * INCH_M, 56 * INCH_M)):
        conditions, drawn = site.site.model_copy(update={"units": units}), site.shafts[0].model_copy(update={"diameter_m": shaft_m})
        made = plan(site.model_copy(update={"site": conditions, "shafts": (drawn,)}), book).shafts[0]
        casing = next(one for one in made.casings if one.kind == "temporary")
        assert casing.outside_diameter_m == pytest.approx(casing_m)
        assert casing.predrill_diameter_m == pytest.approx(tool_m)


# ---- concrete


def test_concrete_over_the_shoe(book, read_text):
    """shoe_margin_kpa, concrete_unit_weight_kn_m3, pull_head_m: shoe 10.2 m deep (9 m of sand, 1.2 m in clay), water read at 3 m and a
    swing of 1 m taken, so (9.81 x 8.2 + 15) / 23.5 = 4.06 m of concrete, to 6.14 m; a starter at 1.5 m over deep water: 15 / 23.5 =
    0.64 m is less than 5 ft, which is 0.024 m over the ground: to the ground, 0 m.
    """
    first = [step for step in shafts(OVER, book, read_text)[0].concrete.pulls if step.lift_no == 1]
    starter = list(shafts(LENS, book, read_text)[0].concrete.pulls)[-1]
    assert [step.shoe_m for step in (*first, starter)] == pytest.approx([10.2, 1.5])
    assert [step.concrete_level_needed_m for step in (*first, starter)] == pytest.approx([6.14, 0.0], abs=0.005)


def test_trucks_discharge_30_m3_an_hour_and_the_tremie_stays_10_ft_in(book, read_text):
    """pour_rate_m3_h; tremie_embedment_m by FHWA-NHI-18-024 sec. 7.3, digest."""
    concrete = shafts(SAND.replace("FLUID", "polymer").replace("WATER", "8"), book, read_text)[0].concrete
    assert concrete.expected_m3 / concrete.pour_hours == pytest.approx(30.0)
    assert concrete.tremie_embedment_m == pytest.approx(10 * FOOT_M, rel=0.01)


def test_tremie_and_trucks(book, read_text):
    """tremie_pipe_m 10 in, tremie_gap_m 0.3 m, tremie_start_m 1 m, truck_m3 9 yd3: fluid stands from 0.3 m, 16.4 m over the first charge.

    1.1310 x 1.3 + 0.05067 x 16.4 x 9.908 / 23.5 = 1.4703 + 0.3504 = 1.821 m3; 3.05 m over the mouth: 1.1310 x 3.35 = 3.789 m3.
    """
    concrete = shafts(SAND.replace("FLUID", "polymer").replace("WATER", "8"), book, read_text)[0].concrete
    assert concrete.tremie.charge_m3 == pytest.approx(1.821, rel=2e-3)
    assert concrete.tremie.before_lift_m3 == pytest.approx(3.789, rel=2e-3)
    assert concrete.truck_m3 / YARD3_M3 == pytest.approx(9.0, rel=2e-3)
    assert concrete.truck_every_h == pytest.approx(9 * YARD3_M3 / 30, rel=2e-3)


def test_tremie_concrete_is_cast_over_the_cut_off(book, read_text):
    """overcast_m: half a metre above a cut-off at 2 m; slump 8 to 10 in under fluid, 6 to 8 in in a dry hole (sec. 7.5, digest)."""
    text = SAND.replace("FLUID", "polymer").replace("WATER", "8").replace("tip: 18", "tip: 18, cutoff: 2")
    wet = shafts(text, book, read_text)[0].concrete
    dry = shafts(CLAY.replace("DEPTH", "30"), book, read_text)[0].concrete
    assert wet.finished_level_m == pytest.approx(1.5)
    assert (wet.slump_min_m / INCH_M, wet.slump_max_m / INCH_M) == pytest.approx((8, 10))
    assert (dry.slump_min_m / INCH_M, dry.slump_max_m / INCH_M) == pytest.approx((6, 8))


def test_hours_of_a_pull_with_a_stop(book, read_text):
    """hours_refill: half of 1.5 h, and a quarter of an hour for the one stop of this string."""
    (shaft,) = shafts(LENS, book, read_text)
    assert sum(1 for step in shaft.concrete.pulls if step.casing_no == 2) == 2
    assert hours(shaft, "pull") == pytest.approx(1.0)


def test_walls_for_handling(book):
    """handling_slenderness: 72 in over 150 is 0.48 in, so 1/2 in."""
    assert wall_for(72 * INCH_M, CasingUse(), book.values) == pytest.approx(0.5 * INCH_M, abs=1e-5)


def test_clay_on_an_emptied_casing(book, read_text):
    """squeeze_overload 4, squeeze_share 0.6 (own): 17 x 12 = 204 kPa over su 45 is 4.5, so 122.4 kPa; over su 58 it is 3.5: nothing."""
    text = CLAY.replace("DEPTH", "30").replace("su: 90, unit_weight: 19.5", "su: STRENGTH, unit_weight: 17")
    text = text.replace("{reading: none_met}", "{reading: piezometer, depth: 25}")
    first = Segment(0.0, 12.0, (Run(0.0, 12.0, "dry"),), "set", None, 10.8, False, "yes", 1.2, 0, False, NOTHING)
    last = Segment(12.0, 18.0, (Run(12.0, 18.0, "dry"),), "none", None, 18.0, False, "no", 0.0, -1, False, NOTHING)
    for strength, wanted in ((45, 122.4), (58, 0.0)):
        made = shop(text.replace("STRENGTH", str(strength)), book, read_text)
        casing = next(one for one in made.worked(SequencePath((first, last), NOTHING)).hole.casings if one.kind == "temporary")
        assert casing.wall_by.pressure_kpa == pytest.approx(wanted, abs=1.0)


def test_water_that_rises_faster_than_a_foot_an_hour_makes_the_pour_wet(book):
    """dry_rise_m_h: 12 in/h by FHWA-NHI-18-024 sec. 7.3, digest; 10.5 in an hour is a dry pour, 13.5 a wet one."""
    for rise_in_h, wanted in ((10.5, "dry"), (13.5, "wet")):
        rise = point(rise_in_h * INCH_M)
        sheet = SimpleNamespace(facts={"seepage_rise_m_h"}, value=lambda _, rise=rise: rise)
        judged = SimpleNamespace(top_m=0.0, sheet=sheet, logged=True)
        path = SimpleNamespace(last="dry", strings=())
        assert decide_placement([judged], path, book.limits["dry_rise_m_h"]).state == wanted


# ---- hours


def test_hours_of_a_dry_shaft(book, read_text):
    """hours_casing_set halved for the starter and for its pull, hours_clean at 1.2 m (own values); a cage of 18 m in a shaft of 1.2 m:
    0.5 + 0.1 x 18 x 1.2 + 1 h of its splice = 3.66 h; a bell of 2.4 m: (2.4 / 1.83)^2.4 = 1.92 h (a cost book: 1 h at 6 ft, 2 h at 8 ft).
    """
    straight, belled = shafts(CLAY.replace("DEPTH", "30"), book, read_text)
    for action, wanted in (("set_starter", 0.75), ("clean", 1.5), ("cage", 3.66), ("remove_starter", 0.75)):
        assert hours(straight, action) == pytest.approx(wanted), action
    assert hours(belled, "bell") == pytest.approx(1.92)


def test_hours_where_the_boring_ends_early(book, read_text):
    """The ground below the log is drilled as its last layer: 10.5 m and 6 m of clay at 6 m/h, in a shaft of 1.2 m.

    1.2^0.7 = 1.1361: 0.1894 h/m less 2 x 3.25 / (0.8 x 3600) above 12 m, and plus 2 x 5 / 2880 below: 1.965 + 1.157 = 3.12 h;
    hours_fill: 1 h.
    """
    shaft = shafts(CLAY.replace("DEPTH", "12"), book, read_text)[0]
    assert hours(shaft, "drill") == pytest.approx(3.12)
    assert hours(shaft, "refill") == pytest.approx(1.0)


def test_hours_where_the_log_has_no_words(book, read_text):
    """drilling_rate_unknown_m_h: 10 m of unknown ground at 3 m/h over 6.5 m of clay at 6 m/h, in a shaft of 1.2 m:
    10 x (1.1361 / 3 - 2 x 3.5 / 2880) + 6.5 x (1.1361 / 6 + 2 x 4.75 / 2880) = 3.763 + 1.252 = 5.02 h.
    """
    log = '[{top: 0, base: 11.5, description: "not logged"}, {top: 11.5, base: DEPTH, description: "stiff brown clay"'
    text = CLAY.replace('[{top: 0, base: DEPTH, description: "stiff brown clay"', log)
    assert hours(shafts(text.replace("DEPTH", "20"), book, read_text)[0], "drill") == pytest.approx(5.02, abs=0.011)


def test_a_drilled_wall_stands_half_an_hour_until_the_casing_holds_it(book, read_text):
    """hours_casing_in: a joint of casing takes 10 to 20 minutes (from memory), two of them some half an hour."""
    assert shop(OVER, book, read_text).search_input.options.set_h == pytest.approx(0.5)


def test_hours_of_casing_ahead_of_the_dig(book, read_text):
    """hours_advance_m, hours_bail: 10.2 m dug at 6 m/h in a shaft of 1 m and advanced at 0.15 h/m; test and bail half an hour each.

    1.2^0.7 / 6 x 10.2 = 1.931 h, less the shorter trips above 10 m, 2 (10 x 10.2 - 10.2^2 / 2) / 2880 = 0.035 h, and 1.53 h: 3.43 h.
    """
    (shaft,) = shafts(OVER, book, read_text)
    assert hours(shaft, "advance_casing") == pytest.approx(3.43)
    assert (hours(shaft, "seal_test"), hours(shaft, "bail")) == pytest.approx((0.5, 0.5))


def test_stock_of_fluid(book, read_text):
    """fluid_stock_factor: half a hole in reserve, in sand with fines, which takes little of it."""
    sand = SAND.replace("dense fine to medium sand", "dense silty fine sand").replace("symbol: SP", "symbol: SM, fines: 30 %")
    (shaft,) = shafts(sand.replace("FLUID", "polymer").replace("WATER", "8"), book, read_text)
    assert line(shaft, f"polymer fluid{FLUID_IN_STOCK}") / line(shaft, f"polymer fluid{FLUID_TO_FILL}") == pytest.approx(1.5)


def test_stock_of_fluid_where_the_ground_may_take_it(book, read_text):
    """fluid_stock_factor_where_lost: a second hole of it in open gravel, against which the rules advise (common practice, no source)."""
    gravel = SAND.replace("dense fine to medium sand", "dense sandy gravel").replace("symbol: SP", "symbol: GP, fines: 3 %")
    (shaft,) = shafts(gravel.replace("FLUID", "polymer").replace("WATER", "8"), book, read_text)
    assert shaft.fluid_programme.stock_factor.limit == "fluid_stock_factor_where_lost"
    assert shaft.fluid_programme.stock_factor.value == 2.0


# ---- how long a dry wall stands


def test_how_long_each_class_of_wall_stands(book, read_text):
    """stand_up_days_h 72, stand_up_shift_h 12, stand_up_hour_h 1.5, stand_up_minutes_h 0.3 (own values): 12 cm of wall, drilled in a
    minute at 6 m/h, stand until shortly before and not until shortly after.
    """
    grounds = (
        ("stiff brown clay", 12, 66.0, 77.0),
        ("firm brown clay", 6, 10.5, 12.5),
        ("soft grey clay", 3, 1.35, 1.6),
        ("medium dense brown fine to medium sand", 18, 0.26, 0.33),
    )
    for description, count, stands_h, falls_h in grounds:
        made = shop(STAND.replace("LAYER", description).replace("COUNT", str(count)), book, read_text)
        lengths = LengthScores(made.search_input, cautious=False)
        assert lengths.stands(4.0, 4.12, stands_h, cased=True), description
        assert not lengths.stands(4.0, 4.12, falls_h, cased=True), description


def test_one_blow_count_stands_for_its_layer_within_30_percent(book, read_text):
    """n_spread: 11 blows are 7.7 to 14.3, so firm or stiff; 12 blows are 8.4 to 15.6, so stiff or very stiff.

    Classes by Terzaghi & Peck: firm 4 to 8, stiff 8 to 15, very stiff 15 to 30.
    """
    for count, wanted in ((11, {"firm", "stiff"}), (12, {"stiff", "very_stiff"})):
        made = shop(STAND.replace("LAYER", "brown clay").replace("COUNT", str(count)), book, read_text)
        assert made.ground.slices[0].sheet.choice("consistency").values == wanted


# ---- relative cost: the price list of the project (own values), a metre of dry open hole being 1


def ground(*pieces):
    """Give cuts of made-up ground: base, the states that are allowed (all others are ruled out), should-rules and points of each."""
    cuts, top = [], 0.0
    for base, states, should, points in pieces:
        rank = {state: 0 if state in states else 5 for state in STATES}
        cuts.append(
            SearchSlice(
                top,
                base,
                True,
                rank,
                dict.fromkeys(STATES, should),
                dict.fromkeys(STATES, points),
                72.0,
                72.0,
                4.0,
                frozenset(CASING_WAYS),
                0,
                0,
            )
        )
        top = base
    return cuts


def cost(book, cuts, seats=(), shared=1, **options):
    """Give the relative cost of the best way to build a made-up ground, a casing sticking up 1 m."""
    costs = read_costs(book.values, None, shared)
    given = SearchInput(tuple(cuts), tuple(seats), costs, SearchOptions(0.0, 1.0, 1.0, 1.5, 5.0, 0.3, 1.0, **options))
    found = search(LengthScores(given, cautious=False), given)
    return found.cost


def test_price_of_an_open_hole(book):
    """10 m each: dry 10; water 11.5, its plant 3 and the tremie 4; polymer 13.5 + 10 + 4, mineral 14.5 + 14 + 4, each filled for 1.5.

    cost_dry_m, cost_water_m, cost_polymer_m, cost_mineral_m, cost_plant_water, cost_plant_polymer, cost_plant_mineral, cost_fill,
    cost_tremie.
    """
    for state, wanted in (("dry", 10.0), ("water", 18.5), ("polymer", 29.0), ("mineral", 34.0)):
        assert cost(book, ground((10.0, {state}, 0, 0))) == pytest.approx(wanted), state
    assert cost(book, ground((10.0, {"polymer"}, 0, 0)), shared=4) == pytest.approx(13.5 + 10 / 4 + 1.5 + 4), (
        "plant is shared by the shafts"
    )


def test_price_of_going_against_advice_and_of_following_it(book):
    """cost_should_m: one recommendation against it for 10 m costs 10 more; cost_point_m: two points for it save 1 of 10."""
    assert cost(book, ground((10.0, {"dry"}, 1, 0))) == pytest.approx(20.0)
    assert cost(book, ground((10.0, {"dry"}, 0, 2))) == pytest.approx(9.0)


def test_price_of_casing_to_the_tip(book):
    """10 m behind an advanced shoe 14, one string 2, 11 m of casing 3.3, tremie 4, so 23.3 and the plant and its work:
    vibrated 4 + 3, twisted 1 + 6, driven 6 + 5, oscillated 20 + 6, its hire 2, 0.5, 3 and 15; kept level instead of plugged 13.5 for
    14; left in 25 more. Ten shafts share what is brought once, and each pays its hire: vibrated 0.4 + 3 + 2.

    cost_cased_plug_m, cost_cased_balanced_m, cost_string, cost_casing_m, cost_permanent_m, cost_tremie, cost_plant_vibrated,
    cost_plant_twisted, cost_plant_driven, cost_plant_oscillated, cost_advance_vibrated_m, cost_advance_twisted_m,
    cost_advance_driven_m, cost_advance_oscillated_m, cost_hire_vibrated, cost_hire_twisted, cost_hire_driven, cost_hire_oscillated.
    """
    tip = [Seat(10.0, "no", 0.0, 0, in_socket=False, pushed_m=0.0)]
    plugged, level = ground((10.0, {"cased_plug"}, 0, 0)), ground((10.0, {"cased_balanced"}, 0, 0))
    for way, wanted in (("vibrated", 32.3), ("twisted", 30.8), ("driven", 37.3), ("oscillated", 64.3)):
        assert cost(book, plugged, tip, ways=(way,), permanent=False) == pytest.approx(wanted), way
    assert cost(book, plugged, tip, shared=10, ways=("vibrated",), permanent=False) == pytest.approx(28.7)
    assert cost(book, level, tip, ways=("twisted",), permanent=False) == pytest.approx(30.3)
    assert cost(book, plugged, tip, ways=("twisted",), temporary=False) == pytest.approx(55.8)


def test_price_of_one_casing_through_a_wet_lens(book):
    """6 m under polymer 8.1, its plant 10, filled for 1.5, the shoe pushed 1.2 m on for 1.62, string 2, 8.2 m of casing 2.46, seal test
    1.5, then 4.8 m dry: 31.98. Above water: 4.8 m dry, 1.2 m pushed dry 1.26, string 2, 7 m of casing 2.1, 6 m dry: 16.16.

    cost_seal_test, cost_fill, cost_cased_dry_m, cost_polymer_m, cost_plant_polymer, cost_cased_balanced_m, cost_string, cost_casing_m.
    """
    wet = ground((6.0, {"polymer"}, 0, 0), (12.0, {"dry", "cased_balanced"}, 0, 0))
    assert cost(book, wet, [Seat(7.2, "yes", 1.2, 1, in_socket=False, pushed_m=1.2)], permanent=False) == pytest.approx(31.98)
    above = ground((6.0, {"dry", "cased_dry"}, 0, 0), (12.0, {"dry"}, 0, 0))
    found = cost(book, above, [Seat(6.0, "yes", 1.2, 0, in_socket=False, pushed_m=1.2)], permanent=False, family="casing_then_dry")
    assert found == pytest.approx(16.16)


REACHES = """methodpick: 1
site:
  units: si
  allowed: [dry, temporary_casing]
  equipment: {vibratory: VIB, kelly_twist: TWIST, oscillator: OSC, impact_hammer: DRIVE, rotator: false,
              oscillator_pull_kn: 20000, vibrator_pull_kn: 10000, rig_pull_kn: 5000}
borings:
  - {id: B, depth: 120, water: [{reading: settled, depth: 0.5, after: 24 h}],
     layers: [{top: 0, base: 120, description: "medium dense fine sand", symbol: SP, fines: 3 %, absent: [cobbles, boulders, cemented]}]}
shafts: [{id: P, boring: B, diameter: 1200, tip: TIP}]
"""


def test_how_far_plant_brings_casing_through_undrilled_ground(book, read_text):
    """reach_twisted_m 15, reach_vibrated_m 30, reach_driven_m 60, reach_oscillated_m 60, below the starter of 3 m (common practice,
    from memory): a metre less is brought in, a metre more is not."""
    for plant, reach_m in (("TWIST", 15), ("VIB", 30), ("OSC", 60), ("DRIVE", 60)):
        for tip, there in ((reach_m + 2.0, True), (reach_m + 4.5, False)):
            text = REACHES.replace("TIP", str(tip))
            for one in ("VIB", "TWIST", "OSC", "DRIVE"):
                text = text.replace(one, "true" if one == plant else "false")
            path = shop(text, book, read_text).best()
            assert (path is not None and path.strings[-1].base_m == pytest.approx(tip)) is there, (plant, tip)


def test_sections_of_casing_under_limited_headroom(book, read_text):
    """headroom_gear_m 3, section_least_m 1 (own values): 9 m of headroom leave sections of 6 m, 3.5 m those of 1 m."""
    for headroom, least, most in ((9, 5.7, 6.3), (3.5, 0.95, 1.05)):
        made = shop(
            STAND.replace("LAYER", "stiff brown clay").replace("COUNT", "12").replace("site: {", f"site: {{headroom: {headroom}, "),
            book,
            read_text,
        )
        assert least <= made.limits["splice_length_m"] <= most, headroom


def test_price_of_another_fluid_below_a_sealed_shoe(book):
    """6 m under polymer 8.1, its plant 10, filled for 1.5, pushed 1.2 m on for 1.62, string 2, 8.2 m of casing 2.46; the polymer put
    out by water 2, its plant 3, 4.8 m under water 5.52, tremie 4: 40.2.

    cost_exchange, cost_water_m, cost_plant_water, cost_polymer_m, cost_plant_polymer, cost_cased_balanced_m, cost_tremie.
    """
    made = ground((6.0, {"polymer"}, 0, 0), (12.0, {"water", "cased_balanced"}, 0, 0))
    assert cost(book, made, [Seat(7.2, "yes", 1.2, 1, in_socket=False, pushed_m=1.2)], permanent=False) == pytest.approx(40.2)


# ---- a limit for overlays


def test_the_base_sets_no_least_diameter_for_fluid(book):
    """slurry_diameter_least_m: an overlay that reads it and sets no value of its own excludes no shaft of 0.27 m."""
    overlay = """overlay: no-fluid-in-small-shafts
level: project
add:
  - id: no-fluid-in-small-shafts
    title: No fluid in small shafts
    status: test
    level: must
    hazard: specification
    when: diameter_m < slurry_diameter_least_m
    exclude: [water, polymer, mineral]
    because: "Below {slurry_diameter_least_m} no fluid is used."
    source: [{key: own, where: "test"}]
    cases:
      - {given: {diameter_m: 0.26}, expect: silent}
      - {given: {}, expect: unknown}
"""
    laid = lay_over(book, read(overlay, "overlay.yaml"))
    assert laid.scopes["shaft"].judge({"diameter_m": point(0.27)}).of("no-fluid-in-small-shafts") == (FALSE, FALSE)


def test_water_as_fluid_under_agencies(under, read_text):
    """water_fluid_density_max_kg_m3: Caltrans 49-3.02 63.5 pcf, WSDOT 6-19.3 65 pcf, both from memory; 1 pcf is 16.018 kg/m3.

    Caltrans allows water in stable rock.
    """
    for agency, most_pcf in (("caltrans", 63.5), ("wsdot", 65.0)):
        (shaft,) = shafts(ROCK, under(agency), read_text)
        assert shaft.slurry.density_max_kg_m3 == pytest.approx(most_pcf * 16.018, rel=0.002), agency


def test_the_kelly_of_a_large_rig(book):
    """kelly_m 60, plant_class_share 0.2, kelly_longest_m 100 (from memory, own): 48 m surely, 100 m at most, between them by the rig."""
    words = {
        tip: check_kelly_reach(KellyReachFacts(ProvedPlace(None, 0.0, 0.0), 0.0, tip, None), book.limits)[0].result
        for tip in (47.5, 48.5, 99.5, 100.5)
    }
    assert list(words.values()) == ["holds", "unknown", "unknown", "fails"]


def test_a_doubt_over_less_than_a_hand_is_none(book):
    """hazard_least_m (own): 9 cm of doubt choose no method, 11 cm do."""
    for base, rank in ((5.09, 1), (5.11, 2)):
        cuts = ground((5.0, set(STATES), 0, 0), (base, set(STATES), 0, 0))
        doubtful = replace(cuts[1], rank=cuts[1].rank | {"dry": 2})
        assert without_short_hazards([cuts[0], doubtful], book.values["hazard_least_m"])[1].rank["dry"] == rank


def test_a_deep_wall_of_untested_clay_is_not_firm(book, read_text):
    """overload_share_untested 0.6 (own), of six times the weakest strength: 15 blows, 13.75 at the low end of 13 counts, say 55 kPa.

    9.5 m of 20 kN/m3 are 190 kPa, 0.58 of 330; 10.5 m are 210 kPa, 0.64, which is firm where a test gave the 55 kPa.
    """
    counts = ", ".join(f"{{depth: {depth}, n: 15}}" for depth in range(2, 28, 2))
    for tested, tip, wanted in (("", 9.5, "firm"), ("", 10.5, "conditional"), ("su: {low: 55, likely: 90, high: 120}", 10.5, "firm")):
        layer = (
            f'{{top: 0, base: 30, description: "stiff grey clay", symbol: CL, unit_weight: 20, absent: [fissured, sensitive], {tested}}}'
        )
        site = read_text(
            "methodpick: 1\nsite: {units: si, surcharge: 0}\nborings:\n  - {id: B, technique: auger, hammer_efficiency: 60, "
            f"water: [{{reading: none_met, hole_depth: 30}}], spt: [{counts}], layers: [{layer}]}}\n"
            f"shafts: [{{id: P, boring: B, diameter: 1200, tip: {tip}}}]\n"
        )
        (shaft,) = plan(site, book).shafts
        assert (shaft.intervals[-1].drilled_in, shaft.intervals[-1].confidence) == ("dry", wanted)


ARTESIAN_UNDER_A_LID = """methodpick: 1
site: {units: si, allowed: [slurry]}
borings:
  - id: B-1
    depth: 25
    water: [{reading: piezometer, depth: -3.2, response_zone: [3, 12]}]
    layers:
      - {top: 0, base: 3, description: "very stiff clay", symbol: CH, su: 200, unit_weight: 20}
      - {top: 3, base: 25, description: "medium dense sand", symbol: SP, fines: 3, n: [22, 24, 25], unit_weight: 20}
shafts: [{id: P1, diameter: 1000, tip: 12}]
"""


def test_the_lid_left_under_a_starter_and_how_far_a_platform_is_raised(book, read_text):
    """lid_under_starter_m, platform_raise_most_m (own): half a metre of a lid of 3 m is left; water at 5 m lacks 3.8 m, and gets 3 m."""
    site = read_text(ARTESIAN_UNDER_A_LID.replace("-3.2", "-5"))
    context = PlanContext(PlanBasis(site, book, book.assumptions), site.borings[0], site.shafts[0])
    assert context.levels.starter_base_m == pytest.approx(2.5)
    assert [change.raised_m for change in site_changes(context) if change.raised_m] == pytest.approx([3.0])


def test_the_morning_after_a_night(book):
    """hours_resume (own): 30 h of drilling in shifts of 10 h, each morning after the first takes 1 h before the work goes on."""
    drill, clean = (
        Stage(1, "drill", 0, 60, "slurry", "polymer", "polymer", 30.0, "", 1.0),
        Stage(2, "clean", 60, 60, "slurry", None, None, 1.0, ""),
    )
    nights = nights_of([drill, clean], 60.0, 10.0, book.values)
    assert [night.morning_h for night in nights] == pytest.approx([1.0] * len(nights))
    assert [night.depth_m for night in nights[:2]] == pytest.approx([20.0, 38.0])


def test_a_cavity_is_filled_above_its_roof_and_left_to_set(book):
    """3 m of void and 1 m above its roof in a hole of 1.2 m are 4 m x 1.131 m2 = 4.524 m3, drilled again after a day (own values)."""
    said = steps([(10.0, 13.0)], 1.2, book.values)
    assert "⟦1|m⟧ above its roof" in said
    assert "⟦24|h⟧ at least" in said
    assert "⟦4.52389|m3⟧" in said


def test_fresh_concrete_against_soft_clay_ends_at_the_limit_pressure_of_a_cavity(book):
    """bulging_most, bulging_limit: 1 + ln(G/su) = 4.91, 5.61 and 6.01 for G/su of 50, 100 and 150 (Gibson and Anderson 1961, from memory).

    Before that the radius grows by su/2G exp(R - 1), a tenth of it at R = 4 and G/su = 100.
    """
    assert 1 + log(50) < book.values["bulging_most"] <= 1 + log(150)
    assert exp(book.values["bulging_limit"] - 1) / (2 * 100) == pytest.approx(0.10, abs=0.01)
