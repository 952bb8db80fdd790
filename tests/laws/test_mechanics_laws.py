"""Laws of the formulas: one dimension on both sides, known limits, closed forms that equal integration."""

import itertools
from math import exp, log, pi, radians, sin, sqrt, tan

import pytest
from effort import examples
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from mechanics.references import free_surface_inflow, layered_pressure, plastic_radius

from methodpick.mechanics.clay import closure_percent, collapse_limit
from methodpick.mechanics.earth_pressure import cohesion_needed, cylinder_pressure, k0, ka, signed_pressure
from methodpick.mechanics.emptied_hole import radial_inflow
from methodpick.mechanics.registry import all_formulas

FORMULAS = all_formulas()
EXACT = sorted(name for name, record in FORMULAS.items() if not record.empirical)
DIMENSIONS = {  # mass, length, time
    "1": (0, 0, 0),
    "%": (0, 0, 0),
    "deg": (0, 0, 0),
    "C": (0, 0, 0),
    "m": (0, 1, 0),
    "mm": (0, 1, 0),
    "s": (0, 0, 1),
    "kPa": (1, -1, -2),
    "Pa": (1, -1, -2),
    "kN/m3": (1, -2, -2),
    "kg/m3": (1, -3, 0),
    "kg/m": (1, -1, 0),
    "m/s": (0, 1, -1),
    "m/h": (0, 1, -1),
    "m3/s": (0, 3, -1),
    "m3": (0, 3, 0),
    "kg": (1, 0, 0),
    "kN": (1, 1, -2),
    "kN/m": (1, 0, -2),
    "kNm": (1, 2, -2),
    "J": (1, 2, -2),
    "mm/s": (0, 1, -1),
    "m/s2": (0, 1, -2),
    "mg/L": (1, -3, 0),
}


def drawn(data, record):
    values = {}
    for name, argument in record.arguments.items():
        low, high = max(argument.low, -1e6), min(argument.high, 1e9)
        values[name] = data.draw(st.floats(low, high), label=name)
    return values


def defaults(record):
    """Give the defaults of what is not drawn; every dimensional one must be a declared argument."""
    return {name: value for name, value in record.example[0].items() if name not in record.arguments}


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_every_unit_of_a_formula_has_its_dimension(name):
    record = FORMULAS[name]
    assert {record.unit, *(argument.unit for argument in record.arguments.values())} <= set(DIMENSIONS)


@pytest.mark.parametrize("name", EXACT)
@given(data=st.data(), mass=st.floats(0.2, 5), length=st.floats(0.2, 5), time=st.floats(0.2, 5))
@settings(max_examples=examples(25))
def test_a_formula_has_one_dimension_on_both_sides(name, data, mass, length, time):
    """Other units of mass, length and time must change the result by its own dimension and nothing else."""
    record = FORMULAS[name]

    def factor(unit):
        powers = DIMENSIONS[unit]
        return mass ** powers[0] * length ** powers[1] * time ** powers[2]

    values = drawn(data, record)
    try:
        first = record.call(**values, **defaults(record))
    except (ValueError, ZeroDivisionError):
        assume(False)
    scaled = {key: value * factor(record.arguments[key].unit) for key, value in values.items()}
    second = record.call(**scaled, **defaults(record))
    assert second == pytest.approx(first * factor(record.unit), rel=1e-6, abs=1e-9 * max(1.0, abs(first)) * factor(record.unit))


phis, depths, diameters, weights = st.floats(21, 44), st.floats(0.5, 60), st.floats(0.4, 4), st.floats(8, 24)


@given(phis, depths, weights, st.floats(0, 20), st.floats(0, 50))
def test_a_radius_to_infinity_gives_the_plane_case(phi, depth, weight, cohesion, surcharge):
    """Rankine: p = Ka (g z + q) - 2 c sqrt(Ka)."""
    plane = ka(phi) * (weight * depth + surcharge) - 2 * cohesion * sqrt(ka(phi))
    assert signed_pressure(depth, 1e7, weight, phi, cohesion, surcharge) == pytest.approx(plane, rel=1e-4, abs=1e-3)


@given(phis, depths, diameters, weights)
def test_the_round_wall_never_presses_more_than_the_plane_one(phi, depth, diameter, weight):
    k0_hoop, full = cylinder_pressure(depth, diameter, weight, phi, hoop=k0(phi)), cylinder_pressure(depth, diameter, weight, phi)
    assert full <= k0_hoop + 1e-9 <= ka(phi) * weight * depth + 1e-6


@given(phis, depths, diameters, weights)
def test_cohesion_of_nothing_never_holds_and_the_needed_one_just_does(phi, depth, diameter, weight):
    assert cylinder_pressure(depth, diameter, weight, phi) > 0
    needed = cohesion_needed(depth, diameter, weight, phi)
    assert signed_pressure(depth, diameter, weight, phi, needed) == pytest.approx(0, abs=1e-6 * weight * depth)


def integrated(depth, diameter, weight, phi, cohesion, surcharge, hoop, steps=500):
    """Integrate the equilibrium of a ring along the slip line by the midpoint rule: an independent hand, not the package's."""
    root, radius = sqrt(ka(phi)), diameter / 2
    cot = 1 / tan(radians(phi))
    outer = radius + depth * root
    stress, step = surcharge * ka(phi) - 2 * cohesion * root, (radius - outer) / steps

    def slope(r, s):
        ring = hoop * ((s + cohesion * cot) / ka(phi) - cohesion * cot)
        return (ring - s) / r - (weight(depth - (r - radius) / root) if callable(weight) else weight) * root

    at = outer
    for _ in range(steps):
        half = stress + step / 2 * slope(at, stress)
        stress += step * slope(at + step / 2, half)
        at += step
    return stress


