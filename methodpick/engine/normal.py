"""Conditions in normal form: ``not`` only inside comparisons and memberships, parts of a kind in one list."""

from __future__ import annotations

from collections.abc import Iterable

from methodpick.engine.tree import Always, Arithmetic, Both, Compare, Condition, Either, FactRef, Not, Term, Within
from methodpick.vocabulary.catalogue import Catalogue

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
