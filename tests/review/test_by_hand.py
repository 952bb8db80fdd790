"""Masses, volumes and seals of the review against work by hand: circles, rings and frustums, to four figures and more."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from methodpick.ground.site import Bell, Shaft
from methodpick.plan.pipeline import plan
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.result import Casing, Slurry, Stage
from methodpick.review.casing_laws import casing_mass_kg, check_casings
from methodpick.review.ground_anew import basis_of, ground_anew
from methodpick.review.volumes import bell_m3, concrete_m3, drilled_m3, fluid_m3


def _casing(kind, outside_m, base_m, *, wall_m=0.01, predrill_m=0.0, predrilled_to_m=0.0):
    return Casing(
        kind=kind,
        outside_diameter_m=outside_m,
        wall_m=wall_m,
        top_m=-1.0,
        base_m=base_m,
        length_m=base_m + 1.0,
        mass_kg=0.0,
        installed_by="",
        predrill_base_m=predrilled_to_m,
        predrill_diameter_m=predrill_m or None,
        advanced_m=0.0,
        sealed="no",
        seat_layer="",
        why="",
    )


def _slurry(level_m, base_m):
    return Slurry(
        fluid="polymer",
        top_m=2.0,
        base_m=base_m,
        level_m=level_m,
        head_m=None,
        density_min_kg_m3=None,
        density_max_kg_m3=None,
        density_target_kg_m3=None,
        governed_by="",
        level_that_opens_m=None,
        wall_spread=None,
        by_depth=(),
    )


PLAIN = Shaft(id="P1", diameter_m=1.2, tip_m=12.0, cutoff_m=2.0)


def test_mass_of_a_48_inch_pipe_of_half_inch_wall():
    # by hand: mean diameter 1.2192 - 0.0127 = 1.2065 m; ring pi x 1.2065 x 0.0127 = 0.048137 m2; x 7850 = 377.88 kg/m; x 10 m
    assert casing_mass_kg(1.2192, 0.0127, 10.0) == pytest.approx(3778.8, abs=0.1)


def test_a_solid_bar_is_its_whole_circle():
    # by hand: 0.1 m bar, pi/4 x 0.01 = 0.00785398 m2; x 7850 = 61.654 kg/m
    assert casing_mass_kg(0.1, 0.05, 1.0) == pytest.approx(61.654, abs=0.001)


def test_plain_shaft_by_the_drawing():
    # by hand: pi/4 x 1.44 x (12 - 2) = 11.3097 m3
    assert concrete_m3(PLAIN, (), 2.0, drawn=True) == pytest.approx(11.3097, abs=1e-4)
    assert concrete_m3(PLAIN, (), 2.0) == pytest.approx(11.3097, abs=1e-4)


def test_socket_at_a_diameter_of_its_own():
    # by hand: pi/4 x (1.44 x 6 + 1.0 x 4) = 0.785398 x 12.64 = 9.9274 m3
    shaft = Shaft(id="P1", diameter_m=1.2, tip_m=12.0, cutoff_m=2.0, socket_top_m=8.0, socket_diameter_m=1.0)
    assert concrete_m3(shaft, (), 2.0, drawn=True) == pytest.approx(9.9274, abs=1e-4)


def test_a_pulled_casing_leaves_its_outside_and_the_wider_hole_drilled_for_it():
    # by hand: drilled pi/4 (1.5^2 x 5 + 1.4^2 x 1 + 1.2^2 x 6) = 0.785398 x 21.85 = 17.1610 m3
    # concrete from 2 m: pi/4 (2.25 x 3 + 1.96 x 1 + 1.44 x 6) = 0.785398 x 17.35 = 13.6267 m3
    casing = _casing("temporary", 1.4, 6.0, predrill_m=1.5, predrilled_to_m=5.0)
    assert drilled_m3(PLAIN, (casing,)) == pytest.approx(17.1610, abs=1e-4)
    assert concrete_m3(PLAIN, (casing,), 2.0) == pytest.approx(13.6267, abs=1e-4)
    assert concrete_m3(PLAIN, (casing,), 2.0, drawn=True) == pytest.approx(11.3097, abs=1e-4)


def test_a_casing_that_stays_is_filled_to_its_inside():
    # by hand: inside 1.24 - 0.02 = 1.22 m; pi/4 (1.22^2 x 4 + 1.44 x 6) = 0.785398 x 14.5936 = 11.4618 m3
    # drilled: pi/4 (1.24^2 x 6 + 1.44 x 6) = 0.785398 x 17.8656 = 14.0316 m3
    casing = _casing("permanent", 1.24, 6.0)
    assert concrete_m3(PLAIN, (casing,), 2.0) == pytest.approx(11.4618, abs=1e-4)
    assert drilled_m3(PLAIN, (casing,)) == pytest.approx(14.0316, abs=1e-4)


def test_concrete_over_the_ground_stands_in_a_form_of_the_shafts_diameter():
    # by hand: cut-off 1 m above the ground; pi/4 x 1.44 x 13 = 14.7027 m3
    assert concrete_m3(PLAIN, (), -1.0) == pytest.approx(14.7027, abs=1e-4)


def test_a_bell_is_a_frustum_less_the_shaft_in_it():
    # by hand: from 1 m to 2 m over 1 m, pi/12 (4 + 2 + 1) = 1.83260 m3, less pi/4 = 0.78540 m3: 1.04720 m3
    shaft = Shaft(id="P1", diameter_m=1.0, tip_m=10.0, bell=Bell(diameter_m=2.0, height_m=1.0))
    assert bell_m3(shaft) == pytest.approx(1.04720, abs=1e-5)
    assert concrete_m3(shaft, (), 0.0) == pytest.approx(7.85398 + 1.04720, abs=1e-4)


def test_fluid_fills_the_starter_and_the_hole_below_it():
    # by hand, inside a wall of 10 mm: pi/4 x 1.48^2 x (2 + 0.5) = 4.30084 m3; pi/4 x 1.2^2 x (10 - 2) = 9.04779 m3; a hole of 1.4 m
    # down to 6 m for a casing that is set later: pi/4 x 1.4^2 x 4 + pi/4 x 1.2^2 x 4 = 6.15752 + 4.52389 m3
    starter = _casing("starter", 1.5, 2.0)
    plain = _under_fluid(starter, (2.0, 10.0, 1.2))
    assert fluid_m3(plain, _slurry(-0.5, 10.0)) == pytest.approx(4.30084 + 9.04779, abs=1e-4)
    assert fluid_m3(plain, None) == 0.0
    wider = _under_fluid(starter, (2.0, 6.0, 1.4), (6.0, 10.0, 1.2))
    assert fluid_m3(wider, _slurry(-0.5, 10.0)) == pytest.approx(4.30084 + 6.15752 + 4.52389, abs=1e-4)


def test_without_a_casing_fluid_fills_the_hole_from_its_level_down():
    # by hand: level 0.15 m below the ground, pi/4 x 1.2^2 x (10 - 0.15) = 11.14009 m3
    bare = _under_fluid(None, (0.0, 10.0, 1.2))
    assert fluid_m3(bare, _slurry(0.15, 10.0)) == pytest.approx(11.14009, abs=1e-4)


def test_without_a_casing_fluid_fills_a_raised_pad_as_wide_as_the_first_tool():
    # by hand: level 1.4 m above the ground in a pad, pi/4 x 1.4^2 x (6 + 1.4) + pi/4 x 1.2^2 x 4 = 11.39141 + 4.52389 m3
    bare = _under_fluid(None, (0.0, 6.0, 1.4), (6.0, 10.0, 1.2))
    assert fluid_m3(bare, _slurry(-1.4, 10.0)) == pytest.approx(11.39141 + 4.52389, abs=1e-4)


def _under_fluid(starter, *drilled):
    """Return a way with a starter or none, and lengths drilled under polymer by top, base and tool."""
    stages = [Stage(1, "set_starter", -1.0, starter.base_m, "temporary_casing", None, None, 1.0, "")] if starter else []
    stages += [
        Stage(number, "drill", top, base, "slurry", "polymer", "polymer", 1.0, "", tool)
        for number, (top, base, tool) in enumerate(drilled, len(stages) + 1)
    ]
    return BuiltWay(tuple(stages), (starter,) if starter else (), (), None, None)


OVER_A_VOID = """methodpick: 1

