"""Relief wells: an engineer's option where water below presses up and no way of building is left that holds it."""

from __future__ import annotations

from methodpick.facts.aquifers import Aquifer
from methodpick.ground.drawdown import drawn_down
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.result import Alternate, Drawdown
from methodpick.plan.sequence.path import Path
from methodpick.unit_markup import mark

FAMILY = "relief wells, by the engineer"
STEP_M = 0.1
"""The search for the level to draw down to ends when it is known to this; wells are not steered more closely."""


def relief(context: PlanContext, best: Path | None) -> tuple[Alternate, ...]:
    """Return the option where the best plan leaves a length against uplift, or there is none: the least drawdown that builds."""
    if best is not None and (best.score[1] + best.score[2] <= 0.0 or not _lifted(context, best)):
        return ()
    found = None
    for aquifer in context.gatherer.aquifers:
        if aquifer.kind != "main" and aquifer.level_m.likely is not None and aquifer.level_m.likely < aquifer.top_m:
            found = found or _drawn_down(context, aquifer, best)
    return () if found is None else (found,)


def _lifted(context: PlanContext, best: Path) -> bool:
    """Return whether the water below is what stays open on the planned states."""
    for run in (run for segment in best.segments for run in segment.runs):
        for one in context.judged:
            if one.slice.top_m < run.base_m and one.slice.base_m > run.top_m:
                verdict = one.verdicts[run.state]
                if any(context.book.by_id[name].hazard == "uplift" for name in (*verdict.rules, *verdict.open_musts)):
                    return True
    return False


def _drawn_down(context: PlanContext, aquifer: Aquifer, best: Path | None) -> Alternate | None:
    """Bisect for the highest level of the aquifer at which a plan is left without open hazards."""
    now = aquifer.level_m.likely or 0.0
    high, low = now, max(aquifer.top_m, context.gatherer.frame.shaft.tip_m) + 1.0
    lowest = _at(context, aquifer, low)
    if lowest is None or (best is not None and lowest[1].score[:3] >= best.score[:3]):
        return None
    made = lowest
    while low - high > STEP_M:
        middle = (low + high) / 2
        tried = _at(context, aquifer, middle)
        if tried is not None and tried[1].score[:3] <= lowest[1].score[:3]:
            low, made = middle, tried
        else:
            high = middle
    other, path = made
    hole = other.hole(path)
    intervals = other.intervals(path, {})
    text = decision(path, hole.casings, hole.placement, intervals, other.levels)
    why = (
        f"Only by the engineer, where nothing else holds: wells that keep the water of the ground below {mark(aquifer.top_m, 'm')} at "
        f"{mark(low, 'm')} or deeper, {mark(low - now, 'm')} lower than it likely stands, from before the drilling until the concrete "
        f"has set. Then: {text} The wells, what the drawdown does to neighbours, and the permit are the engineer's."
    )
    built = other.built(path)
    return Alternate(
        FAMILY,
        intervals,
        built.stages,
        built.casings,
        None,
        why,
        slurries=built.slurries,
        placement=built.placement,
        concrete=built.concrete,
        checks=other.checks(path),
        drawdown=Drawdown(aquifer.top_m, aquifer.base_m, round(low, 3), other.hole_levels(), other.cuts_m()),
    )


def _at(context: PlanContext, aquifer: Aquifer, level_m: float) -> tuple[PlanContext, Path] | None:
    frame = context.gatherer.frame
    profile = drawn_down(frame.profile, (aquifer.top_m, aquifer.base_m), level_m)
    other = PlanContext(context.site, profile, frame.shaft, context.book, frame.assumptions)
    path = other.best()
    return None if path is None else (other, path)
