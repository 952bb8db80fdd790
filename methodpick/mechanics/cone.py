"""From the cone test to strength."""

from __future__ import annotations

from methodpick.mechanics.registry import Argument, formula, positive


@formula(
    title="Cone resistance with pore pressure behind the tip",
    symbols="qt = qc + (1 - a) u2",
    source="Lunne, Robertson & Powell (1997); Robertson & Cabal, guide to cone penetration testing",
    key="lunne-robertson-powell",
    standing="solid",
    evidence="memory",
    arguments={
        "resistance_kpa": Argument("kPa", 0, 150000, "+"),
        "pore_kpa": Argument("kPa", -100, 5000, "+"),
        "area_ratio": Argument("1", 0.3, 1),
    },
    unit="kPa",
    example=({"resistance_kpa": 800.0, "pore_kpa": 400.0, "area_ratio": 0.8}, 880.0),
)
def corrected_cone_resistance(resistance_kpa: float, pore_kpa: float, area_ratio: float) -> float:
    """Compute the cone resistance in kPa that the whole tip meets; water behind it, over the area that the shaft leaves, pushes down.

    >>> corrected_cone_resistance(800.0, 400.0, 0.8)
    880.0
    """
    return resistance_kpa + (1.0 - area_ratio) * pore_kpa


@formula(
    title="Undrained strength by cone resistance",
    symbols="su = max(least, (qt - sv) / Nkt)",
    source="Lunne, Robertson & Powell (1997): Nkt 10 to 20, in usual clay about 14 (Robertson & Cabal)",
    key="lunne-robertson-powell",
    standing="fair",
    evidence="memory",
    arguments={
        "corrected_kpa": Argument("kPa", 0, 150000, "+"),
        "total_stress_kpa": Argument("kPa", 0, 5000, "-"),
        "cone_factor": Argument("1", 8, 30, "-"),
        "least_kpa": Argument("kPa", 0, 50, "+"),
    },
    unit="kPa",
    example=({"corrected_kpa": 880.0, "total_stress_kpa": 180.0, "cone_factor": 14.0, "least_kpa": 1.0}, 50.0),
)
def strength_by_cone(corrected_kpa: float, total_stress_kpa: float, cone_factor: float, least_kpa: float = 1.0) -> float:
    """Compute the undrained strength in kPa of clay from the net cone resistance; in sand it means nothing.

    >>> strength_by_cone(880.0, 180.0, 14.0)
    50.0
    """
    return max(least_kpa, (corrected_kpa - total_stress_kpa) / positive("cone_factor", cone_factor))
