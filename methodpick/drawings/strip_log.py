"""The strip log of a shaft as SVG and in characters: ground, tests, water, method, casings, fluid and window against one depth scale.

The characters read without colour and piped to a file.
"""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.drawings import strip_columns
from methodpick.drawings.canvas import GREY, WATER, WIDTH, Canvas, Depths, draw_depths, draw_elevations
from methodpick.drawings.layer_words import ROW, describe_layers, rows_wanted
from methodpick.drawings.strip_columns import draw_swatches
from methodpick.plan.result import SLAB, Casing, Interval, LogWater, ShaftPlan
from methodpick.records import record
from methodpick.terms import FLUID_NAMES, STARTER, UnitSystem
from methodpick.unit_markup import NumberWriter, bare_number, height_words, how_many, number, spell, unit_name
from methodpick.units import write_number

# ---- as SVG


HEAD = 44.0
LEAST_PLOT, SHEET_PLOT, MOST_PLOT = 490.0, 620.0, 720.0
"""The height of the scale: below a decision on its sheet, alone on a sheet, and where words want room."""
GAP = 7.0
LEVEL_GRADE_M = 0.02
"""A drilling grade so near to the ground is the ground."""
BELOW = 0.1
"""Share of the shaft's length that is shown below its tip."""


@record
class StripColumn:
    """A column of the strip: what stands over it, and its place."""

    title: tuple[str, ...]
    x: float
    width: float


def draw_strip(shaft: ShaftPlan, units: UnitSystem, prefix: str = "a", least_plot: float = LEAST_PLOT) -> str:
    """Draw the strip of a shaft in the reader's units, as SVG; its scale is at least so high.

    Depth 0 is the ground at the shaft, over water the mudline.
    """
    columns = _columns(shaft, units)
    depths = _scale(shaft, units, columns["words"].width, least_plot)
    legend = _legend(shaft, units)
    canvas = Canvas(depths.base, f"Strip log of shaft {shaft.id}", prefix)
    right = columns["depth"].x + columns["depth"].width
    draw_depths(canvas, depths, right, grid_to=WIDTH - 2)
    if depths.elevation_m is not None:
        draw_elevations(canvas, depths, columns["elevation"].x + columns["elevation"].width)
    _ground_lines(canvas, depths, shaft, right)
    notes = _fill(canvas, depths, shaft, columns)
    _ground_words(canvas, depths, shaft, right)
    for column in columns.values():
        for index, row in enumerate(column.title):
            canvas.text(column.x + column.width / 2, 14 + 11 * index, row, 9.5, text_anchor="middle", font_weight="bold")
    base = _swatches(canvas, depths.base + 30)
    for text in (*legend, *notes):
        base = canvas.paragraph(base, text)
    canvas.height = base + 8
    canvas.says = _in_words(shaft, units)
    return canvas.svg()


def _in_words(shaft: ShaftPlan, units: UnitSystem) -> str:
    """Describe what the strip shows to those who do not see it: the ground, the water, what holds the wall, the tip."""

    def told(found: Sequence[tuple[str, float]]) -> str:
        return ", ".join(f"{words} to {write_number(base, 'm', units)}" for words, base in found)

    ground = [(interval.ground, base) for interval, base in strip_columns.runs(shaft.intervals, lambda each: each.ground)]
    walls = [(strip_columns.wall_of(shaft, interval), base) for interval, base in strip_columns.wall_runs(shaft)]
    levels = dict.fromkeys(
        write_number(water.likely_m, "m", units)
        for water in shaft.ground.water
        if water.likely_m is not None and abs(water.likely_m) < strip_columns.FARTHEST_M
    )
    return (
        f"From the top down: {told(ground)}. Water likely at {' and '.join(levels) or 'no known depth'}. The wall is held by: "
        f"{told(walls)}. Tip at {write_number(shaft.tip_depth_m, 'm', units)}."
    )


