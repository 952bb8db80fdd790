"""The open hole in clay, undrained: overload, collapse, closure, base heave."""

from __future__ import annotations

from math import exp, log

from methodpick.mechanics.registry import Argument, formula, positive

PLANE_CUT = 3.8
"""Stability number of a plane vertical cut (3.78 by limit analysis); a round hole cannot be weaker."""
SQUEEZE_CAP = 6.0
"""Overload ratio at which soft clay squeezes in (Broms & Bennermark 1967, from memory)."""


@formula(
    title="Overload ratio of a clay wall",
    symbols="OR = (sv + q - pi) / su",
    source="Broms & Bennermark (1967), stability of clay at vertical openings, from memory",
    key="broms-bennermark-1967",
    standing="solid",
    evidence="memory",
    arguments={
        "total_stress_kpa": Argument("kPa", 0, 6000, "+"),
        "inside_pressure_kpa": Argument("kPa", 0, 6000, "-"),
        "su_kpa": Argument("kPa", 1, 2000),
    },
    unit="1",
    example=({"total_stress_kpa": 180.0, "inside_pressure_kpa": 60.0, "su_kpa": 30.0}, 4.0),
)
def overload_ratio(total_stress_kpa: float, inside_pressure_kpa: float, su_kpa: float) -> float:
    """Total stress less inside pressure over undrained strength.

    Source: Broms & Bennermark (1967), from memory; the definition is common to all stability numbers.

    >>> overload_ratio(180.0, 60.0, 30.0)
    4.0
    """
    return (total_stress_kpa - inside_pressure_kpa) / positive("su_kpa", su_kpa)


@formula(
    title="Collapse limit of a round clay hole",
    symbols="N = max(3.8, 2 (1 + ln(1 + 2 z / D)))",
    source="phi = 0 limit of the axisymmetric active pressure with the hoop stress equal to the major stress, own "
    "derivation; the same expression is remembered from Meyerhof (1972)",
    key="meyerhof-1972",
    standing="fair",
    evidence="own",
    arguments={"depth_m": Argument("m", 0, 100, "+"), "diameter_m": Argument("m", 0.3, 6, "-")},
    unit="1",
    example=({"depth_m": 5.0, "diameter_m": 1.0}, 6.7958),
)
def collapse_limit(depth_m: float, diameter_m: float) -> float:
    """Overload ratio at which an unsupported round wall in uniform clay collapses at a depth.

    Derivation: with phi = 0 and hoop stress = vertical stress, radial equilibrium d(sr)/dr = 2 su / r - g on slip lines
    at 45 degrees, integrated from rb = r0 + z (where the vertical stress is the surcharge) to r0, gives
    p = g z + q - 2 su (1 + ln(1 + z / r0)). p = 0 is collapse. Against it: axisymmetric limit analysis gives 4.66 to
    10.8 for depth over diameter of 0.25 to 10, always above this. Not for clay whose strength grows from zero at the
    surface (use the local strength) nor for fissured clay (use a safety factor of 2).

    >>> round(collapse_limit(5.0, 1.0), 4)
    6.7958
    """
    return max(PLANE_CUT, 2.0 * (1.0 + log(1.0 + 2.0 * max(depth_m, 0.0) / positive("diameter_m", diameter_m))))


@formula(
    title="Collapse limit with the squeeze cap",
    symbols="N = min(6, collapse limit)",
    source="Broms & Bennermark (1967), failure range 6 to 8, from memory",
    key="broms-bennermark-1967",
    standing="fair",
    evidence="memory",
    arguments={"depth_m": Argument("m", 0, 100, "+"), "diameter_m": Argument("m", 0.3, 6, "-")},
    unit="1",
    example=({"depth_m": 20.0, "diameter_m": 1.2}, 6.0),
)
def capped_limit(depth_m: float, diameter_m: float) -> float:
    """Collapse limit of soft or sensitive clay: never above 6.

    >>> capped_limit(20.0, 1.2)
    6.0
    """
    return min(SQUEEZE_CAP, collapse_limit(depth_m, diameter_m))


