"""The hole as drilled: diameters by depth, which of it concrete fills, its volumes and overbreak; and the quantities of a shaft."""

from __future__ import annotations

import itertools
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from math import pi
from typing import NamedTuple

from methodpick.ground.site import Bell, Shaft
from methodpick.mechanics.earth_pressure import STEEL_KG_M3
from methodpick.plan.casing.sizes import segment_tools
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import CONCRETE_OVER_CUTOFF, CONCRETE_TO_FILL, Casing, Concrete, CurvePoint, HoleLevels, QuantityLine
from methodpick.plan.sequence.path import SequencePath
from methodpick.records import record
from methodpick.terms import STARTER
from methodpick.unit_markup import how_many, mark
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Span

# ---- The hole as drilled: its diameters with depth, which of it concrete fills, its volumes, and the ground's overbreak as a range


TOUCH_M = 1e-6
"""Depths closer than this are one depth."""
NO_OVERBREAK = Span(0.0, 0.0, 0.0)


@record
class Bore:
    """A length of hole: the diameter that concrete fills, whether a casing that stays bounds it, and what was drilled."""

    top_m: float
    base_m: float
    diameter_m: float
    lined: bool
    drilled_m: float


class Volumes(NamedTuple):
    """Volumes in m3: by the drawing, with the casings in, as drilled; and what the ground's overbreak adds, low, likely and high."""

    theoretical_m3: float
    casings_in_m3: float
    fill_m3: float
    low_m3: float
    likely_m3: float
    high_m3: float

    @property
    def expected_low_m3(self) -> float:
        """Return what the hole as drilled takes with the low overbreak."""
        return self.fill_m3 + self.low_m3

    @property
    def expected_m3(self) -> float:
        """Return what the hole as drilled takes with the likely overbreak."""
        return self.fill_m3 + self.likely_m3

    @property
    def expected_high_m3(self) -> float:
        """Return what the hole as drilled takes with the high overbreak."""
        return self.fill_m3 + self.high_m3


@record
class HolePart:
    """A length of hole of one diameter in one ground, with its volumes."""

    top_m: float
    base_m: float
    volumes: Volumes


def area(diameter_m: float) -> float:
    """Return the area of a circle.

    >>> round(area(2.0), 4)
    3.1416
    """
    return pi * diameter_m**2 / 4.0


def volume(diameter_m: float, length_m: float) -> float:
    """Return the volume of a cylinder.

    >>> round(volume(1.0, 4.0), 4)
    3.1416
    """
    return area(diameter_m) * max(0.0, length_m)


# ---- diameters


def socket_of(shaft: Shaft) -> tuple[float, float] | None:
    """Return top and diameter of the socket, None without one of its own diameter."""
    return (shaft.socket_top_m, shaft.socket_diameter_m) if shaft.socket_top_m and shaft.socket_diameter_m else None


def bores_of(shaft: Shaft, casings: Sequence[Casing]) -> tuple[Bore, ...]:
    """Return the hole of a shaft top down."""
    return bores(shaft.diameter_m, socket_of(shaft), shaft.tip_m, casings)


def bores(shaft_diameter_m: float, socket: tuple[float, float] | None, tip_m: float, casings: Sequence[Casing]) -> tuple[Bore, ...]:
    """Return the hole top down, as wide as the shaft, a casing that stood there, or the hole that was predrilled for it."""
    depths = sorted({0.0, tip_m} | ({socket[0]} if socket else set()) | _ends(casings, tip_m))
    found = []
    for top, base in itertools.pairwise(depths):
        around = [casing for casing in casings if casing.base_m >= base - TOUCH_M]
        drawn = socket[1] if socket and top >= socket[0] - TOUCH_M else shaft_diameter_m
        drilled = max([_drilled_for(casing, base) for casing in around], default=drawn)
        staying = [casing for casing in around if casing.kind == "permanent"]
        if staying:
            inner = min(staying, key=lambda casing: casing.outside_diameter_m)
            found.append(Bore(top, base, inner.inside_m, lined=True, drilled_m=drilled))
        else:
            found.append(Bore(top, base, drilled, lined=False, drilled_m=drilled))
    return tuple(found)


def _ends(casings: Iterable[Casing], tip_m: float) -> set[float]:
    depths = {depth for casing in casings for depth in (casing.base_m, casing.predrill_base_m)}
    return {depth for depth in depths if 0.0 < depth < tip_m}


