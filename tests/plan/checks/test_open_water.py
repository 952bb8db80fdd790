"""Work over open water: a casing stands in the bed and out of the water before anything is drilled; by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.open_water import OpenWaterFacts, check_open_water
from methodpick.vocabulary.values import Span, point

RIVER = OpenWaterFacts(
    ProvedPlace(2, 0.0, 10.0), casing_top_m=-8.0, casing_base_m=4.0, bed_m=Span(0.0, 2.0, 1.0), water_level_m=Span(-7.0, -5.0, -6.0)
)


def results(facts, limits):
    return {check.id.removeprefix("open-water-"): check.result for check in check_open_water(facts, limits)}


def test_a_casing_from_over_the_water_into_the_bed(limits):
    assert results(RIVER, limits) == {"casing": "holds", "top": "holds"}


@pytest.mark.parametrize(
    ("base", "word"),
    [
        (2.01, "holds"),
        (1.5, "open_range"),  # stands in the bed but for the deepest scour
        (0.5, "open_likely"),  # likely scoured free
        (0.0, "fails"),  # stands on the bed
        (None, "fails"),  # nothing stands: drilled from the bed
    ],
)
def test_the_casing_stands_in_the_bed(limits, base, word):
    facts = replace(RIVER, casing_base_m=base, casing_top_m=None if base is None else -8.0)
    assert results(facts, limits)["casing"] == word


def test_drilling_dry_from_the_bed_says_what_is_wrong(limits):
    (check,) = check_open_water(replace(RIVER, casing_base_m=None, casing_top_m=None, bed_m=point(0.0)), limits)
    assert check.what == "The hole is drilled below open water before a casing stands in the bed."


@pytest.mark.parametrize(
    ("top", "water", "word"),
    [
        (-7.5, Span(-7.0, -5.0, -6.0), "holds"),  # 0.5 m over the highest water
        (-7.4, Span(-7.0, -5.0, -6.0), "open_range"),
        (-6.4, Span(-7.0, -5.0, -6.0), "open_likely"),
        (-5.4, Span(-7.0, -5.0, -6.0), "fails"),
        (-6.5, Span(-7.0, -5.0), "unknown"),
        (-8.0, None, "unknown"),
    ],
)
def test_the_casing_stands_out_of_the_water(limits, top, water, word):
    assert results(replace(RIVER, casing_top_m=top, water_level_m=water), limits)["top"] == word


@given(st.floats(-9.0, 0.0), st.floats(0.0, 4.0), st.floats(0.0, 4.0))
def test_more_water_and_more_scour_better_nothing(limits, rank, level, rise, scour):
    facts = replace(RIVER, water_level_m=point(level), bed_m=point(1.0))
    wetter = replace(facts, water_level_m=point(level - rise), bed_m=point(1.0 + scour))
    assert rank(check_open_water(wetter, limits)) >= rank(check_open_water(facts, limits))
