"""The crowd that pushes a casing: turned, it feels 0.4 of the friction along its axis (memory), its edge what the soil bears; by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.crowd import CrowdFacts, check_crowd
from methodpick.plan.checks.inputs import Contact, ProvedPlace
from methodpick.vocabulary.values import Span, point


def along(length, moving):
    return Contact(length, None, point(moving), None)


PUSHED = CrowdFacts(ProvedPlace(4, 0.0, 12.0), 1.3, 4000.0, (along(1.5, 40.0),), shoe_kn=point(45.0), crowd_kn=point(200.0))
"""0.4 x pi x 1.3 x 60 + 45 = 143.02 kN; the casing weighs 39.24 kN."""


@pytest.mark.parametrize(
    ("crowd", "word"),
    [
        (point(103.8), "holds"),
        (point(103.7), "fails"),
        (Span(90.0, 200.0, 150.0), "open_range"),
        (Span(90.0, 200.0, 100.0), "open_likely"),
        (Span(90.0, 200.0), "unknown"),
        (None, "unknown"),
    ],
)
def test_crowd_and_weight_against_friction_and_edge(limits, crowd, word):
    (check,) = check_crowd(replace(PUSHED, crowd_kn=crowd), limits)
    assert check.result == word


@given(st.floats(0.0, 5.0), st.floats(0.0, 200.0), st.floats(50.0, 500.0))
def test_a_longer_push_and_harder_ground_better_nothing(limits, rank, more, harder, crowd):
    facts = replace(PUSHED, crowd_kn=point(crowd))
    before = rank(check_crowd(facts, limits))
    assert rank(check_crowd(replace(facts, contacts=(along(1.5 + more, 40.0),)), limits)) >= before
    assert rank(check_crowd(replace(facts, shoe_kn=point(45.0 + harder)), limits)) >= before
