"""The slurry window as one chart: the pressure of the fluid against depth, between what the ground needs and what it bears."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from methodpick.drawings.canvas import GREY, INK, WATER, Across, Canvas, Depths, Point, draw_across, draw_depths, wrap
from methodpick.drawings.strip_columns import hatched
from methodpick.errors import InputError, Problem
from methodpick.plan.result import DensityAt, ShaftPlan, Slurry
from methodpick.records import record
from methodpick.terms import FLUID_NAMES, UnitSystem
from methodpick.unit_markup import NumberWriter, height_words, spell
from methodpick.units import write_number

LIGHTEST_KG_M3 = 1000.0
"""No drilling fluid is lighter than water."""
GRAVITY = 9.81e-3
"""Pressure in kPa of a metre of a fluid of 1 kg/m3."""
TOP, PLOT = 46.0, 360.0
LEFT, RIGHT = 150.0, 552.0
LABEL, LABEL_ROW = 9.2, 10.5
WIDEST_LABEL = 190.0
BESIDE, FAR_BESIDE = 1.12, 1.5
"""How far the scale goes beyond the greatest pressure of the window, and at most where the ground bears more."""
BOLD = 1.16
"""Width of bold letters over that of others."""


@record
class _Line:
    """A line of the chart, cut at its edges, with its words; ``before`` sets them left of its end."""

    points: tuple[Point, ...]
    words: str
    before: bool
    colour: str = INK
    bold: bool = False


def draw_window(shaft: ShaftPlan, units: UnitSystem, prefix: str = "a") -> str:
    """Draw the window of a shaft that is drilled under fluid, as SVG: pressure against depth, every line named at its end.

    Raises InputError where the plan uses no fluid.
    """
    slurry = shaft.slurry
    if slurry is None:
        raise InputError(
            Problem(
                f"shaft {shaft.id} is drilled without support fluid, so it has no density window",
                hint="draw --what strip shows how it is held",
            )
        )
    depths = Depths(min(slurry.level_m, slurry.top_m, 0.0), slurry.base_m, TOP, TOP + PLOT, units, shaft.ground.ground_elevation_m)
    canvas = Canvas(TOP + PLOT, f"Slurry window of shaft {shaft.id}", prefix)
    across = Across(0.0, _scale_end(slurry), LEFT, RIGHT, "kPa", units)
    hatched(canvas, depths, shaft, LEFT - 46, 36)
    canvas.rect(LEFT - 46, TOP + PLOT, 36, 30, fill="#fff")
    draw_across(canvas, across, TOP, TOP + PLOT, "pressure in the hole")
    draw_depths(canvas, depths, LEFT - 50)
    canvas.text(LEFT - 70, TOP - 22, f"depth, {NumberWriter(units).unit('m')}", 10.5, text_anchor="middle", font_weight="bold")
    lines = _lines(canvas, depths, across, shaft, slurry)
    _level(canvas, depths, slurry, shaft.design.datum)
    canvas.rect(LEFT, TOP, RIGHT - LEFT, PLOT, stroke=INK, stroke_width=0.8)
    canvas.height = _name(canvas, lines, TOP + PLOT)
    return canvas.svg()


def window_ends(slurry: Slurry) -> tuple[float, float]:
    """Return the least and the greatest density of a window; a side that does not bind is as wide as its bounds by depth."""
    bounds = [value for row in slurry.by_depth for value in (row.density_min_kg_m3, row.density_max_kg_m3) if value is not None]
    least = slurry.density_min_kg_m3 if slurry.density_min_kg_m3 is not None else min(bounds, default=1000.0)
    most = slurry.density_max_kg_m3 if slurry.density_max_kg_m3 is not None else max(bounds, default=least)
    return least, most


def _scale_end(slurry: Slurry) -> float:
    """Return the end of the scale: beyond the window and all that the ground needs, and as far as it bears where that is not far."""
    needed, borne = (_bound(slurry, side) for side in (lambda row: row.density_min_kg_m3, lambda row: row.density_max_kg_m3))
    greatest = max([_pressure(slurry, max(window_ends(slurry)), slurry.base_m), *(value for value, _ in needed)])
    return max(BESIDE * greatest, min(FAR_BESIDE * greatest, 1.03 * max((value for value, _ in borne), default=0.0)))


def _pressure(slurry: Slurry, density_kg_m3: float, depth_m: float) -> float:
    """Return the pressure at a depth in kPa of a fluid that stands at the planned level."""
    return GRAVITY * max(0.0, density_kg_m3) * max(0.0, depth_m - slurry.level_m)


def _lines(canvas: Canvas, depths: Depths, across: Across, shaft: ShaftPlan, slurry: Slurry) -> list[_Line]:
    """Draw the band of the specification, the groundwater, what is needed, the fluid, and what is borne; return them with their words."""
    _band(canvas, depths, across, slurry)

    def place(found: Sequence[Point]) -> list[Point]:
        return [(across.x(value), depths.y(depth)) for value, depth in _cut(found, across.high)]

    lines = []
    for points, words in _groundwater(shaft, slurry):
        canvas.lines(place(points), stroke=WATER, stroke_width=1.0, stroke_dasharray="1 2")
        lines.append(_Line(tuple(place(points)), words, before=True, colour=WATER))
    least = _bound(slurry, lambda row: row.density_min_kg_m3)
    if len(least) > 1:
        canvas.lines(place(least), stroke_width=1.4, stroke_dasharray="3 2")
        lines.append(_Line(tuple(place(least)), f"needed at least: {_causes([row.min_by for row in slurry.by_depth])}", before=True))
    lines.append(_fluid(canvas, place, slurry, across.units))
    most = _bound(slurry, lambda row: row.density_max_kg_m3)
    shown = place(most)
    if len(shown) > 1:
        canvas.lines(shown, stroke_width=1.4, stroke_dasharray="8 3")
        lines.append(_Line(tuple(shown), f"borne at most: {_causes([row.max_by for row in slurry.by_depth])}", before=False))
    return lines


def _band(canvas: Canvas, depths: Depths, across: Across, slurry: Slurry) -> None:
    """Hatch what the window leaves open over the length held by fluid."""
    least, most = window_ends(slurry)
    if least > most:
        return
    ends = [
        (density, depth) for density, depth in ((least, slurry.top_m), (least, slurry.base_m), (most, slurry.base_m), (most, slurry.top_m))
    ]
    corners = [(across.x(_pressure(slurry, density, depth)), depths.y(depth)) for density, depth in ends]
    canvas.lines(corners, closed=True, fill=canvas.hatch("band"), stroke=INK, stroke_width=0.5)


def _groundwater(shaft: ShaftPlan, slurry: Slurry) -> list[tuple[list[Point], str]]:
    """Return the likely pressure of each aquifer over its depth, with its words; only the deepest that is reached is named."""
    found = []
    for water in shaft.ground.water:
        top, base = max(water.aquifer_top_m, 0.0), min(water.aquifer_base_m, slurry.base_m)
        if water.likely_m is not None and base > top:
            start = max(top, water.likely_m)
            found.append([(GRAVITY * LIGHTEST_KG_M3 * (depth - water.likely_m), depth) for depth in (start, base) if start < base])
    kept = [points for points in found if points]
    return [(points, "groundwater" if points is kept[-1] else "") for points in kept]


def _bound(slurry: Slurry, density: Callable[[DensityAt], float | None]) -> list[Point]:
    """Return the pressures of a bound at each depth where it binds."""
    rows = [(density(row), row.depth_m) for row in slurry.by_depth]
    return [(_pressure(slurry, value, depth), depth) for value, depth in rows if value is not None]


def _fluid(canvas: Canvas, place: Callable[[Sequence[Point]], list[Point]], slurry: Slurry, units: UnitSystem) -> _Line:
    """Draw the planned fluid, or say that none is open; return its line with its words."""
    least, most = window_ends(slurry)
    aim = slurry.density_target_kg_m3
    ends = f"{write_number(least, 'kg/m3', units)} to {write_number(most, 'kg/m3', units)}"
    name = FLUID_NAMES[slurry.fluid]
    points = place([(_pressure(slurry, aim or least, depth), depth) for depth in (slurry.level_m, slurry.base_m)])
    if aim is None:
        canvas.lines(points, stroke_width=1.2, stroke_dasharray="2 2")
        wanted, allowed = write_number(least, "kg/m3", units), write_number(most, "kg/m3", units)
        return _Line(tuple(points), f"no density is open: at least {wanted} needed, at most {allowed} allowed", before=False, bold=True)
    canvas.lines(points, stroke_width=2.2)
    words = f"{name}, aim at {write_number(aim, 'kg/m3', units)}; hatched {ends}: {spell(slurry.governed_by, units)}"
    return _Line(tuple(points), words, before=False, bold=True)


def _causes(words: Sequence[str]) -> str:
    """Return what bounds a side from the top down, each cause once and without its depth.

    >>> _causes(["", "uplift at 3 m", "uplift at 9 m", "keeping water out"])
    'uplift; keeping water out'
    """
    return "; ".join(dict.fromkeys(each.split(" at ")[0] for each in words if each))


def _cut(points: Sequence[Point], high: float) -> list[Point]:
    """Cut a line of values and depths at the upper end of the scale.

    >>> _cut([(0.0, 0.0), (4.0, 2.0), (8.0, 4.0)], 6.0), _cut([(8.0, 1.0), (9.0, 2.0)], 6.0)
    ([(0.0, 0.0), (4.0, 2.0), (6.0, 3.0)], [])
    """
    kept = [points[0]] if points and points[0][0] <= high else []
    for (value, depth), (other, below) in pairwise(points):
        if min(value, other) > high:
            continue
        cross = (high, depth + (high - value) / (other - value) * (below - depth)) if max(value, other) > high else None
        if cross is not None and (not kept or kept[-1] != cross):
            kept.append(cross)
        if other <= high:
            kept.append((other, below))
    return kept


def _level(canvas: Canvas, depths: Depths, slurry: Slurry, datum: str) -> None:
    """Draw the level of the fluid, and from where it holds the ground."""
    y, top = depths.y(slurry.level_m), depths.y(slurry.top_m)
    canvas.line((LEFT, y), (RIGHT, y), stroke=WATER, stroke_width=1.2)
    for index, words in enumerate(("level of the fluid:", spell(height_words(slurry.level_m, datum), depths.units))):
        canvas.text(RIGHT + 6, y + 3 + LABEL_ROW * index, words, LABEL, fill=WATER)
    if top - y > 2 * LABEL_ROW + 2:
        canvas.line((LEFT, top), (RIGHT, top), stroke=GREY, stroke_dasharray="4 3")
        canvas.text(RIGHT + 6, top + 3, "held by fluid from here", LABEL, fill=GREY)


def _name(canvas: Canvas, lines: Sequence[_Line], base: float) -> float:
    """Write the words of each line at its end, in rows below the chart, and return where they end.

    Words of the lines that stand before go left and run down from the first, the others go right and run down from the last, so that no
    leader crosses words.
    """
    named = sorted((line for line in lines if line.words), key=lambda line: line.points[-1][0])
    heights = {True: base + 8, False: base + 8}
    for before in (True, False):
        for line in (each for each in (named if before else reversed(named)) if each.before is before):
            heights[before] = _named_line(canvas, line, heights[before], base)
    return max(heights.values()) + 8


def _named_line(canvas: Canvas, line: _Line, y: float, base: float) -> float:
    """Write the words of one line with a leader to its end, and return where they end."""
    x, end = line.points[-1]
    room = min(WIDEST_LABEL, x - 8) if line.before else min(WIDEST_LABEL, canvas.width - x - 8)
    rows = wrap(line.words, room, LABEL * (BOLD if line.bold else 1.0), 6)
    canvas.line((x, max(end, base)), (x, y + LABEL_ROW), stroke=line.colour, stroke_width=0.7)
    if end < base - 1:
        canvas.line((x, end), (x, base), stroke=line.colour, stroke_width=0.4, stroke_dasharray="1 3")
    weight = "bold" if line.bold else "normal"
    for index, row in enumerate(rows):
        canvas.text(
            x - 4 if line.before else x + 4,
            y + LABEL_ROW * (index + 0.9),
            row,
            LABEL,
            text_anchor="end" if line.before else "start",
            fill=line.colour,
            font_weight=weight,
        )
    return y + LABEL_ROW * len(rows) + 5
