"""Formulas that the package does not need, written out a second way, so that tests can hold the deciding formulas against them."""

from math import atan, degrees, exp, log, pi, radians, sqrt, tan

from methodpick.mechanics.earth_pressure import ka


def layered_pressure(depth_m, diameter_m, unit_weight, phi_deg, cohesion_kpa=0.0, surcharge_kpa=0.0, hoop=1.0, steps=200):
    """Give the active pressure on a round wall in kPa where the unit weight changes with depth, by fourth-order Runge-Kutta.

    ``unit_weight`` gives kN/m3 at a depth in m. In uniform ground it must equal the closed form of ``cylinder_pressure``.
    """
    active = ka(phi_deg)
    root, radius = sqrt(active), diameter_m / 2
    outer = radius + depth_m * root
    stiff = cohesion_kpa / tan(radians(phi_deg))

    def slope(r, stress):
        ring = hoop * ((stress + stiff) / active - stiff)
        return (ring - stress) / r - unit_weight(depth_m - (r - radius) / root) * root

    stress = surcharge_kpa * active - 2 * cohesion_kpa * root
    step, at = (radius - outer) / steps, outer
    for _ in range(steps):
        first = slope(at, stress)
        second = slope(at + step / 2, stress + step * first / 2)
        third = slope(at + step / 2, stress + step * second / 2)
        fourth = slope(at + step, stress + step * third)
        stress += step * (first + 2 * second + 2 * third + fourth) / 6
        at += step
    return max(0.0, stress)


def plastic_radius(overload):
    """Give the radius of the yielded ring over that of the hole: d(sr)/dr = 2 su / r up to sh - su (framework of Yu 2000)."""
    return exp(max(0.0, overload - 1) / 2)


def free_surface_inflow(permeability_m_s, far_m, near_m, diameter_m, influence_m):
    """Give the inflow in m3/s where the water table itself is drawn down (Dupuit 1863, memory)."""
    return pi * permeability_m_s * max(0.0, far_m**2 - near_m**2) / log(influence_m / (diameter_m / 2))


def level_drop(pulled_m, inside_m, hole_m):
    """Give the fall in m of concrete when a casing full over a length is pulled from a hole: a balance of volumes."""
    return pulled_m * (hole_m**2 - inside_m**2) / hole_m**2


def stress_of_layers(layers, depth_m, surcharge_kpa=0.0):
    """Give the total vertical stress in kPa at a depth from all (top m, base m, kN/m3) above it."""
    return surcharge_kpa + sum(weight * max(0.0, min(base, depth_m) - top) for top, base, weight in layers)


def phi_kulhawy_mayne(n60, effective_kpa):
    """Give the friction angle of sand in degrees after Kulhawy & Mayne (1990), memory: atan((N60 / (12.2 + 20.3 sv'/pa))^0.34)."""
    return degrees(atan((max(n60, 0.0) / (12.2 + 20.3 * effective_kpa / 100.0)) ** 0.34))


def relative_density(n1_60):
    """Give the relative density of sand, 0 to 1, after Skempton (1986), memory: sqrt(N1 / 60)."""
    return min(1.0, sqrt(max(n1_60, 0.0) / 60.0))
