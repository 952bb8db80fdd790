"""The window of a fluid at each bound, by hand and from the published values named; the limits are those of the rulebook."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.fluid_window import FluidWindowFacts, WallAt, check_density, compare_wall, worst_of_walls
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import Span, point

SAND = WallAt(
    depth_m=5.0, total_kpa=point(90.0), water_level_m=None, phi_deg=point(30.0), su_kpa=None, wall=True, bears_water=False, opens=False
)
"""Dry sand of 18 kN/m3 at 5 m; hole of 1 m.

Hoop stress as the major one: with Kp = 3 and x = 1 / (1 + 10 x 0.57735) = 0.14763 the pressure is 18 x 0.5 x 0.57735 x (1 - x) =
4.429 kPa, 4.872 with 1.1. Hoop stress at rest: 1.8505 x 18 x 0.5 = 16.65 kPa (closed form after Cheng & Hu 2005), 21.65 with 1.3.
"""


@pytest.fixture
def facts(limits):
    return FluidWindowFacts(
        place=ProvedPlace(3, 0.0, 20.0),
        fluid="mineral",
        diameter_m=1.0,
        density_kg_m3=point(1050.0),
        fluid_level_m=point(0.0),
        specified_least_kg_m3=limits["mineral_density_min_kg_m3"],
        specified_most_kg_m3=limits["mineral_density_max_kg_m3"],
        walls=(),
    )


def check_fluid_window(facts, limits):
    """Give the records of a density and of the worst walls of its facts, as a plan writes them."""
    compared = [(compare_wall(facts, wall, limits), (wall.depth_m, wall.depth_m)) for wall in facts.walls]
    return (*check_density(facts, limits), *worst_of_walls(compared, facts.place.stage))


def results(facts, limits):
    return {check.id: check.result for check in check_fluid_window(facts, limits)}


@pytest.mark.parametrize(
    ("column_m", "word"),
    [
        (0.49, "fails"),  # 4.81 kPa
        (0.50, "little_margin"),  # 4.91 kPa
        (2.20, "little_margin"),  # 21.58 kPa
        (2.21, "holds"),  # 21.68 kPa
    ],
)
def test_the_granular_wall_by_both_theories(facts, limits, column_m, word):
    water = replace(facts, density_kg_m3=point(1000.0), fluid_level_m=point(5.0 - column_m), walls=(SAND,))
    assert results(water, limits)["fluid-wall"] == word


def test_friction_at_its_low_end_opens_the_wall(facts, limits):
    """35 degrees ask for 0.2939 x 18 x 0.5 = 2.645 kPa, 2.91 with 1.1 (Berezantzev, handbook); 30 degrees for 4.872; there are 4.41."""
    water = replace(facts, density_kg_m3=point(1000.0), fluid_level_m=point(4.55))
    open_wall = replace(SAND, phi_deg=Span(30, 38, 35))
    assert results(replace(water, walls=(open_wall,)), limits)["fluid-wall"] == "open_range"
    assert results(replace(water, walls=(replace(SAND, phi_deg=Span(30, 38)),)), limits)["fluid-wall"] == "unknown"
    assert results(replace(water, walls=(replace(SAND, phi_deg=None),)), limits)["fluid-wall"] == "unknown"


@pytest.mark.parametrize(("level", "word"), [(1.81, "little_margin"), (1.82, "fails")])
def test_the_wall_below_the_groundwater(facts, limits, level, word):
    """At 10 m, water at 2 m: 78.48 kPa of pore water and 111.52 kPa effective, 11.152 kN/m3 over the depth.

    35 degrees: Kp 3.690, x = 1 / (1 + 20 x 0.5206) = 0.08763, 11.152 x 0.5 x 0.5206 / 1.690 x (1 - x^1.690) = 1.690 kPa, 1.859 with 1.1.
    80.34 kPa are 8.189 m of water.
    """
    wet = replace(SAND, depth_m=10.0, total_kpa=point(190.0), water_level_m=point(2.0), phi_deg=point(35.0))
    fluid = replace(facts, density_kg_m3=point(1000.0), fluid_level_m=point(level), walls=(wet,))
    assert results(fluid, limits)["fluid-wall"] == word


def test_the_worst_depth_is_kept(facts, limits):
    deep = replace(SAND, depth_m=10.0, total_kpa=point(180.0))
    water = replace(facts, density_kg_m3=point(1000.0), fluid_level_m=point(4.8), walls=(SAND, deep))
    check = next(check for check in check_fluid_window(water, limits) if check.id == "fluid-wall")
    assert (check.top_m, check.result) == (5.0, "fails")


WET = replace(SAND, depth_m=20.0, total_kpa=point(400.0), water_level_m=point(2.0), wall=False, bears_water=True)


@pytest.mark.parametrize(("level", "word"), [(0.0, "holds"), (2.0, "holds"), (2.01, "fails")])
def test_slurry_keeps_the_groundwater_out(facts, limits, level, word):
    """10.3 kN/m3 over 20 m against water from 2 m: 206 / 176.58 = 1.1666 (DIN 4126 form, from memory); level with it just 1.05."""
    assert results(replace(facts, fluid_level_m=point(level), walls=(WET,)), limits)["fluid-water"] == word


def test_the_wall_rule_of_slurry_is_not_asked_of_polymer(facts, limits):
    assert "fluid-water" not in results(replace(facts, fluid="polymer", walls=(WET,)), limits)


OPEN = replace(SAND, depth_m=10.0, total_kpa=point(160.0), water_level_m=point(0.0), phi_deg=None, wall=False, opens=True)
"""Total 160, pore 98.1, effective 61.9 kPa: 0.5 at rest and 0.3 more are 0.8 x 61.9 + 98.1 = 147.62 kPa."""


@pytest.mark.parametrize(("level", "word"), [(-3.05, "holds"), (-3.06, "fails")])
def test_fluid_that_would_open_the_ground(facts, limits, level, word):
    """1153 kg/m3 over 13.05 m are 147.61 kPa, over 13.06 m 147.72 kPa."""
    assert results(replace(facts, density_kg_m3=point(1153.0), fluid_level_m=point(level), walls=(OPEN,)), limits)["fluid-opening"] == word


def test_the_lowest_groundwater_opens_the_ground_first(facts, limits):
    """At 2 m pore 78.48, effective 81.52: 0.8 x 81.52 + 78.48 = 143.70 kPa against 1153 x 9.81 / 1000 x 12.9 = 145.91 kPa."""
    high = replace(facts, density_kg_m3=point(1153.0), fluid_level_m=point(-2.9))
    assert results(replace(high, walls=(replace(OPEN, water_level_m=Span(0, 2, 0)),)), limits)["fluid-opening"] == "open_range"
    assert results(replace(high, walls=(OPEN,)), limits)["fluid-opening"] == "holds"


def test_clay_takes_its_strength_more(facts, limits):
    """0.5 x 61.9 + 98.1 + 50 = 179.05 kPa: 15.82 m of 1153 kg/m3 are 178.94, 15.84 m 179.16."""
    clay = replace(OPEN, su_kpa=point(50.0))
    slurry = replace(facts, density_kg_m3=point(1153.0), walls=(clay,))
    assert results(replace(slurry, fluid_level_m=point(-5.82)), limits)["fluid-opening"] == "holds"
    assert results(replace(slurry, fluid_level_m=point(-5.84)), limits)["fluid-opening"] == "fails"
    rubbed = replace(OPEN, phi_deg=point(30.0))  # 1 - sin 30 = 0.5, as where no friction is known
    assert results(replace(slurry, fluid_level_m=point(-3.06), walls=(rubbed,)), limits)["fluid-opening"] == "fails"


@pytest.mark.parametrize(
    ("density", "least", "most", "displaced"),
    [
        (point(1030.0), "holds", "holds", "holds"),
        (point(1029.0), "fails", "holds", "holds"),
        (point(1150.0), "holds", "holds", "holds"),
        (point(1151.0), "holds", "fails", "holds"),
        (Span(1020, 1160, 1080), "open_range", "open_range", "holds"),
        (point(1376.0), "holds", "fails", "holds"),  # 23.5 - 13.4986 = 10.001 kN/m3
        (point(1377.0), "holds", "fails", "fails"),  # 23.5 - 13.5084 = 9.992 kN/m3
    ],
)
def test_specification_and_concrete(facts, limits, density, least, most, displaced):
    found = results(replace(facts, density_kg_m3=density), limits)
    assert (found["fluid-specified-least"], found["fluid-specified-most"], found["fluid-displaced"]) == (least, most, displaced)


@given(st.floats(-2.0, 12.0), st.floats(0.0, 6.0), st.floats(25.0, 40.0), st.floats(0.0, 5.0))
def test_more_water_and_less_friction_better_no_wall(limits, rank, water, rise, phi, less):
    facts = FluidWindowFacts(
        ProvedPlace(1, 0.0, 12.0),
        "polymer",
        1.2,
        point(1010.0),
        point(0.0),
        limits["water_density_kg_m3"],
        limits["polymer_density_max_kg_m3"],
        (),
    )
    wall = replace(SAND, depth_m=12.0, total_kpa=point(230.0), water_level_m=point(water), phi_deg=point(phi))
    before = rank(check_fluid_window(replace(facts, walls=(wall,)), limits))
    wetter = replace(wall, water_level_m=point(water - rise))
    looser = replace(wall, phi_deg=point(phi - less))
    assert rank(check_fluid_window(replace(facts, walls=(wetter,)), limits)) >= before
    assert rank(check_fluid_window(replace(facts, walls=(looser,)), limits)) >= before
