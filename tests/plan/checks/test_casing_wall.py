"""Walls of casing: least walls by hand; collapse with 1 % of ovality after Timoshenko, as in the handbook of mechanics."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.casing_wall import CasingWallFacts, check_casing_wall
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import Span, point

PIPE = CasingWallFacts(ProvedPlace(1, 0.0, 12.0), outside_diameter_m=1.2, wall_m=0.010, way=None, segmental=False, outside_kpa=point(0.0))


def results(facts, limits):
    return {check.id.removeprefix("casing-wall-"): check.result for check in check_casing_wall(facts, limits)}


@pytest.mark.parametrize(
    ("diameter", "wall", "word"),
    [
        (1.2, 0.00826, "holds"),  # 0.325 in; 1.2 / 150 = 8.0 mm
        (1.2, 0.0082, "fails"),
        (1.5, 0.010, "holds"),  # 1.5 / 150 = 10 mm
        (1.5, 0.0099, "fails"),
    ],
)
def test_handling(limits, diameter, wall, word):
    assert results(replace(PIPE, outside_diameter_m=diameter, wall_m=wall), limits)["handling"] == word


@pytest.mark.parametrize("way", ["driven", "vibrated"])
def test_driving_takes_a_quarter_inch_and_a_hundredth(limits, way):
    """API RP 2A, from memory: 6.35 + 12.0 = 18.35 mm for 1.2 m."""
    assert results(replace(PIPE, way=way, wall_m=0.0184), limits)["driving"] == "holds"
    assert results(replace(PIPE, way=way, wall_m=0.0183), limits)["driving"] == "fails"


@pytest.mark.parametrize(
    ("diameter", "wall", "word"),
    [
        (0.5, 0.012, "holds"),  # 6.35 + 5 = 11.35 mm, so that 12 mm count
        (0.5, 0.0119, "fails"),
        (1.3716, 0.009525, "fails"),  # 54 x 0.375 in through boulders: 20.1 mm
        (1.3716, 0.0201, "holds"),
    ],
)
def test_twisting(limits, diameter, wall, word):
    assert results(replace(PIPE, way="twisted", outside_diameter_m=diameter, wall_m=wall), limits)["twisting"] == word


@pytest.mark.parametrize(
    ("diameter", "wall", "word"),
    [
        (1.5, 0.020, "holds"),  # 1.5 / 80 = 18.75 mm
        (1.5, 0.0199, "fails"),
        (2.134, 0.0143, "fails"),  # 26.7 mm
        (2.0, 0.025, "holds"),
        (2.0, 0.0249, "fails"),
    ],
)
def test_oscillating(limits, diameter, wall, word):
    oscillated = replace(PIPE, way="oscillated", outside_diameter_m=diameter, wall_m=wall)
    assert results(oscillated, limits)["oscillating"] == word
    assert "oscillating" not in results(replace(oscillated, segmental=True), limits)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"outside_kpa": point(103.2)}, "holds"),
        ({"outside_kpa": point(103.4)}, "fails"),
        ({"outside_kpa": Span(60, 110, 90)}, "open_range"),
        ({"outside_kpa": Span(60, 130, 110)}, "open_likely"),
        ({"outside_kpa": Span(60, 130)}, "unknown"),
        ({"outside_kpa": None}, "unknown"),
        ({"segmental": True, "outside_kpa": point(61.9)}, "holds"),
        ({"segmental": True, "outside_kpa": point(62.1)}, "fails"),
    ],
)
def test_pressure_outside_an_emptied_casing(limits, change, word):
    """1.2 m by 10 mm: m = 60, pcr = 254.4 kPa; 250 000 / 60 + 4.6 x 254.4 = 5336.8, of which the lesser root is 206.6 kPa.

    Half of it, 103.3 kPa, are the 10.5 m of water of the handbook for D/t = 120; two skins bear six tenths, 61.98 kPa.
    """
    checks = check_casing_wall(replace(PIPE, **change), limits)
    assert checks[-1].id == "casing-wall-pressure"
    assert checks[-1].result == word


def test_the_number_of_the_collapse(limits):
    assert check_casing_wall(PIPE, limits)[-1].has.likely == pytest.approx(206.6, abs=0.1)


@given(st.floats(0.005, 0.04), st.floats(0.0, 1.0), st.floats(0.0, 300.0), st.sampled_from(["twisted", "vibrated", "oscillated", None]))
def test_a_thinner_wall_betters_nothing(limits, rank, wall, share, pressure, way):
    facts = replace(PIPE, wall_m=wall, way=way, outside_kpa=point(pressure))
    thinner = replace(facts, wall_m=0.003 + (wall - 0.003) * share)
    assert rank(check_casing_wall(thinner, limits)) >= rank(check_casing_wall(facts, limits))
