"""Intervals: what holds the wall at each depth when the tip is reached, with the verdicts and reasons behind it."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from math import inf
from typing import NamedTuple

from methodpick.engine.interpret import known_of, reason_text, supporting_facts, weakest_limit
from methodpick.engine.rulebook import Rulebook
from methodpick.plan.concrete.hole import socket_of
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Citation, FactValue, Firmness, Interval, Reason, StateVerdict, Support
from methodpick.plan.sequence.path import SequencePath
from methodpick.plan.sequence.search_input import drilling_rate
from methodpick.records import record
from methodpick.terms import FLUIDS, NO_DATA_REASON, NOT_IN_LOG, STATES
from methodpick.unit_markup import SAME_LENGTH_M, mark_plainly
from methodpick.vocabulary.values import Choice, Fact, Span, Value

MOST_REASONS = 8
USABLE = frozenset({"allowed", "discouraged", "doubtful"})
"""Verdicts of a state that the expected plan may rest on."""
FREE = frozenset({"allowed", "discouraged"})
"""Those of them that leave no doubt."""
FirmAt = Callable[[JudgedSlice, float], bool]
"""Whether a depth in a slice is firm."""


@record
class DepthSupport:
    """How a depth is held: support, fluid, the state while drilling and the states afterwards."""

    support: Support
    fluid: str | None = None
    drilled_in: str | None = None
    later_in: tuple[str, ...] = ()

    @property
    def states(self) -> frozenset[str]:
        """Return every state that the depth is in, from its drilling until the tip is reached."""
        return frozenset(state for state in (self.drilled_in, *self.later_in, self.fluid) if state is not None)

    @property
    def deciding_state(self) -> str:
        """Return the state whose verdict decides: the fluid, the dry hole, or the casing as it stands at last."""
        if self.fluid:
            return self.fluid
        if self.support == "dry" and self.drilled_in:
            return self.drilled_in
        return (
            self.later_in[-1]
            if self.later_in and self.later_in[-1].startswith("cased")
            else "cased_dry"
            if self.drilled_in == "cased_dry"
            else "cased_plug"
        )


UNDECIDED = DepthSupport("undecided")
_NO_DATA = Reason(rule=NO_DATA_REASON, text="The log says nothing at this depth, so nothing is claimed here.", sources=(), facts={})
_NO_WAY = Reason(
    rule="no-way",
    text="No sequence builds this shaft by the rules and what the site leaves open; nothing is claimed.",
    sources=(),
    facts={},
)


def support_at(path: SequencePath, depth_m: float, starter_base_m: float, judged: JudgedSlice) -> DepthSupport:
    """Return how a depth in a slice is held when the tip is reached."""
    if not judged.logged:
        return UNDECIDED
    drilled, later = _states_at(path, depth_m, judged)
    states = tuple(state for state in dict.fromkeys(later) if state != drilled)
    cover = [segment for segment in path.strings if segment.base_m >= depth_m - 1e-9]
    if cover:
        support: Support = "permanent_casing" if any(segment.keep for segment in cover) else "temporary_casing"
        return DepthSupport(support, None, drilled or "dry", states)
    if depth_m <= starter_base_m:
        return _support_in_starter(path, judged)
    last = later[-1] if later else drilled
    fluid = last if last in FLUIDS else None
    return DepthSupport("slurry" if fluid else "dry", fluid, drilled, states)


def _states_at(path: SequencePath, depth_m: float, judged: JudgedSlice) -> tuple[str | None, list[str]]:
    """Return the state in which a depth is drilled, and all states that it meets afterwards."""
    first = path.segments[0]
    drilled: str | None = _state_in_starter(judged) if depth_m < max(first.top_m, first.dug_m) else None
    later: list[str] = []
    for index, segment in enumerate(path.segments):
        for run in segment.runs:
            if drilled is None and run.top_m <= depth_m <= run.base_m:
                drilled = run.state
            elif drilled is not None and run.top_m > depth_m and not _cased_before(path, depth_m, segment.top_m):
                later.append(run.state)
        if drilled is not None and segment.casing != "none" and segment.base_m >= depth_m:
            goes_on_dry = index + 1 < len(path.segments) and path.segments[index + 1].runs[0].state == "dry"
            emptied = goes_on_dry or segment.runs[-1].state == "cased_dry"
            later.append("cased_dry" if emptied else "cased_balanced")
    return drilled, later


def _cased_before(path: SequencePath, depth_m: float, before_m: float) -> bool:
    """Return whether a casing covers a depth before the work goes on below another depth."""
    return any(segment.base_m >= depth_m - 1e-9 and segment.base_m <= before_m + 1e-9 for segment in path.strings)


def _state_in_starter(judged: JudgedSlice) -> str:
    """Return the state in which the starter's length is dug: dry, or inside the starter where no dry hole stands."""
    return "dry" if judged.verdicts["dry"].state in USABLE else "cased_plug"


