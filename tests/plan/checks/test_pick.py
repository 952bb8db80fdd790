"""The heaviest pick against the chart of the crane, by hand: hook and slings a tenth, 85 % of the chart at most, 75 % as planned.

The shares are common practice without a source, from memory; so is the steel of a cage.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.pick import PickFacts, check_pick
from methodpick.vocabulary.values import Span, point

CASING = PickFacts(ProvedPlace(None, 0.0, 0.0), casing_kg=10000.0, cage_kg=Span(2000.0, 8000.0, 4000.0), radius_m=6.0, capacity_kg=15000.0)
"""10 t of casing with a tenth of hook and slings are 11 t; the chart gives 15 t there."""


def only(facts, limits):
    (check,) = check_pick(facts, limits)
    return check


@pytest.mark.parametrize(
    ("capacity_kg", "word"),
    [
        (14670.0, "holds"),  # 11 t / 0.75 = 14.667 t
        (14660.0, "little_margin"),
        (12945.0, "little_margin"),  # 11 t / 0.85 = 12.941 t
        (12940.0, "fails"),
        (11000.0, "fails"),  # all of the chart
        (None, "unknown"),
    ],
)
def test_the_chart_at_the_radius(limits, capacity_kg, word):
    assert only(replace(CASING, capacity_kg=capacity_kg), limits).result == word


def test_the_numbers(limits):
    """11 t weigh 107.9 kN; 85 % of 15 t weigh 125.1 kN."""
    check = only(CASING, limits)
    assert check.needed.likely == pytest.approx(107.91, abs=0.01)
    assert check.has.likely == pytest.approx(125.08, abs=0.01)
    assert check.inputs["radius_m"].low == 6.0


@pytest.mark.parametrize(
    ("cage", "word"),
    [
        (Span(5000.0, 20000.0, 9000.0), "open_range"),  # a cage of 20 t is not lifted: 22 t over 12.75 t
        (Span(5000.0, 20000.0, 12000.0), "fails"),  # 13.2 t over 12.75 t at the likely steel, and life hangs on it
        (Span(5000.0, 11500.0, 9000.0), "holds"),  # 12.65 t at most, within the chart
        (Span(5000.0, 11700.0, 9000.0), "open_range"),  # 12.87 t
    ],
)
def test_a_cage_that_is_heavier_than_any_casing_is_the_pick(limits, cage, word):
    assert only(replace(CASING, cage_kg=cage), limits).result == word


@given(more_kg=st.floats(0.0, 50000.0), weaker=st.floats(0.1, 1.0))
def test_nothing_heavier_and_no_weaker_crane_is_better(limits, rank, more_kg, weaker):
    least = rank(check_pick(CASING, limits))
    assert rank(check_pick(replace(CASING, casing_kg=CASING.casing_kg + more_kg), limits)) >= least
    assert rank(check_pick(replace(CASING, cage_kg=point(4000.0 + more_kg)), limits)) >= least
    assert rank(check_pick(replace(CASING, capacity_kg=weaker * 15000.0), limits)) >= least
