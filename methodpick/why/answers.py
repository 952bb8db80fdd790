"""What the plan answers at a depth, without the pages around it: gather, judge, search once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.site import Site
from methodpick.plan.judging.boring_choice import boring_for
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.intervals import Held, held_at
from methodpick.vocabulary.assumptions import Assumption


@dataclass(frozen=True, slots=True)
class Asked:
    """One shaft of a site with the rulebook and the assumptions by which it is planned."""

    site: Site
    shaft: str
    book: Rulebook
    taken: tuple[Assumption, ...]

    def workshop(self, site: Site) -> PlanContext:
        """Return what the plan of the shaft is made from, on the site or on a changed copy of it.

        Raises StopIteration where the site has no shaft of that name.
        """
        shaft = next(shaft for shaft in site.shafts if shaft.id == self.shaft)
        return PlanContext(site, boring_for(site, shaft, self.book.values), shaft, self.book, self.taken)


def held(shop: PlanContext, depths_m: Sequence[float]) -> tuple[Held, ...]:
    """Return how each depth is held by the plan of the shaft; a depth below the tip is held by nothing."""
    path = shop.best()
    nothing = Held("undecided", None, None, ())
    if path is None:
        return (nothing,) * len(depths_m)
    found = []
    for depth in depths_m:
        one = next((judged for judged in shop.judged if judged.slice.top_m <= depth <= judged.slice.base_m), None)
        found.append(nothing if one is None else held_at(path, depth, shop.levels.starter_base_m, one))
    return tuple(found)
