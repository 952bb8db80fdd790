"""What a must rule that compares one fact with a limit says of a slice in a state, whatever stage opens it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Threshold
from methodpick.plan.checks.record import gravity
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.result.checks import CheckResult, Ends
from methodpick.terms import STATES
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

LIFE = frozenset({"uplift", "base-instability"})
"""Hazards of the base: short at the likely values is short."""


class SliceComparison(NamedTuple):
    """A fact of a slice against the limit of a rule; it is written only for the worst slice of a stage, that of the greatest gravity."""

    piece: JudgedSlice
    threshold: Threshold
    value: Span
    limit: float
    has: Ends
    margin: Ends
    result: CheckResult
    gravity: tuple[int, float]


def compare_slice(piece: JudgedSlice, state: str, limits: Mapping[str, Limit]) -> Iterator[SliceComparison]:
    """Return the comparisons of all must rules that speak of a support state by one number; none where no log tells of the slice."""
    if state not in STATES or not piece.logged:
        return
    values, of_state = piece.slice_values, piece.state_values.get(state, {})
    for outcomes in (piece.outcomes, piece.state_outcomes[state]):
        for threshold in outcomes.scope.thresholds[state]:
            value = of_state.get(threshold.fact, values.get(threshold.fact))
            if isinstance(value, Span):
                limit = threshold.number if threshold.limit is None else limits[threshold.limit].value
                result = _result(threshold.rule, *outcomes.of(threshold.rule.id))
                has, margin = _ends(value, limit, below=threshold.below)
                yield SliceComparison(piece, threshold, value, limit, has, margin, result, gravity(result, margin))


def _ends(value: Span, limit: float, *, below: bool) -> tuple[Ends, Ends]:
    """Return a value at its adverse end, likely and at its best end, and what is left over the limit or up to it."""
    adverse, best, sign = (value.low, value.high, 1.0) if below else (value.high, value.low, -1.0)
    likely = None if value.likely is None else sign * (value.likely - limit)
    return Ends(adverse, value.likely, best), Ends(sign * (adverse - limit), likely, sign * (best - limit))


def _result(rule: Rule, on_range: int, at_likely: int) -> CheckResult:
    """Return what a must exclude says as a check: it speaks where the state is short."""
    if on_range == TRUE or (at_likely == TRUE and rule.hazard in LIFE):
        return "fails"
    if at_likely == TRUE:
        return "open_likely"
    if at_likely == OPEN:
        return "unknown"
    return "holds" if on_range == FALSE else "open_range"
