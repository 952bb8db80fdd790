"""A picture as SVG."""

from __future__ import annotations

from methodpick.document.model import Figure
from methodpick.terms import UnitSystem


def figure_svg(figure: Figure, units: UnitSystem) -> str:
    """Return a picture in the reader's units: one text that refers to nothing outside itself."""
    return figure.draw(units, "a")
