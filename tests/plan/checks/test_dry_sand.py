"""Casing in dry sand: 3 to 4 m and 3 kPa to be drilled open (own values), a lead of half a diameter (German practice, from memory)."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.dry_sand import PredrilledSandFacts, UnsealedDryFacts, check_predrilled_sand, check_unsealed_dry
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import Span, point

PLACE = ProvedPlace(2, 0.0, 6.0)


@pytest.mark.parametrize(
    ("thickness", "cohesion", "words"),
    [
        (3.0, point(3.0), ["holds", "holds"]),
        (3.1, point(3.0), ["little_margin", "holds"]),
        (4.0, Span(3, 9, 5), ["little_margin", "holds"]),
        (4.1, Span(3, 9, 5), ["fails", "holds"]),
        (2.0, Span(2.9, 9, 5), ["holds", "fails"]),  # its low end counts, whatever is likely
        (2.0, point(0.0), ["holds", "fails"]),  # clean dry sand runs at any thickness
        (2.0, None, ["holds", "unknown"]),
    ],
)
def test_dry_sand_drilled_open_for_a_casing(limits, thickness, cohesion, words):
    checks = check_predrilled_sand(PredrilledSandFacts(PLACE, thickness, cohesion), limits)
    assert [check.result for check in checks] == words


@pytest.mark.parametrize(
    ("diameter", "level", "word"),
    [
        (1.2, point(7.5), "holds"),  # 1.5 m below a tip at 6 m
        (1.2, point(7.4), "fails"),
        (2.0, point(7.9), "fails"),  # one diameter is more than 1.5 m
        (2.0, point(8.0), "holds"),
        (1.2, Span(7.0, 12.0, 9.0), "open_range"),
        (1.2, Span(7.0, 12.0, 7.2), "open_likely"),
        (1.2, Span(7.0, 12.0), "unknown"),
        (1.2, None, "unknown"),
    ],
)
def test_a_casing_is_emptied_without_a_seal_only_far_above_the_water(limits, diameter, level, word):
    (check,) = check_unsealed_dry(UnsealedDryFacts(PLACE, 6.0, diameter, level), limits)
    assert check.result == word


@given(st.floats(0.0, 15.0), st.floats(0.0, 6.0))
def test_more_water_betters_no_unsealed_casing(limits, rank, level, rise):
    facts = UnsealedDryFacts(PLACE, 6.0, 1.2, point(level))
    assert rank(check_unsealed_dry(replace(facts, water_level_m=point(level - rise)), limits)) >= rank(check_unsealed_dry(facts, limits))
