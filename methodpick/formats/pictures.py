"""A picture as SVG and as PNG."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from methodpick.document.model import Figure
from methodpick.errors import InputError, Problem
from methodpick.resources import need
from methodpick.terms import UnitSystem

# ---- A picture as SVG


def figure_svg(figure: Figure, units: UnitSystem) -> str:
    """Return a picture in the reader's units: one text that refers to nothing outside itself."""
    return figure.draw(units, "a")


# ---- A picture as PNG


FAMILIES = (
    "Helvetica",
    "Arial",
    "DejaVu Sans",
    "Liberation Sans",
    "Noto Sans",
    "Helvetica Neue",
    "Segoe UI",
    "Verdana",
    "Roboto",
    "Open Sans",
    "Ubuntu",
    "Cantarell",
    "FreeSans",
    "Nimbus Sans",
    "Droid Sans",
    "Carlito",
    "Lato",
    "DejaVu Serif",
)
"""Fonts that systems come with, the one that the pictures are set for first. The drawing library knows no generic family by itself."""
ZOOM = 2.0
"""Twice the 96 dots per inch of the screen, so that small print stays sharp on paper."""


def picture_png(svg: str, fonts: Path | None = None) -> bytes:
    """Return a picture as PNG, written with the fonts of the machine or only with those of a folder.

    Raises InputError without the extra ``png``, or where none of the known fonts is found.
    """
    resvg = need("resvg_py", "png", "a PNG picture")
    places: dict[str, Any] = {} if fonts is None else {"skip_system_fonts": True, "font_dirs": [str(fonts)]}
    family = next((name for name in FAMILIES if _is_there(resvg, name, places)), None)
    if family is None:
        raise InputError(
            Problem(
                "no usable font was found on this machine, and a picture without words would mislead",
                hint="install a common one (on Debian and Ubuntu: fonts-dejavu-core), or write the picture as .svg",
            )
        )
    return bytes(resvg.svg_to_bytes(svg_string=svg, zoom=ZOOM, sans_serif_family=family, **places))


def _is_there(resvg: Any, family: str, places: dict[str, Any]) -> bool:
    """Return whether a letter in a font leaves a trace."""
    written, blank = (
        resvg.svg_to_bytes(
            svg_string='<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20">'
            f'<text x="2" y="16" font-size="16" font-family="{family}">{letter}</text></svg>',
            **places,
        )
        for letter in ("W", "")
    )
    return bool(written != blank)
