"""Earth pressure: weights and stresses in the ground with the pressure of its water, and granular ground on the round wall of a hole.

The wall has the active pressure on it, the fluid that holds it, and the cohesion that it needs to stand without.
"""

from __future__ import annotations

from math import log, radians, sin, sqrt, tan

from methodpick.mechanics.registry import Argument, formula, positive

# ---- weights and stresses


WATER_KN_M3 = 9.81
ATMOSPHERE_KPA = 100.0
STEEL_KG_M3 = 7850.0
GRAVITY_M_S2 = 9.81


@formula(
    title="Unit weight of a density",
    symbols="g = rho g0",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={"density_kg_m3": Argument("kg/m3", 0, 8000, "+"), "gravity_m_s2": Argument("m/s2", 9.78, 9.84, "+")},
    unit="kN/m3",
    example=({"density_kg_m3": 1050.0}, 10.3005),
)
def unit_weight(density_kg_m3: float, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Compute the unit weight in kN/m3 of a fluid or of concrete.

    >>> round(unit_weight(1050.0), 4)
    10.3005
    """
    return density_kg_m3 * gravity_m_s2 / 1000.0


@formula(
    title="Hydrostatic pressure",
    symbols="u = gw h",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={"head_m": Argument("m", -300, 300, "+"), "water_kn_m3": Argument("kN/m3", 9.7, 10.2)},
    unit="kPa",
    example=({"head_m": 10.0}, 98.1),
)
def hydrostatic(head_m: float, water_kn_m3: float = WATER_KN_M3) -> float:
    """Compute the water pressure in kPa under a head in m; there is none above the water.

    >>> hydrostatic(10.0)
    98.1
    """
    return water_kn_m3 * max(0.0, head_m)


@formula(
    title="Total stress",
    symbols="sv = sv0 + g t",
    source="statics of level ground",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "above_kpa": Argument("kPa", 0, 6000, "+"),
        "unit_weight_kn_m3": Argument("kN/m3", 0, 40, "+"),
        "thickness_m": Argument("m", 0, 200, "+"),
    },
    unit="kPa",
    example=({"above_kpa": 90.0, "unit_weight_kn_m3": 20.0, "thickness_m": 3.0}, 150.0),
)
def total_stress(above_kpa: float, unit_weight_kn_m3: float, thickness_m: float) -> float:
    """Compute the total vertical stress in kPa under a thickness of ground that carries a stress from above.

    >>> total_stress(90.0, 20.0, 3.0)
    150.0
    """
    return above_kpa + unit_weight_kn_m3 * thickness_m


@formula(
    title="Effective stress",
    symbols="sv' = sv - u",
    source="Terzaghi (1923), from memory",
    key="statics",
    standing="solid",
    evidence="memory",
    arguments={"total_kpa": Argument("kPa", 0, 6000, "+"), "pore_kpa": Argument("kPa", 0, 3000, "-")},
    unit="kPa",
    example=({"total_kpa": 160.0, "pore_kpa": 98.1}, 61.9),
)
def effective_stress(total_kpa: float, pore_kpa: float) -> float:
    """Compute the effective vertical stress in kPa, never below zero.

    >>> round(effective_stress(160.0, 98.1), 1)
    61.9
    """
    return max(0.0, total_kpa - pore_kpa)


@formula(
    title="Least horizontal stress",
    symbols="sh = K0 sv' + u",
    source="pressure at rest; fluid above it may open the ground",
    key="statics",
    standing="fair",
    evidence="own",
    arguments={
        "effective_kpa": Argument("kPa", 0, 3000, "+"),
        "pore_kpa": Argument("kPa", 0, 3000, "+"),
        "at_rest": Argument("1", 0.2, 3, "+"),
    },
    unit="kPa",
    example=({"effective_kpa": 61.9, "pore_kpa": 98.1, "at_rest": 0.6}, 135.24),
)
def least_horizontal_stress(effective_kpa: float, pore_kpa: float, at_rest: float) -> float:
    """Compute the total horizontal stress in kPa of level ground at rest: the safe side of the pressure that opens it.

    >>> round(least_horizontal_stress(61.9, 98.1, 0.6), 2)
    135.24
    """
    return at_rest * effective_kpa + pore_kpa


# ---- the round wall of a hole


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
    """Compute Rankine's active coefficient.

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
    """Compute the coefficient at rest of normally consolidated ground.

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
    """Compute the effective active pressure in kPa on a frictionless round wall in uniform ground, never below zero.

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
    """Compute the active pressure in kPa before it is cut at zero: negative where the ground holds itself.

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


@formula(
    title="Pressure that holds a granular wall",
    symbols="p = u + FS pa",
    source="statics; factors after DIN 4126 practice",
    key="din-4126",
    standing="fair",
    evidence="memory",
    arguments={"pore_kpa": Argument("kPa", 0, 2000, "+"), "active_kpa": Argument("kPa", 0, 2000, "+"), "factor": Argument("1", 1, 3, "+")},
    unit="kPa",
    example=({"pore_kpa": 80.0, "active_kpa": 10.0, "factor": 1.3}, 93.0),
)
def granular_needed_pressure(pore_kpa: float, active_kpa: float, factor: float) -> float:
    """Compute the fluid pressure in kPa that balances pore water and the active pressure with a factor on the latter.

    >>> granular_needed_pressure(80.0, 10.0, 1.3)
    93.0
    """
    return pore_kpa + factor * active_kpa


@formula(
    title="Cohesion needed by a granular wall",
    symbols="c = p_g tan(phi) / (1 - Ka (r0/rb)^(Kp-1)), hoop factor 1",
    source="zero of the axisymmetric active pressure (Berezantzev 1958), own derivation",
    key="berezantzev-1958",
    standing="fair",
    evidence="own",
    arguments={
        "depth_m": Argument("m", 0, 100, "+"),
        "diameter_m": Argument("m", 0.3, 6, "+"),
        "unit_weight_kn_m3": Argument("kN/m3", 8, 26, "+"),
        "phi_deg": Argument("deg", 20, 45, "-"),
    },
    unit="kPa",
    example=({"depth_m": 1e6, "diameter_m": 1.0, "unit_weight_kn_m3": 18.0, "phi_deg": 30.0}, 3.0),
)
def cohesion_needed(depth_m: float, diameter_m: float, unit_weight_kn_m3: float, phi_deg: float) -> float:
    """Compute the cohesion in kPa at which the active pressure on the round wall is just zero at a depth.

    >>> round(cohesion_needed(1e6, 1.0, 18.0, 30.0), 2)
    3.0
    """
    active = ka(phi_deg)
    radius = positive("diameter_m", diameter_m) / 2.0
    ratio = radius / (radius + max(depth_m, 0.0) * sqrt(active))
    weight = signed_pressure(depth_m, diameter_m, unit_weight_kn_m3, phi_deg)
    return float(weight * tan(radians(phi_deg)) / (1.0 - active * ratio ** (1.0 / active - 1.0)))
