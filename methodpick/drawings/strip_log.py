"""The strip log of a shaft: ground, tests, water, method, casings, fluid and window against one depth scale."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.drawings import ground_columns, shaft_columns
from methodpick.drawings.axes import LENGTH, Depths, draw_depths, draw_elevations
from methodpick.drawings.canvas import GREY, WATER, WIDTH, Sheet
from methodpick.drawings.lettering import wrap
from methodpick.drawings.swatches import draw_swatches
from methodpick.plan.result import ShaftPlan
from methodpick.unit_markup import System, say

HEAD = 44.0
LEAST_PLOT, MOST_PLOT = 490.0, 660.0
GAP = 8.0
BELOW = 0.1
"""Share of the shaft's length that is shown below its tip."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the strip: what stands over it, and its place."""

    title: tuple[str, ...]
    x: float
    width: float


def draw_strip(shaft: ShaftPlan, units: System, prefix: str = "a") -> str:
    """Draw the strip of a shaft in the reader's units, as SVG.

    Depth 0 is the ground at the shaft, over water the mudline.
    """
    depths = _scale(shaft, units)
    columns = _columns(shaft, units)
    legend = _legend(shaft, units)
    sheet = Sheet(depths.base, f"Strip log of shaft {shaft.id}", prefix)
    right = columns["depth"].x + columns["depth"].width
    draw_depths(sheet, depths, right, grid_to=WIDTH - 2)
    if depths.elevation_m is not None:
        draw_elevations(sheet, depths, columns["elevation"].x + columns["elevation"].width)
    notes = _fill(sheet, depths, shaft, columns)
    _ground_line(sheet, depths, shaft, right)
    for column in columns.values():
        for index, row in enumerate(column.title):
            sheet.text(column.x + column.width / 2, 14 + 11 * index, row, 9.5, text_anchor="middle", font_weight="bold")
    base = _swatches(sheet, depths.base + 30)
    rows = [row for text in (*legend, *notes) for row in wrap(text, WIDTH - 8, 9.2, 3)]
    for index, row in enumerate(rows):
        sheet.text(4, base + 12 * (index + 1), row, 9.2)
    sheet.height = base + 12 * len(rows) + 8
    return sheet.svg()


def _scale(shaft: ShaftPlan, units: System) -> Depths:
    tops = [0.0, shaft.design.grade_m, *(casing.top_m for casing in shaft.casings)]
    if shaft.fluid_level_m is not None:
        tops.append(shaft.fluid_level_m)
    tops += [one.high_m for one in shaft.ground.water if -ground_columns.FARTHEST_M < one.high_m < 0.0]
    top = min(tops)
    base = shaft.tip_depth_m + BELOW * (shaft.tip_depth_m - top)
    plot = min(MOST_PLOT, max(LEAST_PLOT, 34.0 * len(shaft.ground.layers)))
    return Depths(top - 0.02 * (base - top), base, HEAD, HEAD + plot, units, shaft.ground.ground_elevation_m)


def _columns(shaft: ShaftPlan, units: System) -> dict[str, Column]:
    """Place the columns; the words of the layers take what the others leave."""
    unit = LENGTH[units]
    wanted: list[tuple[str, tuple[str, ...], float]] = [
        ("elevation", ("elev.", unit), 40.0 if shaft.ground.ground_elevation_m is not None else 0.0),
        ("depth", ("depth", unit), 38.0),
        ("ground", ("ground",), 42.0),
        ("words", ("as logged",), 0.0),
        ("blows", ("N", "blows"), 58.0),
        ("water", ("water", unit), 60.0),
        ("held", ("wall", "held by"), 66.0),
        ("drilled", ("drilled",), 58.0),
        ("shaft", ("shaft",), 108.0),
        ("window", ("density",), 62.0 if shaft.slurry is not None else 0.0),
    ]
    kept = [one for one in wanted if one[2] or one[0] == "words"]
    free = WIDTH - 4 - sum(width for _, _, width in kept) - GAP * (len(kept) - 1)
    found, x = {}, 0.0
    for name, title, width in kept:
        found[name] = Column(title, x, width or free)
        x += (width or free) + (0.0 if name == "ground" else GAP)
    return found