@given(phis, st.floats(1, 20), diameters, weights, st.floats(0, 10), st.floats(0, 30), st.floats(0.3, 1))
@settings(max_examples=examples(25))
def test_the_round_pressure_equals_its_integral(phi, depth, diameter, weight, cohesion, surcharge, hoop):
    wanted = integrated(depth, diameter, weight, phi, cohesion, surcharge, hoop)
    assert signed_pressure(depth, diameter, weight, phi, cohesion, surcharge, hoop) == pytest.approx(wanted, rel=2e-3, abs=2e-2)


@given(phis, st.floats(2, 20), diameters, st.floats(0.1, 0.9), st.floats(8, 12), st.floats(14, 22))
@settings(max_examples=examples(25))
def test_the_layered_pressure_equals_its_integral(phi, depth, diameter, share, below, above):
    """The unit weight falls with depth, smoothly, as below a water table."""

    def weight(z):
        return above + (below - above) * (max(z, 0.0) / depth) ** (1 + share)

    wanted = integrated(depth, diameter, weight, phi, 0.0, 5.0, 1.0)
    assert layered_pressure(depth, diameter, weight, phi, 0.0, 5.0, 1.0) == pytest.approx(wanted, rel=2e-3, abs=2e-2)
    light = integrated(depth, diameter, lambda z: weight(depth - z), phi, 0.0, 5.0, 1.0)
    assert layered_pressure(depth, diameter, lambda z: weight(depth - z), phi, 0.0, 5.0, 1.0) == pytest.approx(light, rel=2e-3, abs=2e-2)


def test_a_dozen_steps_are_nearly_as_good_as_many():
    """Runge-Kutta of fourth order: the error at 12 steps is below 1e-4 of the closed form."""
    closed = cylinder_pressure(6.0, 2.0, 18.0, 32.0, 0.0, 10.0, 0.8)
    assert layered_pressure(6.0, 2.0, lambda _: 18.0, 32.0, 0.0, 10.0, 0.8, 12) == pytest.approx(closed, rel=1e-4)


@given(st.floats(1.0, 30), diameters)
@settings(max_examples=examples(30))
def test_the_clay_limit_equals_its_integral(depth, diameter):
    """d(sr)/dr = 2 su / r - g from r0 + z to r0 with su = 1: sr = 0 at r0 where g z = N."""
    radius, steps = diameter / 2, 3000
    step, ring = depth / steps, 0.0
    for index in range(steps):
        ring += 2.0 / (radius + (index + 0.5) * step) * step
    assert max(3.8, 2.0 + ring) == pytest.approx(collapse_limit(depth, diameter), rel=1e-3)


@given(st.floats(1.05, 5), st.floats(50, 500))
@settings(max_examples=examples(40))
def test_closure_equals_the_flow_of_the_yielded_ring(overload, rigidity):
    """No change of volume: u r is constant, and at the edge of the ring the elastic ground has moved by su rp / 2G."""
    ring = plastic_radius(overload)
    assert ring == pytest.approx(exp((overload - 1) / 2))
    assert closure_percent(overload, rigidity) == pytest.approx(min(100, 100 * ring**2 / (2 * rigidity)), rel=1e-9)


@given(st.floats(0.25, 10))
def test_the_recommended_clay_limit_lies_below_the_limit_analysis_band(slender):
    """Own axisymmetric finite-element limit analysis, 1 to 2 % high: linear between 0.25, 0.5, 1, 2, 3, 5, 10 diameters."""
    band = [(0.25, 4.66), (0.5, 5.17), (1, 6.02), (2, 7.20), (3, 8.03), (5, 9.18), (10, 10.81)]
    upper = next(b for b in itertools.pairwise(band) if b[0][0] <= slender <= b[1][0])
    (x0, y0), (x1, y1) = upper
    assert collapse_limit(slender, 1.0) <= 0.98 * (y0 + (y1 - y0) * (slender - x0) / (x1 - x0))


@given(st.floats(1e-8, 1e-3), st.floats(5, 30), st.floats(0.01, 0.05), diameters, st.floats(20, 300))
def test_a_small_drawdown_makes_free_and_confined_flow_alike(k, height, share, diameter, reach):
    """(H^2 - h^2) / 2 tends to H s."""
    drawdown = height * share
    free = free_surface_inflow(k, height, height - drawdown, diameter, reach)
    assert free == pytest.approx(radial_inflow(k, height - drawdown / 2, drawdown, diameter, reach), rel=1e-6)


def test_the_deep_limit_of_the_round_wall():
    """p tends to g r0 sqrt(Ka) / (Kp - 2), that is 0.289 g D at 30 degrees (own)."""
    assert cylinder_pressure(1e8, 1.0, 1.0, 30) == pytest.approx(0.5 * sqrt(1 / 3) / (3 - 2), rel=1e-4)
    assert cylinder_pressure(1e8, 1.0, 1.0, 30) == pytest.approx(0.289, abs=1e-3)
    assert k0(30) == pytest.approx(1 - sin(pi / 6))
    assert log(1) == 0
