"""The casing over the fluid in it, and the starter's shoe, by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.fluid_head import CasingTopFacts, StarterShoeFacts, check_casing_top, check_starter_shoe
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import Span, point

HOLE = CasingTopFacts(place=ProvedPlace(3, 0.0, 15.0), fluid_level_m=point(0.0), casing_top_m=-1.0, over_water=False)


@pytest.mark.parametrize(
    ("level", "over_water", "word"),
    [
        (point(-0.7), False, "holds"),  # 0.3 m of freeboard on land
        (point(-0.71), False, "fails"),
        (point(-0.5), True, "holds"),  # 0.5 m over open water
        (point(-0.6), True, "fails"),
        (Span(-0.6, -0.4, -0.5), True, "open_range"),
    ],
)
def test_the_casing_stands_over_its_fluid(limits, level, over_water, word):
    (check,) = check_casing_top(replace(HOLE, fluid_level_m=level, over_water=over_water), limits)
    assert check.result == word


SHOE = StarterShoeFacts(
    place=ProvedPlace(3, 0.0, 2.0),
    shoe_m=2.0,
    density_kg_m3=point(1050.0),
    fluid_level_m=point(-1.0),
    total_kpa=point(38.0),
    water_level_m=point(0.5),
    at_rest=None,
    su_kpa=None,
)
"""Pore 14.715, effective 23.285 kPa; (0.5 + 0.3) x 23.285 + 14.715 = 33.343 kPa against 1050 x 9.81 / 1000 x 3 = 30.90 kPa."""


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({}, "holds"),
        ({"fluid_level_m": point(-1.2)}, "holds"),  # 32.96 kPa
        ({"fluid_level_m": point(-1.3)}, "fails"),  # 33.99 kPa
        ({"fluid_level_m": point(-3.0)}, "fails"),  # 51.50 kPa: fluid held high against an artesian head
        ({"fluid_level_m": point(-3.0), "su_kpa": point(40.0)}, "holds"),  # 0.5 x 23.285 + 14.715 + 40 = 66.36 kPa
        ({"fluid_level_m": Span(-1.3, -1.0, -1.1)}, "open_range"),
        ({"water_level_m": Span(0.5, 2.0, 0.5)}, "open_range"),  # dry to the shoe: 0.8 x 38 = 30.4 kPa
        ({"water_level_m": None}, "fails"),
        ({"at_rest": point(0.4)}, "holds"),  # 0.7 x 23.285 + 14.715 = 31.01 kPa
        ({"at_rest": point(0.39)}, "fails"),  # 30.78 kPa
    ],
)
def test_the_fluid_does_not_open_the_ground_at_the_starter(limits, change, word):
    (check,) = check_starter_shoe(replace(SHOE, **change), limits)
    assert check.result == word


@given(st.floats(-2.0, 0.0), st.floats(0.0, 1.0))
def test_a_higher_fluid_betters_nothing(limits, rank, level, rise):
    before = rank(check_casing_top(replace(HOLE, fluid_level_m=point(level)), limits))
    assert rank(check_casing_top(replace(HOLE, fluid_level_m=point(level - rise)), limits)) >= before
