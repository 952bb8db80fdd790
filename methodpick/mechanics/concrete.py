"""Fresh concrete: lateral pressure, balance at the shoe while casing is pulled, bulging of soft clay."""

from __future__ import annotations

from math import pi, sqrt

from methodpick.mechanics.registry import Argument, formula, positive


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
def concrete_head_needed(outside_pressure_kpa: float, concrete_kn_m3: float = 23.5, margin_kpa: float = 15.0) -> float:
    """Height in m of fresh concrete above the shoe that outweighs the fluid outside it.

    >>> concrete_head_needed(102.5)
    5.0
    """
    return max(0.0, outside_pressure_kpa + margin_kpa) / positive("concrete_kn_m3", concrete_kn_m3)


@formula(
    title="Level drop on a pull",
    symbols="dh = L (Dh^2 - di^2) / Dh^2",
    source="volume balance",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "pulled_length_m": Argument("m", 0, 200, "+"),
        "inside_diameter_m": Argument("m", 0.2, 6, "-"),
        "hole_diameter_m": Argument("m", 0.2, 6, "+"),
    },
    unit="m",
    example=({"pulled_length_m": 10.668, "inside_diameter_m": 1.3462, "hole_diameter_m": 1.3716}, 0.39144),
)
def level_drop(pulled_length_m: float, inside_diameter_m: float, hole_diameter_m: float) -> float:
    """Fall in m of the concrete when a casing full over a length is pulled from a hole.

    A 54 in by 0.5 in casing pulled over 35 ft: 1.28 ft.

    >>> round(level_drop(10.668, 1.3462, 1.3716) / 0.3048, 2)
    1.28
    """
    hole = positive("hole_diameter_m", hole_diameter_m)
    return pulled_length_m * max(0.0, hole**2 - inside_diameter_m**2) / hole**2


@formula(
    title="Lateral pressure of fresh concrete",
    symbols="p = gc z to hc = H/3, then gf z + (gc - gf) hc",
    source="Lings, Ng & Nash (1994), from memory",
    key="lings-1994",
    standing="fair",
    evidence="memory",
    arguments={
        "depth_m": Argument("m", 0, 100, "+"),
        "pour_m": Argument("m", 1, 100, "+"),
        "concrete_kn_m3": Argument("kN/m3", 21, 26, "+"),
        "fluid_kn_m3": Argument("kN/m3", 9, 13, "+"),
    },
    unit="kPa",
    example=({"depth_m": 30.0, "pour_m": 30.0, "concrete_kn_m3": 24.0, "fluid_kn_m3": 10.0}, 440.0),
)
def lateral_pressure(depth_m: float, pour_m: float, concrete_kn_m3: float = 23.5, fluid_kn_m3: float = 10.3) -> float:
    """Lower envelope in kPa of the pressure of concrete poured under fluid; gc z is the upper one.

    >>> lateral_pressure(30.0, 30.0, 24.0, 10.0)
    440.0
    """
    critical = pour_m / 3.0
    if depth_m <= critical:
        return concrete_kn_m3 * depth_m
    return fluid_kn_m3 * depth_m + (concrete_kn_m3 - fluid_kn_m3) * critical


@formula(
    title="Bulging of soft clay",
    symbols="R = (pc - sh) / su",
    source="cavity expansion; about 4 begins to bulge, own value",
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
    """Net pressure of fresh concrete over the strength of the clay.

    >>> bulging_ratio(235.0, 135.0, 20.0)
    5.0
    """
    return (concrete_kpa - horizontal_kpa) / positive("su_kpa", su_kpa)


@formula(
    title="Formwork pressure of concrete",
    symbols="P = g [C1 sqrt(R) + C2 K sqrt(H - C1 sqrt(R))], K = (36 / (T + 16))^2",
    source="CIRIA Report 108 (Clear & Harrison 1985), from memory",
    key="ciria-108",
    standing="weak",
    evidence="memory",
    empirical=True,
    arguments={
        "concrete_kn_m3": Argument("kN/m3", 21, 26, "+"),
        "rise_m_h": Argument("m/h", 0.2, 15, "+"),
        "pour_m": Argument("m", 1, 40, "+"),
        "temperature_c": Argument("C", 5, 30, "-"),
        "c1": Argument("1", 1.0, 1.5),
        "c2": Argument("1", 0.3, 0.6, "+"),
    },
    unit="kPa",
    example=({"concrete_kn_m3": 25.0, "rise_m_h": 10.0, "pour_m": 20.0, "temperature_c": 15.0, "c1": 1.5, "c2": 0.45}, 177.85),
)
def formwork_pressure(
    concrete_kn_m3: float, rise_m_h: float, pour_m: float, temperature_c: float, c1: float = 1.5, c2: float = 0.45
) -> float:
    """Greatest pressure in kPa of concrete in formwork; for information, since retarded shaft mixes fall outside it.

    >>> round(formwork_pressure(25.0, 10.0, 20.0, 15.0), 1)
    177.8
    """
    stiff = (36.0 / (temperature_c + 16.0)) ** 2
    full = c1 * sqrt(max(rise_m_h, 0.0))
    return concrete_kn_m3 * min(pour_m, full + c2 * stiff * sqrt(max(pour_m - full, 0.0)))


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
        {"hole_diameter_m": 1.2, "pipe_diameter_m": 0.25, "gap_m": 0.3, "embedment_m": 1.0, "fluid_m": 20.0, "fluid_kn_m3": 10.3},
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
    concrete_kn_m3: float = 23.5,
) -> float:
    """Concrete in m3 that must be at hand to start a tremie: it covers the mouth and balances the fluid over it.

    ``gap_m`` is the height of the mouth above the base, ``embedment_m`` what covers the mouth, ``fluid_m`` the fluid above.

    >>> round(tremie_charge(1.2, 0.25, 0.3, 1.0, 20.0, 10.3), 3)
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
def annulus_level(inside_m: float, fluid_level_m: float, fluid_kn_m3: float, concrete_kn_m3: float = 23.5) -> float:
    """Depth in m to which concrete rises outside a casing when it stands at a depth inside and the shoe is free.

    The fluid outside is pushed up and runs off at its level; where the concrete inside stands above that level, both are level.

    >>> round(annulus_level(10.0, 0.0, 10.0, 25.0), 3), annulus_level(-1.0, 0.0, 10.0)
    (16.667, -1.0)
    """
    under = max(0.0, inside_m - fluid_level_m)
    return inside_m + fluid_kn_m3 * under / (concrete_kn_m3 - fluid_kn_m3)
