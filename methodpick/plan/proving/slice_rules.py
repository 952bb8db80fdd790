"""What the facts of a slice can say is decided by a rule: its check shows the same fact, limit and rule."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Outcomes, Threshold
from methodpick.plan.checks.record import governing, input_of
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import Citation, Stage
from methodpick.plan.result.checks import Check, CheckResult, Ends
from methodpick.terms import STATES
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span

LIFE = frozenset({"uplift", "base-instability"})
"""Hazards of the base: short at the likely values is short."""


def prove_slices(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return, for every stage and every must rule that compares a fact with a limit about its state, the check of the worst slice."""
    for stage in way.opening_stages():
        found: dict[str, list[Check]] = {}
        for piece in ground.slices(stage.top_m, stage.base_m):
            for check in _of_slice(ground, piece, stage):
                found.setdefault(check.id, []).append(check)
        for checks in found.values():
            yield governing(checks)


def _of_slice(ground: GroundFacts, piece: JudgedSlice, stage: Stage) -> Iterator[Check]:
    state = stage.state
    if state not in STATES or not piece.logged:
        return
    values = piece.values(state)
    for outcomes in (piece.outcomes, piece.state_outcomes[state]):
        for threshold in outcomes.scope.thresholds[state]:
            value = values.get(threshold.fact)
            if isinstance(value, Span):
                yield _check(ground, threshold, value, (piece, stage, outcomes))


def _check(ground: GroundFacts, threshold: Threshold, value: Span, at: tuple[JudgedSlice, Stage, Outcomes]) -> Check:
    piece, stage, outcomes = at
    rule = threshold.rule
    result = _result(rule, *outcomes.of(rule.id))
    below = threshold.below
    limit = threshold.number if threshold.limit is None else ground.limits[threshold.limit].value
    adverse, best = (value.low, value.high) if below else (value.high, value.low)
    has = Ends(adverse, value.likely, best)
    sign = 1.0 if below else -1.0
    margin = Ends(*(None if end is None else sign * (end - limit) for end in (has.adverse, has.likely, has.best)))
    spec = ground.book.catalogue.facts[threshold.fact]
    near = value.likely if value.likely is not None else adverse
    word = "at least" if below else "at most"
    name = spec.meaning.split(";")[0].split(" (")[0]
    what = f"At {mark(piece.slice.base_m, 'm')} the {name} is {mark(near, spec.unit)}, {word} {mark(limit, spec.unit)}."
    return Check(
        id=rule.id,
        stage=stage.no,
        what=what,
        needed=Ends(limit, limit, limit),
        has=has,
        margin=margin,
        unit=spec.unit,
        formula=_formula(piece, threshold.fact),
        inputs={threshold.fact: input_of(value)},
        limits=(threshold.limit,) if threshold.limit is not None else (),
        rule=rule.id,
        sources=tuple(Citation(cited.key, cited.where) for cited in rule.source),
        result=result,
        top_m=max(stage.top_m, piece.slice.top_m),
        base_m=min(stage.base_m, piece.slice.base_m),
        remedy="" if result == "holds" else rule.treatment.get(stage.state or "", ""),
    )


def _formula(piece: JudgedSlice, fact: str) -> str | None:
    known = piece.slice.sheet.facts.get(fact)
    return known.formulas[0] if known is not None and known.formulas else None


def _result(rule: Rule, on_range: int, at_likely: int) -> CheckResult:
    """Return what a must exclude says as a check: it speaks where the state is short."""
    if on_range == TRUE or (at_likely == TRUE and rule.hazard in LIFE):
        return "fails"
    if at_likely == TRUE:
        return "open_likely"
    if at_likely == OPEN:
        return "unknown"
    return "holds" if on_range == FALSE else "open_range"
