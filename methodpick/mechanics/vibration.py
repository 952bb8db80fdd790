"""Vibration of the ground by casing plant, and the distance at which it is small enough."""

from __future__ import annotations

from math import sqrt

from methodpick.mechanics.registry import Argument, formula, positive


@formula(
    title="Vibration of a vibratory hammer",
    symbols="v = k / x^n",
    source="TRL Report 429 (2000), vibratory piling; k 60, 126 and 266 are exceeded by 50, 33 and 5 %, digest",
    key="trl-429",
    standing="fair",
    evidence="digest",
    arguments={"distance_m": Argument("m", 1, 100, "-"), "factor": Argument("1", 10, 400, "+"), "exponent": Argument("1", 1.0, 1.6, "-")},
    unit="mm/s",
    empirical=True,
    example=({"distance_m": 21.27, "factor": 266.0, "exponent": 1.3}, 5.0),
)
def vibrator_velocity(distance_m: float, factor: float, exponent: float) -> float:
    """Compute the peak particle velocity in mm/s at a distance from casing that is vibrated.

    >>> round(vibrator_velocity(12.0, 126.0, 1.3), 1)
    5.0
    """
    return float(factor / positive("distance_m", distance_m) ** exponent)


@formula(
    title="Vibration of an impact hammer",
    symbols="v = k sqrt(W) / r^n",
    source="TRL Report 429 (2000), percussive piling; k 1 in soft or loose, 1.5 stiff or medium, 3 very stiff or dense ground, digest",
    key="trl-429",
    standing="fair",
    evidence="digest",
    arguments={
        "distance_m": Argument("m", 1, 100, "-"),
        "energy_j": Argument("J", 0, 1e6, "+"),
        "factor": Argument("1", 0.5, 5, "+"),
        "exponent": Argument("1", 1.0, 1.6, "-"),
    },
    unit="mm/s",
    empirical=True,
    example=({"distance_m": 10.0, "energy_j": 40000.0, "factor": 1.5, "exponent": 1.3}, 15.04),
)
def impact_velocity(distance_m: float, energy_j: float, factor: float, exponent: float) -> float:
    """Compute the peak particle velocity in mm/s at a distance from casing that is driven with blows of an energy.

    >>> round(impact_velocity(10.0, 40000.0, 1.5, 1.3), 2)
    15.04
    """
    return float(factor * sqrt(energy_j) / positive("distance_m", distance_m) ** exponent)
