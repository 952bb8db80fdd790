"""The density window of the support fluid, in fresh and in salt water."""

from types import SimpleNamespace

import pytest

from methodpick.ground.site import Chemistry
from methodpick.plan.demands.bounds import BoundFactors, PressureBound, PressureBounds, _uplift, find_bounds, least_factors
from methodpick.plan.demands.window_rows import _wall_spread
from methodpick.plan.fluid.window import HeldLength, _move_level
from methodpick.plan.judging.planning_input import user_assumptions
from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.units import PCF_KG_M3
from methodpick.vocabulary.values import Span, point

# ---- The slurry window against values from outside: published bounds, and an empty window worked out by hand


G = 9.81
OPENING = {"extra": 0.3, "extra_su": 1.0, "at_rest": 0.5}
"""What holds the ground shut beside the pressure at rest, as the rulebook has it."""


def context_of(site, book, shaft=0):
    return PlanContext(PlanBasis(site, book, (*user_assumptions(site, book), *book.assumptions)), site.borings[0], site.shafts[shaft])


def ground(read_text, book, layers, water, diameter=1200, tip=20, surcharge=0):
    return context_of(
        read_text(f"""methodpick: 1
site: {{units: si, surcharge: {surcharge}}}
borings:
  - id: B-1
    depth: 40
    water: [{{reading: piezometer, depth: {water}}}]
    layers: [{layers}]
shafts: [{{id: P1, diameter: {diameter}, tip: {tip}}}]
"""),
        book,
    )


def asked(context, depth, factors, level=0.0):
    """Give the unit weight that the ground asks for and the one that it takes at a depth, in kN/m3."""
    found = find_bounds(context.ground, depth - 0.5, depth, factors).within(depth, depth)
    return found.least(level)[0] * G / 1000, found.most(level)[0] * G / 1000


SAND = '{{top: 0, base: 40, description: "dense sand", symbol: SP, phi: {phi}, unit_weight: {weight}}}'


@pytest.mark.parametrize(("depth", "at_rest", "major"), [(6, 9.0, 7.0), (10, 9.8, 8.1), (20, 10.2, 9.0)])
def test_what_a_round_wall_in_sand_asks_for(read_text, book, depth, at_rest, major):
    """1.2 m shaft, phi 33, water at 2 m, factor 1.3, fluid at the ground: an independent computation of the axisymmetric active
    pressure gives 9.0, 9.8, 10.2 kN/m3 with the hoop stress at rest and 7.0, 8.1, 9.0 with it as the major one (own, not published;
    the weight of the sand is not told there: 20 kN/m3 is taken, and 4 % allowed for it).
    """
    context = ground(read_text, book, SAND.format(phi=33, weight=20), 2)
    for hoop_k0, wanted in ((True, at_rest), (False, major)):
        factors = BoundFactors(1.3, 0.1, 1.0, 1.1, hoop_k0=hoop_k0, **OPENING)  # groundwater is left to the wall alone
        assert asked(context, depth, factors)[0] == pytest.approx(wanted, rel=0.04)


def test_what_keeps_groundwater_out(read_text, book):
    """DIN 4126 9.1.1, from memory: fluid over groundwater at least 1.05. Water at 2 m, fluid at the ground, 20 m deep, strong sand:
    1.05 x 9.81 x 18 / 20 = 9.27 kN/m3.
    """
    context = ground(read_text, book, SAND.format(phi=42, weight=21), 2, diameter=600)
    assert asked(context, 20, least_factors(book.limits))[0] == pytest.approx(9.27, abs=0.01)


