"""What the drawings say of the shaft and of where it stands, as far as a report draws it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Design:
    """Socket, bell and cage of the shaft, its place, the drilling grade (negative above the ground), the open water over it.

    None where the file does not say.
    """

    socket_top_m: float | None = None
    socket_diameter_m: float | None = None
    bell_diameter_m: float | None = None
    bell_height_m: float | None = None
    cage_diameter_m: float | None = None
    east_m: float | None = None
    north_m: float | None = None
    grade_m: float = 0.0
    water_depth_m: float | None = None
