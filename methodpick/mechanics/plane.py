"""Plane-strain cuts and trenches: references beside the round hole, never its limit."""

from __future__ import annotations

from math import inf, radians, sqrt, tan

from methodpick.mechanics.active import ka
from methodpick.mechanics.registry import Argument, formula, positive


@formula(
    title="Vertical cut in c-phi ground",
    symbols="Hc = 4 c / g tan(45 + phi/2)",
    source="Terzaghi (1943), from memory",
    key="terzaghi-1943",
    standing="solid",
    evidence="memory",
    arguments={
        "cohesion_kpa": Argument("kPa", 0, 500, "+"),
        "unit_weight_kn_m3": Argument("kN/m3", 8, 26, "-"),
        "phi_deg": Argument("deg", 0, 45, "+"),
    },
    unit="m",
    example=({"cohesion_kpa": 5.0, "unit_weight_kn_m3": 18.0, "phi_deg": 30.0}, 1.9245),
)
def cut_height(cohesion_kpa: float, unit_weight_kn_m3: float, phi_deg: float) -> float:
    """Depth in m at which a long vertical cut fails, by a plane wedge; 4 su / g for clay.

    The exact plane value lies a little lower (3.78 for 4); an open tension crack lowers it to two thirds.

    >>> round(cut_height(5.0, 18.0, 30.0), 4)
    1.9245
    """
    return 4.0 * cohesion_kpa / (positive("unit_weight_kn_m3", unit_weight_kn_m3) * sqrt(ka(phi_deg)))


@formula(
    title="Slurry trench in dry sand",
    symbols="FS = 2 sqrt(g gf) tan(phi) / (g - gf)",
    source="Nash & Jones (1963), from memory; equals tan(phi) / tan(phi_m) with Ka(phi_m) = gf / g",
    key="nash-jones-1963",
    standing="solid",
    evidence="memory",
    arguments={
        "unit_weight_kn_m3": Argument("kN/m3", 14, 24, "-"),
        "fluid_kn_m3": Argument("kN/m3", 9, 13, "+"),
        "phi_deg": Argument("deg", 20, 45, "+"),
    },
    unit="1",
    example=({"unit_weight_kn_m3": 18.0, "fluid_kn_m3": 10.4, "phi_deg": 35.0}, 2.5211),
)
def trench_factor(unit_weight_kn_m3: float, fluid_kn_m3: float, phi_deg: float) -> float:
    """Safety of a long trench in dry sand full of slurry; infinite where the slurry is as heavy as the sand.

    Derivation: the fluid pressure gf z equals the active pressure g z Ka of sand whose friction is phi_m, so that
    tan(45 - phi_m/2) = sqrt(gf/g) and tan(phi_m) = (g - gf) / (2 sqrt(g gf)).

    >>> round(trench_factor(18.0, 10.4, 35.0), 4)
    2.5211
    """
    over = unit_weight_kn_m3 - fluid_kn_m3
    return inf if over <= 0 else 2.0 * sqrt(unit_weight_kn_m3 * fluid_kn_m3) * tan(radians(phi_deg)) / over


@formula(
    title="Slurry trench with a water table",
    symbols="gf = [Ka g + (1 - Ka) m^2 gw] / n^2",
    source="wedge of Morgenstern & Amir-Tahmasseb (1965), abstract read, own closed form",
    key="morgenstern-1965",
    standing="solid",
    evidence="own",
    arguments={
        "unit_weight_kn_m3": Argument("kN/m3", 14, 24, "+"),
        "phi_deg": Argument("deg", 20, 45, "-"),
        "water_share": Argument("1", 0, 1, "+"),
        "fluid_share": Argument("1", 0.5, 1.2, "-"),
        "water_kn_m3": Argument("kN/m3", 9.7, 10.2, "+"),
    },
    unit="kN/m3",
    example=({"unit_weight_kn_m3": 19.62, "phi_deg": 35.0, "water_share": 0.9, "fluid_share": 1.0, "water_kn_m3": 9.81}, 11.1096),
)
def trench_fluid_weight(
    unit_weight_kn_m3: float, phi_deg: float, water_share: float, fluid_share: float, water_kn_m3: float = 9.81
) -> float:
    """Least unit weight in kN/m3 of slurry that holds a long trench; water and fluid heights as shares of its depth.

    Derivation: with one unit weight of the ground the critical wedge stands at 45 + phi/2; along it the water takes
    m^2 gw / 2 and the grains Ka (g - m^2 gw) / 2 of the fluid's n^2 gf / 2. Plane strain asks more than a shaft needs.

    >>> round(trench_fluid_weight(19.62, 35.0, 0.9, 1.0), 2)
    11.11
    """
    active = ka(phi_deg)
    return (active * unit_weight_kn_m3 + (1.0 - active) * water_share**2 * water_kn_m3) / positive("fluid_share", fluid_share) ** 2