def test_what_a_clay_wall_asks_for(read_text, book):
    """Weight 17 kN/m3, 20 m deep, su 25 kPa, factor 1.5, collapse at 2 (1 + ln(1 + 40 / 1.2)) = 9.072, of which 6 count:
    (340 - 6 x 25 / 1.5) / 20 = 12.0 kN/m3; 60 kPa at the edge are 60 x 4 x 5 / (24 x 25) = 2 here and add 0.1 (hand, overload ratio
    solved for the fluid).
    """
    clay = '{top: 0, base: 40, description: "clay", symbol: CL, su: 25, unit_weight: 17}'
    factors = BoundFactors(1.1, 1.05, 1.5, 1.1, hoop_k0=False, **OPENING)
    for load, wanted in ((0, 12.0), (60, 12.1)):
        assert asked(ground(read_text, book, clay, 30, surcharge=load), 20, factors)[0] == pytest.approx(wanted, abs=0.01)


def test_what_opens_the_ground(read_text, book):
    """Water at the ground, weight 16 kN/m3, at rest 0.6, 10 m deep: (0.6 x 61.9 + 98.1) / 10 = 13.524 kN/m3 (hand; phi with
    1 - sin phi = 0.6 is 23.578 deg). A share of 0.3 of the effective stress adds 1.857. Clay of 40 kPa, at rest 0.5, adds its strength:
    (0.5 x 61.9 + 98.1 + 40) / 10 = 16.905.
    """
    context = ground(read_text, book, SAND.format(phi=23.578, weight=16), 0)
    for extra, wanted in ((0.0, 13.524), (0.3, 15.381)):
        factors = BoundFactors(1.1, 1.05, 1.0, 1.1, hoop_k0=False, **{**OPENING, "extra": extra})
        assert asked(context, 10, factors)[1] == pytest.approx(wanted, abs=0.002)
    clay = '{top: 0, base: 40, description: "clay", symbol: CL, su: 40, unit_weight: 16}'
    assert asked(ground(read_text, book, clay, 0), 10, least_factors(book.limits))[1] == pytest.approx(16.905, abs=0.002)


def test_what_holds_a_base_down(read_text, book):
    """Published (NPTEL, blow-in of a clay plug): 10.5 - 7.5 = 3 m of clay of 2 t/m3 hold 6 m of head without fluid and factor.

    With a factor of 1.25 a base at 7.5 m then asks for (1.25 x 6 x 9.81 - 3 x 19.62) = 14.715 kPa, 1.962 kN/m3 with fluid at the ground.
    """
    layers = (
        '{top: 0, base: 10.5, description: "clay", symbol: CL, su: 200, unit_weight: 19.62}, {top: 10.5, base: 40, description: '
        '"dense sand", symbol: SP, phi: 36, unit_weight: 20}'
    )
    context = ground(read_text, book, layers, 4.5, tip=7.5)
    for factor, wanted in ((1.0, 0.0), (1.25, 1.962)):
        factors = BoundFactors(1.1, 1.05, 1.0, factor, hoop_k0=False, **OPENING)
        assert asked(context, 7.5, factors)[0] == pytest.approx(wanted, abs=0.01)


ARTESIAN = """methodpick: 1
site: {{units: si, allowed: [slurry], fluids_allowed: [polymer], drilling_grade: {{above_ground: 0}}}}
borings:
  - id: B-1
    depth: 60
    water: [{{reading: piezometer, depth: {level}, response_zone: [{top}, 20]}}]
    layers:
      - {{top: 0, base: {top}, description: "stiff grey clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]}}
      - {{top: {top}, base: 60, description: "dense sand", symbol: SP, phi: 38, unit_weight: 20, absent: [cobbles, boulders]}}
shafts: [{{id: P1, diameter: 1200, tip: {tip}}}]
"""


def window_of(read_text, book, level, top, tip):
    """Return the window of polymer from the starter to the tip; the search would not plan on one that is empty."""
    context = context_of(read_text(ARTESIAN.format(level=level, top=top, tip=tip)), book)
    return HeldLength(context.ground, "polymer", (3.0, float(tip)), context.levels).slurry


