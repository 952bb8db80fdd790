"""The site section: the shafts of a file side by side against elevation, bent by bent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate, pairwise

from methodpick.drawings.canvas import (
    BOLD,
    GREY,
    INK,
    PALE,
    WATER,
    Canvas,
    Depths,
    draw_depths,
    draw_elevations,
    shorten,
    spread,
    wrap,
    wrap_name,
)
from methodpick.drawings.strip_columns import FARTHEST_M, draw_swatches, hatched
from methodpick.drawings.structure_line import StructureLine
from methodpick.errors import InputError, Problem
from methodpick.ground.position import on_local_plane
from methodpick.plan.result import ShaftPlan
from methodpick.records import record
from methodpick.terms import SUPPORT_NAMES, UnitSystem
from methodpick.unit_markup import NumberWriter
from methodpick.units import write_number

HEAD, PLOT, FOOT = 84.0, 330.0, 26.0
HEAD_ROW = 11.0
LEFT, RIGHT = 52.0, 690.0
MOST = 8
"""Shafts in one row; more go into further rows."""
GROUND_WIDTH = 20.0
ALONE = 130.0
"""How far right of the axis a shaft stands that is alone in its row: its ground is told beside it."""
APART, OF_WORDS = 0.9, 0.8
"""Shares of the room of one of evenly placed shafts: how near two may stand, and how wide the words over each may be."""
BROAD = ((1, 3.0), (3, 2.0), (MOST, 1.0))
"""Up to so many shafts in a row, how much broader than in a full one they are drawn."""
PLATFORM = 22.0
"""How far the line of the drilling grade goes beyond the middle of a shaft, away from its ground."""
CAP = 5.0
KEY = (
    "At the left of each shaft the ground of its boring; what lies between the borings is not known and not drawn. A diamond marks the "
    "tip of the deepest casing; solid casing stays, hollow casing is pulled; dashed lines are the hole, the triangle is the likely water."
)


@record
class SectionRow:
    """One row of the section: its shafts from left to right, the middle of each, and the scale down the canvas."""

    shafts: tuple[ShaftPlan, ...]
    line: StructureLine
    middles: tuple[float, ...]
    scale: Depths
    datum_m: float | None

    @property
    def broad(self) -> float:
        """Return how much broader than one of many its shafts are drawn."""
        return next(broad for most, broad in BROAD if len(self.shafts) <= most)

    def shift(self, shaft: ShaftPlan) -> float:
        """Return what turns a depth at the shaft into a depth on the scale."""
        ground = shaft.ground.ground_elevation_m
        return 0.0 if self.datum_m is None or ground is None else self.datum_m - ground

    def y(self, shaft: ShaftPlan, depth_m: float) -> float:
        """Return the place of a depth at a shaft."""
        return self.scale.y(depth_m + self.shift(shaft))


def draw_section(shafts: Sequence[ShaftPlan], units: UnitSystem, prefix: str = "a") -> str:
    """Draw the shafts side by side, as SVG: against elevation where every ground level is known, else against depth.

    Raises InputError where there is no shaft.
    """
    if not shafts:
        raise InputError(Problem("there is no shaft to draw a section of"))
    shafts = _on_one_plane(shafts)
    line = StructureLine.through(shafts)
    rows = line.rows(line.ordered(shafts), MOST)
    canvas = Canvas(0.0, "Site section", prefix)
    head = HEAD + HEAD_ROW * max(len(_name_rows(shaft, _room(row))) - 1 for row in rows for shaft in row)
    y = 0.0
    laid_out = [_laid_out(row, line, units, head + index * (head + PLOT + FOOT)) for index, row in enumerate(rows)]
    for row in laid_out:
        _row(canvas, row, row.scale.top - head)
        y = row.scale.base + FOOT
    canvas.says = _in_words(laid_out)
    _key(canvas, y + 14, [KEY, *_notes(shafts), _how_apart(shafts, line)])
    return canvas.svg()


def _notes(shafts: Sequence[ShaftPlan]) -> list[str]:
    """Return what a section of these shafts has to say besides."""
    known = all(shaft.ground.ground_elevation_m is not None for shaft in shafts)
    graded = any(shaft.design.grade_m for shaft in shafts)
    return [
        *(["A dashed level line across a casing is the drilling grade."] if graded else []),
        *([] if known else ["A ground level is not known, so depths below the ground are drawn, not elevations."]),
    ]


def _on_one_plane(shafts: Sequence[ShaftPlan]) -> Sequence[ShaftPlan]:
    """Return shafts of which all have latitude and longitude, and not all a grid, on a plane of their own; others as they are."""
    places = [
        (shaft.design.latitude_deg, shaft.design.longitude_deg)
        for shaft in shafts
        if shaft.design.latitude_deg is not None and shaft.design.longitude_deg is not None
    ]
    if len(places) < len(shafts) or all(shaft.design.east_m is not None for shaft in shafts):
        return shafts
    plane = on_local_plane(places)
    return [
        replace(shaft, design=replace(shaft.design, east_m=east, north_m=north)) for shaft, (east, north) in zip(shafts, plane, strict=True)
    ]


def _laid_out(shafts: Sequence[ShaftPlan], line: StructureLine, units: UnitSystem, top: float) -> SectionRow:
    """Place the shafts across and find the scale that holds all of them."""
    grounds = [shaft.ground.ground_elevation_m for shaft in shafts]
    known = [ground for ground in grounds if ground is not None]
    datum = max(known) if len(known) == len(grounds) else None
    room = (RIGHT - LEFT) / len(shafts)
    wanted = [LEFT + room * index for index in range(len(shafts))]
    if line.placed and len(shafts) > 1:
        along = list(accumulate(line.steps_m(shafts), initial=0.0))
        wanted = [LEFT + (RIGHT - LEFT - room) * value / max(along[-1], 1e-9) for value in along]
    middles = tuple(left + room / 2 for left in spread(wanted, [room * APART] * len(shafts), LEFT, RIGHT))
    middles = middles if len(shafts) > 1 else (LEFT + ALONE,)
    row = SectionRow(tuple(shafts), line, middles, Depths(0.0, 1.0, top, top + PLOT, units, datum), datum)
    tops = [row.shift(shaft) + min([0.0, shaft.design.grade_m, *(casing.top_m for casing in shaft.casings)]) for shaft in shafts]
    base = max(row.shift(shaft) + shaft.tip_depth_m for shaft in shafts)
    margin = 0.04 * (base - min(tops))
    return replace(row, scale=Depths(min(tops) - margin, base + 2 * margin, top, top + PLOT, units, datum))


def _row(canvas: Canvas, row: SectionRow, top: float) -> None:
    if row.datum_m is None:
        draw_depths(canvas, row.scale, LEFT - 8, grid_to=RIGHT)
    else:
        draw_elevations(canvas, row.scale, LEFT - 8)
    canvas.text(
        4,
        row.scale.top - 8,
        f"{'depth' if row.datum_m is None else 'elevation'}, {NumberWriter(row.scale.units).unit('m')}",
        10.0,
        font_weight="bold",
    )
    ground = [(middle, row.y(shaft, 0.0)) for shaft, middle in zip(row.shafts, row.middles, strict=True)]
    canvas.lines([(LEFT - 8, ground[0][1]), *ground, (RIGHT, ground[-1][1])], stroke_width=1.4)
    for shaft, middle in zip(row.shafts, row.middles, strict=True):
        _shaft(canvas, row, shaft, middle)
        _heading(canvas, row, shaft, middle, top)
    if len(row.shafts) == 1:
        _ground_in_words(canvas, row)
    _casing_tips(canvas, row)
    _caps(canvas, row)
    _distances(canvas, row)


def _casing_tips(canvas: Canvas, row: SectionRow) -> None:
    """Mark the tip of the deepest casing of each shaft; what lies between two shafts is not known, so nothing joins them."""
    for shaft, middle in zip(row.shafts, row.middles, strict=True):
        if shaft.casings:
            x, y = middle + 12 * row.broad, row.y(shaft, max(casing.base_m for casing in shaft.casings))
            canvas.lines([(x - 4, y), (x, y - 4), (x + 4, y), (x, y + 4)], closed=True, fill=INK)


def _caps(canvas: Canvas, row: SectionRow) -> None:
    """Draw a cap over the shafts of each bent, so that columns across the line are not read as standing along it."""
    middles = {shaft.id: middle for shaft, middle in zip(row.shafts, row.middles, strict=True)}
    for bent in row.line.bents(row.shafts):
        if len(bent) > 1:
            tops = [row.y(shaft, min([0.0, *(casing.top_m for casing in shaft.casings)])) for shaft in bent]
            left, right = (middles[shaft.id] + 12 * row.broad for shaft in (bent[0], bent[-1]))
            beyond = 14 * row.broad
            canvas.rect(left - beyond, min(tops) - CAP - 3, right - left + 2 * beyond, CAP, fill=PALE, stroke=INK, stroke_width=0.7)


def _heading(canvas: Canvas, row: SectionRow, shaft: ShaftPlan, middle: float, top: float) -> None:
    room = _room(row.shafts)
    casing = max((casing.base_m for casing in shaft.casings), default=None)
    name = _name_rows(shaft, room)
    lines = [
        *name,
        write_number(shaft.diameter_m, "size", row.scale.units),
        *wrap(SUPPORT_NAMES[shaft.method], room, 9.2, 2),
        *([] if casing is None else [f"casing {_level(shaft, casing, row)}"]),
        f"tip {_level(shaft, shaft.tip_depth_m, row)}",
    ]
    for index, words in enumerate(lines):
        weight = "bold" if index < len(name) else "normal"
        canvas.text(middle, top + 12 + HEAD_ROW * index, shorten(words, room, 9.2), 9.2, text_anchor="middle", font_weight=weight)


def _room(shafts: Sequence[ShaftPlan]) -> float:
    """Return the width of the words over one of the shafts of a row."""
    return (RIGHT - LEFT) / len(shafts) * OF_WORDS if len(shafts) > 1 else 300.0


def _name_rows(shaft: ShaftPlan, room: float) -> list[str]:
    """Return the name of a shaft, with how many it stands for, over two lines at the most."""
    return wrap_name(shaft.id + (f" x {shaft.count}" if shaft.count > 1 else ""), room / BOLD, 9.2, 2)


def _in_words(rows: Sequence[SectionRow]) -> str:
    """Describe what the section shows to those who do not see it: each shaft with its method, the tips of its casing and of itself."""
    told = []
    for row in rows:
        for shaft in row.shafts:
            casing = [f"casing to {_level(shaft, max(string.base_m for string in shaft.casings), row)}"] if shaft.casings else []
            size = write_number(shaft.diameter_m, "size", row.scale.units)
            tip = f"tip {_level(shaft, shaft.tip_depth_m, row)}"
            told.append(f"{shaft.id} ({', '.join([size, SUPPORT_NAMES[shaft.method], *casing, tip])})")
    what = "depth" if rows[0].datum_m is None else "elevation"
    return f"Shafts from left to right, levels by {what} in {NumberWriter(rows[0].scale.units).unit('m')}: {'; '.join(told)}."


def _shaft(canvas: Canvas, row: SectionRow, shaft: ShaftPlan, middle: float) -> None:
    """Draw the ground at the boring at the left, the shaft with its casings at the right."""
    shift, scale = row.shift(shaft), row.scale
    own = replace(scale, top_m=scale.top_m - shift, base_m=scale.base_m - shift)
    shown = replace(own, base_m=shaft.tip_depth_m, base=own.y(shaft.tip_depth_m))
    broad, axis = row.broad, middle + 12 * row.broad
    hatched(canvas, shown, shaft, middle - 26 * broad, GROUND_WIDTH * broad)
    widest = max([shaft.diameter_m, *(casing.outside_diameter_m for casing in shaft.casings)])
    half = 9.0 * broad * shaft.diameter_m / widest
    ground, tip = own.y(0.0), own.y(shaft.tip_depth_m)
    canvas.rect(axis - half, ground, 2 * half, tip - ground, fill="#fff", stroke=INK, stroke_width=0.8, stroke_dasharray="4 2")
    if shaft.design.grade_m:
        grade = own.y(shaft.design.grade_m)
        canvas.line((axis - 14.0 * broad, grade), (axis + PLATFORM * broad, grade), stroke=GREY, stroke_dasharray="8 3")
    for casing in shaft.casings:
        top, base = own.y(casing.top_m), own.y(casing.base_m)
        for side in (-1.0, 1.0):
            edge = axis + side * 9.0 * broad * casing.outside_diameter_m / widest
            fill = INK if casing.kind == "permanent" else "#fff"
            canvas.rect(edge - 0.9, top, 1.8, base - top, fill=fill, stroke=INK, stroke_width=0.7)
    for water in shaft.ground.water[:1]:
        if water.likely_m is not None and abs(water.likely_m) < FARTHEST_M:
            y = own.y(water.likely_m)
            x = middle - 26 * broad - 6
            canvas.lines([(x - 4, y - 7), (x + 4, y - 7), (x, y)], closed=True, fill=WATER, stroke=WATER)


def _ground_in_words(canvas: Canvas, row: SectionRow) -> None:
    """Write the layers of a shaft that is alone in its row beside it, each with the level of its top, there or as near as there is room."""
    (shaft,), left = row.shafts, row.middles[0] + 36 * row.broad
    layers = [layer for layer in shaft.ground.layers if layer.top_m < shaft.tip_depth_m]
    ground, base = row.y(shaft, 0.0) + 2, row.scale.base
    if len(layers) > int((base - ground) / HEAD_ROW):
        # Of more layers than there are lines the thick ones are named; the strip has them all.
        base -= HEAD_ROW
        thickest = sorted(layers, key=lambda layer: layer.top_m - layer.base_m)[: int((base - ground) / HEAD_ROW)]
        canvas.label(left, base + 9, f"{len(layers) - len(thickest)} thin layers are not named", 9.2)
        layers = [layer for layer in layers if layer in thickest]
    told = [f"{_level(shaft, layer.top_m, row)}  {layer.description}" for layer in layers]
    wrapped = [[wrap(text, RIGHT - left - 14, 9.2, lines) for text in told] for lines in (2, 1)]
    words = next((rows for rows in wrapped if HEAD_ROW * sum(map(len, rows)) <= base - ground), wrapped[-1])
    gap = min(4.0, (base - ground - HEAD_ROW * sum(map(len, words))) / len(words))
    heights = [HEAD_ROW * len(rows) + gap for rows in words]
    for place, rows in zip(spread([row.y(shaft, layer.top_m) for layer in layers], heights, ground, base), words, strict=True):
        for index, line in enumerate(rows):
            canvas.label(left, place + 9 + 11 * index, line, 9.2)


def _level(shaft: ShaftPlan, depth_m: float, row: SectionRow) -> str:
    """Write a level as the scale of the row has it, whose unit stands above it."""
    ground = shaft.ground.ground_elevation_m
    known = row.datum_m is not None and ground is not None
    return write_number(ground - depth_m if known and ground is not None else depth_m, "m", row.scale.units, "bare")


def _distances(canvas: Canvas, row: SectionRow) -> None:
    """Write how far the shafts of a bent, and the bents, stand apart."""
    if not row.line.placed:
        return
    y = row.scale.base + 12
    bent_of = [index for index, bent in enumerate(row.line.bents(row.shafts)) for _ in bent]
    steps = zip(row.line.steps_m(row.shafts), pairwise(bent_of), pairwise(row.middles), strict=True)
    for apart, (bent, other), (left, right) in steps:
        across = bent == other
        canvas.line((left, y), (right, y), stroke=GREY, stroke_dasharray="none" if across else "6 4")
        for x in (left, right):
            canvas.line((x, y - 4), (x, y + 4), stroke=GREY)
        words = write_number(apart, "m", row.scale.units)
        canvas.label((left + right) / 2, y + 3, words, 8.6, text_anchor="middle", fill=GREY)


def _how_apart(shafts: Sequence[ShaftPlan], line: StructureLine) -> str:
    """Describe how the distances between the shafts are drawn; nothing for a single one."""
    if len(shafts) < 2:
        return ""
    if not line.placed:
        return "The file gives no positions: the shafts stand in its order, not to scale across."
    if all(len(bent) == 1 for bent in line.bents(line.ordered(shafts))):
        return "Dashed distances lead along the line, to scale where there is room."
    return (
        "Shafts under one cap are columns of a bent: a solid distance lies across the line, a dashed one leads along it to the next bent. "
        "Both are to scale where there is room."
    )


def _key(canvas: Canvas, y: float, texts: Sequence[str]) -> None:
    y = draw_swatches(canvas, y, 17) + 6
    for text in filter(None, texts):
        y = canvas.paragraph(y, text)
    canvas.height = y + 10