@formula(
    title="Undrained closure of a hole",
    symbols="u/r0 = (su / 2G) exp(OR - 1), OR / 2(G/su) while elastic",
    source="cylindrical cavity contraction, elastic-perfectly plastic (framework of Yu 2000), own derivation",
    key="yu-2000",
    standing="fair",
    evidence="own",
    arguments={"overload": Argument("1", 0, 10, "+"), "rigidity": Argument("1", 20, 1000, "-")},
    unit="1",
    example=({"overload": 4.0, "rigidity": 100.0}, 0.10043),
)
def closure_ratio(overload: float, rigidity: float) -> float:
    """Inward movement of the wall over the radius; ``rigidity`` is shear modulus over undrained strength.

    >>> round(closure_ratio(4.0, 100.0), 5)
    0.10043
    """
    half = 2.0 * positive("rigidity", rigidity)
    return overload / half if overload <= 1.0 else exp(overload - 1.0) / half


@formula(
    title="Yielded ring around a hole",
    symbols="rp / r0 = exp((OR - 1) / 2)",
    source="cylindrical cavity contraction, elastic-perfectly plastic (framework of Yu 2000), own derivation",
    key="yu-2000",
    standing="fair",
    evidence="own",
    arguments={"overload": Argument("1", 0, 10, "+")},
    unit="1",
    example=({"overload": 4.0}, 4.4817),
)
def plastic_radius(overload: float) -> float:
    """Radius of the ring of clay that yields, over the radius of the hole; 1 while the wall is elastic.

    Derivation: inside the ring d(sr)/dr = 2 su / r, so the radial stress rises by 2 su ln(rp / r0) from the inside
    pressure to sh - su, where the elastic ground begins.

    >>> round(plastic_radius(4.0), 4)
    4.4817
    """
    return exp(max(0.0, overload - 1.0) / 2.0)


@formula(
    title="Base heave of a cased clay hole",
    symbols="FS = Nc su / (sv + q - pf), Nc = 6.17 (1 + 0.2 H/D) <= 9",
    source="Skempton (1951); Bjerrum & Eide (1956), chart values from memory",
    key="bjerrum-eide-1956",
    standing="fair",
    evidence="memory",
    arguments={
        "depth_m": Argument("m", 0, 100),
        "diameter_m": Argument("m", 0.3, 6),
        "su_kpa": Argument("kPa", 1, 2000, "+"),
        "total_stress_kpa": Argument("kPa", 1, 6000, "-"),
        "fluid_kpa": Argument("kPa", 0, 6000, "+"),
    },
    unit="1",
    example=({"depth_m": 10.0, "diameter_m": 1.0, "su_kpa": 30.0, "total_stress_kpa": 180.0, "fluid_kpa": 0.0}, 1.5),
)
def base_heave_factor(depth_m: float, diameter_m: float, su_kpa: float, total_stress_kpa: float, fluid_kpa: float = 0.0) -> float:
    """Safety of the base of a cased hole in clay against heave; infinite where fluid carries the whole stress.

    >>> base_heave_factor(10.0, 1.0, 30.0, 180.0)
    1.5
    """
    net = total_stress_kpa - fluid_kpa
    return float("inf") if net <= 0 else heave_number(depth_m, diameter_m) * su_kpa / net


@formula(
    title="Bearing number against base heave",
    symbols="Nc = 6.17 (1 + 0.2 H/D) <= 9",
    source="stand-in for the chart of Bjerrum & Eide (1956), from memory",
    key="bjerrum-eide-1956",
    standing="fair",
    evidence="memory",
    arguments={"depth_m": Argument("m", 0, 100, "+"), "diameter_m": Argument("m", 0.3, 6, "-")},
    unit="1",
    example=({"depth_m": 2.0, "diameter_m": 1.0}, 8.638),
    empirical=False,
)
def heave_number(depth_m: float, diameter_m: float) -> float:
    """Bearing number of a round base at a depth.

    >>> round(heave_number(2.0, 1.0), 3)
    8.638
    """
    return min(9.0, 6.17 * (1.0 + 0.2 * depth_m / positive("diameter_m", diameter_m)))
