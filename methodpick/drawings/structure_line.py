"""Shafts along the line of a structure: which stand side by side in a bent, how far bents and shafts are apart, which share a row."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil

from methodpick.plan.result import ShaftPlan
from methodpick.records import record

ACROSS = 0.5
"""A step that goes along the line by less than this share of what it goes across leads to another shaft of the same bent."""


@record
class StructureLine:
    """The line of a structure: whether it runs by the east, and whether every place is known."""

    placed: bool
    by_east: bool

    @classmethod
    def through(cls, shafts: Sequence[ShaftPlan]) -> StructureLine:
        """Return the line through some shafts, along the wider of the two directions."""
        east = [shaft.design.east_m for shaft in shafts if shaft.design.east_m is not None]
        north = [shaft.design.north_m for shaft in shafts if shaft.design.north_m is not None]
        placed = len(east) == len(north) == len(shafts)
        return cls(placed, placed and max(east) - min(east) >= max(north) - min(north))

    def along_m(self, shaft: ShaftPlan) -> float:
        """Return the place of a shaft along the line."""
        return (shaft.design.east_m if self.by_east else shaft.design.north_m) or 0.0

    def across_m(self, shaft: ShaftPlan) -> float:
        """Return the place of a shaft across the line."""
        return (shaft.design.north_m if self.by_east else shaft.design.east_m) or 0.0

    def ordered(self, shafts: Sequence[ShaftPlan]) -> list[ShaftPlan]:
        """Order shafts bent by bent along the line, each bent across it; as the file has them where a place is not known."""
        if not self.placed:
            return list(shafts)
        return [shaft for bent in self.bents(sorted(shafts, key=self.along_m)) for shaft in sorted(bent, key=self.across_m)]

    def bents(self, shafts: Sequence[ShaftPlan]) -> list[list[ShaftPlan]]:
        """Part ordered shafts into bents: those whose neighbour stands across the line. Without places each stands alone."""
        found: list[list[ShaftPlan]] = []
        for shaft in shafts:
            last = found[-1][-1] if found else None
            if last is not None and self._beside(last, shaft):
                found[-1].append(shaft)
            else:
                found.append([shaft])
        return found

    def _beside(self, shaft: ShaftPlan, other: ShaftPlan) -> bool:
        along, across = (abs(place(other) - place(shaft)) for place in (self.along_m, self.across_m))
        return self.placed and along < ACROSS * across

    def rows(self, shafts: Sequence[ShaftPlan], most: int) -> list[list[ShaftPlan]]:
        """Part ordered shafts into as few rows of ``most`` at the most as hold them, and those as alike as they can be.

        A bent is broken only where it is longer than a row.
        """
        rows = self._rows(shafts, most)
        longest = max(len(bent) for bent in self.bents(shafts))
        for fewer in range(max(ceil(len(shafts) / len(rows)), min(longest, most)), most):
            if len(alike := self._rows(shafts, fewer)) == len(rows):
                return alike
        return rows

    def _rows(self, shafts: Sequence[ShaftPlan], most: int) -> list[list[ShaftPlan]]:
        rows: list[list[ShaftPlan]] = []
        for bent in self.bents(shafts):
            for part in (bent[first : first + most] for first in range(0, len(bent), most)):
                if rows and len(rows[-1]) + len(part) <= most:
                    rows[-1].extend(part)
                else:
                    rows.append(list(part))
        return rows

    def steps_m(self, shafts: Sequence[ShaftPlan]) -> list[float]:
        """Return how far each shaft is from the next: across inside a bent, else from the middle of its bent to that of the next."""
        middles = [sum(map(self.along_m, bent)) / len(bent) for bent in self.bents(shafts) for _ in bent]
        return [
            abs(self.across_m(second) - self.across_m(first)) if self._beside(first, second) else there - here
            for (first, second), (here, there) in zip(pairwise(shafts), pairwise(middles), strict=True)
        ]
