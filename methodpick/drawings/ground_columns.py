"""Columns of the strip that show the ground: layers with their words, penetration tests, water."""

from __future__ import annotations

import re

from methodpick.drawings.axes import Depths
from methodpick.drawings.canvas import GREY, INK, WATER, Canvas
from methodpick.drawings.hatching import hatch_of
from methodpick.drawings.lettering import shorten, spread, wrap
from methodpick.plan.result import LogLayer, LogWater, ShaftPlan
from methodpick.unit_markup import write_number
from methodpick.units import restore

ROW = 11.0
FULL_BAR = 50.0
"""Blows that fill the column: refusal by the usual counting (common practice)."""
MOST_LANES = 4
FARTHEST_M = 100.0
"""Water levels farther out are open ends of what is possible, not levels."""
_REFUSAL = re.compile(r"(\d+)/(\d+)mm")


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
    name = hatch_of(layer.soil_class, layer.description, layer.symbol)
    canvas.rect(x, top, width, base - top, fill=canvas.hatch(name), stroke=INK, stroke_width=0.8)
    if name == "void":
        canvas.line((x, top), (x + width, base))
        canvas.line((x, base), (x + width, top))


def described(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> int:
    """Write the layers' words beside them, moved apart where they are thin, and return how many found no room."""
    size = 9.0
    shown = [layer for layer in shaft.ground.layers if depths.shows(layer.top_m) and layer.top_m < depths.base_m]
    rows = int((depths.base - depths.top) / ROW)
    room = max(0, len(shown) - rows)
    shown = shown[:rows]
    each = max(1, min(6, rows // max(1, len(shown))))
    texts = []
    for layer in shown:
        words = layer.description or layer.soil_class.replace("_", " ")
        least = max(each, int((depths.y(layer.base_m) - depths.y(layer.top_m)) / ROW))
        texts.append(wrap(f"{words} ({layer.symbol})" if layer.symbol.isupper() else words, width - 12, size, min(6, least)))
    while sum(map(len, texts)) > rows:
        longest = max(range(len(texts)), key=lambda index: len(texts[index]))
        texts[longest] = [*texts[longest][:-2], shorten(" ".join(texts[longest][-2:]) + " ...", width - 12, size)]
    heights = [len(text) * ROW for text in texts]
    places = spread([depths.y(layer.top_m) + 1 for layer in shown], heights, depths.top, depths.base)
    for layer, text, place in zip(shown, texts, places, strict=True):
        y = depths.y(layer.top_m)
        canvas.lines([(x, y), (x + 3, y), (x + 9, place + 1), (x + width, place + 1)], stroke=GREY, stroke_width=0.5)
        for index, row in enumerate(text):
            canvas.text(x + 11, place + (index + 0.8) * ROW, row, size)
    return room


def blows(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> None:
    """Draw the penetration tests: the count, where there is room for it, and a bar as long as the count."""
    bars = x + width * 0.56
    canvas.line((bars, depths.top), (bars, depths.base), stroke=GREY, stroke_width=0.5)
    last = -ROW
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
            canvas.text(bars - 3, y + 3.2, _count(count, depths), 9.0, text_anchor="end")
            last = y


def _count(count: str, depths: Depths) -> str:
    """Write a refusal with its penetration in the reader's units."""
    found = _REFUSAL.fullmatch(count)
    if found is None:
        return shorten(count, 40, 9.0)
    if depths.units == "si":
        return f"{found[1]}/{found[2]}"
    return f"{found[1]}/{restore(float(found[2]), 'in', 'mm'):.1f}".removesuffix(".0") + '"'


def water(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> int:
    """Draw the water of each aquifer: its range as a bar, the likely level as a triangle, and return how many found no room."""
    levels = sorted(shaft.ground.water, key=lambda level: level.kind == "unread")
    lane = width / max(1, min(MOST_LANES, len(levels)))
    labels: list[tuple[float, str]] = []
    for index, level in enumerate(levels[:MOST_LANES]):
        _range(canvas, depths, level, x + lane * index + min(9.0, lane / 2))
        if level.likely_m is not None and abs(level.likely_m) < FARTHEST_M:
            words = write_number(level.likely_m, "m", depths.units)
            if all(words != label for _, label in labels):
                labels.append((depths.y(level.likely_m), words))
    labels.sort()
    places = spread([y + 3 for y, _ in labels], [ROW] * len(labels), depths.top, depths.base)
    for (_, words), place in zip(labels, places, strict=True):
        canvas.label(x + width - 1, place + 9, words, 9.0, text_anchor="end", fill=WATER)
    return max(0, len(levels) - MOST_LANES)


def _range(canvas: Canvas, depths: Depths, level: LogWater, x: float) -> None:
    high, low = depths.y(level.high_m), depths.y(level.low_m)
    dash: dict[str, str | float] = {"stroke_dasharray": "2 2"} if level.kind == "unread" else {}
    canvas.rect(x - 2.5, high, 5, low - high, fill="#cfe2f1", stroke=WATER, stroke_width=0.7, **dash)
    if level.likely_m is None or abs(level.likely_m) >= FARTHEST_M:
        return
    y = depths.y(level.likely_m)
    filled = "#fff" if level.kind == "unread" else WATER
    canvas.lines([(x - 5.5, y - 9), (x + 5.5, y - 9), (x, y)], closed=True, fill=filled, stroke=WATER, stroke_width=0.9)
    canvas.line((x - 7, y), (x + 7, y), stroke=WATER, stroke_width=1.2)
