"""Scales: depth and elevation down the canvas, a quantity across it, with round ticks in the reader's units."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, log10

from methodpick.drawings.canvas import GREY, INK, PALE, Canvas
from methodpick.terms import UnitSystem
from methodpick.unit_markup import NumberWriter

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


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
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
