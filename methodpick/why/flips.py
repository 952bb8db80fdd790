"""The nearest change that flips an interval: each input alone, then pairs, by bisection on the real plan.

From its present value each input goes outward through a few values of its credible range; where the support differs, the change
is bisected to one step. The shaft is planned anew for every value tried; nothing is guessed from single rules.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations, pairwise

from methodpick.collector import collector_paused
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.fitted_boring import join_equal_layers
from methodpick.ground.site import Shaft, Site
from methodpick.plan.judging.planning_input import boring_for, with_boring_at_shaft
from methodpick.plan.pipeline import assumptions_for
from methodpick.plan.plan_context import PlanBasis, PlanContext, shaft_context
from methodpick.plan.proving.ground_facts import ProvedFacts
from methodpick.plan.reasons.intervals import UNDECIDED, DepthSupport, support_at
from methodpick.plan.result import Flip, ShaftPlan
from methodpick.plan.sequence.known_searches import KnownSearches
from methodpick.plan.sequence.path import SequencePath
from methodpick.records import record
from methodpick.vocabulary.assumptions import Assumption
from methodpick.why.ground_changes import layer_changes, water_changes
from methodpick.why.input_change import InputChange, design_changes

USABLE = {"allowed", "discouraged", "doubtful"}
"""Verdicts under which the expected plan uses a state."""
GRID = 5
"""Equal parts of the range at whose ends an input is tried that the log does not give."""


@record
class ShaftQuestion:
    """One shaft of a site with the rulebook and the assumptions by which it is planned.

    ``proved`` are the proofs by their facts, and ``searched`` the paths by what was searched, that the plans on all changed copies of the
    site share.
    """

    site: Site
    shaft: str
    book: Rulebook
    assumptions: tuple[Assumption, ...]
    proved: ProvedFacts = field(default_factory=dict, compare=False, repr=False)
    searched: KnownSearches = field(default_factory=KnownSearches, compare=False, repr=False)

    def context(self, site: Site) -> PlanContext:
        """Return what the plan of the shaft is made from, on the site or on a changed copy of it.

        Raises StopIteration where the site has no shaft of that name.
        """
        shaft = next(shaft for shaft in site.shafts if shaft.id == self.shaft)
        basis = PlanBasis(site, self.book, self.assumptions, proved=self.proved, searched=self.searched)
        return shaft_context(basis, boring_for(site, shaft, self.book.values), shaft)


def question_of(plan: ShaftPlan, question: ShaftQuestion) -> tuple[ShaftQuestion, PlanContext]:
    """Return a question about a plan and what the shaft is planned from now: what the plan was made from, where the question asks of that.

    The proofs that the plan made are shared then, for they are made under the same rulebook.
    """
    made = plan.other_ways.made_from
    if isinstance(made, PlanContext) and _asks_of(question, made):
        return replace(question, proved=made.basis.proved), made
    return question, question.context(question.site)


def _asks_of(question: ShaftQuestion, made: PlanContext) -> bool:
    """Return whether a plan was made from all that a question would plan the shaft from: ground, design, rulebook and assumptions."""
    site, basis, frame = question.site, made.basis, made.gatherer.frame
    shaft = next(shaft for shaft in site.shafts if shaft.id == question.shaft)
    return (
        basis.book is question.book
        and basis.assumptions == question.assumptions
        and not made.is_constrained
        and frame.shaft == shaft
        and frame.profile == join_equal_layers(boring_for(site, shaft, question.book.values))
        and _around(basis.site, shaft) == _around(site, shaft)
    )


def _around(site: Site, shaft: Shaft) -> Site:
    """Return a site without the boring of a shaft, which may be as logged or set over, and without the names of borings at shafts."""
    others = tuple(boring for boring in site.borings if boring.id != shaft.boring)
    return site.model_copy(update={"borings": others, "shafts": tuple(each.model_copy(update={"boring": None}) for each in site.shafts)})


def shaft_question(site: Site, book: Rulebook, shaft: str, *, assumptions: bool = True) -> ShaftQuestion:
    """Return a question about a shaft, its boring named and set over to the ground of the shaft.

    ``assumptions`` off takes only what is logged, as the plan does.
    """
    return ShaftQuestion(with_boring_at_shaft(site, shaft, book.values), shaft, book, assumptions_for(site, book, assumptions=assumptions))


def supports_at(context: PlanContext, depths_m: Sequence[float]) -> tuple[DepthSupport, ...]:
    """Return how each depth is held by the expected plan of the shaft; a depth below the tip is held by nothing."""
    return supports_of(context, context.best(), depths_m)


def supports_of(context: PlanContext, path: SequencePath | None, depths_m: Sequence[float]) -> tuple[DepthSupport, ...]:
    """Return how each depth is held by a path through the ground of a context; undecided where there is none."""
    if path is None:
        return (UNDECIDED,) * len(depths_m)
    supports = []
    for depth in depths_m:
        judged = next((judged for judged in context.ground.slices if judged.top_m <= depth <= judged.base_m), None)
        supports.append(UNDECIDED if judged is None else support_at(path, depth, context.levels.starter_base_m, judged))
    return tuple(supports)


@dataclass
class FlipSearch:
    """Searches the flips at depths of one shaft; every changed site is planned once for all depths.

    ``plans`` counts the plans made. The index of a method's argument is that of a depth in ``depths_m``.
    """

    question: ShaftQuestion
    depths_m: Sequence[float]
    plans: int = 0
    _planned: dict[tuple[tuple[str, int], ...], tuple[DepthSupport, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.context = self.question.context(self.question.site)
        self.now = supports_at(self.context, self.depths_m)

    def singles(self, index: int) -> tuple[Flip, ...]:
        """Return the nearest flip of each input alone, the nearest first."""
        flips = [flip for change in self.changes(index) for flip in self._alone(change, index)]
        return _nearest_first(flips)

    def pairs(self, index: int) -> tuple[Flip, ...]:
        """Return the flips of two inputs together where neither flips alone, the nearest first."""
        idle = [change for change in self.changes(index) if change.credible.now is not None and not list(self._alone(change, index))]
        flips = [flip for first, second in combinations(idle, 2) for flip in self._together(first, second, index)]
        return _nearest_first(flips)

    def changes(self, index: int) -> tuple[InputChange, ...]:
        """Return the inputs that are tried for a depth: the water, its own layer, the layer that decides for it, the design."""
        gatherer, depth = self.context.gatherer, self.depths_m[index]
        strata = dict.fromkeys((self._stratum(index), *self._deciding(index)))
        ground = [change for place in strata if gatherer.strata[place].logged for change in layer_changes(gatherer, gatherer.strata[place])]
        return (*water_changes(gatherer, depth), *ground, *design_changes(self.context, depth))

    def _stratum(self, index: int) -> int:
        depth = self.depths_m[index]
        return next(stratum.index for stratum in self.context.gatherer.strata if stratum.top_m <= depth <= stratum.base_m)

    def _deciding(self, index: int) -> Iterator[int]:
        """Return the shallowest layer that does not stand dry, where a depth that would stand dry is held otherwise for it."""

        def stands(depth_m: float) -> bool:
            return any(
                judged.top_m <= depth_m <= judged.base_m and judged.verdicts["dry"].state in USABLE for judged in self.context.ground.slices
            )

        if self.now[index].support not in {"dry", "undecided"} and stands(self.depths_m[index]):
            for judged in self.context.ground.slices:
                if judged.logged and judged.verdicts["dry"].state not in USABLE:
                    yield judged.slice.stratum.index
                    return

    @collector_paused()
    def _held(self, key: tuple[tuple[str, int], ...], site: Site) -> tuple[DepthSupport, ...]:
        if site == self.question.site:  # an input written out as it is
            return self.now
        if key not in self._planned:
            self.plans += 1
            self._planned[key] = supports_at(self.question.context(site), self.depths_m)
        return self._planned[key]

    def _at(self, change: InputChange, steps: int, index: int) -> DepthSupport:
        return self._held(((change.words, steps),), change.site_after(self.question.site, steps))[index]

    def _alone(self, change: InputChange, index: int) -> Iterator[tuple[float, Flip]]:
        """Return the nearer flip of an input, with how far it lies as a share of the credible range."""
        was, credible = self.now[index].support, change.credible
        if credible.now is None:
            yield from self._not_given(change, index)
            return
        if self._at(change, 0, index).support != was:
            return  # to write the input out at its likely value must change nothing
        first = self.context.limits["flip_first_share"]
        both = [self._outward(change, index, _tries(end, first)) for end in (-credible.steps_down, credible.steps_up)]
        hits = [steps for steps in both if steps is not None]
        if hits:
            steps = min(hits, key=abs)
            yield abs(steps) / max(credible.steps_down, credible.steps_up), _flip(change, steps, self._at(change, steps, index))

    def _outward(self, change: InputChange, index: int, tries: Sequence[int]) -> int | None:
        """Go outward; where the support differs, return the least steps known to change it."""
        was, last = self.now[index].support, 0
        for steps in tries:
            if self._at(change, steps, index).support != was:
                return self._bisected(change, index, last, steps)
            last = steps
        return None

    def _bisected(self, change: InputChange, index: int, same: int, other: int) -> int:
        was = self.now[index].support
        return least_that_changes(same, other, lambda steps: self._at(change, steps, index).support != was)

    def _not_given(self, change: InputChange, index: int) -> Iterator[tuple[float, Flip]]:
        """Look over the range of an input that the log does not give, from the far end, for where reading it would matter."""
        was, up = self.now[index].support, change.credible.steps_up
        grid = sorted({round(up * part / GRID) for part in range(GRID + 1)}, reverse=True)
        supports = [self._at(change, steps, index).support for steps in grid]
        if all(support != was for support in supports):
            yield 0.0, replace(_flip(change, grid[0], self._at(change, grid[0], index)), flips_at=None)
            return
        for (first, upper), (second, lower) in pairwise(zip(grid, supports, strict=True)):
            if (upper == was) != (lower == was):
                same, differs = (first, second) if upper == was else (second, first)
                steps = self._bisected(change, index, same, differs)
                yield 0.5, _flip(change, steps, self._at(change, steps, index))
                return

    def _together(self, first: InputChange, second: InputChange, index: int) -> Iterator[tuple[float, Flip]]:
        """Move two inputs together, each by the same share of its way, toward the four corners of their ranges."""
        best: tuple[float, Flip] | None = None
        for far_first in {-first.credible.steps_down, first.credible.steps_up} - {0}:
            for far_second in {-second.credible.steps_down, second.credible.steps_up} - {0}:
                share = self._share(first, second, (far_first, far_second), index)
                if share is not None and (best is None or share < best[0]):
                    steps = _part(far_first, share), _part(far_second, share)
                    then = self._both(first, second, steps)[index]
                    best = share, replace(_flip(first, steps[0], then), together=_flip(second, steps[1], then))
        if best is not None:
            yield best

    def _share(self, first: InputChange, second: InputChange, far: tuple[int, int], index: int) -> float | None:
        """Return the least share of the way to a corner that changes the support, to a hundredth."""
        was = self.now[index].support

        def changes(hundredths: int) -> bool:
            share = hundredths / 100
            return self._both(first, second, (_part(far[0], share), _part(far[1], share)))[index].support != was

        return least_that_changes(0, 100, changes) / 100 if changes(100) else None

    def _both(self, first: InputChange, second: InputChange, steps: tuple[int, int]) -> tuple[DepthSupport, ...]:
        key = ((first.words, steps[0]), (second.words, steps[1]))
        return self._held(key, second.site_after(first.site_after(self.question.site, steps[0]), steps[1]))


def least_that_changes(same: int, other: int, changes: Callable[[int], bool]) -> int:
    """Return the step nearest to one that changes nothing which is known to change something, by bisection from one that does.

    >>> least_that_changes(0, -40, lambda steps: steps <= -13)
    -13
    """
    while abs(other - same) > 1:
        middle = (same + other) // 2
        same, other = (same, middle) if changes(middle) else (middle, other)
    return other


def _nearest_first(flips: Sequence[tuple[float, Flip]]) -> tuple[Flip, ...]:
    return tuple(flip for _, flip in sorted(flips, key=lambda pair: pair[0]))


def _flip(change: InputChange, steps: int, then: DepthSupport) -> Flip:
    credible = change.credible
    step = credible.value(steps) - credible.value(steps - (1 if steps > 0 else -1))
    return Flip(
        input=change.name,
        said=change.words,
        design=change.by_design,
        now=credible.now,
        flips_at=credible.value(steps),
        step=step,
        unit=credible.unit,
        then=then.support,
        fluid=then.fluid,
    )


def _tries(end: int, first_share: float) -> list[int]:
    """Return the steps to try on one side: a first share of the way, then its end.

    >>> _tries(24, 0.25), _tries(-2, 0.25), _tries(0, 0.25)
    ([6, 24], [-1, -2], [])
    """
    return list(dict.fromkeys(steps for share in (first_share, 1.0) if (steps := _part(end, share))))


def _part(end: int, share: float) -> int:
    """Return a share of the steps to an end, at least one."""
    part = max(1, round(abs(end) * share)) if end else 0
    return part if end > 0 else -part
