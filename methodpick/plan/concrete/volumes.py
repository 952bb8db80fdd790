"""Concrete volumes with depth: by the drawing, with casings in, as drilled, and the ground's overbreak as a range."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from methodpick.ground.shaft import Shaft
from methodpick.plan.concrete.hole import TOUCH_M, Bore, area, bell_height, bell_volume, bores, socket_of
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import Casing, CurvePoint
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Span

NO_OVERBREAK = Span(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Part:
    """A length of shaft with its volumes in m3: theoretical, with casings in, as drilled; overbreak low, likely and high."""

    top_m: float
    base_m: float
    theoretical_m3: float
    casings_in_m3: float
    fill_m3: float
    low_m3: float
    likely_m3: float
    high_m3: float


def parts_of(
    shaft: Shaft, casings: Sequence[Casing], judged: Sequence[Judged], overbreak: ClassTable, top_m: float, bell_share: float
) -> tuple[Part, ...]:
    """Return the parts from a depth down to the tip, cut where the hole, the shaft or the ground changes.

    Theoretical counts from the cut-off down, whatever ``top_m`` is; ``bell_share`` is the height of a bell that is not drawn over
    the difference of its diameters. Inside a casing that stays nothing is overbroken, nor above the ground (over water the
    mudline), where a casing that stays or a form of the shaft's own diameter bounds the concrete.
    """
    hole = bores(shaft.diameter_m, socket_of(shaft), shaft.tip_m, casings)
    if top_m < 0.0:
        form = min((one.inside_m for one in casings if one.kind == "permanent"), default=shaft.diameter_m)
        hole = (Bore(top_m, 0.0, form, True, form), *hole)
    bell_top = shaft.tip_m - (bell_height(shaft.bell, shaft.diameter_m, bell_share) if shaft.bell else 0.0)
    cuts = {
        top_m,
        shaft.tip_m,
        bell_top,
        shaft.cutoff_m,
        *(casing.base_m for casing in casings),
        *(one.slice.top_m for one in judged),
        *(bore.top_m for bore in hole),
    }
    depths = sorted(depth for depth in cuts if top_m <= depth <= shaft.tip_m)
    parts = []
    for top, base in itertools.pairwise(depths):
        if base - top <= TOUCH_M:
            continue
        bore = next(one for one in hole if base <= one.base_m + TOUCH_M)
        bell = bell_volume(shaft, bell_share) * (base - top) / (shaft.tip_m - bell_top) if shaft.bell and top >= bell_top - TOUCH_M else 0.0
        parts.append(_part(shaft, casings, bore, (top, base), bell, _overbreak(judged, (top + base) / 2, overbreak)))
    return tuple(parts)


def _part(shaft: Shaft, casings: Sequence[Casing], bore: Bore, ends: tuple[float, float], bell: float, spread: Span) -> Part:
    top, base = ends
    length, socket = base - top, socket_of(shaft)
    own = socket[1] if socket and top >= socket[0] - TOUCH_M else shaft.diameter_m
    inside = min((one.inside_m for one in casings if one.base_m >= base - TOUCH_M), default=bore.diameter_m)
    fill = area(bore.diameter_m) * length
    held = NO_OVERBREAK if bore.lined else spread
    likely = held.likely if held.likely is not None else (held.low + held.high) / 2
    theoretical = area(own) * max(0.0, base - max(top, shaft.cutoff_m))
    return Part(
        top,
        base,
        theoretical + bell,
        area(inside) * length + bell,
        fill + bell,
        *(fill * percent / 100 for percent in (held.low, likely, held.high)),
    )


def _overbreak(judged: Sequence[Judged], depth_m: float, table: ClassTable) -> Span:
    """Return the overbreak in percent at a depth; none for ground that no log tells of."""
    for one in judged:
        if one.slice.top_m <= depth_m <= one.slice.base_m and one.cut.decided:
            found = table.look_up({name: one.slice.sheet.value(name) for name in table.inputs}).get("overbreak_percent")
            return found if isinstance(found, Span) else NO_OVERBREAK
    return NO_OVERBREAK


def below(parts: Sequence[Part], depth_m: float) -> tuple[float, float, float, float, float, float]:
    """Return the six volumes from a depth down to the tip; a part that the depth cuts counts by its length."""
    sums = [0.0] * 6
    for part in parts:
        share = min(1.0, max(0.0, (part.base_m - max(part.top_m, depth_m)) / (part.base_m - part.top_m)))
        values = (part.theoretical_m3, part.casings_in_m3, part.fill_m3, part.low_m3, part.likely_m3, part.high_m3)
        sums = [total + share * value for total, value in zip(sums, values, strict=True)]
    return sums[0], sums[1], sums[2], sums[3], sums[4], sums[5]


def curve_of(parts: Sequence[Part]) -> tuple[CurvePoint, ...]:
    """Return the depth-volume curve from the tip up; points on a straight line between their neighbours are left out."""
    points = [CurvePoint(parts[-1].base_m, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)]
    slopes: tuple[float, ...] | None = None
    for part in reversed(parts):
        last, length = points[-1], part.base_m - part.top_m
        adds = (
            part.theoretical_m3,
            part.casings_in_m3,
            part.fill_m3,
            part.fill_m3 + part.low_m3,
            part.fill_m3 + part.likely_m3,
            part.fill_m3 + part.high_m3,
        )
        steps = tuple(round(add / length, 6) for add in adds)
        if steps == slopes:
            points.pop()
        slopes = steps
        points.append(
            CurvePoint(
                part.top_m,
                last.theoretical_m3 + adds[0],
                last.casings_in_m3 + adds[1],
                last.fill_m3 + adds[2],
                last.expected_low_m3 + adds[3],
                last.expected_m3 + adds[4],
                last.expected_high_m3 + adds[5],
            )
        )
    return tuple(points)
