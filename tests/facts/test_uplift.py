"""Uplift of the base. Statics of a lid, with published worked values where they fit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.curves import NO_SIDE, NO_UPLIFT, ClayBehaviour, Curves, Ground, LidSide, Loading
from methodpick.vocabulary.values import Span, point

TERMS = {
    "surcharge": point(0),
    "surcharge_area_m": (4.0, 5.0),
    "water_above_m": 0.0,
    "wall_factor_least": 1.1,
    "wall_factor_recommended": 1.3,
    "overload_cap": 6.0,
    "clay": ClayBehaviour(
        Span(50, 400, 100), at_rest_low=0.5, at_rest_likely=0.7, concrete_kn_m3=23.5, concrete_top_m=0.0, tip_m=20.0, whole_weight_share=1.0
    ),
}


def curves(top_m, weight, level, *, diameter_m=1.2, su=None, side=None):
    """Give the curves of clay down to water under pressure, whose level is at a depth."""
    main = Aquifer(0, 0, point(50), "main", "settled", read=True)
    deep = Aquifer(top_m, top_m + 5, level, "confined", "struck", read=True)
    clay = Ground(0, top_m, weight, su, None, None, main, tight=True, whole=True)
    sand = Ground(top_m, top_m + 5, point(20), None, point(32), point(0), deep, tight=False)
    return Curves((clay, sand), (main, deep), Loading(diameter_m=diameter_m, lid_side=side, **TERMS))


def factor(depth_m, *ground, inside_kpa=0.0, **more):
    """Give the safety of a hole base at a depth: low, likely, high."""
    made = curves(*ground, **more)
    return made.uplift(made.pressed_lids(depth_m), inside_kpa)


def test_the_course_example_is_just_lifted():
    """Soil mechanics course (NPTEL), example 2: 3 m of clay of 2.0 t/m3 are just lifted by 6 m of head."""
    assert factor(7.5, 10.5, point(19.62), point(4.5)) == pytest.approx((1.0, 1.0, 1.0))


def test_a_published_factor_is_found():
    """Textbook problem (Das type): 4.25 m of clay of 1925 kg/m3 under 6 m of head have 1.364."""
    assert factor(5.75, 10.0, point(1.925 * 9.81), point(4.0))[1] == pytest.approx(1.364, abs=1e-3)


def test_the_fluid_height_of_the_handbook_gives_the_recommended_safety():
    """Statics: 12 m of head over 2 m of ground of 19 kN/m3 ask for 10.395 m of fluid of 10.5 kN/m3 for 1.25."""
    assert factor(12.0, 14.0, point(19.0), point(2.0), inside_kpa=10.3953 * 10.5)[1] == pytest.approx(1.25, abs=1e-4)


@pytest.mark.parametrize(
    ("weight", "level", "wanted"),
    [
        (Span(20, 23, 22), point(4.5), (60 / 58.86, 66 / 58.86, 69 / 58.86)),  # 1.019 to 1.172
        (point(22), Span(4.3, 5.0, 4.5), (66 / 60.822, 66 / 58.86, 66 / 53.955)),  # the highest water counts at the low end
        (point(22), Span(3.0, 6.0), (66 / 73.575, None, 66 / 44.145)),  # no level is likelier
        (point(22), point(10.5), (NO_UPLIFT,) * 3),  # the water below does not reach the lid
        (point(22), point(11.0), (NO_UPLIFT,) * 3),
    ],
)
def test_both_ends_count(weight, level, wanted):
    """3 m of clay over water that was struck at 10.5 m."""
    assert factor(7.5, 10.5, weight, level) == pytest.approx(wanted, abs=1e-4)


SIDE = LidSide(share=0.5, least_m=2.25, credit=1.1 / 1.5)


@pytest.mark.parametrize(
    ("lid", "su", "side", "wanted"),
    [
        (3.0, point(50), None, 57 / 117.72),  # nothing is agreed: by weight alone
        (3.0, point(50), SIDE, 1.1 / 1.5 * 257 / 117.72),  # 4 x 0.5 x 50 x 3 / 1.5 = 200 kPa along the side
        (2.25, point(50), SIDE, 1.1 / 1.5 * (19 * 2.25 + 150) / 117.72),
        (2.24, point(50), SIDE, 19 * 2.24 / 117.72),  # less than 1.5 x 1.5 = 2.25 m
        (3.0, point(25), SIDE, 1.1 / 1.5 * 157 / 117.72),  # 1.334 is short of 1.5, and so is 0.978 of 1.1
        (3.0, point(0), SIDE, 57 / 117.72),  # with a side that holds nothing weight alone asks for less
    ],
)
def test_the_side_of_the_lid_counts_by_half_with_the_engineer(lid, su, side, wanted):
    """A lid of whole clay of 19 kN/m3 under 12 m of head, in a hole of 1.5 m; with its side 1.5 is asked of it where 1.1 is by weight."""
    made = factor(12.0 - lid, 12.0, point(19), point(0.0), diameter_m=1.5, su=su, side=side)
    assert made[1] == pytest.approx(wanted, rel=1e-4)


def test_the_weakest_part_of_a_side_counts():
    made = curves(12.0, point(19), point(0.0), diameter_m=1.5, su=Span(10, 60, 40), side=SIDE)
    assert made.side(9.0, 12.0) == pytest.approx((40.0, 160.0, 240.0))
    assert made.side(9.8, 12.0) == NO_SIDE


@given(st.floats(-3.0, 10.0), st.floats(0.0, 6.0), st.floats(12.0, 24.0), st.floats(0.0, 100.0))
def test_more_water_and_less_weight_better_no_base(level, rise, weight, inside):
    before = factor(7.5, 10.5, point(weight), point(level), inside_kpa=inside)[1]
    assert factor(7.5, 10.5, point(weight), point(level - rise), inside_kpa=inside)[1] <= before
    assert factor(7.5, 10.5, point(weight / 2.0), point(level), inside_kpa=inside)[1] <= before
    assert factor(7.5, 10.5, point(weight), point(level), inside_kpa=inside / 2.0)[1] <= before
