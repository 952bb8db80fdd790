"""The rulebook: rules, limits, tables and sources, compiled by scope; and from the outcomes of all rules the verdict on a state."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import field, fields, replace
from functools import cached_property
from typing import Any, NamedTuple

from methodpick.engine.compiler import FALSE, OPEN, TRUE, Listing, Program
from methodpick.engine.points import Fired, fired_at_points
from methodpick.engine.rule import EFFECTS, RULE_STATES, Compare, FactRef, LimitRef, Loosening, Number, Rule, atoms, with_limits
from methodpick.records import record
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.catalogue import SCOPES, Catalogue
from methodpick.vocabulary.limits import Limit, Source
from methodpick.vocabulary.pay_items import PayGrouping
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.trade_sizes import SizeList
from methodpick.vocabulary.values import Value

# ---- The rulebook: catalogue, limits, rules and tables, resolved with their overlays, compiled once per scope


class Outcomes(NamedTuple):
    """What the rules of one scope said at one place, as masks: on the whole range and at the likely values."""

    scope: Scope
    on_range: int
    at_likely: int

    def of(self, rule: str) -> tuple[int, int]:
        """Return the two truths of one rule. Raises KeyError where the rule is not of this scope."""
        index, truth = self.scope.index[rule], self.scope.program.truth
        return truth(self.on_range, index), truth(self.at_likely, index)

    def about(self, state: str) -> tuple[int, int]:
        """Return the two masks as far as they tell of rules about a support state: its verdict hangs on nothing else."""
        asked = self.scope.asked[state]
        return self.on_range & asked, self.at_likely & asked

    def speaking(self, mask: int) -> list[tuple[Rule, int, int]]:
        """Return the rules among a mask that hold or may hold on the range, with their two truths."""
        program, near = self.scope.program, self.at_likely
        return [
            (rule, TRUE if self.on_range >> index & 1 else OPEN, program.truth(near, index))
            for index, rule in self.scope.members.of(program.possible(self.on_range) & mask)
        ]

    def holding(self, effect: str) -> list[tuple[Rule, int, int]]:
        """Return the rules of an effect that hold or may hold."""
        return self.speaking(self.scope.by_effect[effect])

    def fired(self) -> tuple[str, ...]:
        """Return the ids of the rules that hold on the whole range."""
        return self.scope.ids.of(self.on_range & self.scope.program.rules)

    def fired_likely(self) -> tuple[str, ...]:
        """Return the ids of the rules that hold at the likely values."""
        return self.scope.ids.of(self.at_likely & self.scope.program.rules)


class Scope:
    """The compiled rules of one scope."""

    def __init__(self, name: str, rules: tuple[Rule, ...], catalogue: Catalogue) -> None:
        """Compile the rules, which must all be of this scope."""
        self.name, self.rules, self.catalogue = name, rules, catalogue
        self.index = {rule.id: index for index, rule in enumerate(rules)}
        self.program = Program([rule.condition for rule in rules], catalogue)
        self.ids, self.members = Listing(tuple(self.index)), Listing(tuple(enumerate(rules)))
        self.by_effect = {effect: _mask(rule.effect == effect for rule in rules) for effect in EFFECTS}
        self.by_state = {state: _mask(state in rule.states for rule in rules) for state in RULE_STATES}
        self.asked = {state: mask | mask << self.program.above for state, mask in self.by_state.items()}

    @cached_property
    def thresholds(self) -> Mapping[str, tuple[Threshold, ...]]:
        """Return, for every support state, the must rules that exclude it by exactly one comparison of a fact with a limit."""
        musts = [rule for rule in self.rules if rule.effect == "exclude" and rule.level == "must"]
        single = [found[0] for rule in musts if len(found := _thresholds(rule)) == 1]
        return {state: tuple(threshold for threshold in single if state in threshold.rule.states) for state in RULE_STATES}

    @cached_property
    def deciding_facts(self) -> Mapping[str, frozenset[str]]:
        """Return, for every state, the facts that the rules look at which exclude it or say that it suits, recommendations aside."""
        deciding = [rule for rule in self.rules if rule.effect in {"exclude", "suits"} and rule.level != "should"]
        return {state: frozenset(fact for rule in deciding if state in rule.states for fact in rule.facts) for state in RULE_STATES}

    def judge(self, values: Mapping[str, Value]) -> Outcomes:
        """Judge all rules twice: on the whole range and at the likely values."""
        return Outcomes(self, *self.program.judge(values))

    def start(self, values: Mapping[str, Value]) -> Start:
        """Take what is common to several judgements, so that each has to add only what is its own."""
        return Start(self, {name: values[name] for name in self.program.names if name in values})

    @cached_property
    def fired(self) -> Fired:
        """Return the function from a place, every fact a number, a word, True or False, to the ids of the rules that hold.

        It is the short way of ``judge`` where nothing is open; see ``points.py`` for the places that it refuses.
        """
        return fired_at_points(tuple(self.index), [rule.condition for rule in self.rules], self.catalogue)


class Threshold(NamedTuple):
    """The one comparison of a fact with a limit or a number in a rule; ``below`` says that the rule speaks where the fact is below it.

    ``limit`` is the name of the limit, None where the rule compares with ``number``.
    """

    rule: Rule
    fact: str
    limit: str | None
    number: float
    below: bool


def _thresholds(rule: Rule) -> list[Threshold]:
    """Return the comparisons of a fact with a limit or a number by which a rule speaks; those of an exception silence it."""
    found: list[Threshold] = []
    for atom in atoms(rule.when):
        if not isinstance(atom, Compare) or not isinstance(atom.left, FactRef) or atom.op not in {"<", "<=", ">", ">="}:
            continue
        if isinstance(atom.right, LimitRef):
            found.append(Threshold(rule, atom.left.name, atom.right.name, 0.0, atom.op[0] == "<"))
        elif isinstance(atom.right, Number):
            found.append(Threshold(rule, atom.left.name, None, atom.right.value, atom.op[0] == "<"))
    return found


def _mask(members: Iterable[bool]) -> int:
    return sum(1 << index for index, member in enumerate(members) if member)


@record
class Start:
    """Known values of a place, ready to be judged with a few more: the seven states of one slice, for instance."""

    scope: Scope
    values: Mapping[str, Value]

    def judge(self, more: Mapping[str, Value] | None = None) -> Outcomes:
        """Judge all rules of the scope with the common values and ``more``, which go before them."""
        return self.scope.judge({**self.values, **more} if more else self.values)


@record(caches=True)
class Rulebook:
    """A resolved rulebook. ``digest`` is over its whole meaning, so two books with one digest decide alike."""

    catalogue: Catalogue
    limits: Mapping[str, Limit]
    sources: Mapping[str, Source]
    rules: tuple[Rule, ...]
    assumptions: tuple[Assumption, ...]
    tables: Mapping[str, ClassTable]
    sizes: Mapping[str, SizeList]
    pay_items: PayGrouping | None = None
    overlays: tuple[str, ...] = ()
    disabled: tuple[Rule, ...] = ()
    loosened: tuple[Loosening, ...] = field(default=())

    def __repr__(self) -> str:
        return f"Rulebook({len(self.rules)} rules, overlays={self.overlays})"

    @cached_property
    def scopes(self) -> dict[str, Scope]:
        """Return the compiled scopes by name; deprecated rules are left out."""
        return {
            name: Scope(name, tuple(rule for rule in self.rules if rule.scope == name and rule.status != "deprecated"), self.catalogue)
            for name in SCOPES
        }

    @cached_property
    def by_id(self) -> dict[str, Rule]:
        """Return the rules by id."""
        return {rule.id: rule for rule in self.rules}

    @cached_property
    def values(self) -> dict[str, float]:
        """Return the limits as plain numbers."""
        return {name: limit.value for name, limit in self.limits.items()}

    def with_hazards(self, hazards: frozenset[str]) -> frozenset[str]:
        """Return the ids of the rules about some hazards; found once."""
        if hazards not in self._with_hazards:
            self._with_hazards[hazards] = frozenset(rule.id for rule in self.rules if rule.hazard in hazards)
        return self._with_hazards[hazards]

    @cached_property
    def verdicts(self) -> dict[tuple[object, ...], Verdict]:
        """Return the verdicts that were worked out, by what the rules about the state said: places by the hundred share a few of them."""
        return {}

    @cached_property
    def _with_hazards(self) -> dict[frozenset[str], frozenset[str]]:
        return {}

    def for_diameter(self, diameter_m: float) -> Rulebook:
        """Return the rulebook with the values of its limits for shafts of one diameter."""
        moving = {name for name, limit in self.limits.items() if limit.by_diameter}
        if not moving:
            return self
        if diameter_m not in self._by_diameter:
            limits = {**self.limits, **{name: replace(self.limits[name], value=self.limits[name].at(diameter_m)) for name in moving}}
            changed = {rule.id: with_limits(rule, limits) for rule in self.rules if not moving.isdisjoint(rule.limits)}
            book = replace(self, limits=limits, rules=tuple(changed.get(rule.id, rule) for rule in self.rules))
            book.__dict__["digest"] = self.digest
            if not changed:
                book.__dict__["scopes"], book.__dict__["verdicts"] = self.scopes, self.verdicts
            self._by_diameter[diameter_m] = book
        return self._by_diameter[diameter_m]

    @cached_property
    def _by_diameter(self) -> dict[float, Rulebook]:
        return {}

    @cached_property
    def digest(self) -> str:
        """Return the SHA-256 over all that decides or is printed: rules, limits, tables, trade sizes, assumptions, facts, sources."""
        return digest_of(
            rules={rule.id: rule for rule in self.rules},
            limits=self.limits,
            tables=self.tables,
            sizes=self.sizes,
            pay_items=self.pay_items,
            assumptions=self.assumptions,
            facts=self.catalogue.facts,
            sources=self.sources,
            loosened=self.loosened,
        )

    @cached_property
    def crossings(self) -> tuple[tuple[str, float], ...]:
        """Return the (fact, threshold) pairs of slice rules and of their exceptions: where a slice must be cut."""
        pairs: set[tuple[str, float]] = set()
        for rule in self.rules:
            if rule.scope not in {"slice", "slice_state"} or rule.effect != "exclude":
                continue
            conditions = (rule.when, *(exception.when for exception in rule.unless))
            for atom in (atom for condition in conditions for atom in atoms(condition)):
                if not isinstance(atom, Compare):
                    continue
                for fact, limit in ((atom.left, atom.right), (atom.right, atom.left)):
                    if isinstance(fact, FactRef) and isinstance(limit, (LimitRef, Number)):
                        pairs.add((fact.name, limit.value))
        return tuple(sorted(pairs))


__all__ = ["FALSE", "OPEN", "TRUE", "Outcomes", "Rulebook", "Scope", "Start"]


_PLAIN = frozenset({str, float, int, bool, type(None)})
_FIELDS: dict[type[Any], tuple[str, ...]] = {}
NOT_MEANING = frozenset({"place", "cases", "text", "section"})
"""Fields that change nothing in a plan: where a rule stands, its examples, the spacing of its condition."""


def digest_of(**parts: Any) -> str:
    """Return the SHA-256 of named parts: records, maps and sets of any depth; order of maps and sets does not count.

    >>> digest_of(a={"x": 1, "y": frozenset({"p", "q"})}) == digest_of(a={"y": frozenset({"q", "p"}), "x": 1})
    True
    """
    text = json.dumps(canonical(parts), separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def canonical(value: Any) -> Any:
    """Return a value as lists, texts and numbers in one fixed order.

    >>> canonical({"b": (1.0, None), "a": frozenset({"y", "x"})})
    [['a', ['x', 'y']], ['b', [1.0, None]]]
    """
    kind = type(value)
    if kind in _PLAIN:
        return value
    if kind is tuple or kind is list:
        return [canonical(item) for item in value]
    if kind is frozenset:
        return sorted(value)
    if isinstance(value, Mapping):
        return [[key, canonical(value[key])] for key in sorted(value)]
    return [kind.__name__, *[canonical(getattr(value, name)) for name in _meaning(kind)]]


def _meaning(kind: type[Any]) -> tuple[str, ...]:
    """Return the fields of a record that count: those that make two records differ. Raises TypeError for anything else."""
    if kind not in _FIELDS:
        _FIELDS[kind] = tuple(field.name for field in fields(kind) if field.compare and field.name not in NOT_MEANING)
    return _FIELDS[kind]


# ---- From the outcomes of all rules about a support state to its verdict: an order-free union, never a vote


MOST_POINTS = 20
"""Preference points of a state, at most, for or against it."""


@record
class Verdict:
    """The verdict of one state, the rules that made it so, and what ranks it."""

    state: str
    rules: tuple[str, ...]
    should: tuple[str, ...]
    open_musts: tuple[str, ...]
    suits: tuple[str, ...]
    points: int


@record(frozen=False)
class _Spoken:
    """The ids of the rules that speak about a state, by what they say.

    Must excludes are ``certain``, or open and at the likely values true (``likely``), open (``unsettled``) or false
    (``unlikely``); ``should`` excludes hold or are open; ``suits`` are certain or hold only at the likely values.
    """

    certain: list[str] = field(default_factory=list)
    likely: list[str] = field(default_factory=list)
    unsettled: list[str] = field(default_factory=list)
    unlikely: list[str] = field(default_factory=list)
    should: list[str] = field(default_factory=list)
    suits: list[str] = field(default_factory=list)
    suits_likely: list[str] = field(default_factory=list)

    def verdict(self) -> tuple[str, list[str]]:
        """Return the verdict and the rules that make it so."""
        if self.certain:
            return "ruled_out", self.certain
        if self.likely:
            return "unlikely", self.likely
        if self.unsettled or not (self.suits or self.suits_likely):
            return "unknown", self.unsettled
        if self.unlikely or not self.suits:
            return "doubtful", self.unlikely or self.suits_likely
        if self.should:
            return "discouraged", self.should
        return "allowed", self.suits


def verdict(state: str, outcomes: Iterable[Outcomes]) -> Verdict:
    """Judge one state.

    ``ruled_out``: a must exclude is certainly true. ``unlikely``: one is open, and true at the likely values.
    ``unknown``: one is open there too, or no rule says that the state suits. ``doubtful``: one is open but false at
    the likely values, or the state suits only at the likely values. ``discouraged``: a should exclude holds or is
    open. ``allowed``: none of these. Silence never allows.
    """
    spoken = _Spoken()
    certain, should, suits, suits_likely = spoken.certain, spoken.should, spoken.suits, spoken.suits_likely
    open_musts = {TRUE: spoken.likely, OPEN: spoken.unsettled, FALSE: spoken.unlikely}
    points = 0
    for found in outcomes:
        for rule, on_range, at_likely in found.speaking(found.scope.by_state[state]):
            if rule.effect == "exclude":
                if rule.level != "must":
                    if on_range == TRUE or at_likely != FALSE:
                        should.append(rule.id)
                elif on_range == TRUE:
                    certain.append(rule.id)
                else:
                    open_musts[at_likely].append(rule.id)
            elif rule.effect == "suits":
                if on_range == TRUE:
                    suits.append(rule.id)
                elif at_likely == TRUE:
                    suits_likely.append(rule.id)
            elif rule.effect == "prefer" and at_likely == TRUE:
                points += rule.points
    name, by = spoken.verdict()
    return Verdict(
        name,
        tuple(by),
        tuple(should),
        (*spoken.likely, *spoken.unsettled, *spoken.unlikely),
        tuple(suits or suits_likely),
        max(-MOST_POINTS, min(MOST_POINTS, points)),
    )
