"""The rungs of a shaft: planned, fallback with its trigger, worst credible, each with what it takes beyond the plan."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from methodpick.plan.concrete.quantities import fluid_filled
from methodpick.plan.other_ways.fallback import find_fallback
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.result import Placement, Rung
from methodpick.plan.sequence.families import FoundPaths
from methodpick.plan.sequence.path import SequencePath


@dataclass(frozen=True, slots=True)
class _Takes:
    """What a way of building takes: casing that counts, fluid to fill the hole, concrete likely and at the high overbreak."""

    casing_m: float
    casing_kg: float
    fluid_m3: float
    concrete_m3: float
    concrete_high_m3: float


def make_rungs(context: PlanContext, found: FoundPaths, placement: Placement | None = None) -> tuple[Rung, ...]:
    """Return the rungs of a shaft, no rung twice; ``placement`` is given where the ground does not decide it, for every rung."""
    best, fallback, worst = found.best, find_fallback(context, found), found.worst or found.best
    rungs = [_rung(context, "planned", (best, best), placement)]
    if fallback is not None:
        rungs.append(replace(_rung(context, "fallback", (fallback.path, best), placement), trigger=fallback.trigger))
    rungs.append(replace(_rung(context, "worst_credible", (worst, best), placement), trigger=_worst_words(found)))
    return tuple(rungs)


def _rung(
    context: PlanContext,
    name: Literal["planned", "fallback", "worst_credible"],
    paths: tuple[SequencePath, SequencePath],
    placement: Placement | None,
) -> Rung:
    """Return a rung with what it takes beyond the plan, from its path and the plan's; the worst credible one with the high overbreak."""
    path, best = paths
    planned, takes = _takes(context, best, placement), _takes(context, path, placement)
    concrete = takes.concrete_high_m3 if name == "worst_credible" else takes.concrete_m3
    built, checks = context.built(path, placement), context.checks(path, placement)
    return Rung(
        name=name,
        method=decision(path, context.worked(path, placement).hole),
        trigger="",
        relative_cost=round(path.cost, 6),
        extra_casing_m=takes.casing_m - planned.casing_m,
        extra_casing_kg=takes.casing_kg - planned.casing_kg,
        extra_fluid_m3=takes.fluid_m3 - planned.fluid_m3,
        extra_concrete_m3=concrete - planned.concrete_m3,
        stages=built.stages,
        casings=built.casings,
        slurries=context.slurries(path),
        placement=built.placement,
        concrete=built.concrete,
        checks=checks,
        proven=context.is_proven(path, placement),
        trials_ended=context.trials_ended(path),
    )


def _worst_words(found: FoundPaths) -> str:
    if found.worst is None:
        return "No heavier way is found: the same with the most overbreak that the ground makes credible."
    if found.worst.is_built_as(found.best):
        return "No doubt of the log is about the planned way itself: the same with the most overbreak that the ground makes credible."
    return "Every doubt about the open hole turns out against it, and the ground breaks out as far as is credible."


def _takes(context: PlanContext, path: SequencePath, placement: Placement | None) -> _Takes:
    hole = context.worked(path, placement).hole
    strings = [casing for casing in hole.casings if not casing.is_starter]
    fluid_m3, _ = fluid_filled(context.ground, path, context.levels, hole.casings)
    return _Takes(
        casing_m=sum(casing.length_m for casing in strings),
        casing_kg=sum(casing.mass_kg for casing in strings),
        fluid_m3=fluid_m3,
        concrete_m3=hole.concrete.expected_m3,
        concrete_high_m3=hole.concrete.expected_high_m3,
    )
