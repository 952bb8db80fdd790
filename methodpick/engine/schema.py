"""JSON RuleSchema (draft-07) of rule files and overlays, so that an editor completes and checks them; written from the reader's words."""

from __future__ import annotations

from typing import Any

from methodpick.engine.load import OVERLAY_LEVELS
from methodpick.engine.read import NEEDED
from methodpick.engine.rule import EFFECTS, EXPECTATIONS, HAZARDS, LEVELS, RULE_STATES, STATUSES
from methodpick.engine.rulebook import Rulebook
from methodpick.terms import CONFIDENCES, SEVERITIES
from methodpick.vocabulary.catalogue import FactSpec
from methodpick.vocabulary.limits import SOURCE_KEYS

DRAFT = "http://json-schema.org/draft-07/schema#"
RuleSchema = dict[str, Any]
_TEXT: RuleSchema = {"type": "string"}


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
    whole = _closed(
        {
            "value": {"type": "number"},
            "unit": _TEXT,
            "source": source,
            "where": _TEXT,
            "edition": _TEXT,
            "confidence": {"enum": list(CONFIDENCES)},
            "note": _TEXT,
            "by_diameter": {"type": "array", "items": {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}},
            "reason": _TEXT,
        },
        ("value",),
    )
    return {"anyOf": [{"type": "number"}, whole]}


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
