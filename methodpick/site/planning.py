"""Plan a whole site: the boring of every shaft, then each shaft, those that are alike once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.plan.judging.boring_choice import distance
from methodpick.plan.pipeline import doubts_of, gathered, plan_shaft, taken_assumptions, wanted_shafts
from methodpick.plan.result import InputStamp, ShaftPlan
from methodpick.site.assign import assign
from methodpick.site.quick import Alike, Quick
from methodpick.site.result import SitePlan

Tell = Callable[[int, int], None]


def plan_site(
    site: Site,
    book: Rulebook,
    *,
    path: str = "",
    digest: str = "",
    shafts: Sequence[str] | None = None,
    assumptions: bool = True,
    tell: Tell | None = None,
) -> SitePlan:
    """Plan the shafts of a site (or those named), each with the boring that decides for it.

    Shafts that are built alike at the same boring and level share one plan, under their own names; the plans are those that
    :func:`methodpick.plan.pipeline.plan` makes of the same shafts with their borings named. ``tell`` hears how many shafts are
    done, of how many. Raises InputError where a shaft or its boring is not there.
    """
    wanted = wanted_shafts(site, shafts)
    taken = taken_assumptions(site, book, assumptions=assumptions)
    quick = Quick(site, book, taken)
    made: dict[Alike, ShaftPlan] = {}
    plans, assignments = [], []
    for done, shaft in enumerate(wanted, 1):
        found = assign(site, shaft, quick)
        boring = site.boring(found.boring)
        named = shaft.model_copy(update={"boring": boring.id})
        key = quick.alike(boring, shaft)
        if key not in made:
            said = doubts_of(site.model_copy(update={"borings": (boring,), "shafts": (named,)}))
            made[key] = plan_shaft(site, boring, named, book, taken, said, quick.shop(key))
        plans.append(_own(made[key], shaft, distance(boring, shaft)))
        assignments.append(found)
        if tell is not None:
            tell(done, len(wanted))
    return SitePlan(gathered(site, book, InputStamp(path, digest), tuple(plans)), tuple(assignments), len(made))


def settled_site(site: Site, plan: SitePlan) -> Site:
    """Return the site with every planned shaft's boring named, so that a question about a shaft meets the same ground."""
    named = {one.shaft: one.boring for one in plan.assignments}
    return site.model_copy(
        update={"shafts": tuple(one.model_copy(update={"boring": named.get(one.id, one.boring)}) for one in site.shafts)}
    )


def _own(plan: ShaftPlan, shaft: Shaft, distance_m: float | None) -> ShaftPlan:
    """Return a plan its shaft's own name, number, place and distance."""
    name, place = shaft.id, shaft.position
    doubts = tuple(
        text.replace(f"shaft {plan.id}:", f"shaft {name}:", 1)
        if text.startswith(f"shaft {plan.id}:")
        else text.replace(f"shaft {plan.id},", f"shaft {name},", 1)
        if text.startswith(f"shaft {plan.id},")
        else text
        for text in plan.doubts
    )
    design = replace(plan.design, east_m=place.east_m if place else None, north_m=place.north_m if place else None)
    return replace(plan, id=name, count=shaft.count, boring_distance_m=distance_m, doubts=doubts, design=design)
