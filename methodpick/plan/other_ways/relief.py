"""Relief wells: an engineer's option where water below presses up and no way of building is left that holds it."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.facts.aquifer import Aquifer
from methodpick.ground.boring_at_shaft import drawn_down
from methodpick.plan.other_ways.alternates import not_proven
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.result import Alternate, Drawdown
from methodpick.plan.sequence.path import SequencePath
from methodpick.unit_markup import mark

FAMILY = "relief wells, by the engineer"
STEP_M = 0.1
"""The search for the level to draw down to ends when it is known to this; wells are not steered more closely."""


@dataclass(frozen=True, slots=True)
class _DrawnDown:
    """The plan with an aquifer drawn down to a level."""

    level_m: float
    context: PlanContext
    path: SequencePath


def relief(context: PlanContext, best: SequencePath | None) -> tuple[Alternate, ...]:
    """Return the least drawdown that builds, where the best plan leaves a length against uplift, or nothing can be built; else nothing."""
    if best is not None and (best.score.unlikely_m + best.score.unknown_m <= 0.0 or not _is_lifted(context, best)):
        return ()
    for aquifer in context.ground.aquifers:
        likely = aquifer.level_m.likely
        if aquifer.kind != "main" and likely is not None and likely < aquifer.top_m:
            drawn_down = _least_drawdown(context, aquifer, likely, best)
            if drawn_down is not None:
                return (_alternate(drawn_down, aquifer, likely),)
    return ()


def _is_lifted(context: PlanContext, best: SequencePath) -> bool:
    """Return whether the water below is what stays open on the planned states."""
    by_id = context.book.by_id
    return any(
        by_id[rule].hazard == "uplift"
        for run in best.runs
        for judged in context.ground.slices
        if judged.top_m < run.base_m and judged.base_m > run.top_m
        for rule in (*judged.verdicts[run.state].rules, *judged.verdicts[run.state].open_musts)
    )


def _least_drawdown(context: PlanContext, aquifer: Aquifer, now_m: float, best: SequencePath | None) -> _DrawnDown | None:
    """Bisect for the highest level of the aquifer at which a plan is left without open hazards."""
    high, low = now_m, max(aquifer.top_m, context.shaft.tip_m) + 1.0
    lowest = _at(context, aquifer, low)
    if lowest is None or (best is not None and lowest.path.score.unsettled_lengths_m >= best.score.unsettled_lengths_m):
        return None
    found = lowest
    while found.level_m - high > STEP_M:
        middle = (found.level_m + high) / 2
        tried = _at(context, aquifer, middle)
        if tried is not None and tried.path.score.unsettled_lengths_m <= lowest.path.score.unsettled_lengths_m:
            found = tried
        else:
            high = middle
    return found


def _alternate(drawn_down: _DrawnDown, aquifer: Aquifer, now_m: float) -> Alternate:
    context, path, level = drawn_down.context, drawn_down.path, drawn_down.level_m
    worked, intervals = context.worked(path), context.intervals(path, lambda *_: False)
    why = (
        f"Only by the engineer, where nothing else holds: wells that keep the water of the ground below {mark(aquifer.top_m, 'm')} at "
        f"{mark(level, 'm')} or deeper, {mark(level - now_m, 'm')} lower than it likely stands, from before the drilling until the "
        f"concrete has set. Then: {decision(path, worked.hole, intervals)} The wells, what the drawdown does to neighbours, and the permit "
        "are the engineer's."
    )
    built, checks = context.built(path), context.checks(path)
    return Alternate(
        family=FAMILY,
        intervals=intervals,
        stages=built.stages,
        casings=built.casings,
        relative_cost=None,
        why_not=f"{why} {not_proven(context, path)}".strip(),
        slurries=context.slurries(path),
        placement=built.placement,
        concrete=built.concrete,
        checks=checks,
        proven=context.is_proven(path),
        trials_ended=context.trials_ended(path),
        drawdown=Drawdown(
            aquifer_top_m=aquifer.top_m,
            aquifer_base_m=aquifer.base_m,
            level_m=round(level, 3),
            levels=context.hole_levels(),
            cuts_m=context.cuts_m(),
        ),
    )


def _at(context: PlanContext, aquifer: Aquifer, level_m: float) -> _DrawnDown | None:
    """Return the plan with the aquifer at a level, None where nothing can be built."""
    profile = context.ground.profile
    lowered = drawn_down(profile, (aquifer.top_m, aquifer.base_m), level_m)
    other = PlanContext(context.basis, lowered, context.shaft)
    path = other.best_proven()
    return None if path is None else _DrawnDown(level_m, other, path)
