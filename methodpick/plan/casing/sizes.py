"""How wide a shaft is at every depth: casing sizes from the inside out, the yard first, with walls, pieces and masses; and its tools."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from math import ceil
from typing import Literal, NamedTuple, cast

from methodpick.ground.site import Shaft, Site, StockCasing
from methodpick.mechanics.casing import driving_wall, mass_per_metre, oval_collapse_pressure, slender_wall
from methodpick.plan.hours import joints
from methodpick.plan.judging.planning_input import is_casing_outside
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing, Wall
from methodpick.plan.sequence.path import TOLERANCE_M, Run, Segment
from methodpick.records import record
from methodpick.unit_markup import mark
from methodpick.vocabulary.trade_sizes import SAME_OUTSIDE_M, TradeSizes
from methodpick.vocabulary.values import Span

# ---- Casing sizes: outside diameters from the inside out, the yard first; walls, each reason with its number; pieces and masses


WALL_REASONS = {
    "usual": ("as usual", "the usual least"),
    "handling": ("for handling", "handling"),
    "driving": ("for driving or vibrating it in", "driving"),
    "twisting": ("for twisting it in", "twisting"),
    "oscillating": ("for oscillating or rotating it in", "oscillating"),
    "pressure": ("for the pressure outside when it is emptied", "pressure"),
}
"""What a wall is for, as an aim and as what governs."""


@record
class CasingSize:
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


@record
class CasingUse:
    """What a casing goes through: the pressure outside when it is emptied (0 where it stays full), the way it is brought down.

    ``way`` is None where it is set in a drilled hole.
    """

    pressure_kpa: float = 0.0
    way: str | None = None


def string_sizes(site: Site, shaft: Shaft, uses: Sequence[CasingUse], trade: TradeSizes) -> tuple[CasingSize, ...]:
    """Return the sizes of the strings from the outermost in; the innermost lets the shaft's own tool pass.

    The length below the casing is drilled full size, so that its inside diameter is the shaft's at least; where the drawing
    gives the outside diameter of the casing, that is kept, and the tool below it is the socket's or what passes. Each string
    is wider than the one in it by the step of the rulebook at least. Stock of the yard goes first, the narrowest that fits.
    """
    limits, drawn_outside = trade.limits, is_casing_outside(shaft, trade.limits)
    least_outside = shaft.diameter_m if drawn_outside else 0.0
    needed_inside = (shaft.socket_diameter_m or 0.0) if drawn_outside else shaft.diameter_m
    sizes: list[CasingSize] = []
    for use in reversed(uses):
        size = _size(site.stock, (needed_inside, least_outside), use, trade, exact=shaft.diameter_is == "casing_outside" and not sizes)
        sizes.append(size)
        needed_inside, least_outside = size.outside_m + limits["tool_clear_m"], size.outside_m + limits["casing_step_m"]
    return tuple(reversed(sizes))


def size_of_outside(site: Site, outside_m: float, use: CasingUse, limits: Mapping[str, float]) -> CasingSize:
    """Return the size of an outside diameter that is given: of the yard where one is strong enough, else with the wall that it wants."""
    fitting = [
        casing
        for casing in site.stock
        if abs(casing.outside_diameter_m - outside_m) < SAME_OUTSIDE_M and _is_strong_enough(casing, use, limits)
    ]
    if not fitting:
        return CasingSize(round(outside_m, 4), wall_for(outside_m, use, limits))
    chosen = min(fitting, key=lambda casing: casing.wall_m)
    return CasingSize(chosen.outside_diameter_m, chosen.wall_m, chosen.length_m)


def most_strings(site: Site, shaft: Shaft, trade: TradeSizes, most: int = 3) -> int:
    """Return how many strings may telescope before the outermost is wider than the largest casing of the plant.

    One is always left: where even that is too wide, the sizes say so and the check of the site has a doubt.
    """
    largest = site.site.equipment.max_casing_m
    if largest is None:
        return most
    outermost = {count: string_sizes(site, shaft, [CasingUse()] * count, trade)[0].outside_m for count in range(1, most + 1)}
    return max((count for count, outside in outermost.items() if outside <= largest + 1e-6), default=1)


def starter_size(outer_inside_m: float, trade: TradeSizes) -> CasingSize:
    """Return the size of the starter: it lets the outermost string or the shaft's tool pass."""
    limits = trade.limits
    needed = outer_inside_m + limits["tool_clear_m"]
    outside = trade.outside_from(needed + 2 * limits["casing_wall_min_m"])
    while outside - 2 * wall_for(outside, CasingUse(), limits) < needed - 1e-6:
        outside = trade.next_outside(outside)
    return CasingSize(outside, wall_for(outside, CasingUse(), limits))


