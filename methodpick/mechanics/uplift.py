"""The base of the hole under water pressure: plug uplift, quick condition, seal embedment."""

from __future__ import annotations

from methodpick.mechanics.registry import Argument, formula, positive
from methodpick.mechanics.stress import WATER_KN_M3


@formula(
    title="Uplift of a tight plug",
    symbols="FS = (g t + gf hf + 4 a cu t / D) / (gw hp)",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "plug_weight_kpa": Argument("kPa", 0, 3000, "+"),
        "fluid_kpa": Argument("kPa", 0, 3000, "+"),
        "adhesion_kpa": Argument("kPa", 0, 3000, "+"),
        "uplift_kpa": Argument("kPa", 0.1, 3000, "-"),
    },
    unit="1",
    example=({"plug_weight_kpa": 60.0, "fluid_kpa": 40.0, "adhesion_kpa": 0.0, "uplift_kpa": 80.0}, 1.25),
)
def plug_factor(plug_weight_kpa: float, fluid_kpa: float, adhesion_kpa: float, uplift_kpa: float) -> float:
    """Safety of the ground between the base and an aquifer below; infinite without pressure.

    >>> plug_factor(60.0, 40.0, 0.0, 80.0)
    1.25
    """
    return float("inf") if uplift_kpa <= 0 else (plug_weight_kpa + fluid_kpa + adhesion_kpa) / uplift_kpa


@formula(
    title="Fluid height against uplift",
    symbols="hf = (FS gw hp - g t) / gf",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "uplift_kpa": Argument("kPa", 0, 3000, "+"),
        "plug_weight_kpa": Argument("kPa", 0, 3000, "-"),
        "fluid_kn_m3": Argument("kN/m3", 9, 13, "-"),
        "factor": Argument("1", 1, 2, "+"),
    },
    unit="m",
    example=({"uplift_kpa": 98.1, "plug_weight_kpa": 40.0, "fluid_kn_m3": 10.3, "factor": 1.25}, 8.0218),
)
def fluid_height_needed(uplift_kpa: float, plug_weight_kpa: float, fluid_kn_m3: float, factor: float) -> float:
    """Height in m of fluid above the plug that gives a safety factor; none where the plug holds alone.

    >>> round(fluid_height_needed(98.1, 40.0, 10.3, 1.25), 4)
    8.0218
    """
    return max(0.0, (factor * uplift_kpa - plug_weight_kpa) / positive("fluid_kn_m3", fluid_kn_m3))


@formula(
    title="Critical gradient",
    symbols="ic = (g - gw) / gw",
    source="Terzaghi (1922), in every soil mechanics text",
    key="terzaghi-peck-1967",
    standing="solid",
    evidence="memory",
    arguments={"unit_weight_kn_m3": Argument("kN/m3", 12, 26, "+"), "water_kn_m3": Argument("kN/m3", 9.7, 10.2)},
    unit="1",
    example=({"unit_weight_kn_m3": 19.62}, 1.0),
)
def critical_gradient(unit_weight_kn_m3: float, water_kn_m3: float = WATER_KN_M3) -> float:
    """Upward gradient at which ground of a total unit weight turns quick.

    >>> critical_gradient(19.62)
    1.0
    """
    return (unit_weight_kn_m3 - water_kn_m3) / positive("water_kn_m3", water_kn_m3)


@formula(
    title="Seal embedment",
    symbols="t = max(FS gw hp / g, dh / i)",
    source="uplift and gradient along the shoe, own values",
    key="own",
    standing="weak",
    evidence="own",
    arguments={
        "head_m": Argument("m", 0, 100, "+"),
        "unit_weight_kn_m3": Argument("kN/m3", 12, 26, "-"),
        "factor": Argument("1", 1, 2, "+"),
        "gradient": Argument("1", 0.1, 1, "-"),
        "water_kn_m3": Argument("kN/m3", 9.7, 10.2),
    },
    unit="m",
    example=({"head_m": 1.0, "unit_weight_kn_m3": 20.0, "factor": 1.25, "gradient": 0.5}, 2.0),
)
def seal_embedment(
    head_m: float, unit_weight_kn_m3: float, factor: float = 1.25, gradient: float = 0.5, water_kn_m3: float = WATER_KN_M3
) -> float:
    """Length in m by which a shoe must stand in tight ground against a head difference.

    >>> seal_embedment(1.0, 20.0)
    2.0
    """
    return max(factor * water_kn_m3 * head_m / positive("unit_weight_kn_m3", unit_weight_kn_m3), head_m / gradient)


@formula(
    title="Head that lifts a plug",
    symbols="h = g t / gw",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "plug_m": Argument("m", 0, 100, "+"),
        "unit_weight_kn_m3": Argument("kN/m3", 12, 26, "+"),
        "water_kn_m3": Argument("kN/m3", 9.7, 10.2, "-"),
    },
    unit="m",
    example=({"plug_m": 3.0, "unit_weight_kn_m3": 19.62, "water_kn_m3": 9.81}, 6.0),
)
def lifting_head(plug_m: float, unit_weight_kn_m3: float, water_kn_m3: float = WATER_KN_M3) -> float:
    """Head in m above its underside that just lifts tight ground of a thickness, adhesion at the wall not counted.

    >>> lifting_head(3.0, 19.62)
    6.0
    """
    return unit_weight_kn_m3 * plug_m / positive("water_kn_m3", water_kn_m3)
