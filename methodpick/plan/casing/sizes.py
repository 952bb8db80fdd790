"""Casing sizes: outside diameters from the inside out, the yard first; walls, each reason with its number; pieces and masses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site, StockCasing
from methodpick.mechanics.casing import driving_wall, mass_per_metre, oval_collapse_pressure, slender_wall


@dataclass(frozen=True, slots=True)
class Size:
    """A casing size.

    ``piece_m`` is the length of a piece in the yard, None for casing that is bought; ``wider_m`` what it is wider than the trade
    size that would do.
    """

    outside_m: float
    wall_m: float
    piece_m: float | None = None
    wider_m: float = 0.0

    @property
    def inside_m(self) -> float:
        """Return the inside diameter."""
        return self.outside_m - 2 * self.wall_m


def string_sizes(
    site: Site, shaft: Shaft, count: int, pressures_kpa: Sequence[float], ways: Sequence[str | None], limits: Mapping[str, float]
) -> tuple[Size, ...]:
    """Return the sizes of the strings from the outermost in; the innermost lets the shaft's own tool pass.

    The length below the casing is drilled full size, so that its inside diameter is the shaft's at least; where the drawing
    gives the outside diameter of the casing, that is kept, and the tool below it is the socket's or what passes. Each string
    is wider than the one in it by the step of the rulebook at least. Stock of the yard goes first, the narrowest that fits.
    """
    sizes: list[Size] = []
    needed_inside = _tool(shaft)
    least_outside = shaft.diameter_m if shaft.diameter_is == "casing_outside" else 0.0
    for index in range(count - 1, -1, -1):
        drawn = shaft.diameter_is == "casing_outside" and not sizes
        size = _size(site, (needed_inside, least_outside), pressures_kpa[index], limits, way=ways[index], exact=drawn)
        sizes.append(size)
        needed_inside, least_outside = size.outside_m + limits["tool_clear_m"], size.outside_m + limits["casing_step_m"]
    return tuple(reversed(sizes))


def most_strings(site: Site, shaft: Shaft, limits: Mapping[str, float], most: int = 3) -> int:
    """Return how many strings may telescope before the outermost is wider than the largest casing of the plant.

    One is always left: where even that is too wide, the sizes say so and the check of the site has a doubt.
    """
    largest = site.site.equipment.max_casing_m
    if largest is None:
        return most
    return max(
        (
            count
            for count in range(1, most + 1)
            if string_sizes(site, shaft, count, [0.0] * count, [None] * count, limits)[0].outside_m <= largest + 1e-6
        ),
        default=1,
    )


def _tool(shaft: Shaft) -> float:
    """Return the diameter that must pass through the innermost casing."""
    if shaft.diameter_is == "casing_outside":
        return shaft.socket_diameter_m or 0.0
    return shaft.diameter_m


def starter_size(outer_inside_m: float, limits: Mapping[str, float]) -> Size:
    """Return the size of the starter: it lets the outermost string or the shaft's tool pass."""
    needed = outer_inside_m + limits["tool_clear_m"]
    outside = _step_up(needed + 2 * limits["casing_wall_min_m"], limits["casing_step_m"])
    while outside - 2 * wall_for(outside, 0.0, limits, way=None) < needed - 1e-6:
        outside = round(outside + limits["casing_step_m"], 4)
    return Size(outside, wall_for(outside, 0.0, limits, way=None))


def _size(
    site: Site, needs: tuple[float, float], pressure_kpa: float, limits: Mapping[str, float], *, way: str | None, exact: bool
) -> Size:
    inside_m, outside_m = needs
    bought = _bought(max(inside_m, outside_m), inside_m, pressure_kpa, limits, way=way, exact=exact)
    fitting = sorted(
        (one for one in site.stock if _fits(one, inside_m, outside_m, pressure_kpa, limits, way=way)),
        key=lambda one: (one.outside_diameter_m, one.wall_m),
    )
    if fitting:
        taken = fitting[0]
        return Size(taken.outside_diameter_m, taken.wall_m, taken.length_m, max(0.0, taken.outside_diameter_m - bought.outside_m))
    return bought


def _bought(start_m: float, inside_m: float, pressure_kpa: float, limits: Mapping[str, float], *, way: str | None, exact: bool) -> Size:
    """Return the trade size from a diameter up that lets the tool pass; ``exact`` starts at the diameter of the drawing itself."""
    outside = start_m if exact else _step_up(start_m, limits["casing_step_m"])
    for _ in range(40):
        wall = wall_for(outside, pressure_kpa, limits, way=way)
        if outside - 2 * wall >= inside_m - 1e-6:
            break
        outside += limits["casing_step_m"]
    return Size(round(outside, 4), wall_for(outside, pressure_kpa, limits, way=way))


