"""Laws of the slurry window: it never widens as a factor of safety grows; the least density never rises as the level rises; a
lighter fluid never needs a lower level; the open levels are exactly those at which a search finds the window open; what a remedy
promises holds when the window is worked out anew with it."""

from functools import cache
from math import inf

import pytest
from effort import examples
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shipped import shipped_rulebook

from methodpick.imports.site_file import read_site
from methodpick.plan.demands.bounds import PressureBound, PressureBounds, find_bounds, least_factors, recommended_factors
from methodpick.plan.fluid.window import HeldLength
from methodpick.plan.plan_context import PlanBasis, PlanContext

BOOK = shipped_rulebook()
SLOW = settings(max_examples=examples(40))
GROUND = {
    "clay": 'description: "stiff clay", symbol: CL, su: {su}, unit_weight: 19.5',
    "soft": 'description: "soft clay", symbol: CH, su: 15, unit_weight: 17',
    "sand": 'description: "dense sand", symbol: SP, phi: {phi}, unit_weight: 20, d10: 0.2',
    "silt": 'description: "silty sand", symbol: SM, phi: {phi}, unit_weight: 19',
}


@cache
def made(kinds, thickness, water_m, su, phi, diameter_mm):
    layers, top = "", 0
    for kind in kinds:
        layers += f"      - {{top: {top}, base: {top + thickness}, {GROUND[kind].format(su=su, phi=phi)}}}\n"
        top += thickness
    site = read_site(f"""methodpick: 1
site: {{units: si, surcharge: 10}}
borings:
  - id: B
    depth: {top}
    water: [{{reading: piezometer, depth: {water_m}}}]
    layers:
{layers}shafts: [{{id: S, boring: B, diameter: {diameter_mm}, tip: {top - 1}}}]
""")[0]
    return PlanContext(PlanBasis(site, BOOK, BOOK.assumptions), site.borings[0], site.shafts[0])


places = st.builds(
    made,
    st.lists(st.sampled_from(sorted(GROUND)), min_size=1, max_size=4).map(tuple),
    st.sampled_from((4, 9, 15)),
    st.sampled_from((-2.0, 0.5, 3.0, 8.0)),
    st.sampled_from((40, 90, 200)),
    st.sampled_from((30, 36)),
    st.sampled_from((600, 1200, 2400)),
)
more = st.floats(1.0, 2.0)


def bounds(context, factors):
    return find_bounds(context.ground, 2.0, context.shaft.tip_m, factors)


@given(places, more, more, more, more, more, st.floats(-3.0, 1.9), st.booleans())
@SLOW
def test_the_window_never_widens_as_a_factor_grows(context, wall, water, clay, uplift, opening, level, wanted):
    base = (recommended_factors if wanted else least_factors)(BOOK.limits)
    safer = base._replace(
        wall=base.wall * wall, water=base.water * water, clay=base.clay * clay, uplift=base.uplift * uplift, opening=base.opening * opening
    )
    first, second = bounds(context, base), bounds(context, safer)
    assert second.least(level)[0] >= first.least(level)[0] - 1e-9
    assert second.most(level)[0] <= first.most(level)[0] + 1e-9


@given(places, st.floats(-3.0, 1.9))
@SLOW
def test_the_recommended_factors_never_ask_for_less(context, level):
    assert (
        bounds(context, recommended_factors(BOOK.limits)).least(level)[0]
        >= bounds(context, least_factors(BOOK.limits)).least(level)[0] - 1e-9
    )


@given(places, st.floats(-3.0, 1.9), st.floats(0.0, 3.0))
@SLOW
def test_a_higher_level_asks_for_no_denser_fluid_and_takes_no_denser_one(context, level, rise):
    found = bounds(context, least_factors(BOOK.limits))
    assert found.least(level - rise)[0] <= found.least(level)[0] + 1e-9
    assert found.most(level - rise)[0] <= found.most(level)[0] + 1e-9


