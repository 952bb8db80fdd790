"""Inflow of water into the empty hole, the rise that it makes, and the permeability behind it."""

from __future__ import annotations

from math import log, pi, sqrt

from methodpick.mechanics.registry import Argument, formula, positive


@formula(
    title="Radial inflow",
    symbols="Q = 2 pi k b s / ln(R / r)",
    source="Thiem (1906), confined steady flow",
    key="thiem-1906",
    standing="solid",
    evidence="memory",
    arguments={
        "permeability_m_s": Argument("m/s", 1e-12, 1, "+"),
        "thickness_m": Argument("m", 0, 100, "+"),
        "drawdown_m": Argument("m", 0, 200, "+"),
        "diameter_m": Argument("m", 0.1, 6, "+"),
        "influence_m": Argument("m", 3, 10000, "-"),
    },
    unit="m3/s",
    example=({"permeability_m_s": 1e-4, "thickness_m": 5.0, "drawdown_m": 2.0, "diameter_m": 2.0, "influence_m": 20.0}, 0.0020974),
)
def radial_inflow(permeability_m_s: float, thickness_m: float, drawdown_m: float, diameter_m: float, influence_m: float) -> float:
    """Compute the steady inflow in m3/s through the wall from a layer of a thickness under a drawdown.

    >>> round(radial_inflow(1e-4, 5.0, 2.0, 2.0, 20.0), 7)
    0.0020974
    """
    radius = positive("diameter_m", diameter_m) / 2.0
    return 2.0 * pi * permeability_m_s * thickness_m * drawdown_m / log(max(influence_m, 1.5 * radius) / radius)


@formula(
    title="Rise of water in the hole",
    symbols="v = Q / (pi D^2 / 4)",
    source="volume balance",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={"inflow_m3_s": Argument("m3/s", 0, 10, "+"), "diameter_m": Argument("m", 0.1, 6, "-")},
    unit="m/h",
    example=({"inflow_m3_s": 1e-4, "diameter_m": 1.0}, 0.45837),
)
def rise_rate(inflow_m3_s: float, diameter_m: float) -> float:
    """Compute the rise in m/h that an inflow makes in the empty hole.

    >>> round(rise_rate(1e-4, 1.0), 5)
    0.45837
    """
    return inflow_m3_s * 3600.0 / (pi * positive("diameter_m", diameter_m) ** 2 / 4.0)


@formula(
    title="Radius of influence",
    symbols="R = max(R0, 3000 s sqrt(k))",
    source="Sichardt, from memory",
    key="sichardt-1928",
    standing="weak",
    evidence="memory",
    empirical=True,
    arguments={
        "drawdown_m": Argument("m", 0, 200, "+"),
        "permeability_m_s": Argument("m/s", 1e-12, 1, "+"),
        "least_m": Argument("m", 1, 10, "+"),
    },
    unit="m",
    example=({"drawdown_m": 4.0, "permeability_m_s": 1e-4, "least_m": 3.0}, 120.0),
)
def influence_radius(drawdown_m: float, permeability_m_s: float, least_m: float) -> float:
    """Compute the radius in m beyond which the hole draws nothing down.

    >>> round(influence_radius(4.0, 1e-4, 3.0), 6)
    120.0
    """
    return max(least_m, 3000.0 * max(0.0, drawdown_m) * sqrt(permeability_m_s))


@formula(
    title="Permeability by Hazen",
    symbols="k = C D10^2, C = 1 (cm/s, mm)",
    source="Hazen (1892), from memory",
    key="hazen-1892",
    standing="weak",
    evidence="memory",
    empirical=True,
    arguments={"d10_mm": Argument("mm", 0.1, 3, "+")},
    unit="m/s",
    example=({"d10_mm": 0.2}, 4e-4),
)
def hazen(d10_mm: float) -> float:
    """Compute the permeability in m/s of clean sand from its D10; C from 0.4 to 1.5 in print.

    >>> round(hazen(0.2), 9)
    0.0004
    """
    return 0.01 * d10_mm**2