def test_an_empty_window_and_every_way_out_of_it(read_text, book):
    """Worked by hand. Water 2.3 m above the ground under a lid of 6 m, polymer at 2.7 m (stick-up 3.0 less 0.3), at most 1025 kg/m3:

    least: at the base of the lid, which weighs nothing there, 1100 x 8.3 / 8.7 = 1049.4; mineral slurry (1030 to 1150) meets it.
    level: 6 - 1.1 x 8.3 / 1.025 = -2.907, in steps of 5 cm 2.95 m above the ground: 0.25 m up, stick-up 3.25; there 1100 x 8.3 / 8.95 =
    1020.1.
    casing: the base lifts inside it too.
    groundwater: 1.1 (8.3 - x) = 1.025 x 8.7, x = 0.193, so to 2.107 m above the ground.
    depth: 1.1 x 8.3 x 9.81 - 19.5 (6 - d) = 10.055 (d + 2.7), d = 5.78.
    head rule: 5 ft (1.524 m) over 2.3 m, 3.824 m, more than the usual density of 1010 asks for at 3.040: a stick-up of 4.124.
    recommended: 1250 x 8.3 / 8.7 = 1192.5.
    """
    slurry = window_of(read_text, book, -2.3, 6, 50)
    assert (slurry.fluid, slurry.level_m) == ("polymer", -2.7)
    assert slurry.density_min_kg_m3 == pytest.approx(1049.4, abs=0.05)
    assert slurry.density_max_kg_m3 == 1025
    assert slurry.density_target_kg_m3 is None
    assert slurry.density_wanted_kg_m3 == pytest.approx(1192.5, abs=0.05)
    assert slurry.level_that_opens_m == pytest.approx(-2.907, abs=0.001)
    level, other, case, drained, shorter = slurry.remedies
    assert [remedy.action for remedy in slurry.remedies] == ["raise_level", "other_fluid", "case", "lower_groundwater", "shorten"]
    assert [remedy.opens for remedy in slurry.remedies] == [True, True, False, True, True]
    assert (level.level_m, level.change_m, level.stick_up_m) == pytest.approx((-2.95, 0.25, 3.25))
    assert level.density_min_kg_m3 == pytest.approx(1020.1, abs=0.05)
    assert "⟦0.25|m⟧ more than the highest practical stick-up" in level.text
    assert (other.fluid, other.density_max_kg_m3) == ("mineral", 1150)
    assert other.density_min_kg_m3 == pytest.approx(1049.4, abs=0.05)
    assert "does not allow it" in other.text
    assert "the base lifts inside it too" in case.text
    assert (drained.change_m, drained.level_m) == pytest.approx((0.193, -2.107), abs=0.001)
    assert shorter.base_m == pytest.approx(5.78, abs=0.02)
    polymer = next(needed for needed in slurry.needed if needed.fluid == "polymer")
    assert (polymer.level_m, polymer.stick_up_m) == pytest.approx((-3.824, 4.124), abs=0.001)
    assert not polymer.reachable
    assert not next(needed for needed in slurry.needed if needed.fluid == "mineral").allowed, "the site file names polymer only"


def test_an_empty_window_is_not_planned(read_text, book):
    """A fluid of which no density meets the ground is no way of building: the plan takes another or none."""
    shaft = plan(read_text(ARTESIAN.format(level=-2.3, top=6, tip=50)), book).shafts[0]
    assert shaft.method == "undecided"
    assert not any(check.result == "fails" for check in shaft.checks)


def test_levels_run_from_the_stick_up_to_the_groundwater(planned):
    """Artesian example: grade 2.0 m and stick-up 3.0 m above it less 0.3 m of freeboard is 4.7 m; the water stands at 0.9 m."""
    slurry = planned("artesian-sand").shafts[0].slurry
    levels = [one.level_m for one in slurry.levels]
    assert (levels[0], levels[-1]) == (-4.7, -0.9)
    assert 7 <= len(levels) <= 9
    assert [one.level_m for one in slurry.levels if one.planned] == [slurry.level_m]
    by_rule = {one.level_m: one.head_kept for one in slurry.levels}
    assert all(kept is (level <= -0.9 - 1.524) for level, kept in by_rule.items()), "5 ft of head"


