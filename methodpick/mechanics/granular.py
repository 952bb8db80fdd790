"""The open hole in granular ground above water: the cohesion that it needs."""

from __future__ import annotations

from math import radians, sqrt, tan

from methodpick.mechanics.active import ka, signed_pressure
from methodpick.mechanics.registry import Argument, formula, positive


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
    """Cohesion in kPa at which the active pressure on the round wall is just zero at a depth.

    >>> round(cohesion_needed(1e6, 1.0, 18.0, 30.0), 2)
    3.0
    """
    active = ka(phi_deg)
    radius = positive("diameter_m", diameter_m) / 2.0
    ratio = radius / (radius + max(depth_m, 0.0) * sqrt(active))
    weight = signed_pressure(depth_m, diameter_m, unit_weight_kn_m3, phi_deg)
    return float(weight * tan(radians(phi_deg)) / (1.0 - active * ratio ** (1.0 / active - 1.0)))


@formula(
    title="Cohesion by suction",
    symbols="c = gw hc tan(phi), hc = C / (e D10)",
    source="Terzaghi & Peck (1967), capillary rise with C = 10 to 50 mm2, from memory",
    key="terzaghi-peck-1967",
    standing="weak",
    evidence="memory",
    arguments={"d10_mm": Argument("mm", 0.01, 2, "-"), "void_ratio": Argument("1", 0.3, 1.2, "-"), "phi_deg": Argument("deg", 20, 45, "+")},
    unit="kPa",
    empirical=True,
    example=({"d10_mm": 0.1, "void_ratio": 0.6, "phi_deg": 33.0}, 3.185),
)
def suction_cohesion(d10_mm: float, void_ratio: float, phi_deg: float, constant_mm2: float = 30.0) -> float:
    """Greatest apparent cohesion in kPa just above the capillary fringe: a caution only, lost on wetting or drying.

    >>> round(suction_cohesion(0.1, 0.6, 33.0), 3)
    3.185
    """
    rise_m = constant_mm2 / (positive("void_ratio", void_ratio) * positive("d10_mm", d10_mm)) / 1000.0
    return 9.81 * rise_m * tan(radians(phi_deg))