def _scale(shaft: ShaftPlan, units: UnitSystem, words_width: float, least_plot: float) -> Depths:
    """Return the scale of the depths, as high as the words of the layers want it within what a sheet holds."""
    tops = [0.0, shaft.design.grade_m, *(casing.top_m for casing in shaft.casings)]
    if shaft.fluid_level_m is not None:
        tops.append(shaft.fluid_level_m)
    tops += [water.high_m for water in shaft.ground.water if -strip_columns.FARTHEST_M < water.high_m < 0.0]
    top = min(tops)
    base = shaft.tip_depth_m + BELOW * (shaft.tip_depth_m - top)
    below = (base - max(top, 0.0)) / (base - top)
    plot = min(MOST_PLOT, max(least_plot, ROW * (rows_wanted(shaft, words_width) + 2) / below))
    return Depths(top - 0.02 * (base - top), base, HEAD, HEAD + plot, units, shaft.ground.ground_elevation_m)


def _columns(shaft: ShaftPlan, units: UnitSystem) -> dict[str, StripColumn]:
    """Place the columns; the words of the layers take what the others leave."""
    unit = NumberWriter(units).unit("m")
    wanted: list[tuple[str, tuple[str, ...], float]] = [
        ("elevation", ("elev.", unit), 36.0 if shaft.ground.ground_elevation_m is not None else 0.0),
        ("depth", ("depth", unit), 34.0),
        ("ground", ("ground",), 34.0),
        ("words", ("as logged",), 0.0),
        ("blows", ("N", "blows"), 52.0),
        ("water", ("water", unit), 72.0),
        ("held", ("wall", "held by"), 72.0),
        ("drilled", ("drilled",), 64.0),
        ("shaft", ("shaft",), 104.0),
        ("window", ("density",), 58.0 if shaft.slurry is not None else 0.0),
    ]
    kept = [column for column in wanted if column[2] or column[0] == "words"]
    free = WIDTH - 4 - sum(width for _, _, width in kept) - GAP * (len(kept) - 1)
    found, x = {}, 0.0
    for name, title, width in kept:
        found[name] = StripColumn(title, x, width or free)
        x += (width or free) + (0.0 if name == "ground" else GAP)
    return found


def _fill(canvas: Canvas, depths: Depths, shaft: ShaftPlan, columns: dict[str, StripColumn]) -> list[str]:
    """Draw every column, and return what found no room, in words."""
    place = {name: (column.x, column.width) for name, column in columns.items()}
    strip_columns.hatched(canvas, depths, shaft, *place["ground"])
    no_words = describe_layers(canvas, depths, shaft, *place["words"])
    no_count = strip_columns.blows(canvas, depths, shaft, *place["blows"])
    no_water = strip_columns.water(canvas, depths, shaft, *place["water"])
    strip_columns.held(canvas, depths, shaft, *place["held"])
    strip_columns.drilled(canvas, depths, shaft, *place["drilled"])
    strip_columns.body(canvas, depths, shaft, *place["shaft"])
    if shaft.slurries:
        strip_columns.windows(canvas, depths, shaft.slurries, *place["window"])
    return [
        *([f"The words of {how_many(no_words, 'layer')} have no room."] if no_words else []),
        *([f"The numbers of {how_many(no_count, 'penetration test')} have no room; their bars are drawn."] if no_count else []),
        *([f"Not drawn: {how_many(no_water, 'more aquifer')} without a reading."] if no_water else []),
    ]


def _ground_lines(canvas: Canvas, depths: Depths, shaft: ShaftPlan, left: float) -> None:
    """Draw the ground (over water the mudline) and the drilling grade across the canvas, under all that stands there."""
    y, level = depths.y(0.0), depths.y(shaft.design.grade_m)
    canvas.line((left, y), (WIDTH - 2, y), stroke_width=1.4)
    if abs(shaft.design.grade_m) > LEVEL_GRADE_M:
        canvas.line((left, level), (WIDTH - 2, level), stroke=GREY, stroke_dasharray="8 3")


