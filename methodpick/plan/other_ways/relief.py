"""Relief wells: an engineer's option where water below presses up and no way of building is left that holds it."""

from __future__ import annotations

from methodpick.facts.aquifers import Aquifer
from methodpick.ground.profile import Profile, WaterReading
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.result import Alternate
from methodpick.plan.sequence.path import Path
from methodpick.unit_markup import mark

FAMILY = "relief wells, by the engineer"
STEP_M = 0.1
"""The level to draw down to is found to this (own value)."""


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
    return Alternate(FAMILY, intervals, other.stages(path, hole), hole.casings, None, why)


def _at(context: PlanContext, aquifer: Aquifer, level_m: float) -> tuple[PlanContext, Path] | None:
    frame = context.gatherer.frame
    profile = frame.profile.model_copy(update={"water": _lowered(frame.profile, aquifer, level_m)})
    other = PlanContext(context.site, profile, frame.shaft, context.book, frame.assumptions)
    path = other.best()
    return None if path is None else (other, path)


def _lowered(profile: Profile, aquifer: Aquifer, level_m: float) -> tuple[WaterReading, ...]:
    """Return the readings with those of the aquifer replaced by a measured level."""
    kept = tuple(one for one in profile.water if not _of(one, aquifer))
    return (*kept, WaterReading(reading="piezometer", depth_m=round(level_m, 3), response_zone_m=(aquifer.top_m, aquifer.base_m)))


def _of(reading: WaterReading, aquifer: Aquifer) -> bool:
    """Return whether a reading belongs to an aquifer."""
    if reading.response_zone_m is not None:
        return reading.response_zone_m[0] < aquifer.base_m and reading.response_zone_m[1] > aquifer.top_m
    return reading.struck_m is not None and aquifer.top_m - 0.5 <= reading.struck_m <= aquifer.base_m
