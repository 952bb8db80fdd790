"""A picture as PNG."""

from __future__ import annotations

from methodpick.errors import InputError, Problem
from methodpick.exports.extras import need

PROBE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20">'
    '<text x="2" y="16" font-size="16" font-family="sans-serif">W</text></svg>'
)
ZOOM = 2.0
"""Twice the 96 dots per inch of the screen, so that small print stays sharp on paper."""


def picture_png(svg: str) -> bytes:
    """Turn a picture into PNG. Raises InputError without the extra ``png``, or where the machine has no font to write with."""
    resvg = need("resvg_py", "png", "a PNG picture")
    if resvg.svg_to_bytes(svg_string=PROBE) == resvg.svg_to_bytes(svg_string=PROBE.replace(">W<", "><")):
        raise InputError(
            Problem(
                "no font was found on this machine, and a picture without words would mislead",
                hint="install a font (on Debian and Ubuntu: fonts-dejavu-core), or write the picture as .svg",
            )
        )
    return bytes(resvg.svg_to_bytes(svg_string=svg, zoom=ZOOM))
