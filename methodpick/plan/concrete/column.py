"""The concrete in a casing while it is pulled: what bounds it at every depth, and the level that a volume gives."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.mechanics.concrete import annulus_level
from methodpick.plan.concrete.hole import TOUCH_M, area

OUT_M = -1e3
"""Shoe of a casing that is out of the ground."""
FAR_M = 100.0
"""Column above the top that a level is looked for in."""


@dataclass(frozen=True, slots=True)
class ColumnPiece:
    """A length of what bounds the concrete outside the casing: the ground, or the casing around it."""

    top_m: float
    base_m: float
    diameter_m: float


@dataclass(frozen=True, slots=True)
class ConcreteColumn:
    """A casing in its hole, with the fluid that stands between it and what is around it.

    Pieces run top down to the tip without gaps. Below the shoe the concrete fills them; above, it stands in the casing and,
    where the shoe stands free, rises outside it to the height that balances the fluid there. A column without a gap above
    the shoe is closed: the ground or a seat holds the casing there. ``more_m3`` lies at the base, in a bell.
    """

    pieces: tuple[ColumnPiece, ...]
    inside_m: float
    outside_m: float
    fluid_kn_m3: float
    fluid_level_m: float
    concrete_kn_m3: float
    more_m3: float = 0.0

    def content(self, level_m: float, shoe_m: float) -> float:
        """Return the concrete in m3 that stands to a level inside the casing while its shoe is at a depth."""
        start = max(level_m, shoe_m)
        total = self.more_m3 + sum(
            area(piece.diameter_m) * (piece.base_m - max(piece.top_m, start)) for piece in self.pieces if piece.base_m > start
        )
        first = self.pieces[0]
        if start < first.top_m:
            total += area(first.diameter_m) * (first.top_m - start)
        if level_m >= shoe_m:
            return total
        return total + area(self.inside_m) * (shoe_m - level_m) + self._around(level_m, shoe_m)

    def free_annulus(self, shoe_m: float) -> tuple[ColumnPiece, ...]:
        """Return the pieces of the annulus that opens at the shoe, from the shoe up; none where the casing is held."""
        found = []
        for piece in reversed(self.pieces):
            if piece.top_m >= shoe_m - TOUCH_M:
                continue
            if piece.diameter_m <= self.outside_m + TOUCH_M:
                break
            found.append(ColumnPiece(piece.top_m, min(piece.base_m, shoe_m), piece.diameter_m))
        return tuple(found)

    def _around(self, level_m: float, shoe_m: float) -> float:
        top = annulus_level(level_m, self.fluid_level_m, self.fluid_kn_m3, self.concrete_kn_m3)
        return sum(
            (area(piece.diameter_m) - area(self.outside_m)) * (piece.base_m - max(piece.top_m, top))
            for piece in self.free_annulus(shoe_m)
            if piece.base_m > top
        )

    def level(self, volume_m3: float, shoe_m: float) -> float:
        """Return the depth to which a volume stands inside the casing; content grows in straight lines between kinks."""
        kinks = self._kinks(shoe_m)
        deep = kinks[0]
        below = self.content(deep, shoe_m)
        for kink in kinks[1:]:
            above = self.content(kink, shoe_m)
            if above >= volume_m3:
                return deep if above <= below else deep - (deep - kink) * max(0.0, volume_m3 - below) / (above - below)
            deep, below = kink, above
        return deep

    def _kinks(self, shoe_m: float) -> list[float]:
        """Return the levels at which the content changes its slope, the deepest first."""
        ends = {piece.top_m for piece in self.pieces} | {self.pieces[-1].base_m}
        kinks = {end for end in ends if end >= shoe_m}
        if shoe_m > OUT_M:
            kinks |= {shoe_m, min(shoe_m, self.fluid_level_m)}
            share = self.fluid_kn_m3 / self.concrete_kn_m3
            for end in {*(end for end in ends if end < shoe_m), shoe_m}:
                under = max(0.0, end - self.fluid_level_m)
                kinks.add(min(shoe_m, end - share * under))
        return [*sorted(kinks, reverse=True), self.pieces[0].top_m - FAR_M]
