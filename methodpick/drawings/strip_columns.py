"""The columns of a strip log, for the ground and for the work, and the legend of its hatches."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

from methodpick.drawings.canvas import GREY, INK, WATER, WIDTH, Across, Canvas, Depths, shorten, spread, width_of, wrap
from methodpick.drawings.hatching import HATCHES, hatch_of
from methodpick.patterns import pattern_of
from methodpick.plan.result import SLAB, Casing, Interval, LogLayer, LogWater, ShaftPlan, Slurry
from methodpick.terms import SUPPORT_NAMES, UnitSystem
from methodpick.units import restore, write_number

# ---- Columns of the strip that show the ground: layers with their words, penetration tests, water


ROW = 11.0
FULL_BAR = 50.0
"""Blows that fill the column: refusal by the usual counting (common practice)."""
MOST_LANES = 4
LEVEL_WIDTH = 42.0
"""The room of the levels beside the lanes of the water column."""
FARTHEST_M = 100.0
"""Water levels farther out are open ends of what is possible, not levels."""
_REFUSAL = pattern_of(r"(\d+)/(\d+)mm")


def hatched(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> None:
    """Draw the layers of the boring, open water over them, and what no log tells of under them."""
    ground = shaft.ground
    water = shaft.design.water_depth_m
    if water:
        canvas.rect(x, depths.y(-water), width, depths.y(0.0) - depths.y(-water), fill=canvas.hatch("open-water"))
    for layer in ground.layers:
        if layer.top_m < depths.base_m and layer.base_m > depths.top_m:
            _layer(canvas, depths, layer, x, width)
    below = max([0.0, *(layer.base_m for layer in ground.layers)])
    if below < depths.base_m - 1e-6:
        canvas.rect(x, depths.y(below), width, depths.base - depths.y(below), fill=canvas.hatch("unknown"), stroke=INK, stroke_width=0.8)


def _layer(canvas: Canvas, depths: Depths, layer: LogLayer, x: float, width: float) -> None:
    top, base = depths.y(layer.top_m), depths.y(layer.base_m)
    name = SLAB if layer.slab else hatch_of(layer.soil_class, layer.description, layer.symbol)
    canvas.rect(x, top, width, base - top, fill=canvas.hatch(name), stroke=INK, stroke_width=0.8)


def blows(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> int:
    """Draw the penetration tests: a bar as long as the count, and its number; return how many numbers found no room."""
    bars = x + width * 0.56
    canvas.line((bars, depths.y(0.0)), (bars, depths.base), stroke=GREY, stroke_width=0.5)
    last, without = -ROW, 0
    for depth, count in shaft.ground.spt:
        if not depths.shows(depth):
            continue
        y = depths.y(depth)
        found = _REFUSAL.fullmatch(count)
        value = FULL_BAR if found else float(count) if count.isdecimal() else 0.0
        canvas.rect(
            bars, y - 2, 0.6 + (x + width - bars) * min(value, FULL_BAR) / FULL_BAR, 4, fill="#a9a9a9", stroke=INK, stroke_width=0.4
        )
        if y - last >= ROW - 1:
            canvas.label(bars - 3, y + 3.2, shorten(count_words(count, depths.units), 40, 9.0), 9.0, text_anchor="end")
            last = y
        else:
            without += 1
    return without


def count_words(count: str, units: UnitSystem) -> str:
    """Write a count of blows, a refusal with its penetration in the reader's units.

    >>> count_words("50/102mm", "us"), count_words("50/102mm", "si"), count_words("WOH", "us")
    ('50/4"', '50/102', 'WOH')
    """
    found = _REFUSAL.fullmatch(count)
    if found is None:
        return count
    if units == "si":
        return f"{found[1]}/{found[2]}"
    return f"{found[1]}/{restore(float(found[2]), 'in', 'mm'):.1f}".removesuffix(".0") + '"'


def water(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> int:
    """Draw the water of each aquifer: its range as a bar, the likely level as a triangle, and return how many found no room."""
    levels = sorted(shaft.ground.water, key=lambda level: level.kind == "unread")
    lane = (width - LEVEL_WIDTH) / max(1, min(MOST_LANES, len(levels)))
    labels: list[tuple[float, str]] = []
    for index, level in enumerate(levels[:MOST_LANES]):
        _range(canvas, depths, level, x + lane * (index + 0.5))
        if level.likely_m is not None and abs(level.likely_m) < FARTHEST_M:
            words = write_number(level.likely_m, "m", depths.units)
            if all(words != label for _, label in labels):
                labels.append((depths.y(level.likely_m), words))
    labels.sort()
    places = spread([y - ROW / 2 for y, _ in labels], [ROW] * len(labels), depths.top, depths.base)
    for (_, words), place in zip(labels, places, strict=True):
        canvas.label(x + width - LEVEL_WIDTH + 3, place + 8.5, words, 9.0, fill=WATER)
    return max(0, len(levels) - MOST_LANES)


def _range(canvas: Canvas, depths: Depths, level: LogWater, x: float) -> None:
    high, low = depths.y(level.high_m), depths.y(level.low_m)
    dash: dict[str, str | float] = {"stroke_dasharray": "2 2"} if level.kind == "unread" else {}
    canvas.rect(x - 2, high, 4, low - high, fill="#cfe2f1", stroke=WATER, stroke_width=0.7, **dash)
    if level.likely_m is None or abs(level.likely_m) >= FARTHEST_M:
        return
    y = depths.y(level.likely_m)
    filled = "#fff" if level.kind == "unread" else WATER
    canvas.lines([(x - 4.5, y - 8), (x + 4.5, y - 8), (x, y)], closed=True, fill=filled, stroke=WATER, stroke_width=0.9)
    canvas.line((x - 5, y), (x + 5, y), stroke=WATER, stroke_width=1.2)


# ---- The swatches of a legend: every hatch that a canvas uses, with its words


def draw_swatches(canvas: Canvas, y: float, row: float) -> float:
    """Draw a swatch for every hatch used, from a height down in rows, and return the height of the last row; one for each word."""
    x, named = 4.0, dict[str, str]()
    for name in canvas.hatches:
        named.setdefault(HATCHES[name].words, name)
    for words, name in named.items():
        step = 24 + width_of(words, 9.2) + 12
        if x + step > WIDTH - 4:
            x, y = 4.0, y + row
        _swatch(canvas, x, y - 9, name)
        canvas.text(x + 24, y, words, 9.2)
        x += step
    return y


def _swatch(canvas: Canvas, x: float, y: float, name: str) -> None:
    """Draw a swatch whose hatch begins at its corner, so that its sign is not cut: tiles are counted from the corner of the canvas."""
    aside, down = x % HATCHES[name].width, y % HATCHES[name].height
    place = f"translate({aside:.2f} {down:.2f})"
    canvas.rect(x - aside, y - down, 20, 12, fill=canvas.hatch(name), stroke=INK, stroke_width=0.6, transform=place)


# ---- Columns of the strip that show the work: what holds the wall, how it is drilled, the shaft with casings and fluid, the window


WORK_ROW = 10.5
ROOM_OVER_WINDOW = 3 * WORK_ROW
"""What the words of a density window take over it; where another window stands so near, they stand below."""
WordsAt = Literal["above", "below", "nowhere"]
IN_STARTER = ("in the starter", "starter casing")
"""How a length in the starter is drilled, and what holds it."""
HATCH_WIDTH = 16.0
"""The hatched part of the band; its words stand beside it, on white."""
HOLE_SHARE = 0.5
"""Share of the shaft column that the widest casing takes; words stand beside it."""
CLEAR_OF_LINE = 9.0
"""So near to the line of the ground or of the drilling grade words go below it."""
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


def wall_runs(shaft: ShaftPlan) -> list[tuple[Interval, float]]:
    """Return the runs of what holds the wall when the tip is reached, each with its base."""
    return runs(shaft.built_intervals, lambda each: shaft.in_starter(each) or (each.support, each.fluid))


def wall_of(shaft: ShaftPlan, interval: Interval) -> str:
    """Name what holds the wall of an interval."""
    fluid = f" ({interval.fluid})" if interval.fluid else ""
    return IN_STARTER[1] if shaft.in_starter(interval) else SUPPORT_NAMES[interval.support] + fluid


def held(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> None:
    """Draw what holds the wall when the tip is reached; the left edge tells how sure it is."""
    for interval, base in wall_runs(shaft):
        fill = canvas.hatch("starter-casing" if shaft.in_starter(interval) else interval.support.replace("_", "-"))
        _band(canvas, depths, (interval.top_m, base), (x + HATCH_WIDTH, width - HATCH_WIDTH), wall_of(shaft, interval))
        top = depths.y(interval.top_m)
        canvas.rect(x, top, HATCH_WIDTH, depths.y(base) - top, fill=fill, stroke=INK, stroke_width=0.7)
    for interval, base in runs(shaft.intervals, lambda each: each.confidence):
        edge(canvas, x, (depths.y(interval.top_m), depths.y(base)), interval.confidence)


def edge(canvas: Canvas, x: float, ends: tuple[float, float], confidence: str) -> None:
    """Draw the edge of the band: how sure the answer is."""
    canvas.line((x, ends[0]), (x, ends[1]), stroke_width=3.0, stroke_dasharray=EDGE[confidence])


def drilled(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> None:
    """Draw the state in which every length is drilled."""
    for interval, base in runs(shaft.built_intervals, lambda each: shaft.in_starter(each) or each.drilled_in):
        words = IN_STARTER[0] if shaft.in_starter(interval) else STATE_SHORT.get(interval.drilled_in or "", "not decided")
        _band(canvas, depths, (interval.top_m, base), (x, width), words)


def _band(canvas: Canvas, depths: Depths, ends: tuple[float, float], place: tuple[float, float], words: str) -> None:
    """Draw a white box with words in the middle, where there is room for them."""
    x, width = place
    top, base = depths.y(ends[0]), depths.y(ends[1])
    canvas.rect(x, top, width, base - top, fill="#fff", stroke=INK, stroke_width=0.7)
    rows = wrap(words, width - 4, 9.0, max(1, min(3, int((base - top - 2) / WORK_ROW))))
    if base - top < WORK_ROW:
        return
    first = (top + base) / 2 - WORK_ROW * len(rows) / 2
    for index, row in enumerate(rows):
        canvas.text(x + width / 2, first + WORK_ROW * (index + 0.78), row, 9.0, text_anchor="middle")


def body(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> None:
    """Draw the hole with its fluid, casings, socket, bell, cut-off and tip; widths to one scale, wider than depths."""
    middle = x + width * 0.42
    wide = max([shaft.diameter_m, shaft.design.bell_diameter_m or 0.0, *(casing.outside_diameter_m for casing in shaft.casings)])
    scale = width * HOLE_SHARE / wide
    half = shaft.diameter_m * scale / 2
    _hole(canvas, depths, shaft, middle, scale)
    for number, casing in enumerate(shaft.casings, 1):
        _casing(canvas, depths, casing, middle, scale)
        left = middle - casing.outside_diameter_m * scale / 2
        number_mark(canvas, left - 8, depths.y(casing.base_m) - 8, number)
    _fluid(canvas, depths, shaft, middle, half)
    level = depths.y(shaft.cutoff_m)
    right = middle + width * HOLE_SHARE / 2 + 4
    canvas.line((middle - width * HOLE_SHARE / 2, level), (right, level), stroke=GREY, stroke_dasharray="6 2 1 2")
    beside = [line for line in (depths.y(0.0), depths.y(shaft.design.grade_m)) if abs(line - level) < CLEAR_OF_LINE]
    canvas.label(right + 2, max([level - 7, *beside]) + 10, "cut-off", 8.5, fill=GREY)
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
    """Draw each fluid in the hole while it is drilled, with the level of the first; levels stand in words below the strip."""
    for number, slurry in enumerate(shaft.slurries):
        top, base = depths.y(slurry.top_m if number else slurry.level_m), depths.y(slurry.base_m)
        canvas.rect(middle - half + 3, top, 2 * half - 6, base - top, fill=canvas.hatch("fluid"), stroke=WATER, stroke_width=0.5)
        if not number:
            canvas.lines([(middle - 5, top - 8), (middle + 5, top - 8), (middle, top)], closed=True, fill="#fff", stroke=WATER)


def windows(canvas: Canvas, depths: Depths, slurries: Sequence[Slurry], x: float, width: float) -> None:
    """Draw the density window over each length held by fluid; one that says the same as the one above it has no words of its own."""
    for above, slurry in zip((None, *slurries), slurries, strict=False):
        if above is not None and _window_of(above) == _window_of(slurry):
            words_at: WordsAt = "nowhere"
        else:
            near = above is not None and depths.y(slurry.top_m) - depths.y(above.base_m) < ROOM_OVER_WINDOW
            words_at = "below" if near else "above"
        _window(canvas, depths, slurry, (x, width), words_at)


def _window_of(slurry: Slurry) -> tuple[object, ...]:
    return slurry.fluid, slurry.density_min_kg_m3, slurry.density_max_kg_m3


def _window(canvas: Canvas, depths: Depths, slurry: Slurry, across: tuple[float, float], words_at: WordsAt) -> None:
    """Draw the density window over the length held by fluid: allowed from and to, with the aim."""
    x, width = across
    least, most = slurry.density_min_kg_m3, slurry.density_max_kg_m3
    if least is None or most is None:
        return
    top, base = depths.y(slurry.top_m), depths.y(slurry.base_m)
    low, high = min(least, most), max(least, most)
    margin = max(0.5 * (high - low), 15.0)
    scale = Across(low - margin, high + margin, x + 4, x + width - 4, "kg/m3", depths.units)
    canvas.rect(x, top, width, base - top, fill="#fff", stroke=GREY, stroke_width=0.6)
    if least <= most:
        left, right = scale.x(least), scale.x(most)
        canvas.rect(left, top, right - left, base - top, fill=canvas.hatch("band"), stroke=INK, stroke_width=0.8)
    if slurry.density_target_kg_m3 is not None:
        aim = scale.x(slurry.density_target_kg_m3)
        canvas.line((aim, top), (aim, base), stroke_dasharray="4 2", stroke_width=1.2)
    lower, upper = (write_number(value, "kg/m3", depths.units, "bare") for value in (least, most))
    rows = [f"{lower} to {upper}", scale.name] if least <= most else ["empty:", f"{lower} > {upper}", scale.name]
    first = base + WORK_ROW if words_at == "below" else top - 4 - WORK_ROW * (len(rows) - 1)
    for index, row in enumerate(rows if words_at != "nowhere" else ()):
        canvas.label(x + width / 2, first + WORK_ROW * index, row, 8.8, text_anchor="middle")
