"""Overlays: an agency, a company or a project changes the rulebook by explicit verbs; loosening needs its reason.

``add`` rules, ``set`` limits, ``tighten`` or ``replace`` a rule by its id, ``disable`` rules. A change that makes an
exclude weaker is detected and refused without a ``reason``; with one it is kept and printed on every report.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from methodpick.engine.loosening import loosened, loosened_by_limit
from methodpick.engine.read import Words, rule_of
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Loosening, Rulebook
from methodpick.engine.tree import Arithmetic, Both, Compare, Condition, Either, LimitRef, Not, Term
from methodpick.strict_yaml import Document
from methodpick.vocabulary.catalogue import SCOPES
from methodpick.vocabulary.keys import Reader
from methodpick.vocabulary.limits import Limit, limit_of, source_of

_KEYS = ("overlay", "title", "level", "add", "set", "tighten", "replace", "disable", "sources")
_LEVELS = ("agency", "company", "project")


def lay_over(book: Rulebook, document: Document) -> Rulebook:
    """Return the rulebook with an overlay on it; raises RuleError with every problem of the overlay."""
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
    loosened_so_far = list(book.loosened)
    limits, reasons = _set(reader, {} if top.get("set") is None else top["set"], book, name)
    rules = [_with_limits(rule, limits) if reasons else rule for rule in book.rules]
    _weigh(reader, book, limits, reasons, loosened_so_far)
    rules, disabled = _disable(reader, reader.items(("disable",), top.get("disable")), rules, name, loosened_so_far)
    words = Words(book.catalogue, limits, sources)
    rules = _replace(reader, top, rules, words, name, loosened_so_far)
    for index, entry in enumerate(reader.items(("add",), top.get("add"))):
        rule = rule_of(reader, ("add", index), entry, "overlay", words, name)
        if rule is not None and any(rule.id == one.id for one in rules):
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
        loosened=tuple(loosened_so_far),
    )


def _set(reader: Reader, entries: Any, book: Rulebook, name: str) -> tuple[dict[str, Limit], dict[str, str]]:
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
        entry = {"unit": old.unit, "source": old.source, "confidence": "own", **entry}  # noqa: PLW2901
        new = limit_of(reader, path, key, entry, name)
        if new.source not in book.sources:
            reader.word((*path, "source"), new.source, book.sources, "")
        if new.unit != old.unit:
            reader.wrong(path, f"'{key}' is in {old.unit}, not in {new.unit}")
        limits[key] = new
        reasons[key] = reason
    return limits, reasons


def _weigh(reader: Reader, book: Rulebook, limits: Mapping[str, Limit], reasons: Mapping[str, str], kept: list[Loosening]) -> None:
    """Note which excludes each changed limit loosens by itself, and ask for the reason."""
    for key, reason in reasons.items():
        old, new = book.limits[key], limits[key]
        moved = {**book.limits, key: new}
        said = {
            rule.id: text
            for rule in book.rules
            if key in rule.limits
            and (text := loosened_by_limit(rule, _with_limits(rule, moved), book.catalogue, key, new.value - old.value))
        }
        if not said:
            continue
        first = min(said)
        if not reason and not new.where:
            reader.wrong(
                ("set", key), f"this loosens the exclude '{first}': {said[first]}", "a reason or the clause ('where')", "add 'reason: ...'"
            )
        what = f"{key} {old.value:g} -> {new.value:g} {new.unit} loosens {', '.join(sorted(said))}"
        kept.append(Loosening(new.origin, what, reason or f"{new.source}, {new.where}"))


def _with_limits(rule: Rule, limits: Mapping[str, Limit]) -> Rule:
    unless = tuple(replace(one, when=_renewed(one.when, limits)) for one in rule.unless)
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


def _disable(reader: Reader, entries: list[Any], rules: list[Rule], name: str, kept: list[Loosening]) -> tuple[list[Rule], list[Rule]]:
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
            kept.append(Loosening(name, f"rule '{found.id}' disabled", str(one.get("reason", ""))))
    return rules, gone


def _replace(reader: Reader, top: Mapping[str, Any], rules: list[Rule], words: Words, name: str, kept: list[Loosening]) -> list[Rule]:
    for verb in ("tighten", "replace"):
        for index, entry in enumerate(reader.items((verb,), top.get(verb))):
            path = (verb, index)
            entry = dict(entry) if isinstance(entry, dict) else {}  # noqa: PLW2901
            reason = reader.text(path, entry.pop("reason", ""))
            rule = rule_of(reader, path, entry, "overlay", words, name)
            if rule is None:
                continue
            old = next((one for one in rules if one.id == rule.id), None)
            if old is None:
                reader.wrong(
                    (*path, "id"),
                    f"there is no rule '{rule.id}' to change",
                    hint=reader.near(rule.id, [one.id for one in rules]) or "use add",
                )
                continue
            if verb == "tighten" and old.effect != "exclude":
                reader.wrong(path, f"'{old.id}' is no exclude; only an exclude can be tightened", hint="use replace")
            elif verb == "tighten":
                rule = replace(
                    rule,
                    when=Either((old.condition, rule.condition)),
                    unless=(),
                    text=f"({old.text}) or ({rule.text})",
                    scope=max(old.scope, rule.scope, key=SCOPES.index),
                )
            said = loosened(old, rule, words.catalogue)
            if said and (verb == "tighten" or not reason):
                reader.wrong(
                    path,
                    f"this loosens the exclude '{old.id}': {said}",
                    hint="use replace with a reason" if verb == "tighten" else "add 'reason: ...'",
                )
            elif said:
                kept.append(Loosening(name, f"rule '{old.id}' replaced: {said}", reason))
            rules = [replace(rule, topic=old.topic, section=old.section) if one is old else one for one in rules]
    return rules