def test_a_clay_lid_that_thins_to_nothing_is_looked_at(planned):
    """Hand: just over the sand at 14 m the lid weighs nothing, so 1.1 x 14.9 m of water under 16.75 m of slurry, 978.5 kg/m3."""
    row = next(one for one in planned("artesian-sand").shafts[0].slurry.by_depth if one.depth_m == 14.0)
    assert row.density_min_kg_m3 == pytest.approx(978.5, abs=0.1)
    assert row.min_by == "uplift by the aquifer below"


def test_casing_does_not_keep_a_base_down(read_text, book):
    """Water 2.5 m over the ground under a lid of 18 m, polymer at 2.7 m: 1.1 x 20.5 / 20.7 of water asks for 1089 kg/m3, polymer has
    1025 (hand)."""
    slurry = window_of(read_text, book, -2.5, 18, 25)
    assert slurry.density_min_kg_m3 == pytest.approx(1089.4, abs=0.2)
    case = next(remedy for remedy in slurry.remedies if remedy.action == "case")
    assert not case.opens
    assert "⟦18|m⟧ the base lifts inside it too" in case.text


def test_the_wall_over_the_fluid_is_not_the_fluid_s(read_text, book):
    """Fluid a foot under the grade, sand from the top: what no fluid reaches must not make the window empty (common practice).

    Hand: nothing but the wall asks, so the least is that of the fluid, 64.3 pcf or 1030 kg/m3.
    """
    context = ground(read_text, book, SAND.format(phi=36, weight=20), 8)
    slurry = HeldLength(context.ground, "mineral", (0.0, 7.0), context.levels).slurry
    assert slurry.level_m == pytest.approx(0.3, abs=0.05)
    assert slurry.top_m == 0.0
    assert slurry.density_min_kg_m3 == 1030
    assert slurry.density_target_kg_m3 == 1080
    assert slurry.remedies == ()


@pytest.mark.parametrize(
    "name", ["artesian-sand", "artesian-deep", "saturated-sand", "caving-lens", "cobbles-thin", "karst", "twenty-layers"]
)
def test_the_rows_by_depth_hold_the_depths_that_govern(planned, name):
    """By definition: the greatest of the least densities and the least of the greatest stand among the rows, at the planned level."""
    for shaft in planned(name).shafts:
        at = next(one for one in shaft.slurry.levels if one.planned)
        rows = shaft.slurry.by_depth
        assert max(row.density_min_kg_m3 or 0.0 for row in rows) == pytest.approx(at.density_min_kg_m3 or 0.0)
        most = [row.density_max_kg_m3 for row in rows if row.density_max_kg_m3 is not None]
        assert min(most, default=None) == at.density_max_kg_m3
        assert [row.depth_m for row in rows] == sorted({row.depth_m for row in rows})


@pytest.mark.parametrize(("base", "spread"), [(4.0, (15.0, 25.0)), (3.99, None)])
def test_the_theories_are_told_apart_from_a_depth_below_the_fluid_on(base, spread):
    """From 3 m under a level of 1 m; 4 m ask for 3 m of 15 kN/m3 by one theory and of 25 by the other: 45 and 75 kPa."""
    support = {False: (40.0, 45.0, 50.0), True: (70.0, 75.0, 80.0)}
    curves = SimpleNamespace(support=lambda *_, hoop_k0: support[hoop_k0])
    limits = {"wall_factor_least": 1.1, "wall_factor_recommended": 1.3, "wall_theories_from_m": 3.0}
    length = SimpleNamespace(
        ground=SimpleNamespace(curves=curves),
        limits={name: SimpleNamespace(value=value) for name, value in limits.items()},
        base_m=base,
        slices=lambda: [SimpleNamespace(base_m=9.0, slice=SimpleNamespace(ground=None))],
    )
    found = _wall_spread(length, 1.0)
    told = None if found is None else (found.hard_kg_m3 * G / 1000, found.wanted_kg_m3 * G / 1000)
    assert told == (None if spread is None else pytest.approx(spread, rel=1e-6))