def _ground_words(canvas: Canvas, depths: Depths, shaft: ShaftPlan, left: float) -> None:
    """Name the ground, the drilling grade and the end of the boring."""
    y = depths.y(0.0)
    over = bool(shaft.design.water_depth_m)
    grade, words = shaft.design.grade_m, "mudline" if over else "ground"
    level = depths.y(grade)
    if abs(grade) > LEVEL_GRADE_M:
        away = f"{write_number(abs(grade), 'm', depths.units)} {'above' if grade < 0 else 'below'} the {words}"
        canvas.label(left + 52, min(level, y) - 3 if grade < 0 else level - 3, f"drilling grade {away}", 8.8, fill=GREY)
    if abs(level - y) > 13 or abs(grade) <= LEVEL_GRADE_M:
        canvas.label(left + 52, y - 3, words, 8.8)


def _swatches(canvas: Canvas, y: float) -> float:
    """Draw a swatch for every hatch used, and return where the legend ends."""
    y = draw_swatches(canvas, y, 18)
    y += 18
    canvas.lines([(4, y - 9), (15, y - 9), (9.5, y)], closed=True, fill=WATER, stroke=WATER)
    canvas.text(24, y, "water at its likely level, bar: its range (hollow, dashed: not read)", 9.2)
    for start, confidence in ((390.0, "firm"), (460.0, "conditional"), (570.0, "undecided")):
        strip_columns.edge(canvas, start, (y - 9, y + 2), confidence)
        canvas.text(start + 6, y, confidence, 9.2)
    return y + 4


def _legend(shaft: ShaftPlan, units: UnitSystem) -> list[str]:
    """Write the casings by their numbers, and what else the drawing cannot say."""
    rows = []
    numbers = NumberWriter(units)
    for index, casing in enumerate(shaft.casings, 1):
        size = f"{numbers.number(casing.outside_diameter_m, 'size')} x {numbers.number(casing.wall_m, 'wall')}"
        ends = f"{numbers.number(casing.top_m, 'm')} to {numbers.number(casing.base_m, 'm')}"
        sealed = f", sealed: {casing.sealed}" if casing.kind != STARTER else ""
        rows.append(f"Casing {index}: {casing.kind}, {size}, {ends}{sealed}.")
    for slurry in shaft.slurries:
        level = spell(height_words(slurry.level_m, shaft.design.datum), units)
        until = f" to {numbers.number(slurry.base_m, 'm')}" if len(shaft.slurries) > 1 else ""
        rows.append(f"In the hole while it is drilled{until}: {FLUID_NAMES[slurry.fluid]}, level at {level}.")
    rows.append(
        f"Boring {shaft.boring}, ends at {write_number(shaft.ground.end_m, 'm', units)}. Depths run down from the "
        f"{'mudline' if shaft.design.water_depth_m else 'ground'}; widths of the shaft are drawn wider than depths. Solid casing "
        "stays, hollow casing is pulled."
    )
    return rows


# ---- in characters


_HATCHES = {
    "clay": "---",
    "silt": "~~~",
    "silty_sand": ".:.",
    "clean_sand": "...",
    "silty_gravel": "o:o",
    "clean_gravel": "ooo",
    "cobbles": "OOO",
    "organic": "www",
    "intermediate": "=-=",
    "weathered_rock": "+-+",
    "rock": "###",
    "void": "( )",
    SLAB: "XXX",
}
_NO_HATCH = "???"
_SUPPORT_LETTERS = {"dry": "D", "slurry": "S", "temporary_casing": "T", "permanent_casing": "P", "undecided": "?"}
_LEAST_ROWS, _MOST_ROWS = 24, 48
_N_WIDTH = 8
_FARTHEST_M = 30.0
"""Water that may rise higher than this is an open end of what is possible, and is not drawn."""
_STRIP_KEY = (
    "water: v likely level, : range; support: D dry, S slurry, T temporary casing, P permanent casing, ? undecided; "
    "casing: || wall, \\/ shoe; fluid: f full from here down while drilling; N: + more tests in that row"
)


