"""Strength and stress from the history of the ground: stress at rest, clay that was never loaded more, silty sand."""

from __future__ import annotations

from math import radians, sin

from methodpick.mechanics.registry import Argument, formula, positive


@formula(
    title="Pressure at rest after unloading",
    symbols="K0 = (1 - sin phi) OCR^(sin phi)",
    source="Mayne & Kulhawy (1982); FHWA-NHI-18-024 app. A, transcription",
    key="gec10-2018",
    standing="fair",
    evidence="digest",
    arguments={"phi_deg": Argument("deg", 20, 45), "ocr": Argument("1", 1, 20, "+")},
    unit="1",
    example=({"phi_deg": 40.0, "ocr": 1.65}, 0.49286),
)
def k0_overconsolidated(phi_deg: float, ocr: float) -> float:
    """Coefficient at rest of ground that carried ``ocr`` times its present stress.

    >>> round(k0_overconsolidated(40.0, 1.65), 2)
    0.49
    """
    return (1.0 - sin(radians(phi_deg))) * float(positive("ocr", ocr) ** sin(radians(phi_deg)))


@formula(
    title="Past stress of sand",
    symbols="sp = 0.47 pa N60^0.6",
    source="Mayne (2007); FHWA-NHI-18-024 app. A, transcription",
    key="gec10-2018",
    standing="weak",
    evidence="digest",
    empirical=True,
    arguments={"n60": Argument("1", 1, 100, "+"), "atmosphere_kpa": Argument("kPa", 95, 102, "+")},
    unit="kPa",
    example=({"n60": 20.0, "atmosphere_kpa": 100.0}, 283.6),
)
def past_stress_of_sand(n60: float, atmosphere_kpa: float = 100.0) -> float:
    """Greatest vertical stress in kPa that clean sand has carried, from its blow count (0.8 as exponent in silty sand).

    >>> round(past_stress_of_sand(20.0), 1)
    283.6
    """
    return 0.47 * atmosphere_kpa * float(positive("n60", n60) ** 0.6)


@formula(
    title="Strength of normally consolidated clay",
    symbols="su = sv' (0.11 + 0.0037 PI)",
    source="Skempton (1957); UFC 3-220-10, eq. 8-18, transcription",
    key="skempton-1957",
    standing="fair",
    evidence="digest",
    empirical=True,
    arguments={"effective_kpa": Argument("kPa", 0, 500, "+"), "pi_percent": Argument("%", 5, 100, "+")},
    unit="kPa",
    example=({"effective_kpa": 100.0, "pi_percent": 30.0}, 22.1),
)
def su_normally_consolidated(effective_kpa: float, pi_percent: float) -> float:
    """Undrained strength in kPa of clay that never carried more than it does now.

    >>> round(su_normally_consolidated(100.0, 30.0), 1)
    22.1
    """
    return effective_kpa * (0.11 + 0.0037 * pi_percent)


@formula(
    title="Blow count of silty fine sand below water",
    symbols="N = 15 + (N - 15) / 2 above 15",
    source="Terzaghi & Peck; UFC 3-220-10, eq. 8-1, transcription",
    key="terzaghi-peck-1967",
    standing="weak",
    evidence="digest",
    empirical=True,
    arguments={"n60": Argument("1", 0, 100, "+")},
    unit="1",
    example=({"n60": 31.0}, 23.0),
)
def silty_sand_count(n60: float) -> float:
    """Blow count without the water pressure that silty fine sand builds up under the hammer.

    >>> silty_sand_count(31.0), silty_sand_count(10.0)
    (23.0, 10.0)
    """
    return n60 if n60 <= 15.0 else 15.0 + (n60 - 15.0) / 2.0