def _size(stock: Sequence[StockCasing], needs: tuple[float, float], use: CasingUse, trade: TradeSizes, *, exact: bool) -> CasingSize:
    """Return the size that has an inside and an outside diameter at least: the narrowest of the yard that fits, else bought."""
    bought = _bought(needs, use, trade, exact=exact)
    fitting = [casing for casing in stock if _fits(casing, needs, use, trade.limits)]
    if not fitting:
        return bought
    chosen = min(fitting, key=lambda casing: (casing.outside_diameter_m, casing.wall_m))
    wider = max(0.0, chosen.outside_diameter_m - bought.outside_m)
    return CasingSize(chosen.outside_diameter_m, chosen.wall_m, chosen.length_m, wider)


def _bought(needs: tuple[float, float], use: CasingUse, trade: TradeSizes, *, exact: bool) -> CasingSize:
    """Return the least trade size that lets the tool pass; ``exact`` starts at the diameter of the drawing itself."""
    inside_m, start_m = needs[0], max(needs)
    outside = start_m if exact else trade.outside_from(start_m, use.way, inside_m)
    for _ in range(40):
        if outside - 2 * wall_for(outside, use, trade.limits) >= inside_m - 1e-6:
            break
        outside = trade.next_outside(outside, use.way)
    return CasingSize(round(outside, 4), wall_for(outside, use, trade.limits))


def _fits(casing: StockCasing, needs: tuple[float, float], use: CasingUse, limits: Mapping[str, float]) -> bool:
    """Return whether a casing of the yard passes the tool, is not too wide and is strong enough for this use.

    A wall that was good for handling once is taken as it is; driving and outside pressure are checked anew.
    """
    inside_m, outside_m = needs
    return (
        casing.outside_diameter_m - 2 * casing.wall_m >= inside_m - 1e-6
        and casing.outside_diameter_m >= outside_m - 1e-6
        and casing.outside_diameter_m <= max(needs) + 2 * limits["casing_oversize_m"] + 1e-6
        and _is_strong_enough(casing, use, limits)
    )


def _is_strong_enough(casing: StockCasing, use: CasingUse, limits: Mapping[str, float]) -> bool:
    """Return whether a casing of the yard is brought down by its way and bears what presses on it."""
    for_way = use.way is None or casing.wall_m >= _wall_for_way(casing.outside_diameter_m, use.way, limits)[1] - 1e-9
    return for_way and withstands(casing.outside_diameter_m, casing.wall_m, use.pressure_kpa, limits)


# ---- walls


def least_walls(outside_m: float, use: CasingUse, limits: Mapping[str, float]) -> dict[str, float]:
    """Return the least wall in plate steps by each reason: usual, handling, the way it is brought down, pressure where emptied."""
    reasons = {"usual": limits["casing_wall_min_m"], "handling": slender_wall(outside_m, 0.0, limits["handling_slenderness"])}
    if use.way is not None:
        reason, wall = _wall_for_way(outside_m, use.way, limits)
        reasons[reason] = wall
    step = limits["wall_step_m"]
    walls = {reason: ceil(round(wall / step, 6)) * step for reason, wall in reasons.items()}
    if use.pressure_kpa > 0.0:
        steps = next((number for number in range(4, 80) if withstands(outside_m, number * step, use.pressure_kpa, limits)), 80)
        walls["pressure"] = steps * step
    return {reason: round(wall, 6) for reason, wall in walls.items()}


