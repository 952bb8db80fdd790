"""The seal of an emptied casing. Conditions and numbers: own values of the project, as the limits say; worked by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.emptied_seal import EmptiedSealFacts, check_emptied_seal, seal_length, seal_length_below
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import EITHER, FALSE, TRUE, Span, any_of, known, likely_bool, point

STIFF = EmptiedSealFacts(
    place=ProvedPlace(5, 12.6, 20.0),
    shoe_m=12.6,
    undrilled_from_m=11.0,
    outside_diameter_m=1.2,
    layer_top_m=10.0,
    layer_base_m=16.0,
    soil=known("clay"),
    plastic=TRUE,
    fissured=FALSE,
    seamed=FALSE,
    bouldery=FALSE,
    su_kpa=Span(60, 120, 90),
    water_level_m=point(3.0),
)
"""A shoe 1.6 m in undrilled stiff clay, water 9.6 m over it: 9.6 / 6 = 1.6 m are asked for, more than 1 m and 0.6 m."""


def results(facts, limits):
    return {check.id.removeprefix("emptied-seal-"): check.result for check in check_emptied_seal(facts, limits)}


def test_a_shoe_just_long_enough_in_stiff_clay_seals(limits):
    assert results(STIFF, limits) == {"soil": "holds", "length": "holds", "strength": "holds", "whole": "holds"}


def test_the_same_shoe_ten_centimetres_shorter_does_not(limits):
    """12.5 - 11.0 = 1.50 m; 9.5 / 6 = 1.583 m: short by 0.083 m, and life hangs on it."""
    checks = check_emptied_seal(replace(STIFF, shoe_m=12.5), limits)
    length = next(check for check in checks if check.id == "emptied-seal-length")
    assert length.result == "fails"
    assert length.margin.likely == pytest.approx(-0.08333, abs=1e-4)


@pytest.mark.parametrize(("level", "length", "word"), [(9.6, 1.0, "holds"), (9.6, 0.9, "fails"), (20.0, 0.0, None)])
def test_the_least_length_counts_where_little_water_stands_outside(limits, level, length, word):
    """3 m of water ask for 0.5 m, so that the least of 1 m counts; with no water over the shoe nothing has to be sealed."""
    facts = replace(STIFF, water_level_m=point(level), undrilled_from_m=12.6 - length)
    assert results(facts, limits).get("length") == word


def test_half_a_wide_diameter_is_the_least_too(limits):
    """3.0 m of casing asks for 1.5 m where 3 m of water ask for 0.5 m."""
    wide = replace(STIFF, outside_diameter_m=3.0, water_level_m=point(9.6))
    assert results(replace(wide, undrilled_from_m=11.1), limits)["length"] == "holds"
    assert results(replace(wide, undrilled_from_m=11.2), limits)["length"] == "fails"


def test_a_seat_of_four_feet_holds_twenty_feet_of_water(limits):
    """Practice in stiff clay, own value: 1.22 m against 6.1 / 6 = 1.017 m."""
    facts = replace(STIFF, shoe_m=12.22, undrilled_from_m=11.0, water_level_m=point(12.22 - 6.1))
    assert results(facts, limits)["length"] == "holds"


@pytest.mark.parametrize("soil", ["silty_sand", "clean_sand", "silty_gravel", "clean_gravel", "cobbles", "organic", "void"])
def test_no_length_seals_granular_ground_below_water(limits, soil):
    facts = replace(STIFF, soil=known(soil), undrilled_from_m=0.0, layer_top_m=0.0)
    assert results(facts, limits) == {"soil": "fails"}
    assert results(replace(facts, water_level_m=point(13.0)), limits) == {"soil": "holds"}


def test_silt_seals_only_where_it_is_plastic(limits):
    silt = replace(STIFF, soil=known("silt"))
    assert results(replace(silt, plastic=TRUE), limits)["soil"] == "holds"
    assert results(replace(silt, plastic=FALSE), limits)["soil"] == "fails"
    assert results(replace(silt, plastic=EITHER), limits)["soil"] == "unknown"
    assert results(replace(silt, plastic=likely_bool(True)), limits)["soil"] == "open_range"


def test_clay_that_may_be_sand_is_open(limits):
    maybe = replace(STIFF, soil=any_of("clay", "clean_sand", likely="clay"))
    assert results(maybe, limits)["soil"] == "open_range"
    assert results(replace(maybe, soil=any_of("clay", "clean_sand", likely="clean_sand")), limits)["soil"] == "fails"
    assert results(replace(maybe, soil=any_of("clay", "clean_sand")), limits)["soil"] == "unknown"


@pytest.mark.parametrize("soil", ["rock", "weathered_rock", "intermediate"])
def test_a_seal_on_rock_is_probable_until_the_bail_test(limits, soil):
    checks = check_emptied_seal(replace(STIFF, soil=known(soil)), limits)
    assert [check.result for check in checks] == ["open_range"]
    assert checks[0].what == "A seal on rock is probable until the casing has been bailed."


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"fissured": TRUE}, "open_range"),
        ({"seamed": EITHER}, "open_range"),
        ({"bouldery": likely_bool(False)}, "open_range"),
        ({"layer_base_m": 12.99}, "open_range"),
        ({"layer_base_m": 13.0}, "holds"),
        ({"su_kpa": point(49.0)}, "open_range"),
        ({"su_kpa": point(50.0)}, "holds"),
    ],
)
def test_clay_that_is_not_whole_thick_or_stiff_seals_probably(limits, change, word):
    assert results(replace(STIFF, **change), limits)["whole"] == word


@pytest.mark.parametrize(
    ("su", "word"),
    [(point(25.0), "holds"), (Span(20, 60, 40), "open_range"), (Span(10, 30, 24), "fails"), (Span(20, 60), "unknown"), (None, "unknown")],
)
def test_soft_clay_yields_at_the_shoe(limits, su, word):
    assert results(replace(STIFF, su_kpa=su), limits)["strength"] == word


def test_the_depth_at_which_a_shoe_is_long_enough(limits):
    """8 m of water at 11.0 m, a metre more with each metre: t = (8 + t) / 6, t = 1.6 m; without water the least of a metre."""
    values = {name: limit.value for name, limit in limits.items()}
    depth = 11.0 + seal_length_below(8.0, STIFF.outside_diameter_m, values)
    assert depth == pytest.approx(12.6)
    assert results(replace(STIFF, shoe_m=depth), limits)["length"] == "holds"
    assert results(replace(STIFF, shoe_m=depth - 0.01), limits)["length"] == "fails"
    assert seal_length_below(0.0, STIFF.outside_diameter_m, values) == pytest.approx(1.0)
    assert seal_length(0.0, STIFF.outside_diameter_m, values) == 0.0


def test_where_no_water_stands_over_the_shoe_nothing_is_asked(limits):
    """Dry for certain there is one proof; likely dry, half a metre of soft clay is open, not short, for 9.6 m of water are possible."""
    assert results(replace(STIFF, water_level_m=None), limits) == {"soil": "holds"}
    assert results(replace(STIFF, water_level_m=point(12.6)), limits) == {"soil": "holds"}
    assert results(replace(STIFF, soil=known("clean_sand"), water_level_m=None), limits) == {"soil": "holds"}
    maybe = replace(STIFF, undrilled_from_m=12.1, su_kpa=point(10.0), water_level_m=Span(3, 20, 14))
    assert results(maybe, limits) == {"soil": "holds", "length": "open_range", "strength": "open_range", "whole": "open_range"}


def test_the_highest_water_makes_the_length_open(limits):
    """Water at 3 m likely and at 2 m possible: 10.6 / 6 = 1.767 m against 1.6 m."""
    assert results(replace(STIFF, water_level_m=Span(2, 5, 3)), limits)["length"] == "open_range"


levels = st.floats(-3.0, 14.0)


@given(levels, st.floats(0.0, 5.0), st.floats(1.0, 200.0))
def test_more_water_betters_no_seal(limits, rank, level, rise, su):
    facts = replace(STIFF, su_kpa=point(su), water_level_m=point(level))
    assert rank(check_emptied_seal(replace(facts, water_level_m=point(level - rise)), limits)) >= rank(check_emptied_seal(facts, limits))


@given(levels, st.floats(10.0, 200.0), st.floats(0.0, 9.0))
def test_weaker_clay_betters_no_seal(limits, rank, level, su, less):
    facts = replace(STIFF, su_kpa=point(su), water_level_m=point(level))
    assert rank(check_emptied_seal(replace(facts, su_kpa=point(su - less)), limits)) >= rank(check_emptied_seal(facts, limits))


@given(levels, st.floats(0.5, 3.0))
def test_a_shoe_set_at_its_sealing_depth_is_long_enough(limits, level, diameter):
    facts = replace(STIFF, outside_diameter_m=diameter, water_level_m=point(level), layer_base_m=30.0)
    values = {name: limit.value for name, limit in limits.items()}
    depth = facts.undrilled_from_m + seal_length_below(max(0.0, facts.undrilled_from_m - level), diameter, values)
    assert results(replace(facts, shoe_m=depth), limits).get("length") in {"holds", None}


@given(
    levels,
    st.floats(0.0, 5.0),
    st.floats(20.0, 200.0),
    st.floats(0.0, 15.0),
    st.booleans(),
    st.sets(st.sampled_from(["clean_sand", "rock", "silt"])),
)
def test_knowing_less_makes_no_seal_usable_that_was_not(limits, rank, usable, level, wider, su, less, forget, others):
    facts = replace(STIFF, water_level_m=point(level), su_kpa=point(su))
    before = check_emptied_seal(facts, limits)
    likely = None if forget else level
    vague = replace(
        facts,
        water_level_m=Span(level - wider, level + wider, likely),
        su_kpa=Span(su - less, su + less, None if forget else su),
        soil=any_of("clay", *others, likely=None if forget else "clay"),
        fissured=EITHER,
    )
    after = check_emptied_seal(vague, limits)
    assert not usable(after) or rank(after) >= rank(before)


# ---- water that may rise above the ground beside the casing: common practice, no source; the factor of 2 is an own value
RISING = replace(STIFF, shoe_m=15.8, undrilled_from_m=10.0, layer_top_m=10.0, layer_base_m=25.0, water_level_m=Span(-2.2, -1.0, -1.6))
"""5.8 m of undrilled clay; water that rises 2.2 m at the highest: (15.8 + 2.2) / 6 = 3.0 m for a seal, 6.0 m with the reserve."""


@pytest.mark.parametrize(("shoe", "word"), [(15.8, "little_margin"), (16.3, "holds"), (12.2, "little_margin")])
def test_a_casing_beside_rising_water_wants_a_reserve(limits, shoe, word):
    """At 16.3 m: 6.3 m against 2 (16.3 + 2.2) / 6 = 6.167 m. At 12.2 m, 2.2 m of 2.4 m, the seal is short as well, and that bars."""
    facts = replace(RISING, shoe_m=shoe, rising_level_m=RISING.water_level_m)
    assert results(facts, limits)["rising"] == word


def test_the_reserve_beside_rising_water_in_numbers(limits):
    check = check_emptied_seal(replace(RISING, rising_level_m=RISING.water_level_m), limits)[-1]
    assert check.what == ("The length of the shoe in undrilled clay is ⟦5.8|m⟧; a seal asks for ⟦3|m⟧, with the recommended reserve ⟦6|m⟧.")
    assert "pour by tremie" in check.remedy


def test_without_rising_water_no_reserve_is_asked(limits):
    assert "rising" not in results(RISING, limits)


@pytest.mark.parametrize("soil", ["rock", "weathered_rock", "intermediate"])
def test_on_rock_no_length_is_a_reserve_beside_rising_water(limits, soil):
    """From memory: beside artesian water over rock nobody bails."""
    check = check_emptied_seal(replace(RISING, soil=known(soil), rising_level_m=point(-1.0)), limits)[-1]
    assert (check.id, check.result) == ("emptied-seal-rising", "little_margin")
    assert check.what == "It is emptied on rock beside water that may rise above the ground."
