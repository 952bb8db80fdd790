"""Explain why a depth is held as it is, why not otherwise, and what would change it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem
from methodpick.ground.site import Site
from methodpick.plan.result import Interval, Plan, ShaftPlan, StateVerdict
from methodpick.why.derivation import Derivation
from methodpick.why.flips import FlipSearch, ShaftQuestion, shaft_question
from methodpick.why.formula_steps import FormulaSteps
from methodpick.why.result import DerivationStep, Explanation


def explain_depth(
    question: ShaftQuestion, shaft: ShaftPlan, depth_m: float, *, not_states: Sequence[str] = (), flips: bool = True, pairs: bool = False
) -> Explanation:
    """Return why a depth of a planned shaft is held as it is.

    ``not_states`` names states to derive in place of those that the depth is held in. ``flips`` and ``pairs`` look for the
    nearest change of one input, or of two together. Raises InputError where the depth lies outside the shaft.
    """
    held = _interval(shaft, depth_m)
    search = FlipSearch(question, [depth_m])
    judged = next(judged for judged in search.context.ground.slices if judged.top_m <= depth_m <= judged.base_m)
    derivation = Derivation(judged, question.book, shaft.boring, FormulaSteps(search.context.gatherer, judged.slice, search.context.inside))
    states = list(dict.fromkeys(not_states)) or list(_states(held))
    return Explanation(
        shaft=shaft.id,
        boring=shaft.boring,
        depth_m=depth_m,
        held=held,
        derivation=(derivation.ground(), *(derivation.verdict(state) for state in states), *_casings(shaft, depth_m)),
        other_states=tuple(_verdict_words(state, verdict) for state, verdict in held.verdicts.items() if state not in states),
        other_ways=tuple(f"{alternate.family}: {alternate.why_not}" for alternate in shaft.alternates),
        flips=search.singles(0) if flips else None,
        pairs=search.pairs(0) if pairs else None,
        tried=tuple(change.words for change in search.changes(0)) if flips or pairs else (),
    )


def with_flips(plan: Plan, site: Site, book: Rulebook, *, assumptions: bool = True, tell: Callable[[int, int], None] | None = None) -> Plan:
    """Return the plan with the nearest changes that flip each interval; ``tell`` is called with the intervals done and their number."""
    total, done = sum(len(shaft.intervals) for shaft in plan.shafts), 0
    shafts = []
    for shaft in plan.shafts:
        question = shaft_question(site, book, shaft.id, assumptions=assumptions)
        search = FlipSearch(question, [(interval.top_m + interval.base_m) / 2 for interval in shaft.intervals])
        intervals = []
        for index, interval in enumerate(shaft.intervals):
            intervals.append(replace(interval, would_change=search.singles(index)))
            done += 1
            if tell is not None:
                tell(done, total)
        shafts.append(replace(shaft, intervals=tuple(intervals)))
    return replace(plan, shafts=tuple(shafts))


def _interval(shaft: ShaftPlan, depth_m: float) -> Interval:
    for interval in shaft.intervals:
        if interval.top_m <= depth_m <= interval.base_m:
            return interval
    raise InputError(
        Problem(
            f"the depth {depth_m:.2f} m lies outside the shaft '{shaft.id}'", expected=f"0 to {shaft.tip_depth_m:.2f} m below the ground"
        )
    )


def _verdict_words(state: str, verdict: StateVerdict) -> str:
    rules = f" ({', '.join(verdict.rules)})" if verdict.rules else ""
    return f"{state.replace('_', ' ')}: {verdict.state.replace('_', ' ')}{rules}"


def _states(held: Interval) -> Iterator[str]:
    """Return the states in which a depth is held, from the drill to the concrete."""
    if held.drilled_in is not None:
        yield held.drilled_in
    yield from held.later_in
    if held.support == "slurry" and held.fluid is not None and held.fluid not in {held.drilled_in, *held.later_in}:
        yield held.fluid


def _casings(shaft: ShaftPlan, depth_m: float) -> Iterator[DerivationStep]:
    """Return the reason of every casing that stands at a depth."""
    for casing in shaft.casings:
        if casing.top_m <= depth_m <= casing.base_m:
            yield DerivationStep(f"{casing.kind} casing: {casing.why}")
