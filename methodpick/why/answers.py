"""What the plan answers at a depth, without the pages around it: gather, judge, search once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.profile import Profile
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.plan.build import Workshop, search_best
from methodpick.plan.intervals import Held, held_at
from methodpick.plan.pipeline import boring_for
from methodpick.vocabulary.assumptions import Assumption


@dataclass(frozen=True, slots=True)
class Asked:
    """One shaft of a site with the rulebook and the assumptions by which it is planned."""

    site: Site
    shaft: str
    book: Rulebook
    taken: tuple[Assumption, ...]

    @property
    def the_shaft(self) -> Shaft:
        """Give the shaft. Raises StopIteration where the site has none of that name."""
        return next(shaft for shaft in self.site.shafts if shaft.id == self.shaft)

    @property
    def profile(self) -> Profile:
        """Give the boring that speaks for the shaft."""
        return boring_for(self.site, self.the_shaft)

    def workshop(self, site: Site | None = None) -> Workshop:
        """Give what the plan of the shaft is made from, on this site or on a changed copy of it."""
        ask = self if site is None else Asked(site, self.shaft, self.book, self.taken)
        return Workshop(ask.site, ask.profile, ask.the_shaft, self.book, self.taken)


def held(asked: Asked, depths_m: Sequence[float], site: Site | None = None) -> tuple[Held, ...]:
    """Give how each depth is held by the plan of the shaft, on this site or on a changed copy of it.

    The tip may have moved: a depth below it is held by nothing.
    """
    changed = site or asked.site
    shop = asked.workshop(changed)
    path = search_best(shop, changed)
    nothing = Held("undecided", None, None, ())
    if path is None:
        return (nothing,) * len(depths_m)
    found = []
    for depth in depths_m:
        one = next((judged for judged in shop.judged if judged.slice.top_m <= depth <= judged.slice.base_m), None)
        found.append(nothing if one is None else held_at(path, depth, shop.levels.starter_base_m, one))
    return tuple(found)
