"""Conditions as trees: the nodes that the parser makes and that the compiler and the interpreter read, and their normal form.

In normal form ``not`` stands only inside comparisons and memberships, and parts of a kind stand in one list.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from methodpick.vocabulary.catalogue import Catalogue


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
