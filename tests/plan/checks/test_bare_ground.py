"""Ground that fresh concrete meets bare: voids, openwork from 1e-2 m/s, soft clay by the excess over its strength; by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.bare_ground import BareGroundFacts, check_bare_ground
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import EITHER, FALSE, TRUE, Span, any_of, known, likely_bool, point

CLAY = BareGroundFacts(
    ProvedPlace(7, 4.0, 10.0),
    soil=known("clay"),
    cavities=FALSE,
    permeability_m_s=None,
    concrete_kpa=point(235.0),
    horizontal_kpa=point(135.0),
    su_kpa=point(25.0),
)
"""(235 - 135) / 25 = 4.0."""


def results(facts, limits):
    return {check.id.removeprefix("bare-"): check.result for check in check_bare_ground(facts, limits)}


@pytest.mark.parametrize(
    ("su", "word"),
    [
        (point(25.0), "holds"),
        (point(24.0), "little_margin"),  # 4.17
        (point(20.0), "little_margin"),  # 5.0, the example of the formula
        (point(16.7), "little_margin"),  # 5.99
        (point(16.6), "fails"),  # 6.02
        (Span(10, 30, 25), "open_range"),
        (Span(10, 30, 15), "open_likely"),
        (Span(10, 30), "unknown"),
        (Span(0, 30, 25), "open_range"),
        (None, "unknown"),
    ],
)
def test_soft_clay(limits, su, word):
    assert results(replace(CLAY, su_kpa=su), limits)["soft-clay"] == word


def test_ground_that_presses_back_needs_no_strength(limits):
    assert results(replace(CLAY, horizontal_kpa=point(240.0), su_kpa=point(0.0)), limits)["soft-clay"] == "holds"


def test_strength_is_asked_of_clay_only(limits):
    assert results(replace(CLAY, soil=known("clean_sand"), su_kpa=None), limits) == {"voids": "holds"}
    maybe = replace(CLAY, soil=any_of("clay", "silt", likely="silt"), su_kpa=point(10.0))
    assert results(maybe, limits)["soft-clay"] == "open_range"


@pytest.mark.parametrize(
    ("soil", "cavities", "word"),
    [
        (known("rock"), FALSE, "holds"),
        (known("rock"), TRUE, "fails"),
        (known("void"), FALSE, "fails"),
        (known("rock"), likely_bool(False), "open_range"),
        (known("rock"), likely_bool(True), "open_likely"),
        (known("rock"), EITHER, "unknown"),
        (any_of("rock", "void", likely="rock"), FALSE, "open_range"),
    ],
)
def test_voids(limits, soil, cavities, word):
    assert results(replace(CLAY, soil=soil, cavities=cavities), limits)["voids"] == word


@pytest.mark.parametrize(
    ("soil", "permeability", "word"),
    [
        (known("clean_gravel"), point(0.01), "holds"),
        (known("clean_gravel"), point(0.011), "fails"),
        (known("clean_gravel"), Span(1e-4, 0.1, 3.5e-3), "open_range"),
        (known("clean_gravel"), Span(1e-4, 0.1, 0.02), "open_likely"),
        (known("clean_gravel"), Span(1e-4, 0.1), "unknown"),
        (known("cobbles"), None, "unknown"),
        (any_of("clean_gravel", "clean_sand", likely="clean_sand"), point(0.1), "open_range"),
    ],
)
def test_openwork(limits, soil, permeability, word):
    assert results(replace(CLAY, soil=soil, permeability_m_s=permeability), limits)["openwork"] == word


@given(st.floats(1.0, 100.0), st.floats(0.0, 1.0), st.floats(50.0, 400.0), st.floats(0.0, 100.0))
def test_weaker_clay_and_heavier_concrete_better_nothing(limits, rank, su, share, concrete, more):
    facts = replace(CLAY, su_kpa=point(su), concrete_kpa=point(concrete))
    before = rank(check_bare_ground(facts, limits))
    assert rank(check_bare_ground(replace(facts, su_kpa=point(su * share)), limits)) >= before
    assert rank(check_bare_ground(replace(facts, concrete_kpa=point(concrete + more)), limits)) >= before
