"""Return whether a changed rule excludes less than before: an overlay that loosens must say why."""

from __future__ import annotations

from methodpick.engine.interpret import ends
from methodpick.engine.rule import LEVELS, Rule
from methodpick.engine.tree import Arithmetic, Both, Compare, Condition, Either, LimitRef, Not, Term
from methodpick.engine.witness import Search, write
from methodpick.vocabulary.catalogue import Catalogue


def loosened(old: Rule, new: Rule, catalogue: Catalogue) -> str:
    """Describe in which way a new rule excludes less than the old one; an empty text where it does not.

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
    """Describe in which way a moved limit makes an exclude hold in fewer places; an empty text where it does not."""
    said = loosened(old, new, catalogue)
    if said == "it may hold in fewer places" and not harder(old.condition, limit, change, catalogue):
        return ""
    return said


def harder(condition: Condition, limit: str, change: float, catalogue: Catalogue, *, holds: bool = True) -> bool:
    """Return whether moving a limit can make a condition harder to meet, by the direction of each comparison."""
    if isinstance(condition, (Both, Either)):
        return any(harder(part, limit, change, catalogue, holds=holds) for part in condition.parts)
    if isinstance(condition, Not):
        return harder(condition.part, limit, change, catalogue, holds=not holds)
    if not isinstance(condition, Compare) or not change:
        return False
    ways = slopes(condition.left, limit, catalogue) | {-way for way in slopes(condition.right, limit, catalogue)}
    up = condition.op in {">", ">="}
    return any((way * change < 0) is (up is holds) for way in ways)


def slopes(term: Term, limit: str, catalogue: Catalogue) -> frozenset[int]:
    """Return the ways in which a term may move when a limit grows: 1 up, -1 down; nothing where it does not name it."""
    if isinstance(term, LimitRef):
        return frozenset({1}) if term.name == limit else frozenset()
    if not isinstance(term, Arithmetic):
        return frozenset()
    parts = [slopes(part, limit, catalogue) for part in term.terms]
    if term.op in {"+", "min", "max"}:
        return frozenset().union(*parts)
    first, last = parts[0], parts[-1]
    if term.op == "-":
        return first | {-way for way in last}
    if term.op == "abs" or (first and last):
        return frozenset({1, -1}) if first else first
    factors = signs(term.terms[-1] if first else term.terms[0], catalogue)
    turn = -1 if term.op == "/" and last else 1
    return frozenset(way * factor * turn for way in first | last for factor in factors)


def signs(term: Term, catalogue: Catalogue) -> tuple[int, ...]:
    """Return the signs that a term may have over the domains of its facts."""
    low, high = ends(term, {}, catalogue)
    return (1,) if low >= 0 else (-1,) if high <= 0 else (1, -1)
