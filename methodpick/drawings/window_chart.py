"""The slurry window against depth, what is asked for and what the ground takes, and below it the window against the fluid level."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.drawings.axes import Across, Depths, draw_across, draw_depths
from methodpick.drawings.canvas import GREY, INK, WATER, Canvas
from methodpick.drawings.ground_columns import hatched
from methodpick.drawings.levels_chart import draw_levels
from methodpick.errors import InputError, Problem
from methodpick.plan.result import ShaftPlan, Slurry
from methodpick.terms import UnitSystem
from methodpick.unit_markup import NumberWriter, write_number

TOP, PLOT = 46.0, 330.0
LEFT, RIGHT = 130.0, 690.0
ROW = 11.0
MARGIN_KG_M3 = 60.0
BESIDE_KG_M3 = 1200.0
"""How far the chart goes beside the window at the most: bounds farther out govern nothing and stand at its edge."""


def draw_window(shaft: ShaftPlan, units: UnitSystem, captions: Sequence[str] = (), prefix: str = "a") -> str:
    """Draw the density window of a shaft that is drilled under fluid, by depth and by fluid level, as SVG.

    The first of the captions stands under the chart by depth, the others under the chart by level. Raises InputError where
    the plan uses no fluid.
    """
    slurry = shaft.slurry
    if slurry is None:
        raise InputError(
            Problem(
                f"shaft {shaft.id} is drilled without support fluid, so it has no density window",
                hint="draw --what strip shows how it is held",
            )
        )
    depths = Depths(
        min(slurry.level_m, slurry.top_m),
        slurry.base_m + 0.03 * (slurry.base_m - slurry.top_m),
        TOP,
        TOP + PLOT,
        units,
        shaft.ground.ground_elevation_m,
    )
    canvas = Canvas(TOP + PLOT, f"Slurry window of shaft {shaft.id}", prefix)
    across = _across(slurry, units)
    hatched(canvas, depths, shaft, LEFT - 46, 36)
    canvas.rect(LEFT - 46, TOP + PLOT, 36, 30, fill="#fff")
    draw_across(canvas, across, TOP, TOP + PLOT, "fluid density")
    draw_depths(canvas, depths, LEFT - 50)
    canvas.text(LEFT - 70, TOP - 22, f"depth, {NumberWriter(units).unit('m')}", 10.5, text_anchor="middle", font_weight="bold")
    _window(canvas, depths, across, slurry)
    rows = _bounds(canvas, depths, across, slurry)
    _level(canvas, depths, slurry, units)
    canvas.rect(LEFT, TOP, RIGHT - LEFT, PLOT, stroke=INK, stroke_width=0.8)
    y = TOP + PLOT + 8
    numbers = NumberWriter(units)
    first, *others = map(numbers.text, captions) if captions else ("",)
    for text in (first, *map(numbers.text, rows)):
        y = canvas.paragraph(y, text)
    canvas.height = draw_levels(canvas, slurry, others, units, y + 20) if slurry.levels else y + 8
    return canvas.svg()


def window_ends(slurry: Slurry) -> tuple[float, float]:
    """Return the least and the greatest density of a window; a side that does not bind is as wide as its bounds by depth."""
    bounds = [value for row in slurry.by_depth for value in (row.density_min_kg_m3, row.density_max_kg_m3) if value is not None]
    least = slurry.density_min_kg_m3 if slurry.density_min_kg_m3 is not None else min(bounds, default=1000.0)
    most = slurry.density_max_kg_m3 if slurry.density_max_kg_m3 is not None else max(bounds, default=least)
    return least, most


def _across(slurry: Slurry, units: UnitSystem) -> Across:
    least, most = sorted(window_ends(slurry))
    bounds = [value for row in slurry.by_depth for value in (row.density_min_kg_m3, row.density_max_kg_m3) if value is not None]
    low = max(0.0, least - BESIDE_KG_M3, min([least, *bounds]) - MARGIN_KG_M3)
    return Across(low, min(most + BESIDE_KG_M3, max([most, *bounds]) + MARGIN_KG_M3), LEFT, RIGHT, "kg/m3", units)


def _window(canvas: Canvas, depths: Depths, across: Across, slurry: Slurry) -> None:
    """Draw what all depths together leave, over the length held by fluid."""
    least, most = window_ends(slurry)
    top, base = depths.y(slurry.top_m), depths.y(slurry.base_m)
    if least <= most:
        canvas.rect(across.x(least), top, across.x(most) - across.x(least), base - top, fill=canvas.hatch("band"))
    for value in (least, most):
        canvas.line((across.x(value), top), (across.x(value), base), stroke_width=1.6)
    if slurry.density_target_kg_m3 is not None:
        aim = across.x(slurry.density_target_kg_m3)
        canvas.line((aim, top), (aim, base), stroke_dasharray="5 3", stroke_width=1.2)


def _bounds(canvas: Canvas, depths: Depths, across: Across, slurry: Slurry) -> list[str]:
    """Draw the bounds at each depth as two lines with numbered points, and return their words."""
    lower = [(row, row.density_min_kg_m3) for row in slurry.by_depth if row.density_min_kg_m3 is not None]
    upper = [(row, row.density_max_kg_m3) for row in slurry.by_depth if row.density_max_kg_m3 is not None]
    for found, dash in ((lower, "2 2"), (upper, "7 3")):
        points = [(across.x(value), depths.y(row.depth_m)) for row, value in found]
        if len(points) > 1:
            canvas.lines(points, stroke=GREY, stroke_width=1.0, stroke_dasharray=dash)
        last = -ROW
        for (_, value), point in zip(found, points, strict=True):
            _point(canvas, across, value, point, written=point[1] - last >= ROW)
            last = point[1] if point[1] - last >= ROW else last
    words = [
        "; ".join(dict.fromkeys(row.min_by for row, _ in lower if row.min_by)),
        "; ".join(dict.fromkeys(row.max_by for row, _ in upper if row.max_by)),
    ]
    sides = ("Asked for (dotted)", "Taken by the ground at most (dashed)")
    texts = [f"{side}: {word}." for side, word in zip(sides, words, strict=True) if word]
    outside = any(not across.shows(value) for _, value in (*lower, *upper))
    return [*texts, "A point at the edge of the chart lies beyond it and does not bind."] if outside else texts


def _point(canvas: Canvas, across: Across, value: float, point: tuple[float, float], *, written: bool) -> None:
    x, y = point
    if across.shows(value):
        canvas.circle((x, y), 2.6, fill=INK)
    else:
        side = 6.0 if value > across.high else -6.0
        canvas.lines([(x - side, y - 4), (x - side, y + 4), (x, y)], closed=True, fill="#fff", stroke=INK)
    if written:
        left = x < across.left + 60
        canvas.label(
            x + (7 if left else -7), y - 3, write_number(value, "kg/m3", across.units), 9.0, text_anchor="start" if left else "end"
        )


def _level(canvas: Canvas, depths: Depths, slurry: Slurry, units: UnitSystem) -> None:
    y = depths.y(slurry.level_m)
    canvas.line((LEFT, y), (RIGHT, y), stroke=WATER, stroke_width=1.2)
    above = f"{write_number(abs(slurry.level_m), 'm', units)} {'above' if slurry.level_m < 0 else 'below'} the ground"
    canvas.label(RIGHT - 6, y + 12, f"fluid level, {above}", 9.5, text_anchor="end", fill=WATER)
    top = depths.y(slurry.top_m)
    canvas.line((LEFT, top), (RIGHT, top), stroke=GREY, stroke_dasharray="4 3")