def _wall_for_way(outside_m: float, way: str, limits: Mapping[str, float]) -> tuple[str, float]:
    """Return the reason and the least wall for a way of bringing casing down."""
    if way == "oscillated":
        return "oscillating", slender_wall(outside_m, limits["oscillated_wall_min_m"], limits["oscillated_slenderness"])
    if way == "twisted":
        return "twisting", max(limits["twisted_wall_min_m"], driving_wall(outside_m))
    return "driving", driving_wall(outside_m)


def wall_for(outside_m: float, use: CasingUse, limits: Mapping[str, float]) -> float:
    """Return the least wall in plate steps: the rulebook's minimum, handling, the way down, and collapse with ovality when emptied."""
    return max(least_walls(outside_m, use, limits).values())


def pressure_borne(outside_m: float, wall_m: float, limits: Mapping[str, float]) -> float:
    """Return the outside pressure in kPa that an oval, emptied casing bears with the rulebook's safety."""
    return oval_collapse_pressure(outside_m, wall_m, limits["casing_ovality"], limits["steel_yield_kpa"]) / limits["collapse_safety"]


def withstands(outside_m: float, wall_m: float, pressure_kpa: float, limits: Mapping[str, float]) -> bool:
    """Return whether an oval casing withstands an outside pressure when it is emptied, with the rulebook's safety."""
    return pressure_kpa <= 0.0 or pressure_borne(outside_m, wall_m, limits) >= pressure_kpa


def wall_reason(size: CasingSize, use: CasingUse, limits: Mapping[str, float]) -> Wall:
    """Return the least wall by each reason and which one governs; a wall from the yard is as thick as it is."""
    walls = least_walls(size.outside_m, use, limits)
    thickest = max(walls, key=lambda reason: walls[reason])
    borne, bought = pressure_borne(size.outside_m, size.wall_m, limits), size.piece_m is None
    listed = ", ".join(f"{mark(wall, 'wall')} {WALL_REASONS[reason][0]}" for reason, wall in walls.items())
    why = f"Least wall {listed}{f'; {WALL_REASONS[thickest][1]} governs' if bought else ''}."
    if use.pressure_kpa > 0:
        why += (
            f" Emptied it carries {mark(use.pressure_kpa, 'kPa')} outside; an oval pipe of this wall bears {mark(borne, 'kPa')} with a "
            f"safety of {limits['collapse_safety']:g}."
        )
    if bought and size.wall_m > walls[thickest] + 1e-6:
        why += " It is thicker, since casing of one size serves several shafts."
    if not bought:
        thin = size.wall_m < walls[thickest] - 1e-6
        why += f" It comes from the yard{', thinner than a bought one would be' if thin else ''}."
    return Wall(
        usual_m=walls["usual"],
        handling_m=walls["handling"],
        driving_m=next((walls[reason] for reason in ("driving", "twisting", "oscillating") if reason in walls), None),
        pressure_m=walls.get("pressure"),
        pressure_kpa=use.pressure_kpa,
        bears_kpa=borne,
        governed_by=cast("Literal['usual', 'handling', 'driving', 'twisting', 'oscillating', 'pressure']", thickest) if bought else "yard",
        why=why,
    )


# ---- masses and pieces


def casing_mass(size: CasingSize, length_m: float) -> float:
    """Return the mass of a casing in kilograms."""
    return mass_per_metre(size.outside_m, size.wall_m) * length_m


def splices(length_m: float, limits: Mapping[str, float], piece_m: float | None = None) -> int:
    """Return the number of splices of a string from mill lengths, or from pieces of the yard."""
    return joints(length_m, piece_m or limits["splice_length_m"])


def sections(length_m: float, limits: Mapping[str, float], piece_m: float | None = None) -> tuple[float, ...]:
    """Return the pieces of a string from the shoe up: full ones, and what is left at the top."""
    full = piece_m or limits["splice_length_m"]
    number = splices(length_m, limits, piece_m)
    return (*[full] * number, round(length_m - number * full, 6))


# ---- With what tool each length of a hole is drilled: how wide it is, and whether it cores rock


