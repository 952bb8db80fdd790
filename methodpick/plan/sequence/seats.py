"""Where a casing may end: embedded in every layer, with the seal that the layer gives."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import FactSheet
from methodpick.mechanics.seat import seat_from, seat_length
from methodpick.plan.fluid.levels import Levels
from methodpick.plan.sequence.search_slices import Seat
from methodpick.terms import COHESIVE
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Choice, Span

MOST_SEATS = 4
"""Seats that are tried in one layer, so that the search stays small."""


def find_seats(gatherer: Gatherer, levels: Levels, tables: Mapping[str, ClassTable]) -> tuple[Seat, ...]:
    """Return the seats below the starter's shoe: the embedment into each layer, deeper ones in thick tight layers, the tip."""
    frame, limits, start_m = gatherer.frame, gatherer.frame.limits, levels.starter_base_m
    in_bed = _bed_seat(gatherer, levels)
    tip, socket = frame.shaft.tip_m, frame.shaft.socket_top_m
    seats: dict[float, Seat] = {}
    run_top: float | None = None
    for stratum, sheet in zip(gatherer.strata, gatherer.sheets, strict=True):
        if not stratum.logged or stratum.top_m >= tip:
            run_top = None
            continue
        seals = _seal(sheet, tables["seals"])
        span = _embedment(sheet, tables["embedment"])
        if seals == "no":
            run_top = None
        elif run_top is None:
            run_top = stratum.top_m
        top = stratum.top_m
        depths = _depths(top, stratum.base_m, span, limits, deep=seals != "no")
        clay = seals != "no" and stratum.likely in COHESIVE
        lowest = stratum.base_m - limits["seat_cover_m"]
        if clay and max(depths[:1], default=top) < (sealed := _sealing_depth(gatherer, top)) <= lowest:
            depths.append(sealed)
        if seals == "no" and in_bed is not None and top < in_bed <= stratum.base_m and in_bed > max(depths, default=top):
            depths.append(in_bed)
        for depth in depths:
            if depth < start_m + limits["run_least_m"] - 1e-6 or depth >= tip - 0.01:
                continue
            enough = run_top is not None and depth - run_top >= span.low
            left = stratum.base_m - depth >= limits["seat_cover_m"] or _goes_on(gatherer, stratum.index, tables)
            seal = seals if enough and left else "no"
            inside = socket is not None and depth > socket + span.high + 1e-6
            embedment = round(depth - top, 3)
            push = _pushed(gatherer, depth, depth - top, depth - (run_top or top)) if clay and seal != "no" else None
            seats[round(depth, 3)] = Seat(
                depth_m=round(depth, 3),
                seals=seal,
                embedment_m=embedment,
                stratum=stratum.index,
                in_socket=inside,
                pushed_m=min(embedment, limits["last_push_m"]) if push is None else push,
            )
    last = next((s for s in reversed(gatherer.strata) if s.top_m < tip), gatherer.strata[-1])
    seats[round(tip, 3)] = Seat(round(tip, 3), "no", 0.0, last.index, in_socket=socket is not None, pushed_m=0.0)
    return tuple(seats[depth] for depth in sorted(seats))


def _bed_seat(gatherer: Gatherer, levels: Levels) -> float | None:
    """Return the depth at which a casing full of fluid stands deep enough in a granular bed of open water; None on land."""
    limits, main = gatherer.frame.limits, gatherer.aquifers[0].level_m
    if gatherer.frame.site.setting != "water":
        return None
    outside = main.high if main.likely is None else main.likely
    excess = max(outside - level for level in levels.fluid_m.values())
    return round(
        seat_length(excess, gatherer.frame.shaft.diameter_m, limits["seat_gradient_granular"], limits["bed_seat_sand_m"], 0.0) + 0.05, 2
    )


def _sealing_depth(gatherer: Gatherer, top_m: float) -> float:
    """Return the depth at which a shoe forced into clay from its top is long enough against the highest water outside."""
    limits = gatherer.frame.limits
    outside = gatherer.frame.shaft.diameter_m + limits["casing_step_m"]
    return top_m + seat_from(
        _head_over(gatherer, top_m), outside, limits["seat_gradient_clay"], limits["seal_seat_least_m"], limits["seal_seat_diameters"]
    )


def _pushed(gatherer: Gatherer, depth_m: float, in_layer_m: float, in_clay_m: float) -> float:
    """Return the length of clay that a shoe is forced through: the usual last push, more where the water outside asks for it."""
    limits = gatherer.frame.limits
    outside = gatherer.frame.shaft.diameter_m + limits["casing_step_m"]
    needed = seat_length(
        _head_over(gatherer, depth_m), outside, limits["seat_gradient_clay"], limits["seal_seat_least_m"], limits["seal_seat_diameters"]
    )
    return round(max(min(in_layer_m, limits["last_push_m"]), min(needed, in_clay_m, limits["push_most_m"])), 3)


def _head_over(gatherer: Gatherer, depth_m: float) -> float:
    """Return the head of the highest water over a depth, perched waters aside."""
    levels = [water.level_m.low for water in gatherer.aquifers if water.kind != "perched" and water.top_m < depth_m]
    return max(0.0, depth_m - min(levels, default=depth_m))


def _depths(top_m: float, base_m: float, span: Span, limits: Mapping[str, float], *, deep: bool) -> list[float]:
    """Return the seat depths inside one layer: the likely embedment, less in a thin layer, deeper ones where it seals."""
    likely = span.likely if span.likely is not None else span.high
    thickness, cover, step = base_m - top_m, limits["seat_cover_m"], limits["seat_step_m"]
    if thickness >= likely + cover:
        depths = [top_m + likely]
    elif thickness >= span.low + cover:
        depths = [top_m + span.low]
    else:
        return [top_m + thickness / 2] if thickness > limits["seat_layer_least_m"] else []
    deeper = top_m + likely + step
    while deep and deeper < base_m - cover and len(depths) < MOST_SEATS:
        depths.append(deeper)
        deeper += step
    return depths


def _goes_on(gatherer: Gatherer, index: int, tables: Mapping[str, ClassTable]) -> bool:
    """Return whether the next stratum seals as well."""
    if index + 1 >= len(gatherer.strata) or not gatherer.strata[index + 1].logged:
        return False
    return _seal(gatherer.sheets[index + 1], tables["seals"]) != "no"


def _seal(sheet: FactSheet, table: ClassTable) -> str:
    found = table.look_up({name: sheet.value(name) for name in table.inputs}).get("seals")
    if not isinstance(found, Choice):
        return "no"
    if found.certain:
        return next(iter(found.values))
    if found.likely == "yes":
        return "probable" if "no" in found.values or "probable" in found.values else "yes"
    return found.likely or ("no" if "no" in found.values else "probable")


def _embedment(sheet: FactSheet, table: ClassTable) -> Span:
    found = table.look_up({name: sheet.value(name) for name in table.inputs}).get("embedment_m")
    return found if isinstance(found, Span) else Span(0.6, 1.5, 1.0)
