"""The depth-volume curve: where the concrete should stand for every volume placed, to plot each truck against."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.drawings.axes import LENGTH, Across, Depths, draw_across, draw_depths
from methodpick.drawings.canvas import GREY, INK, WIDTH, Point, Sheet
from methodpick.drawings.lettering import spread, wrap
from methodpick.plan.result import CurvePoint, ShaftPlan
from methodpick.unit_markup import System, say

TOP, PLOT = 46.0, 380.0
LEFT, RIGHT = 70.0, 530.0
ROW = 11.0
LABELS = 120.0
"""Width of the labels beside the chart."""


def draw_volume(shaft: ShaftPlan, units: System, prefix: str = "a") -> str:
    """Draw the volume of concrete against the depth of its top, from the tip up to the cut-off, as SVG."""
    curve = shaft.concrete.curve
    deep, high = curve[0].depth_m, curve[-1].depth_m
    top = min([high, *(step.level_least_m for step in shaft.concrete.pulls if step.level_least_m is not None)])
    span = deep - top
    span = deep - top
    depths = Depths(top - 0.05 * span, deep + 0.02 * span, TOP, TOP + PLOT, units, shaft.ground.ground_elevation_m)
    across = Across(0.0, 1.06 * max(curve[-1].expected_high_m3, curve[-1].fill_m3), LEFT, RIGHT, "m3", units)
    sheet = Sheet(TOP + PLOT, f"Depth-volume curve of shaft {shaft.id}", prefix)
    draw_across(sheet, across, TOP, TOP + PLOT, "concrete placed")
    draw_depths(sheet, depths, LEFT, grid_to=RIGHT)
    sheet.text(4, TOP - 22, f"top of concrete, {LENGTH[units]} deep", 10.5, font_weight="bold")
    _curves(sheet, depths, across, curve)
    _marks(sheet, depths, shaft)
    sheet.rect(LEFT, TOP, RIGHT - LEFT, PLOT, stroke=INK, stroke_width=0.8)
    _key(sheet, shaft, units)
    return sheet.svg()


def _curves(sheet: Sheet, depths: Depths, across: Across, curve: Sequence[CurvePoint]) -> None:
    def line(name: str) -> list[Point]:
        return [(across.x(float(getattr(one, name))), depths.y(one.depth_m)) for one in curve]

    around = [*line("expected_low_m3"), *reversed(line("expected_high_m3"))]
    sheet.lines(around, closed=True, fill=sheet.hatch("band"), stroke=GREY, stroke_width=0.5)
    sheet.lines(line("theoretical_m3"), stroke_dasharray="2 3", stroke_width=1.4)
    sheet.lines(line("casings_in_m3"), stroke=GREY, stroke_dasharray="8 3 2 3", stroke_width=1.1)
    sheet.lines(line("fill_m3"), stroke_dasharray="8 4", stroke_width=1.2)
    sheet.lines(line("expected_m3"), stroke_width=2.0)


def _marks(sheet: Sheet, depths: Depths, shaft: ShaftPlan) -> None:
    """Draw the cut-off, the casing shoes, and how high the concrete must stand before each casing is first lifted."""
    marks: list[tuple[float, str]] = [(shaft.cutoff_m, "cut-off")]
    for step in shaft.concrete.pulls:
        if step.lift_no > 1 or not depths.shows(step.shoe_m):
            continue
        marks.append((step.shoe_m, f"shoe of casing {step.casing_no}"))
        if step.level_least_m is not None and depths.shows(step.level_least_m):
            marks.append((step.level_least_m, f"least concrete before casing {step.casing_no} is lifted"))
            _arrow(sheet, RIGHT + 7 + 9 * (step.casing_no - 1), depths.y(step.shoe_m), depths.y(step.level_least_m))
    marks.sort(key=lambda mark: depths.y(mark[0]))
    rows = [wrap(words, LABELS, 9.0, 3) for _, words in marks]
    places = spread([depths.y(depth) - 5 for depth, _ in marks], [ROW * len(row) for row in rows], TOP, TOP + PLOT)
    for (depth, _), row, place in zip(marks, rows, places, strict=True):
        y = depths.y(depth)
        sheet.line((LEFT, y), (RIGHT, y), stroke=GREY, stroke_width=0.7, stroke_dasharray="6 2 1 2" if depth == shaft.cutoff_m else "1 2")
        left = WIDTH - LABELS - 6
        sheet.lines([(RIGHT, y), (left - 12, y), (left - 3, place + 5)], stroke=GREY, stroke_width=0.5)
        for index, words in enumerate(row):
            sheet.text(left, place + ROW * (index + 0.8), words, 9.0)


def _arrow(sheet: Sheet, x: float, foot: float, head: float) -> None:
    """Draw an arrow from a shoe up to the concrete that it needs over it."""
    sheet.line((x, foot), (x, head), stroke_width=0.9)
    sheet.lines([(x - 3, head + 7), (x + 3, head + 7), (x, head)], closed=True, fill=INK)


def _key(sheet: Sheet, shaft: ShaftPlan, units: System) -> None:
    one = shaft.concrete
    y = TOP + PLOT + 20
    low, high = say(one.expected_low_m3, "m3", units), say(one.expected_high_m3, "m3", units)
    rows = [
        ("2 3", 1.4, f"theoretical, by the diameter of the drawing: {say(one.theoretical_m3, 'm3', units)}"),
        ("8 3 2 3", 1.1, "with the casings still in the ground"),
        ("8 4", 1.2, f"to fill the hole as drilled: {say(one.fill_m3, 'm3', units)}"),
        ("", 2.0, f"expected: {say(one.expected_m3, 'm3', units)} (hatched: {low} to {high})"),
    ]
    for dash, width, words in rows:
        sheet.line((6, y - 3), (46, y - 3), stroke_width=width, stroke_dasharray=dash or "none")
        sheet.text(54, y, words, 9.5)
        y += 13
    text = (
        "Plot the top of the concrete against the volume at every truck. To the right of the band more goes in than expected (a bulge, "
        "overbreak or a loss); to the left less does (a neck, a collapse or soil in the concrete): find out before going on."
    )
    for row in wrap(text, WIDTH - 12, 9.5, 3):
        sheet.text(6, y, row, 9.5)
        y += 12.5
    sheet.height = y + 2
