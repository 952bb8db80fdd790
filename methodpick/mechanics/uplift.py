"""The base of the hole over water under pressure: uplift of the ground between."""

from __future__ import annotations

from math import inf

from methodpick.mechanics.registry import Argument, formula, positive


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
    """Compute the safety of the ground between the base and an aquifer below; infinite without pressure.

    >>> plug_factor(60.0, 40.0, 0.0, 80.0)
    1.25
    """
    return inf if uplift_kpa <= 0 else (plug_weight_kpa + fluid_kpa + adhesion_kpa) / uplift_kpa


@formula(
    title="Fluid pressure against uplift",
    symbols="p = FS gw hp - g t",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "uplift_kpa": Argument("kPa", 0, 3000, "+"),
        "plug_weight_kpa": Argument("kPa", 0, 3000, "-"),
        "factor": Argument("1", 1, 2, "+"),
    },
    unit="kPa",
    example=({"uplift_kpa": 98.1, "plug_weight_kpa": 40.0, "factor": 1.25}, 82.625),
)
def plug_needed_pressure(uplift_kpa: float, plug_weight_kpa: float, factor: float) -> float:
    """Compute the pressure in kPa on the base that gives a plug a safety factor; zero or less where it holds alone.

    >>> round(plug_needed_pressure(98.1, 40.0, 1.25), 3)
    82.625
    """
    return factor * uplift_kpa - plug_weight_kpa


@formula(
    title="Plug against uplift",
    symbols="t = FS gw hp / g",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "uplift_kpa": Argument("kPa", 0, 3000, "+"),
        "unit_weight_kn_m3": Argument("kN/m3", 12, 26, "-"),
        "factor": Argument("1", 1, 2, "+"),
    },
    unit="m",
    example=({"uplift_kpa": 60.0, "unit_weight_kn_m3": 20.0, "factor": 1.25}, 3.75),
)
def plug_needed_thickness(uplift_kpa: float, unit_weight_kn_m3: float, factor: float) -> float:
    """Compute the thickness in m of tight ground that an emptied hole needs over water under pressure, adhesion not counted.

    >>> plug_needed_thickness(60.0, 20.0, 1.25)
    3.75
    """
    return factor * uplift_kpa / positive("unit_weight_kn_m3", unit_weight_kn_m3)
