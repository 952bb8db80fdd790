"""Plan a whole site: the boring of every shaft, then each shaft, equal ones once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.plan.judging.boring_choice import distance
from methodpick.plan.pipeline import assembled, assumptions_for, doubts_of, plan_shaft, wanted_shafts
from methodpick.plan.plan_context import PlanBasis
from methodpick.plan.result import InputStamp, ShaftPlan
from methodpick.site.boring_assignment import assign_boring
from methodpick.site.preview_cache import PlanKey, PreviewCache
from methodpick.site.result import SitePlan

Progress = Callable[[int, int], None]
"""Called with what is done and how much there is."""
NO_FILE = InputStamp(path="", digest="")


def plan_site(
    site: Site,
    book: Rulebook,
    *,
    stamp: InputStamp = NO_FILE,
    shafts: Sequence[str] | None = None,
    assumptions: bool = True,
    tell: Progress | None = None,
) -> SitePlan:
    """Plan the shafts of a site (or those named), each with the boring that decides for it.

    Shafts that are built alike at the same boring and level share one plan, under their own names; the plans are those that
    :func:`methodpick.plan.pipeline.plan` makes of the same shafts with their borings named. ``stamp`` says which file was read;
    ``tell`` is called after every shaft.
    Raises InputError where a shaft or its boring is not there.
    """
    wanted = wanted_shafts(site, shafts)
    basis = PlanBasis(site, book, assumptions_for(site, book, assumptions=assumptions))
    previews = PreviewCache(site, book, basis.assumptions)
    planned: dict[PlanKey, ShaftPlan] = {}
    plans, assignments = [], []
    for done, shaft in enumerate(wanted, 1):
        assignment = assign_boring(site, shaft, previews)
        boring = site.boring(assignment.boring)
        key = previews.key(boring, shaft)
        if key not in planned:
            named = shaft.model_copy(update={"boring": boring.id})
            doubts = doubts_of(site.model_copy(update={"borings": (boring,), "shafts": (named,)}))
            planned[key] = plan_shaft(replace(basis, doubts=tuple(doubts)), boring, named, previews.planned_from(key))
        plans.append(_under_own_name(planned[key], shaft, distance(boring, shaft)))
        assignments.append(assignment)
        if tell is not None:
            tell(done, len(wanted))
    return SitePlan(assembled(basis, replace(stamp, assumptions=assumptions), tuple(plans)), tuple(assignments), len(planned))


def settled_site(site: Site, plan: SitePlan) -> Site:
    """Return the site with every planned shaft's boring named, so that a question about a shaft meets the same ground."""
    borings = {assignment.shaft: assignment.boring for assignment in plan.assignments}
    shafts = tuple(shaft.model_copy(update={"boring": borings.get(shaft.id, shaft.boring)}) for shaft in site.shafts)
    return site.model_copy(update={"shafts": shafts})


def _under_own_name(plan: ShaftPlan, shaft: Shaft, distance_m: float | None) -> ShaftPlan:
    """Return a plan that shafts share with one shaft's own name, number, place and distance."""
    position = shaft.position
    design = replace(plan.design, east_m=position.east_m if position else None, north_m=position.north_m if position else None)
    doubts = tuple(_renamed(text, plan.id, shaft.id) for text in plan.doubts)
    return replace(plan, id=shaft.id, count=shaft.count, boring_distance_m=distance_m, doubts=doubts, design=design)


def _renamed(text: str, old: str, new: str) -> str:
    """Return a doubt with the shaft that it begins with renamed."""
    for end in (":", ","):
        if text.startswith(f"shaft {old}{end}"):
            return f"shaft {new}{end}" + text.removeprefix(f"shaft {old}{end}")
    return text
