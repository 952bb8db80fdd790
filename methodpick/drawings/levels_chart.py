"""The slurry window against the fluid level: what the ground leaves open, the planned point, the level that each fluid needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import inf

from methodpick.document.fluid_window import FLUID, LIGHTEST_KG_M3, turns
from methodpick.drawings.axes import LENGTH, Across, Depths, draw_across, draw_depths
from methodpick.drawings.canvas import GREY, INK, WATER, WIDTH, Point, Sheet
from methodpick.drawings.lettering import spread, wrap
from methodpick.plan.result import LevelAt, LevelNeeded, Slurry
from methodpick.unit_markup import System, say, spell

TOP, PLOT, BAR = 46.0, 250.0, 15.0
LEFT, RIGHT = 130.0, 594.0
ROW = 11.0
BESIDE = 140.0
"""The room of a label beside its sign."""
STEPS = 16
"""Places drawn between two levels, so that a bound that leaves the chart is cut at its edge."""
SHORT = "#e4e4e4"


@dataclass(frozen=True, slots=True)
class _Words:
    """Writes numbers for the sentences under the chart."""

    units: System

    def n(self, value: float | None, unit: str) -> str:
        return "-" if value is None else say(value, unit, self.units)


@dataclass(frozen=True, slots=True)
class _At:
    """The three bounds at a level, between the given levels drawn straight."""

    level_m: float
    hard: float
    wanted: float
    most: float


def draw_levels(sheet: Sheet, slurry: Slurry, units: System, start: float) -> float:
    """Draw level against density below ``start`` on a sheet and give where it ends; ``slurry`` has levels."""
    fluids = [one for one in slurry.needed if one.allowed or one.fluid == slurry.fluid]
    top, base = start + TOP, start + TOP + PLOT
    margin = 0.04 * (slurry.levels[-1].level_m - slurry.levels[0].level_m)
    depths = Depths(slurry.levels[0].level_m - margin, slurry.levels[-1].level_m + margin, top, base, units)
    across = _across(slurry, fluids, units)
    draw_across(sheet, across, top, base, "fluid density")
    draw_depths(sheet, depths, LEFT)
    sheet.text(4, top - 22, f"fluid level, {LENGTH[units]}", 10.5, font_weight="bold")
    for index, words in enumerate(("negative:", "above ground")):
        sheet.text(4, top + 4 + 11 * index, words, 9.0, fill=GREY)
    _open(sheet, depths, across, slurry.levels)
    if depths.shows(0.0):
        ground, over = depths.y(0.0), 0.0 < depths.y(0.0) - depths.y(slurry.level_m) < BAR
        sheet.line((LEFT, ground), (RIGHT, ground), stroke=GREY, stroke_width=1.0)
        sheet.label(RIGHT - 6, ground + (10 if over else -4), "ground", 9.0, text_anchor="end", fill=GREY)
    _heads(sheet, depths, slurry.levels, units)
    _needed(sheet, depths, across, fluids, depths.y(slurry.level_m))
    _planned(sheet, depths, across, slurry)
    sheet.rect(LEFT, top, RIGHT - LEFT, PLOT, stroke=INK, stroke_width=0.8)
    y = _specified(sheet, across, fluids, base)
    for text in _said(slurry, units):
        for row in wrap(spell(text, units), WIDTH - 12, 9.5, 4):
            y += 12.5
            sheet.text(6, y, row, 9.5)
    return y + 8


def _across(slurry: Slurry, fluids: Sequence[LevelNeeded], units: System) -> Across:
    """Return a scale that holds what the fluids may weigh and the point that is planned."""
    planned = next(level for level in slurry.levels if level.planned)
    wanted = (slurry.density_target_kg_m3, slurry.density_max_kg_m3, planned.density_min_kg_m3)
    most = max(value for value in (*wanted, *(one.density_high_kg_m3 for one in fluids)) if value is not None)
    least = min([LIGHTEST_KG_M3, *(one.density_low_kg_m3 for one in fluids)])
    room = 0.06 * (most - least) + 5.0
    return Across(least - room, most + room, LEFT, RIGHT, "kg/m3", units)


def _between(levels: Sequence[LevelAt]) -> list[_At]:
    def bounds(one: LevelAt) -> tuple[float, float, float]:
        hard = one.density_min_kg_m3 if one.density_min_kg_m3 is not None else inf if one.min_by else 0.0
        wanted = one.density_wanted_kg_m3 if one.density_wanted_kg_m3 is not None else hard
        return hard, max(hard, wanted), one.density_max_kg_m3 if one.density_max_kg_m3 is not None else inf

    found = []
    for one, other in pairwise(levels):
        here, there = bounds(one), bounds(other)
        for step in range(STEPS):
            share = step / STEPS
            mixed = (a if share == 0 or a == b else a + share * (b - a) for a, b in zip(here, there, strict=True))
            found.append(_At(one.level_m + share * (other.level_m - one.level_m), *mixed))
    last = levels[-1]
    return [*found, _At(last.level_m, *bounds(last))]


def _open(sheet: Sheet, depths: Depths, across: Across, levels: Sequence[LevelAt]) -> None:
    """Fill what is open at each level, and hatch what is open at the recommended factors too; line the bounds."""
    places = _between(levels)
    for fill, line in (
        (SHORT, [(one, one.hard, one.most) for one in places]),
        (sheet.hatch("band"), [(one, one.wanted, one.most) for one in places]),
    ):
        for is_open, run in groupby(line, key=lambda one: one[1] <= one[2] and one[1] <= across.high and one[2] >= across.low):
            kept = list(run)
            if is_open and len(kept) > 1:
                left = [(across.x(low), depths.y(at.level_m)) for at, low, _ in kept]
                right = [(across.x(high), depths.y(at.level_m)) for at, _, high in kept]
                sheet.lines([*left, *reversed(right)], closed=True, fill=fill, stroke="none")
    for name, wide, dash in (("hard", 1.6, "none"), ("wanted", 1.1, "2 2"), ("most", 1.6, "none")):
        for piece in _cut([(getattr(one, name), one.level_m) for one in places], across.low, across.high):
            sheet.lines([(across.x(value), depths.y(level)) for value, level in piece], stroke_width=wide, stroke_dasharray=dash)


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


def _heads(sheet: Sheet, depths: Depths, levels: Sequence[LevelAt], units: System) -> None:
    """Write the head over the groundwater at each level, and where it breaks the head rule."""
    shown = [one for one in levels if one.head_m is not None]
    for index, words in enumerate(("head over", "groundwater") if shown else ()):
        sheet.text(RIGHT + 6, depths.top - 22 + 11 * index, words, 9.5, font_weight="bold")
    wanted = [depths.y(one.level_m) - ROW / 2 for one in shown]
    for one, y in zip(shown, spread(wanted, [ROW] * len(shown), depths.top - 4, depths.base + 12), strict=True):
        at = depths.y(one.level_m)
        sheet.line((RIGHT, at), (RIGHT + 4, at), stroke_width=0.7)
        words = f"{say(one.head_m or 0.0, 'm', units)}{'' if one.head_kept else ', too low'}"
        sheet.text(RIGHT + 6, y + 8.6, words, 9.0, font_weight="bold" if one.planned else "normal", fill=INK if one.head_kept else GREY)


def _needed(sheet: Sheet, depths: Depths, across: Across, fluids: Sequence[LevelNeeded], planned: float) -> None:
    """Draw the level, and write the head, that each fluid needs at its usual density; ``planned`` is where a line runs already."""
    found = [(one, across.x(one.density_kg_m3), depths.y(one.level_m)) for one in fluids if one.level_m is not None and one.allowed]
    for one, x, y in found:
        kind, metres = ("level", one.level_m) if one.head_m is None else ("head", one.head_m)
        near = [left for _, left, other in found if left != x and abs(left - x) < BESIDE and abs(other - y) < BAR]
        at = planned + BAR if abs(y - planned) < BAR else y + (3.0 if not near else 13.0 if min(near) < x else -7.0)
        at = min(max(at, depths.top + 10), depths.base - 4)
        sheet.label(x + 8, at, f"{one.fluid} needs a {kind} of {say(metres or 0.0, 'm', across.units)}", 9.0, fill=WATER)
    for one, x, y in found:
        up = 1.0 if (one.level_m or 0.0) < depths.top_m else -1.0
        shape = _diamond(x, y) if depths.shows(one.level_m or 0.0) else [(x - 4, y + 6 * up), (x, y), (x + 4, y + 6 * up)]
        sheet.lines(shape, closed=True, fill="#fff", stroke=WATER, stroke_width=1.2)


def _diamond(x: float, y: float) -> list[Point]:
    return [(x - 5, y), (x, y - 5), (x + 5, y), (x, y + 5)]


def _planned(sheet: Sheet, depths: Depths, across: Across, slurry: Slurry) -> None:
    y = depths.y(slurry.level_m)
    sheet.line((LEFT, y), (RIGHT, y), stroke=WATER, stroke_width=1.2)
    if slurry.density_target_kg_m3 is None:
        at = y - 4 if y - 16 > depths.top else y + 13
        sheet.label(RIGHT - 6, at, "planned level: no density is open", 9.5, text_anchor="end", font_weight="bold")
        return
    x = across.x(slurry.density_target_kg_m3)
    sheet.circle((x, y), 4.5, fill=INK)
    words = f"planned: {say(slurry.density_target_kg_m3, 'kg/m3', across.units)}"
    sheet.label(
        x + 8 if x < (LEFT + RIGHT) / 2 else x - 8,
        y - 6 if y - 18 > depths.top else y + 14,
        words,
        9.5,
        text_anchor="start" if x < (LEFT + RIGHT) / 2 else "end",
        font_weight="bold",
    )


def _specified(sheet: Sheet, across: Across, fluids: Sequence[LevelNeeded], base: float) -> float:
    """Draw under the chart what each fluid may weigh by the specification, with its usual density as a tick."""
    y = base + 6
    for one in fluids:
        middle = y + BAR / 2
        left, right = across.x(one.density_low_kg_m3), across.x(one.density_high_kg_m3)
        sheet.text(LEFT - 8, middle + 3, FLUID[one.fluid], 9.2, text_anchor="end")
        sheet.rect(left, middle - 3, right - left, 6, fill="#fff", stroke=INK, stroke_width=0.8)
        sheet.line((across.x(one.density_kg_m3), middle - 5), (across.x(one.density_kg_m3), middle + 5), stroke=WATER, stroke_width=1.6)
        y += BAR
    return y + 4


def _said(slurry: Slurry, units: System) -> list[str]:
    key = (
        "Hatched: open to the ground at the recommended factors. Grey: open, but short of them. Solid lines: the bounds that nobody "
        "passes; dotted: the recommended one. Diamonds: the level that a fluid needs at its usual density (a triangle where it lies "
        "beyond the chart). Bars: what the specification lets each fluid weigh, its usual density ticked."
    )
    return [key, *turns(slurry.levels, _Words(units))]
