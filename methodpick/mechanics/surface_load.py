"""Loads on the working platform: what reaches a depth, and what the ground under a track or plate bears."""

from __future__ import annotations

from methodpick.mechanics.registry import Argument, formula, positive

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
