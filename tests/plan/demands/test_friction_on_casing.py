"""The friction of the ground on a casing, worked by hand."""

from math import nextafter
from types import SimpleNamespace

import pytest

from methodpick.plan.demands.ground_on_casing import TouchingLength, full_friction
from methodpick.vocabulary.values import Span, point

SIDE = {"friction_share": point(0.5), "friction_limit_kpa": point(100.0), "friction_own_kpa": point(1.0)}


def friction(stress, side=SIDE):
    judged = SimpleNamespace(slice=SimpleNamespace(ground=SimpleNamespace(su=None)))
    ground = SimpleNamespace(
        curves=SimpleNamespace(effective=lambda _stratum, _depth: stress),
        tables={"side_friction": SimpleNamespace(look_up=lambda _values: side)},
    )
    return full_friction(ground, TouchingLength(judged, 2.0, 4.0), {})


@pytest.mark.parametrize(("stress", "kpa"), [((20.0, 30.0, 60.0), 15.0), ((20.0, None, 60.0), 20.0)])
def test_a_share_of_the_likely_stress_or_of_the_middle_of_its_range(stress, kpa):
    """0.5 x 30 = 15 kPa; of 20 to 60 kPa without a likely value 0.5 x 40 = 20 kPa."""
    found = friction(stress)
    assert (found.low, found.likely, found.high) == (kpa, kpa, kpa)


def test_no_friction_where_no_table_tells_of_the_ground():
    assert friction((20.0, 30.0, 60.0), side={}) == point(0.0)


def test_strengths_a_rounding_apart_give_a_range_in_order():
    """The adhesion of 113.8 kPa rounds above that of the next number after it; that of both is 0.5 root(113.8 x 169.4) = 69.42 kPa."""
    strength = Span(80.0, nextafter(113.8, 200.0), 113.8)
    judged = SimpleNamespace(slice=SimpleNamespace(ground=SimpleNamespace(su=strength), stratum=SimpleNamespace(likely="clay")))
    ground = SimpleNamespace(curves=SimpleNamespace(effective=lambda _stratum, _depth: (169.4, 169.4, 169.4)))
    found = full_friction(ground, TouchingLength(judged, 2.0, 4.0), {})
    assert found.low <= found.likely <= found.high == pytest.approx(69.42, abs=0.01)
