"""Where a casing may end: embedded in every layer, with the seal that the layer gives."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import Sheet
from methodpick.plan.sequence.search_slices import Seat
from methodpick.vocabulary.tables import Table
from methodpick.vocabulary.values import Choice, Span

DEEPER_M = 3.0
"""Step of the deeper seats in a thick layer that seals (own value)."""
LEAST_RUN_M = 0.3
"""A shorter length than this is not worth a casing or a change of method (own value)."""
LEAST_BELOW_M = 0.3
"""Tight ground that must be left below the shoe for a seal (own value)."""


def find_seats(gatherer: Gatherer, start_m: float, tables: Mapping[str, Table]) -> tuple[Seat, ...]:
    """Return the seats below the starter's shoe: the embedment into each layer, deeper ones in thick tight layers, the tip."""
    frame = gatherer.frame
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
        for depth in _depths(top, stratum.base_m, span, deep=seals != "no"):
            if depth < start_m + LEAST_RUN_M - 1e-6 or depth >= tip - 0.01:
                continue
            enough = run_top is not None and depth - run_top >= span.low
            left = stratum.base_m - depth >= LEAST_BELOW_M or _goes_on(gatherer, stratum.index, tables)
            seal = seals if enough and left else "no"
            inside = socket is not None and depth > socket + span.high + 1e-6
            seats[round(depth, 3)] = Seat(round(depth, 3), seal, round(depth - top, 3), stratum.index, inside)
    last = next((s for s in reversed(gatherer.strata) if s.top_m < tip), gatherer.strata[-1])
    seats[round(tip, 3)] = Seat(round(tip, 3), "no", 0.0, last.index, socket is not None)
    return tuple(seats[depth] for depth in sorted(seats))


def _depths(top_m: float, base_m: float, span: Span, *, deep: bool) -> list[float]:
    """Return the seat depths inside one layer: the likely embedment, less in a thin layer, deeper ones where it seals."""
    likely = span.likely if span.likely is not None else span.high
    thickness = base_m - top_m
    if thickness >= likely + LEAST_BELOW_M:
        depths = [top_m + likely]
    elif thickness >= span.low + LEAST_BELOW_M:
        depths = [top_m + span.low]
    else:
        return [top_m + thickness / 2] if thickness > 0.4 else []
    deeper = top_m + likely + DEEPER_M
    while deep and deeper < base_m - LEAST_BELOW_M and len(depths) < 4:
        depths.append(deeper)
        deeper += DEEPER_M
    return depths


def _goes_on(gatherer: Gatherer, index: int, tables: Mapping[str, Table]) -> bool:
    """Return whether the next stratum seals as well."""
    if index + 1 >= len(gatherer.strata) or not gatherer.strata[index + 1].logged:
        return False
    return _seal(gatherer.sheets[index + 1], tables["seals"]) != "no"


def _seal(sheet: Sheet, table: Table) -> str:
    found = table.look_up({name: sheet.value(name) for name in table.inputs}).get("seals")
    if not isinstance(found, Choice):
        return "no"
    if found.certain:
        return next(iter(found.values))
    if found.likely == "yes":
        return "probable" if "no" in found.values or "probable" in found.values else "yes"
    return found.likely or ("no" if "no" in found.values else "probable")


def _embedment(sheet: Sheet, table: Table) -> Span:
    found = table.look_up({name: sheet.value(name) for name in table.inputs}).get("embedment_m")
    return found if isinstance(found, Span) else Span(0.6, 1.5, 1.0)
