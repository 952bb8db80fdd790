"""Where a casing may end: embedded in every layer, with the seal that the layer gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import Sheet
from methodpick.facts.strata import Stratum
from methodpick.vocabulary.tables import Table
from methodpick.vocabulary.values import Choice, Span

LAST_PUSH_M = 1.5
"""Length below caving ground over which any plant may push or twist the shoe into its seat (own value)."""
DEEPER_M = 3.0
"""Step of the deeper seats in a thick layer that seals (own value)."""
LEAST_RUN_M = 0.3
"""A shorter length than this is not worth a casing or a change of method (own value)."""
LEAST_BELOW_M = 0.3
"""Tight ground that must be left below the shoe for a seal (own value)."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A depth at which a casing may end: what it seals there and how deep the shoe is embedded."""

    depth_m: float
    seals: str
    embedment_m: float
    stratum: int
    in_socket: bool

    @property
    def pushed_from_m(self) -> float:
        """Return the depth below which the shoe is pushed or twisted into undrilled ground."""
        return round(self.depth_m - min(self.embedment_m, LAST_PUSH_M), 3)


def find_seats(gatherer: Gatherer, start_m: float, tables: Mapping[str, Table]) -> tuple[Seat, ...]:
    """Return the seats below the starter's shoe: the embedment into each layer, deeper ones in thick tight layers, the tip."""
    shaft = gatherer.frame.shaft
    tip, socket = shaft.tip_m, shaft.socket_top_m
    seats: dict[float, Seat] = {}
    tight_top: float | None = None
    for stratum, sheet in zip(gatherer.strata, gatherer.sheets, strict=True):
        if not stratum.logged or stratum.top_m >= tip:
            tight_top = None
            continue
        seals, span = _seal(sheet, tables["seals"]), _embedment(sheet, tables["embedment"])
        if seals == "no":
            tight_top = None
        elif tight_top is None:
            tight_top = stratum.top_m
        for depth in _depths(stratum, span, deep=seals != "no"):
            if depth < start_m + LEAST_RUN_M - 1e-6 or depth >= tip - 0.01:
                continue
            enough = tight_top is not None and depth - tight_top >= span.low
            left = stratum.base_m - depth >= LEAST_BELOW_M or _next_seals(gatherer, stratum.index, tables["seals"])
            seats[round(depth, 3)] = Seat(
                depth_m=round(depth, 3),
                seals=seals if enough and left else "no",
                embedment_m=round(depth - stratum.top_m, 3),
                stratum=stratum.index,
                in_socket=socket is not None and depth > socket + span.high + 1e-6,
            )
    last = next((stratum for stratum in reversed(gatherer.strata) if stratum.top_m < tip), gatherer.strata[-1])
    seats[round(tip, 3)] = Seat(depth_m=round(tip, 3), seals="no", embedment_m=0.0, stratum=last.index, in_socket=socket is not None)
    return tuple(seats[depth] for depth in sorted(seats))


def _depths(stratum: Stratum, embedment: Span, *, deep: bool) -> list[float]:
    """Return the seat depths inside one layer: the likely embedment, less in a thin layer, deeper ones where it seals."""
    likely = embedment.likely if embedment.likely is not None else embedment.high
    thickness = stratum.base_m - stratum.top_m
    if thickness >= likely + LEAST_BELOW_M:
        depths = [stratum.top_m + likely]
    elif thickness >= embedment.low + LEAST_BELOW_M:
        depths = [stratum.top_m + embedment.low]
    else:
        return [stratum.top_m + thickness / 2] if thickness > 0.4 else []
    deeper = stratum.top_m + likely + DEEPER_M
    while deep and deeper < stratum.base_m - LEAST_BELOW_M and len(depths) < 4:
        depths.append(deeper)
        deeper += DEEPER_M
    return depths


def _next_seals(gatherer: Gatherer, index: int, seals: Table) -> bool:
    """Return whether the stratum below a stratum seals as well."""
    if index + 1 >= len(gatherer.strata) or not gatherer.strata[index + 1].logged:
        return False
    return _seal(gatherer.sheets[index + 1], seals) != "no"


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
