"""From the penetration test to strength and density, with the spread of the correlations."""

from __future__ import annotations

from math import atan, degrees, log10, sqrt

from methodpick.mechanics.registry import Argument, formula, positive
from methodpick.mechanics.stress import ATMOSPHERE_KPA

_N1 = {"n1_60": Argument("1", 4, 60, "+")}


@formula(
    title="Energy correction",
    symbols="N60 = N ER / 60",
    source="Skempton (1986)",
    key="skempton-1986",
    standing="solid",
    evidence="memory",
    arguments={"n": Argument("1", 0, 200, "+"), "efficiency_percent": Argument("%", 30, 100, "+")},
    unit="1",
    example=({"n": 15.0, "efficiency_percent": 80.0}, 20.0),
)
def n60(n: float, efficiency_percent: float) -> float:
    """Blow count at 60 % energy; rod length, liner and diameter corrections are not made.

    >>> n60(15.0, 80.0)
    20.0
    """
    return n * efficiency_percent / 60.0


@formula(
    title="Overburden correction",
    symbols="CN = sqrt(pa / sv') <= 1.7",
    source="Liao & Whitman (1986)",
    key="liao-whitman-1986",
    standing="fair",
    evidence="memory",
    arguments={"effective_kpa": Argument("kPa", 1, 500, "-"), "atmosphere_kpa": Argument("kPa", 95, 102, "+")},
    unit="1",
    example=({"effective_kpa": 100.0}, 1.0),
)
def overburden_factor(effective_kpa: float, atmosphere_kpa: float = ATMOSPHERE_KPA) -> float:
    """Factor to 100 kPa of overburden.

    >>> overburden_factor(100.0)
    1.0
    """
    return min(1.7, sqrt(atmosphere_kpa / positive("effective_kpa", effective_kpa)))


@formula(
    title="Friction after Wolff",
    symbols="phi = 27.1 + 0.3 N1 - 0.00054 N1^2",
    source="Wolff (1989), fit to Peck, Hanson & Thornburn (1974)",
    key="wolff-1989",
    standing="fair",
    evidence="memory",
    arguments=_N1,
    unit="deg",
    example=({"n1_60": 20.0}, 32.884),
    empirical=True,
)
def phi_wolff(n1_60: float) -> float:
    """Friction angle in degrees.

    >>> round(phi_wolff(20.0), 3)
    32.884
    """
    return 27.1 + 0.3 * n1_60 - 0.00054 * n1_60**2


@formula(
    title="Friction after the FHWA manual",
    symbols="phi = 27.5 + 9.2 log10(N1)",
    source="FHWA-NHI-18-024 (2018), transcription",
    key="gec10-2018",
    standing="fair",
    evidence="digest",
    arguments=_N1,
    unit="deg",
    example=({"n1_60": 20.0}, 39.47),
    empirical=True,
)
def phi_fhwa(n1_60: float) -> float:
    """Friction angle in degrees.

    >>> round(phi_fhwa(20.0), 2)
    39.47
    """
    return 27.5 + 9.2 * log10(max(n1_60, 1.0))


@formula(
    title="Friction after Hatanaka & Uchida",
    symbols="phi = sqrt(15.4 N1) + 20",
    source="Hatanaka & Uchida (1996)",
    key="hatanaka-uchida-1996",
    standing="fair",
    evidence="memory",
    arguments=_N1,
    unit="deg",
    example=({"n1_60": 20.0}, 37.55),
    empirical=True,
)
def phi_hatanaka_uchida(n1_60: float) -> float:
    """Friction angle in degrees.

    >>> round(phi_hatanaka_uchida(20.0), 2)
    37.55
    """
    return sqrt(15.4 * max(n1_60, 0.0)) + 20.0


@formula(
    title="Friction after Kulhawy & Mayne",
    symbols="phi = atan[(N60 / (12.2 + 20.3 sv'/pa))^0.34]",
    source="Kulhawy & Mayne (1990)",
    key="kulhawy-mayne-1990",
    standing="fair",
    evidence="memory",
    arguments={"n60": Argument("1", 3, 60, "+"), "effective_kpa": Argument("kPa", 5, 500, "-")},
    unit="deg",
    example=({"n60": 20.0, "effective_kpa": 100.0}, 40.34),
    empirical=True,
)
def phi_kulhawy_mayne(n60: float, effective_kpa: float) -> float:
    """Friction angle in degrees.

    >>> round(phi_kulhawy_mayne(20.0, 100.0), 1)
    40.3
    """
    return degrees(atan((max(n60, 0.0) / (12.2 + 20.3 * effective_kpa / ATMOSPHERE_KPA)) ** 0.34))


def phi_range(n1_60: float) -> tuple[float, float, float]:
    """Low, likely and high friction angle in degrees: the spread of four correlations, the lowest taken as low.

    The likely value is the mean of the lowest and the Hatanaka & Uchida value (own choice), all kept in 26 to 45.

    >>> [round(phi, 1) for phi in phi_range(20.0)]
    [32.9, 35.2, 39.5]
    """
    count = min(max(n1_60, 1.0), 60.0)
    low, middle, high = phi_wolff(count), phi_hatanaka_uchida(count), max(phi_fhwa(count), phi_hatanaka_uchida(count))
    bounds = sorted((low, (low + middle) / 2.0, high))
    kept = [min(45.0, max(26.0, angle)) for angle in bounds]
    return kept[0], kept[1], kept[2]


def su_range(n60: float, pi_percent: float | None = None) -> tuple[float, float, float]:
    """Low, likely and high undrained strength in kPa from the blow count.

    Likely 6.25 N (Terzaghi & Peck classes, half of the unconfined strength); low 4 N and high 9 N by Stroud (1974) f1 of
    4 to 7 and the higher values found since (White et al. 2019); a plastic clay (PI 40 or more) has 5 N likely and 7 N
    high. At least 3 to 12 kPa, since below about 5 blows the count says little. From memory.

    >>> su_range(10.0)
    (40.0, 62.5, 90.0)
    """
    plastic = pi_percent is not None and pi_percent >= 40.0
    likely, high = (5.0, 7.0) if plastic else (6.25, 9.0)
    count = max(n60, 0.0)
    return max(3.0, 4.0 * count), max(6.0, likely * count), max(15.0, high * count + (0.0 if count >= 5 else 5.0))


@formula(
    title="Relative density",
    symbols="Dr = sqrt(N1 / 60)",
    source="Skempton (1986)",
    key="skempton-1986",
    standing="fair",
    evidence="memory",
    arguments=_N1,
    unit="1",
    example=({"n1_60": 15.0}, 0.5),
    empirical=True,
)
def relative_density(n1_60: float) -> float:
    """Relative density, 0 to 1.

    >>> relative_density(15.0)
    0.5
    """
    return min(1.0, sqrt(max(n1_60, 0.0) / 60.0))
