"""Permeability from the grains, and from a test in an open casing."""

from __future__ import annotations

from math import log, pi, sqrt

from methodpick.mechanics.registry import Argument, formula, positive


@formula(
    title="Permeability by Kozeny and Carman",
    symbols="k = 1.99e4 (Deff / S)^2 e^3 / (1 + e) (cm/s, cm)",
    source="Carrier (2003), from memory; two transcriptions of UFC 3-220-10 misprint the constant",
    key="carrier-2003",
    standing="fair",
    evidence="memory",
    empirical=True,
    arguments={
        "effective_mm": Argument("mm", 0.005, 3, "+"),
        "void_ratio": Argument("1", 0.3, 1.2, "+"),
        "shape": Argument("1", 6, 8.5, "-"),
    },
    unit="m/s",
    example=({"effective_mm": 0.2, "void_ratio": 0.6, "shape": 7.5}, 1.9104e-4),
)
def kozeny_carman(effective_mm: float, void_ratio: float, shape: float = 7.5) -> float:
    """Permeability in m/s of sand and gravel without plasticity; ``shape`` is 6 for round grains, 8.5 for angular ones.

    ``effective_mm`` is the harmonic mean size 100 % / sum(f / (Dl^0.404 Ds^0.596)) over the fractions of the grading.

    >>> round(kozeny_carman(0.2, 0.6) * 1e4, 3)
    1.91
    """
    ratio = effective_mm / 10.0 / positive("shape", shape)
    return 0.01 * 1.99e4 * ratio**2 * void_ratio**3 / (1.0 + void_ratio)


@formula(
    title="Permeability and void ratio",
    symbols="k1 / k2 = [e1^3 / (1 + e1)] / [e2^3 / (1 + e2)]",
    source="Kozeny-Carman; UFC 3-220-10, eq. 6-14, transcription",
    key="ufc-3-220-10",
    standing="fair",
    evidence="digest",
    arguments={"void_ratio": Argument("1", 0.2, 1.5, "+"), "known_void_ratio": Argument("1", 0.2, 1.5, "-")},
    unit="1",
    example=({"void_ratio": 0.8, "known_void_ratio": 0.6}, 2.107),
)
def void_ratio_factor(void_ratio: float, known_void_ratio: float) -> float:
    """Permeability at one void ratio over that at a known one, in the same sand.

    >>> round(void_ratio_factor(0.8, 0.6), 3)
    2.107
    """
    known = positive("known_void_ratio", known_void_ratio)
    return (void_ratio**3 / (1.0 + void_ratio)) / (known**3 / (1.0 + known))


@formula(
    title="Shape factor of an uncased length",
    symbols="F = 2 pi L / ln(L/D + sqrt(1 + (L/D)^2))",
    source="Hvorslev (1951), from memory",
    key="hvorslev-1951",
    standing="fair",
    evidence="memory",
    arguments={"length_m": Argument("m", 0.5, 50, "+"), "diameter_m": Argument("m", 0.05, 6, "+")},
    unit="m",
    example=({"length_m": 3.0, "diameter_m": 1.0}, 10.3657),
)
def open_length_factor(length_m: float, diameter_m: float) -> float:
    """Shape factor in m of a length of open hole below casing; the inflow is F k H.

    >>> round(open_length_factor(3.0, 1.0), 4)
    10.3657
    """
    slender = length_m / positive("diameter_m", diameter_m)
    return 2.0 * pi * length_m / log(slender + sqrt(1.0 + slender**2))


@formula(
    title="Time lag of a casing with a flat base",
    symbols="T = pi D / (11 k)",
    source="Hvorslev (1951); NAVFAC DM-7.1, from memory",
    key="hvorslev-1951",
    standing="fair",
    evidence="memory",
    arguments={"diameter_m": Argument("m", 0.02, 6, "+"), "permeability_m_s": Argument("m/s", 1e-12, 1, "-")},
    unit="s",
    example=({"diameter_m": 0.1, "permeability_m_s": 1e-6}, 28559.9),
)
def time_lag(diameter_m: float, permeability_m_s: float) -> float:
    """Seconds after which a level in a casing has made up 63 % of its difference: how long a boring must be watched.

    >>> round(time_lag(0.1, 1e-6))
    28560
    """
    return pi * diameter_m / (11.0 * positive("permeability_m_s", permeability_m_s))


@formula(
    title="Permeability at a rise",
    symbols="k = v pi D^2 / 4 / (2.75 D H)",
    source="Hvorslev (1951) base inflow, solved for k",
    key="hvorslev-1951",
    standing="fair",
    evidence="memory",
    arguments={"rise_m_h": Argument("m/h", 0, 10, "+"), "diameter_m": Argument("m", 0.3, 6, "+"), "head_m": Argument("m", 0.1, 200, "-")},
    unit="m/s",
    example=({"rise_m_h": 0.3048, "diameter_m": 1.2, "head_m": 6.0}, 4.836e-6),
)
def permeability_at_rise(rise_m_h: float, diameter_m: float, head_m: float) -> float:
    """Permeability in m/s at which water rises in a cased, emptied hole at a rate.

    12 in/h in a 1.2 m hole under 6 m of head: any sand lets in more.

    >>> round(permeability_at_rise(0.3048, 1.2, 6.0) * 1e6, 3)
    4.836
    """
    return rise_m_h / 3600.0 * pi * diameter_m / (4.0 * 2.75 * positive("head_m", head_m))
