"""A rule as data: condition, exceptions, one effect, reason, source and cases."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from methodpick.engine.tree import Always, Arithmetic, Both, Compare, Condition, Either, LimitRef, Not, Term, facts_of, limits_of
from methodpick.errors import Place
from methodpick.terms import STATES, Severity
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Value

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


@dataclass(frozen=True, slots=True)
class Cited:
    """A source by its key and the place in it."""

    key: str
    where: str


@dataclass(frozen=True, slots=True)
class Exemption:
    """A labelled exception: where it holds the rule does not."""

    id: str
    when: Condition
    because: str


@dataclass(frozen=True, slots=True)
class Case:
    """An example of a rule: given these facts, all others missing, it fires, is silent or unknown."""

    given: Mapping[str, Value]
    expect: str
    place: Place


@dataclass(frozen=True)
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
