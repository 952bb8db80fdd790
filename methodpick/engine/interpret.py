"""Interpret conditions as trees: slower than the compiled program, for explanations, and the oracle of the tests."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf, isnan

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.tree import Always, Arithmetic, Both, Compare, Condition, Either, FactRef, Not, Term, Within, facts_of_atom
from methodpick.vocabulary.catalogue import Catalogue
from methodpick.vocabulary.values import Choice, Span, Value

Values = Mapping[str, Value]


def truth(condition: Condition, values: Values, catalogue: Catalogue) -> int:
    """Return the truth of a condition on sets: TRUE, FALSE or OPEN. A missing fact is its whole domain."""
    if isinstance(condition, Always):
        return TRUE
    if isinstance(condition, Not):
        return {TRUE: FALSE, FALSE: TRUE, OPEN: OPEN}[truth(condition.part, values, catalogue)]
    if isinstance(condition, (Both, Either)):
        parts = [truth(part, values, catalogue) for part in condition.parts]
        stop, rest = (FALSE, TRUE) if isinstance(condition, Both) else (TRUE, FALSE)
        return stop if stop in parts else OPEN if OPEN in parts else rest
    return _atom(condition, values, catalogue)


def _atom(atom: Compare | Within, values: Values, catalogue: Catalogue) -> int:
    if isinstance(atom, Within):
        known = values.get(atom.name, catalogue.facts[atom.name].domain)
        words = known.values if isinstance(known, Choice) else frozenset()
        return TRUE if words <= atom.words else FALSE if not words & atom.words else OPEN
    low, high = ends(atom.left, values, catalogue)
    floor, top = ends(atom.right, values, catalogue)
    sure, never = {
        "<": (high < floor, low >= top),
        "<=": (high <= floor, low > top),
        ">": (low > top, high <= floor),
        ">=": (low >= top, high < floor),
    }[atom.op]
    return TRUE if sure else FALSE if never else OPEN


def ends(term: Term, values: Values, catalogue: Catalogue) -> tuple[float, float]:
    """Return the range in which a term lies on sets (interval arithmetic); a missing fact is its whole domain."""
    if isinstance(term, FactRef):
        known = values.get(term.name, catalogue.facts[term.name].domain)
        return (known.low, known.high) if isinstance(known, Span) else (-inf, inf)
    if not isinstance(term, Arithmetic):
        return term.value, term.value
    parts = [ends(part, values, catalogue) for part in term.terms]
    if term.op == "min":
        return min(low for low, _ in parts), min(high for _, high in parts)
    if term.op == "max":
        return max(low for low, _ in parts), max(high for _, high in parts)
    low, high = parts[0]
    if term.op == "abs":
        return max(0.0, low, -high), max(abs(low), abs(high))
    floor, top = parts[1]
    if term.op == "+":
        return low + floor, high + top
    if term.op == "-":
        return low - top, high - floor
    if term.op == "/" and floor <= 0.0 <= top:
        return -inf, inf
    products = [left * right if term.op == "*" else left / right for left in (low, high) for right in (floor, top)]
    if any(isnan(end) for end in products) or min(products) == inf or max(products) == -inf:  # out of the range of floats
        return -inf, inf
    return min(products), max(products)


def support(condition: Condition, values: Values, catalogue: Catalogue) -> tuple[str, ...]:
    """Return the facts that a definite truth rests on: blank every other fact and it stands, blank one more and it falls.

    Of a conjunction that holds all parts are needed, of one that fails the cheapest part, and dually. An open
    condition rests on the facts of its open parts.
    """
    names = dict.fromkeys(_support(condition, values, catalogue))
    result = truth(condition, values, catalogue)
    if result != OPEN:
        for name in tuple(names):
            if truth(condition, {other: values[other] for other in names if other != name and other in values}, catalogue) == result:
                del names[name]
    return tuple(names)


def _support(condition: Condition, values: Values, catalogue: Catalogue) -> list[str]:
    if isinstance(condition, Always):
        return []
    if isinstance(condition, Not):
        return _support(condition.part, values, catalogue)
    if isinstance(condition, (Compare, Within)):
        return list(facts_of_atom(condition))
    result = truth(condition, values, catalogue)
    deciding = [part for part in condition.parts if truth(part, values, catalogue) == result]
    decided_by_a_single_part = FALSE if isinstance(condition, Both) else TRUE
    if result == decided_by_a_single_part:
        return min((_support(part, values, catalogue) for part in deciding), key=lambda names: len(set(names)))
    return [name for part in deciding for name in _support(part, values, catalogue)]