def _fits(
    one: StockCasing, inside_m: float, outside_m: float, pressure_kpa: float, limits: Mapping[str, float], *, way: str | None
) -> bool:
    """Return whether a casing of the yard passes the tool, is not too wide and is strong enough for this use.

    A wall that was good for handling once is taken as it is; driving and outside pressure are checked anew.
    """
    return (
        one.outside_diameter_m - 2 * one.wall_m >= inside_m - 1e-6
        and one.outside_diameter_m >= outside_m - 1e-6
        and one.outside_diameter_m <= max(inside_m, outside_m) + 2 * limits["casing_oversize_m"] + 1e-6
        and (way is None or one.wall_m >= _for_way(one.outside_diameter_m, way, limits)[1] - 1e-9)
        and holds(one.outside_diameter_m, one.wall_m, pressure_kpa, limits)
    )


def _step_up(value: float, step: float) -> float:
    return round(ceil(round(value / step, 6)) * step, 4)


def least_walls(outside_m: float, pressure_kpa: float, limits: Mapping[str, float], *, way: str | None) -> dict[str, float]:
    """Return the least wall in plate steps by each reason: usual, handling, the way it is brought down, pressure where emptied."""
    reasons = {"usual": limits["casing_wall_min_m"], "handling": slender_wall(outside_m, 0.0, limits["handling_slenderness"])}
    if way is not None:
        reason, wall = _for_way(outside_m, way, limits)
        reasons[reason] = wall
    step = limits["wall_step_m"]
    walls = {reason: ceil(round(wall / step, 6)) * step for reason, wall in reasons.items()}
    if pressure_kpa > 0.0:
        steps = next((number for number in range(4, 80) if holds(outside_m, number * step, pressure_kpa, limits)), 80)
        walls["pressure"] = steps * step
    return {reason: round(wall, 6) for reason, wall in walls.items()}


def _for_way(outside_m: float, way: str, limits: Mapping[str, float]) -> tuple[str, float]:
    """Return the reason and the least wall for a way of bringing casing down."""
    if way == "oscillated":
        return "oscillating", slender_wall(outside_m, limits["oscillated_wall_min_m"], limits["oscillated_slenderness"])
    if way == "twisted":
        return "twisting", max(limits["twisted_wall_min_m"], driving_wall(outside_m))
    return "driving", driving_wall(outside_m)


def wall_for(outside_m: float, pressure_kpa: float, limits: Mapping[str, float], *, way: str | None) -> float:
    """Return the least wall in plate steps: the rulebook's minimum, handling, the way down, and collapse with ovality when emptied."""
    return max(least_walls(outside_m, pressure_kpa, limits, way=way).values())


def bears(outside_m: float, wall_m: float, limits: Mapping[str, float]) -> float:
    """Return the outside pressure in kPa that an oval, emptied casing bears with the rulebook's safety."""
    return oval_collapse_pressure(outside_m, wall_m, limits["casing_ovality"], limits["steel_yield_kpa"]) / limits["collapse_safety"]


def holds(outside_m: float, wall_m: float, pressure_kpa: float, limits: Mapping[str, float]) -> bool:
    """Return whether an oval casing holds an outside pressure when it is emptied, with the rulebook's safety."""
    return pressure_kpa <= 0.0 or bears(outside_m, wall_m, limits) >= pressure_kpa


def mass(size: Size, length_m: float) -> float:
    """Return the mass of a casing in kilograms."""
    return mass_per_metre(size.outside_m, size.wall_m) * length_m


def splices(length_m: float, limits: Mapping[str, float], piece_m: float | None = None) -> int:
    """Return the number of splices of a string from mill lengths, or from pieces of the yard."""
    return max(0, floor((length_m - 1e-6) / (piece_m or limits["splice_length_m"])))


def sections(length_m: float, limits: Mapping[str, float], piece_m: float | None = None) -> tuple[float, ...]:
    """Return the pieces of a string from the shoe up: full ones, and what is left at the top."""
    full = piece_m or limits["splice_length_m"]
    number = splices(length_m, limits, piece_m)
    return (*[full] * number, round(length_m - number * full, 6))
