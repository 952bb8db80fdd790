"""The plant: how fast a rotary tool gets down, what reaches the ground under tracks and plates, and how casing plant shakes it."""

from __future__ import annotations

from math import sqrt

from methodpick.mechanics.registry import Argument, formula, positive

# ---- How fast a rotary tool on a kelly bar gets down, by diameter and depth


@formula(
    title="Drilling rate by diameter and depth",
    symbols="1 / V = (D / 1 m)^n / V10 + 2 (H - 10 m) / (v h)",
    source="trips of the tool down and up for each bite, V = h / (t + 2 H / v), with t from the rate V10 of a shaft of 1 m at 10 m; "
    "exponents 0.6 to 0.9 in soil and about 1.4 in rock by rates of building-cost books",
    key="own",
    standing="weak",
    evidence="own",
    empirical=True,
    arguments={
        "rate_m_h": Argument("m/h", 0.01, 100, "+"),
        "diameter_m": Argument("m", 0.25, 6, "-"),
        "depth_m": Argument("m", 0, 200, "-"),
        "exponent": Argument("1", 0, 3),
        "bite_m": Argument("m", 0.1, 5),
        "hoist_m_h": Argument("m/h", 100, 20000),
    },
    unit="m/h",
    example=({"rate_m_h": 144 / 7, "diameter_m": 1.0, "depth_m": 30.0, "exponent": 0.7, "bite_m": 0.8, "hoist_m_h": 3600.0}, 16.0),
)
def drilling_rate(rate_m_h: float, diameter_m: float, depth_m: float, exponent: float, bite_m: float, hoist_m_h: float) -> float:
    """Compute the metres drilled in an hour at a depth, from the rate of a shaft of 1 m at 10 m.

    ``exponent`` tells how the rate falls with the diameter, ``bite_m`` what the tool brings up at a time, ``hoist_m_h`` how
    fast it travels.

    >>> round(drilling_rate(144 / 7, 1.0, 60.0, 0.7, 0.8, 3600.0), 3)
    12.0
    """
    hours_m = positive("diameter_m", diameter_m) ** exponent / positive("rate_m_h", rate_m_h)
    trips = 2.0 * (depth_m - 10.0) / (positive("bite_m", bite_m) * positive("hoist_m_h", hoist_m_h))
    return float(1.0 / max(hours_m + trips, 0.1 * hours_m))


# ---- Loads on the working platform: what reaches a depth, and what the ground under a track or plate bears


PLANE_BEARING = 5.14
"""Bearing number of a long strip on clay, 2 + pi (Prandtl 1921)."""


@formula(
    title="Pressure of a load at a depth",
    symbols="p = Q / ((B + z) (L + z))",
    source="spread of 2 down to 1 out on every side, in every soil mechanics text, from memory",
    key="statics",
    standing="fair",
    evidence="memory",
    arguments={
        "load_kn": Argument("kN", 0, 20000, "+"),
        "width_m": Argument("m", 0.1, 10, "-"),
        "length_m": Argument("m", 0.1, 20, "-"),
        "depth_m": Argument("m", 0, 100, "-"),
    },
    unit="kPa",
    example=({"load_kn": 600.0, "width_m": 1.0, "length_m": 5.0, "depth_m": 1.0}, 50.0),
)
def spread_pressure(load_kn: float, width_m: float, length_m: float, depth_m: float) -> float:
    """Compute the mean pressure in kPa under a loaded rectangle at a depth; above the ground it is that under the rectangle itself.

    >>> spread_pressure(600.0, 1.0, 5.0, 1.0), spread_pressure(600.0, 1.0, 5.0, 0.0)
    (50.0, 120.0)
    """
    depth = max(0.0, depth_m)
    return load_kn / ((positive("width_m", width_m) + depth) * (positive("length_m", length_m) + depth))


@formula(
    title="Bearing capacity of clay under a rectangle",
    symbols="q = 5.14 su (1 + 0.2 B / L)",
    source="Skempton (1951), footing at the surface, from memory",
    key="skempton-1951",
    standing="fair",
    evidence="memory",
    arguments={"su_kpa": Argument("kPa", 0, 2000, "+"), "width_m": Argument("m", 0.1, 10, "+"), "length_m": Argument("m", 0.1, 20, "-")},
    unit="kPa",
    example=({"su_kpa": 30.0, "width_m": 1.0, "length_m": 5.0}, 160.37),
)
def clay_bearing(su_kpa: float, width_m: float, length_m: float) -> float:
    """Compute the pressure in kPa at which clay fails undrained under a track or plate on its surface.

    A square gives 6.17 su; a side is the width where it is the shorter one.

    >>> round(clay_bearing(30.0, 1.0, 5.0), 2), round(clay_bearing(1.0, 2.0, 2.0), 2)
    (160.37, 6.17)
    """
    return PLANE_BEARING * su_kpa * (1.0 + 0.2 * min(1.0, width_m / positive("length_m", length_m)))


# ---- Vibration of the ground by casing plant, and the distance at which it is small enough


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
