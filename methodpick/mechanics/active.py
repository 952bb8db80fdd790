"""Active pressure on the round wall of a hole in c-phi ground."""

from __future__ import annotations

from collections.abc import Callable
from math import log, radians, sin, sqrt, tan

from methodpick.mechanics.registry import Argument, formula, positive

_PHI = Argument("deg", 20, 45)


@formula(
    title="Active coefficient",
    symbols="Ka = tan2(45 - phi/2)",
    source="Rankine (1857)",
    key="rankine-1857",
    standing="solid",
    evidence="memory",
    arguments={"phi_deg": Argument("deg", 0, 50, "-")},
    unit="1",
    example=({"phi_deg": 30.0}, 0.3333),
)
def ka(phi_deg: float) -> float:
    """Rankine's active coefficient.

    >>> round(ka(30.0), 4)
    0.3333
    """
    return float(tan(radians(45.0 - phi_deg / 2.0)) ** 2)


@formula(
    title="Pressure at rest",
    symbols="K0 = 1 - sin(phi)",
    source="Jaky (1944)",
    key="jaky-1944",
    standing="fair",
    evidence="memory",
    arguments={"phi_deg": Argument("deg", 20, 45, "-")},
    unit="1",
    example=({"phi_deg": 30.0}, 0.5),
)
def k0(phi_deg: float) -> float:
    """Coefficient at rest of normally consolidated ground.

    >>> round(k0(30.0), 6)
    0.5
    """
    return 1.0 - sin(radians(phi_deg))


@formula(
    title="Active pressure on a round wall",
    symbols="p = g r0 sqrt(Ka)/(eta-1) [1 - x^(eta-1)] + q Ka x^eta + (A - 2c sqrt(Ka)) x^eta - A, eta = lam Kp - 1",
    source="own derivation with a general hoop factor; lam = 1 is Berezantzev (1958), lam = K0 is advised by Cheng & Hu (2005)",
    key="cheng-hu-2005",
    standing="fair",
    evidence="own",
    arguments={
        "depth_m": Argument("m", 0, 100),
        "diameter_m": Argument("m", 0.3, 6),
        "unit_weight_kn_m3": Argument("kN/m3", 1, 26, "+"),
        "phi_deg": _PHI,
        "cohesion_kpa": Argument("kPa", 0, 500, "-"),
        "surcharge_kpa": Argument("kPa", 0, 500, "+"),
        "hoop": Argument("1", 0.2, 1, "-"),
    },
    unit="kPa",
    example=(
        {
            "depth_m": 5.0,
            "diameter_m": 1.0,
            "unit_weight_kn_m3": 1.0,
            "phi_deg": 35.0,
            "cohesion_kpa": 0.0,
            "surcharge_kpa": 0.0,
            "hoop": 1.0,
        },
        0.14696,
    ),
)
def cylinder_pressure(
    depth_m: float,
    diameter_m: float,
    unit_weight_kn_m3: float,
    phi_deg: float,
    cohesion_kpa: float = 0.0,
    surcharge_kpa: float = 0.0,
    hoop: float = 1.0,
) -> float:
    """Effective active pressure in kPa on a frictionless round wall in uniform ground, never below zero.

    Derivation: the hoop stress is ``hoop`` times the vertical one; the slip lines rise at 45 + phi/2. Along them
    d(sr)/dr = [lam (Kp (sr + c cot phi) - c cot phi) - sr]/r - g sqrt(Ka), from rb = r0 + z sqrt(Ka), where the vertical
    stress is the surcharge, to r0. Valid for phi 20 to 45 degrees and depth up to 30 diameters.

    >>> round(cylinder_pressure(5.0, 1.0, 1.0, 35.0), 5)
    0.14696
    """
    return max(0.0, signed_pressure(depth_m, diameter_m, unit_weight_kn_m3, phi_deg, cohesion_kpa, surcharge_kpa, hoop))


def signed_pressure(
    depth_m: float,
    diameter_m: float,
    unit_weight_kn_m3: float,
    phi_deg: float,
    cohesion_kpa: float = 0.0,
    surcharge_kpa: float = 0.0,
    hoop: float = 1.0,
) -> float:
    """Active pressure in kPa before it is cut at zero: negative where the ground holds itself.

    >>> round(signed_pressure(8.0, 2.0, 10.0, 38.0, 3.0, 5.0), 4)
    -1.6803
    """
    active = ka(phi_deg)
    root, radius = sqrt(active), positive("diameter_m", diameter_m) / 2.0
    eta = hoop / active - 1.0
    ratio = radius / (radius + max(depth_m, 0.0) * root)
    weight = (
        -unit_weight_kn_m3 * radius * root * log(ratio)
        if abs(eta - 1.0) < 1e-9
        else unit_weight_kn_m3 * radius * root / (eta - 1.0) * (1.0 - ratio ** (eta - 1.0))
    )
    power = ratio**eta
    if cohesion_kpa == 0.0:
        return float(weight + surcharge_kpa * active * power)
    bound = hoop * cohesion_kpa / tan(radians(phi_deg)) * (1.0 / active - 1.0) / eta
    return float(weight + surcharge_kpa * active * power + (bound - 2.0 * cohesion_kpa * root) * power - bound)


def layered_pressure(
    depth_m: float,
    diameter_m: float,
    unit_weight: Callable[[float], float],
    phi_deg: float,
    cohesion_kpa: float = 0.0,
    surcharge_kpa: float = 0.0,
    hoop: float = 1.0,
    steps: int = 200,
) -> float:
    """Effective active pressure in kPa where the (effective) unit weight changes with depth, by the differential equation.

    ``unit_weight`` gives kN/m3 at a depth in m; fourth-order Runge-Kutta over ``steps`` radii. Uniform ground gives
    :func:`cylinder_pressure`.

    >>> round(layered_pressure(5.0, 1.0, lambda z: 1.0, 35.0), 4)
    0.1470
    """
    active = ka(phi_deg)
    root, radius = sqrt(active), positive("diameter_m", diameter_m) / 2.0
    outer = radius + depth_m * root
    stiff = cohesion_kpa / tan(radians(phi_deg))

    def slope(r: float, stress: float) -> float:
        hoop_stress = hoop * ((stress + stiff) / active - stiff)
        return (hoop_stress - stress) / r - unit_weight(depth_m - (r - radius) / root) * root

    stress = surcharge_kpa * active - 2.0 * cohesion_kpa * root
    step, at = (radius - outer) / steps, outer
    for _ in range(steps):
        one = slope(at, stress)
        two = slope(at + step / 2, stress + step * one / 2)
        three = slope(at + step / 2, stress + step * two / 2)
        four = slope(at + step, stress + step * three)
        stress += step * (one + 2 * two + 2 * three + four) / 6
        at += step
    return max(0.0, stress)
