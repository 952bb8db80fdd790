"""The swatches of a legend: every hatch that a sheet uses, with its words."""

from __future__ import annotations

from methodpick.drawings.canvas import INK, WIDTH, Sheet
from methodpick.drawings.hatching import HATCHES
from methodpick.drawings.lettering import width_of


def draw_swatches(sheet: Sheet, y: float, row: float) -> float:
    """Draw a swatch for every hatch used, from a height down in rows; gives the height of the last row."""
    x = 4.0
    for name in sheet.hatches:
        words = HATCHES[name].words
        step = 24 + width_of(words, 9.2) + 12
        if x + step > WIDTH - 4:
            x, y = 4.0, y + row
        sheet.rect(x, y - 9, 20, 12, fill=sheet.hatch(name), stroke=INK, stroke_width=0.6)
        sheet.text(x + 24, y, words, 9.2)
        x += step
    return y
