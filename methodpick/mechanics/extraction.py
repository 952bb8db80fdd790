"""Pulling a casing: side friction of the ground on steel, and the weight of the casing in concrete."""

from __future__ import annotations

from math import sqrt

from methodpick.mechanics.registry import Argument, formula, positive
from methodpick.mechanics.stress import GRAVITY_M_S2, STEEL_KG_M3


@formula(
    title="Friction of sand on steel",
    symbols="f = min(b s'v, flim)",
    source="API RP 2A-WSD (2000), 6.4.3, from memory",
    key="api-rp-2a",
    standing="fair",
    evidence="memory",
    arguments={
        "effective_kpa": Argument("kPa", 0, 3000, "+"),
        "beta": Argument("1", 0, 1, "+"),
        "limit_kpa": Argument("kPa", 10, 200, "+"),
    },
    unit="kPa",
    example=({"effective_kpa": 100.0, "beta": 0.37, "limit_kpa": 81.3}, 37.0),
)
def sand_friction(effective_kpa: float, beta: float, limit_kpa: float) -> float:
    """Friction in kPa of granular ground along a steel wall that it has set up on.

    >>> sand_friction(100.0, 0.37, 81.3), sand_friction(400.0, 0.37, 81.3)
    (37.0, 81.3)
    """
    return min(beta * max(0.0, effective_kpa), limit_kpa)


@formula(
    title="Adhesion of clay on steel",
    symbols="f = a su; r = su / s'v; a = 0.5 / sqrt(r) to r = 1, 0.5 / r^(1/4) above, at most 1",
    source="API RP 2A-WSD (2000), 6.4.2, from memory",
    key="api-rp-2a",
    standing="fair",
    evidence="memory",
    arguments={"su_kpa": Argument("kPa", 1, 2000, "+"), "effective_kpa": Argument("kPa", 1, 3000, "+")},
    unit="kPa",
    example=({"su_kpa": 50.0, "effective_kpa": 100.0}, 35.355),
)
def clay_adhesion(su_kpa: float, effective_kpa: float) -> float:
    """Adhesion in kPa of clay on a steel wall that it has set up on.

    >>> round(clay_adhesion(50.0, 100.0), 2), round(clay_adhesion(160.0, 10.0), 2)
    (35.36, 40.0)
    """
    ratio = positive("su_kpa", su_kpa) / positive("effective_kpa", effective_kpa)
    share = 0.5 / sqrt(ratio) if ratio <= 1.0 else 0.5 / sqrt(sqrt(ratio))
    return su_kpa * min(1.0, share)


@formula(
    title="Weight of a casing in a fluid",
    symbols="W = m g (1 - rf / rs)",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "mass_kg": Argument("kg", 1, 1e6, "+"),
        "fluid_kg_m3": Argument("kg/m3", 0, 2600, "-"),
        "steel_kg_m3": Argument("kg/m3", 7700, 8000, "+"),
        "gravity_m_s2": Argument("m/s2", 9.78, 9.84, "+"),
    },
    unit="kN",
    example=({"mass_kg": 1000.0, "fluid_kg_m3": 0.0}, 9.81),
)
def hanging_weight(mass_kg: float, fluid_kg_m3: float, steel_kg_m3: float = STEEL_KG_M3, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Weight in kN of steel that hangs in a fluid: none lightens it in air, fresh concrete by three tenths.

    >>> round(hanging_weight(1000.0, 0.0), 2), round(hanging_weight(1000.0, 2355.0), 2)
    (9.81, 6.87)
    """
    return mass_kg * gravity_m_s2 * (1.0 - fluid_kg_m3 / positive("steel_kg_m3", steel_kg_m3)) / 1000.0
