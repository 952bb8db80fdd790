"""Fresh concrete: its pressure, what must stand over a casing shoe that is pulled, the start of a tremie, bulging of soft clay."""

from __future__ import annotations

from math import pi

from methodpick.mechanics.earth_pressure import WATER_KN_M3
from methodpick.mechanics.registry import Argument, formula, positive

CRITICAL_SHARE = 1.0 / 3.0
"""Of the height of a pour, from its top down, over which fresh concrete presses with its whole weight."""


@formula(
    title="Pressure of fresh concrete",
    symbols="pc = gc h",
    source="fluid of its own weight: the upper envelope of what was measured",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={"concrete_kn_m3": Argument("kN/m3", 21, 26, "+"), "height_m": Argument("m", 0, 200, "+")},
    unit="kPa",
    example=({"concrete_kn_m3": 23.5, "height_m": 10.0}, 235.0),
)
def concrete_pressure(concrete_kn_m3: float, height_m: float) -> float:
    """Compute the pressure in kPa of fresh concrete under a height of it.

    >>> concrete_pressure(23.5, 10.0)
    235.0
    """
    return concrete_kn_m3 * max(0.0, height_m)


@formula(
    title="Pressure of fresh concrete that stiffens in a deep pour",
    symbols="pc = gc h to a third of the pour, gw h + (gc - gw) H / 3 below",
    source="measured in panels and shafts poured under bentonite, Lings, Ng and Nash 1994, from memory; with water for the bentonite",
    key="lings-1994",
    standing="fair",
    evidence="memory",
    arguments={
        "concrete_kn_m3": Argument("kN/m3", 21, 26, "+"),
        "height_m": Argument("m", 0, 200, "+"),
        "pour_m": Argument("m", 0, 200, "+"),
        "water_kn_m3": Argument("kN/m3", 9.7, 10.2, "+"),
    },
    unit="kPa",
    example=({"concrete_kn_m3": 24.0, "height_m": 20.0, "pour_m": 30.0, "water_kn_m3": 10.0}, 340.0),
)
def concrete_pressure_stiffened(concrete_kn_m3: float, height_m: float, pour_m: float, water_kn_m3: float = WATER_KN_M3) -> float:
    """Compute the pressure in kPa of fresh concrete under a height of it, in a pour of a whole height in m.

    It grows with the weight of concrete to a third of the pour, with that of water below: the lower envelope of what was measured.

    >>> concrete_pressure_stiffened(24.0, 10.0, 30.0), concrete_pressure_stiffened(24.0, 20.0, 30.0, 10.0)
    (240.0, 340.0)
    """
    height, fluid_m = max(0.0, height_m), max(0.0, pour_m) * CRITICAL_SHARE
    return concrete_kn_m3 * min(height, fluid_m) + water_kn_m3 * max(0.0, height - fluid_m)


@formula(
    title="Concrete over the shoe",
    symbols="hc = (p_out + margin) / gc",
    source="inside concrete pressure above outside fluid pressure at all times: FHWA-NHI-18-024 ch. 7, transcription",
    key="gec10-2018",
    standing="solid",
    evidence="digest",
    arguments={
        "outside_pressure_kpa": Argument("kPa", 0, 3000, "+"),
        "concrete_kn_m3": Argument("kN/m3", 21, 26, "-"),
        "margin_kpa": Argument("kPa", 0, 50, "+"),
    },
    unit="m",
    example=({"outside_pressure_kpa": 102.5, "concrete_kn_m3": 23.5, "margin_kpa": 15.0}, 5.0),
)
def concrete_head_needed(outside_pressure_kpa: float, concrete_kn_m3: float, margin_kpa: float) -> float:
    """Compute the height in m of fresh concrete above the shoe that outweighs the fluid outside it.

    >>> concrete_head_needed(102.5, 23.5, 15.0)
    5.0
    """
    return max(0.0, outside_pressure_kpa + margin_kpa) / positive("concrete_kn_m3", concrete_kn_m3)


@formula(
    title="Concrete over the shoe under fluid",
    symbols="c = (gc z - gf f - p_out - margin) / (gc - gf)",
    source="inside concrete and fluid pressure above outside fluid pressure: FHWA-NHI-18-024 ch. 7, transcription; balance of columns",
    key="gec10-2018",
    standing="solid",
    evidence="own",
    arguments={
        "shoe_m": Argument("m", 0, 200),
        "fluid_level_m": Argument("m", -10, 200, "-"),
        "outside_pressure_kpa": Argument("kPa", 0, 3000, "-"),
        "margin_kpa": Argument("kPa", 0, 50, "-"),
        "concrete_kn_m3": Argument("kN/m3", 21, 26),
        "fluid_kn_m3": Argument("kN/m3", 0, 13),
    },
    unit="m",
    example=(
        {
            "shoe_m": 20.0,
            "fluid_level_m": 0.0,
            "outside_pressure_kpa": 230.0,
            "margin_kpa": 15.0,
            "concrete_kn_m3": 23.5,
            "fluid_kn_m3": 10.3,
        },
        17.0455,
    ),
)
def concrete_level_needed(
    shoe_m: float, fluid_level_m: float, outside_pressure_kpa: float, margin_kpa: float, concrete_kn_m3: float, fluid_kn_m3: float
) -> float:
    """Compute the depth in m at or above which concrete under fluid must stand in a casing so as to outweigh the fluid outside.

    >>> round(concrete_level_needed(20.0, 0.0, 230.0, 15.0, 23.5, 10.3), 4)
    17.0455
    """
    over = concrete_kn_m3 * shoe_m - fluid_kn_m3 * fluid_level_m - outside_pressure_kpa - margin_kpa
    return over / positive("concrete_kn_m3 - fluid_kn_m3", concrete_kn_m3 - fluid_kn_m3)


