"""The platform: a spread of 2 to 1, 5.14 su (1 + 0.2 B / L) under it (Skempton 1951, from memory), factors of the project; by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.platform import Load, PlatformFacts, check_platform
from methodpick.vocabulary.values import Span, point

TRACK = Load("track of the rig", load_kn=point(600.0), width_m=1.0, length_m=5.0, edge_m=point(1.5))
CLAY = PlatformFacts(ProvedPlace(None, 0.0, 0.0), TRACK, thickness_m=0.5, su_kpa=point(30.0), bearing_kpa=None, cased=False)
"""600 / (1.5 x 5.5) = 72.73 kPa under half a metre of fill; 5.14 x 30 x (1 + 0.2 x 1.5 / 5.5) = 162.6 kPa: 2.24."""


def results(facts, limits):
    return {check.id.removeprefix("platform-"): check.result for check in check_platform(facts, limits)}


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({}, "holds"),
        ({"su_kpa": point(25.0)}, "little_margin"),  # 1.86
        ({"su_kpa": point(20.2)}, "little_margin"),  # 1.506
        ({"su_kpa": point(20.0)}, "fails"),  # 1.491
        ({"su_kpa": Span(13.5, 40, 30)}, "holds"),  # 1.006 is left at the weakest clay
        ({"su_kpa": Span(13.0, 40, 30)}, "open_range"),  # 0.969
        ({"su_kpa": Span(13.0, 40)}, "unknown"),
        ({"su_kpa": None}, "unknown"),
        ({"bearing_kpa": point(146.0), "su_kpa": None}, "holds"),  # 2 x 72.73 = 145.5 kPa
        ({"bearing_kpa": point(145.0)}, "little_margin"),
        ({"bearing_kpa": point(109.0)}, "fails"),  # 1.5 x 72.73 = 109.1 kPa
        ({"thickness_m": 0.0}, "fails"),  # 120 kPa against 160.4: 1.34
        ({"load": replace(TRACK, load_kn=point(900.0))}, "fails"),  # 109.1 kPa against 162.6: 1.49
        ({"load": replace(TRACK, load_kn=None)}, "unknown"),
    ],
)
def test_the_ground_bears_the_track(limits, change, word):
    assert results(replace(CLAY, **change), limits)["bearing"] == word


def test_the_plate_of_an_oscillator(limits):
    """Pull and weight of 2500 kN on 3 x 4 m: 2500 / (3.5 x 4.5) = 158.7 kPa; 5.14 x 60 x (1 + 0.2 x 3.5 / 4.5) = 356.4 kPa: 2.25."""
    plate = Load("plate of the oscillator", point(2500.0), 3.0, 4.0, point(0.0))
    (check,) = check_platform(replace(CLAY, load=plate, su_kpa=point(60.0), cased=True), limits)
    assert check.result == "holds"
    assert check.has.likely == pytest.approx(356.4, abs=0.1)
    assert check.needed.likely == pytest.approx(1.5 * 158.73, abs=0.1)
    assert "plate of the oscillator" in check.what


@pytest.mark.parametrize(
    ("edge", "word"),
    [
        (point(1.0), "holds"),
        (point(0.9), "fails"),
        (Span(0.5, 2.0, 1.5), "open_range"),
        (Span(0.5, 2.0, 0.8), "open_likely"),
        (None, "unknown"),
    ],
)
def test_the_edge_of_an_open_hole(limits, edge, word):
    facts = replace(CLAY, load=replace(TRACK, edge_m=edge))
    assert results(facts, limits)["edge"] == word
    assert "edge" not in results(replace(facts, cased=True), limits)


@given(st.floats(5.0, 100.0), st.floats(0.0, 1.0), st.floats(50.0, 2000.0), st.floats(0.0, 500.0), st.floats(0.0, 1.0))
def test_more_load_weaker_clay_and_less_fill_better_nothing(limits, rank, su, share, load, more, thickness):
    facts = replace(CLAY, su_kpa=point(su), load=replace(TRACK, load_kn=point(load)), thickness_m=thickness)
    before = rank(check_platform(facts, limits))
    assert rank(check_platform(replace(facts, su_kpa=point(su * share)), limits)) >= before
    assert rank(check_platform(replace(facts, load=replace(TRACK, load_kn=point(load + more))), limits)) >= before
    assert rank(check_platform(replace(facts, thickness_m=thickness * share), limits)) >= before
