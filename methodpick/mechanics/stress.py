"""Weights and stresses in the ground, and the pressure of its water."""

from __future__ import annotations

from methodpick.mechanics.registry import Argument, formula

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
