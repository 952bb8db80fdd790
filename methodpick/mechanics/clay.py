"""The hole in clay, undrained: overload, collapse, the fluid that holds it, closure, base heave."""

from __future__ import annotations

from math import exp, log

from methodpick.mechanics.registry import Argument, formula, positive

PLANE_CUT = 3.8
"""Stability number of a plane vertical cut (3.78 by limit analysis); a round hole cannot be weaker."""
_OVERFLOW = 100.0
"""A hole under this overload ratio is closed by far whatever its rigidity; above about 700 the exponential overflows."""


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
    """Compute the total stress, surcharge included, less the inside pressure, over the undrained strength.

    Source: Broms & Bennermark (1967), from memory; the definition is common to all stability numbers.

    >>> overload_ratio(180.0, 60.0, 30.0)
    4.0
    """
    return (total_stress_kpa - inside_pressure_kpa) / positive("su_kpa", su_kpa)


@formula(
    title="Undrained strength of normally consolidated clay",
    symbols="su = (0.11 + 0.0037 PI) sv'",
    source="Skempton (1957); UFC 3-220-10 (2022) eq. 8-18, transcription",
    key="skempton-1957",
    standing="fair",
    evidence="digest",
    arguments={"effective_kpa": Argument("kPa", 1, 3000, "+"), "pi_percent": Argument("%", 5, 100, "+")},
    unit="kPa",
    example=({"effective_kpa": 100.0, "pi_percent": 30.0}, 22.1),
    empirical=True,
)
def normally_consolidated_strength(effective_kpa: float, pi_percent: float) -> float:
    """Compute the undrained strength of clay that has carried no more than the effective stress on it now; older clay has more.

    Not for clay that still settles under fresh fill or sediment, nor for sensitive clay.

    >>> round(normally_consolidated_strength(100.0, 30.0), 1)
    22.1
    """
    return (0.11 + 0.0037 * pi_percent) * effective_kpa


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
    """Compute the overload ratio at which an unsupported round wall in uniform clay collapses at a depth.

    Derivation: with phi = 0 and hoop stress = vertical stress, radial equilibrium d(sr)/dr = 2 su / r - g on slip lines
    at 45 degrees, integrated from rb = r0 + z (where the vertical stress is the surcharge) to r0, gives
    p = g z + q - 2 su (1 + ln(1 + z / r0)). p = 0 is collapse. Against it: axisymmetric limit analysis gives 4.66 to
    10.8 for depth over diameter of 0.25 to 10, always above this. Not for clay whose strength grows from zero at the
    surface (use the local strength) nor for fissured clay (use a safety factor of 2).

    >>> round(collapse_limit(5.0, 1.0), 4)
    6.7958
    """
    return max(PLANE_CUT, 2.0 * (1.0 + log(1.0 + 2.0 * max(depth_m, 0.0) / positive("diameter_m", diameter_m))))


def collapse_limit_grows_from(diameter_m: float) -> float:
    """Compute the depth in m down to which the collapse limit is that of a plane cut, and below which it grows.

    >>> round(collapse_limit_grows_from(1.0), 3)
    0.73
    >>> collapse_limit(0.72, 1.0) == collapse_limit(0.0, 1.0) < collapse_limit(0.74, 1.0)
    True
    """
    return positive("diameter_m", diameter_m) / 2.0 * (exp(PLANE_CUT / 2.0 - 1.0) - 1.0)


@formula(
    title="Collapse limit with the squeeze cap",
    symbols="N = min(cap, max(3.8, 2 (1 + ln(1 + 2 z / D))))",
    source="Broms & Bennermark (1967), failure range 6 to 8, from memory",
    key="broms-bennermark-1967",
    standing="fair",
    evidence="memory",
    arguments={"depth_m": Argument("m", 0, 100, "+"), "diameter_m": Argument("m", 0.3, 6, "-"), "cap": Argument("1", 4, 8, "+")},
    unit="1",
    example=({"depth_m": 20.0, "diameter_m": 1.2, "cap": 6.0}, 6.0),
)
def capped_limit(depth_m: float, diameter_m: float, cap: float) -> float:
    """Compute the collapse limit of soft or sensitive clay, which squeezes in from an overload ratio of ``cap``.

    >>> capped_limit(20.0, 1.2, 6.0)
    6.0
    """
    return min(cap, collapse_limit(depth_m, diameter_m))


@formula(
    title="Share of the collapse limit",
    symbols="OR / N",
    source="definition",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={"overload": Argument("1", 0, 100, "+"), "limit": Argument("1", 3, 12, "-")},
    unit="1",
    example=({"overload": 3.0, "limit": 6.0}, 0.5),
)
def overload_share(overload: float, limit: float) -> float:
    """Compute how much of the overload ratio at which a clay wall collapses is used up; 1 is collapse.

    >>> overload_share(3.0, 6.0)
    0.5
    """
    return overload / positive("limit", limit)


@formula(
    title="Fluid that holds clay",
    symbols="p = sv + q - N su / FS",
    source="overload ratio solved for the inside pressure: Tresca ground does not feel a pressure common to all sides",
    key="own",
    standing="solid",
    evidence="own",
    arguments={
        "total_stress_kpa": Argument("kPa", 0, 6000, "+"),
        "su_kpa": Argument("kPa", 1, 2000, "-"),
        "limit": Argument("1", 3, 12, "-"),
        "factor": Argument("1", 1, 3, "+"),
    },
    unit="kPa",
    example=({"total_stress_kpa": 340.0, "su_kpa": 25.0, "limit": 6.0, "factor": 1.5}, 240.0),
)
def clay_needed_pressure(total_stress_kpa: float, su_kpa: float, limit: float, factor: float = 1.0) -> float:
    """Compute the inside pressure in kPa that keeps a clay wall within its limit; zero or less where the clay stands alone.

    >>> clay_needed_pressure(340.0, 25.0, 6.0, 1.5)
    240.0
    """
    return total_stress_kpa - limit * su_kpa / positive("factor", factor)


@formula(
    title="Undrained closure of a hole",
    symbols="u/r0 = (su / 2G) exp(OR - 1), OR / 2(G/su) while elastic, at most 100 %",
    source="cylindrical cavity contraction, elastic-perfectly plastic (framework of Yu 2000), own derivation",
    key="yu-2000",
    standing="fair",
    evidence="own",
    arguments={"overload": Argument("1", 0, 10, "+"), "rigidity": Argument("1", 20, 1000, "-")},
    unit="%",
    example=({"overload": 4.0, "rigidity": 100.0}, 10.043),
)
def closure_percent(overload: float, rigidity: float) -> float:
    """Compute the inward movement of the wall in percent of the radius; a hole cannot close by more than that.

    ``rigidity`` is the shear modulus over the undrained strength. The wall moves out where the overload is negative; that is
    not counted.

    >>> round(closure_percent(4.0, 100.0), 3)
    10.043
    """
    half, load = 2.0 * positive("rigidity", rigidity), max(0.0, overload)
    return min(100.0, 100.0 * (load / half if load <= 1.0 else exp(min(load, _OVERFLOW) - 1.0) / half))


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
    """Compute the safety of the base of a hole in clay against heave; infinite where fluid carries the whole stress.

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
)
def heave_number(depth_m: float, diameter_m: float) -> float:
    """Compute the bearing number of a round base at a depth.

    >>> round(heave_number(2.0, 1.0), 3)
    8.638
    """
    return min(9.0, 6.17 * (1.0 + 0.2 * depth_m / positive("diameter_m", diameter_m)))