@formula(
    title="Bulging of soft clay",
    symbols="R = (pc - sh) / su",
    source="expansion of a cavity in clay, whose limit pressure is 1 + ln(G/su) (Gibson and Anderson 1961)",
    key="own",
    standing="fair",
    evidence="own",
    arguments={
        "concrete_kpa": Argument("kPa", 0, 3000, "+"),
        "horizontal_kpa": Argument("kPa", 0, 3000, "-"),
        "su_kpa": Argument("kPa", 1, 2000),
    },
    unit="1",
    example=({"concrete_kpa": 235.0, "horizontal_kpa": 135.0, "su_kpa": 20.0}, 5.0),
)
def bulging_ratio(concrete_kpa: float, horizontal_kpa: float, su_kpa: float) -> float:
    """Compute the net pressure of fresh concrete over the strength of the clay.

    >>> bulging_ratio(235.0, 135.0, 20.0)
    5.0
    """
    return (concrete_kpa - horizontal_kpa) / positive("su_kpa", su_kpa)


@formula(
    title="First charge of a tremie",
    symbols="V = pi/4 D^2 (g + e) + pi/4 d^2 h gf / gc",
    source="volume to seal the mouth and the concrete that balances the fluid in the pipe; the usual form, from memory",
    key="statics",
    standing="fair",
    evidence="memory",
    arguments={
        "hole_diameter_m": Argument("m", 0.3, 6, "+"),
        "pipe_diameter_m": Argument("m", 0.1, 0.5, "+"),
        "gap_m": Argument("m", 0, 1, "+"),
        "embedment_m": Argument("m", 0, 5, "+"),
        "fluid_m": Argument("m", 0, 200, "+"),
        "fluid_kn_m3": Argument("kN/m3", 9, 13, "+"),
        "concrete_kn_m3": Argument("kN/m3", 21, 26, "-"),
    },
    unit="m3",
    example=(
        {
            "hole_diameter_m": 1.2,
            "pipe_diameter_m": 0.25,
            "gap_m": 0.3,
            "embedment_m": 1.0,
            "fluid_m": 20.0,
            "fluid_kn_m3": 10.3,
            "concrete_kn_m3": 23.5,
        },
        1.9006,
    ),
)
def tremie_charge(
    hole_diameter_m: float,
    pipe_diameter_m: float,
    gap_m: float,
    embedment_m: float,
    fluid_m: float,
    fluid_kn_m3: float,
    concrete_kn_m3: float,
) -> float:
    """Compute the concrete in m3 that must be at hand to start a tremie: it covers the mouth and balances the fluid over it.

    ``gap_m`` is the height of the mouth above the base, ``embedment_m`` what covers the mouth, ``fluid_m`` the fluid above.

    >>> round(tremie_charge(1.2, 0.25, 0.3, 1.0, 20.0, 10.3, 23.5), 3)
    1.901
    """
    column = fluid_m * fluid_kn_m3 / positive("concrete_kn_m3", concrete_kn_m3)
    return pi / 4.0 * (hole_diameter_m**2 * (gap_m + embedment_m) + pipe_diameter_m**2 * column)


@formula(
    title="Concrete in an annulus",
    symbols="a = c + gf (c - f) / (gc - gf) below the fluid level f, a = c above it",
    source="balance of two columns that meet at the shoe",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "inside_m": Argument("m", -5, 200, "+"),
        "fluid_level_m": Argument("m", -5, 200, "-"),
        "fluid_kn_m3": Argument("kN/m3", 0, 13),
        "concrete_kn_m3": Argument("kN/m3", 21, 26),
    },
    unit="m",
    example=({"inside_m": 10.0, "fluid_level_m": 0.0, "fluid_kn_m3": 10.0, "concrete_kn_m3": 25.0}, 16.667),
)
def annulus_level(inside_m: float, fluid_level_m: float, fluid_kn_m3: float, concrete_kn_m3: float) -> float:
    """Compute the depth in m to which concrete rises outside a casing when it stands at a depth inside and the shoe is free.

    The fluid outside is pushed up and runs off at its level; where the concrete inside stands above that level, both are level.

    >>> round(annulus_level(10.0, 0.0, 10.0, 25.0), 3), annulus_level(-1.0, 0.0, 10.0, 23.5)
    (16.667, -1.0)
    """
    under = max(0.0, inside_m - fluid_level_m)
    return inside_m + fluid_kn_m3 * under / (concrete_kn_m3 - fluid_kn_m3)