def _drilled_for(casing: Casing, base_m: float) -> float:
    """Return the hole that a casing needed down to a depth that it reaches: predrilled wider, else as wide as the casing."""
    if casing.predrill_diameter_m is not None and casing.predrill_base_m >= base_m - TOUCH_M:
        return max(casing.outside_diameter_m, casing.predrill_diameter_m)
    return casing.outside_diameter_m


# ---- bell


def bell_height(bell: Bell, diameter_m: float, share: float) -> float:
    """Return the height of a bell; without one on the drawing, a share of the difference of its diameters is taken."""
    return bell.height_m or share * (bell.diameter_m - diameter_m)


def bell_volume(shaft: Shaft, share: float) -> float:
    """Return what a bell adds to the volume of the shaft, as the frustum of a cone; 0 without a bell."""
    if shaft.bell is None:
        return 0.0
    wide, narrow, height = shaft.bell.diameter_m, shaft.diameter_m, bell_height(shaft.bell, shaft.diameter_m, share)
    return pi * height / 12 * (wide**2 + wide * narrow + narrow**2) - volume(narrow, height)


# ---- volumes with depth


def parts_of(ground: JudgedGround, casings: Sequence[Casing], top_m: float) -> tuple[HolePart, ...]:
    """Return the parts from a depth down to the tip, cut where the hole, the shaft or the ground changes.

    Theoretical counts from the cut-off down, whatever ``top_m`` is. Inside a casing that stays nothing is overbroken, nor above
    the ground (over water the mudline), where a casing that stays or a form of the shaft's own diameter bounds the concrete.
    """
    shaft, slices, overbreak = ground.shaft, ground.slices, ground.tables["overbreak"]
    hole = bores_of(shaft, casings)
    if top_m < 0.0:
        form = min((casing.inside_m for casing in casings if casing.kind == "permanent"), default=shaft.diameter_m)
        hole = (Bore(top_m, 0.0, form, lined=True, drilled_m=form), *hole)
    bell_top = shaft.tip_m - (bell_height(shaft.bell, shaft.diameter_m, ground.limits["bell_height_share"]) if shaft.bell else 0.0)
    cuts = {
        top_m,
        shaft.tip_m,
        bell_top,
        shaft.cutoff_m,
        *(casing.base_m for casing in casings),
        *(judged.top_m for judged in slices),
        *(bore.top_m for bore in hole),
    }
    depths = sorted(depth for depth in cuts if top_m <= depth <= shaft.tip_m)
    parts = []
    for top, base in itertools.pairwise(depths):
        if base - top <= TOUCH_M:
            continue
        bore = next(bore for bore in hole if base <= bore.base_m + TOUCH_M)
        bell = (
            bell_volume(shaft, ground.limits["bell_height_share"]) * (base - top) / (shaft.tip_m - bell_top)
            if shaft.bell and top >= bell_top - TOUCH_M
            else 0.0
        )
        inside = min((casing.inside_m for casing in casings if casing.base_m >= base - TOUCH_M), default=bore.diameter_m)
        spread = NO_OVERBREAK if bore.lined else _overbreak(slices, (top + base) / 2, overbreak)
        parts.append(HolePart(top, base, _volumes(shaft, (top, base), (bore.diameter_m, inside), bell, spread)))
    return tuple(parts)


def _volumes(shaft: Shaft, ends: tuple[float, float], diameters: tuple[float, float], bell_m3: float, overbreak: Span) -> Volumes:
    """Return the volumes of a length with a bell's share: ``diameters`` are what concrete fills, and inside the casings."""
    (top, base), (filled, inside) = ends, diameters
    socket = socket_of(shaft)
    drawn = socket[1] if socket and top >= socket[0] - TOUCH_M else shaft.diameter_m
    fill = area(filled) * (base - top)
    return Volumes(
        theoretical_m3=area(drawn) * max(0.0, base - max(top, shaft.cutoff_m)) + bell_m3,
        casings_in_m3=area(inside) * (base - top) + bell_m3,
        fill_m3=fill + bell_m3,
        low_m3=fill * overbreak.low / 100,
        likely_m3=fill * overbreak.likely_or_middle / 100,
        high_m3=fill * overbreak.high / 100,
    )


def _base_of(judged: JudgedSlice) -> float:
    return judged.slice.base_m


def _overbreak(slices: Sequence[JudgedSlice], depth_m: float, table: ClassTable) -> Span:
    """Return the overbreak in percent at a depth; of ground that no log tells of as if that above went on."""
    for judged in slices[bisect_left(slices, depth_m, key=_base_of) :]:
        if judged.slice.top_m > depth_m:
            break
        if judged.counted_as.logged:
            found = judged.counted_as.look_up(table).get("overbreak_percent")
            return found if isinstance(found, Span) else NO_OVERBREAK
    return NO_OVERBREAK