@given(places)
@SLOW
def test_a_lighter_fluid_never_needs_a_lower_level(context):
    """And over the levels of one plan the least density never rises towards the top."""
    for fluid in ("polymer", "mineral"):
        slurry = HeldLength(context.ground, fluid, (2.0, context.shaft.tip_m), context.levels).slurry
        asked = [one.density_min_kg_m3 if one.density_min_kg_m3 is not None or not one.min_by else inf for one in slurry.levels]
        asked = [one or 0.0 for one in asked]
        assert asked == sorted(asked), "levels are listed from the top down"
        assert sum(one.planned for one in slurry.levels) == 1
        by = {one.fluid: one for one in slurry.needed}
        assert by["water"].density_kg_m3 < by["polymer"].density_kg_m3 < by["mineral"].density_kg_m3
        levels = [by[name].level_m for name in ("water", "polymer", "mineral")]
        if None not in levels:
            assert levels == sorted(levels), "depths: the lightest stands highest"


sides = st.lists(st.tuples(st.floats(2.0, 40.0), st.floats(1.0, 500.0)), max_size=5)


@given(sides, sides, st.floats(-10.0, 1.99))
@settings(max_examples=examples(300))
def test_the_open_levels_are_those_where_the_window_is_open(lows, highs, level):
    made_up = PressureBounds(
        tuple(PressureBound(depth, pressure, "wall") for depth, pressure in lows),
        tuple(PressureBound(depth, pressure, "opening") for depth, pressure in highs),
    )
    low, high = max(1000.0, made_up.least(level)[0]), min(1150.0, made_up.most(level)[0])
    assume(abs(high - low) > 0.01)
    span = made_up.open_levels(1000.0, 1150.0, 2.0)
    inside = span is not None and span[0] - 1e-9 <= level <= span[1] + 1e-9
    assert inside == (low < high)


def window(bounds_, low, high, level):
    return max(low, bounds_.least(level)[0]), min(high, bounds_.most(level)[0])


@pytest.mark.parametrize("head", [1.3, 1.7, 2.2])
@pytest.mark.parametrize(("thickness", "fluid"), [(18, "polymer"), (30, "polymer"), (30, "mineral")])
def test_what_a_remedy_promises_holds(head, thickness, fluid):
    """Artesian sand under a lid of clay, over clay: each remedy is tried on the bounds, worked out anew where the ground changes."""
    context = made(("clay", "sand", "clay"), thickness, -head, 90, 36, 1200)
    base = context.shaft.tip_m
    slurry = HeldLength(context.ground, fluid, (2.7, base), context.levels).slurry
    cap = {"polymer": (1000.0, 1025.0), "mineral": (1030.0, 1150.0)}[fluid]
    level, factors = context.levels.fluid_m[fluid], least_factors(BOOK.limits)
    whole = find_bounds(context.ground, 2.7, base, factors)
    now = window(whole, *cap, level)
    assert (now[0] > now[1]) is bool(slurry.remedies)
    for one in slurry.remedies:
        if not one.opens:
            continue
        if one.action in {"raise_level", "lower_level"}:
            found = window(whole, *cap, one.level_m)
        elif one.action == "case" and one.base_m < base:
            found = window(find_bounds(context.ground, one.base_m, base, factors), *cap, level)
            assert all(bound.density(level) <= cap[1] for bound in whole.lows if bound.kind == "uplift"), "a base lifts inside casing too"
        elif one.action == "shorten":
            found = window(find_bounds(context.ground, 2.7, one.base_m, factors), *cap, level)
        elif one.action == "lower_groundwater":
            lower = made(("clay", "sand", "clay"), thickness, round(one.change_m + 0.005 - head, 2), 90, 36, 1200)
            found = window(find_bounds(lower.ground, 2.7, base, factors), *cap, level)
        else:
            continue
        assert found[0] <= found[1] + 0.5, one
