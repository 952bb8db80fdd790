"""Curves are outer bounds: whatever the arguments inside their ranges, the value lies between low and high."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.curves import Curves, Ground, HoleFluid, Loading, hull, inset
from methodpick.facts.strata import average, graded
from methodpick.mechanics.granular_wall import cohesion_needed, cylinder_pressure
from methodpick.vocabulary.values import Span, point

MAIN = Aquifer(0, 0, Span(2, 4, 3), "main", "settled", read=True)
DEEP = Aquifer(12, 15, Span(3, 6, 5), "confined", "struck", read=True)


def ground(top, base, weight, *, su=None, phi=None, tight=False, aquifer=MAIN):
    return Ground(top, base, weight, su, phi, Span(0, 4, 1) if phi else None, aquifer, tight)


SAND = ground(0, 6, Span(17, 20, 18.5), phi=Span(29, 36, 32))
CLAY = ground(6, 12, Span(18, 20, 19), su=Span(40, 90, 60), tight=True)
BELOW = ground(12, 20, Span(18, 21, 20), phi=Span(30, 38, 34), aquifer=DEEP)
LOADING = Loading(
    diameter_m=1.2,
    surcharge=Span(0, 20, 10),
    surcharge_area_m=(4.0, 5.0),
    water_above_m=0.0,
    wall_factor_least=1.1,
    wall_factor_recommended=1.3,
    overload_cap=6.0,
)
CURVES = Curves((SAND, CLAY, BELOW), (MAIN, DEEP), LOADING)
share = st.floats(0, 1)


def within(span, part):
    return span.low + part * (span.high - span.low)


@given(st.floats(0.2, 6), share, share)
def test_cohesion_needed_is_bounded(depth, weight, phi):
    low, likely, high = CURVES.cohesion_needed(SAND, depth)
    value = cohesion_needed(depth, 1.2, within(SAND.weight, weight), within(SAND.phi, phi))
    assert low - 1e-9 <= value <= high + 1e-9
    assert low <= likely <= high


@given(st.floats(0.2, 6), share, share, share)
def test_support_needed_is_bounded(depth, weight, phi, level):
    low, likely, high = CURVES.support(SAND, depth, 1.1, hoop_k0=False)
    pore = 9.81 * max(0.0, depth - within(MAIN.level_m, level))
    effective = within(SAND.weight, weight) * depth - pore
    value = pore + 1.1 * cylinder_pressure(depth, 1.2, max(effective, 0) / depth, within(SAND.phi, phi))
    assert low - 1e-6 <= value <= high + 1e-6
    assert low <= likely <= high


@given(st.floats(6, 12), share, share, share)
def test_overload_is_bounded_and_falls_with_inside_pressure(depth, weight, su, surcharge):
    load = 20 * surcharge * 20 / ((4 + depth) * (5 + depth))
    value = (within(SAND.weight, weight) * 6 + within(CLAY.weight, weight) * (depth - 6) + load) / within(CLAY.su, su)
    low, likely, high = CURVES.overload(CLAY, depth, None)
    assert low - 1e-9 <= value <= high + 1e-9
    assert low <= likely <= high
    assert CURVES.overload(CLAY, depth, HoleFluid(1080, 0))[1] < likely


def test_uplift_by_hand():
    """10 m deep, 2 m of clay (19) left over water that stands at 5 m: 38 / (9.81 x 7) = 0.553."""
    low, likely, high = CURVES.uplift(CURVES.pressed_lids(CURVES.lids(10)), 0.0)
    assert abs(likely - 38 / (9.81 * 7)) < 1e-6
    assert low < likely < high
    assert CURVES.uplift(CURVES.pressed_lids(CURVES.lids(10)), HoleFluid(1000, 0).pressure(10))[1] > likely
    assert CURVES.uplift(CURVES.pressed_lids(CURVES.lids(14)), 0.0)[0] == 1000.0, "nothing tight lies below"


def test_total_stress_by_hand():
    assert CURVES.total(6)[1] == 111
    assert CURVES.total(10)[1] == 111 + 76
    over_water = Curves((SAND, CLAY, BELOW), (MAIN, DEEP), replace(LOADING, surcharge=point(0), water_above_m=5.0))
    assert over_water.total(0)[1] == 5 * 9.81, "open water counts above the mudline"


def test_hull_and_inset():
    assert hull((1, None, 2), (2, 3, 4)) == Span(1, 4)
    assert hull(None, (1, 2, 3)) is None
    assert inset(0, 0.0003)[0] < inset(0, 0.0003)[1]


def test_layer_averages_and_grades():
    assert average([], 0.3, 1.0) is None
    assert average([50.0], 0.3, 2.0).high == 100
    single, many = average([12.0], 0.3, 1.0), average([12.0] * 9, 0.3, 1.0)
    assert single.high - single.low > many.high - many.low
    assert graded(None, ("soft", "stiff")) is None
    assert graded(("stiff", "soft"), ("soft", "firm", "stiff")).values == {"soft", "firm", "stiff"}
