"""Tell whether a changed rule excludes less than before: an overlay that loosens must say why."""

from __future__ import annotations

from methodpick.engine.rule import LEVELS, Rule
from methodpick.engine.tree import Arithmetic, Both, Compare, Condition, Either, LimitRef, Not, Term
from methodpick.engine.witness import Search, constant, write
from methodpick.vocabulary.catalogue import Catalogue


def loosened(old: Rule, new: Rule, catalogue: Catalogue) -> str:
    """Say in which way a new rule excludes less than the old one; an empty text where it does not.

    Where comparisons of two facts leave it open, the new condition counts as looser unless it is the old one.
    """
    if old.effect != "exclude":
        return ""
    if new.effect != "exclude" or new.status == "deprecated":
        return "it excludes nothing any more"
    if lost := [state for state in old.states if state not in new.states]:
        return f"it excludes {', '.join(lost)} no more"
    if LEVELS.index(new.level) > LEVELS.index(old.level):
        return f"'{old.level}' becomes '{new.level}'"
    if old.condition == new.condition:
        return ""
    search = Search(Both((old.condition, Not(new.condition))), catalogue)
    place = search.run()
    if place is not None:
        return f"it holds no more at {write(place)}"
    return "" if search.exact else "it may hold in fewer places"


def loosened_by_limit(old: Rule, new: Rule, catalogue: Catalogue, limit: str, change: float) -> str:
    """Say in which way a moved limit makes an exclude hold in fewer places; an empty text where it does not."""
    said = loosened(old, new, catalogue)
    if said == "it may hold in fewer places" and not harder(old.condition, limit, change):
        return ""
    return said


def harder(condition: Condition, limit: str, change: float, *, holds: bool = True) -> bool:
    """Tell whether moving a limit can make a condition harder to meet, by the direction of each comparison."""
    if isinstance(condition, (Both, Either)):
        return any(harder(part, limit, change, holds=holds) for part in condition.parts)
    if isinstance(condition, Not):
        return harder(condition.part, limit, change, holds=not holds)
    if not isinstance(condition, Compare) or not change:
        return False
    ways = slopes(condition.left, limit) | {-way for way in slopes(condition.right, limit)}
    up = condition.op in {">", ">="}
    return any((way * change < 0) is (up is holds) for way in ways)


def slopes(term: Term, limit: str) -> frozenset[int]:
    """Give the ways in which a term may move when a limit grows: 1 up, -1 down; nothing where it does not name it."""
    if isinstance(term, LimitRef):
        return frozenset({1}) if term.name == limit else frozenset()
    if not isinstance(term, Arithmetic):
        return frozenset()
    first, rest = slopes(term.terms[0], limit), [slopes(part, limit) for part in term.terms[1:]]
    last: frozenset[int] = frozenset().union(*rest)
    if term.op in {"+", "min", "max"}:
        return first | last
    if term.op == "-":
        return first | {-way for way in last}
    if not first | last:
        return frozenset()
    factor = constant(term.terms[1] if first else term.terms[0])
    if term.op == "*" and factor is not None and not (first and last):
        return frozenset(way if factor > 0 else -way for way in first | last)
    if term.op == "/" and factor is not None and first and not last:
        return frozenset(way if factor > 0 else -way for way in first)
    return frozenset({1, -1})
