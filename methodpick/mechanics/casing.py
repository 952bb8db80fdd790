"""Casing: mass, strength against outside pressure, least walls."""

from __future__ import annotations

from math import pi, sqrt

from methodpick.mechanics.registry import Argument, formula, positive
from methodpick.mechanics.stress import STEEL_KG_M3

YOUNG_KPA = 200e6
POISSON = 0.3
_SIZE = {"outside_diameter_m": Argument("m", 0.3, 4), "wall_m": Argument("m", 0.004, 0.05, "+")}


@formula(
    title="Mass of casing",
    symbols="m = pi (D - t) t rho",
    source="geometry with steel of 7850 kg/m3",
    key="astm-a252",
    standing="solid",
    evidence="read",
    arguments={
        "outside_diameter_m": Argument("m", 0.13, 4, "+"),
        "wall_m": Argument("m", 0.003, 0.06, "+"),
        "steel_kg_m3": Argument("kg/m3", 7700, 8000, "+"),
    },
    unit="kg/m",
    example=({"outside_diameter_m": 0.6096, "wall_m": 0.0127}, 186.94),
)
def mass_per_metre(outside_diameter_m: float, wall_m: float, steel_kg_m3: float = STEEL_KG_M3) -> float:
    """Mass in kg/m of a plain pipe.

    24 in by 0.500 in is 125.62 lb/ft (186.94 kg/m) in ASTM A252 table 3.

    >>> round(mass_per_metre(0.6096, 0.0127), 1)
    186.9
    """
    return pi * (positive("outside_diameter_m", outside_diameter_m) - positive("wall_m", wall_m)) * wall_m * steel_kg_m3


@formula(
    title="Elastic collapse of a long tube",
    symbols="pcr = 2E / (1 - nu^2) (t/D)^3",
    source="Timoshenko & Gere (1961)",
    key="timoshenko-gere-1961",
    standing="solid",
    evidence="memory",
    arguments={
        "outside_diameter_m": Argument("m", 0.3, 4, "-"),
        "wall_m": Argument("m", 0.004, 0.05, "+"),
        "young_kpa": Argument("kPa", 1.9e8, 2.1e8, "+"),
        "poisson": Argument("1", 0.25, 0.33),
    },
    unit="kPa",
    example=({"outside_diameter_m": 1.2, "wall_m": 0.01}, 254.375),
)
def collapse_pressure(outside_diameter_m: float, wall_m: float, young_kpa: float = YOUNG_KPA, poisson: float = POISSON) -> float:
    """Outside pressure in kPa at which a perfectly round long tube buckles.

    >>> round(collapse_pressure(1.2, 0.01), 1)
    254.4
    """
    slender = positive("wall_m", wall_m) / positive("outside_diameter_m", outside_diameter_m)
    return 2.0 * young_kpa / (1.0 - poisson**2) * slender**3


@formula(
    title="Collapse of an oval tube",
    symbols="p^2 - [sy/m + (1 + 6 m n) pcr] p + sy pcr / m = 0, m = r/t, n = u0/r",
    source="Timoshenko & Gere (1961), from memory",
    key="timoshenko-gere-1961",
    standing="solid",
    evidence="memory",
    arguments={
        "outside_diameter_m": Argument("m", 0.3, 4, "-"),
        "wall_m": Argument("m", 0.004, 0.05, "+"),
        "ovality": Argument("1", 0, 0.05, "-"),
        "yield_kpa": Argument("kPa", 1e5, 6e5, "+"),
        "young_kpa": Argument("kPa", 1.9e8, 2.1e8, "+"),
    },
    unit="kPa",
    example=({"outside_diameter_m": 1.2, "wall_m": 0.01, "ovality": 0.0, "yield_kpa": 1e9}, 254.375),
)
def oval_collapse_pressure(
    outside_diameter_m: float, wall_m: float, ovality: float, yield_kpa: float, young_kpa: float = YOUNG_KPA
) -> float:
    """Outside pressure in kPa at which a tube of an initial ovality (radial deviation over radius) first yields.

    >>> round(oval_collapse_pressure(1.2, 0.01, 0.0, 1e9), 1)
    254.4
    """
    critical = collapse_pressure(outside_diameter_m, wall_m, young_kpa)
    slender = outside_diameter_m / (2.0 * wall_m)
    first = yield_kpa / slender + (1.0 + 6.0 * slender * ovality) * critical
    return (first - sqrt(first**2 - 4.0 * yield_kpa * critical / slender)) / 2.0


@formula(
    title="Hoop yield",
    symbols="p = 2 sy t / D",
    source="thin tube",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "outside_diameter_m": Argument("m", 0.3, 4, "-"),
        "wall_m": Argument("m", 0.004, 0.05, "+"),
        "yield_kpa": Argument("kPa", 1e5, 6e5, "+"),
    },
    unit="kPa",
    example=({"outside_diameter_m": 1.0, "wall_m": 0.01, "yield_kpa": 250000.0}, 5000.0),
)
def hoop_yield_pressure(outside_diameter_m: float, wall_m: float, yield_kpa: float) -> float:
    """Outside pressure in kPa at which the wall yields in plain compression.

    >>> hoop_yield_pressure(1.0, 0.01, 250000.0)
    5000.0
    """
    return 2.0 * yield_kpa * wall_m / positive("outside_diameter_m", outside_diameter_m)


@formula(
    title="Least wall of driven pipe",
    symbols="t = 6.35 mm + D / 100",
    source="API RP 2A, driven pipe, from memory",
    key="api-rp-2a",
    standing="fair",
    evidence="memory",
    arguments={"outside_diameter_m": Argument("m", 0.3, 4, "+")},
    unit="m",
    empirical=True,
    example=({"outside_diameter_m": 0.9144}, 0.015494),
)
def driving_wall(outside_diameter_m: float) -> float:
    """Least wall in m of a pipe that is driven or vibrated hard.

    >>> round(driving_wall(0.9144), 6)
    0.015494
    """
    return 0.00635 + positive("outside_diameter_m", outside_diameter_m) / 100.0


@formula(
    title="Least wall for handling",
    symbols="t = D/288 to 54 in, (D + 20 in)/400 above",
    source="AWWA M11, from memory",
    key="awwa-m11",
    standing="fair",
    evidence="memory",
    arguments={"outside_diameter_m": Argument("m", 0.3, 4, "+")},
    unit="m",
    empirical=True,
    example=({"outside_diameter_m": 1.2192}, 0.0042333),
)
def handling_wall(outside_diameter_m: float) -> float:
    """Least wall in m that a pipe needs to be lifted and stored.

    >>> round(handling_wall(1.2192), 7)
    0.0042333
    """
    diameter = positive("outside_diameter_m", outside_diameter_m)
    return diameter / 288.0 if diameter <= 1.3716 else (diameter + 0.508) / 400.0
