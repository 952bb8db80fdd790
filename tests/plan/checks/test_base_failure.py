"""Failure of a base in clay, by the bearing number 6.17 (1 + 0.2 H/D) up to 9 (Skempton; Bjerrum & Eide, from memory), by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.base_failure import BaseFailureFacts, SoilPlug, compare_base_failure
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import EITHER, FALSE, TRUE, Span, likely_bool, point

DEEP = BaseFailureFacts(
    place=ProvedPlace(2, 0.0, 10.0),
    depth_m=10.0,
    diameter_m=1.0,
    su_base_kpa=point(30.0),
    su_below_kpa=point(30.0),
    sensitive=FALSE,
    total_kpa=point(180.0),
    surcharge_kpa=point(0.0),
    inside_kpa=point(0.0),
)
"""9 x 30 / 180 = 1.5."""


def check_base_failure(facts, limits):
    """Give the record of the proof, as a plan writes it."""
    return (compare_base_failure(facts, limits).write(),)


def only(facts, limits):
    (check,) = check_base_failure(facts, limits)
    return check


@pytest.mark.parametrize(
    ("change", "factor", "word"),
    [
        ({}, 1.5, "holds"),
        ({"su_base_kpa": point(29.9)}, 1.495, "little_margin"),
        ({"su_base_kpa": point(22.0)}, 1.1, "little_margin"),
        ({"su_base_kpa": point(21.9)}, 1.095, "fails"),
        ({"su_below_kpa": point(22.0)}, 1.1, "little_margin"),  # the mean over one diameter below is the lower one
        ({"surcharge_kpa": point(20.0)}, 1.35, "little_margin"),  # 270 / 200
        ({"su_base_kpa": point(20.0), "inside_kpa": point(60.0)}, 1.5, "holds"),  # 180 / 120 under fluid
        ({"depth_m": 1.0, "total_kpa": point(18.0), "su_base_kpa": point(3.0)}, 1.234, "little_margin"),  # 7.404 x 3 / 18
    ],
)
def test_the_factor_by_hand(limits, change, factor, word):
    check = only(replace(DEEP, **change), limits)
    assert check.has.likely == pytest.approx(factor, abs=1e-3)
    assert check.result == word


def test_a_plug_of_soil_holds_the_base_down(limits):
    """2 m of plug: 2 x (18 + 4 x 6 / 1.2) = 76 kPa; 9 x 20 / (180 - 76) = 1.731, where the open base has 1.0."""
    soft = replace(DEEP, su_base_kpa=point(20.0), su_below_kpa=point(20.0))
    plug = SoilPlug(height_m=2.0, unit_weight_kn_m3=point(18.0), adhesion_kpa=point(6.0), inside_diameter_m=1.2)
    assert only(soft, limits).result == "fails"
    check = only(replace(soft, plug=plug), limits)
    assert check.has.likely == pytest.approx(1.731, abs=1e-3)
    assert check.result == "holds"


def test_sensitive_clay_asks_for_more(limits):
    short = replace(DEEP, su_base_kpa=point(29.0))  # 1.45
    assert only(short, limits).result == "little_margin"
    assert only(replace(short, sensitive=TRUE), limits).result == "fails"
    assert only(replace(short, sensitive=likely_bool(True)), limits).result == "fails"
    assert only(replace(short, sensitive=EITHER), limits).result == "unknown"
    assert only(replace(DEEP, sensitive=TRUE), limits).result == "holds"


@pytest.mark.parametrize(
    ("su", "word"),
    [
        (Span(20, 40, 30), "holds"),  # 1.0 is left at the weakest clay
        (Span(19.9, 40, 30), "open_range"),
        (Span(20, 40), "unknown"),  # without a likely strength the weakest must have the full factor
        (Span(10, 19), "fails"),
        (None, "unknown"),
    ],
)
def test_ranges_of_strength(limits, su, word):
    assert only(replace(DEEP, su_base_kpa=su, su_below_kpa=point(40.0)), limits).result == word


def test_fluid_that_carries_the_whole_stress_leaves_nothing_to_fail(limits):
    check = only(replace(DEEP, inside_kpa=point(180.0)), limits)
    assert (check.has.likely, check.result) == (None, "holds")


strengths = st.floats(1.0, 100.0)


@given(strengths, st.floats(0.0, 1.0), st.floats(0.0, 250.0), st.floats(0.0, 100.0))
def test_weaker_clay_less_fluid_and_more_load_better_nothing(limits, rank, su, share, inside, load):
    facts = replace(DEEP, su_base_kpa=point(su), su_below_kpa=point(su), inside_kpa=point(inside))
    before = rank(check_base_failure(facts, limits))
    assert rank(check_base_failure(replace(facts, su_below_kpa=point(su * share)), limits)) >= before
    assert rank(check_base_failure(replace(facts, inside_kpa=point(inside * share)), limits)) >= before
    assert rank(check_base_failure(replace(facts, surcharge_kpa=point(load)), limits)) >= before


@given(strengths, st.floats(0.0, 1.0), st.booleans(), st.floats(0.0, 30.0))
def test_knowing_less_makes_no_base_usable_that_was_not(limits, rank, usable, su, share, forget, more):
    facts = replace(DEEP, su_base_kpa=point(su), su_below_kpa=point(su))
    vague = replace(
        facts,
        su_base_kpa=Span(su * share, su / max(share, 0.1), None if forget else su),
        total_kpa=Span(180.0 - more, 180.0 + more, 180.0),
        sensitive=likely_bool(False),
    )
    after = check_base_failure(vague, limits)
    assert not usable(after) or rank(after) >= rank(check_base_failure(facts, limits))
