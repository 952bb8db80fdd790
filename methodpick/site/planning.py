"""Plan a whole site: the boring of every shaft, then each shaft, equal ones once, then the casing for all together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field, replace

from methodpick.collector import collector_paused
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, Site
from methodpick.plan.casing.sizes import CasingSize
from methodpick.plan.pipeline import assembled, assumptions_for, doubts_of, plan_shaft, wanted_shafts
from methodpick.plan.plan_context import PlanBasis, PlanContext, shaft_context
from methodpick.plan.result import InputStamp, ShaftPlan
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.site.assignment import Assignment
from methodpick.site.boring_assignment import PlanKey, PreviewCache, assign_boring
from methodpick.site.casing_choice import choose_casing
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

    Shafts that are built alike at the same boring and level share one plan, under their own names; the ways are those that
    :func:`methodpick.plan.pipeline.plan` finds for the same shafts with their borings named, and casing is chosen for all of them
    together. ``stamp`` says which file was read; ``tell`` is called after every shaft.
    Raises InputError where a shaft or its boring is not there.
    """
    planner = SitePlanner(site, book, assumptions=assumptions)
    return planner.plan_by(planner.as_planned, planner.resized, stamp=stamp, shafts=shafts, tell=tell)


ResizeKind = Callable[["KindOfShaft", tuple[CasingSize, ...]], ShaftPlan | None]
"""Plans a kind of shaft again with the sizes of all its casings, outermost first; None where it keeps those that it has."""


@record
class KindOfShaft:
    """A shaft, with its boring named, that stands for all that are built alike; and what its plan is made from."""

    key: PlanKey
    shaft: Shaft
    boring: Profile
    basis: PlanBasis
    context: PlanContext


class SitePlanner:
    """Plans the shafts of a site in one way or another: the ground of each kind of shaft is gathered and judged once for all ways.

    Each kind is planned with casing to buy; what the yard has is for the choice of casing for all shafts together.
    """

    def __init__(self, site: Site, book: Rulebook, *, assumptions: bool = True) -> None:
        self.site, self.book, self.assumptions = site, book, assumptions
        self.basis = PlanBasis(site, book, assumptions_for(site, book, assumptions=assumptions))
        self._without_yard = site.model_copy(update={"stock": ()})
        self._previews = PreviewCache(self._without_yard, book, self.basis.assumptions)
        self._assignments: dict[str, Assignment] = {}
        self._kinds: dict[PlanKey, KindOfShaft] = {}
        self._plans: dict[PlanKey, ShaftPlan] = {}

    def as_planned(self, kind: KindOfShaft) -> ShaftPlan:
        """Return the plan of a kind of shaft; made once."""
        if kind.key not in self._plans:
            self._plans[kind.key] = plan_shaft(kind.basis, kind.boring, kind.shaft, kind.context)
        return self._plans[kind.key]

    def resized(self, kind: KindOfShaft, sizes: tuple[CasingSize, ...]) -> ShaftPlan | None:
        """Return the plan of a kind of shaft with the sizes of all its casings; None where no way builds it."""
        path = kind.context.best()
        return None if path is None else plan_shaft(kind.basis, kind.boring, kind.shaft, kind.context.with_sizes(path, sizes))

    def kind_of(self, shaft: Shaft) -> KindOfShaft:
        """Return the kind of a shaft, by the boring that decides for it. Raises InputError where that is not there."""
        if shaft.id not in self._assignments:
            self._assignments[shaft.id] = assign_boring(self.site, shaft, self._previews)
        boring = self.site.boring(self._assignments[shaft.id].boring)
        key = self._previews.key(boring, shaft)
        if key not in self._kinds:
            named = shaft.model_copy(update={"boring": boring.id})
            doubts = doubts_of(self.site.model_copy(update={"borings": (boring,), "shafts": (named,)}))
            basis = replace(self.basis, site=self._without_yard, doubts=tuple(doubts))
            context = self._previews.planned_from(key) or shaft_context(basis, self._previews.at_shaft(boring, named), named)
            self._kinds[key] = KindOfShaft(key=key, shaft=named, boring=boring, basis=basis, context=context)
        return self._kinds[key]

    @collector_paused()
    def plan_by(
        self,
        way: Callable[[KindOfShaft], ShaftPlan],
        resize: ResizeKind | None = None,
        *,
        stamp: InputStamp = NO_FILE,
        shafts: Sequence[str] | None = None,
        tell: Progress | None = None,
    ) -> SitePlan:
        """Plan all shafts, or those named, each kind by ``way``; ``tell`` is called after every shaft.

        Casing is chosen for all of them together where ``resize`` plans a kind again with other sizes.
        """
        wanted = wanted_shafts(self.site, shafts)
        planned: dict[PlanKey, ShaftPlan] = {}
        plans = []
        for done, shaft in enumerate(wanted, 1):
            kind = self.kind_of(shaft)
            if kind.key not in planned:
                planned[kind.key] = way(kind)
            plans.append(_under_own_name(planned[kind.key], shaft, shaft.away_m(kind.boring)))
            if tell is not None:
                tell(done, len(wanted))
        assignments = tuple(self._assignments[shaft.id] for shaft in wanted)
        stamp = replace(stamp, assumptions=self.assumptions)
        made = SitePlan(assembled(self.basis, stamp, tuple(plans)), assignments, len(planned))
        if resize is None:
            return made
        kinds = {shaft.id: (shaft, self.kind_of(shaft)) for shaft in wanted}
        return choose_casing(self.site, made, self.book, _Resizing(kinds, planned, resize).plan)


@record(frozen=False)
class _Resizing:
    """Plans shafts again with the sizes that are chosen for the site, each kind once for the same sizes."""

    shafts: Mapping[str, tuple[Shaft, KindOfShaft]]
    planned: Mapping[PlanKey, ShaftPlan]
    resize: ResizeKind
    made: dict[tuple[PlanKey, tuple[CasingSize, ...]], ShaftPlan | None] = field(default_factory=dict)

    def plan(self, name: str, sizes: tuple[CasingSize, ...]) -> ShaftPlan | None:
        """Return the plan of a shaft with the sizes of all its casings; None where a check does not hold as well as before."""
        shaft, kind = self.shafts[name]
        if (kind.key, sizes) not in self.made:
            plan = self.resize(kind, sizes)
            as_well = plan is not None and _hold_as_well(plan.checks, self.planned[kind.key].checks)
            self.made[kind.key, sizes] = plan if as_well else None
        found = self.made[kind.key, sizes]
        return None if found is None else _under_own_name(found, shaft, shaft.away_m(kind.boring))


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
    design = plan.design.placed_at(shaft.position)
    return replace(plan.named(shaft.id), count=shaft.count, boring_distance_m=distance_m, design=design)