def below(parts: Sequence[HolePart], depth_m: float) -> Volumes:
    """Return the volumes from a depth down to the tip; a part that the depth cuts counts by its length."""
    sums = [0.0] * 6
    for part in parts:
        share = min(1.0, max(0.0, (part.base_m - max(part.top_m, depth_m)) / (part.base_m - part.top_m)))
        if share > 0.0:
            sums = [total + share * value for total, value in zip(sums, part.volumes, strict=True)]
    return Volumes(*sums)


def curve_of(parts: Sequence[HolePart]) -> tuple[CurvePoint, ...]:
    """Return the depth-volume curve from the tip up; points on a straight line between their neighbours are left out."""
    points = [CurvePoint(parts[-1].base_m, *[0.0] * 6)]
    slopes: tuple[float, ...] | None = None
    for part in reversed(parts):
        last, found = points[-1], part.volumes
        expected = (found.expected_low_m3, found.expected_m3, found.expected_high_m3)
        adds = (found.theoretical_m3, found.casings_in_m3, found.fill_m3, *expected)
        steps = tuple(round(add / (part.base_m - part.top_m), 6) for add in adds)
        if steps == slopes:
            points.pop()
        slopes = steps
        points.append(
            CurvePoint(
                depth_m=part.top_m,
                theoretical_m3=last.theoretical_m3 + adds[0],
                casings_in_m3=last.casings_in_m3 + adds[1],
                fill_m3=last.fill_m3 + adds[2],
                expected_low_m3=last.expected_low_m3 + adds[3],
                expected_m3=last.expected_m3 + adds[4],
                expected_high_m3=last.expected_high_m3 + adds[5],
            )
        )
    return tuple(points)


# ---- Quantities of one shaft, each with its formula and the numbers in it


UNKNOWN_SWELL = Span(5.0, 60.0, 30.0)
"""Swell in percent of ground of which nothing is known: the ends of the table, with its usual value."""


def make_quantities(
    ground: JudgedGround, levels: HoleLevels, casings: Sequence[Casing], fluid: Iterable[QuantityLine], concrete: Concrete
) -> tuple[QuantityLine, ...]:
    """Return drilled length, empty bore, casing, the lines of the fluid, concrete and spoil."""
    return (
        *_lengths(ground, levels),
        *(line for casing in casings for line in _casing(casing)),
        *fluid,
        *_concrete(ground, concrete),
        *_spoil(ground, casings),
    )


def _lengths(ground: JudgedGround, levels: HoleLevels) -> tuple[QuantityLine, QuantityLine]:
    """Return what is drilled, on land from the drilling grade, over water from the mudline, and how much of it is above the cut-off."""
    shaft, on_land = ground.shaft, ground.site.setting == "land"
    top_m = levels.grade_m if on_land else 0.0
    top = f"{'drilling grade' if on_land else 'mudline'} {mark(top_m, 'm')}"
    return (
        QuantityLine("drilled length", shaft.tip_m - top_m, "m", f"tip {mark(shaft.tip_m, 'm')} - {top}"),
        QuantityLine("empty bore", max(0.0, shaft.cutoff_m - top_m), "m", f"cut-off {mark(shaft.cutoff_m, 'm')} - {top}"),
    )


def _casing(casing: Casing) -> tuple[QuantityLine, QuantityLine]:
    size = f"{mark(casing.outside_diameter_m, 'size')} x {mark(casing.wall_m, 'wall')}"
    ends = f"base {mark(casing.base_m, 'm')} - top {mark(casing.top_m, 'm')}"
    steel = f"pi (D - t) t x {mark(STEEL_KG_M3, 'kg/m3')} x {mark(casing.length_m, 'm')}, {how_many(casing.joints, 'splice')}"
    return (
        QuantityLine(f"{casing.kind} casing, length", casing.length_m, "m", f"{ends}, {size}"),
        QuantityLine(f"{casing.kind} casing, mass", casing.mass_kg, "kg", steel),
    )


