"""Curves are outer bounds: whatever the arguments inside their ranges, the value lies between low and high."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.curves import ClayBehaviour, Curves, Ground, HoleFluid, LidSide, Loading, inset
from methodpick.facts.cuts import crossings
from methodpick.facts.of_slice import hull
from methodpick.facts.strata import average, graded
from methodpick.mechanics.earth_pressure import cohesion_needed, cylinder_pressure
from methodpick.plan.pipeline import plan
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
    clay=ClayBehaviour(
        Span(50, 400, 100), at_rest_low=0.5, at_rest_likely=1.0, concrete_kn_m3=24.0, concrete_top_m=0.0, tip_m=20.0, whole_weight_share=0.5
    ),
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
    low, likely, high = CURVES.uplift(CURVES.pressed_lids(10), 0.0)
    assert abs(likely - 38 / (9.81 * 7)) < 1e-6
    assert low < likely < high
    assert CURVES.uplift(CURVES.pressed_lids(10), HoleFluid(1000, 0).pressure(10))[1] > likely
    assert CURVES.uplift(CURVES.pressed_lids(14), 0.0)[0] == 1000.0, "nothing tight lies below"


def test_total_stress_by_hand():
    assert CURVES.total(6)[1] == 111
    assert CURVES.total(10)[1] == 111 + 76
    assert CURVES.total(20)[1] == 111 + 114 + 160
    assert CURVES.total(22)[1] == 111 + 114 + 200, "below the log the last layer goes on"
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


def test_the_side_of_a_lid_by_hand():
    """3 m of whole clay of 19 kN/m3 and 60 kPa over 7 m of water, 68.67 kPa: 57 by weight, 4 x 30 x 3 / 1.2 by half the strength.

    (57 + 300) / 68.67 = 5.20; as 1.5 is asked of it and 1.1 of weight alone, it counts as 3.81. A lid of 1.5 m is too thin.
    """
    whole = replace(CLAY, whole=True)
    side = LidSide(share=0.5, least_m=2.0, credit=1.1 / 1.5)

    def likely(depth, clay, **more):
        curves = Curves((SAND, clay, BELOW), (MAIN, DEEP), replace(LOADING, **more))
        return curves.uplift(curves.pressed_lids(depth), 0.0)[1]

    assert likely(9, whole) == pytest.approx(57 / 68.67, rel=1e-3)
    assert likely(9, whole, lid_side=side) == pytest.approx(5.199 * 1.1 / 1.5, rel=1e-3)
    assert likely(9, CLAY, lid_side=side) == pytest.approx(57 / 68.67, rel=1e-3), "nobody knows the clay as whole"
    assert likely(10.5, whole, lid_side=side) == pytest.approx(28.5 / 68.67, rel=1e-3)


def test_the_agreed_side_of_a_lid_lets_a_dry_hole_go_deeper(site, book):
    """tests/sites/lid-counted.yaml; without the agreement the base would lift below some 4.3 m."""
    counted = site("lid-counted")
    alone = counted.model_copy(update={"site": counted.site.model_copy(update={"lid_adhesion_agreed": False})})
    dry = [[interval.verdicts["dry"].state for interval in plan(each, book).shafts[0].intervals] for each in (counted, alone)]
    assert set(dry[0]) <= {"allowed", "discouraged"}
    assert "ruled_out" in dry[1]


def follow(depth_m, fact, limit, clay):
    """Return where a fact of clay crosses a limit between the ground and a depth, nothing standing on the ground."""
    curves = Curves((clay,), (clay.aquifer,), replace(LOADING, surcharge=point(0)))
    return [crossing.depth_m for crossing in crossings(curves, clay, (0.0, depth_m), {fact: [limit]}, {"dry": None})]


def test_a_slice_is_cut_where_the_closure_of_a_dry_hole_crosses_its_flag():
    """exp(20 z / 30 - 1) / (2 x rigidity) is 10 %, with a rigidity of 50, 100 and 400: by hand."""
    clay = ground(0, 10, point(20), su=point(30), tight=True)
    assert follow(10, "closure_percent", 10.0, clay) == pytest.approx([4.954, 5.994, 8.073], abs=2e-3)


def test_a_slice_is_cut_where_the_bulging_of_soft_clay_crosses_its_limit():
    """Water at the ground: (24 - 0.5 x 8.19 - 9.81) z / 10 is 4 at 3.962 m, and with K0 = 1 (24 - 18) z / 10 at 6.667 m."""
    clay = ground(0, 10, point(18), su=point(10), tight=True, aquifer=replace(MAIN, level_m=point(0)))
    found = follow(10, "bulging_ratio", 4.0, clay)
    assert found[0] == pytest.approx(3.962, abs=2e-3)
    assert found[1:] == pytest.approx([6.667] * len(found[1:]), abs=2e-3)


@given(st.floats(7, 11), share, share, share)
def test_bulging_is_bounded(depth, weight, level, strength):
    low, likely, high = CURVES.bulging(CLAY, depth)
    total = within(SAND.weight, weight) * 6 + within(CLAY.weight, weight) * (depth - 6)
    pore = 9.81 * max(0.0, depth - within(MAIN.level_m, level))
    for at_rest in (0.5, 1.0):
        value = (24.0 * depth - (at_rest * max(0.0, total - pore) + pore)) / within(CLAY.su, strength)
        assert low - 1e-6 <= value <= high + 1e-6
    assert low <= likely <= high
