"""The rungs of a shaft: planned, fallback with its trigger, worst credible, each with what it takes beyond the plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from methodpick.plan.concrete.quantities import held_by_fluid
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.result import Rung
from methodpick.plan.sequence.families import Ladder, differs, same
from methodpick.plan.sequence.path import Path


@dataclass(frozen=True, slots=True)
class _Bill:
    """What a way of building takes."""

    casing_m: float
    casing_kg: float
    fluid_m3: float
    concrete_m3: float
    concrete_high_m3: float


def make_rungs(context: PlanContext, ladder: Ladder | None) -> tuple[Rung, ...]:
    """Return the rungs of a shaft; none where nothing can be built, and no rung twice."""
    if ladder is None:
        return ()
    best, fall = ladder.best, _fallback(ladder)
    planned = _bill(context, best)
    rungs = [_rung(context, "planned", best, "", planned, planned, high=False)]
    if fall is not None:
        rungs.append(_rung(context, "fallback", fall, _trigger(context, ladder), _bill(context, fall), planned, high=False))
    worst = ladder.worst or best
    rungs.append(_rung(context, "worst_credible", worst, _worst(ladder), _bill(context, worst), planned, high=True))
    return tuple(rungs)


def _fallback(ladder: Ladder) -> Path | None:
    """Return the cautious plan; where it is the plan itself, the best way that reaches the tip otherwise and leaves no more open.

    A way that reaches the tip as the plan does would meet the same trouble there.
    """
    if ladder.cautious is not None:
        return ladder.cautious
    others = [
        path for _, path in ladder.others if path is not None and path.score[:4] <= ladder.best.score[:4] and path.last != ladder.best.last
    ]
    return min(others, key=lambda path: path.score, default=None)


def _trigger(context: PlanContext, ladder: Ladder) -> str:
    if ladder.cautious is not None:
        return differs(ladder.best, context.judged, context.book)[1]
    state = ladder.best.last
    seen = {
        "dry": "the wall ravels, softens or closes, or water comes in faster than the dry limit",
        "cased_plug": "the casing stops short, cannot be turned, or soil comes in under its shoe",
        "cased_balanced": "the casing stops short, cannot be turned, or soil comes in under its shoe",
    }.get(state, "the fluid level cannot be held, or the wall caves under fluid")
    return f"If {seen}: stop, keep or bring the hole full above the outside water, and go over to this way with the engineer."


def _worst(ladder: Ladder) -> str:
    if ladder.worst is None:
        return "No heavier way is found: the same with the most overbreak that the ground makes credible."
    if same(ladder.worst, ladder.best):
        return "No doubt of the log is about the planned way itself: the same with the most overbreak that the ground makes credible."
    return "Every doubt about the open hole turns out against it, and the ground breaks out as far as is credible."


def _rung(
    context: PlanContext,
    name: Literal["planned", "fallback", "worst_credible"],
    path: Path,
    trigger: str,
    bill: _Bill,
    planned: _Bill,
    *,
    high: bool,
) -> Rung:
    hole, built = context.hole(path), context.built(path)
    concrete = (bill.concrete_high_m3 if high else bill.concrete_m3) - planned.concrete_m3
    return Rung(
        name,
        decision(path, hole.casings, hole.placement, (), context.levels),
        trigger,
        round(path.cost, 6),
        bill.casing_m - planned.casing_m,
        bill.casing_kg - planned.casing_kg,
        bill.fluid_m3 - planned.fluid_m3,
        concrete,
        stages=built.stages,
        casings=built.casings,
        slurries=built.slurries,
        placement=built.placement,
        concrete=built.concrete,
        checks=context.checks(path),
    )


def _bill(context: PlanContext, path: Path) -> _Bill:
    hole = context.hole(path)
    strings = [casing for casing in hole.casings if casing.kind != "starter"]
    fluid, _ = held_by_fluid(context.gatherer.frame.shaft, path, context.levels, hole.casings)
    return _Bill(
        sum(casing.length_m for casing in strings),
        sum(casing.mass_kg for casing in strings),
        fluid,
        hole.concrete.expected_m3,
        hole.concrete.expected_high_m3,
    )
