"""Overlays: an agency, a company or a project changes the rulebook by explicit verbs; loosening needs its reason.

``add`` rules, ``set`` limits, ``tighten`` or ``replace`` a rule by its id, ``disable`` rules. A change that makes an
exclude weaker is detected and refused without a ``reason``; with one it is kept and printed on every report.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from methodpick.engine.read import Words, rule_of
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Loosening, Rulebook
from methodpick.engine.tree import Arithmetic, Both, Compare, Condition, Either, LimitRef, Not, Term
from methodpick.strict_yaml import Document
from methodpick.vocabulary.keys import Reader
from methodpick.vocabulary.limits import Limit, limit_of, source_of

_KEYS = ("overlay", "title", "level", "add", "set", "tighten", "replace", "disable", "sources")
_LEVELS = ("agency", "company", "project")


def lay_over(book: Rulebook, document: Document) -> Rulebook:
    """Give the rulebook with an overlay on it; raises RuleError with every problem of the overlay."""
    reader = Reader(document)
    top = reader.mapping((), document.value, _KEYS, ("overlay",))
    name = reader.text(("overlay",), top.get("overlay"))
    reader.text(("title",), top.get("title"))
    reader.word(("level",), top.get("level", "agency"), _LEVELS, "agency")
    sources = dict(book.sources)
    own = top.get("sources") or {}
    for key, entry in reader.mapping(("sources",), own, own if isinstance(own, dict) else ()).items():
        sources[key] = source_of(reader, ("sources", key), key, entry)
    book = replace(book, sources=sources)
    loosened = list(book.loosened)
    limits, changed = _set(reader, {} if top.get("set") is None else top["set"], book, name, loosened)
    rules = [replace(rule, when=_renewed(rule.when, limits),
                     unless=tuple(replace(one, when=_renewed(one.when, limits)) for one in rule.unless))
             if changed else rule for rule in book.rules]
    rules, disabled = _disable(reader, reader.items(("disable",), top.get("disable")), rules, name, loosened)
    words = Words(book.catalogue, limits, sources)
    rules = _replace(reader, top, rules, words, name, loosened)
    for index, entry in enumerate(reader.items(("add",), top.get("add"))):
        rule = rule_of(reader, ("add", index), entry, "overlay", words, name)
        if rule is not None and any(rule.id == one.id for one in rules):
            reader.wrong(("add", index, "id"), f"the rule '{rule.id}' exists already", hint="use replace")
        elif rule is not None:
            rules.append(rule)
    reader.done()
    return replace(book, limits=limits, rules=tuple(rules), overlays=(*book.overlays, name),
                   disabled=(*book.disabled, *disabled), loosened=tuple(loosened))


def _set(reader: Reader, entries: Any, book: Rulebook, name: str, loosened: list[Loosening],
         ) -> tuple[dict[str, Limit], bool]:
    limits = dict(book.limits)
    if not isinstance(entries, dict):
        reader.wrong(("set",), "a map of limits is expected")
        return limits, False
    for key, entry in entries.items():
        path = ("set", key)
        if key not in limits:
            reader.word(path, key, limits, "")
            continue
        entry = dict(entry) if isinstance(entry, dict) else {"value": entry}  # noqa: PLW2901
        reason = str(entry.pop("reason", ""))
        old = limits[key]
        entry = {"unit": old.unit, "source": old.source, "confidence": "own", **entry}  # noqa: PLW2901
        new = limit_of(reader, path, key, entry, name)
        if new.source not in book.sources:
            reader.word((*path, "source"), new.source, book.sources, "")
        if new.unit != old.unit:
            reader.wrong(path, f"'{key}' is in {old.unit}, not in {new.unit}")
        limits[key] = new
        weaker = sorted(rule.id for rule in book.rules if rule.effect == "exclude"
                        and _weakened(rule.when, key, new.value - old.value))
        if weaker:
            what = f"{key} {old.value:g} -> {new.value:g} {new.unit} loosens {', '.join(weaker)}"
            if not reason and not new.where:
                reader.wrong(path, f"this loosens the exclude '{weaker[0]}'", "a reason or the clause ('where')",
                             "add 'reason: ...'")
            loosened.append(Loosening(name, what, reason or f"{new.source}, {new.where}"))
    return limits, bool(entries)


def _weakened(condition: Condition, limit: str, change: float, *, holds: bool = True) -> bool:
    """Tell whether moving a limit makes a condition harder to meet, by the direction of its comparisons."""
    if isinstance(condition, (Both, Either)):
        return any(_weakened(part, limit, change, holds=holds) for part in condition.parts)
    if isinstance(condition, Not):
        return _weakened(condition.part, limit, change, holds=not holds)
    if not isinstance(condition, Compare) or not change:
        return False
    for term, sign in ((condition.right, 1.0), (condition.left, -1.0)):
        if _names(term, limit):
            harder = change * sign > 0 if condition.op in {">", ">="} else change * sign < 0
            return harder is holds
    return False


def _names(term: Term, limit: str) -> bool:
    if isinstance(term, Arithmetic):
        return any(_names(part, limit) for part in term.terms)
    return isinstance(term, LimitRef) and term.name == limit


def _renewed(condition: Condition, limits: Mapping[str, Limit]) -> Condition:
    """Give the condition with the values of the limits as they are now."""
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


def _disable(reader: Reader, entries: list[Any], rules: list[Rule], name: str, loosened: list[Loosening],
             ) -> tuple[list[Rule], list[Rule]]:
    gone: list[Rule] = []
    for index, entry in enumerate(entries):
        path = ("disable", index)
        one = reader.mapping(path, entry, ("rule", "reason"), ("rule", "reason"))
        found = next((rule for rule in rules if rule.id == one.get("rule")), None)
        if found is None:
            reader.word((*path, "rule"), one.get("rule"), [rule.id for rule in rules], "")
            continue
        rules = [rule for rule in rules if rule is not found]
        gone.append(found)
        if found.effect == "exclude":
            loosened.append(Loosening(name, f"rule '{found.id}' disabled", str(one.get("reason", ""))))
    return rules, gone


def _replace(reader: Reader, top: Mapping[str, Any], rules: list[Rule], words: Words, name: str,
             loosened: list[Loosening]) -> list[Rule]:
    for verb in ("tighten", "replace"):
        for index, entry in enumerate(reader.items((verb,), top.get(verb))):
            path = (verb, index)
            entry = dict(entry) if isinstance(entry, dict) else {}  # noqa: PLW2901
            reason = str(entry.pop("reason", ""))
            rule = rule_of(reader, path, entry, "overlay", words, name)
            old = next((one for one in rules if rule is not None and one.id == rule.id), None)
            if rule is None or old is None:
                reader.wrong(path, "there is no rule of that id to change", hint="use add")
                continue
            if verb == "replace" and old.effect == "exclude":
                if not reason:
                    reader.wrong(path, f"replacing the exclude '{old.id}' needs a reason", hint="add 'reason: ...'")
                loosened.append(Loosening(name, f"rule '{old.id}' replaced", reason))
            if verb == "tighten":
                either = Either((old.condition, rule.condition))
                rule = replace(rule, topic=old.topic, when=either, unless=(), text=f"({old.text}) or ({rule.text})")
            rules = [replace(rule, topic=old.topic) if one is old else one for one in rules]
    return rules
