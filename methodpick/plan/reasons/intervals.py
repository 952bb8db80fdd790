"""Intervals: what holds the wall at each depth when the tip is reached, with the verdicts and reasons behind it."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

from methodpick.engine.compiler import FALSE
from methodpick.engine.explain import known_of, reason_text, supporting_facts, weakest_limit
from methodpick.engine.rulebook import Rulebook
from methodpick.engine.verdict import Verdict
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import STATES, Citation, Confidence, FactValue, Interval, Reason, StateVerdict, Support
from methodpick.plan.sequence.path import Path
from methodpick.unit_markup import mark_plainly
from methodpick.vocabulary.fact import Fact
from methodpick.vocabulary.values import Choice, Span, Value

MOST_REASONS = 8


@dataclass(frozen=True, slots=True)
class Held:
    """How a depth is held: support, fluid, the state while drilling and the states afterwards."""

    support: Support
    fluid: str | None
    drilled_in: str | None
    later_in: tuple[str, ...]


def held_at(path: Path, depth_m: float, starter_base_m: float, judged: Judged) -> Held:
    """Return how a depth is held when the tip is reached."""
    if not judged.cut.decided or not path.built:
        return Held("undecided", None, None, ())
    drilled: str | None = _starts_in(judged) if depth_m < path.segments[0].top_m else None
    later: list[str] = []
    final_fluid: str | None = None
    for segment in path.segments:
        for run in segment.runs:
            if drilled is None and run.top_m <= depth_m <= run.base_m:
                drilled = run.state
            elif drilled is not None and run.top_m > depth_m and not _covered(path, depth_m, segment.top_m):
                later.append(run.state)
        if drilled is not None and segment.casing != "none" and segment.base_m >= depth_m:
            following = path.segments[path.segments.index(segment) + 1 :]
            dry = bool(following) and following[0].runs[0].state == "dry"
            later.append("cased_dry" if dry else "cased_balanced")
    states = [state for state in dict.fromkeys(later) if state != drilled]
    cover = [segment for segment in path.strings if segment.base_m >= depth_m - 1e-9]
    if cover:
        support: Support = "permanent_casing" if any(segment.keep for segment in cover) else "temporary_casing"
        return Held(support, None, drilled or "dry", tuple(states))
    if depth_m <= starter_base_m:
        return _in_starter(path, judged)
    last = drilled
    for state in later:
        last = state
    if last in {"water", "polymer", "mineral"}:
        final_fluid = last
    return Held("slurry" if final_fluid else "dry", final_fluid, drilled, tuple(states))


@dataclass(frozen=True, slots=True)
class HeldLength:
    """A length of one slice that is held in one way when the tip is reached."""

    top_m: float
    base_m: float
    held: Held
    judged: Judged

    @property
    def support(self) -> Support:
        """Return what holds the wall."""
        return self.held.support


def held_lengths(path: Path, judged: Sequence[Judged], starter_base_m: float) -> list[HeldLength]:
    """Return how the slices are held from the ground to the tip, cut where a run of the path or the starter ends."""
    runs = [run for segment in path.segments for run in segment.runs]
    cuts = sorted({run.top_m for run in runs} | {run.base_m for run in runs} | {starter_base_m})
    lengths = []
    for piece in judged:
        top, base = piece.slice.top_m, piece.slice.base_m
        depths = [top, *(depth for depth in cuts if top + 1e-6 < depth < base - 1e-6), base]
        for first, last in itertools.pairwise(depths):
            lengths.append(HeldLength(first, last, held_at(path, (first + last) / 2, starter_base_m, piece), piece))
    return lengths


def _covered(path: Path, depth_m: float, before_m: float) -> bool:
    return any(segment.base_m >= depth_m - 1e-9 and segment.base_m <= before_m + 1e-9 for segment in path.strings)


def _starts_in(judged: Judged) -> str:
    """Return the state in which the starter's length is dug: dry, or inside the starter where no dry hole stands."""
    return "dry" if judged.verdicts["dry"].state in {"allowed", "discouraged", "doubtful"} else "cased_plug"


def _in_starter(path: Path, judged: Judged) -> Held:
    """Return the support inside the starter, which names it only where no uncased state is allowed."""
    fine = {"allowed", "discouraged", "doubtful"}
    wet = path.last in {"water", "polymer", "mineral"}
    pushed = _starts_in(judged)
    if wet and judged.verdicts[path.last].state in fine:
        return Held("slurry", path.last, pushed, (path.last,))
    if judged.verdicts["dry"].state in fine and not wet:
        return Held("dry", None, "dry", ())
    return Held("temporary_casing", None, "cased_plug", ())


def make_intervals(
    path: Path, judged: Sequence[Judged], starter_base_m: float, book: Rulebook, firm: Mapping[float, bool], told: Told
) -> tuple[Interval, ...]:
    """Return the intervals from the ground to the tip, equal neighbours merged."""
    return _merge(
        [
            _interval(length, book, told, firm=firm.get(round(length.judged.slice.top_m, 3), False))
            for length in held_lengths(path, judged, starter_base_m)
        ]
    )


def _interval(length: HeldLength, book: Rulebook, told: Told, *, firm: bool) -> Interval:
    held, one = length.held, length.judged
    words = one.slice.stratum
    confidence: Confidence = "undecided" if held.support == "undecided" else "firm" if firm else "conditional"
    state = held.fluid or (held.drilled_in if held.support == "dry" else None) or _casing_state(held)
    return Interval(
        length.top_m,
        length.base_m,
        words.layer.description or words.layer.symbol or "no data",
        words.likely or "unknown",
        held.support,
        held.fluid,
        held.drilled_in,
        held.later_in,
        confidence,
        {name: _verdict(one.verdicts[name]) for name in STATES},
        {name: _verdict(one.verdicts[name]) for name in ("pull_out", "leave_in")},
        _reasons(one, held, state, book, told),
    )


