"""Shafts whose plan is the same word for word share a sheet: they differ in name, number, place and distance only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from methodpick.document.model import Pen
from methodpick.plan.result import ShaftPlan


@dataclass(frozen=True, slots=True)
class Group:
    """Shafts of one sheet, in the order of the file."""

    shafts: tuple[ShaftPlan, ...]

    @property
    def first(self) -> ShaftPlan:
        """Return the shaft that stands for all."""
        return self.shafts[0]

    @property
    def count(self) -> int:
        """Count the shafts, those behind each included."""
        return sum(one.count for one in self.shafts)

    @property
    def names(self) -> str:
        """Name all of them; a run of neighbours in the file is not shortened, so that each can be searched for."""
        return ", ".join(one.id for one in self.shafts)

    @property
    def title(self) -> str:
        """Name the sheet."""
        if len(self.shafts) > 1:
            return f"Shaft {self.first.id} and {len(self.shafts) - 1} alike"
        return f"Shaft {self.first.id}" + (f" ({self.count} of this kind)" if self.count > 1 else "")

    def away(self, pen: Pen) -> str:
        """Write how far the boring is, the nearest and the farthest of the shafts; empty where it is not known."""
        known = sorted({one.boring_distance_m for one in self.shafts if one.boring_distance_m is not None})
        ends = list(dict.fromkeys(pen.n(one, "m") for one in known[:1] + known[-1:]))
        return " to ".join(ends)


def groups(shafts: Sequence[ShaftPlan]) -> list[Group]:
    """Gather the shafts that share a sheet, in the order of the first of each."""
    found: list[tuple[ShaftPlan, list[ShaftPlan]]] = []
    for shaft in shafts:
        plain = _plain(shaft)
        same = next((mine for kind, mine in found if kind == plain), None)
        if same is None:
            found.append((plain, [shaft]))
        else:
            same.append(shaft)
    return [Group(tuple(mine)) for _, mine in found]


def _plain(shaft: ShaftPlan) -> ShaftPlan:
    """Take from a plan what tells alike shafts apart."""
    doubts = tuple(text.replace(f"shaft {shaft.id}:", "shaft:", 1).replace(f"shaft {shaft.id},", "shaft,", 1) for text in shaft.doubts)
    return replace(shaft, id="", count=0, boring_distance_m=None, doubts=doubts, design=replace(shaft.design, east_m=None, north_m=None))