def draw_strip_in_characters(shaft: ShaftPlan, numbers: NumberWriter) -> tuple[list[str], list[str]]:
    """Draw the strip of a shaft against depth, and return its rows and what its signs mean."""
    fluid = shaft.fluid_level_m if shaft.fluid_level_m is not None else 0.0
    waters = (water.high_m for water in shaft.ground.water if water.high_m > -_FARTHEST_M)
    top = min([0.0, fluid, *(casing.top_m for casing in shaft.casings), *waters])
    count = _rows(shaft, top)
    step = (shaft.tip_depth_m - top) / count
    rows = [f"{'depth':>8} ground  {'N':<8} water support casing  fluid"]
    rows += [_strip_row(shaft, numbers, (top + index * step, top + (index + 1) * step), first=index == 0) for index in range(count)]
    rows.append(
        numbers.text(f"{numbers.text(bare_number(shaft.tip_depth_m, 'm')):>8} tip ({unit_name('m')}; drawn at {number(step, 'm')} a row)")
    )
    met = {interval.ground: _hatch_of(interval) for interval in shaft.intervals}
    signs = ", ".join(f"{sign} {ground}" for ground, sign in met.items())
    return rows, [f"ground: {signs}", _STRIP_KEY]


def _hatch_of(interval: Interval) -> str:
    return _HATCHES.get(SLAB if interval.slab else interval.soil_class, _NO_HATCH)


def _rows(shaft: ShaftPlan, top_m: float) -> int:
    thinnest = min((interval.base_m - interval.top_m for interval in shaft.intervals), default=1.0)
    return max(_LEAST_ROWS, min(_MOST_ROWS, int((shaft.tip_depth_m - top_m) / max(thinnest, 0.3)) + 1))


def _strip_row(shaft: ShaftPlan, numbers: NumberWriter, ends: tuple[float, float], *, first: bool) -> str:
    top, base = ends
    middle = (top + base) / 2
    here = next((interval for interval in shaft.intervals if interval.top_m <= middle < interval.base_m), None)
    begun = next((interval for interval in shaft.intervals if top <= interval.top_m < base), None)
    depth = begun.top_m if begun is not None else top if first else None
    scale = "" if depth is None else numbers.text(bare_number(depth, "m"))
    ground = "" if here is None else _hatch_of(here) * 2
    blows = _blows([strip_columns.count_words(count, numbers.units) for depth, count in shaft.ground.spt if top <= depth < base])
    support = "" if here is None else _SUPPORT_LETTERS[here.support] * 3
    cutoff = "cut-off" if top <= shaft.cutoff_m < base and shaft.cutoff_m > 0 else ""
    return (
        f"{scale:>8} {ground:<6}  {blows:<8} {_water(shaft.ground.water, top, base):<5} {support:<7} "
        f"{_casings(shaft.casings, top, base):<7} {_fluid(shaft, top, base)} {cutoff}"
    ).rstrip()


def _blows(counts: Sequence[str]) -> str:
    """Write the counts of the tests in a row, the first alone where they have no room together.

    >>> _blows(["11", "13"]), _blows(["50/75", "50/40"]), _blows([])
    ('11,13', '50/75+', '')
    """
    together = ",".join(counts)
    return together if len(together) <= _N_WIDTH else f"{counts[0]}+"


def _water(waters: Sequence[LogWater], top_m: float, base_m: float) -> str:
    mark = ""
    for water in waters:
        if water.likely_m is not None and top_m <= water.likely_m < base_m:
            return "v"
        if water.high_m < base_m and water.low_m > top_m:
            mark = ":"
    return mark


def _casings(casings: Sequence[Casing], top_m: float, base_m: float) -> str:
    signs = []
    for casing in casings:
        if top_m <= casing.base_m - 1e-9 < base_m:
            signs.append("\\/")
        elif casing.top_m < base_m and casing.base_m > top_m:
            signs.append("||")
        else:
            signs.append("  ")
    return " ".join(signs)


def _fluid(shaft: ShaftPlan, top_m: float, base_m: float) -> str:
    level, slurry = shaft.fluid_level_m, shaft.slurry
    if level is None or slurry is None:
        return ""
    if top_m <= level < base_m:
        return "f level"
    reached = max(held.base_m for held in shaft.slurries if held.fluid == slurry.fluid)
    return "f" if level <= top_m < reached else ""
