"""The swatches of a legend: every hatch that a canvas uses, with its words."""

from __future__ import annotations

from methodpick.drawings.canvas import INK, WIDTH, Canvas
from methodpick.drawings.hatching import HATCHES
from methodpick.drawings.lettering import width_of


def draw_swatches(canvas: Canvas, y: float, row: float) -> float:
    """Draw a swatch for every hatch used, from a height down in rows, and return the height of the last row."""
    x = 4.0
    for name in canvas.hatches:
        words = HATCHES[name].words
        step = 24 + width_of(words, 9.2) + 12
        if x + step > WIDTH - 4:
            x, y = 4.0, y + row
        canvas.rect(x, y - 9, 20, 12, fill=canvas.hatch(name), stroke=INK, stroke_width=0.6)
        canvas.text(x + 24, y, words, 9.2)
        x += step
    return y
