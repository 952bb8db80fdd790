"""Where a casing may end: embedded in every layer, with the seal that the layer gives."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import FactSheet
from methodpick.plan.sequence.search_slices import Seat
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Choice, Span

MOST_SEATS = 4
"""Seats that are tried in one layer, so that the search stays small."""


def find_seats(gatherer: Gatherer, start_m: float, tables: Mapping[str, ClassTable]) -> tuple[Seat, ...]:
    """Return the seats below the starter's shoe: the embedment into each layer, deeper ones in thick tight layers, the tip."""
    frame, limits = gatherer.frame, gatherer.frame.limits
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
        for depth in _depths(top, stratum.base_m, span, limits, deep=seals != "no"):
            if depth < start_m + limits["run_least_m"] - 1e-6 or depth >= tip - 0.01:
                continue
            enough = run_top is not None and depth - run_top >= span.low
            left = stratum.base_m - depth >= limits["seat_cover_m"] or _goes_on(gatherer, stratum.index, tables)
            seal = seals if enough and left else "no"
            inside = socket is not None and depth > socket + span.high + 1e-6
            embedment = round(depth - top, 3)
            seats[round(depth, 3)] = Seat(
                depth_m=round(depth, 3),
                seals=seal,
                embedment_m=embedment,
                stratum=stratum.index,
                in_socket=inside,
                pushed_m=min(embedment, limits["last_push_m"]),
            )
    last = next((s for s in reversed(gatherer.strata) if s.top_m < tip), gatherer.strata[-1])
    seats[round(tip, 3)] = Seat(round(tip, 3), "no", 0.0, last.index, in_socket=socket is not None, pushed_m=0.0)
    return tuple(seats[depth] for depth in sorted(seats))


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
