"""The pull that breaks a casing out: pi D times the friction along it, set up, and the weight; by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import Contact, ProvedPlace
from methodpick.plan.checks.pull import PullFacts, check_pull
from methodpick.vocabulary.values import Span, point


def along(length, static, set_up=1.0):
    return Contact(length, point(static), None, point(set_up))


LONG = PullFacts(ProvedPlace(6, 0.0, 18.0), 2.1, 10000.0, (along(18.0, 20.0),), turns=False, plant_kn=point(3300.0))
"""2.1 m by 18 m at 20 kPa: 2375 kN, as in the handbook of planners; 98.1 kN of weight make 2473 kN, 3215 with the reserve of 1.3."""


def only(facts, limits):
    (check,) = check_pull(facts, limits)
    return check


@pytest.mark.parametrize(
    ("plant", "word"),
    [
        (point(3300.0), "holds"),
        (point(3200.0), "little_margin"),
        (point(2474.0), "little_margin"),
        (point(2472.0), "fails"),
        (point(300.0), "fails"),  # a drill rig
        (Span(2000, 4000, 3300), "open_range"),
        (Span(2000, 4000, 2400), "open_likely"),
        (Span(2000, 4000), "unknown"),
        (None, "unknown"),
    ],
)
def test_the_pull_of_the_plant(limits, plant, word):
    assert only(replace(LONG, plant_kn=plant), limits).result == word


def test_the_numbers(limits):
    assert only(LONG, limits).needed.likely == pytest.approx(2473.1, abs=0.1)
    stuck = replace(LONG, outside_diameter_m=2.5, mass_kg=0.001, contacts=(along(32.5, 20.0),))
    assert only(stuck, limits).needed.likely == pytest.approx(5105.1, abs=0.1)  # the casing that stuck took 5 MN


def test_plant_that_turns_meets_four_tenths_of_the_friction(limits):
    """0.4 x 2375 + 98.1 = 1048.1 kN, 1362.6 with the reserve."""
    turned = replace(LONG, turns=True)
    assert only(turned, limits).needed.likely == pytest.approx(1048.1, abs=0.1)
    assert only(replace(turned, plant_kn=point(1363.0)), limits).result == "holds"
    assert only(replace(turned, plant_kn=point(1362.0)), limits).result == "little_margin"
    assert only(replace(turned, plant_kn=point(1048.0)), limits).result == "fails"


def test_set_up_is_counted(limits):
    """1.5 after days: 3563 + 98 = 3661 kN."""
    assert only(replace(LONG, contacts=(along(18.0, 20.0, 1.5),)), limits).result == "fails"
    ranged = Contact(18.0, Span(15, 25, 20), None, Span(0.8, 1.3, 1.0))
    assert only(replace(LONG, contacts=(ranged,)), limits).result == "open_range"  # pi x 2.1 x 18 x 32.5 + 98 = 3958 kN


@given(st.floats(0.0, 60.0), st.floats(0.0, 60.0), st.floats(0.0, 20.0))
def test_more_friction_betters_no_pull(limits, rank, length, friction, more):
    facts = replace(LONG, contacts=(along(length, friction),))
    assert rank(check_pull(replace(facts, contacts=(along(length, friction + more),)), limits)) >= rank(check_pull(facts, limits))
