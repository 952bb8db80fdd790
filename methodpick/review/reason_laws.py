"""The reasons of intervals: each is what a rule says of the ground there, with its facts and sources, and none is left out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from methodpick.engine.explain import known_of, reason_text, supporting_facts, weakest_limit
from methodpick.engine.rule import Rule
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import Citation, FactValue, Interval, Reason
from methodpick.review.contradiction import Contradiction, as_text, is_near, word
from methodpick.review.written_way import WrittenWay
from methodpick.terms import FLUIDS, STATES
from methodpick.unit_markup import mark_plainly, spell
from methodpick.vocabulary.values import Choice, Span, Value

WITHOUT_RULE = frozenset({"no-data", "no-way"})
MOST_REASONS = 8
"""Reasons that an interval names at most; where there are more, which of them it names is not checked."""


class ReasonLaws:
    """Checks reasons against one ground; what a rule says of a slice is worked out once."""

    def __init__(self, ground: GroundFacts) -> None:
        self.ground = ground
        self._texts: dict[tuple[float, str, str], str] = {}

    def check(self, way: WrittenWay) -> Iterator[Contradiction]:
        """Return the reasons of a way's intervals that are not those of the rules, and intervals that leave reasons out."""
        for interval in way.intervals or ():
            pieces = self.ground.slices(interval.top_m, interval.base_m)
            name = f"interval {interval.top_m:.2f} m to {interval.base_m:.2f} m, reason"
            for reason in interval.reasons:
                yield from self._reason(name, reason, pieces)
            if interval.support != "undecided":
                yield from self._all_named(name, interval, pieces)
            elif pieces and not pieces[0].logged:
                yield from word(name, tuple(reason.rule for reason in interval.reasons), ("no-data",))

    def text(self, piece: JudgedSlice, state: str, rule: Rule) -> str:
        """Return what a rule says of a slice in a state, in SI."""
        return spell(self.marked(piece, state, rule), "si")

    def marked(self, piece: JudgedSlice, state: str, rule: Rule) -> str:
        """Return what a rule says of a slice in a state, with its numbers marked."""
        key = piece.top_m, state, rule.id
        if key not in self._texts:
            self._texts[key] = reason_text(rule, piece.values(state), self.ground.book, mark_plainly)
        return self._texts[key]

    def _reason(self, name: str, reason: Reason, pieces: list[JudgedSlice]) -> Iterator[Contradiction]:
        rule = self.ground.book.by_id.get(reason.rule)
        if rule is None:
            if reason.rule not in WITHOUT_RULE:
                yield Contradiction(name, reason.rule, "a rule of the rulebook")
            return
        yield from word(f"{name} {rule.id}, sources", reason.sources, tuple(Citation(cited.key, cited.where) for cited in rule.source))
        yield from word(f"{name} {rule.id}, confidence", reason.confidence, weakest_limit(rule, self.ground.book))
        places = [(piece, state) for piece in pieces for state in STATES if rule.id in _named(piece, state)]
        if not places:
            yield Contradiction(name, rule.id, "a rule that speaks here")
            return
        said = [(piece, state) for piece, state in places if self.text(piece, state, rule) == reason.text]
        if not said:
            yield Contradiction(f"{name} {rule.id}", f'"{reason.text}"', f'"{self.text(*places[0], rule)}"')
            return
        wrong = [list(self._facts(f"{name} {rule.id}", reason.facts, rule, piece.values(state))) for piece, state in said]
        yield from min(wrong, key=len)

    def _facts(self, name: str, written: Mapping[str, FactValue], rule: Rule, values: Mapping[str, Value]) -> Iterator[Contradiction]:
        """Return where the facts of a reason are not those on which the rule rests here."""
        names = supporting_facts(rule, values, self.ground.book)
        yield from word(f"{name}, facts", tuple(written), names)
        for fact in set(names) & set(written):
            spec = self.ground.book.catalogue.facts[fact]
            value, said = values.get(fact, spec.domain), written[fact]
            if isinstance(value, Span):
                known = known_of(value, spec)
                low, high = (known.low, known.high) if isinstance(known, Span) else (-inf, inf)
                right: tuple[float | None, ...] = (low if low > -inf else None, value.likely, high if high < inf else None)
                shown = (said.low, said.likely if not isinstance(said.likely, str) else None, said.high)
                if not all(is_near(first, second) for first, second in zip(shown, right, strict=True)):
                    yield Contradiction(f"{name}, {fact}", as_text(shown), as_text(right))
            elif isinstance(value, Choice):
                yield from word(f"{name}, {fact}", said.values, tuple(sorted(value.values)))

    def _all_named(self, name: str, interval: Interval, pieces: list[JudgedSlice]) -> Iterator[Contradiction]:
        """Return the rules that speak against lighter ways, or about the way taken, and are not named."""
        wanted = set().union(*(self._wanted(interval, piece) for piece in pieces))
        if len(wanted) <= MOST_REASONS:
            yield from word(f"{name}s", tuple(sorted(reason.rule for reason in interval.reasons)), tuple(sorted(wanted)))

    def _wanted(self, interval: Interval, piece: JudgedSlice) -> set[str]:
        state = deciding_state(interval)
        lighter = {"dry": (), "slurry": ("dry",)}.get(interval.support, tuple(name for name in ("dry", *FLUIDS) if name != state))
        by_id, deciding = self.ground.book.by_id, piece.verdicts[state]
        against = {rule for name in lighter for rule in (*piece.verdicts[name].rules, *piece.verdicts[name].open_musts)}
        return {rule for rule in against if by_id[rule].effect == "exclude"} | {*deciding.open_musts, *deciding.should, *deciding.suits}


def deciding_state(interval: Interval) -> str:
    """Return the state whose verdict decides an interval: its fluid, the dry hole, or the casing as it stands at last."""
    if interval.fluid:
        return interval.fluid
    if interval.support == "dry" and interval.drilled_in:
        return interval.drilled_in
    last = interval.later_in[-1] if interval.later_in else ""
    if last.startswith("cased"):
        return last
    return "cased_dry" if interval.drilled_in == "cased_dry" else "cased_plug"


def _named(piece: JudgedSlice, state: str) -> set[str]:
    verdict = piece.verdicts[state]
    return {*verdict.rules, *verdict.open_musts, *verdict.should, *verdict.suits}
