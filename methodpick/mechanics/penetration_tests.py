"""From penetration tests, standard and by cone, to strength and density."""

from __future__ import annotations

from math import log, log10, sqrt

from methodpick.mechanics.earth_pressure import ATMOSPHERE_KPA
from methodpick.mechanics.registry import Argument, formula, positive

# ---- the standard penetration test


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
    """Compute the blow count at 60 % energy; rod length, liner and diameter corrections are not made.

    >>> n60(15.0, 80.0)
    20.0
    """
    return n * efficiency_percent / 60.0


@formula(
    title="Undrained strength by blow count",
    symbols="su = max(least, f N60 + more)",
    source="Terzaghi & Peck (1967) classes, half of the unconfined strength; f1 of Stroud (1974); from memory",
    key="terzaghi-peck-1967",
    standing="weak",
    evidence="memory",
    arguments={
        "n60": Argument("1", 0, 200, "+"),
        "per_blow_kpa": Argument("kPa", 2, 15, "+"),
        "least_kpa": Argument("kPa", 0, 50, "+"),
        "more_kpa": Argument("kPa", 0, 50, "+"),
    },
    unit="kPa",
    example=({"n60": 10.0, "per_blow_kpa": 6.25, "least_kpa": 6.0, "more_kpa": 0.0}, 62.5),
)
def strength_by_count(n60: float, per_blow_kpa: float, least_kpa: float, more_kpa: float = 0.0) -> float:
    """Compute the undrained strength in kPa of clay from its blow count; it scatters by half either way.

    >>> strength_by_count(10.0, 6.25, 6.0)
    62.5
    """
    return max(least_kpa, per_blow_kpa * max(n60, 0.0) + more_kpa)


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
    """Compute the factor to 100 kPa of overburden.

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
    """Compute the friction angle in degrees.

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
    """Compute the friction angle in degrees.

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
    """Compute the friction angle in degrees.

    >>> round(phi_hatanaka_uchida(20.0), 2)
    37.55
    """
    return sqrt(15.4 * max(n1_60, 0.0)) + 20.0


# ---- the cone


@formula(
    title="Cone resistance with pore pressure behind the tip",
    symbols="qt = qc + (1 - a) u2",
    source="Lunne, Robertson & Powell (1997); Robertson & Cabal, guide to cone penetration testing",
    key="lunne-robertson-powell",
    standing="solid",
    evidence="memory",
    arguments={
        "resistance_kpa": Argument("kPa", 0, 150000, "+"),
        "pore_kpa": Argument("kPa", -100, 5000, "+"),
        "area_ratio": Argument("1", 0.3, 1),
    },
    unit="kPa",
    example=({"resistance_kpa": 800.0, "pore_kpa": 400.0, "area_ratio": 0.8}, 880.0),
)
def corrected_cone_resistance(resistance_kpa: float, pore_kpa: float, area_ratio: float) -> float:
    """Compute the cone resistance in kPa that the whole tip meets; water behind it, over the area that the shaft leaves, pushes down.

    >>> corrected_cone_resistance(800.0, 400.0, 0.8)
    880.0
    """
    return resistance_kpa + (1.0 - area_ratio) * pore_kpa


@formula(
    title="Undrained strength by cone resistance",
    symbols="su = max(least, (qt - sv) / Nkt)",
    source="Lunne, Robertson & Powell (1997): Nkt 10 to 20, in usual clay about 14 (Robertson & Cabal)",
    key="lunne-robertson-powell",
    standing="fair",
    evidence="memory",
    arguments={
        "corrected_kpa": Argument("kPa", 0, 150000, "+"),
        "total_stress_kpa": Argument("kPa", 0, 5000, "-"),
        "cone_factor": Argument("1", 8, 30, "-"),
        "least_kpa": Argument("kPa", 0, 50, "+"),
    },
    unit="kPa",
    example=({"corrected_kpa": 880.0, "total_stress_kpa": 180.0, "cone_factor": 14.0, "least_kpa": 1.0}, 50.0),
)
def strength_by_cone(corrected_kpa: float, total_stress_kpa: float, cone_factor: float, least_kpa: float = 1.0) -> float:
    """Compute the undrained strength in kPa of clay from the net cone resistance; in sand it means nothing.

    >>> strength_by_cone(880.0, 180.0, 14.0)
    50.0
    """
    return max(least_kpa, (corrected_kpa - total_stress_kpa) / positive("cone_factor", cone_factor))


@formula(
    title="Relative density by cone resistance, after Baldi",
    symbols="Dr = 100/2.41 ln(qc / (157 sv'^0.55)), 0 to 100",
    source="Baldi et al. (1986), Ticino sand, normally consolidated; reprinted by Lunne, Robertson & Powell (1997)",
    key="baldi-1986",
    standing="fair",
    evidence="memory",
    arguments={"resistance_kpa": Argument("kPa", 0, 150000, "+"), "effective_kpa": Argument("kPa", 1, 800, "-")},
    unit="%",
    example=({"resistance_kpa": 10000.0, "effective_kpa": 100.0}, 67.27),
    empirical=True,
)
def relative_density_baldi(resistance_kpa: float, effective_kpa: float) -> float:
    """Compute the relative density in percent of clean quartz sand from its cone resistance; aged, cemented or preloaded sand has less.

    >>> round(relative_density_baldi(10000.0, 100.0), 2)
    67.27
    """
    ratio = resistance_kpa / (157.0 * positive("effective_kpa", effective_kpa) ** 0.55)
    return min(100.0, 100.0 / 2.41 * log(ratio)) if ratio > 1.0 else 0.0


@formula(
    title="Relative density by normalised cone resistance",
    symbols="Dr = 100 sqrt((qc/pa) / sqrt(sv'/pa) / factor), 0 to 100",
    source="Kulhawy & Mayne (1990), with the factor of sand of usual age and compressibility (Robertson & Cabal)",
    key="kulhawy-mayne-1990",
    standing="fair",
    evidence="memory",
    arguments={
        "resistance_kpa": Argument("kPa", 0, 150000, "+"),
        "effective_kpa": Argument("kPa", 1, 800, "-"),
        "factor": Argument("1", 200, 500, "-"),
        "atmosphere_kpa": Argument("kPa", 95, 102, "-"),
    },
    unit="%",
    example=({"resistance_kpa": 8750.0, "effective_kpa": 100.0, "factor": 350.0}, 50.0),
    empirical=True,
)
def relative_density_kulhawy_mayne(
    resistance_kpa: float, effective_kpa: float, factor: float, atmosphere_kpa: float = ATMOSPHERE_KPA
) -> float:
    """Compute the relative density in percent of sand from its cone resistance over the root of the stress.

    >>> relative_density_kulhawy_mayne(8750.0, 100.0, 350.0)
    50.0
    """
    normalised = resistance_kpa / atmosphere_kpa / sqrt(positive("effective_kpa", effective_kpa) / atmosphere_kpa)
    return min(100.0, 100.0 * sqrt(max(0.0, normalised) / positive("factor", factor)))
