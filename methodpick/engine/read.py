"""Read rule files: every problem of every file at once, with file:line:column, the line and a caret; and their JSON Schema for editors."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from methodpick.engine.grammar import ExpressionError, parse
from methodpick.engine.rule import (
    EFFECTS,
    EXPECTATIONS,
    HAZARDS,
    LEVELS,
    RULE_STATES,
    STATUSES,
    Always,
    Both,
    Case,
    Cited,
    Condition,
    Exemption,
    Not,
    Rule,
    facts_of,
)
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import Place
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.strict_yaml import KeyPath, YamlDocument
from methodpick.terms import CONFIDENCES, SEVERITIES, Severity
from methodpick.vocabulary.catalogue import SCOPES, Catalogue, FactSpec, Reader, value_of
from methodpick.vocabulary.limits import SOURCE_KEYS, Limit, Source
from methodpick.vocabulary.pay_items import MEASURED_FROM, PAY_MEASURES
from methodpick.vocabulary.trade_sizes import LIST_NAMES, UNITS_OF_SIZES

KEYS = (
    "id",
    "title",
    "status",
    "level",
    "hazard",
    "when",
    "unless",
    "exclude",
    "suits",
    "prefer",
    "caution",
    "ask",
    "because",
    "not_for",
    "treatment",
    "source",
    "cases",
)
NEEDED = ("id", "title", "status", "level", "hazard", "when", "because", "source", "cases")
PLACEHOLDER = pattern_of(r"\{([a-z0-9_]+)\}")
_ID = pattern_of(r"[a-z0-9]+(?:-[a-z0-9]+)*")


@record
class Words:
    """What rule files are checked against."""

    catalogue: Catalogue
    limits: Mapping[str, Limit]
    sources: Mapping[str, Source]


@record
class RuleFile:
    """What a rule takes from the file that it stands in: topic, title of the file, and the base or the overlay that it belongs to."""

    topic: str
    section: str = ""
    origin: str = "base"


@record
class _Effect:
    kind: str = "ask"
    states: tuple[str, ...] = ()
    points: int = 0
    severity: Severity = "note"
    question: str = ""
    need: str = ""


def rules_of(document: YamlDocument, words: Words, reader: Reader, origin: str = "base") -> list[Rule]:
    """Return the rules of a file; problems are noted in the reader."""
    top = reader.mapping((), document.value, ("topic", "title", "rules"), ("topic", "title", "rules"))
    listed = top.get("rules")
    if not isinstance(listed, list):
        reader.wrong(("rules",), "a rule file holds a list of rules", "rules: [...]")
        return []
    file = RuleFile(reader.text(("topic",), top.get("topic")), reader.text(("title",), top.get("title")), origin)
    return [rule for index, entry in enumerate(listed) if (rule := rule_of(reader, ("rules", index), entry, words, file)) is not None]


def rule_of(reader: Reader, path: KeyPath, entry: Any, words: Words, file: RuleFile) -> Rule | None:
    """Return one rule, None where it is too broken to stand."""
    before = reader.problems.met
    entry = reader.mapping(path, entry, KEYS, NEEDED)
    name = _rule_id(reader, path, entry)
    when = _condition(reader, (*path, "when"), entry.get("when"), words)
    unless = _unless(reader, path, entry.get("unless", []), words)
    effect = _effect(reader, path, entry)
    because = _because(reader, path, entry, words)
    whole: Condition = Both((when, *(Not(exemption.when) for exemption in unless)))
    scope = _scope(reader, (*path, "when"), whole, words)
    cases = _cases(reader, (*path, "cases"), entry.get("cases", []), words)
    rule = Rule(
        id=name,
        topic=file.topic,
        title=reader.text((*path, "title"), entry.get("title")),
        status=reader.word((*path, "status"), entry.get("status"), STATUSES, "test"),
        level=reader.word((*path, "level"), entry.get("level"), LEVELS, "may"),
        hazard=reader.word((*path, "hazard"), entry.get("hazard"), HAZARDS, "data-gap"),
        scope=scope,
        text=reader.text((*path, "when"), entry.get("when")),
        when=when,
        unless=unless,
        effect=effect.kind,
        states=effect.states,
        points=effect.points,
        severity=effect.severity,
        question=effect.question,
        need=effect.need,
        because=because,
        not_for=reader.text((*path, "not_for"), entry.get("not_for")),
        treatment=_treatment(reader, path, entry.get("treatment")),
        source=_sources(reader, (*path, "source"), entry.get("source", []), words),
        cases=cases,
        place=reader.document.place(path),
        origin=file.origin,
        section=file.section,
    )
    return rule if reader.problems.met == before else None


def _rule_id(reader: Reader, path: KeyPath, entry: Mapping[str, Any]) -> str:
    """Return the id of a rule; what is none is a problem."""
    name = reader.text((*path, "id"), entry.get("id"))
    if name and not _ID.fullmatch(name):
        reader.wrong((*path, "id"), f"'{name}' is no rule id", "words in lower case joined by '-'")
    return name


def _because(reader: Reader, path: KeyPath, entry: Mapping[str, Any], words: Words) -> str:
    """Return the reason of a rule; every name in braces is a fact or a limit, else a problem."""
    because = reader.text((*path, "because"), entry.get("because")).strip()
    for used in PLACEHOLDER.findall(because):
        if used not in words.catalogue and used not in words.limits:
            reader.wrong((*path, "because"), f"'{{{used}}}' is no fact and no limit")
    return because


def _scope(reader: Reader, path: KeyPath, whole: Condition, words: Words) -> str:
    """Return the widest scope of the facts of a rule; a rule of the finished hole sees no facts of single lengths of ground."""
    scopes = {words.catalogue.facts[fact].scope: fact for fact in facts_of(whole)}
    ground = scopes.get("slice_state", scopes.get("slice"))
    if "stage" in scopes and ground is not None:
        reader.wrong(
            path,
            f"'{ground}' belongs to a length of ground and '{scopes['stage']}' to the finished hole: no place knows both",
            expected="facts of the site and the shaft with those of a slice, or with those of a stage",
            hint="part the rule in two, or add a fact of the finished hole",
        )
    return max(scopes, key=SCOPES.index, default="site")


def _condition(reader: Reader, path: KeyPath, text: Any, words: Words) -> Condition:
    if not isinstance(text, str):
        if text is not None:  # a missing one is named already
            reader.wrong(path, "a condition is text", "when: soil == clay")
        return Always()
    try:
        return parse(text, words.catalogue, words.limits)
    except ExpressionError as error:
        place = reader.document.place(path)
        shift = 1 if place.text[place.column - 1 : place.column] in {'"', "'"} else 0
        column = place.column + shift + error.offset
        if column > len(place.text):
            column = place.column
        spot = Place(place.file, place.line, column, place.text, error.width)
        reader.wrong_at(spot, error.message, "" if reader.problems.full else error.hint)
        return Always()


def _unless(reader: Reader, path: KeyPath, listed: Any, words: Words) -> tuple[Exemption, ...]:
    found = []
    for index, entry in enumerate(reader.items((*path, "unless"), listed)):
        spot = (*path, "unless", index)
        written = reader.mapping(spot, entry, ("id", "when", "because"), ("id", "when", "because"))
        when = _condition(reader, (*spot, "when"), written.get("when"), words)
        found.append(Exemption(reader.text(spot, written.get("id")), when, reader.text(spot, written.get("because"))))
    return tuple(found)


def _effect(reader: Reader, path: KeyPath, entry: Mapping[str, Any]) -> _Effect:
    named = [effect for effect in EFFECTS if effect in entry]
    if len(named) != 1:
        reader.wrong(path, f"a rule has exactly one effect, this one has {len(named)}", f"one of {', '.join(EFFECTS)}")
        return _Effect()
    kind, spot = named[0], (*path, named[0])
    value = entry[kind]
    if kind in {"exclude", "suits"}:
        return _Effect(kind, _states(reader, spot, value))
    if kind == "prefer":
        value = reader.mapping(spot, value, ("states", "points"), ("states", "points"))
        number = reader.number((*spot, "points"), value.get("points", 0))
        points = int(number) if -10 <= number <= 10 else 0
        if points != number:
            reader.wrong((*spot, "points"), "preference points are whole numbers from -10 to 10")
        return _Effect(kind, _states(reader, (*spot, "states"), value.get("states", [])), points)
    if kind == "caution":
        value = reader.mapping(spot, value, ("severity",), ("severity",))
        word = reader.word((*spot, "severity"), value.get("severity"), SEVERITIES, "note")
        return _Effect(kind, severity=next(severity for severity in SEVERITIES if severity == word))
    value = reader.mapping(spot, value, ("question", "need"), ("question", "need"))
    return _Effect(kind, question=reader.text(spot, value.get("question")), need=reader.text(spot, value.get("need")))


def _states(reader: Reader, path: KeyPath, value: Any) -> tuple[str, ...]:
    listed = value if isinstance(value, list) else [value]
    if not listed:
        reader.wrong(path, "no state is named", f"one of {', '.join(RULE_STATES)}")
    return tuple(
        reader.word((*path, index) if isinstance(value, list) else path, state, RULE_STATES, "dry") for index, state in enumerate(listed)
    )


def _treatment(reader: Reader, path: KeyPath, value: Any) -> dict[str, str]:
    if value is None:
        return {}
    entry = reader.mapping((*path, "treatment"), value, RULE_STATES)
    return {state: reader.text((*path, "treatment", state), text) for state, text in entry.items()}


def _sources(reader: Reader, path: KeyPath, listed: Any, words: Words) -> tuple[Cited, ...]:
    found = []
    if not isinstance(listed, list) or not listed:
        reader.wrong(path, "a rule needs a source", "source: [{key: ..., where: ...}]")
        return ()
    for index, entry in enumerate(listed):
        written = reader.mapping((*path, index), entry, ("key", "where"), ("key", "where"))
        key = reader.word((*path, index, "key"), written.get("key"), words.sources, "")
        found.append(Cited(key, reader.text((*path, index), written.get("where"))))
    return tuple(found)


def _cases(reader: Reader, path: KeyPath, listed: Any, words: Words) -> tuple[Case, ...]:
    found = []
    for index, entry in enumerate(reader.items(path, listed)):
        spot = (*path, index)
        case = reader.mapping(spot, entry, ("given", "expect"), ("given", "expect"))
        given = {}
        facts = case.get("given", {})
        if not isinstance(facts, dict):
            reader.wrong((*spot, "given"), "a case gives facts", "given: {soil: clay}")
            continue
        for name, value in facts.items():
            if name not in words.catalogue:
                reader.word((*spot, "given", name), name, words.catalogue.facts, "")
            else:
                given[name] = value_of(reader, (*spot, "given", name), words.catalogue.facts[name], value)
        found.append(Case(given, reader.word((*spot, "expect"), case.get("expect"), EXPECTATIONS, "fires"), reader.document.place(spot)))
    return tuple(found)


# ---- JSON Schema (draft-07) of rule files and overlays, so that an editor completes and checks them; written from the reader's words


OVERLAY_LEVELS = ("agency", "company", "project")
DRAFT = "http://json-schema.org/draft-07/schema#"
RuleSchema = dict[str, Any]
_TEXT: RuleSchema = {"type": "string"}
_PAIR: RuleSchema = {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
_CITED: RuleSchema = {**dict.fromkeys(("source", "where", "edition", "note", "reason"), _TEXT), "confidence": {"enum": list(CONFIDENCES)}}
"""Where a number that an overlay sets comes from, and why."""


def rules_schema(book: Rulebook) -> RuleSchema:
    """Return the schema of a rule file: its facts, limits and sources are those of the rulebook."""
    body = {"topic": _TEXT, "title": _TEXT, "rules": {"type": "array", "items": {"$ref": "#/definitions/rule"}}}
    return {
        "$schema": DRAFT,
        "$id": "urn:methodpick:rules:1",
        "title": "methodpick rule file",
        **_closed(body, tuple(body)),
        "definitions": _definitions(book, {"enum": list(book.sources)}),
    }


def overlay_schema(book: Rulebook) -> RuleSchema:
    """Return the schema of an overlay: limits to set, rules to add, tighten, replace or disable."""
    rule, ids = {"$ref": "#/definitions/rule"}, {"enum": [rule.id for rule in book.rules]}
    changed = _rule(_TEXT)
    changed["properties"] = {**changed["properties"], "reason": _TEXT, "id": ids}
    body: RuleSchema = {
        "overlay": _TEXT,
        "title": _TEXT,
        "level": {"enum": list(OVERLAY_LEVELS)},
        "set": _closed({name: {"$ref": "#/definitions/limit"} for name in book.limits}, ()),
        "sizes": _closed({name: _size_list(double=name.startswith("segmental")) for name in LIST_NAMES}, ()),
        "pay_items": _pay_grouping(),
        "add": {"type": "array", "items": rule},
        "replace": {"type": "array", "items": changed},
        "tighten": {"type": "array", "items": changed},
        "disable": {"type": "array", "items": _closed({"rule": ids, "reason": _TEXT}, ("rule", "reason"))},
        "sources": {"type": "object", "additionalProperties": _source()},
    }
    return {
        "$schema": DRAFT,
        "$id": "urn:methodpick:overlay:1",
        "title": "methodpick overlay",
        **_closed(body, ("overlay",)),
        "definitions": _definitions(book, _TEXT),
    }


def _definitions(book: Rulebook, source: RuleSchema) -> dict[str, RuleSchema]:
    facts = _closed({name: _values(spec) for name, spec in book.catalogue.facts.items()}, ())
    return {"rule": _rule(source), "facts": facts, "limit": _limit(source)}


def _rule(source: RuleSchema) -> RuleSchema:
    states: RuleSchema = {"anyOf": [{"enum": list(RULE_STATES)}, {"type": "array", "minItems": 1, "items": {"enum": list(RULE_STATES)}}]}
    parts: RuleSchema = {
        "id": {"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$", "description": "permanent; words that say the rule"},
        "title": _TEXT,
        "status": {"enum": list(STATUSES)},
        "level": {"enum": list(LEVELS)},
        "hazard": {"enum": list(HAZARDS)},
        "when": {"type": "string", "description": "a condition on facts and limits, or always"},
        "unless": {"type": "array", "items": _closed({"id": _TEXT, "when": _TEXT, "because": _TEXT}, ("id", "when", "because"))},
        "exclude": states,
        "suits": states,
        "prefer": _closed({"states": states, "points": {"type": "integer", "minimum": -10, "maximum": 10}}, ("states", "points")),
        "caution": _closed({"severity": {"enum": list(SEVERITIES)}}, ("severity",)),
        "ask": _closed({"question": _TEXT, "need": _TEXT}, ("question", "need")),
        "because": {"type": "string", "description": "one sentence with {fact} or {limit} put in"},
        "not_for": _TEXT,
        "treatment": _closed(dict.fromkeys(RULE_STATES, _TEXT), ()),
        "source": {"type": "array", "minItems": 1, "items": _closed({"key": source, "where": _TEXT}, ("key", "where"))},
        "cases": {
            "type": "array",
            "items": _closed({"given": {"$ref": "#/definitions/facts"}, "expect": {"enum": list(EXPECTATIONS)}}, ("given", "expect")),
        },
    }
    return {**_closed(parts, NEEDED), "oneOf": [{"required": [effect]} for effect in EFFECTS]}


def _limit(source: RuleSchema) -> RuleSchema:
    whole = {"value": {"type": "number"}, "unit": _TEXT, "by_diameter": {"type": "array", "items": _PAIR}, **_CITED, "source": source}
    return {"anyOf": [{"type": "number"}, _closed(whole, ("value",))]}


def _size_list(*, double: bool) -> RuleSchema:
    sizes = {"type": "array", "minItems": 1, "items": _PAIR if double else {"type": "number"}}
    return _closed({"unit": {"enum": list(UNITS_OF_SIZES)}, "sizes": sizes, **_CITED}, ("unit", "sizes", "source", "confidence"))


def _pay_grouping() -> RuleSchema:
    items = {"type": "array", "minItems": 1, "uniqueItems": True, "items": {"enum": list(PAY_MEASURES)}}
    body = {"measured_from": {"enum": list(MEASURED_FROM)}, "items": items, **_CITED}
    return _closed(body, ("measured_from", "items", "source", "confidence"))


def _source() -> RuleSchema:
    written: RuleSchema = {"type": ["string", "number"]}
    return _closed({**dict.fromkeys(SOURCE_KEYS, written), "confidence": {"enum": list(CONFIDENCES)}}, ("title",))


def _values(spec: FactSpec) -> RuleSchema:
    """Return how a set of values of a fact may be written in a case."""
    meaning = {"description": f"{spec.meaning} ({spec.unit})" if spec.kind == "number" else spec.meaning}
    if spec.kind == "number":
        pair = {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": ["number", "null"]}}
        ends = _closed({end: {"type": "number"} for end in ("low", "likely", "high")}, ())
        return {**meaning, "anyOf": [{"type": "number"}, pair, ends]}
    word: RuleSchema = {"enum": [*spec.words, True, False] if spec.kind == "boolean" else list(spec.words)}
    listed = {"type": "array", "minItems": 1, "items": word}
    return {**meaning, "anyOf": [word, listed, _closed({"values": listed, "likely": word}, ())]}


def _closed(properties: RuleSchema, required: tuple[str, ...]) -> RuleSchema:
    found: RuleSchema = {"type": "object", "properties": properties, "additionalProperties": False}
    return {**found, "required": list(required)} if required else found