site: {name: a void in the sandstone, units: si}
borings:
  - id: B1
    technique: core
    depth: 20
    layers:
      - {top: 0, base: 6, description: Medium dense fine SAND}
      - {top: 6, base: 12, description: Stiff brown CLAY}
      - {top: 12, base: 12.6, description: VOID}
      - {top: 12.6, base: 20, description: "Weak MUDSTONE, widely jointed"}
    water: [{reading: settled, depth: 2}]
shafts: [{id: S1, boring: B1, diameter: 1200mm, tip: 15}]
"""


@pytest.mark.parametrize(
    ("base_m", "sealed"),
    [(6.0, False), (6.5, False), (6.7, True), (12.0, True), (12.3, False), (12.6, False), (12.65, False), (12.8, True)],
)
def test_a_shoe_seals_only_by_the_least_length_of_a_seat_in_ground_that_seals(read_text, book, base_m, sealed):
    """By the table of seats, own values: 0.6 m of clay, 0.1 m of rock; none on their face, in sand or in a void."""
    site = read_text(OVER_A_VOID)
    made = plan(site, book)
    (shaft,) = made.shafts
    ground = ground_anew(basis_of(made, site, book), shaft, shaft.levels, shaft.cuts_m)
    casing = replace(shaft.casings[-1], kind="temporary", base_m=base_m, sealed="probable")
    found = [
        each
        for each in check_casings(ground, SimpleNamespace(built=SimpleNamespace(casings=(casing,), fluids=())))
        if each.what.endswith("sealed")
    ]
    assert (not found) == sealed
