"""Torque on a casing, T = pi D^2 / 2 times friction along it; reaches and the stuck case as computed in the handbook of planners."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import Contact, ProvedPlace
from methodpick.plan.checks.torque import TorqueFacts, check_torque, moving_friction, starting_friction
from methodpick.vocabulary.values import Span, point

NONE = point(0.0)


def along(length, moving, static=None, set_up=1.0):
    return Contact(length, point(static if static is not None else moving), point(moving), point(set_up))


RIG = TorqueFacts(ProvedPlace(2, 0.0, 12.7), 1.0, (along(12.73, 10.0),), shoe_kn_m=NONE, inside_kn_m=NONE, rated_kn_m=point(286.0))


def results(facts, limits):
    return {check.id.removeprefix("torque-"): check.result for check in check_torque(facts, limits)}


@pytest.mark.parametrize(
    ("diameter", "length", "friction", "torque"),
    [(1.0, 13.0, 10.0, 204.2), (1.5, 6.0, 10.0, 212.1), (1.5, 35.0, 20.0, 2474.0), (2.0, 48.0, 20.0, 6031.9), (2.5, 32.5, 20.0, 6381.4)],
)
def test_the_reaches_of_the_handbook(limits, diameter, length, friction, torque):
    """200 kNm at 13 m and 6 m, 2500 at 35 m, 6000 at 48 m; the casing that stuck at 30 to 35 m took 6 to 7 MNm."""
    facts = replace(RIG, outside_diameter_m=diameter, contacts=(along(length, friction),), rated_kn_m=point(10000.0))
    assert check_torque(facts, limits)[0].needed.likely == pytest.approx(torque, abs=0.1)


@pytest.mark.parametrize(
    ("rated", "word"),
    [
        (point(286.0), "holds"),  # 0.7 x 286 = 200.2 kNm against pi / 2 x 127.3 = 199.96
        (point(285.0), "fails"),  # 199.5
        (Span(240, 320, 290), "open_range"),
        (Span(240, 320, 280), "open_likely"),
        (Span(240, 320), "unknown"),
        (None, "unknown"),
    ],
)
def test_seven_tenths_of_the_rated_torque_can_be_used(limits, rated, word):
    assert results(replace(RIG, rated_kn_m=rated), limits)["turning"] == word


def test_starting_again_meets_the_static_friction_set_up(limits):
    """20 kPa static, 1.5 after a day: 300 kN/m over 10 m; pi / 2 x 300 = 471.2 kNm, 673.2 rated."""
    facts = replace(RIG, contacts=(along(10.0, 10.0, 20.0, 1.5),), rated_kn_m=point(673.3))
    assert results(facts, limits) == {"turning": "holds", "restart": "holds"}
    assert results(replace(facts, rated_kn_m=point(673.0)), limits) == {"turning": "holds", "restart": "fails"}


def test_shoe_and_inside_take_torque_too(limits):
    """199.96 + 30 + 20 = 249.96 kNm, 357.1 rated."""
    facts = replace(RIG, shoe_kn_m=point(30.0), inside_kn_m=point(20.0), rated_kn_m=point(357.1))
    assert results(facts, limits)["turning"] == "holds"
    assert results(replace(facts, rated_kn_m=point(357.0)), limits)["turning"] == "fails"
    assert results(replace(facts, shoe_kn_m=None), limits)["turning"] == "unknown"


def test_a_friction_that_is_not_known_leaves_it_unknown(limits):
    bare = Contact(5.0, None, None, point(1.0))
    assert moving_friction((RIG.contacts[0], bare)) is None
    assert starting_friction((RIG.contacts[0], bare)) is None
    assert results(replace(RIG, contacts=(*RIG.contacts, bare)), limits) == {"turning": "unknown", "restart": "unknown"}
    assert moving_friction((along(2.0, 10.0), along(3.0, 20.0))) == point(80.0)
    assert starting_friction((Contact(2.0, Span(10, 30, 20), None, Span(1.0, 1.5, 1.2)),)) == Span(20.0, 90.0, 48.0)


@given(st.floats(0.0, 60.0), st.floats(0.0, 40.0), st.floats(0.0, 20.0), st.floats(100.0, 3000.0))
def test_more_friction_and_more_length_better_nothing(limits, rank, length, friction, more, rated):
    facts = replace(RIG, contacts=(along(length, friction),), rated_kn_m=point(rated))
    before = rank(check_torque(facts, limits))
    assert rank(check_torque(replace(facts, contacts=(along(length + more, friction),)), limits)) >= before
    assert rank(check_torque(replace(facts, contacts=(along(length, friction + more),)), limits)) >= before