def _fill(sheet: Sheet, depths: Depths, shaft: ShaftPlan, columns: dict[str, Column]) -> list[str]:
    """Draw every column; give what found no room, in words."""
    place = {name: (column.x, column.width) for name, column in columns.items()}
    ground_columns.hatched(sheet, depths, shaft, *place["ground"])
    no_words = ground_columns.described(sheet, depths, shaft, *place["words"])
    ground_columns.blows(sheet, depths, shaft, *place["blows"])
    no_water = ground_columns.water(sheet, depths, shaft, *place["water"])
    shaft_columns.held(sheet, depths, shaft, *place["held"])
    shaft_columns.drilled(sheet, depths, shaft, *place["drilled"])
    shaft_columns.body(sheet, depths, shaft, *place["shaft"])
    if shaft.slurry is not None:
        shaft_columns.window(sheet, depths, shaft.slurry, *place["window"])
    notes = [f"{no_words} layers have no room for their words."] if no_words else []
    return [*notes, f"{no_water} more aquifers without a reading of their own are not drawn."] if no_water else notes


def _ground_line(sheet: Sheet, depths: Depths, shaft: ShaftPlan, left: float) -> None:
    """Draw the ground (over water the mudline) and the drilling grade across the sheet."""
    y = depths.y(0.0)
    sheet.line((left, y), (WIDTH - 2, y), stroke_width=1.4)
    over = bool(shaft.design.water_depth_m)
    grade, words = shaft.design.grade_m, "mudline" if over else "ground"
    level = depths.y(grade)
    if abs(grade) > 0.02:
        sheet.line((left, level), (WIDTH - 2, level), stroke=GREY, stroke_dasharray="8 3")
        away = f"{say(abs(grade), 'm', depths.units)} {'above' if grade < 0 else 'below'} the {words}"
        sheet.label(left + 52, min(level, y) - 3 if grade < 0 else level - 3, f"drilling grade {away}", 8.8, fill=GREY)
    if abs(level - y) > 13 or abs(grade) <= 0.02:
        sheet.label(left + 52, y - 3, words, 8.8)
    end = shaft.ground.end_m
    if depths.shows(end):
        sheet.label(left + 50, depths.y(end) + 9, f"boring ends {say(end, 'm', depths.units)}", 8.8)


def _swatches(sheet: Sheet, y: float) -> float:
    """Draw a swatch for every hatch used, and give where the legend ends."""
    y = draw_swatches(sheet, y, 18)
    y += 18
    sheet.lines([(4, y - 9), (15, y - 9), (9.5, y)], closed=True, fill=WATER, stroke=WATER)
    sheet.text(24, y, "water at its likely level, bar: its range (hollow, dashed: not read)", 9.2)
    for start, confidence in ((390.0, "firm"), (460.0, "conditional"), (570.0, "undecided")):
        shaft_columns.edge(sheet, start, (y - 9, y + 2), confidence)
        sheet.text(start + 6, y, confidence, 9.2)
    return y + 4


def _legend(shaft: ShaftPlan, units: System) -> list[str]:
    """Write the casings by their numbers, and what else the drawing cannot say."""
    rows = []
    for number, one in enumerate(shaft.casings, 1):
        size = f"{say(one.outside_diameter_m, 'size', units)} x {say(one.wall_m, 'wall', units)}"
        sealed = f", sealed: {one.sealed}" if one.kind != "starter" else ""
        rows.append(f"Casing {number}: {one.kind}, {size}, {say(one.top_m, 'm', units)} to {say(one.base_m, 'm', units)}{sealed}.")
    rows.append(
        f"Boring {shaft.boring}, ends at {say(shaft.ground.end_m, 'm', units)}. Depths run down from the "
        f"{'mudline' if shaft.design.water_depth_m else 'ground'}; widths of the shaft are drawn wider than depths. Solid casing "
        "stays, hollow casing is pulled."
    )
    return rows
