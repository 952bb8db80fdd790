"""An artesian head: the stick-up for fluid that balances it with a metre of head and a foot of freeboard; the starter in its lid."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.artesian import ArtesianFacts, check_artesian, stick_up_needed
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import Span, any_of, known, point

SITE = ArtesianFacts(
    ProvedPlace(2, 0.0, 12.0),
    aquifer_top_m=12.0,
    water_level_m=point(-1.5),
    grade_m=0.0,
    density_kg_m3=point(1000.0),
    lid_top_m=3.0,
    lid_soil=known("clay"),
    starter_shoe_m=5.0,
    undrilled_from_m=point(4.0),
    outside_diameter_m=1.2,
)
"""Water rises to 1.5 m above the ground: with a metre of head and 0.3 m of freeboard the casing stands 2.8 m up."""


def results(facts, limits):
    return {check.id.removeprefix("artesian-"): check.result for check in check_artesian(facts, limits)}


@pytest.mark.parametrize(
    ("level", "density", "height"),
    [
        (-1.5, 1000.0, 2.8),
        (-2.0, 1000.0, 3.3),
        (-2.0, 1050.0, 2.586),  # 15 / 1.05 = 14.286 m of fluid over the aquifer at 12 m, and 0.3 m
        (2.0, 1000.0, 0.0),  # the fluid may stand 1 m below the ground
    ],
)
def test_the_height_by_hand(limits, level, density, height):
    assert stick_up_needed(SITE, level, density, limits) == pytest.approx(height, abs=1e-3)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({}, "holds"),
        ({"water_level_m": point(-1.7)}, "holds"),  # just 3.0 m
        ({"water_level_m": point(-1.71)}, "fails"),
        ({"water_level_m": point(-2.0), "density_kg_m3": point(1050.0)}, "holds"),
        ({"water_level_m": Span(-2.7, 0.0, -1.5)}, "holds"),  # plain balance at the highest water: 2.7 + 0.3 m
        ({"water_level_m": Span(-2.8, 0.0, -1.5)}, "open_range"),
        ({"water_level_m": Span(-2.8, 0.0)}, "unknown"),
        ({"water_level_m": None}, "unknown"),
        ({"water_level_m": point(-3.7), "grade_m": -2.0}, "holds"),  # a raised platform
    ],
)
def test_the_stick_up(limits, change, word):
    assert results(replace(SITE, **change), limits)["stick-up"] == word


@pytest.mark.parametrize(
    ("soil", "word"),
    [
        (known("clay"), "holds"),
        (known("intermediate"), "holds"),
        (known("clean_sand"), "fails"),
        (known("rock"), "fails"),  # jointed rock that carries the water pipes
        (any_of("clay", "silt", likely="clay"), "open_range"),
        (any_of("clay", "silt", likely="silt"), "fails"),
        (any_of("clay", "silt"), "unknown"),
    ],
)
def test_the_starter_stands_in_tight_ground(limits, soil, word):
    assert results(replace(SITE, lid_soil=soil), limits)["lid"] == word


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({}, "holds"),  # 1.5 / 6 = 0.25 m, so that the least of 1 m counts
        ({"undrilled_from_m": point(4.1)}, "fails"),
        ({"lid_top_m": 4.1, "undrilled_from_m": point(0.0)}, "fails"),  # only what stands in the lid counts
        ({"water_level_m": Span(-6.6, 0.0, -1.5)}, "open_range"),  # 6.6 / 6 = 1.1 m
        ({"outside_diameter_m": 2.1}, "fails"),  # half of it is 1.05 m
        ({"water_level_m": None}, "unknown"),
    ],
)
def test_the_starter_is_sealed_in_the_lid(limits, change, word):
    assert results(replace(SITE, **change), limits)["seat"] == word


@given(st.floats(-6.0, 3.0), st.floats(0.0, 4.0))
def test_more_water_betters_nothing(limits, rank, level, rise):
    before = rank(check_artesian(replace(SITE, water_level_m=point(level)), limits))
    assert rank(check_artesian(replace(SITE, water_level_m=point(level - rise)), limits)) >= before
