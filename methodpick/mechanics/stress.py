"""Stresses in the ground."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.mechanics.registry import Argument, formula

WATER_KN_M3 = 9.81
ATMOSPHERE_KPA = 100.0
STEEL_KG_M3 = 7850.0
GRAVITY_M_S2 = 9.81


def total_stress(layers: Sequence[tuple[float, float, float]], depth_m: float, surcharge_kpa: float = 0.0) -> float:
    """Total vertical stress in kPa at a depth: the weight of all (top m, base m, kN/m3) above it plus a surcharge.

    Source: statics. Valid for level ground.

    >>> total_stress([(0, 5, 18.0), (5, 20, 20.0)], 8.0)
    150.0
    """
    return surcharge_kpa + sum(weight * max(0.0, min(base, depth_m) - top) for top, base, weight in layers)


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
    """Water pressure in kPa under a head in m; none above the water.

    Source: statics.

    >>> hydrostatic(10.0)
    98.1
    """
    return water_kn_m3 * max(0.0, head_m)
