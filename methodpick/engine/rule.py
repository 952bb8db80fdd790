"""A rule: the tree of its condition, its effects, sources and cases.

In normal form ``not`` stands only inside comparisons and memberships, and parts of a kind stand in one list.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property

from methodpick.errors import Place
from methodpick.records import record
from methodpick.terms import STATES, Severity
from methodpick.vocabulary.catalogue import Catalogue
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Value

# ---- Conditions as trees: the nodes that the parser makes and that the compiler and the interpreter read, and their normal form


@record
class Number:
    """A plain number; only 0 and dimensionless numbers are written in rules."""

    value: float


@record
class LimitRef:
    """A limit by name with the value that it has in this rulebook."""

    name: str
    value: float


@record
class FactRef:
    """A number fact by name."""

    name: str


@record
class Arithmetic:
    """``+ - * /`` of two terms, or ``min``, ``max`` of two or more, or ``abs`` of one."""

    op: str
    terms: tuple[Term, ...]


Term = Number | LimitRef | FactRef | Arithmetic


@record
class Compare:
    """Two terms compared; ``text`` is the piece of the rule that says so."""

    op: str
    left: Term
    right: Term
    text: str


@record
class Within:
    """An enumeration or a yes/no fact lies in a set of words."""

    name: str
    words: frozenset[str]
    text: str


@record
class Both:
    """All of the parts hold."""

    parts: tuple[Condition, ...]


@record
class Either:
    """One of the parts holds."""

    parts: tuple[Condition, ...]


@record
class Not:
    """The part does not hold."""

    part: Condition


@record
class Always:
    """Holds everywhere."""


Condition = Compare | Within | Both | Either | Not | Always


def atoms(condition: Condition) -> Iterator[Compare | Within]:
    """Return the comparisons and memberships of a condition, left to right."""
    if isinstance(condition, (Compare, Within)):
        yield condition
    elif isinstance(condition, (Both, Either)):
        for part in condition.parts:
            yield from atoms(part)
    elif isinstance(condition, Not):
        yield from atoms(condition.part)


def facts_of_term(term: Term) -> Iterator[str]:
    """Return the fact names of a term."""
    if isinstance(term, FactRef):
        yield term.name
    elif isinstance(term, Arithmetic):
        for part in term.terms:
            yield from facts_of_term(part)


def limits_of_term(term: Term) -> Iterator[str]:
    """Return the limit names of a term."""
    if isinstance(term, LimitRef):
        yield term.name
    elif isinstance(term, Arithmetic):
        for part in term.terms:
            yield from limits_of_term(part)


def facts_of_atom(atom: Compare | Within) -> tuple[str, ...]:
    """Return the fact names of a comparison or a membership."""
    if isinstance(atom, Within):
        return (atom.name,)
    return (*facts_of_term(atom.left), *facts_of_term(atom.right))


def facts_of(condition: Condition) -> tuple[str, ...]:
    """Return the fact names of a condition, each once, in the order of the text."""
    return tuple(dict.fromkeys(name for atom in atoms(condition) for name in facts_of_atom(atom)))


def limits_of(condition: Condition) -> tuple[str, ...]:
    """Return the limit names of a condition, each once."""
    names = (
        name for atom in atoms(condition) if isinstance(atom, Compare) for term in (atom.left, atom.right) for name in limits_of_term(term)
    )
    return tuple(dict.fromkeys(names))


_DENIED = {"<": ">=", "<=": ">", ">": "<=", ">=": "<"}
_TURNED = {"<": ">", "<=": ">=", ">": "<", ">=": "<="}


def normal(condition: Condition, catalogue: Catalogue, *, holds: bool = True) -> Condition:
    """Return a condition with the same three truth values everywhere, without Not and Always; texts are dropped.

    De Morgan's laws hold for ranges and sets as for points, and what is certainly not below is certainly at or above.

    >>> less = Compare("<", FactRef("x"), FactRef("y"), "x < y")
    >>> normal(Not(less), Catalogue({})).op
    '>='
    """
    if isinstance(condition, Always):
        return Both(()) if holds else Either(())
    if isinstance(condition, Not):
        return normal(condition.part, catalogue, holds=not holds)
    if isinstance(condition, Within):
        words = condition.words if holds else frozenset(catalogue.facts[condition.name].words) - condition.words
        return Within(condition.name, words, "")
    if isinstance(condition, Compare):
        return _fact_first(condition.op if holds else _DENIED[condition.op], condition.left, condition.right)
    kind = Both if isinstance(condition, Both) is holds else Either
    return _joined(kind, (normal(part, catalogue, holds=holds) for part in condition.parts))


def _fact_first(op: str, left: Term, right: Term) -> Compare:
    """Write a fact compared with a number fact first."""
    if isinstance(right, FactRef) and not isinstance(left, FactRef):
        return Compare(_TURNED[op], right, left, "")
    return Compare(op, left, right, "")


def _joined(kind: type[Both | Either], parts: Iterable[Condition]) -> Condition:
    """Join parts; ``Both(())`` holds everywhere and ``Either(())`` nowhere, so the other kind's empty one decides all."""
    decided = Either(()) if kind is Both else Both(())
    flat: list[Condition] = []
    for part in parts:
        if part == decided:
            return decided
        flat += part.parts if isinstance(part, (Both, Either)) and isinstance(part, kind) else (part,)
    return flat[0] if len(flat) == 1 else kind(tuple(flat))


