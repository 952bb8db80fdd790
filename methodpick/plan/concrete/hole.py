"""The hole as drilled: its diameters with depth, which of it concrete fills, and the volumes of its parts."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import pi

from methodpick.ground.shaft import Bell, Shaft
from methodpick.plan.result import Casing

TOUCH_M = 1e-6
"""Depths closer than this are one depth."""


@dataclass(frozen=True, slots=True)
class Bore:
    """A length of hole: the diameter that concrete fills, whether a casing that stays bounds it, and what was drilled."""

    top_m: float
    base_m: float
    diameter_m: float
    lined: bool
    drilled_m: float


def area(diameter_m: float) -> float:
    """Return the area of a circle.

    >>> round(area(2.0), 4)
    3.1416
    """
    return pi * diameter_m**2 / 4.0


def volume(diameter_m: float, length_m: float) -> float:
    """Return the volume of a cylinder.

    >>> round(volume(1.0, 4.0), 4)
    3.1416
    """
    return area(diameter_m) * max(0.0, length_m)


def socket_of(shaft: Shaft) -> tuple[float, float] | None:
    """Return top and diameter of the socket, None without one of its own diameter."""
    return (shaft.socket_top_m, shaft.socket_diameter_m) if shaft.socket_top_m and shaft.socket_diameter_m else None


def bores(shaft_diameter_m: float, socket: tuple[float, float] | None, tip_m: float, casings: Sequence[Casing]) -> tuple[Bore, ...]:
    """Return the hole top down, as wide as the shaft, a casing that stood there, or the hole that was predrilled for it."""
    depths = sorted({0.0, tip_m} | ({socket[0]} if socket else set()) | _ends(casings, tip_m))
    found = []
    for top, base in itertools.pairwise(depths):
        around = [casing for casing in casings if casing.base_m >= base - TOUCH_M]
        own = socket[1] if socket and top >= socket[0] - TOUCH_M else shaft_diameter_m
        lined = [casing for casing in around if casing.kind == "permanent"]
        drilled = max([_drilled(casing, base) for casing in around], default=own)
        if lined:
            inner = min(lined, key=lambda casing: casing.outside_diameter_m)
            found.append(Bore(top, base, inner.outside_diameter_m - 2 * inner.wall_m, True, drilled))
        else:
            found.append(Bore(top, base, drilled, False, drilled))
    return tuple(found)


def _ends(casings: Iterable[Casing], tip_m: float) -> set[float]:
    depths = {depth for casing in casings for depth in (casing.base_m, casing.predrill_base_m)}
    return {depth for depth in depths if 0.0 < depth < tip_m}


def _drilled(casing: Casing, base_m: float) -> float:
    """Return the hole that a casing needed down to a depth that it reaches: predrilled wider, else as wide as the casing."""
    if casing.predrill_diameter_m is not None and casing.predrill_base_m >= base_m - TOUCH_M:
        return max(casing.outside_diameter_m, casing.predrill_diameter_m)
    return casing.outside_diameter_m


def bell_height(bell: Bell, diameter_m: float, share: float) -> float:
    """Return the height of a bell; without one on the drawing, a share of the difference of its diameters is taken."""
    return bell.height_m or share * (bell.diameter_m - diameter_m)


def bell_volume(shaft: Shaft, share: float) -> float:
    """Return what a bell adds to the volume of the shaft, as the frustum of a cone; 0 without a bell."""
    if shaft.bell is None:
        return 0.0
    wide, narrow, height = shaft.bell.diameter_m, shaft.diameter_m, bell_height(shaft.bell, shaft.diameter_m, share)
    return pi * height / 12 * (wide**2 + wide * narrow + narrow**2) - volume(narrow, height)
