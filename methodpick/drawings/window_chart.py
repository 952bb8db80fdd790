"""The slurry window against depth, what is asked for and what the ground takes, and below it the window against the fluid level."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import inf

from methodpick.drawings.canvas import GREY, INK, WATER, Across, Canvas, Depths, Point, draw_across, draw_depths, spread
from methodpick.drawings.strip_columns import hatched
from methodpick.errors import InputError, Problem
from methodpick.plan.result import LevelAt, LevelNeeded, ShaftPlan, Slurry
from methodpick.terms import FLUID_NAMES, UnitSystem
from methodpick.unit_markup import NumberWriter, write_number

# ---- The slurry window against the fluid level: what the ground leaves open, the planned point, the level that each fluid needs


LIGHTEST_KG_M3 = 1000.0
"""No drilling fluid is lighter than water."""
LEVELS_TOP, LEVELS_PLOT, BAR = 46.0, 250.0, 15.0
LEVELS_LEFT, LEVELS_RIGHT = 130.0, 594.0
LEVELS_ROW = 11.0
BESIDE = 140.0
"""The room of a label beside its sign."""
STEPS = 16
"""Places drawn between two levels, so that a bound that leaves the chart is cut at its edge."""
SHORT = "#e4e4e4"
KEY = (
    "Hatched: open to the ground at the recommended factors. Grey: open, but short of them. Solid lines: the bounds that nobody "
    "passes; dotted: the recommended one. Diamonds: the level that a fluid needs at its usual density (a triangle where it lies "
    "beyond the chart). Bars: what the specification lets each fluid weigh, its usual density ticked."
)


@dataclass(frozen=True, slots=True)
class _BoundsAt:
    """The three bounds at a level, between the given levels drawn straight."""

    level_m: float
    hard: float
    wanted: float
    most: float


def draw_levels(canvas: Canvas, slurry: Slurry, captions: Sequence[str], units: UnitSystem, start: float) -> float:
    """Draw level against density below ``start`` on a canvas and return where it ends; ``slurry`` has levels."""
    fluids = [fluid for fluid in slurry.needed if fluid.allowed or fluid.fluid == slurry.fluid]
    top, base = start + LEVELS_TOP, start + LEVELS_TOP + LEVELS_PLOT
    margin = 0.04 * (slurry.levels[-1].level_m - slurry.levels[0].level_m)
    depths = Depths(slurry.levels[0].level_m - margin, slurry.levels[-1].level_m + margin, top, base, units)
    across = _levels_across(slurry, fluids, units)
    draw_across(canvas, across, top, base, "fluid density")
    draw_depths(canvas, depths, LEVELS_LEFT)
    canvas.text(4, top - 22, f"fluid level, {NumberWriter(units).unit('m')}", 10.5, font_weight="bold")
    for index, words in enumerate(("negative:", "above ground")):
        canvas.text(4, top + 4 + 11 * index, words, 9.0, fill=GREY)
    _open(canvas, depths, across, slurry.levels)
    if depths.shows(0.0):
        ground, over = depths.y(0.0), 0.0 < depths.y(0.0) - depths.y(slurry.level_m) < BAR
        canvas.line((LEVELS_LEFT, ground), (LEVELS_RIGHT, ground), stroke=GREY, stroke_width=1.0)
        canvas.label(LEVELS_RIGHT - 6, ground + (10 if over else -4), "ground", 9.0, text_anchor="end", fill=GREY)
    _heads(canvas, depths, slurry.levels, units)
    _needed(canvas, depths, across, fluids, depths.y(slurry.level_m))
    _planned(canvas, depths, across, slurry)
    canvas.rect(LEVELS_LEFT, top, LEVELS_RIGHT - LEVELS_LEFT, LEVELS_PLOT, stroke=INK, stroke_width=0.8)
    y = _specified(canvas, across, fluids, base)
    for text in (KEY, *captions):
        y = canvas.paragraph(y, text, most=4)
    return y + 8


def _levels_across(slurry: Slurry, fluids: Sequence[LevelNeeded], units: UnitSystem) -> Across:
    """Return a scale that holds what the fluids may weigh and the point that is planned."""
    planned = next(level for level in slurry.levels if level.planned)
    wanted = (slurry.density_target_kg_m3, slurry.density_max_kg_m3, planned.density_min_kg_m3)
    most = max(value for value in (*wanted, *(fluid.density_high_kg_m3 for fluid in fluids)) if value is not None)
    least = min([LIGHTEST_KG_M3, *(fluid.density_low_kg_m3 for fluid in fluids)])
    room = 0.06 * (most - least) + 5.0
    return Across(least - room, most + room, LEVELS_LEFT, LEVELS_RIGHT, "kg/m3", units)


def _between(levels: Sequence[LevelAt]) -> list[_BoundsAt]:
    def bounds(level: LevelAt) -> tuple[float, float, float]:
        hard = level.density_min_kg_m3 if level.density_min_kg_m3 is not None else inf if level.min_by else 0.0
        wanted = level.density_wanted_kg_m3 if level.density_wanted_kg_m3 is not None else hard
        return hard, max(hard, wanted), level.density_max_kg_m3 if level.density_max_kg_m3 is not None else inf

    found = []
    for level, next_level in pairwise(levels):
        here, there = bounds(level), bounds(next_level)
        for step in range(STEPS):
            share = step / STEPS
            mixed = (a if share == 0 or a == b else a + share * (b - a) for a, b in zip(here, there, strict=True))
            found.append(_BoundsAt(level.level_m + share * (next_level.level_m - level.level_m), *mixed))
    last = levels[-1]
    return [*found, _BoundsAt(last.level_m, *bounds(last))]


def _open(canvas: Canvas, depths: Depths, across: Across, levels: Sequence[LevelAt]) -> None:
    """Fill what is open at each level, and hatch what is open at the recommended factors too; line the bounds."""
    places = _between(levels)
    for fill, line in (
        (SHORT, [(place, place.hard, place.most) for place in places]),
        (canvas.hatch("band"), [(place, place.wanted, place.most) for place in places]),
    ):
        for is_open, run in groupby(line, key=lambda place: place[1] <= place[2] and place[1] <= across.high and place[2] >= across.low):
            kept = list(run)
            if is_open and len(kept) > 1:
                left = [(across.x(low), depths.y(at.level_m)) for at, low, _ in kept]
                right = [(across.x(high), depths.y(at.level_m)) for at, _, high in kept]
                canvas.lines([*left, *reversed(right)], closed=True, fill=fill, stroke="none")
    for name, wide, dash in (("hard", 1.6, "none"), ("wanted", 1.1, "2 2"), ("most", 1.6, "none")):
        for piece in _cut([(getattr(place, name), place.level_m) for place in places], across.low, across.high):
            canvas.lines([(across.x(value), depths.y(level)) for value, level in piece], stroke_width=wide, stroke_dasharray=dash)


def _cut(points: Sequence[Point], low: float, high: float) -> list[list[Point]]:
    """Cut a line of values and levels at the two ends of the scale.

    >>> _cut([(0.0, 0.0), (4.0, 2.0), (4.0, 3.0)], 2.0, 9.0)
    [[(2.0, 1.0), (4.0, 2.0), (4.0, 3.0)]]
    """
    lines: list[list[Point]] = []
    for (value, level), (other, below) in pairwise(points):
        if inf in {value, other} or max(value, other) < low or min(value, other) > high:
            continue
        ends = []
        for here, at in ((value, level), (other, below)):
            kept = min(high, max(low, here))
            ends.append((here, at) if kept == here else (kept, level + (kept - value) / (other - value) * (below - level)))
        if lines and lines[-1][-1] == ends[0]:
            lines[-1].append(ends[1])
        else:
            lines.append(ends)
    return lines


def _heads(canvas: Canvas, depths: Depths, levels: Sequence[LevelAt], units: UnitSystem) -> None:
    """Write the head over the groundwater at each level, and where it breaks the head rule."""
    shown = [level for level in levels if level.head_m is not None]
    for index, words in enumerate(("head over", "groundwater") if shown else ()):
        canvas.text(LEVELS_RIGHT + 6, depths.top - 22 + 11 * index, words, 9.5, font_weight="bold")
    wanted = [depths.y(level.level_m) - LEVELS_ROW / 2 for level in shown]
    for level, y in zip(shown, spread(wanted, [LEVELS_ROW] * len(shown), depths.top - 4, depths.base + 12), strict=True):
        at = depths.y(level.level_m)
        canvas.line((LEVELS_RIGHT, at), (LEVELS_RIGHT + 4, at), stroke_width=0.7)
        words = f"{write_number(level.head_m or 0.0, 'm', units)}{'' if level.head_kept else ', too low'}"
        canvas.text(
            LEVELS_RIGHT + 6, y + 8.6, words, 9.0, font_weight="bold" if level.planned else "normal", fill=INK if level.head_kept else GREY
        )


def _needed(canvas: Canvas, depths: Depths, across: Across, fluids: Sequence[LevelNeeded], planned: float) -> None:
    """Draw the level, and write the head, that each fluid needs at its usual density; ``planned`` is where a line runs already."""
    found = [
        (fluid, across.x(fluid.density_kg_m3), depths.y(fluid.level_m)) for fluid in fluids if fluid.level_m is not None and fluid.allowed
    ]
    for fluid, x, y in found:
        kind, metres = ("level", fluid.level_m) if fluid.head_m is None else ("head", fluid.head_m)
        near = [left for _, left, other in found if left != x and abs(left - x) < BESIDE and abs(other - y) < BAR]
        at = planned + BAR if abs(y - planned) < BAR else y + (3.0 if not near else 13.0 if min(near) < x else -7.0)
        at = min(max(at, depths.top + 10), depths.base - 4)
        canvas.label(x + 8, at, f"{fluid.fluid} needs a {kind} of {write_number(metres or 0.0, 'm', across.units)}", 9.0, fill=WATER)
    for fluid, x, y in found:
        up = 1.0 if (fluid.level_m or 0.0) < depths.top_m else -1.0
        shape = _diamond(x, y) if depths.shows(fluid.level_m or 0.0) else [(x - 4, y + 6 * up), (x, y), (x + 4, y + 6 * up)]
        canvas.lines(shape, closed=True, fill="#fff", stroke=WATER, stroke_width=1.2)


def _diamond(x: float, y: float) -> list[Point]:
    return [(x - 5, y), (x, y - 5), (x + 5, y), (x, y + 5)]


def _planned(canvas: Canvas, depths: Depths, across: Across, slurry: Slurry) -> None:
    y = depths.y(slurry.level_m)
    canvas.line((LEVELS_LEFT, y), (LEVELS_RIGHT, y), stroke=WATER, stroke_width=1.2)
    if slurry.density_target_kg_m3 is None:
        at = y - 4 if y - 16 > depths.top else y + 13
        canvas.label(LEVELS_RIGHT - 6, at, "planned level: no density is open", 9.5, text_anchor="end", font_weight="bold")
        return
    x = across.x(slurry.density_target_kg_m3)
    canvas.circle((x, y), 4.5, fill=INK)
    words = f"planned: {write_number(slurry.density_target_kg_m3, 'kg/m3', across.units)}"
    canvas.label(
        x + 8 if x < (LEVELS_LEFT + LEVELS_RIGHT) / 2 else x - 8,
        y - 6 if y - 18 > depths.top else y + 14,
        words,
        9.5,
        text_anchor="start" if x < (LEVELS_LEFT + LEVELS_RIGHT) / 2 else "end",
        font_weight="bold",
    )


def _specified(canvas: Canvas, across: Across, fluids: Sequence[LevelNeeded], base: float) -> float:
    """Draw under the chart what each fluid may weigh by the specification, with its usual density as a tick."""
    y = base + 6
    for fluid in fluids:
        middle = y + BAR / 2
        left, right = across.x(fluid.density_low_kg_m3), across.x(fluid.density_high_kg_m3)
        canvas.text(LEVELS_LEFT - 8, middle + 3, FLUID_NAMES[fluid.fluid].capitalize(), 9.2, text_anchor="end")
        canvas.rect(left, middle - 3, right - left, 6, fill="#fff", stroke=INK, stroke_width=0.8)
        canvas.line(
            (across.x(fluid.density_kg_m3), middle - 5), (across.x(fluid.density_kg_m3), middle + 5), stroke=WATER, stroke_width=1.6
        )
        y += BAR
    return y + 4


# ---- The slurry window against depth, what is asked for and what the ground takes, and below it the window against the fluid level


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
