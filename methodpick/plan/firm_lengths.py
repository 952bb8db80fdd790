"""Which lengths of a plan are firm: nothing that holds them rests on doubt, on an assumption or on a strength that nobody tested."""

from __future__ import annotations

from collections.abc import Callable

from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.intervals import FREE, DepthSupport, FirmAt, support_at
from methodpick.plan.result import Placement
from methodpick.plan.sequence.path import SequencePath
from methodpick.terms import OPEN_STATES
from methodpick.vocabulary.values import Span

FindPath = Callable[[], SequencePath | None]
"""Finds a path when it is asked for; None where there is none."""


def firm_lengths(context: PlanContext, path: SequencePath, cautious: FindPath, placement: Placement | None) -> FirmAt:
    """Return the function that tells of a depth in a slice whether it is firm.

    The cautious path among the same ways holds it alike, no state that it is in is in doubt, no assumption and no strength that nobody
    tested carries its verdict, and every check that exposes it holds over its range. ``cautious`` is asked last, for it may take a search.
    """
    start = context.levels.starter_base_m
    settled = _settled_lengths(context, path, placement)

    def firm(judged: JudgedSlice, depth_m: float) -> bool:
        if not settled(judged, depth_m):
            return False
        other, held = cautious(), support_at(path, depth_m, start, judged)
        return other is None or support_at(other, depth_m, start, judged).support == held.support

    return firm


def _settled_lengths(context: PlanContext, path: SequencePath, placement: Placement | None) -> FirmAt:
    """Return the function that tells of a depth in a slice whether a path alone leaves nothing in doubt there."""
    start = context.levels.starter_base_m
    doubtful = [check for check in context.checks(path, placement) if check.result not in {"holds", "little_margin"}]

    def settled(judged: JudgedSlice, depth_m: float) -> bool:
        held = support_at(path, depth_m, start, judged)
        return (
            all(judged.verdicts[state].state in FREE for state in held.states)
            and not _is_assumed(context, judged, held)
            and not _is_untested(context, judged, held)
            and not any(check.top_m < depth_m < check.base_m for check in doubtful)
        )

    return settled


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
    shares = (judged.values(state).get("overload_share") for state in held.states if state in OPEN_STATES)
    return any(isinstance(share, Span) and share.high > context.limits["overload_share_untested"] for share in shares)
