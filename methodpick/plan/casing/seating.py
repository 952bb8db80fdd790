"""Why a casing is as it is: its wall, its seat against the water outside, its stick-up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, cast

from methodpick.facts.curves import INSET_M
from methodpick.facts.gather import Gatherer
from methodpick.facts.strata import run_of_class
from methodpick.mechanics.seat import seat_length
from methodpick.mechanics.stress import hydrostatic
from methodpick.mechanics.uplift import plug_factor, plug_needed_thickness
from methodpick.plan.casing.sizes import Size, bears, least_walls
from methodpick.plan.fluid.levels import Levels
from methodpick.plan.result import Casing, Embedment, Wall
from methodpick.unit_markup import mark

REASONS = {
    "usual": "as usual",
    "handling": "for handling",
    "driving": "for driving or vibrating it in",
    "twisting": "for twisting it in",
    "oscillating": "for oscillating or rotating it in",
    "pressure": "for the pressure outside when it is emptied",
}

GOVERNS = {
    "usual": "the usual least",
    "handling": "handling",
    "driving": "driving",
    "twisting": "twisting",
    "oscillating": "oscillating",
    "pressure": "pressure",
}


def wall_reason(size: Size, pressure_kpa: float, limits: Mapping[str, float], *, way: str | None) -> Wall:
    """Return the least wall by each reason and which one governs; a wall from the yard is as thick as it is."""
    walls = least_walls(size.outside_m, pressure_kpa, limits, way=way)
    most = max(walls, key=lambda reason: walls[reason])
    bearing = bears(size.outside_m, size.wall_m, limits)
    said = ", ".join(f"{mark(wall, 'wall')} {REASONS[reason]}" for reason, wall in walls.items())
    why = f"Least wall {said}{'' if size.piece_m is not None else f'; {GOVERNS[most]} governs'}."
    if pressure_kpa > 0:
        why += (
            f" Emptied it carries {mark(pressure_kpa, 'kPa')} outside; an oval pipe of this wall bears {mark(bearing, 'kPa')} with a "
            f"safety of {limits['collapse_safety']:g}."
        )
    if size.piece_m is not None:
        thin = size.wall_m < walls[most] - 1e-6
        why += f" It comes from the yard{', thinner than a bought one would be' if thin else ''}."
    governed: Literal["usual", "handling", "driving", "twisting", "oscillating", "pressure", "yard"] = "yard"
    if size.piece_m is None:
        governed = cast("Literal['usual', 'handling', 'driving', 'twisting', 'oscillating', 'pressure']", most)
    return Wall(
        walls["usual"],
        walls["handling"],
        next((walls[reason] for reason in ("driving", "twisting", "oscillating") if reason in walls), None),
        walls.get("pressure"),
        pressure_kpa,
        bearing,
        governed,
        why,
    )


def seat_of(gatherer: Gatherer, casing: Casing, limits: Mapping[str, float], *, emptied: bool) -> Embedment:
    """Return how deep a shoe stands in its seat, and what seepage along it and uplift below it ask for when it is emptied.

    The head is that of the likely water over the shoe; the length that a seal in clay wants is that of its proof.
    """
    shoe_m = casing.base_m
    given_m = min(casing.advanced_m, shoe_m - run_of_class(gatherer.strata, shoe_m)[0])
    if not emptied:
        return Embedment(given_m, 0.0, None, None, None, None, None, True, "It is not emptied: no water presses through its seat.")
    waters = [water.level_m for water in gatherer.aquifers if water.kind != "perched" and water.top_m < shoe_m]
    levels = [level.low if level.likely is None else level.likely for level in waters]
    head = max(0.0, shoe_m - min(levels, default=shoe_m))
    clay = gatherer.curves.at(shoe_m - INSET_M).su is not None
    seat = limits["seat_gradient_clay"], limits["seal_seat_least_m"], limits["seal_seat_diameters"]
    needed = seat_length(head, casing.outside_diameter_m, *seat) if clay and head > 0 else 0.0
    plug, plug_needed, factor = _uplift(gatherer, shoe_m, limits["uplift_factor_recommended"])
    parts = [
        f"Seat {mark(given_m, 'm')}; water outside stands {mark(head, 'm')} over the shoe"
        if head > 0
        else f"Seat {mark(given_m, 'm')}; no water stands outside over the shoe"
    ]
    if needed > 0:
        parts.append(f", and a seal in clay wants {mark(needed, 'm')}")
    elif head > 0:
        parts.append("; the bail test tells whether rock seals")
    if factor is not None and plug is not None and plug_needed is not None:
        parts.append(
            f"; {mark(plug, 'm')} of tight ground is left over the water below, {mark(plug_needed, 'm')} is wanted against uplift "
            f"(safety {factor:.2f})"
        )
    enough = given_m >= needed - 1e-6 and (factor is None or factor >= limits["uplift_factor_least"])
    parts.append("." if enough else ". That is short: refill at the first sign of a leak, or set the casing deeper.")
    return Embedment(given_m, head, head / given_m if given_m > 0 else None, needed, plug, plug_needed, factor, enough, "".join(parts))


def _uplift(gatherer: Gatherer, shoe_m: float, wanted: float) -> tuple[float | None, float | None, float | None]:
    """Return the tight ground below the shoe, what is wanted of it, and the safety of the emptied casing; None without water below."""
    worst: tuple[float | None, float | None, float | None] = None, None, None
    for weight, top, level in gatherer.curves.lids(shoe_m):
        press = hydrostatic(top - (level.likely if level.likely is not None else level.low))
        if press <= 0 or top <= shoe_m:
            continue
        factor = plug_factor(weight[1], 0.0, 0.0, press)
        if worst[2] is None or factor < worst[2]:
            worst = top - shoe_m, plug_needed_thickness(press, weight[1] / (top - shoe_m), wanted), factor
    return worst


def stick_up_reason(levels: Levels, limits: Mapping[str, float]) -> str:
    """Describe why the casing stands as high as it does: edge protection, or the level of the fluid in it."""
    stands = f"The casing stands {mark(levels.stick_up_m, 'm')} above the drilling grade"
    edge = f"{mark(limits['stick_up_m'], 'm')} keeps people from the edge as a rail would"
    if levels.stick_up_m <= limits["stick_up_m"] + 1e-6:
        return f"{stands}: {edge}, and the fluid in it needs no more."
    said = f"{stands}, so that fluid in it can stand high enough over the groundwater; {edge}"
    if levels.head_missing_m > 0:
        said += f". {mark(levels.head_missing_m, 'm')} of head is still missing: raise the platform"
    return said + "."
