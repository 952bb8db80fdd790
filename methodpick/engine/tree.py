"""Conditions as trees: the nodes that the parser makes and that the compiler and the interpreter read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Number:
    """A plain number; only 0 and dimensionless numbers are written in rules."""

    value: float


@dataclass(frozen=True, slots=True)
class LimitRef:
    """A limit by name with the value that it has in this rulebook."""

    name: str
    value: float


@dataclass(frozen=True, slots=True)
class FactRef:
    """A number fact by name."""

    name: str


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """``+ - * /`` of two terms, or ``min``, ``max`` of two or more, or ``abs`` of one."""

    op: str
    terms: tuple[Term, ...]


Term = Number | LimitRef | FactRef | Arithmetic


@dataclass(frozen=True, slots=True)
class Compare:
    """Two terms compared; ``text`` is the piece of the rule that says so."""

    op: str
    left: Term
    right: Term
    text: str


@dataclass(frozen=True, slots=True)
class Within:
    """An enumeration or a yes/no fact lies in a set of words."""

    name: str
    words: frozenset[str]
    text: str


@dataclass(frozen=True, slots=True)
class Both:
    """All of the parts hold."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Either:
    """One of the parts holds."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Not:
    """The part does not hold."""

    part: Condition


@dataclass(frozen=True, slots=True)
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
