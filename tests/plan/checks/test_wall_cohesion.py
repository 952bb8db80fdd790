"""The cohesion that a dry granular wall needs: zero of the axisymmetric active pressure, hoop stress as the major one."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.wall_cohesion import WallCohesionFacts, check_wall_cohesion
from methodpick.vocabulary.values import Span, point

DEEP = WallCohesionFacts(
    place=ProvedPlace(2, 0.0, 30.0),
    depth_m=1e6,
    diameter_m=1.0,
    cohesion_kpa=point(3.0),
    phi_deg=point(30.0),
    unit_weight_kn_m3=point(18.0),
)
"""Deep limit g r0 tan(phi) sqrt(Ka) / (Kp - 2) = 18 x 0.5 x 0.57735 x 0.57735 / 1 = 3.0 kPa (Berezantzev 1958, set to no pressure)."""


def only(facts, limits):
    (check,) = check_wall_cohesion(facts, limits)
    return check


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"cohesion_kpa": point(3.01)}, "holds"),
        ({"cohesion_kpa": point(2.99)}, "fails"),
        ({"cohesion_kpa": Span(0, 8, 5)}, "open_range"),
        ({"cohesion_kpa": Span(0, 8, 2)}, "open_likely"),
        ({"cohesion_kpa": Span(0, 8)}, "unknown"),
        ({"cohesion_kpa": None}, "unknown"),
        ({"phi_deg": None}, "unknown"),
        ({"cohesion_kpa": point(0.0)}, "fails"),  # clean sand without water or cement never stands
        ({"cohesion_kpa": point(3.2), "unit_weight_kn_m3": Span(17, 20, 18)}, "open_range"),  # 20 / 18 x 3.0 = 3.33
        ({"cohesion_kpa": point(5.9), "diameter_m": 2.0}, "fails"),  # twice the radius, twice the cohesion: 6.0
        ({"cohesion_kpa": point(6.1), "diameter_m": 2.0}, "holds"),
    ],
)
def test_the_deep_limit(limits, change, word):
    assert only(replace(DEEP, **change), limits).result == word


def test_a_shallow_wall_by_hand(limits):
    """At 1 m x = 1 / (1 + 2 x 0.57735) = 0.46410: p = 9 x 0.57735 x (1 - x) = 2.7846 kPa; 2.7846 x 0.57735 / (1 - x^2 / 3) = 1.732."""
    check = only(replace(DEEP, depth_m=1.0), limits)
    assert check.needed.likely == pytest.approx(1.732, abs=1e-3)
    assert check.formula == "cohesion_needed"


@given(st.floats(0.0, 20.0), st.floats(0.0, 1.0), st.floats(25.0, 42.0), st.floats(0.0, 5.0))
def test_less_cohesion_and_less_friction_better_no_wall(limits, rank, cohesion, share, phi, less):
    facts = replace(DEEP, depth_m=8.0, cohesion_kpa=point(cohesion), phi_deg=point(phi))
    before = rank(check_wall_cohesion(facts, limits))
    assert rank(check_wall_cohesion(replace(facts, cohesion_kpa=point(cohesion * share)), limits)) >= before
    assert rank(check_wall_cohesion(replace(facts, phi_deg=point(phi - less)), limits)) >= before