def _support_in_starter(path: SequencePath, judged: JudgedSlice) -> DepthSupport:
    """Return the support inside the starter, which names it only where no uncased state is allowed."""
    under_fluid = path.last in FLUIDS
    if under_fluid and judged.verdicts[path.last].state in USABLE:
        return DepthSupport("slurry", path.last, _state_in_starter(judged), (path.last,))
    if not under_fluid and judged.verdicts["dry"].state in USABLE:
        return DepthSupport("dry", None, "dry", ())
    return DepthSupport("temporary_casing", None, "cased_plug", ())


class _RuleAt(NamedTuple):
    """A rule that is a reason at a slice in a state."""

    rule: str
    judged: JudgedSlice
    state: str


class _Length(NamedTuple):
    """A length that is held alike, and the reasons that are still to be written."""

    interval: Interval
    reasons: tuple[_RuleAt | Reason, ...]


_HeldLength = tuple[JudgedSlice, tuple[float, float], DepthSupport]
"""A length of one slice between two depths along which nothing changes, with how it is held."""


class IntervalWriter:
    """Writes the intervals of paths through one ground. Plan, cautious plan and the others share the reasons that are written."""

    def __init__(self, ground: JudgedGround, starter_base_m: float) -> None:
        self.ground, self.starter_base_m = ground, starter_base_m
        self._reasons: dict[tuple[float, str, str], Reason] = {}
        self._held: dict[SequencePath, tuple[_HeldLength, ...]] = {}
        self._intervals: dict[tuple[SequencePath, tuple[bool, ...]], tuple[Interval, ...]] = {}

    @cached_property
    def _verdicts(self) -> Mapping[float, Mapping[str, StateVerdict]]:
        return {judged.top_m: _verdicts(judged, STATES) for judged in self.ground.slices}

    @cached_property
    def _casing_verdicts(self) -> Mapping[float, Mapping[str, StateVerdict]]:
        return {judged.top_m: _verdicts(judged, ("pull_out", "leave_in")) for judged in self.ground.slices}

    def of_path(self, path: SequencePath, firm: FirmAt) -> tuple[Interval, ...]:
        """Return the intervals of a path from the ground to the tip, equal neighbours merged; ``firm`` tells it of a depth in a slice."""
        lengths = self._lengths(path)
        firms = tuple(firm(judged, (ends[0] + ends[1]) / 2) for judged, ends, _ in lengths)
        if (path, firms) not in self._intervals:
            found = [self._length(ends, held, judged, firm=sure) for (judged, ends, held), sure in zip(lengths, firms, strict=True)]
            self._intervals[path, firms] = self._merged(found)
        return self._intervals[path, firms]

    def supports(self, path: SequencePath) -> Iterator[tuple[Support, float]]:
        """Return the support and the base of every length of a path, from the ground to the tip."""
        return ((held.support, ends[1]) for _, ends, held in self._lengths(path))

    def _lengths(self, path: SequencePath) -> tuple[_HeldLength, ...]:
        """Return the lengths of one slice along which nothing changes, with how each is held; found once."""
        if path not in self._held:
            self._held[path] = tuple(self._find_lengths(path))
        return self._held[path]

    def _find_lengths(self, path: SequencePath) -> Iterator[_HeldLength]:
        cuts = sorted({depth for run in path.runs for depth in (run.top_m, run.base_m)} | {self.starter_base_m, path.segments[0].dug_m})
        for judged in self.ground.slices:
            inside = (depth for depth in cuts if judged.top_m + SAME_LENGTH_M < depth < judged.base_m - SAME_LENGTH_M)
            for ends in itertools.pairwise([judged.top_m, *inside, judged.base_m]):
                yield judged, ends, support_at(path, (ends[0] + ends[1]) / 2, self.starter_base_m, judged)

    def undecided(self) -> tuple[Interval, ...]:
        """Return the intervals of a shaft that no sequence builds."""
        return self._merged([self._length((judged.top_m, judged.base_m), UNDECIDED, judged, firm=False) for judged in self.ground.slices])

    def _merged(self, found: Sequence[_Length]) -> tuple[Interval, ...]:
        """Return the intervals: neighbours of one layer that are held and judged alike are one. Only the reasons that stay are written."""
        merged: list[_Length] = []
        for interval, reasons in found:
            if merged and _held_alike(merged[-1].interval, interval):
                above, known = merged[-1]
                longer = replace(above, base_m=interval.base_m, drilling_h=above.drilling_h + interval.drilling_h)
                merged[-1] = _Length(longer, _joined_reasons(known, reasons))
            else:
                merged.append(_Length(interval, reasons))
        return tuple(replace(interval, reasons=tuple(map(self._written, reasons))) for interval, reasons in merged)

    def _length(self, ends: tuple[float, float], held: DepthSupport, judged: JudgedSlice, *, firm: bool) -> _Length:
        """Return a length of one slice as an interval, with the reasons that are still to be written."""
        stratum = judged.slice.stratum
        firmness: Firmness = "undecided" if held.support == "undecided" else "firm" if firm else "conditional"
        interval = Interval(
            top_m=ends[0],
            base_m=ends[1],
            layer=stratum.layer.description or stratum.layer.symbol or "no data",
            soil_class=stratum.likely or "unknown",
            support=held.support,
            fluid=held.fluid,
            drilled_in=held.drilled_in,
            later_in=held.later_in,
            confidence=firmness,
            verdicts=self._verdicts[judged.top_m],
            casing_verdicts=self._casing_verdicts[judged.top_m],
            reasons=(),
            drilling_h=(ends[1] - ends[0]) / drilling_rate(judged, self.ground.book, socket_of(self.ground.shaft)),
            slab=stratum.words.slab,
        )
        return _Length(interval, self._reasons_for(judged, held))

    def _reasons_for(self, judged: JudgedSlice, held: DepthSupport) -> tuple[_RuleAt | Reason, ...]:
        """Return why the support holds and why the lighter ones do not."""
        if held.support == "undecided":
            return self._reasons_for_nothing(judged)
        state, book = held.deciding_state, self.ground.book
        lighter = {"dry": (), "slurry": ("dry",)}.get(held.support, tuple(name for name in ("dry", *FLUIDS) if name != state))
        wanted = [
            (name, rule)
            for name in lighter
            for rule in (*judged.verdicts[name].rules, *judged.verdicts[name].open_musts)
            if book.by_id[rule].effect == "exclude"
        ]
        deciding = judged.verdicts[state]
        wanted += [(state, rule) for rule in (*deciding.open_musts, *deciding.should, *deciding.suits)]
        states: dict[str, str] = {}
        for name, rule in wanted:
            states.setdefault(rule, name)
        return tuple(_RuleAt(rule, judged, name) for rule, name in itertools.islice(states.items(), MOST_REASONS))

    def _reasons_for_nothing(self, judged: JudgedSlice) -> tuple[_RuleAt | Reason, ...]:
        """Return why nothing is decided: no log, or every state ruled out."""
        if not judged.logged:
            return (_NO_DATA,)
        excludes = dict.fromkeys(
            (state, rule)
            for state in STATES
            for rule in judged.verdicts[state].rules
            if judged.verdicts[state].state == "ruled_out" and self.ground.book.by_id[rule].effect == "exclude"
        )
        states = {rule: state for state, rule in reversed(excludes)}
        reasons = [_RuleAt(rule, judged, state) for rule, state in states.items()]
        return (_NO_WAY, *reasons[: MOST_REASONS - 1])

    def _written(self, found: _RuleAt | Reason) -> Reason:
        """Return a rule as a reason at its slice in a state, its numbers put in; a reason that is written already as it is."""
        if isinstance(found, Reason):
            return found
        key = found.judged.top_m, found.state, found.rule
        if key not in self._reasons:
            self._reasons[key] = _reason(found.judged, found.state, found.rule, self.ground.book)
        return self._reasons[key]


