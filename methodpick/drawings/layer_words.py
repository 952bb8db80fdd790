"""The words of the layers beside a strip log: as the log has them, moved apart where layers are thin, never on each other."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.drawings.canvas import GREY, Canvas, Depths, shorten, spread, wrap
from methodpick.plan.result import LogLayer, ShaftPlan
from methodpick.records import record
from methodpick.units import write_number

ROW = 11.0
SIZE = 9.0
MOST_ROWS = 6
"""Rows of one layer, where it is not as high as more."""
ASIDE = 12.0
"""From the edge of the column to the words: room for their leader."""
FAR_ASIDE = 6 * ROW
"""So far from the top of their layer words have no leader, which would be one of a bundle."""


@record
class DepthNote:
    """What stands beside a depth, down to another; it may tell the depth itself."""

    top_m: float
    base_m: float
    words: str
    tells_depth: bool = False


def rows_wanted(shaft: ShaftPlan, width: float) -> int:
    """Return how many rows the words of the layers down to the tip take in a column of that width."""
    layers = (layer for layer in shaft.ground.layers if layer.top_m < shaft.tip_depth_m)
    return sum(len(wrap(_words_of(layer), width - ASIDE, SIZE, MOST_ROWS)) for layer in layers)


def describe_layers(canvas: Canvas, depths: Depths, shaft: ShaftPlan, x: float, width: float) -> int:
    """Write the layers' words and the end of the boring beside them, and return how many found no room.

    Where layers are thin their words are moved down and begin with the depth of the top.
    """
    begin = depths.y(0.0) + 1 if depths.shows(0.0) else depths.top
    rows = int((depths.base - begin) / ROW)
    found = _notes(depths, shaft)
    notes = found[:rows]
    texts = _fitted(notes, depths, width - ASIDE, rows)
    places = spread([depths.y(note.top_m) + 1 for note in notes], [len(text) * ROW for text in texts], begin, depths.base)
    for note, text, place in zip(notes, texts, places, strict=True):
        moved = place - depths.y(note.top_m) > ROW and not note.tells_depth
        top = write_number(note.top_m, "m", depths.units, "bare")
        for index, row in enumerate(wrap(f"{top}: {note.words}", width - ASIDE, SIZE, len(text)) if moved else text):
            canvas.label(x + ASIDE - 1, place + (index + 0.8) * ROW, row, SIZE)
    for note, place in zip(notes, places, strict=True):
        _leader(canvas, (x, depths.y(note.top_m)), place + 1, x + width)
    return len(found) - len(notes)


def _notes(depths: Depths, shaft: ShaftPlan) -> list[DepthNote]:
    layers = (layer for layer in shaft.ground.layers if depths.shows(layer.top_m) and layer.top_m < depths.base_m)
    notes = [DepthNote(layer.top_m, layer.base_m, _words_of(layer)) for layer in layers]
    end = shaft.ground.end_m
    if depths.shows(end):
        notes.append(DepthNote(end, depths.base_m, f"boring ends {write_number(end, 'm', depths.units)}", tells_depth=True))
    return notes


def _fitted(notes: Sequence[DepthNote], depths: Depths, width: float, rows: int) -> list[list[str]]:
    """Wrap the words of each note so that all fit the rows there are; the longest give way first."""
    each = max(1, min(MOST_ROWS, rows // max(1, len(notes))))
    texts = []
    for note in notes:
        high = int((depths.y(note.base_m) - depths.y(note.top_m)) / ROW)
        texts.append(wrap(note.words, width, SIZE, max(1, min(MOST_ROWS, max(each, high)))))
    while sum(map(len, texts)) > rows:
        longest = max(range(len(texts)), key=lambda index: len(texts[index]))
        texts[longest] = [*texts[longest][:-2], shorten(" ".join(texts[longest][-2:]) + " ...", width, SIZE)]
    return texts


def _leader(canvas: Canvas, top: tuple[float, float], place: float, right: float) -> None:
    """Draw the line over the words, from the top of their layer where that is near; it goes over the white under the rows above."""
    x, y = top
    near = [(x, y), (x + 3, y), (x + 9, place)] if place - y < FAR_ASIDE else [(x + 9, place)]
    canvas.lines([*near, (right, place)], stroke=GREY, stroke_width=0.5)


def _words_of(layer: LogLayer) -> str:
    """Return the words of a layer, with its symbol of the unified classification."""
    words = layer.description or layer.ground
    return f"{words} ({layer.symbol})" if layer.symbol.isupper() else words
