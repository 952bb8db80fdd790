"""Quantities of one shaft, each with its formula and the numbers in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import pi

from methodpick.ground.site import Shaft
from methodpick.plan.casing.strings import segment_tools
from methodpick.plan.concrete.hole import bell_volume, bores_of, socket_of, volume
from methodpick.plan.fluid.levels import FluidLevels
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.result import FLUID_TO_FILL, Casing, Concrete, QuantityLine
from methodpick.plan.sequence.path import SequencePath
from methodpick.terms import STARTER
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span

UNKNOWN_SWELL = Span(5.0, 60.0, 30.0)
"""Swell in percent of ground of which nothing is known: the ends of the table, with its usual value."""


def make_quantities(
    ground: JudgedGround, path: SequencePath | None, casings: Sequence[Casing], concrete: Concrete, levels: FluidLevels
) -> tuple[QuantityLine, ...]:
    """Return drilled length, empty bore, casing, fluid, concrete and spoil; no fluid where nothing can be built."""
    shaft = ground.shaft
    return (
        *_lengths(shaft, levels),
        *(line for casing in casings for line in _casing(casing)),
        *(_fluid(ground, path, casings, levels) if path is not None else ()),
        *_concrete(ground, concrete),
        *_spoil(ground, casings),
    )


def _lengths(shaft: Shaft, levels: FluidLevels) -> tuple[QuantityLine, QuantityLine]:
    grade = f"drilling grade {mark(levels.grade_m, 'm')}"
    return (
        QuantityLine("drilled length", shaft.tip_m - levels.grade_m, "m", f"tip {mark(shaft.tip_m, 'm')} - {grade}"),
        QuantityLine("empty bore", max(0.0, shaft.cutoff_m - levels.grade_m), "m", f"cut-off {mark(shaft.cutoff_m, 'm')} - {grade}"),
    )


def _casing(casing: Casing) -> tuple[QuantityLine, QuantityLine]:
    size = f"{mark(casing.outside_diameter_m, 'size')} x {mark(casing.wall_m, 'wall')}"
    ends = f"base {mark(casing.base_m, 'm')} - top {mark(casing.top_m, 'm')}"
    steel = f"pi (D - t) t x 7850 kg/m3 x {mark(casing.length_m, 'm')}, {casing.joints} splices"
    return (
        QuantityLine(f"{casing.kind} casing, length", casing.length_m, "m", f"{ends}, {size}"),
        QuantityLine(f"{casing.kind} casing, mass", casing.mass_kg, "kg", steel),
    )


def fluid_filled(ground: JudgedGround, path: SequencePath, levels: FluidLevels, casings: Sequence[Casing]) -> tuple[float, float]:
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
            last = inside + volume_below(shaft, tool.open_m, shoe, base), base
        standing = next(left) if segment.casing != "none" else standing
    return last


def volume_below(shaft: Shaft, tool_m: float, top_m: float, base_m: float) -> float:
    """Return the volume of a hole drilled with a tool between two depths, a socket at its own diameter."""
    socket = socket_of(shaft)
    if socket is None or socket[0] >= base_m:
        return volume(tool_m, base_m - top_m)
    top_of_socket = max(socket[0], top_m)
    return volume(tool_m, top_of_socket - top_m) + volume(min(tool_m, socket[1]), base_m - top_of_socket)


def _fluid(ground: JudgedGround, path: SequencePath, casings: Sequence[Casing], levels: FluidLevels) -> Iterator[QuantityLine]:
    if path.fluid is None:
        return
    hole, base = fluid_filled(ground, path, levels, casings)
    factor = ground.limits["fluid_stock_factor"]
    where = f"hole from {mark(levels.fluid_m[path.fluid], 'm')} to {mark(base, 'm')}: inside the casing in it, below as wide as drilled"
    yield QuantityLine(path.fluid + FLUID_TO_FILL, hole, "m3", where)
    yield QuantityLine(f"{path.fluid} fluid, stock to have", hole * factor, "m3", f"{factor:g} x the hole, for losses and reserve")


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
    yield QuantityLine("concrete, to fill the hole as drilled", concrete.fill_m3, "m3", "theoretical + casing oversize")
    spread = f"{mark(concrete.overbreak_low_m3, 'm3')} to {mark(concrete.overbreak_high_m3, 'm3')}"
    yield QuantityLine("concrete, ground overbreak", concrete.overbreak_m3, "m3", f"by soil, from {spread}")
    spread = f"{mark(concrete.expected_low_m3, 'm3')} to {mark(concrete.expected_high_m3, 'm3')}"
    not_counted = f"; as in the ground above over the {mark(unknown, 'm')} that no log tells of" if unknown > 0 else ""
    yield QuantityLine("concrete, expected", concrete.expected_m3, "m3", f"fill + ground overbreak; {spread}{not_counted}")
    if concrete.over_pour_m3 > 0:
        length = f"hole from {mark(concrete.finished_level_m, 'm')} to {mark(shaft.cutoff_m, 'm')}"
        yield QuantityLine("concrete, cast over the cut-off", concrete.over_pour_m3, "m3", f"{length}, cut down later")


def _spoil(ground: JudgedGround, casings: Sequence[Casing]) -> tuple[QuantityLine, QuantityLine]:
    bank = low = likely = high = 0.0
    for bore in bores_of(ground.shaft, casings):
        for judged in ground.slices:
            length = min(judged.base_m, bore.base_m) - max(judged.top_m, bore.top_m)
            if length <= 0:
                continue
            found = judged.look_up(ground.tables["swell"]).get("swell_percent")
            swell = found if isinstance(found, Span) else UNKNOWN_SWELL
            part = pi / 4 * bore.drilled_m**2 * length
            bank += part
            low += part * (1 + swell.low / 100)
            likely += part * (1 + swell.likely_or_middle / 100)
            high += part * (1 + swell.high / 100)
    bell = bell_volume(ground.shaft, ground.limits["bell_height_share"])
    bank, low, likely, high = (value * (1 + bell / bank) for value in (bank, low, likely, high))
    loose = f"bank x (1 + swell by soil); {mark(low, 'm3')} to {mark(high, 'm3')}, free fluid not counted"
    return (
        QuantityLine("spoil, bank", bank, "m3", f"pi/4 D^2 of the hole as drilled x length{', and the bell' if bell else ''}"),
        QuantityLine("spoil, loose", likely, "m3", loose),
    )