def _casing_state(held: Held) -> str:
    return held.later_in[-1] if held.later_in and held.later_in[-1].startswith("cased") else "cased_plug"


def _verdict(one: Verdict) -> StateVerdict:
    return StateVerdict(one.state, one.rules)


def _reasons(one: Judged, held: Held, state: str, book: Rulebook, told: Told) -> tuple[Reason, ...]:
    """Return why the support holds and why the lighter ones do not."""
    if held.support == "undecided" and one.cut.decided:
        out = dict.fromkeys(
            (name, rule)
            for name in STATES
            for rule in one.verdicts[name].rules
            if one.verdicts[name].state == "ruled_out" and book.by_id[rule].effect == "exclude"
        )
        told_once = {rule: reason_of(one, name, rule, book, told) for name, rule in reversed(out)}
        return (
            Reason(
                "no-way", "No sequence builds this shaft by the rules and what the site leaves open; nothing is claimed.", (), {}, "read"
            ),
            *tuple(told_once.values())[: MOST_REASONS - 1],
        )
    if held.support == "undecided":
        return (Reason("no-data", "The log says nothing at this depth, so nothing is claimed here.", (), {}, "read"),)
    wanted: list[tuple[str, str]] = []
    lighter = [name for name in ("dry", "water", "polymer", "mineral") if name != state]
    if held.support == "dry":
        lighter = []
    elif held.support == "slurry":
        lighter = ["dry"]
    for name in lighter:
        wanted += [
            (name, rule) for rule in (*one.verdicts[name].rules, *one.verdicts[name].open_musts) if book.by_id[rule].effect == "exclude"
        ]
    mine = one.verdicts[state]
    wanted += [(state, rule) for rule in (*mine.open_musts, *mine.should, *mine.suits)]
    reasons: dict[str, Reason] = {}
    for name, rule_id in wanted:
        if rule_id not in reasons and len(reasons) < MOST_REASONS:
            reasons[rule_id] = reason_of(one, name, rule_id, book, told)
    return tuple(reasons.values())


Told = dict[tuple[float, str, str], Reason]
"""Reasons already written, by slice, state and rule: the plan, the cautious plan and the others share them."""


def reason_of(one: Judged, state: str, rule_id: str, book: Rulebook, told: Told) -> Reason:
    """Return a rule as a reason at a slice, its numbers put in."""
    key = one.slice.top_m, state, rule_id
    if key not in told:
        told[key] = _reason(one, state, rule_id, book)
    return told[key]


def _reason(one: Judged, state: str, rule_id: str, book: Rulebook) -> Reason:
    rule = book.by_id[rule_id]
    values = one.values(state)
    text = reason_text(rule, values, book, mark_plainly)
    names = supporting_facts(rule, values, book)
    facts = {name: fact_value(name, values.get(name), one.slice.sheet.facts.get(name), book) for name in names}
    return Reason(rule_id, text, tuple(Citation(one_.key, one_.where) for one_ in rule.source), facts, weakest_limit(rule, book))


def fact_value(name: str, value: Value | None, fact: Fact | None, book: Rulebook) -> FactValue:
    """Return a fact as a reason shows it."""
    spec = book.catalogue.facts[name]
    value = value if value is not None else spec.domain
    basis = fact.basis if fact is not None and fact.value == value else "derived" if fact is None else fact.basis
    source = fact.source if fact is not None else "support state" if spec.scope == "slice_state" else "not in the log"
    if fact is None and spec.scope != "slice_state":
        basis = "missing"
    if isinstance(value, Span):
        known = known_of(value, spec)
        low, high = (known.low, known.high) if isinstance(known, Span) else (-inf, inf)
        return FactValue(low if low > -inf else None, value.likely, high if high < inf else None, None, spec.unit, basis, source)
    words = value.values if isinstance(value, Choice) else frozenset()
    return FactValue(None, value.likely, None, tuple(sorted(words)), spec.unit, basis, source)


def _merge(found: Sequence[Interval]) -> tuple[Interval, ...]:
    """Merge neighbours of one layer that are held and judged alike."""
    merged: list[Interval] = []
    for one in found:
        last = merged[-1] if merged else None
        if last is not None and _alike(last, one):
            merged[-1] = replace(last, base_m=one.base_m, reasons=_joined(last.reasons, one.reasons))
        else:
            merged.append(one)
    return tuple(merged)


def _alike(first: Interval, second: Interval) -> bool:
    return (first.layer, first.support, first.fluid, first.drilled_in, first.later_in, first.confidence) == (
        second.layer,
        second.support,
        second.fluid,
        second.drilled_in,
        second.later_in,
        second.confidence,
    ) and (
        {name: verdict.state for name, verdict in first.verdicts.items()}
        == {name: verdict.state for name, verdict in second.verdicts.items()}
    )


def _joined(first: Sequence[Reason], second: Sequence[Reason]) -> tuple[Reason, ...]:
    """Keep the reasons of the deeper slice, which is the worse one for most, and those only the upper one has."""
    rules = {reason.rule: reason for reason in (*first, *second)}
    return tuple(rules.values())[:MOST_REASONS]


__all__ = ["FALSE", "Held", "held_at", "make_intervals", "reason_of"]
