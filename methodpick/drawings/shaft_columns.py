"""Columns of the strip that show the work: what holds the wall, how it is drilled, the shaft with casings and fluid, the window."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from methodpick.drawings.axes import Across, Depths, short
from methodpick.drawings.canvas import GREY, INK, WATER, Canvas
from methodpick.drawings.lettering import wrap
from methodpick.plan.result import Casing, Interval, ShaftPlan, Slurry
from methodpick.terms import SUPPORT_NAMES
from methodpick.unit_markup import NumberWriter, write_number

ROW = 10.5
EDGE = {"firm": "none", "conditional": "5 3", "undecided": "1 3"}
"""The edge of the band tells how sure the answer is: unbroken, dashed or dotted."""

STATE_SHORT = {
    "dry": "dry",
    "water": "water",
    "polymer": "polymer",
    "mineral": "mineral slurry",
    "cased_dry": "cased, empty",
    "cased_balanced": "cased, full",
    "cased_plug": "casing ahead",
}
"""The states of the hole, as short as the narrow column needs."""


def runs(intervals: Sequence[Interval], key: Callable[[Interval], object]) -> list[tuple[Interval, float]]:
    """Return the first interval of every run of neighbours that are alike, and where the run ends."""
    found: list[tuple[Interval, float]] = []
    for interval in intervals:
        if found and key(found[-1][0]) == key(interval):
            found[-1] = (found[-1][0], interval.base_m)
        else:
            found.append((interval, interval.base_m))
    return found


def held(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> None:
    """Draw what holds the wall when the tip is reached; the left edge tells how sure it is."""
    for interval, base in runs(shaft.intervals, lambda each: (each.support, each.fluid)):
        fluid = f" ({interval.fluid})" if interval.fluid else ""
        fill = canvas.hatch(interval.support.replace("_", "-"))
        _band(canvas, depths, (interval.top_m, base), (x, width), fill, SUPPORT_NAMES[interval.support] + fluid)
    for interval, base in runs(shaft.intervals, lambda each: each.confidence):
        edge(canvas, x, (depths.y(interval.top_m), depths.y(base)), interval.confidence)


def edge(canvas: Canvas, x: float, ends: tuple[float, float], confidence: str) -> None:
    """Draw the edge of the band: how sure the answer is."""
    canvas.line((x, ends[0]), (x, ends[1]), stroke_width=3.0, stroke_dasharray=EDGE[confidence])


def drilled(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> None:
    """Draw the state in which every length is drilled."""
    for interval, base in runs(shaft.intervals, lambda each: each.drilled_in):
        _band(canvas, depths, (interval.top_m, base), (x, width), "#fff", STATE_SHORT.get(interval.drilled_in or "", "not decided"))


def _band(canvas: Canvas, depths: Depths, ends: tuple[float, float], place: tuple[float, float], fill: str, words: str) -> None:
    x, width = place
    top, base = depths.y(ends[0]), depths.y(ends[1])
    canvas.rect(x, top, width, base - top, fill=fill, stroke=INK, stroke_width=0.7)
    rows = wrap(words, width - 6, 9.0, max(1, min(3, int((base - top - 2) / ROW))))
    if base - top < ROW:
        return
    first = (top + base) / 2 - ROW * len(rows) / 2
    for index, row in enumerate(rows):
        canvas.label(x + width / 2, first + ROW * (index + 0.78), row, 9.0, text_anchor="middle")


def body(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> None:
    """Draw the hole with its fluid, casings, socket, bell, cut-off and tip; widths to one scale, wider than depths."""
    middle = x + width / 2
    wide = max([shaft.diameter_m, shaft.design.bell_diameter_m or 0.0, *(casing.outside_diameter_m for casing in shaft.casings)])
    scale = width * 0.62 / wide
    half = shaft.diameter_m * scale / 2
    _hole(canvas, depths, shaft, middle, scale)
    for number, casing in enumerate(shaft.casings, 1):
        _casing(canvas, depths, casing, middle, scale)
        left = middle - casing.outside_diameter_m * scale / 2
        number_mark(canvas, left - 8, depths.y(casing.base_m) - 8, number)
    _fluid(canvas, depths, shaft, middle, half)
    level = depths.y(shaft.cutoff_m)
    canvas.line((x + 2, level), (x + width - 2, level), stroke=GREY, stroke_dasharray="6 2 1 2")
    canvas.label(x + width - 2, level - 2.5, "cut-off", 8.5, text_anchor="end", fill=GREY)
    tip = depths.y(shaft.tip_depth_m)
    canvas.label(
        middle, tip + 11, f"tip {write_number(shaft.tip_depth_m, 'm', depths.units)}", 9.0, text_anchor="middle", font_weight="bold"
    )


def _hole(canvas: Canvas, depths: Depths, shaft: ShaftPlan, middle: float, scale: float) -> None:
    """Draw the outline below the ground: the shaft, its socket and its bell."""
    design, tip = shaft.design, shaft.tip_depth_m
    points: list[tuple[float, float]] = [(0.0, shaft.diameter_m)]
    if design.socket_top_m is not None and design.socket_diameter_m is not None:
        points += [(design.socket_top_m, shaft.diameter_m), (design.socket_top_m, design.socket_diameter_m)]
    last = points[-1][1]
    if design.bell_diameter_m is not None:
        points += [(tip - (design.bell_height_m or 0.0), last)]
        last = design.bell_diameter_m
    points.append((tip, last))
    left = [(middle - diameter * scale / 2, depths.y(depth)) for depth, diameter in points]
    right = [(2 * middle - across, y) for across, y in reversed(left)]
    canvas.lines([*left, *right], closed=True, fill="#fff", stroke=INK, stroke_width=1.0, stroke_dasharray="4 2")


def _casing(canvas: Canvas, depths: Depths, casing: Casing, middle: float, scale: float) -> None:
    """Draw both walls: a permanent casing solid, one that is pulled hollow; a shoe at its foot."""
    top, base = depths.y(casing.top_m), depths.y(casing.base_m)
    look: dict[str, str | float] = {"fill": INK if casing.kind == "permanent" else "#fff", "stroke": INK, "stroke_width": 0.8}
    for side in (-1.0, 1.0):
        edge = middle + side * casing.outside_diameter_m * scale / 2
        canvas.rect(edge - 1.3, top, 2.6, base - top, **look)
        foot = base - 5
        canvas.lines([(edge - 1.3, foot), (edge + 1.3, foot), (edge + side * 1.3, foot + 6.5)], closed=True, fill=INK, stroke_width=0.5)


def number_mark(canvas: Canvas, x: float, y: float, number: int) -> None:
    """Draw a number in a circle."""
    canvas.circle((x, y), 5.6, fill="#fff", stroke=INK, stroke_width=0.7)
    canvas.text(x, y + 3, str(number), 8.5, text_anchor="middle")


def _fluid(canvas: Canvas, depths: Depths, shaft: ShaftPlan, middle: float, half: float) -> None:
    """Draw the fluid in the hole while it is drilled, with its level."""
    if shaft.fluid_level_m is None or shaft.slurry is None:
        return
    top, base = depths.y(shaft.fluid_level_m), depths.y(shaft.slurry.base_m)
    canvas.rect(middle - half + 3, top, 2 * half - 6, base - top, fill=canvas.hatch("fluid"), stroke=WATER, stroke_width=0.5)
    canvas.lines([(middle - 5, top - 8), (middle + 5, top - 8), (middle, top)], closed=True, fill="#fff", stroke=WATER)
    level = shaft.fluid_level_m
    rows = (shaft.slurry.fluid, f"{write_number(abs(level), 'm', depths.units)} {'above' if level < 0 else 'deep'}")
    for index, row in enumerate(rows):
        canvas.label(middle, top + 10 + 10 * index, row, 8.5, text_anchor="middle", fill=WATER)


def window(canvas: Canvas, depths: Depths, slurry: Slurry, x: float, width: float) -> None:
    """Draw the density window over the length held by fluid: allowed from and to, with the aim."""
    least, most = slurry.density_min_kg_m3, slurry.density_max_kg_m3
    if least is None or most is None:
        return
    top, base = depths.y(slurry.top_m), depths.y(slurry.base_m)
    low, high = min(least, most), max(least, most)
    margin = max(0.5 * (high - low), 15.0)
    across = Across(low - margin, high + margin, x + 4, x + width - 4, "kg/m3", depths.units)
    canvas.rect(x, top, width, base - top, fill="#fff", stroke=GREY, stroke_width=0.6)
    if least <= most:
        left, right = across.x(least), across.x(most)
        canvas.rect(left, top, right - left, base - top, fill=canvas.hatch("band"), stroke=INK, stroke_width=0.8)
    if slurry.density_target_kg_m3 is not None:
        aim = across.x(slurry.density_target_kg_m3)
        canvas.line((aim, top), (aim, base), stroke_dasharray="4 2", stroke_width=1.2)
    lower, upper = (short(round(NumberWriter(depths.units).restored(value, "kg/m3"), 1)) for value in (least, most))
    rows = [f"{lower} to {upper}", across.name] if least <= most else ["empty:", f"{lower} > {upper}", across.name]
    for index, row in enumerate(rows):
        canvas.label(x + width / 2, top - 4 - 10.5 * (len(rows) - 1 - index), row, 8.8, text_anchor="middle")
