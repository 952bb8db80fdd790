"""A canvas of SVG: strokes, words that are escaped and wrapped, numbers short and alike on every machine, scales."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from html import escape
from math import ceil, floor, log10

from methodpick.drawings.hatching import HATCHES, pattern
from methodpick.errors import printable
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import UnitSystem
from methodpick.unit_markup import NumberWriter

# ---- How wide words are, how they wrap, and how labels beside a scale keep out of each other's way


_NARROW = frozenset("iljtfrI.,:;'|!()[]{}- /")
_WIDE = frozenset("mwMW%@")
DOTS = "..."
BOLD = 1.16
"""Width of bold letters over that of others."""
_NAME_PARTS = pattern_of(r"[^-_/ ]*[-_/ ]+|[^-_/ ]+")


def width_of(text: str, size: float) -> float:
    """Estimate the width of a text in a wide sans-serif font, so that it fits in a narrower one too.

    >>> width_of("", 10), round(width_of("sand", 10), 1)
    (0, 23.2)
    """
    return sum(map(_em, text)) * size


@lru_cache(4096)
def _em(letter: str) -> float:
    """Return the width of a letter as a share of the size; few letters are asked for again and again."""
    if letter in _NARROW:
        return 0.36
    if letter in _WIDE:
        return 0.95
    if ord(letter) > 0x2E7F:
        return 1.0
    return 0.68 if letter.isupper() else 0.58


def shorten(text: str, width: float, size: float) -> str:
    """Cut a text to a width, with dots where something is left out.

    >>> shorten("medium dense sand", 60, 10)
    'medium...'
    """
    plain = " ".join(text.split())
    if width_of(plain, size) <= width:
        return plain
    room = width - width_of(DOTS, size)
    used, kept = 0.0, 0
    for letter in plain:
        used += _em(letter) * size
        if used > room:
            break
        kept += 1
    return plain[:kept].rstrip() + DOTS


def wrap(text: str, width: float, size: float, most: int) -> list[str]:
    """Wrap a text to a width over ``most`` lines at the most; the last line is cut where more would follow.

    >>> wrap("medium dense grey fine to medium sand", 80, 10, 2)
    ['medium dense', 'grey fine to...']
    """
    words = text.split()
    rows: list[str] = []
    while words and len(rows) < most:
        row = words.pop(0)
        while words and width_of(f"{row} {words[0]}", size) <= width:
            row = f"{row} {words.pop(0)}"
        rows.append(row)
    if words:
        rows[-1] = f"{rows[-1]} {' '.join(words)}"
    return [shorten(row, width, size) for row in rows]


def wrap_name(name: str, width: float, size: float, most: int) -> list[str]:
    """Wrap a name after its hyphens, strokes and blanks over ``most`` lines at the most; the last is cut where more would follow.

    >>> wrap_name("PILE-001-NORTH", 60, 10, 2), wrap_name("P4", 60, 10, 2)
    (['PILE-001-', 'NORTH'], ['P4'])
    """
    pieces = _NAME_PARTS.findall(name)
    rows: list[str] = []
    for piece in pieces:
        if rows and (len(rows) == most or width_of((rows[-1] + piece).rstrip(), size) <= width):
            rows[-1] += piece
        else:
            rows.append(piece)
    return [shorten(row, width, size) for row in rows] or [""]


def spread(wanted: Sequence[float], heights: Sequence[float], top: float, base: float) -> list[float]:
    """Return the upper edges of labels, as near to where they are wanted as they can stand without touching.

    ``wanted`` runs down. The labels must fit between top and base all together.

    >>> spread([0, 1, 30], [10, 10, 10], 0, 50)
    [0, 10, 30]
    >>> spread([0, 45, 46], [10, 10, 10], 0, 50)
    [0, 30, 40]
    """
    places: list[float] = []
    edge = top
    for want, height in zip(wanted, heights, strict=True):
        edge = max(edge, want)
        places.append(edge)
        edge += height
    edge = base
    for index in range(len(places) - 1, -1, -1):
        places[index] = min(places[index], edge - heights[index])
        edge = places[index]
    return places


# ---- A canvas of SVG: a few strokes, every word escaped, numbers short and alike on every machine


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
        """Start an empty white picture; ``says`` may tell what it shows to those who do not see it."""
        self.width, self.height, self.title, self.prefix = width, height, title, prefix
        self.says = ""
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
        names = f"{self.prefix}-title {self.prefix}-desc"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="{FONTS}" role="img" aria-labelledby="{names}">'
            f'<title id="{self.prefix}-title">{clean(self.title)}</title><desc id="{self.prefix}-desc">{clean(self.says)}</desc>'
            f"<defs>{patterns}</defs>"
            f'<rect width="{number(self.width)}" height="{number(self.height)}" fill="#fff"/>\n' + "\n".join(self._parts) + "\n</svg>\n"
        )

    def _add(self, tag: str, look: dict[str, str | float], inside: str | None = None) -> None:
        words = " ".join(
            f'{name.replace("_", "-")}="{number(value) if isinstance(value, (int, float)) else clean(value)}"'
            for name, value in look.items()
        )
        self._parts.append(f"<{tag} {words}/>" if inside is None else f"<{tag} {words}>{inside}</{tag}>")


# ---- Scales: depth and elevation down the canvas, a quantity across it, with round ticks in the reader's units


LEAST_SPAN_M = 1e-3


def round_step(span: float, most: int) -> float:
    """Return the least of 1, 2, 5 times a power of ten that cuts a span into ``most`` parts or fewer.

    >>> round_step(60, 8), round_step(1.1, 10)
    (10.0, 0.2)
    """
    raw = max(span, 1e-9) / max(1, most)
    power = 10.0 ** floor(log10(raw))
    return next(float(f"{factor * power:.6g}") for factor in (1.0, 2.0, 5.0, 10.0) if factor * power >= raw * (1 - 1e-9))


def ticks(low: float, high: float, most: int) -> list[float]:
    """Return the round numbers from low to high.

    >>> ticks(-3.5, 60, 8)
    [0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0]
    """
    step = round_step(high - low, most)
    first = ceil(low / step - 1e-9)
    return [round((first + index) * step, 9) + 0.0 for index in range(floor(high / step + 1e-9) - first + 1)]


def short(value: float) -> str:
    """Write a tick: whole where it is whole.

    >>> short(10.0), short(0.5)
    ('10', '0.5')
    """
    return f"{value:.6g}"


@record
class Depths:
    """A depth scale: metres below the ground onto the canvas, running down."""

    top_m: float
    base_m: float
    top: float
    base: float
    units: UnitSystem
    elevation_m: float | None = None

    def y(self, depth_m: float) -> float:
        """Return the place of a depth, kept inside the scale."""
        span = max(self.base_m - self.top_m, LEAST_SPAN_M)
        share = (depth_m - self.top_m) / span
        return self.top + min(1.0, max(0.0, share)) * (self.base - self.top)

    def shows(self, depth_m: float) -> bool:
        """Return whether a depth lies on the scale."""
        return self.top_m - 1e-9 <= depth_m <= self.base_m + 1e-9

    def marks(self) -> list[tuple[float, str]]:
        """Return the round depths and their labels."""
        return self._round(0.0, 1.0)

    def elevations(self) -> list[tuple[float, str]]:
        """Return depths at round elevations, with the elevations; none where the ground level is not known."""
        return [] if self.elevation_m is None else self._round(self.elevation_m, -1.0)

    def _round(self, zero_m: float, sign: float) -> list[tuple[float, str]]:
        factor = NumberWriter(self.units).restored(1.0, "m")
        ends = sorted((zero_m + sign * depth) * factor for depth in (self.top_m, self.base_m))
        most = max(2, int((self.base - self.top) / 38))
        return [((value / factor - zero_m) * sign, short(value)) for value in ticks(ends[0], ends[1], most)]


def draw_depths(canvas: Canvas, depths: Depths, right: float, *, grid_to: float | None = None) -> None:
    """Draw the depth scale left of ``right``, with pale lines across to ``grid_to``."""
    for depth, words in depths.marks():
        y = depths.y(depth)
        if grid_to is not None:
            canvas.line((right, y), (grid_to, y), stroke=PALE, stroke_width=0.5)
        canvas.line((right - 4, y), (right, y), stroke_width=0.7)
        canvas.text(right - 6, y + 3.2, words, 9.5, text_anchor="end")
    canvas.line((right, depths.top), (right, depths.base))


def draw_elevations(canvas: Canvas, depths: Depths, right: float) -> None:
    """Draw the elevation scale left of ``right``."""
    for depth, words in depths.elevations():
        y = depths.y(depth)
        canvas.line((right - 4, y), (right, y), stroke=GREY, stroke_width=0.7)
        canvas.text(right - 6, y + 3.2, words, 9.5, text_anchor="end", fill=GREY)
    canvas.line((right, depths.top), (right, depths.base), stroke=GREY)


@record
class Across:
    """A scale across the canvas for a quantity kept in SI inside."""

    low: float
    high: float
    left: float
    right: float
    unit: str
    units: UnitSystem

    def x(self, value: float) -> float:
        """Return the place of a value, kept inside the scale."""
        share = (value - self.low) / max(self.high - self.low, 1e-12)
        return self.left + min(1.0, max(0.0, share)) * (self.right - self.left)

    def shows(self, value: float) -> bool:
        """Return whether a value lies on the scale."""
        return self.low - 1e-9 <= value <= self.high + 1e-9

    @property
    def name(self) -> str:
        """Name the unit that the reader sees."""
        return NumberWriter(self.units).unit(self.unit)

    def marks(self, spacing: float = 70.0) -> list[tuple[float, str]]:
        """Return round values and their labels."""
        factor = NumberWriter(self.units).restored(1.0, self.unit)
        most = max(2, int((self.right - self.left) / spacing))
        return [(value / factor, short(value)) for value in ticks(self.low * factor, self.high * factor, most)]


def draw_across(canvas: Canvas, across: Across, top: float, base: float, quantity: str) -> None:
    """Draw the scale above a chart, with pale lines down it and what it measures over it."""
    for value, words in across.marks():
        x = across.x(value)
        canvas.line((x, top), (x, base), stroke=PALE, stroke_width=0.5)
        canvas.line((x, top - 4), (x, top), stroke=INK, stroke_width=0.7)
        canvas.text(x, top - 7, words, 9.5, text_anchor="middle")
    canvas.text((across.left + across.right) / 2, top - 22, f"{quantity}, {across.name}", 10.5, text_anchor="middle", font_weight="bold")
