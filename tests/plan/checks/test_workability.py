"""Workable time: 4 h of a usual mix (FHWA-NHI-18-024 sec. 7.2, digest, 4 to 8 h), four fifths of it recommended (own value)."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.workability import WorkabilityFacts, check_workability
from methodpick.vocabulary.values import Span, point

POUR = WorkabilityFacts(
    ProvedPlace(6, 0.0, 20.0), under_fluid=True, casing_pulled=True, wait_h=point(0.5), pour_h=point(1.5), pull_h=point(1.0)
)
"""0.5 + 1.5 + 1.0 = 3.0 h."""


def word(facts, limits):
    (check,) = check_workability(facts, limits)
    return check.result


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, "holds"),
        ({"pull_h": point(1.2)}, "holds"),  # 3.2 h are four fifths
        ({"pull_h": point(1.3)}, "little_margin"),
        ({"pull_h": point(2.0)}, "little_margin"),
        ({"pull_h": point(2.1)}, "fails"),
        ({"pour_h": Span(1.0, 2.6, 1.5)}, "open_range"),  # 4.1 h
        ({"pour_h": Span(1.0, 3.0, 2.6)}, "open_likely"),
        ({"pour_h": Span(1.0, 3.0)}, "unknown"),
        ({"pull_h": point(9.0), "casing_pulled": False}, "holds"),  # under fluid without casing only the pour counts
        ({"workable_h": point(3.7)}, "little_margin"),  # 0.8 x 3.7 = 2.96 h
        ({"workable_h": point(8.0), "pull_h": point(4.4)}, "holds"),  # 6.4 h are four fifths of 8
        ({"workable_h": Span(2.9, 6.0, 4.0)}, "open_range"),
    ],
)
def test_hours_of_pour_and_pull(limits, change, expected):
    assert word(replace(POUR, **change), limits) == expected


def test_a_dry_pour_without_casing_is_not_asked(limits):
    assert check_workability(replace(POUR, under_fluid=False, casing_pulled=False), limits) == ()
    assert word(replace(POUR, under_fluid=False), limits) == "holds"


@given(st.floats(0.0, 6.0), st.floats(0.0, 6.0), st.booleans())
def test_more_hours_better_nothing(limits, rank, hours, more, pulled):
    facts = replace(POUR, pour_h=point(hours), casing_pulled=pulled)
    assert rank(check_workability(replace(facts, pour_h=point(hours + more)), limits)) >= rank(check_workability(facts, limits))