def given(condition: Condition, name: str, word: str) -> Condition:
    """Return what is left of a condition in normal form where a fact is known to be a word.

    >>> given(Within("soil", frozenset({"clay", "silt"}), ""), "soil", "clay")
    Both(parts=())
    """
    if isinstance(condition, Within) and condition.name == name:
        return Both(()) if word in condition.words else Either(())
    if isinstance(condition, (Both, Either)):
        return _joined(type(condition), (given(part, name, word) for part in condition.parts))
    return condition


def level_of(atom: Compare) -> tuple[str, float] | None:
    """Return the fact and the number of a comparison of just these two, None for any other."""
    if not isinstance(atom.left, FactRef) or isinstance(atom.right, (FactRef, Arithmetic)):
        return None
    return atom.left.name, float(atom.right.value)


# ---- A rule as data: condition, exceptions, one effect, reason, source and cases


RULE_STATES = (*STATES, "leave_in", "pull_out")
"""What rules exclude or suit: the support states, and leaving a casing in or pulling it out."""
LEVELS = ("must", "should", "may")
STATUSES = ("experimental", "test", "stable", "deprecated")
HAZARDS = (
    "caving",
    "squeezing",
    "inflow",
    "base-instability",
    "uplift",
    "fluid-loss",
    "fluid-chemistry",
    "obstruction",
    "softening",
    "casing-stuck",
    "seal",
    "concrete-defect",
    "voids",
    "vibration",
    "contamination",
    "gas",
    "fall",
    "lifting",
    "collapse",
    "utilities",
    "spoil",
    "data-gap",
    "specification",
    "cost",
    "exposure",
    "washout",
    "settlement",
)
EFFECTS = ("exclude", "suits", "prefer", "caution", "ask")
EXPECTATIONS = ("fires", "silent", "unknown")
"""What a case may expect of its rule."""


@record
class Cited:
    """A source by its key and the place in it."""

    key: str
    where: str


@record
class Exemption:
    """A labelled exception: where it holds the rule does not."""

    id: str
    when: Condition
    because: str


@record
class Case:
    """An example of a rule: given these facts, all others missing, it fires, is silent or unknown."""

    given: Mapping[str, Value]
    expect: str
    place: Place


@record(caches=True)
class Rule:
    """A rule. ``states`` and ``points`` belong to excludes, suits and preferences, ``severity`` to cautions.

    ``section`` is the title of the file it stands in, for a reader of the whole book.
    """

    id: str
    topic: str
    title: str
    status: str
    level: str
    hazard: str
    scope: str
    text: str
    when: Condition
    unless: tuple[Exemption, ...]
    effect: str
    states: tuple[str, ...]
    points: int
    severity: Severity
    question: str
    need: str
    because: str
    not_for: str
    treatment: Mapping[str, str]
    source: tuple[Cited, ...]
    cases: tuple[Case, ...]
    place: Place
    origin: str = "base"
    section: str = ""

    @cached_property
    def condition(self) -> Condition:
        """Return the whole condition: ``when`` holds and none of the exceptions does."""
        if not self.unless:
            return self.when
        exceptions = Either(tuple(exemption.when for exemption in self.unless))
        return Not(exceptions) if isinstance(self.when, Always) else Both((self.when, Not(exceptions)))

    @cached_property
    def facts(self) -> tuple[str, ...]:
        """Return the names of the facts that the rule looks at."""
        return facts_of(self.condition)

    @cached_property
    def limits(self) -> tuple[str, ...]:
        """Return the names of the limits that the rule compares with."""
        return limits_of(self.condition)


def with_limits(rule: Rule, limits: Mapping[str, Limit]) -> Rule:
    """Return a rule that compares with the values of the limits as they are now."""
    unless = tuple(replace(exemption, when=_renewed(exemption.when, limits)) for exemption in rule.unless)
    return replace(rule, when=_renewed(rule.when, limits), unless=unless)


def _renewed(condition: Condition, limits: Mapping[str, Limit]) -> Condition:
    """Return the condition with the values of the limits as they are now."""
    if isinstance(condition, Both):
        return Both(tuple(_renewed(part, limits) for part in condition.parts))
    if isinstance(condition, Either):
        return Either(tuple(_renewed(part, limits) for part in condition.parts))
    if isinstance(condition, Not):
        return Not(_renewed(condition.part, limits))
    if isinstance(condition, Compare):
        return replace(condition, left=_term(condition.left, limits), right=_term(condition.right, limits))
    return condition


def _term(term: Term, limits: Mapping[str, Limit]) -> Term:
    if isinstance(term, LimitRef):
        return LimitRef(term.name, limits[term.name].value)
    if isinstance(term, Arithmetic):
        return Arithmetic(term.op, tuple(_term(part, limits) for part in term.terms))
    return term


@record
class Loosening:
    """A change that makes a rulebook less careful: who made it, what it is with numbers in marks, and the reason given."""

    overlay: str
    what: str
    reason: str
