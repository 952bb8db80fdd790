"""A bell in standing dry ground below every casing; stiff clay from 50 kPa (Terzaghi & Peck class), own value as a limit."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.bell import BellFacts, check_bell
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.terms import STATES
from methodpick.vocabulary.values import EITHER, FALSE, TRUE, Span, any_of, known, likely_bool, point

BELL = BellFacts(
    ProvedPlace(4, 16.8, 18.0), bell_top_m=16.8, deepest_shoe_m=9.0, state="dry", soil=known("clay"), seeps=FALSE, su_kpa=point(90.0)
)


def results(facts, limits):
    return {check.id.removeprefix("bell-"): check.result for check in check_bell(facts, limits)}


def test_a_bell_in_stiff_dry_clay_below_the_casing(limits):
    assert results(BELL, limits) == {"below-casing": "holds", "dry": "holds", "ground": "holds", "clay": "holds"}


@pytest.mark.parametrize(("shoe", "word"), [(16.8, "holds"), (16.81, "fails"), (18.0, "fails"), (0.0, "holds")])
def test_a_bell_is_never_cut_inside_a_casing(limits, shoe, word):
    assert results(replace(BELL, deepest_shoe_m=shoe), limits)["below-casing"] == word


@pytest.mark.parametrize("state", STATES)
def test_a_bell_is_cut_dry(limits, state):
    word = "holds" if state in {"dry", "cased_dry"} else "fails"
    assert results(replace(BELL, state=state), limits)["dry"] == word


@pytest.mark.parametrize(
    ("seeps", "word"), [(TRUE, "fails"), (likely_bool(True), "open_likely"), (likely_bool(False), "open_range"), (EITHER, "unknown")]
)
def test_a_bell_that_takes_water_is_not_dry(limits, seeps, word):
    assert results(replace(BELL, seeps=seeps), limits)["dry"] == word


@pytest.mark.parametrize(
    ("soil", "word"),
    [
        (known("clean_sand"), "fails"),
        (known("silt"), "fails"),
        (known("organic"), "fails"),
        (known("void"), "fails"),
        (known("rock"), "holds"),
        (known("intermediate"), "holds"),
        (any_of("clay", "silt", likely="clay"), "open_range"),
        (any_of("clay", "silt", likely="silt"), "open_likely"),
        (any_of("clay", "silt"), "unknown"),
    ],
)
def test_the_ground_stands_undercut(limits, soil, word):
    assert results(replace(BELL, soil=soil), limits)["ground"] == word


@pytest.mark.parametrize(
    ("su", "word"),
    [
        (point(50.0), "holds"),
        (point(49.0), "fails"),
        (Span(40, 90, 60), "open_range"),
        (Span(40, 90, 45), "open_likely"),
        (Span(40, 90), "unknown"),
        (None, "unknown"),
    ],
)
def test_the_clay_is_stiff(limits, su, word):
    assert results(replace(BELL, su_kpa=su), limits)["clay"] == word


def test_strength_is_asked_of_clay_only(limits):
    assert "clay" not in results(replace(BELL, soil=known("rock"), su_kpa=None), limits)
    rock = replace(BELL, soil=any_of("clay", "rock", likely="rock"), su_kpa=point(20.0))
    assert results(rock, limits)["clay"] == "open_range"


@given(st.floats(0.0, 150.0), st.floats(0.0, 1.0))
def test_weaker_clay_betters_no_bell(limits, rank, su, share):
    weaker = replace(BELL, su_kpa=point(su * share))
    assert rank(check_bell(weaker, limits)) >= rank(check_bell(replace(BELL, su_kpa=point(su)), limits))
