"""The seat of a casing that is kept full. Gradients and least seats as the limits say; heads worked by hand with 9.81 kN/m3."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.water_seat import WaterSeatFacts, check_water_seat
from methodpick.vocabulary.values import Span, any_of, known, point

RIVER = WaterSeatFacts(
    place=ProvedPlace(1, 0.0, 6.0),
    shoe_m=6.0,
    outside_diameter_m=1.5,
    ground_m=point(1.0),
    soil=known("clean_sand"),
    inside_level_m=point(-4.0),
    density_kg_m3=point(1050.0),
    water_level_m=point(-2.0),
    over_water=True,
)
"""1050 x 9.81 / 1000 x 10 m = 103.005 kPa inside, 9.81 x 8 m = 78.48 kPa outside: 24.525 kPa are 2.5 m of water, 5.0 m at 0.5."""


def only(facts, limits):
    (check,) = check_water_seat(facts, limits)
    return check


def test_five_metres_of_sand_hold_two_and_a_half_metres_of_head(limits):
    check = only(RIVER, limits)
    assert check.result == "holds"
    assert check.needed.likely == pytest.approx(5.0)
    assert check.has.likely == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"water_level_m": Span(-3.0, -1.9, -2.0)}, "open_range"),  # 0.1 m lower water outside: 2.6 m, 5.2 m of seat
        ({"ground_m": Span(0.0, 1.1, 1.0)}, "open_range"),  # 0.1 m more scour
        ({"density_kg_m3": Span(1030.0, 1051.0, 1050.0)}, "open_range"),
        ({"inside_level_m": point(-4.1)}, "fails"),
        ({"ground_m": Span(0.0, 1.2, 1.1)}, "open_likely"),
        ({"water_level_m": None}, "unknown"),
        ({"inside_level_m": point(-3.9)}, "holds"),
    ],
)
def test_each_input_at_its_adverse_end(limits, change, word):
    assert only(replace(RIVER, **change), limits).result == word


def test_scour_is_asked_for_only_over_water(limits):
    unread = replace(RIVER, water_level_m=None)
    assert "scour" in only(unread, limits).remedy
    assert "scour" not in only(replace(unread, over_water=False), limits).remedy


def test_clay_asks_for_less_and_for_the_least_seat_over_water(limits):
    """2.5 / 6 = 0.42 m, so that the least of 1.0 m counts over water; on land 0.42 m is enough."""
    clay = replace(RIVER, soil=known("clay"))
    assert only(replace(clay, ground_m=point(5.0)), limits).result == "holds"
    assert only(replace(clay, ground_m=point(5.1)), limits).result == "fails"
    assert only(replace(clay, ground_m=point(5.5), over_water=False), limits).result == "holds"
    assert only(replace(clay, ground_m=point(5.6), over_water=False), limits).result == "fails"


def test_sand_has_its_least_seat_in_a_bed(limits):
    level = replace(RIVER, density_kg_m3=point(1000.0), inside_level_m=point(-2.0))
    assert only(replace(level, ground_m=point(4.5)), limits).result == "holds"
    assert only(replace(level, ground_m=point(4.6)), limits).result == "fails"


def test_likely_clay_that_may_be_sand_is_open(limits):
    assert only(replace(RIVER, ground_m=point(3.0), soil=any_of("clay", "clean_sand", likely="clay")), limits).result == "open_range"
    assert only(replace(RIVER, ground_m=point(3.0), soil=any_of("clay", "clean_sand")), limits).result == "unknown"


def test_a_shoe_on_rock_has_no_such_proof(limits):
    assert check_water_seat(replace(RIVER, soil=known("rock")), limits) == ()
    assert check_water_seat(replace(RIVER, soil=any_of("rock", "weathered_rock")), limits) == ()


@given(st.floats(-8.0, 4.0), st.floats(0.0, 4.0), st.floats(0.0, 4.0))
def test_more_scour_and_lower_water_better_no_seat(limits, rank, level, fall, scour):
    before = rank(check_water_seat(replace(RIVER, water_level_m=point(level)), limits))
    lower = replace(RIVER, water_level_m=point(level + fall), ground_m=point(1.0 + scour))
    assert rank(check_water_seat(lower, limits)) >= before