def tool_below_casings(shaft: Shaft, limits: Mapping[str, float]) -> float:
    """Return the tool that drills below the innermost casing; where the casing's outside is drawn, the socket's or the shaft's."""
    return shaft.socket_diameter_m or shaft.diameter_m if is_casing_outside(shaft, limits) else shaft.diameter_m


class SegmentTools(NamedTuple):
    """The diameters in m of the tools of a segment: in the open hole, and inside the casing that ends it."""

    open_m: float
    inside_m: float


class DrilledPart(NamedTuple):
    """A length that one tool drills; ``cored`` says that it is rock which no auger cuts, ``logged`` that a log tells of it."""

    top_m: float
    base_m: float
    tool_m: float
    cored: bool
    logged: bool = True


def segment_tools(ground: JudgedGround, segments: Iterable[Segment], strings: Sequence[Casing]) -> list[SegmentTools]:
    """Return the tools of every segment, top down; ``strings`` are its casings, outermost first.

    A hole for a casing is drilled as wide as the casing asks for. In and below a casing works the tool of what comes below it, where it
    passes, else the widest of the trade that does.
    """
    shaft, left = ground.shaft, list(strings)
    passing = [_through(casing, ground) for casing in strings]
    found: list[SegmentTools] = []
    for segment in segments:
        casing = left.pop(0) if segment.casing != "none" else None
        below = _hole_for(left[0]) if left else tool_below_casings(shaft, ground.limits)
        if casing is None:
            tool_m = min([shaft.diameter_m, *passing[-1:]])
            found.append(SegmentTools(tool_m, tool_m))
        else:
            found.append(SegmentTools(_hole_for(casing), min(below, _through(casing, ground))))
    return found


def _through(casing: Casing, ground: JudgedGround) -> float:
    """Return the widest tool of the trade that passes through a casing, where it is no wider than the shaft itself."""
    if casing.inside_m >= ground.shaft.diameter_m:
        return casing.inside_m
    return ground.trade_sizes.tool_to(casing.inside_m, 0.0)


def _hole_for(casing: Casing) -> float:
    return max(casing.outside_diameter_m, casing.predrill_diameter_m or 0.0)


def parts_drilled(
    run: Run, tool_m: float, shaft: Shaft, slices: Sequence[JudgedSlice], limits: Mapping[str, float]
) -> tuple[DrilledPart, ...]:
    """Return a run cut where its tool changes: at the socket, which is drilled at its own diameter, and where rock is cored.

    It is also cut where no log tells of the ground.
    """
    near = [judged for judged in slices if judged.top_m <= run.base_m and judged.base_m >= run.top_m]
    tops, bases = [judged.top_m for judged in near], [judged.base_m for judged in near]
    cuts = {*tops, shaft.socket_top_m or 0.0}
    inside = sorted(cut for cut in cuts if run.top_m + TOLERANCE_M < cut < run.base_m - TOLERANCE_M)
    parts: list[DrilledPart] = []
    for above, base in pairwise([run.top_m, *inside, run.base_m]):
        top, middle = above, (above + base) / 2
        in_socket = shaft.socket_diameter_m is not None and shaft.socket_top_m is not None and middle > shaft.socket_top_m
        tool = min(tool_m, shaft.socket_diameter_m or tool_m) if in_socket else tool_m
        here = near[bisect_left(bases, middle) : bisect_right(tops, middle)]
        part = DrilledPart(top, base, tool, any(is_cored(judged, limits) for judged in here), all(judged.logged for judged in here))
        if parts and parts[-1][2:] == part[2:]:
            part = part._replace(top_m=parts.pop().top_m)
        parts.append(part)
    return tuple(parts)


def is_cored(judged: JudgedSlice, limits: Mapping[str, float]) -> bool:
    """Return whether a slice is rock that is cored: one whose likely strength, where it is known, no rock auger cuts."""
    ground = judged.counted_as
    if ground.slice.stratum.likely != "rock":
        return False
    strength = ground.sheet.value("ucs_kpa") if "ucs_kpa" in ground.sheet.facts else None
    return not isinstance(strength, Span) or strength.likely_or_middle >= limits["core_ucs_least_kpa"]
