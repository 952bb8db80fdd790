"""Casing sizes: outside diameters from the inside out, walls for handling, driving and outside pressure, masses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.mechanics.casing import driving_wall, mass_per_metre, oval_collapse_pressure

WALL_STEP_M = 0.0015875
"""Plate thickness goes in steps of 1/16 in (trade step, common practice, no source)."""
TOOL_CLEAR_M = 0.0254
"""Clearance of a tool in a casing (own value)."""


@dataclass(frozen=True, slots=True)
class Size:
    """A casing size."""

    outside_m: float
    wall_m: float

    @property
    def inside_m(self) -> float:
        """Give the inside diameter."""
        return self.outside_m - 2 * self.wall_m


def string_sizes(site: Site, shaft: Shaft, count: int, pressures_kpa: Sequence[float], driven: Sequence[bool],
                 limits: Mapping[str, float]) -> tuple[Size, ...]:
    """Give the sizes of the strings from the outermost in; the innermost lets the shaft's own tool pass.

    By the size rule of the rulebook the outside diameter is at least the shaft's; where the diameter is a minimum, or
    the length below the casing is drilled full size, the inside diameter is. Stock of the yard goes first.
    """
    sizes: list[Size] = []
    needed_inside = _tool(shaft)
    for index in range(count - 1, -1, -1):
        size = _size(site, needed_inside, pressures_kpa[index], limits, driven=driven[index])
        sizes.append(size)
        needed_inside = size.outside_m + TOOL_CLEAR_M
    return tuple(reversed(sizes))


def most_strings(site: Site, shaft: Shaft, limits: Mapping[str, float], most: int = 3) -> int:
    """Give how many strings may telescope before the outermost is wider than the largest casing of the plant.

    One is always left: where even that is too wide, the sizes say so and the check of the site has a doubt.
    """
    largest = site.site.equipment.max_casing_m
    if largest is None:
        return most
    return max((count for count in range(1, most + 1)
                if string_sizes(site, shaft, count, [0.0] * count, [False] * count, limits)[0].outside_m <= largest + 1e-6), default=1)


def _tool(shaft: Shaft) -> float:
    """Give the diameter that must pass through the innermost casing."""
    if shaft.diameter_is == "casing_outside":
        return shaft.socket_diameter_m or 0.0
    return shaft.diameter_m


def starter_size(outer_inside_m: float, limits: Mapping[str, float]) -> Size:
    """Give the size of the starter: it lets the outermost string or the shaft's tool pass."""
    outside = _step_up(outer_inside_m + TOOL_CLEAR_M + 2 * limits["casing_wall_min_m"], limits["casing_step_m"])
    return Size(outside, wall_for(outside, 0.0, limits, driven=False))


def _size(site: Site, inside_m: float, pressure_kpa: float, limits: Mapping[str, float], *, driven: bool) -> Size:
    fitting = sorted((one for one in site.stock if one.outside_diameter_m - 2 * one.wall_m >= inside_m - 1e-6
                      and one.outside_diameter_m <= inside_m + 2 * limits["casing_oversize_m"] + 0.1
                      and holds(one.outside_diameter_m, one.wall_m, pressure_kpa, limits)),
                     key=lambda one: one.outside_diameter_m)
    if fitting:
        return Size(fitting[0].outside_diameter_m, fitting[0].wall_m)
    outside = _step_up(inside_m, limits["casing_step_m"])
    for _ in range(40):
        wall = wall_for(outside, pressure_kpa, limits, driven=driven)
        if outside - 2 * wall >= inside_m - 1e-6:
            return Size(round(outside, 4), wall)
        outside += limits["casing_step_m"]
    return Size(round(outside, 4), wall_for(outside, pressure_kpa, limits, driven=driven))


def _step_up(value: float, step: float) -> float:
    return round(ceil(round(value / step, 6)) * step, 4)


def wall_for(outside_m: float, pressure_kpa: float, limits: Mapping[str, float], *, driven: bool) -> float:
    """Give the least wall in plate steps: the rulebook's minimum, driving, and collapse with ovality when emptied."""
    least = max(limits["casing_wall_min_m"], driving_wall(outside_m) if driven else outside_m / 150.0)
    steps = ceil(round(least / WALL_STEP_M, 6))
    for number in range(steps, steps + 60):
        wall = number * WALL_STEP_M
        if holds(outside_m, wall, pressure_kpa, limits):
            return round(wall, 6)
    return round((steps + 60) * WALL_STEP_M, 6)


def holds(outside_m: float, wall_m: float, pressure_kpa: float, limits: Mapping[str, float]) -> bool:
    """Tell whether an oval casing holds an outside pressure when it is emptied, with the rulebook's safety."""
    if pressure_kpa <= 0.0:
        return True
    capacity = oval_collapse_pressure(outside_m, wall_m, limits["casing_ovality"], limits["steel_yield_kpa"])
    return capacity >= limits["collapse_safety"] * pressure_kpa


def mass(size: Size, length_m: float) -> float:
    """Give the mass of a casing in kilograms."""
    return mass_per_metre(size.outside_m, size.wall_m) * length_m


def splices(length_m: float, limits: Mapping[str, float]) -> int:
    """Give the number of splices of a string from mill lengths."""
    return max(0, floor((length_m - 1e-6) / limits["splice_length_m"]))
