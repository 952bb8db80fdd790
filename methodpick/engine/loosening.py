"""What makes a rulebook less careful than the one before: a rule that excludes or warns less, a limit moved to the loose side."""

from __future__ import annotations

from methodpick.engine.interpret import Search, ends, write
from methodpick.engine.rule import LEVELS, Arithmetic, Both, Compare, Condition, Either, LimitRef, Not, Rule, Term
from methodpick.terms import SEVERITIES
from methodpick.unit_markup import mark, mark_plainly
from methodpick.units import read_as
from methodpick.vocabulary.catalogue import Catalogue
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.trade_sizes import SizeList


def gives_reason(text: str) -> bool:
    """Return whether a text can be a reason: it has letters.

    >>> gives_reason("pumps on site"), gives_reason(" "), gives_reason("-")
    (True, False, False)
    """
    return any(map(str.isalpha, text))


def moved_limit(old: Limit, new: Limit) -> str:
    """Write how a limit was moved, its numbers in marks.

    >>> old, new = (Limit("least_m", value, "m", "own", "", "", "own", "") for value in (1.0, 0.5))
    >>> moved_limit(old, new)
    'least m: ⟦1|length⟧ becomes ⟦0.5|length⟧'
    """
    name = old.name.replace("_", " ")
    return f"{name}: {_size(old)} becomes {_size(new)}"


def _size(limit: Limit) -> str:
    """Write the value of a limit, or its ends where it goes by the diameter."""
    low, high = limit.number_range
    unit = read_as(limit.name, limit.unit)
    ends = mark_plainly(low, unit), mark_plainly(high, unit)
    return f"{ends[0]} to {ends[1]} by diameter" if limit.by_diameter else mark_plainly(limit.value, unit)


def other_sizes(old: SizeList | None, new: SizeList) -> str:
    """Write which list of trade sizes is another, the numbers in marks; without an old one casing went by steps.

    >>> from methodpick.vocabulary.trade_sizes import ListedSize
    >>> new = SizeList("pipe_us", (ListedSize(0.9144), ListedSize(1.2192)), "in", "own", "", "", "read", "")
    >>> other_sizes(None, new)
    'sizes of pipe on US sites: steps become 2 from ⟦0.9144|size⟧ to ⟦1.2192|size⟧'
    """
    kind, units = new.name.split("_")
    casing = {"pipe": "pipe", "segmental": "segmental casing"}[kind]
    return f"sizes of {casing} on {units.upper()} sites: {_listed(old)} become {_listed(new)}"


def _listed(sizes: SizeList | None) -> str:
    """Write how many sizes a list has, from which to which."""
    if sizes is None or not sizes.sizes:
        return "steps"
    ends = mark(sizes.sizes[0].outside_m, "size"), mark(sizes.sizes[-1].outside_m, "size")
    return f"{len(sizes.sizes)} from {ends[0]} to {ends[1]}"


def loosened(old: Rule, new: Rule, catalogue: Catalogue) -> str:
    """Describe in which way a rule in place of another is less careful; an empty text where it is not.

    An exclude is looser where it holds in fewer places or is worded anew, a caution or a question where anything of it
    changes but for a graver severity, a suits where it allows more. Where comparisons of two facts leave it open, the new
    condition counts as looser unless it is the old one.
    """
    if new.effect == "suits" and (more := _allows_more(old, new, catalogue)):
        return more
    if old.effect == "exclude":
        return excludes_less(old, new, catalogue) or _worded_anew(old, new)
    if old.effect in {"caution", "ask"}:
        return _warns_less(old, new, catalogue) or _worded_anew(old, new)
    return ""


def without_rule(old: Rule) -> str:
    """Describe what is lost with a rule; an empty text where nothing becomes less careful.

    A preference and what suits only allow or order; without them a plan has fewer ways.
    """
    lost = {"exclude": f"it excluded {', '.join(old.states)}", "caution": f"it warned ({old.severity})", "ask": "it asked"}
    return lost.get(old.effect, "")


def _allows_more(old: Rule, new: Rule, catalogue: Catalogue) -> str:
    more = new.states if old.effect != "suits" else [state for state in new.states if state not in old.states]
    if more:
        return f"it suits {', '.join(more)} now"
    place = _place_of(Both((new.condition, Not(old.condition))), catalogue) if new.condition != old.condition else ""
    return f"it suits also {place}" if place else ""


def _place_of(condition: Condition, catalogue: Catalogue) -> str:
    """Write a place where a condition holds; an empty text where there is surely none."""
    search = Search(condition, catalogue)
    place = search.run()
    return f"at {write(place)}" if place is not None else "" if search.exact else "in more places, it may be"


def _warns_less(old: Rule, new: Rule, catalogue: Catalogue) -> str:
    if new.effect not in {old.effect, "exclude"} or new.status == "deprecated":
        return "it warns no more" if old.effect == "caution" else "it asks no more"
    if old.effect == "caution" and new.effect == "caution" and SEVERITIES.index(new.severity) > SEVERITIES.index(old.severity):
        return f"'{old.severity}' becomes '{new.severity}'"
    if (old.question, old.need) != (new.question, new.need):
        return "it asks otherwise"
    return _holds_less(old, new, catalogue)


def _worded_anew(old: Rule, new: Rule) -> str:
    """Describe which words of a rule are others: its reason, its sources, what to do all the same, its hazard."""
    parts = {"because": "reason", "source": "sources", "treatment": "treatment", "hazard": "hazard", "not_for": "where it is not for"}
    changed = [word for name, word in parts.items() if getattr(old, name) != getattr(new, name)]
    return f"other words: {', '.join(changed)}" if changed else ""


def excludes_less(old: Rule, new: Rule, catalogue: Catalogue) -> str:
    """Describe in which way a rule excludes less than an exclude before it; an empty text where it does not."""
    if new.effect != "exclude" or new.status == "deprecated":
        return "it excludes nothing any more"
    if lost := [state for state in old.states if state not in new.states]:
        return f"it excludes {', '.join(lost)} no more"
    return _holds_less(old, new, catalogue)


def _holds_less(old: Rule, new: Rule, catalogue: Catalogue) -> str:
    if LEVELS.index(new.level) > LEVELS.index(old.level):
        return f"'{old.level}' becomes '{new.level}'"
    if old.condition == new.condition:
        return ""
    search = Search(Both((old.condition, Not(new.condition))), catalogue)
    place = search.run()
    if place is not None:
        return f"it holds no more at {write(place)}"
    return "" if search.exact else FEWER


FEWER = "it may hold in fewer places"
"""What is said where comparisons of two facts leave it open."""


def loosened_by_limit(old: Rule, new: Rule, catalogue: Catalogue, limit: str, change: float) -> str:
    """Describe in which way a moved limit makes an exclude hold in fewer places; an empty text where it does not."""
    looser = excludes_less(old, new, catalogue) if old.effect == "exclude" else ""
    if looser == FEWER and not harder(old.condition, limit, change, catalogue):
        return ""
    return looser


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