def fluid_filled(ground: JudgedGround, path: SequencePath, levels: HoleLevels, casings: Sequence[Casing]) -> tuple[float, float]:
    """Return the volume of the hole under its support fluid in m3 and the depth of its base; nothing without a fluid.

    The hole is as it stands when the fluid reaches deepest: inside the innermost casing then in it, and below as wide as it is drilled.
    """
    if path.fluid is None:
        return 0.0, 0.0
    shaft, strings = ground.shaft, [casing for casing in casings if casing.kind != STARTER]
    tools, level, last = segment_tools(ground, path.segments, strings), levels.fluid_m[path.fluid], (0.0, 0.0)
    standing = next((casing for casing in casings if casing.kind == STARTER), None)
    left = iter(strings)
    for segment, tool in zip(path.segments, tools, strict=True):
        base = max((run.base_m for run in segment.runs if run.state == path.fluid), default=None)
        if base is not None:
            shoe = standing.base_m if standing is not None else level
            inside = volume(standing.inside_m, shoe - level) if standing is not None else 0.0
            bell = bell_volume(shaft, ground.limits["bell_height_share"]) if base >= shaft.tip_m - TOUCH_M else 0.0
            last = inside + volume_below(shaft, tool.open_m, shoe, base) + bell, base
        standing = next(left) if segment.casing != "none" else standing
    return last


def volume_below(shaft: Shaft, tool_m: float, top_m: float, base_m: float) -> float:
    """Return the volume of a hole drilled with a tool between two depths, a socket at its own diameter."""
    socket = socket_of(shaft)
    if socket is None or socket[0] >= base_m:
        return volume(tool_m, base_m - top_m)
    top_of_socket = max(socket[0], top_m)
    return volume(tool_m, top_of_socket - top_m) + volume(min(tool_m, socket[1]), base_m - top_of_socket)


def _concrete(ground: JudgedGround, concrete: Concrete) -> Iterator[QuantityLine]:
    shaft = ground.shaft
    unknown = sum(judged.base_m - judged.top_m for judged in ground.slices if not judged.logged and judged.counted_as.logged)
    yield QuantityLine(
        "concrete, theoretical",
        concrete.theoretical_m3,
        "m3",
        f"pi/4 D^2 x (tip - cut-off), socket at its own diameter{', and the bell as a frustum' if shaft.bell else ''}",
    )
    yield QuantityLine(
        "concrete, casing oversize",
        concrete.casing_oversize_m3,
        "m3",
        "certain: pulled casings at their outside diameter, predrilled holes, casings that stay at their inside, less theory",
    )
    yield QuantityLine(CONCRETE_TO_FILL, concrete.fill_m3, "m3", "theoretical + casing oversize")
    spread = f"{mark(concrete.overbreak_low_m3, 'm3')} to {mark(concrete.overbreak_high_m3, 'm3')}"
    yield QuantityLine("concrete, ground overbreak", concrete.overbreak_m3, "m3", f"by soil, from {spread}")
    spread = f"{mark(concrete.expected_low_m3, 'm3')} to {mark(concrete.expected_high_m3, 'm3')}"
    not_counted = f"; as in the ground above over the {mark(unknown, 'm')} that no log tells of" if unknown > 0 else ""
    yield QuantityLine("concrete, expected", concrete.expected_m3, "m3", f"fill + ground overbreak; {spread}{not_counted}")
    if concrete.over_pour_m3 > 0:
        length = f"hole from {mark(concrete.finished_level_m, 'm')} to {mark(shaft.cutoff_m, 'm')}"
        yield QuantityLine(CONCRETE_OVER_CUTOFF, concrete.over_pour_m3, "m3", f"{length}, cut down later")


def _spoil(ground: JudgedGround, casings: Sequence[Casing]) -> tuple[QuantityLine, QuantityLine]:
    bank = low = likely = high = 0.0
    bell = bell_volume(ground.shaft, ground.limits["bell_height_share"])
    lengths = [(bore, judged, *_overlap(bore, judged)) for bore in bores_of(ground.shaft, casings) for judged in ground.slices]
    dug = [(judged, area(bore.drilled_m) * (base - top)) for bore, judged, top, base in lengths if base > top]
    for judged, part in (*dug, *([(dug[-1][0], bell)] if bell else [])):
        found = judged.look_up(ground.tables["swell"]).get("swell_percent")
        swell = found if isinstance(found, Span) and judged.logged else UNKNOWN_SWELL
        bank += part
        low += part * (1 + swell.low / 100)
        likely += part * (1 + swell.likely_or_middle / 100)
        high += part * (1 + swell.high / 100)
    loose = f"bank x (1 + swell by soil); {mark(low, 'm3')} to {mark(high, 'm3')}, free fluid not counted"
    return (
        QuantityLine("spoil, bank", bank, "m3", f"pi/4 D^2 of the hole as drilled x length{', and the bell' if bell else ''}"),
        QuantityLine("spoil, loose", likely, "m3", loose),
    )


def _overlap(bore: Bore, judged: JudgedSlice) -> tuple[float, float]:
    return max(judged.top_m, bore.top_m), min(judged.base_m, bore.base_m)
