"""The depth-volume curve: where the concrete should stand for every volume placed, to plot each truck against."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.drawings.canvas import GREY, INK, WIDTH, Across, Canvas, Depths, Point, draw_across, draw_depths, spread, wrap
from methodpick.plan.result import CurvePoint, ShaftPlan
from methodpick.terms import UnitSystem
from methodpick.unit_markup import NumberWriter
from methodpick.units import write_number

TOP, PLOT = 46.0, 380.0
LEFT, RIGHT = 70.0, 530.0
ROW = 11.0
LABELS = 120.0
"""Width of the labels beside the chart."""


def draw_volume(shaft: ShaftPlan, units: UnitSystem, prefix: str = "a") -> str:
    """Draw the volume of concrete against the depth of its top, from the tip up to the cut-off, as SVG."""
    curve = shaft.planned_concrete.curve
    deep, high = curve[0].depth_m, curve[-1].depth_m
    top = min([high, *(step.level_least_m for step in shaft.planned_concrete.pulls if step.level_least_m is not None)])
    span = deep - top
    depths = Depths(top - 0.05 * span, deep + 0.02 * span, TOP, TOP + PLOT, units, shaft.ground.ground_elevation_m)
    across = Across(0.0, 1.06 * max(curve[-1].expected_high_m3, curve[-1].fill_m3), LEFT, RIGHT, "m3", units)
    canvas = Canvas(TOP + PLOT, f"Depth-volume curve of shaft {shaft.id}", prefix)
    draw_across(canvas, across, TOP, TOP + PLOT, "concrete placed")
    draw_depths(canvas, depths, LEFT, grid_to=RIGHT)
    canvas.text(4, TOP - 22, f"top of concrete, {NumberWriter(units).unit('m')} deep", 10.5, font_weight="bold")
    _curves(canvas, depths, across, curve)
    _marks(canvas, depths, shaft)
    canvas.rect(LEFT, TOP, RIGHT - LEFT, PLOT, stroke=INK, stroke_width=0.8)
    _key(canvas, shaft, units)
    return canvas.svg()


def _curves(canvas: Canvas, depths: Depths, across: Across, curve: Sequence[CurvePoint]) -> None:
    def line(name: str) -> list[Point]:
        return [(across.x(float(getattr(point, name))), depths.y(point.depth_m)) for point in curve]

    around = [*line("expected_low_m3"), *reversed(line("expected_high_m3"))]
    canvas.lines(around, closed=True, fill=canvas.hatch("band"), stroke=GREY, stroke_width=0.5)
    canvas.lines(line("theoretical_m3"), stroke_dasharray="2 3", stroke_width=1.4)
    canvas.lines(line("casings_in_m3"), stroke=GREY, stroke_dasharray="8 3 2 3", stroke_width=1.1)
    canvas.lines(line("fill_m3"), stroke_dasharray="8 4", stroke_width=1.2)
    canvas.lines(line("expected_m3"), stroke_width=2.0)


def _marks(canvas: Canvas, depths: Depths, shaft: ShaftPlan) -> None:
    """Draw the cut-off, the casing shoes, and how high the concrete must stand before each casing is first lifted."""
    marks: list[tuple[float, str]] = [(shaft.cutoff_m, "cut-off")]
    for step in shaft.planned_concrete.pulls:
        if step.lift_no > 1 or not depths.shows(step.shoe_m):
            continue
        marks.append((step.shoe_m, f"shoe of casing {step.casing_no}"))
        if step.level_least_m is not None and depths.shows(step.level_least_m):
            marks.append((step.level_least_m, f"least concrete before casing {step.casing_no} is lifted"))
            _arrow(canvas, RIGHT + 7 + 9 * (step.casing_no - 1), depths.y(step.shoe_m), depths.y(step.level_least_m))
    marks.sort(key=lambda mark: depths.y(mark[0]))
    rows = [wrap(words, LABELS, 9.0, 3) for _, words in marks]
    places = spread([depths.y(depth) - 5 for depth, _ in marks], [ROW * len(row) for row in rows], TOP, TOP + PLOT)
    for (depth, _), row, place in zip(marks, rows, places, strict=True):
        y = depths.y(depth)
        canvas.line((LEFT, y), (RIGHT, y), stroke=GREY, stroke_width=0.7, stroke_dasharray="6 2 1 2" if depth == shaft.cutoff_m else "1 2")
        left = WIDTH - LABELS - 6
        canvas.lines([(RIGHT, y), (left - 12, y), (left - 3, place + 5)], stroke=GREY, stroke_width=0.5)
        for index, words in enumerate(row):
            canvas.text(left, place + ROW * (index + 0.8), words, 9.0)


def _arrow(canvas: Canvas, x: float, foot: float, head: float) -> None:
    """Draw an arrow from a shoe up to the concrete that it needs over it."""
    canvas.line((x, foot), (x, head), stroke_width=0.9)
    canvas.lines([(x - 3, head + 7), (x + 3, head + 7), (x, head)], closed=True, fill=INK)


def _key(canvas: Canvas, shaft: ShaftPlan, units: UnitSystem) -> None:
    concrete = shaft.planned_concrete
    y = TOP + PLOT + 20
    low, high = write_number(concrete.expected_low_m3, "m3", units), write_number(concrete.expected_high_m3, "m3", units)
    rows = [
        ("2 3", 1.4, f"theoretical, by the diameter of the drawing: {write_number(concrete.theoretical_m3, 'm3', units)}"),
        ("8 3 2 3", 1.1, "with the casings still in the ground"),
        ("8 4", 1.2, f"to fill the hole as drilled: {write_number(concrete.fill_m3, 'm3', units)}"),
        ("", 2.0, f"expected: {write_number(concrete.expected_m3, 'm3', units)} (hatched: {low} to {high})"),
    ]
    for dash, width, words in rows:
        canvas.line((6, y - 3), (46, y - 3), stroke_width=width, stroke_dasharray=dash or "none")
        canvas.text(54, y, words, 9.5)
        y += 13
    text = (
        "Plot the top of the concrete against the volume at every truck. To the right of the band more goes in than expected (a bulge, "
        "overbreak or a loss); to the left less does (a neck, a collapse or soil in the concrete): find out before going on."
    )
    canvas.height = canvas.paragraph(y - 12.5, text) + 14.5
