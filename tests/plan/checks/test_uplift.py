"""Uplift of the base. Statics of a lid, with published worked values where they fit; the factors are those of the limits."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.uplift import UpliftFacts, check_uplift
from methodpick.unit_markup import spell
from methodpick.vocabulary.values import EITHER, FALSE, TRUE, Span, likely_bool, point

CUT = UpliftFacts(
    place=ProvedPlace(3, 0.0, 7.5),
    diameter_m=1.2,
    lid_m=3.0,
    lid_kpa=point(3.0 * 19.62),
    intact=TRUE,
    inside_kpa=point(0.0),
    aquifer_top_m=10.5,
    water_level_m=point(4.5),
    su_kpa=None,
)
"""Soil mechanics course (NPTEL), example 2: 3 m of clay of 2.0 t/m3 are just lifted by 6 m of head."""


def only(facts, limits):
    (check,) = check_uplift(facts, limits)
    return check


def test_the_course_example_is_just_lifted(limits):
    check = only(CUT, limits)
    assert check.has.likely == pytest.approx(1.0)
    assert check.result == "fails"


def test_a_published_factor_is_found_and_holds(limits):
    """Textbook problem (Das type): 4.25 m of clay of 1925 kg/m3 under 6 m of head have 1.364."""
    facts = replace(CUT, lid_m=4.25, lid_kpa=point(1.925 * 9.81 * 4.25), aquifer_top_m=10.0, water_level_m=point(4.0))
    check = only(facts, limits)
    assert check.has.likely == pytest.approx(1.364, abs=1e-3)
    assert check.result == "holds"


def test_the_fluid_height_of_the_handbook_gives_the_recommended_safety(limits):
    """Statics: 12 m of head over 2 m of ground of 19 kN/m3 ask for 10.395 m of fluid of 10.5 kN/m3 for 1.25."""
    facts = replace(CUT, lid_m=2.0, lid_kpa=point(38.0), aquifer_top_m=14.0, water_level_m=point(2.0), inside_kpa=point(10.3953 * 10.5))
    check = only(facts, limits)
    assert check.has.likely == pytest.approx(1.25, abs=1e-4)
    assert only(replace(facts, inside_kpa=point(10.396 * 10.5)), limits).result == "holds"
    assert only(replace(facts, inside_kpa=point(10.39 * 10.5)), limits).result == "little_margin"


@pytest.mark.parametrize(
    ("lid", "level", "word"),
    [
        (Span(60, 70, 66), point(4.5), "open_range"),  # 66 / 58.86 = 1.121; 60 / 58.86 = 1.019 is short of 1.1
        (Span(65, 70, 66), Span(4.4, 5.0, 4.5), "little_margin"),  # 66 / 59.84 = 1.103 at the highest water
        (Span(65, 70, 66), Span(4.3, 5.0, 4.5), "open_range"),  # 66 / 60.82 = 1.085
        (Span(75, 80, 76), point(4.5), "holds"),  # 76 / 58.86 = 1.291
        (Span(60, 66, 64), point(4.5), "fails"),  # 64 / 58.86 = 1.087
        (point(66.0), Span(3.0, 6.0), "unknown"),  # 66 / 73.6 at worst, 66 / 44.1 at best
        (point(66.0), None, "unknown"),
        (point(66.0), Span(10.5, 12.0, 11.0), "holds"),  # the water below does not reach the lid
    ],
)
def test_both_ends_count(limits, lid, level, word):
    assert only(replace(CUT, lid_kpa=lid, water_level_m=level), limits).result == word


def test_no_pressure_has_no_number_for_its_safety(limits):
    check = only(replace(CUT, water_level_m=point(11.0)), limits)
    assert (check.has.likely, check.margin.likely, check.result) == (None, None, "holds")


def test_a_lid_that_is_not_whole_has_no_weight(limits):
    heavy = replace(CUT, lid_kpa=point(80.0))
    assert only(replace(heavy, intact=FALSE), limits).result == "fails"
    assert only(replace(heavy, intact=likely_bool(True)), limits).result == "open_range"
    assert only(replace(heavy, intact=EITHER), limits).result == "unknown"
    assert only(replace(heavy, intact=FALSE, inside_kpa=point(65.0)), limits).result == "little_margin"  # fluid alone: 1.104


SIDE = replace(CUT, diameter_m=1.5, lid_kpa=point(57.0), aquifer_top_m=12.0, water_level_m=point(0.0), su_kpa=point(50.0))
"""57 / 117.72 = 0.484 by weight; with 4 x 0.5 x 50 x 3 / 1.5 = 200 kPa along the side 257 / 117.72 = 2.18."""


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({}, "fails"),
        ({"engineer_agrees": True}, "little_margin"),
        ({"engineer_agrees": True, "intact": likely_bool(True)}, "fails"),
        ({"engineer_agrees": True, "lid_m": 2.24}, "fails"),  # less than 1.5 x 1.5 = 2.25 m
        ({"engineer_agrees": True, "lid_m": 2.25}, "little_margin"),  # 150 kPa along the side: 207 / 117.72 = 1.76
        ({"engineer_agrees": True, "diameter_m": 1.0, "lid_m": 1.99}, "fails"),  # less than 2 m
        ({"engineer_agrees": True, "su_kpa": point(25.0)}, "fails"),  # 157 / 117.72 = 1.334 is short of 1.5
        ({"engineer_agrees": True, "su_kpa": Span(10, 60, 40)}, "open_range"),  # 217 / 117.72 = 1.84 likely, 97 / 117.72 = 0.82 at worst
    ],
)
def test_the_side_of_the_lid_counts_by_half_with_the_engineer(limits, change, word):
    assert only(replace(SIDE, **change), limits).result == word


def test_the_sentence_names_the_highest_water(limits):
    check = only(replace(CUT, lid_kpa=point(66.0), water_level_m=Span(3.5, 6.0, 4.5)), limits)
    assert spell(check.what, "si") == (
        "The safety of the base against uplift is 1.12; needed is 1.1 (with the highest water below 0.96 and 1.1)."
    )
    assert (check.rule, check.limits) == ("base-lifts-by-water-below", ("uplift_factor_least", "uplift_factor_recommended"))


levels = st.floats(-3.0, 12.0)
weights = st.floats(0.0, 150.0)


@given(levels, st.floats(0.0, 6.0), weights, st.floats(0.0, 100.0))
def test_more_water_and_less_weight_better_no_base(limits, rank, level, rise, lid, inside):
    facts = replace(CUT, lid_kpa=point(lid), inside_kpa=point(inside), water_level_m=point(level))
    before = rank(check_uplift(facts, limits))
    assert rank(check_uplift(replace(facts, water_level_m=point(level - rise)), limits)) >= before
    assert rank(check_uplift(replace(facts, lid_kpa=point(lid / 2.0)), limits)) >= before
    assert rank(check_uplift(replace(facts, inside_kpa=point(inside / 2.0)), limits)) >= before


@given(levels, st.floats(0.0, 5.0), weights, st.floats(0.0, 40.0), st.booleans())
def test_knowing_less_makes_no_base_usable_that_was_not(limits, rank, usable, level, wider, lid, less, forget):
    facts = replace(CUT, lid_kpa=point(lid), water_level_m=point(level))
    vague = replace(
        facts,
        lid_kpa=Span(max(0.0, lid - less), lid + less, lid),
        water_level_m=Span(level - wider, level + wider, None if forget else level),
        intact=likely_bool(True),
    )
    after = check_uplift(vague, limits)
    assert not usable(after) or rank(after) >= rank(check_uplift(facts, limits))
