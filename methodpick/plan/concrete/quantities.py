"""Quantities of one shaft, each with its formula and the numbers in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import pi

from methodpick.ground.shaft import Shaft
from methodpick.plan.concrete.hole import bell_volume, bores, socket_of, volume
from methodpick.plan.fluid.levels import Levels
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import Casing, Concrete, QuantityLine
from methodpick.plan.sequence.path import Path
from methodpick.unit_markup import mark
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Span


def make_quantities(
    shaft: Shaft,
    path: Path | None,
    casings: Sequence[Casing],
    concrete: Concrete,
    judged: Sequence[Judged],
    levels: Levels,
    tables: Mapping[str, ClassTable],
    limits: Mapping[str, float],
) -> tuple[QuantityLine, ...]:
    """Return drilled length, empty bore, casing, fluid, concrete and spoil."""
    lines = [
        QuantityLine(
            "drilled length",
            shaft.tip_m - levels.grade_m,
            "m",
            f"tip {mark(shaft.tip_m, 'm')} - drilling grade {mark(levels.grade_m, 'm')}",
        ),
        QuantityLine(
            "empty bore",
            max(0.0, shaft.cutoff_m - levels.grade_m),
            "m",
            f"cut-off {mark(shaft.cutoff_m, 'm')} - drilling grade {mark(levels.grade_m, 'm')}",
        ),
    ]
    for casing in casings:
        size = f"{mark(casing.outside_diameter_m, 'size')} x {mark(casing.wall_m, 'wall')}"
        lines.append(
            QuantityLine(
                f"{casing.kind} casing, length",
                casing.length_m,
                "m",
                f"base {mark(casing.base_m, 'm')} - top {mark(casing.top_m, 'm')}, {size}",
            )
        )
        lines.append(
            QuantityLine(
                f"{casing.kind} casing, mass",
                casing.mass_kg,
                "kg",
                f"pi (D - t) t x 7850 kg/m3 x {mark(casing.length_m, 'm')}, {max(0, len(casing.sections_m) - 1)} splices",
            )
        )
    lines += _fluid(shaft, path, levels, casings, limits)
    unknown = sum(one.cut.length_m for one in judged if not one.cut.decided)
    more = f"; none counted for the {mark(unknown, 'm')} that no log tells of" if unknown > 0 else ""
    lines += [
        QuantityLine(
            "concrete, theoretical",
            concrete.theoretical_m3,
            "m3",
            f"pi/4 D^2 x (tip - cut-off), socket at its own diameter{', and the bell as a frustum' if shaft.bell else ''}",
        ),
        QuantityLine(
            "concrete, casing oversize",
            concrete.casing_oversize_m3,
            "m3",
            "certain: pulled casings at their outside diameter, predrilled holes, casings that stay at their inside, less theory",
        ),
        QuantityLine("concrete, to fill the hole as drilled", concrete.fill_m3, "m3", "theoretical + casing oversize"),
        QuantityLine(
            "concrete, ground overbreak",
            concrete.overbreak_m3,
            "m3",
            f"by soil, from {mark(concrete.overbreak_low_m3, 'm3')} to {mark(concrete.overbreak_high_m3, 'm3')}",
        ),
        QuantityLine(
            "concrete, expected",
            concrete.expected_m3,
            "m3",
            f"fill + ground overbreak; {mark(concrete.expected_low_m3, 'm3')} to {mark(concrete.expected_high_m3, 'm3')}{more}",
        ),
    ]
    if concrete.over_pour_m3 > 0:
        lines.append(
            QuantityLine(
                "concrete, cast over the cut-off",
                concrete.over_pour_m3,
                "m3",
                f"hole from {mark(concrete.finished_level_m, 'm')} to {mark(shaft.cutoff_m, 'm')}, cut down later",
            )
        )
    lines += _spoil(shaft, casings, judged, tables, limits)
    return tuple(lines)


def held_by_fluid(shaft: Shaft, path: Path, levels: Levels, casings: Sequence[Casing]) -> tuple[float, float]:
    """Return the volume of the hole under its support fluid in m3 and the depth of its base; nothing without a fluid."""
    bases = [run.base_m for segment in path.segments for run in segment.runs if run.state == path.fluid]
    if path.fluid is None or not bases:
        return 0.0, 0.0
    wide = max((casing.outside_diameter_m for casing in casings if casing.kind == "starter"), default=shaft.diameter_m)
    starter = next((casing.base_m for casing in casings if casing.kind == "starter"), 0.0)
    below = max(
        (max(casing.outside_diameter_m, casing.predrill_diameter_m or 0.0) for casing in casings if casing.kind != "starter"),
        default=shaft.diameter_m,
    )
    return volume(wide, starter - levels.fluid_m[path.fluid]) + volume(below, max(bases) - starter), max(bases)


def _fluid(shaft: Shaft, path: Path | None, levels: Levels, casings: Sequence[Casing], limits: Mapping[str, float]) -> list[QuantityLine]:
    if path is None or path.fluid is None:
        return []
    hole, base = held_by_fluid(shaft, path, levels, casings)
    return [
        QuantityLine(
            f"{path.fluid} fluid, to fill the hole",
            hole,
            "m3",
            f"hole from {mark(levels.fluid_m[path.fluid], 'm')} to {mark(base, 'm')} at the diameter drilled under fluid",
        ),
        QuantityLine(
            f"{path.fluid} fluid, stock to have",
            hole * limits["fluid_stock_factor"],
            "m3",
            f"{limits['fluid_stock_factor']:g} x the hole, for losses and reserve",
        ),
    ]


def _spoil(
    shaft: Shaft, casings: Sequence[Casing], judged: Sequence[Judged], tables: Mapping[str, ClassTable], limits: Mapping[str, float]
) -> list[QuantityLine]:
    bank = low = likely = high = 0.0
    for bore in bores(shaft.diameter_m, socket_of(shaft), shaft.tip_m, casings):
        for one in judged:
            length = min(one.slice.base_m, bore.base_m) - max(one.slice.top_m, bore.top_m)
            if length <= 0:
                continue
            table = tables["swell"]
            found = table.look_up({name: one.slice.sheet.value(name) for name in table.inputs}).get("swell_percent")
            swell = found if isinstance(found, Span) else Span(5.0, 60.0, 30.0)
            part = pi / 4 * bore.drilled_m**2 * length
            middle = swell.likely if swell.likely is not None else (swell.low + swell.high) / 2
            bank += part
            low, likely, high = (
                total + part * (1 + percent / 100) for total, percent in ((low, swell.low), (likely, middle), (high, swell.high))
            )
    bell = bell_volume(shaft, limits["bell_height_share"])
    bank, low, likely, high = (value * (1 + bell / bank) for value in (bank, low, likely, high))
    return [
        QuantityLine("spoil, bank", bank, "m3", f"pi/4 D^2 of the hole as drilled x length{', and the bell' if bell else ''}"),
        QuantityLine(
            "spoil, loose", likely, "m3", f"bank x (1 + swell by soil); {mark(low, 'm3')} to {mark(high, 'm3')}, free fluid not counted"
        ),
    ]
