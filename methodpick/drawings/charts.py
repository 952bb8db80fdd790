"""The charts of what stands in the hole: the slurry window, density against fluid level in characters, and the depth-volume curve.

The window is the pressure of the fluid against depth, between what the ground needs and what it bears; the depth-volume curve is where
the concrete should stand for every volume placed, to plot each truck against.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import inf

from methodpick.drawings.canvas import BOLD, GREY, INK, WATER, WIDTH, Across, Canvas, Depths, Point, draw_across, draw_depths, spread, wrap
from methodpick.drawings.strip_columns import draw_swatches, hatched
from methodpick.errors import InputError, Problem
from methodpick.plan.result import CurvePoint, DensityAt, LevelAt, ShaftPlan, Slurry
from methodpick.records import record
from methodpick.terms import FLUID_NAMES, UnitSystem
from methodpick.unit_markup import NumberWriter, height_words, spell
from methodpick.units import write_number

# ---- the slurry window


LIGHTEST_KG_M3 = 1000.0
"""No drilling fluid is lighter than water."""
GRAVITY = 9.81e-3
"""Pressure in kPa of a metre of a fluid of 1 kg/m3."""
TOP, WINDOW_PLOT = 46.0, 360.0
WINDOW_LEFT, WINDOW_RIGHT = 150.0, 552.0
LABEL, LABEL_ROW = 9.2, 10.5
WIDEST_LABEL = 190.0
BESIDE, FAR_BESIDE = 1.12, 1.5
"""How far the scale goes beyond the greatest pressure of the window, and at most where the ground bears more."""


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
    depths = Depths(min(slurry.level_m, slurry.top_m, 0.0), slurry.base_m, TOP, TOP + WINDOW_PLOT, units, shaft.ground.ground_elevation_m)
    canvas = Canvas(TOP + WINDOW_PLOT, f"Slurry window of shaft {shaft.id}", prefix)
    across = Across(0.0, _scale_end(slurry), WINDOW_LEFT, WINDOW_RIGHT, "kPa", units)
    hatched(canvas, depths, shaft, WINDOW_LEFT - 46, 36)
    canvas.rect(WINDOW_LEFT - 46, TOP + WINDOW_PLOT, 36, 30, fill="#fff")
    draw_across(canvas, across, TOP, TOP + WINDOW_PLOT, "pressure in the hole")
    draw_depths(canvas, depths, WINDOW_LEFT - 50)
    canvas.text(WINDOW_LEFT - 70, TOP - 22, f"depth, {NumberWriter(units).unit('m')}", 10.5, text_anchor="middle", font_weight="bold")
    lines = _lines(canvas, depths, across, shaft, slurry)
    _level(canvas, depths, slurry, shaft.design.datum)
    canvas.rect(WINDOW_LEFT, TOP, WINDOW_RIGHT - WINDOW_LEFT, WINDOW_PLOT, stroke=INK, stroke_width=0.8)
    canvas.height = draw_swatches(canvas, _name(canvas, lines, TOP + WINDOW_PLOT) + 8, 17) + 8
    level = spell(height_words(slurry.level_m, shaft.design.datum), units)
    named = "; ".join(line.words for line in lines if line.words)
    canvas.says = f"Pressure against depth. Level of the fluid: {level}. Lines from low to high pressure: {named}."
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
        canvas.lines(place(points), stroke=WATER, stroke_width=1.6, stroke_dasharray="1.5 2")
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
    canvas.line((WINDOW_LEFT, y), (WINDOW_RIGHT, y), stroke=WATER, stroke_width=1.2)
    for index, words in enumerate(("level of the fluid:", spell(height_words(slurry.level_m, datum), depths.units))):
        canvas.text(WINDOW_RIGHT + 6, y + 3 + LABEL_ROW * index, words, LABEL, fill=WATER)
    if top - y > 2 * LABEL_ROW + 2:
        canvas.line((WINDOW_LEFT, top), (WINDOW_RIGHT, top), stroke=GREY, stroke_dasharray="4 3")
        canvas.text(WINDOW_RIGHT + 6, top + 3, "held by fluid from here", LABEL, fill=GREY)


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


# ---- density against fluid level, in characters


_LEAST_COLUMNS, _MOST_COLUMNS = 12, 44
"""The width of the chart of levels."""
_LEVELS_KEY = (
    "# open, + open but short of the recommended factors, . too light, x too heavy, o aim; > planned level, ! head rule broken, "
    "= specification; levels above the ground are negative"
)


def draw_levels_in_characters(
    slurry: Slurry, least: Sequence[str], notes: Sequence[str], numbers: NumberWriter, width: int
) -> tuple[list[str], list[str]]:
    """Draw what the ground leaves open at each level, the planned point, and what each fluid may weigh.

    ``least`` holds the least density at each level in words, ``notes`` what is said below the key.
    """
    fluids = [fluid for fluid in slurry.needed if fluid.allowed or fluid.fluid == slurry.fluid]
    if not slurry.levels or not fluids:
        return [], []
    planned = next(level for level in slurry.levels if level.planned)
    aim = slurry.density_target_kg_m3 or slurry.density_max_kg_m3 or LIGHTEST_KG_M3
    high = max(aim, planned.density_min_kg_m3 or 0.0, *(fluid.density_high_kg_m3 for fluid in fluids))
    columns = min(max(width - 41, _LEAST_COLUMNS), _MOST_COLUMNS)
    step = (high * 1.01 - LIGHTEST_KG_M3) / columns
    edges = [LIGHTEST_KG_M3 + step * index for index in range(columns + 1)]
    left, right = numbers.number(edges[0], "kg/m3"), numbers.number(edges[-1], "kg/m3")
    rows = [
        "Level and density that the ground leaves open:",
        f" {'level':>9} {'head':>8} {'at least':>10}  {left}{right:>{max(1, columns - len(left))}}",
    ]
    for level, asked in zip(slurry.levels, least, strict=True):
        cells = "".join(_openness(level, (low + high) / 2.0) for low, high in pairwise(edges))
        if level.planned:
            spot = min(int((aim - LIGHTEST_KG_M3) / step), columns - 1)
            cells = f"{cells[:spot]}o{cells[spot + 1 :]}"
        lead = ">" if level.planned else " " if level.head_kept else "!"
        depth, head = numbers.number(level.level_m, "m"), numbers.number(level.head_m, "m")
        rows.append(f"{lead}{depth:>9} {head:>8} {numbers.text(asked):>10}  {cells}")
    for fluid in fluids:
        bar = "".join("=" if fluid.density_low_kg_m3 < high and low < fluid.density_high_kg_m3 else " " for low, high in pairwise(edges))
        rows.append(f" {FLUID_NAMES[fluid.fluid]:>29}  {bar}")
    return rows, [_LEVELS_KEY, *notes]


def _openness(level: LevelAt, density_kg_m3: float) -> str:
    """Return the sign of a density at a level: too heavy, too light, open but short of the recommended factors, or open."""
    if density_kg_m3 > (level.density_max_kg_m3 or inf):
        return "x"
    if density_kg_m3 < (level.density_min_kg_m3 or (inf if level.min_by else 0.0)):
        return "."
    return "+" if density_kg_m3 < (level.density_wanted_kg_m3 or 0.0) else "#"


# ---- the depth-volume curve


CURVE_PLOT = 380.0
CURVE_LEFT, CURVE_RIGHT = 70.0, 530.0
CURVE_ROW = 11.0
CURVE_LABELS = 120.0
"""Width of the labels beside the chart."""


def draw_volume(shaft: ShaftPlan, units: UnitSystem, prefix: str = "a") -> str:
    """Draw the volume of concrete against the depth of its top, from the tip up to the cut-off, as SVG."""
    curve = shaft.planned_concrete.curve
    deep, high = curve[0].depth_m, curve[-1].depth_m
    top = min([high, *(step.level_least_m for step in shaft.planned_concrete.pulls if step.level_least_m is not None)])
    span = deep - top
    depths = Depths(top - 0.05 * span, deep + 0.02 * span, TOP, TOP + CURVE_PLOT, units, shaft.ground.ground_elevation_m)
    across = Across(0.0, 1.06 * max(curve[-1].expected_high_m3, curve[-1].fill_m3), CURVE_LEFT, CURVE_RIGHT, "m3", units)
    canvas = Canvas(TOP + CURVE_PLOT, f"Depth-volume curve of shaft {shaft.id}", prefix)
    draw_across(canvas, across, TOP, TOP + CURVE_PLOT, "concrete placed")
    draw_depths(canvas, depths, CURVE_LEFT, grid_to=CURVE_RIGHT)
    canvas.text(4, TOP - 22, f"top of concrete, {NumberWriter(units).unit('m')} deep", 10.5, font_weight="bold")
    _curves(canvas, depths, across, curve)
    _marks(canvas, depths, shaft)
    canvas.rect(CURVE_LEFT, TOP, CURVE_RIGHT - CURVE_LEFT, CURVE_PLOT, stroke=INK, stroke_width=0.8)
    ends = "; ".join(_key(canvas, shaft, units))
    canvas.says = (
        f"The top of the concrete rises from {write_number(deep, 'm', units)} to {write_number(high, 'm', units)}. At the end: {ends}."
    )
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
            _arrow(canvas, CURVE_RIGHT + 7 + 9 * (step.casing_no - 1), depths.y(step.shoe_m), depths.y(step.level_least_m))
    marks.sort(key=lambda mark: depths.y(mark[0]))
    rows = [wrap(words, CURVE_LABELS, 9.0, 3) for _, words in marks]
    heights = [CURVE_ROW * len(row) + 4 for row in rows]
    places = spread([depths.y(depth) - 5 for depth, _ in marks], heights, TOP, TOP + CURVE_PLOT)
    for (depth, _), row, place in zip(marks, rows, places, strict=True):
        y = depths.y(depth)
        canvas.line(
            (CURVE_LEFT, y),
            (CURVE_RIGHT, y),
            stroke=GREY,
            stroke_width=0.7,
            stroke_dasharray="6 2 1 2" if depth == shaft.cutoff_m else "1 2",
        )
        left = WIDTH - CURVE_LABELS - 6
        canvas.lines([(CURVE_RIGHT, y), (left - 12, y), (left - 3, place + 5)], stroke=GREY, stroke_width=0.5)
        for index, words in enumerate(row):
            canvas.text(left, place + CURVE_ROW * (index + 0.8), words, 9.0)


def _arrow(canvas: Canvas, x: float, foot: float, head: float) -> None:
    """Draw an arrow from a shoe up to the concrete that it needs over it."""
    canvas.line((x, foot), (x, head), stroke_width=0.9)
    canvas.lines([(x - 3, head + 7), (x + 3, head + 7), (x, head)], closed=True, fill=INK)


def _key(canvas: Canvas, shaft: ShaftPlan, units: UnitSystem) -> list[str]:
    """Draw what each line means, and return it in words."""
    concrete = shaft.planned_concrete
    y = TOP + CURVE_PLOT + 20
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
    return [words for _, _, words in rows]
