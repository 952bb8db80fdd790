"""The ladder of a shaft: its rungs with what each takes beyond the plan, its fallback with the trigger, and what of the plan is firm.

Firm are the lengths that the cautious way holds alike, where nothing rests on doubt, on an assumption or on a strength that nobody
tested.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Literal

from methodpick.plan.concrete.hole import fluid_filled
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.other_ways.alternates import what_differs
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.reasons.intervals import FREE, DepthSupport, FirmAt, support_at
from methodpick.plan.reasons.notes import CASING_TROUBLE, TROUBLE_DRY, TROUBLE_UNDER_FLUID
from methodpick.plan.result import Placement, Rung
from methodpick.plan.sequence.families import FoundPaths
from methodpick.plan.sequence.path import SequencePath
from methodpick.plan.sequence.search_input import DOUBTFUL, SearchSlice
from methodpick.records import record
from methodpick.terms import OPEN_STATES
from methodpick.vocabulary.values import Span

# ---- The way that is gone over to where the planned one fails: by another plant or way, and the cheapest that avoids the same trouble


SMALL_M = 1e-6


@record
class Fallback:
    """The way that is gone over to, and what on site triggers it."""

    path: SequencePath
    trigger: str


def find_fallback(context: PlanContext, found: FoundPaths, placement: Placement | None = None) -> Fallback | None:
    """Return the fallback of a plan, None where no other way avoids its trouble.

    Where the plan rests on doubtful lengths, they are the trouble; else that it does not reach the tip as planned, or, where casing is
    brought ahead, that its plant does not get through: then no way by the same plant follows. Over open water none empties a hole that
    the plan keeps full.
    """
    best, slices = found.best, context.search_input.slices
    full = context.search_input.options.over_water and not best.is_emptied
    others = [
        path for path in (found.cautious, *(path for _, path in found.others)) if path is not None and _is_another(slices, best, path)
    ]
    others = [path for path in others if not (full and path.is_emptied)]
    in_doubt = doubt_of(slices, best) > SMALL_M
    other_plant = found.cautious is not None and not _ways_of(best) & found.cautious.means
    if found.cautious is not None and found.cautious in others and (other_plant or _leaves_in_doubt_open(slices, best)):
        left_m = doubt_left(slices, best, found.cautious)
        open_m = max(best.score.unsettled_lengths_m, found.cautious.score.unsettled_lengths_m)
        avoiding = [
            path
            for path in others
            if doubt_left(slices, best, path) <= left_m + SMALL_M
            and path.score.unsettled_lengths_m <= open_m
            and (path is found.cautious or (in_doubt and context.is_proven(path)))
        ]
        return Fallback(min(avoiding, key=lambda path: path.cost), what_differs(context, best, placement).trigger)
    return _where_the_last_fails(context, best, others)


def _where_the_last_fails(context: PlanContext, best: SequencePath, others: Sequence[SequencePath]) -> Fallback | None:
    """Return the cheapest way that leaves no more open: by other plant where casing is brought ahead, else one that ends otherwise."""
    ways = _ways_of(best)
    open_m = best.score.open_lengths_m
    no_worse = [path for path in others if path.score.open_lengths_m <= open_m]
    if ways:
        avoiding = [path for path in no_worse if not ways & path.means]
        if not avoiding:
            avoiding = [path for path in (context.best_without(ways),) if path is not None and path.score.open_lengths_m <= open_m]
        if avoiding:
            return Fallback(min(avoiding, key=lambda path: path.score), _go_over(CASING_TROUBLE))
    avoiding = [path for path in no_worse if path.last != best.last]
    trouble = TROUBLE_DRY if best.last == "dry" else TROUBLE_UNDER_FLUID if best.last in OPEN_STATES else CASING_TROUBLE
    return Fallback(min(avoiding, key=lambda path: path.score), _go_over(trouble)) if avoiding else None


def _ways_of(path: SequencePath) -> frozenset[str]:
    """Return the ways by which a path brings casing ahead."""
    return frozenset(segment.way for segment in path.strings if segment.way is not None)


def _go_over(trouble: str) -> str:
    return f"If {trouble}: stop, keep or bring the hole full above the outside water, and go over to this way with the engineer."


# ---- doubt


def _is_another(slices: Sequence[SearchSlice], best: SequencePath, path: SequencePath) -> bool:
    """Return whether a path uses other means than the best one, or cases what is doubtful of its open hole."""
    doubtful = [(run, part) for run, part in _doubtful_runs(slices, best) if run in OPEN_STATES]
    theirs = [part for run, part in _doubtful_runs(slices, path) if run in OPEN_STATES]
    left = sum(max(0.0, min(base, low) - max(top, high)) for _, (top, base) in doubtful for high, low in theirs)
    return path.means != best.means or left < sum(base - top for _, (top, base) in doubtful) - SMALL_M


def _leaves_in_doubt_open(slices: Sequence[SearchSlice], path: SequencePath) -> bool:
    """Return whether a path leaves a length open in a state that is doubtful or worse."""
    return any(state in OPEN_STATES for state, _ in _doubtful_runs(slices, path))


def doubt_of(slices: Sequence[SearchSlice], path: SequencePath) -> float:
    """Return the length that a path drills in a state that is doubtful or worse."""
    return sum(base - top for top, base in _doubtful(slices, path))


def doubt_left(slices: Sequence[SearchSlice], best: SequencePath, path: SequencePath) -> float:
    """Return how much of what is doubtful on the best path is doubtful on another as well."""
    theirs = list(_doubtful(slices, path))
    return sum(
        max(0.0, min(base, other_base) - max(top, other_top)) for top, base in _doubtful(slices, best) for other_top, other_base in theirs
    )


def _doubtful(slices: Sequence[SearchSlice], path: SequencePath) -> Iterator[tuple[float, float]]:
    """Return the lengths of slices that a path drills in a state that is doubtful or worse."""
    return (length for _, length in _doubtful_runs(slices, path))


def _doubtful_runs(slices: Sequence[SearchSlice], path: SequencePath) -> Iterator[tuple[str, tuple[float, float]]]:
    """Return the same lengths, each with its state."""
    for run in path.runs:
        for piece in slices:
            top, base = max(run.top_m, piece.top_m), min(run.base_m, piece.base_m)
            if base > top and piece.logged and piece.rank[run.state] >= DOUBTFUL:
                yield run.state, (top, base)


# ---- The rungs of a shaft: planned, fallback with its trigger, worst credible, each with what it takes beyond the plan


@record
class _Takes:
    """What a way of building takes: casing that counts, fluid to fill the hole, concrete likely and at the high overbreak."""

    casing_m: float
    casing_kg: float
    fluid_m3: float
    concrete_m3: float
    concrete_high_m3: float


def make_rungs(context: PlanContext, found: FoundPaths, placement: Placement | None = None) -> tuple[Rung, ...]:
    """Return the rungs of a shaft, no rung twice; ``placement`` is given where the ground does not decide it, for every rung."""
    best, fallback, worst = found.best, find_fallback(context, found, placement), found.worst or found.best
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
    return Rung(
        name=name,
        method=decision(path, context.worked(path, placement).hole),
        trigger="",
        relative_cost=round(path.cost, 6),
        extra_casing_m=takes.casing_m - planned.casing_m,
        extra_casing_kg=takes.casing_kg - planned.casing_kg,
        extra_fluid_m3=takes.fluid_m3 - planned.fluid_m3,
        extra_concrete_m3=concrete - planned.concrete_m3,
        **context.other_way(path, placement).parts(),
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


# ---- The lengths of a plan that are firm: the cautious way holds them alike, and nothing that holds them rests on doubt


FindPath = Callable[[], SequencePath | None]
"""Finds a path when it is asked for; None where there is none."""


def firm_lengths(context: PlanContext, path: SequencePath, cautious: FindPath, placement: Placement | None) -> FirmAt:
    """Return the function that tells of a depth in a slice whether it is firm.

    The cautious path among the same ways holds it alike, no state that it is in is in doubt, no assumption and no strength that nobody
    tested carries its verdict, and every check that exposes it holds over its range. ``cautious`` is asked last, for it may take a search.
    Checks alone hang on the sizes of casings: the rest is found once for a path.
    """
    start, kept = context.levels.starter_base_m, context.ways.settled.setdefault(path, {})
    doubtful = [check for check in context.checks(path, placement) if check.result not in {"holds", "little_margin"}]

    def firm(judged: JudgedSlice, depth_m: float) -> bool:
        if depth_m not in kept:
            kept[depth_m] = _settled(context, path, judged, depth_m)
        held = kept[depth_m]
        if held is None or any(check.top_m < depth_m < check.base_m for check in doubtful):
            return False
        other = cautious()
        return other is None or support_at(other, depth_m, start, judged).support == held.support

    return firm


def _settled(context: PlanContext, path: SequencePath, judged: JudgedSlice, depth_m: float) -> DepthSupport | None:
    """Return how a path holds a depth in a slice where nothing is in doubt there, checks aside; else None."""
    held = support_at(path, depth_m, context.levels.starter_base_m, judged)
    free = all(judged.verdicts[state].state in FREE for state in held.states)
    return held if free and not _is_assumed(context, judged, held) and not _is_untested(context, judged, held) else None


def _is_assumed(context: PlanContext, judged: JudgedSlice, held: DepthSupport) -> bool:
    """Return whether the verdict of the state that holds a slice rests on an assumed fact, or on water in it that nobody read."""
    if judged.slice.stratum.permeable and not judged.slice.ground.aquifer.read:
        return True
    verdict = judged.verdicts[held.fluid or held.drilled_in or "cased_plug"]
    facts = judged.sheet.facts
    names = {fact for rule in (*verdict.rules, *verdict.open_musts) for fact in context.book.by_id[rule].facts}
    return any(facts[name].assumed for name in names if name in facts)


def _is_untested(context: PlanContext, judged: JudgedSlice, held: DepthSupport) -> bool:
    """Return whether an open wall of clay hangs on a strength that was read off words and blow counts: a test may give less."""
    if "yes" in judged.sheet.choice("strength_tested").at_likely.values:
        return False
    shares = (judged.value_of("overload_share", state) for state in held.states if state in OPEN_STATES)
    return any(isinstance(share, Span) and share.high > context.limits["overload_share_untested"] for share in shares)
