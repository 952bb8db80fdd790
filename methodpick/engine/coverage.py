"""Which rules can speak at all, and where no rule does."""

from __future__ import annotations

from itertools import product

from methodpick.engine.compiler import TRUE
from methodpick.engine.finding import Finding
from methodpick.engine.rule import LEVELS, STATES, Rule
from methodpick.engine.rulebook import Outcomes, Rulebook
from methodpick.engine.tree import Always, Both, Condition, Not
from methodpick.engine.witness import Place, Search, write
from methodpick.vocabulary.catalogue import Catalogue
from methodpick.vocabulary.values import Value, known


def check_coverage(book: Rulebook) -> list[Finding]:
    """Find combinations of ground, state and water position for which no suits and no exclude can speak."""
    facts = book.catalogue.facts
    if "soil" not in facts or "water_position" not in facts:
        return []
    found: list[Finding] = []
    for soil, water in product(facts["soil"].words, facts["water_position"].words):
        values: dict[str, Value] = {"soil": known(soil), "water_position": known(water)}
        outcomes = [book.scopes[name].judge(values) for name in ("site", "shaft", "slice", "slice_state")]
        found += [
            Finding("E301", "error", None, f"no rule says whether '{state}' suits {soil} {water} the water", write(values))
            for state in STATES
            if not _speaks(state, outcomes)
        ]
    return found


def _speaks(state: str, outcomes: list[Outcomes]) -> bool:
    """Return whether the state can suit, or is certainly excluded: an exclude that only may hold leaves a gap beside it."""
    return any(
        rule.effect == "suits" or (rule.effect == "exclude" and on_range == TRUE)
        for found in outcomes
        for rule, on_range, _ in found.speaking(found.scope.by_state[state])
    )


def check_reach(book: Rulebook) -> list[Finding]:
    """Find rules that can never fire, that always fire, and that another rule with the same effect covers."""
    found: list[Finding] = []
    rules = [rule for rule in book.rules if rule.status != "deprecated"]
    for rule in rules:
        if isinstance(rule.condition, Always):
            continue
        if _nowhere(rule.condition, book.catalogue):
            found.append(Finding("E205", "error", rule.place, f"the rule '{rule.id}' can never fire: {rule.text}"))
        elif _nowhere(Not(rule.condition), book.catalogue):
            found.append(Finding("W206", "warning", rule.place, f"the rule '{rule.id}' always fires: {rule.text}"))
        found += [
            Finding(
                "W207",
                "warning",
                rule.place,
                f"the rule '{rule.id}' adds nothing: '{other.id}' holds wherever it does",
                write(_where(rule.condition, book.catalogue)),
            )
            for other in rules
            if _covers(other, rule, book)
        ]
    return found


def _covers(other: Rule, rule: Rule, book: Rulebook) -> bool:
    same = other is not rule and other.effect == rule.effect and other.effect in {"exclude", "suits"}
    if not same or not set(rule.states) <= set(other.states) or not set(other.facts) <= set(rule.facts):
        return False
    if rule.origin == "base" != other.origin:  # an overlay may well be stricter than the book under it
        return False
    if other.hazard != rule.hazard or LEVELS.index(other.level) > LEVELS.index(rule.level):
        return False
    return _nowhere(Both((rule.condition, Not(other.condition))), book.catalogue)


def _nowhere(condition: Condition, catalogue: Catalogue) -> bool:
    """Return whether a condition is proved to hold nowhere."""
    search = Search(condition, catalogue)
    return search.run() is None and search.exact


def _where(condition: Condition, catalogue: Catalogue) -> Place:
    return Search(condition, catalogue).run() or {}
