"""Vibration by TRL Report 429 (digest: 266 / x^1.3 is exceeded by 5 %, 21 m for 5 mm/s) and the railroads' 12 and 25 ft (read)."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.neighbours import RailwayFacts, VibrationFacts, check_railway, check_vibration
from methodpick.vocabulary.values import Span, point

WALL = VibrationFacts(ProvedPlace(2, 0.0, 12.0), way="vibrated", distance_m=point(21.3), most_mm_s=None)


def word(facts, limits):
    (check,) = check_vibration(facts, limits)
    return check.result


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, "holds"),  # (266 / 5)^(1 / 1.3) = 21.26 m
        ({"distance_m": point(21.2)}, "open_likely"),  # one in two stays below: (60 / 5)^(1 / 1.3) = 6.76 m
        ({"distance_m": point(6.8)}, "open_likely"),
        ({"distance_m": point(6.7)}, "fails"),
        ({"distance_m": Span(15, 40, 25)}, "open_range"),
        ({"distance_m": Span(15, 40, 18)}, "open_likely"),
        ({"distance_m": Span(15, 40)}, "unknown"),
        ({"distance_m": None}, "unknown"),
        ({"distance_m": point(10.6), "most_mm_s": 12.5}, "holds"),  # 10.5 m for 12.5 mm/s
        ({"distance_m": point(10.4), "most_mm_s": 12.5}, "open_likely"),
        ({"distance_m": point(0.0), "most_mm_s": 266.0}, "holds"),  # nearer than a metre the formula is read at a metre
    ],
)
def test_vibrated_casing(limits, change, expected):
    assert word(replace(WALL, **change), limits) == expected


@pytest.mark.parametrize(
    ("most", "distance", "expected"),
    [
        (15.1, point(10.0), "holds"),  # 1.5 x sqrt(40 000) / 10^1.3 = 300 / 19.95 = 15.04 mm/s
        (15.0, point(10.0), "fails"),
        (15.1, Span(5, 20, 10), "open_range"),
    ],
)
def test_driven_casing(limits, most, distance, expected):
    facts = VibrationFacts(ProvedPlace(2, 0.0, 12.0), "driven", distance, most, energy_j=point(40000.0), ground_factor=point(1.5))
    assert word(facts, limits) == expected
    assert word(replace(facts, energy_j=None), limits) == "unknown"


@pytest.mark.parametrize("way", ["twisted", "oscillated"])
def test_turned_casing_shakes_nothing(limits, way):
    assert check_vibration(replace(WALL, way=way, distance_m=point(1.0)), limits) == ()


@pytest.mark.parametrize(
    ("distance", "approved", "expected"),
    [
        (point(7.62), False, "holds"),
        (point(7.6), False, "little_margin"),  # within 25 ft a flagman
        (point(3.66), False, "little_margin"),
        (point(3.65), False, "fails"),  # within 12 ft no excavation
        (point(3.0), True, "little_margin"),
        (Span(3.0, 9.0, 8.0), False, "open_range"),
        (Span(3.0, 9.0, 3.5), False, "open_likely"),
        (None, False, "unknown"),
    ],
)
def test_the_track(limits, distance, approved, expected):
    (check,) = check_railway(RailwayFacts(ProvedPlace(None, 0.0, 12.0), distance, approved), limits)
    assert check.result == expected


@given(st.floats(0.0, 80.0), st.floats(0.0, 1.0), st.booleans())
def test_what_stands_nearer_betters_nothing(limits, rank, distance, share, driven):
    facts = replace(
        WALL, way="driven" if driven else "vibrated", distance_m=point(distance), energy_j=point(30000.0), ground_factor=point(1.0)
    )
    nearer = replace(facts, distance_m=point(distance * share))
    assert rank(check_vibration(nearer, limits)) >= rank(check_vibration(facts, limits))


def test_the_usual_limit_is_named_where_none_is_given(limits):
    (usual,) = check_vibration(WALL, limits)
    assert usual.limits == ("vibration_factor", "vibration_factor_median", "vibration_exponent", "vibration_most_mm_s")
    (given,) = check_vibration(replace(WALL, most_mm_s=3.0), limits)
    assert given.limits == ("vibration_factor", "vibration_factor_median", "vibration_exponent")
