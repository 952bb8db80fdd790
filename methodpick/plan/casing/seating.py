"""Why a casing is as it is: its wall, its seat against the water outside, its stick-up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, cast

from methodpick.facts.gather import Gatherer
from methodpick.mechanics.seat import seat_length
from methodpick.mechanics.stress import hydrostatic
from methodpick.mechanics.uplift import plug_factor, plug_needed_thickness
from methodpick.plan.casing.sizes import Size, bears, least_walls
from methodpick.plan.fluid.levels import Levels
from methodpick.plan.result import Embedment, Wall
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span

REASONS = {
    "usual": "as usual",
    "handling": "for handling",
    "driving": "for driving or vibrating it in",
    "pressure": "for the pressure outside when it is emptied",
}

GOVERNS = {"usual": "the usual least", "handling": "handling", "driving": "driving", "pressure": "pressure"}


def wall_reason(size: Size, pressure_kpa: float, limits: Mapping[str, float], *, driven: bool) -> Wall:
    """Return the least wall by each reason and which one governs; a wall from the yard is as thick as it is."""
    walls = least_walls(size.outside_m, pressure_kpa, limits, driven=driven)
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
    governed: Literal["usual", "handling", "driving", "pressure", "yard"] = "yard"
    if size.piece_m is None:
        governed = cast("Literal['usual', 'handling', 'driving', 'pressure']", most)
    return Wall(walls["usual"], walls["handling"], walls.get("driving"), walls.get("pressure"), pressure_kpa, bearing, governed, why)


def seat_of(gatherer: Gatherer, shoe_m: float, given_m: float, limits: Mapping[str, float], *, emptied: bool) -> Embedment:
    """Return how deep a shoe stands in its seat, and what seepage along it and uplift below it ask for when it is emptied.

    The head is that of the likely water levels over the shoe; what the ground may bear of it for each metre of seat stands
    in the table of seats.
    """
    if not emptied:
        return Embedment(given_m, 0.0, None, None, None, None, None, True, "It is not emptied: no water presses through its seat.")
    levels = [aquifer.level_m for aquifer in gatherer.aquifers if aquifer.top_m < shoe_m]
    head = max((shoe_m - (level.likely if level.likely is not None else level.low) for level in levels), default=0.0)
    head = max(0.0, head)
    allowed = _allowed(gatherer, shoe_m)
    needed = seat_length(head, gatherer.curves.diameter_m, allowed, 0.0, 0.0)  # by the gradient alone
    plug, plug_needed, factor = _uplift(gatherer, shoe_m, limits["uplift_factor_recommended"])
    parts = [
        f"Seat {mark(given_m, 'm')}; water outside stands {mark(head, 'm')} over the shoe"
        if head > 0
        else f"Seat {mark(given_m, 'm')}; no water stands outside over the shoe"
    ]
    if head > 0:
        parts.append(f", which asks for {mark(needed, 'm')} at a gradient of {allowed:g}")
    if factor is not None and plug is not None and plug_needed is not None:
        parts.append(
            f"; {mark(plug, 'm')} of tight ground is left over the water below, {mark(plug_needed, 'm')} is wanted against uplift "
            f"(safety {factor:.2f})"
        )
    enough = given_m >= needed - 1e-6 and (factor is None or factor >= limits["uplift_factor_recommended"])
    parts.append("." if enough else ". That is short: refill at the first sign of a leak, or set the casing deeper.")
    return Embedment(given_m, head, head / given_m if given_m > 0 else None, needed, plug, plug_needed, factor, enough, "".join(parts))


def _allowed(gatherer: Gatherer, shoe_m: float) -> float:
    index = next((at for at, stratum in enumerate(gatherer.strata) if shoe_m <= stratum.base_m + 1e-6), len(gatherer.strata) - 1)
    table, sheet = gatherer.frame.tables["embedment"], gatherer.placed(index)
    found = table.look_up({name: sheet.value(name) for name in table.inputs}).get("seal_gradient")
    if not isinstance(found, Span):
        return 0.5
    return found.likely if found.likely is not None else found.low


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
