"""Overlays: an agency, a company or a project changes the rulebook by explicit verbs; loosening needs its reason.

``add`` rules, ``set`` limits, ``tighten`` or ``replace`` a rule by its id, ``disable`` rules. A change that makes an
exclude weaker is detected and refused without a ``reason``; with one it is kept and printed on every report.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from methodpick.engine.interpret import ends
from methodpick.engine.read import RuleFile, Words, rule_of
from methodpick.engine.rule import LEVELS, Rule
from methodpick.engine.rulebook import Loosening, Rulebook
from methodpick.engine.tree import Arithmetic, Both, Compare, Condition, Either, LimitRef, Not, Term
from methodpick.engine.witness import Search, write
from methodpick.strict_yaml import YamlDocument
from methodpick.vocabulary.catalogue import SCOPES, Catalogue
from methodpick.vocabulary.keys import Reader
from methodpick.vocabulary.limits import Limit, limit_of, refuse_implausible, source_of

_KEYS = ("overlay", "title", "level", "add", "set", "tighten", "replace", "disable", "sources")
OVERLAY_LEVELS = ("agency", "company", "project")


def lay_over(book: Rulebook, document: YamlDocument) -> Rulebook:
    """Return the rulebook with an overlay on it; raises RuleError with every problem of the overlay."""
    reader = Reader(document)
    top = reader.mapping((), document.value, _KEYS, ("overlay",))
    name = reader.text(("overlay",), top.get("overlay"))
    reader.text(("title",), top.get("title"))
    reader.word(("level",), top.get("level", "agency"), OVERLAY_LEVELS, "agency")
    sources = dict(book.sources)
    own_sources = top.get("sources") or {}
    for key, entry in reader.mapping(("sources",), own_sources, own_sources if isinstance(own_sources, dict) else ()).items():
        sources[key] = source_of(reader, ("sources", key), key, entry)
    book = replace(book, sources=sources)
    loosenings = list(book.loosened)
    limits, reasons = _moved_limits(reader, {} if top.get("set") is None else top["set"], book, name)
    rules = [_with_limits(rule, limits) if reasons else rule for rule in book.rules]
    _note_loosened_by_limits(reader, book, limits, reasons, loosenings)
    rules, disabled = _disable(reader, reader.items(("disable",), top.get("disable")), rules, name, loosenings)
    change = _Change(name, Words(book.catalogue, limits, sources), loosenings)
    for verb in ("tighten", "replace"):
        for index, entry in enumerate(reader.items((verb,), top.get(verb))):
            rules = _changed(reader, (verb, index), entry, rules, change)
    for index, entry in enumerate(reader.items(("add",), top.get("add"))):
        rule = rule_of(reader, ("add", index), entry, change.words, change.file)
        if rule is not None and any(rule.id == other.id for other in rules):
            reader.wrong(("add", index, "id"), f"the rule '{rule.id}' exists already", hint="use replace")
        elif rule is not None:
            rules.append(rule)
    reader.done()
    return replace(
        book,
        limits=limits,
        rules=tuple(rules),
        overlays=(*book.overlays, name),
        disabled=(*book.disabled, *disabled),
        loosened=tuple(loosenings),
    )


def _moved_limits(reader: Reader, entries: Any, book: Rulebook, name: str) -> tuple[dict[str, Limit], dict[str, str]]:
    """Return all limits with the changed ones, and the reason given for each change."""
    limits, reasons = dict(book.limits), {}
    if not isinstance(entries, dict):
        reader.wrong(("set",), "a map of limits is expected")
        return limits, {}
    for key, entry in entries.items():
        path = ("set", key)
        if key not in limits:
            reader.word(path, key, limits, "")
            continue
        entry = dict(entry) if isinstance(entry, dict) else {"value": entry}  # noqa: PLW2901
        reason = reader.text(path, entry.pop("reason", ""))
        old = limits[key]
        for fixed in ("safe", "range"):
            if fixed in entry:
                reader.wrong((*path, fixed), f"an overlay cannot set the '{fixed}' of a limit", hint="it is part of the rulebook", key=True)
        entry = {"unit": old.unit, "source": old.source, "confidence": "own", **entry}  # noqa: PLW2901
        new = replace(limit_of(reader, path, key, entry, name), safe=old.safe, least=old.least, most=old.most)
        refuse_implausible(reader, path, new)
        if new.source not in book.sources:
            reader.word((*path, "source"), new.source, book.sources, "")
        if new.unit != old.unit:
            reader.wrong(path, f"'{key}' is in {old.unit}, not in {new.unit}")
        limits[key] = new
        reasons[key] = reason
    return limits, reasons


def _note_loosened_by_limits(
    reader: Reader, book: Rulebook, limits: Mapping[str, Limit], reasons: Mapping[str, str], loosenings: list[Loosening]
) -> None:
    """Note which excludes each changed limit loosens by itself, and ask for the reason."""
    for key, reason in reasons.items():
        old, new = book.limits[key], limits[key]
        moved = {**book.limits, key: new}
        looser = {
            rule.id: text
            for rule in book.rules
            if key in rule.limits
            and (text := loosened_by_limit(rule, _with_limits(rule, moved), book.catalogue, key, new.value - old.value))
        }
        if not looser:
            continue
        first = min(looser)
        if not reason and not new.where:
            message = f"this loosens the exclude '{first}': {looser[first]}"
            reader.wrong(("set", key), message, "a reason or the clause ('where')", "add 'reason: ...'")
        what = f"{key} {old.value:g} -> {new.value:g} {new.unit} loosens {', '.join(sorted(looser))}"
        loosenings.append(Loosening(new.origin, what, reason or f"{new.source}, {new.where}"))


def _with_limits(rule: Rule, limits: Mapping[str, Limit]) -> Rule:
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


def _disable(
    reader: Reader, entries: list[Any], rules: list[Rule], name: str, loosenings: list[Loosening]
) -> tuple[list[Rule], list[Rule]]:
    """Return the rules that stay, and those that the overlay disables."""
    disabled: list[Rule] = []
    for index, entry in enumerate(entries):
        path = ("disable", index)
        written = reader.mapping(path, entry, ("rule", "reason"), ("rule", "reason"))
        found = next((rule for rule in rules if rule.id == written.get("rule")), None)
        if found is None:
            reader.word((*path, "rule"), written.get("rule"), [rule.id for rule in rules], "")
            continue
        rules = [rule for rule in rules if rule is not found]
        disabled.append(found)
        if found.effect == "exclude":
            loosenings.append(Loosening(name, f"rule '{found.id}' disabled", str(written.get("reason", ""))))
    return rules, disabled


@dataclass(frozen=True, slots=True)
class _Change:
    """What the changed rules of an overlay need: its name, the words of the book, and the list of what is made looser."""

    overlay: str
    words: Words
    loosenings: list[Loosening]

    @property
    def file(self) -> RuleFile:
        """Return what a rule takes from the overlay that it stands in."""
        return RuleFile("overlay", origin=self.overlay)


def _changed(reader: Reader, path: tuple[str, int], entry: Any, rules: list[Rule], change: _Change) -> list[Rule]:
    """Return the rules with one of them tightened or replaced, as the first word of the path says."""
    verb = path[0]
    entry = dict(entry) if isinstance(entry, dict) else {}
    reason = reader.text(path, entry.pop("reason", ""))
    rule = rule_of(reader, path, entry, change.words, change.file)
    if rule is None:
        return rules
    old = next((other for other in rules if other.id == rule.id), None)
    if old is None:
        hint = reader.near(rule.id, [other.id for other in rules]) or "use add"
        reader.wrong((*path, "id"), f"there is no rule '{rule.id}' to change", hint=hint)
        return rules
    if verb == "tighten" and old.effect != "exclude":
        reader.wrong(path, f"'{old.id}' is no exclude; only an exclude can be tightened", hint="use replace")
    elif verb == "tighten":
        rule = _tightened(old, rule)
    looser = loosened(old, rule, change.words.catalogue)
    if looser and (verb == "tighten" or not reason):
        hint = "use replace with a reason" if verb == "tighten" else "add 'reason: ...'"
        reader.wrong(path, f"this loosens the exclude '{old.id}': {looser}", hint=hint)
    elif looser:
        change.loosenings.append(Loosening(change.overlay, f"rule '{old.id}' replaced: {looser}", reason))
    return [replace(rule, topic=old.topic, section=old.section) if other is old else other for other in rules]


def _tightened(old: Rule, new: Rule) -> Rule:
    """Return a rule that holds where the old one holds or the new one does."""
    return replace(
        new,
        when=Either((old.condition, new.condition)),
        unless=(),
        text=f"({old.text}) or ({new.text})",
        scope=max(old.scope, new.scope, key=SCOPES.index),
    )


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
    looser = loosened(old, new, catalogue)
    if looser == "it may hold in fewer places" and not harder(old.condition, limit, change, catalogue):
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