@pytest.mark.parametrize(("highest", "breaks"), [(0.5 + 5e-7, False), (0.51, True)])
def test_a_level_that_is_lowered_to_the_head_rule_does_not_break_it(highest, breaks):
    length = SimpleNamespace(
        levels=SimpleNamespace(fluid_m={"polymer": 0.0}), top_m=2.0, highest_m=-1.0, stick_up_for=lambda _: 0.5, head_level=lambda _: 0.5
    )
    bounds = SimpleNamespace(highs=(), open_levels=lambda *_: (highest, 1.0), least=lambda _: (1010.0, ""), most=lambda _: (1050.0, ""))
    moved = _move_level(length, bounds, SimpleNamespace(fluid="polymer", low_kg_m3=1000.0, high_kg_m3=1100.0))
    assert (moved.action, "It breaks the head rule" in moved.text) == ("lower_level", breaks)


# ---- The density window in fresh and in salt water


@pytest.mark.parametrize(("chloride", "least_pcf", "most_pcf"), [(50, 64.3, 71.8), (10000, 64.3, 71.8), (19000, 66.3, 74.0)])
def test_salt_water_has_its_own_rows(site, book, chloride, least_pcf, most_pcf):
    wet = site("saturated-sand")
    conditions = wet.site.model_copy(update={"fluids_allowed": ("mineral",), "water_chemistry": Chemistry(chloride_mg_l=chloride)})
    for shaft in plan(wet.model_copy(update={"site": conditions}), book).shafts:
        assert shaft.slurry.fluid == "mineral"
        assert shaft.slurry.density_min_kg_m3 >= least_pcf * PCF_KG_M3 - 0.5
        assert shaft.slurry.density_max_kg_m3 == pytest.approx(most_pcf * PCF_KG_M3, abs=0.5)
        rules = {one.rule for one in shaft.cautions}
        assert ("mineral-in-salt-water" in rules) is (chloride > 10000)


def test_salt_that_is_only_possible_changes_nothing(site, book):
    wet = site("saturated-sand")
    conditions = wet.site.model_copy(update={"fluids_allowed": ("mineral",), "water_chemistry": None})
    shaft = plan(wet.model_copy(update={"site": conditions}), book).shafts[0]
    assert shaft.slurry.density_max_kg_m3 == pytest.approx(71.8 * PCF_KG_M3, abs=0.5)


def test_the_levels_at_which_a_low_and_a_high_bound_leave_a_density():
    """100 kPa at 10 m and at most 90 kPa at 8 m: 100 (8 - L) <= 90 (10 - L) where L is -10 m or deeper; 110 kPa leave one to 30 m."""
    low, highest = PressureBound(10.0, 100.0, "wall"), []
    for most_kpa in (90.0, 110.0):
        bounds = PressureBounds((low,), (PressureBound(8.0, most_kpa, "opening"),))
        found = bounds.open_levels(1.0, 10000.0, 5.0)
        assert found[1] == 5.0
        highest.append(found[0])
    assert highest[0] == pytest.approx(-10.0)
    assert highest[1] < -1000.0


@pytest.mark.parametrize(("level", "asked_kpa"), [(point(4.0), [1.25 * 9.81 * 6.0 - 40.0]), (point(10.5), []), (Span(2.0, 6.0), [])])
def test_water_of_a_known_level_over_its_aquifer_lifts_a_base(level, asked_kpa):
    """A lid of 40 kPa down to 10 m: 1.25 x 9.81 x 6 = 73.6 kPa less 40. Water that stays below its lid lifts nothing."""
    curves = SimpleNamespace(lids=lambda depth_m: [((38.0, 40.0, 42.0), 10.0, level)] if depth_m == 8.0 else [])
    found = _uplift(curves, SimpleNamespace(base_m=12.0), 8.0, BoundFactors(1.1, 1.05, 1.0, 1.25, hoop_k0=False, **OPENING))
    assert [(bound.kind, bound.pressure_kpa) for bound in found] == [("uplift", pytest.approx(kpa)) for kpa in asked_kpa]
