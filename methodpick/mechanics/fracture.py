"""What the fluid may press at the most before it opens the ground, and the least that keeps water out."""

from __future__ import annotations

from math import inf

from methodpick.mechanics.registry import Argument, formula, positive


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
    """Total horizontal stress in kPa of level ground: the safe side of the pressure that opens it.

    >>> round(least_horizontal_stress(61.9, 98.1, 0.6), 2)
    135.24
    """
    return at_rest * effective_kpa + pore_kpa


@formula(
    title="Fracture by hoop tension",
    symbols="pf = 2 sh - u + st",
    source="Kirsch (1898), elastic wall that lets no fluid in, from memory",
    key="kirsch-1898",
    standing="weak",
    evidence="memory",
    arguments={
        "horizontal_kpa": Argument("kPa", 0, 5000, "+"),
        "pore_kpa": Argument("kPa", 0, 3000, "-"),
        "tensile_kpa": Argument("kPa", 0, 500, "+"),
    },
    unit="kPa",
    example=({"horizontal_kpa": 135.24, "pore_kpa": 98.1, "tensile_kpa": 0.0}, 172.38),
)
def hoop_fracture_pressure(horizontal_kpa: float, pore_kpa: float, tensile_kpa: float = 0.0) -> float:
    """Fluid pressure in kPa at which an elastic wall without penetration splits; above the least stress, so not relied on.

    >>> round(hoop_fracture_pressure(135.24, 98.1), 2)
    172.38
    """
    return 2.0 * horizontal_kpa - pore_kpa + tensile_kpa


@formula(
    title="Opening of clay",
    symbols="pf = sh + n su",
    source="Mori & Tamura (1987), tests with n = 2 (sh plus the unconfined compressive strength), from memory",
    key="mori-tamura-1987",
    standing="fair",
    evidence="memory",
    arguments={"horizontal_kpa": Argument("kPa", 0, 5000, "+"), "su_kpa": Argument("kPa", 0, 2000, "+"), "share": Argument("1", 0, 2, "+")},
    unit="kPa",
    example=({"horizontal_kpa": 100.0, "su_kpa": 50.0, "share": 1.0}, 150.0),
)
def clay_opening_pressure(horizontal_kpa: float, su_kpa: float, share: float = 1.0) -> float:
    """Fluid pressure in kPa at which unfissured clay opens: the least total stress and a share of the undrained strength.

    >>> clay_opening_pressure(100.0, 50.0)
    150.0
    """
    return horizontal_kpa + share * su_kpa


@formula(
    title="Exclusion of groundwater",
    symbols="p / u >= 1.05",
    source="DIN 4126, 9.1.1, from memory",
    key="din-4126",
    standing="fair",
    evidence="memory",
    arguments={"fluid_kpa": Argument("kPa", 0, 3000, "+"), "pore_kpa": Argument("kPa", 0.1, 3000, "-")},
    unit="1",
    example=({"fluid_kpa": 206.0, "pore_kpa": 176.58}, 1.1666),
)
def exclusion_factor(fluid_kpa: float, pore_kpa: float) -> float:
    """Fluid pressure over groundwater pressure at one depth; 1.05 is the least; infinite without groundwater.

    >>> round(exclusion_factor(206.0, 176.58), 4)
    1.1666
    """
    return inf if pore_kpa <= 0 else fluid_kpa / pore_kpa


@formula(
    title="Fluid that holds clay",
    symbols="gf = (g z + q - N su / FS) / (z - zf)",
    source="overload ratio solved for the fluid: Tresca ground does not feel a pressure common to all sides",
    key="own",
    standing="solid",
    evidence="own",
    arguments={
        "total_stress_kpa": Argument("kPa", 0, 6000, "+"),
        "su_kpa": Argument("kPa", 1, 2000, "-"),
        "limit": Argument("1", 3, 10, "-"),
        "factor": Argument("1", 1, 3, "+"),
        "fluid_column_m": Argument("m", 0.1, 200),
    },
    unit="kN/m3",
    example=({"total_stress_kpa": 340.0, "su_kpa": 25.0, "limit": 6.0, "factor": 1.5, "fluid_column_m": 20.0}, 12.0),
)
def clay_fluid_weight(total_stress_kpa: float, su_kpa: float, limit: float, factor: float, fluid_column_m: float) -> float:
    """Least unit weight in kN/m3 of fluid that keeps a clay wall within its limit; none where the clay stands alone.

    >>> clay_fluid_weight(340.0, 25.0, 6.0, 1.5, 20.0)
    12.0
    """
    held = limit * su_kpa / positive("factor", factor)
    return max(0.0, total_stress_kpa - held) / positive("fluid_column_m", fluid_column_m)
