"""Shafts whose plan is the same word for word share a page: they differ in name, number, place and distance only."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from methodpick.plan.result import RangeFlip, ShaftPlan
from methodpick.records import record
from methodpick.unit_markup import SAME_LENGTH_M, number_span


@record
class ShaftGroup:
    """Shafts that share a page, in the order of the file.

    ``within_range`` is what changes their plan within the stated ranges; None where it was not looked for.
    """

    shafts: tuple[ShaftPlan, ...]
    within_range: tuple[RangeFlip, ...] | None = None

    @property
    def first(self) -> ShaftPlan:
        """Return the shaft that stands for all."""
        return self.shafts[0]

    @property
    def count(self) -> int:
        """Count the shafts, those that each stands for included."""
        return sum(shaft.count for shaft in self.shafts)

    @property
    def ids(self) -> tuple[str, ...]:
        """Return the names of all shafts."""
        return tuple(shaft.id for shaft in self.shafts)

    @property
    def names(self) -> str:
        """Name all shafts; a run of neighbours in the file is not shortened, so that each can be searched for."""
        return ", ".join(self.ids)

    @property
    def title(self) -> str:
        """Return the title of the page."""
        if len(self.shafts) > 1:
            return f"Shaft {self.first.id} and {len(self.shafts) - 1} alike"
        return f"Shaft {self.first.id}" + (f" ({self.count} of this kind)" if self.count > 1 else "")

    @property
    def boring(self) -> str:
        """Name the boring, with how far away it is from the nearest and the farthest shaft, where that is known."""
        known = sorted(shaft.boring_distance_m for shaft in self.shafts if shaft.boring_distance_m is not None)
        if not known:
            return self.first.boring
        return f"{self.first.boring}, " + ("at the shaft" if known[-1] < SAME_LENGTH_M else f"{number_span(known[0], known[-1], 'm')} away")


def over_shafts(groups: Sequence[ShaftGroup], amount: Callable[[ShaftPlan], float]) -> float:
    """Return the sum of an amount over all shafts of some groups."""
    return sum(amount(group.first) * group.count for group in groups)


def group_shafts(shafts: Sequence[ShaftPlan]) -> list[ShaftGroup]:
    """Gather the shafts that share a page, in the order of the first of each."""
    found: list[tuple[ShaftPlan, list[ShaftPlan]]] = []
    for shaft in shafts:
        stripped = _without_names(shaft)
        members = next((members for pattern, members in found if pattern == stripped), None)
        if members is None:
            found.append((stripped, [shaft]))
        else:
            members.append(shaft)
    return [ShaftGroup(tuple(members)) for _, members in found]


def _without_names(shaft: ShaftPlan) -> ShaftPlan:
    """Return a plan without what tells shafts of one kind apart."""
    doubts = tuple(text.replace(f"shaft {shaft.id}:", "shaft:", 1).replace(f"shaft {shaft.id},", "shaft,", 1) for text in shaft.doubts)
    design = replace(shaft.design, east_m=None, north_m=None, latitude_deg=None, longitude_deg=None)
    return replace(shaft, id="", count=0, boring_distance_m=None, doubts=doubts, design=design)
