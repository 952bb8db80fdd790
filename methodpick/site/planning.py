"""Plan a whole site: the boring of every shaft, then each shaft, equal ones once, then the casing for all together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, Site
from methodpick.plan.casing.sizes import CasingSize
from methodpick.plan.judging.planning_input import boring_at_shaft, distance
from methodpick.plan.pipeline import assembled, assumptions_for, doubts_of, plan_shaft, wanted_shafts
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.result import InputStamp, ShaftPlan
from methodpick.plan.result.checks import Check
from methodpick.site.boring_assignment import PlanKey, PreviewCache, assign_boring
from methodpick.site.casing_choice import choose_casing
from methodpick.site.result import Assignment, SitePlan

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

    Shafts that are built alike at the same boring and level share one plan, under their own names; the ways are those that
    :func:`methodpick.plan.pipeline.plan` finds for the same shafts with their borings named, and casing is chosen for all of them
    together. ``stamp`` says which file was read; ``tell`` is called after every shaft.
    Raises InputError where a shaft or its boring is not there.
    """
    wanted = wanted_shafts(site, shafts)
    basis = PlanBasis(site, book, assumptions_for(site, book, assumptions=assumptions))
    kinds = _Kinds(site.model_copy(update={"stock": ()}), book, basis)
    plans, assignments = [], []
    for done, shaft in enumerate(wanted, 1):
        assignments.append(kinds.assign(shaft))
        plans.append(kinds.plan(shaft))
        if tell is not None:
            tell(done, len(wanted))
    made = SitePlan(assembled(basis, replace(stamp, assumptions=assumptions), tuple(plans)), tuple(assignments), len(kinds.planned))
    return choose_casing(site, made, book, kinds.resized)


@dataclass(frozen=True, slots=True)
class _Kind:
    """A shaft with its boring named that stands for all that are built alike, and what its plan is made from."""

    basis: PlanBasis
    boring: Profile
    shaft: Shaft
    context: PlanContext


@dataclass(slots=True)
class _Kinds:
    """Plans shafts, alike ones once, with casing to buy or with the sizes that are chosen for the site."""

    site: Site
    book: Rulebook
    basis: PlanBasis
    planned: dict[PlanKey, ShaftPlan] = field(default_factory=dict)
    _previews: PreviewCache = field(init=False)
    _kinds: dict[PlanKey, _Kind] = field(default_factory=dict)
    _of_shaft: dict[str, tuple[Shaft, PlanKey]] = field(default_factory=dict)
    _resized: dict[tuple[PlanKey, tuple[CasingSize, ...]], ShaftPlan | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Begin with nothing planned."""
        self._previews = PreviewCache(self.site, self.book, self.basis.assumptions)

    def assign(self, shaft: Shaft) -> Assignment:
        """Return the boring that a shaft is planned with."""
        assignment = assign_boring(self.site, shaft, self._previews)
        boring = self.site.boring(assignment.boring)
        key = self._previews.key(boring, shaft)
        self._of_shaft[shaft.id] = shaft, key
        if key not in self._kinds:
            named = shaft.model_copy(update={"boring": boring.id})
            doubts = doubts_of(self.basis.site.model_copy(update={"borings": (boring,), "shafts": (named,)}))
            basis = replace(self.basis, site=self.site, doubts=tuple(doubts))
            context = self._previews.planned_from(key)
            if context is None:
                context = PlanContext(basis, boring_at_shaft(self.site, named, boring, self.book.values), named)
            self._kinds[key] = _Kind(basis, boring, named, context)
        return assignment

    def plan(self, shaft: Shaft) -> ShaftPlan:
        """Return the plan of a shaft that has its boring, with casing to buy."""
        key = self._of_shaft[shaft.id][1]
        kind = self._kinds[key]
        if key not in self.planned:
            self.planned[key] = plan_shaft(kind.basis, kind.boring, kind.shaft, kind.context)
        return _under_own_name(self.planned[key], shaft, distance(kind.boring, shaft))

    def resized(self, name: str, sizes: tuple[CasingSize, ...]) -> ShaftPlan | None:
        """Return the plan of a shaft with the sizes of all its casings, None where a check does not hold as well as before."""
        shaft, key = self._of_shaft[name]
        kind = self._kinds[key]
        if (key, sizes) not in self._resized:
            made = plan_shaft(kind.basis, kind.boring, kind.shaft, kind.context.with_sizes(sizes))
            self._resized[key, sizes] = made if _hold_as_well(made.checks, self.planned[key].checks) else None
        found = self._resized[key, sizes]
        return None if found is None else _under_own_name(found, shaft, distance(kind.boring, shaft))


def _hold_as_well(checks: Sequence[Check], before: Sequence[Check]) -> bool:
    """Return whether no more checks fail or stay open than before."""
    return all(
        sum(check.result == result for check in checks) <= sum(check.result == result for check in before)
        for result in ("fails", "open_likely", "open_range")
    )


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
