"""A canvas of SVG: a few strokes, every word escaped, numbers short and alike on every machine."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from methodpick.drawings.hatching import HATCHES, pattern
from methodpick.drawings.lettering import width_of, wrap
from methodpick.printable import printable

FONTS = "Helvetica, Arial, sans-serif"
INK = "#1a1a1a"
GREY = "#6b6b6b"
PALE = "#d4d4d4"
WATER = "#1f5f99"
WIDTH = 700.0
"""Width of every picture: A4 and letter paper between margins of 12 mm, at 96 to the inch."""
Point = tuple[float, float]


def clean(text: str) -> str:
    r"""Escape a text for XML; signs that XML cannot hold become the replacement sign.

    >>> clean('a < "b" & \x00')
    'a &lt; &quot;b&quot; &amp; \ufffd'
    """
    return escape(printable(text), quote=True)


def number(value: float) -> str:
    """Write a coordinate with two decimals at most.

    >>> number(2.0), number(0.125), number(-0.001)
    ('2', '0.12', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class Canvas:
    """A picture in the making; ``prefix`` keeps its pattern names apart from those of other pictures on a page."""

    def __init__(self, height: float, title: str, prefix: str = "a", width: float = WIDTH) -> None:
        """Start an empty white picture."""
        self.width, self.height, self.title, self.prefix = width, height, title, prefix
        self._parts: list[str] = []
        self._used: dict[str, None] = {}

    def hatch(self, name: str) -> str:
        """Return the fill of a hatch and remember that it is used."""
        self._used[name] = None
        return f"url(#{self.prefix}-{name})"

    @property
    def hatches(self) -> tuple[str, ...]:
        """Name the hatches used so far, in the order of use."""
        return tuple(self._used)

    def rect(self, x: float, y: float, width: float, height: float, **look: str | float) -> None:
        """Draw a rectangle, without a line where none is asked for."""
        self._add("rect", {"x": x, "y": y, "width": max(0.0, width), "height": max(0.0, height), "fill": "none", **look})

    def line(self, start: Point, end: Point, stroke: str = INK, stroke_width: float = 0.8, **look: str | float) -> None:
        """Draw a straight line."""
        self._add(
            "line", {"x1": start[0], "y1": start[1], "x2": end[0], "y2": end[1], "stroke": stroke, "stroke_width": stroke_width, **look}
        )

    def lines(self, points: Iterable[Point], *, closed: bool = False, **look: str | float) -> None:
        """Draw a line through points; closed, it is an area."""
        path = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + ("Z" if closed else "")
        self._add("path", {"d": path, "fill": "none", "stroke": INK, "stroke_width": 0.8, **look})

    def circle(self, centre: Point, radius: float, **look: str | float) -> None:
        """Draw a circle."""
        self._add("circle", {"cx": centre[0], "cy": centre[1], "r": radius, "fill": "none", **look})

    def text(self, x: float, y: float, words: str, size: float = 10.0, **look: str | float) -> None:
        """Write one line of text; ``text_anchor`` is start, middle or end."""
        self._add("text", {"x": x, "y": y, "font_size": size, "fill": INK, **look}, clean(words))

    def label(self, x: float, y: float, words: str, size: float = 9.5, **look: str | float) -> None:
        """Write a line of text on a white ground, so that lines and hatches under it do not disturb."""
        wide = width_of(words, size)
        left = {"middle": x - wide / 2, "end": x - wide}.get(str(look.get("text_anchor", "start")), x)
        self.rect(left - 1.5, y - size * 0.86, wide + 3, size * 1.12, fill="#fff", fill_opacity=0.9)
        self.text(x, y, words, size, **look)

    def paragraph(self, y: float, text: str, size: float = 9.5, most: int = 3) -> float:
        """Write a text over the whole width below a height, on ``most`` lines at the most, and return the height of its last line."""
        for row in wrap(text, self.width - 16, size, most):
            y += 12.5
            self.text(4, y, row, size)
        return y

    def svg(self) -> str:
        """Return the whole picture."""
        size = f'width="{number(self.width)}" height="{number(self.height)}" viewBox="0 0 {number(self.width)} {number(self.height)}"'
        patterns = "".join(pattern(name, f"{self.prefix}-{name}") for name in self._used if name in HATCHES)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="{FONTS}" role="img">'
            f"<title>{clean(self.title)}</title><defs>{patterns}</defs>"
            f'<rect width="{number(self.width)}" height="{number(self.height)}" fill="#fff"/>\n' + "\n".join(self._parts) + "\n</svg>\n"
        )

    def _add(self, tag: str, look: dict[str, str | float], inside: str | None = None) -> None:
        words = " ".join(
            f'{name.replace("_", "-")}="{number(value) if isinstance(value, (int, float)) else clean(value)}"'
            for name, value in look.items()
        )
        self._parts.append(f"<{tag} {words}/>" if inside is None else f"<{tag} {words}>{inside}</{tag}>")