def _verdicts(judged: JudgedSlice, states: Iterable[str]) -> dict[str, StateVerdict]:
    return {state: StateVerdict(judged.verdicts[state].state, judged.verdicts[state].rules) for state in states}


def _reason(judged: JudgedSlice, state: str, rule_id: str, book: Rulebook) -> Reason:
    rule = book.by_id[rule_id]
    values, known = judged.values(state), judged.sheet.facts
    return Reason(
        rule=rule_id,
        text=reason_text(rule, values, book, mark_plainly),
        sources=tuple(Citation(source.key, source.where) for source in rule.source),
        facts={name: _fact_value(name, values.get(name), known.get(name), book) for name in supporting_facts(rule, values, book)},
        confidence=weakest_limit(rule, book),
    )


def _fact_value(name: str, value: Value | None, fact: Fact | None, book: Rulebook) -> FactValue:
    """Return a fact as a reason shows it: its value here, and what it was derived from."""
    spec = book.catalogue.facts[name]
    value = value if value is not None else spec.domain
    of_state = fact is None and spec.scope == "slice_state"
    basis = fact.basis if fact is not None else "derived" if of_state else "missing"
    source = fact.source if fact is not None else "support state" if of_state else NOT_IN_LOG
    if isinstance(value, Span):
        known = known_of(value, spec)
        low, high = (known.low, known.high) if isinstance(known, Span) else (-inf, inf)
        ends = low if low > -inf else None, high if high < inf else None
        return FactValue(ends[0], value.likely, ends[1], values=None, unit=spec.unit, basis=basis, from_=source)
    words = value.values if isinstance(value, Choice) else frozenset()
    return FactValue(None, value.likely, None, values=tuple(sorted(words)), unit=spec.unit, basis=basis, from_=source)


def _held_alike(first: Interval, second: Interval) -> bool:
    return _held(first) == _held(second) and all(verdict.state == second.verdicts[state].state for state, verdict in first.verdicts.items())


def _held(interval: Interval) -> tuple[object, ...]:
    return interval.layer, interval.support, interval.fluid, interval.drilled_in, interval.later_in, interval.confidence


def _joined_reasons(first: Sequence[_RuleAt | Reason], second: Sequence[_RuleAt | Reason]) -> tuple[_RuleAt | Reason, ...]:
    """Keep the reasons of the deeper slice, which is the worse one for most, and those only the upper one has."""
    rules = {reason.rule: reason for reason in (*first, *second)}
    return tuple(rules.values())[:MOST_REASONS]
