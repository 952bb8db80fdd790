"""JSON SiteSchema (draft-07) of the site file, so that an editor completes and checks it; written from the models."""

from __future__ import annotations

import math
from typing import Any

from pydantic import BaseModel

from methodpick import units
from methodpick.ground.profile import Layer, Spt
from methodpick.ground.site import Site
from methodpick.imports.site_keys import Key, Shape, keys_of

DRAFT = "http://json-schema.org/draft-07/schema#"
IDENTIFIER = "urn:methodpick:site:1"
SiteSchema = dict[str, Any]

_COUNT: SiteSchema = {
    "description": "blow count: 11, blows and penetration at refusal (50/3in, 50/75mm), or WOH",
    "anyOf": [
        {"type": "integer", "minimum": 0, "maximum": 1000},
        {"type": "string", "pattern": r"^\s*(\d+(\s*/\s*\S.*)?|[Ww][OoHhRr]+.*|[Ww]eight of .*)\s*$"},
    ],
}


def site_schema() -> SiteSchema:
    """Return the schema of format ``methodpick: 1``.

    >>> site_schema()["required"]
    ['methodpick', 'borings']
    """
    definitions: dict[str, SiteSchema] = {}
    body = _object(Site, definitions)
    return {
        "$schema": DRAFT,
        "$id": IDENTIFIER,
        "title": "methodpick site, format 1",
        "description": "Borings, water, shafts and the conditions of one site. Bare numbers follow 'units' (us or si); "
        "any value may carry its own unit.",
        "type": "object",
        "properties": {"methodpick": {"description": "the format; must be the first key", "const": 1}, **body["properties"]},
        "required": ["methodpick", *body.get("required", [])],
        "additionalProperties": False,
        "definitions": dict(sorted(definitions.items())),
    }


def _object(model: type[BaseModel], definitions: dict[str, SiteSchema]) -> SiteSchema:
    keys = keys_of(model)
    properties = {word: _property(model, key, definitions) for word, key in keys.items()}
    schema: SiteSchema = {"type": "object", "description": _first_line(model), "properties": properties, "additionalProperties": False}
    if required := [word for word, key in keys.items() if key.required]:
        schema["required"] = required
    return schema


def _property(model: type[BaseModel], key: Key, definitions: dict[str, SiteSchema]) -> SiteSchema:
    if model in (Layer, Spt) and key.word == "n":
        several = {"type": "array", "items": _COUNT, "maxItems": key.shape.longest}
        return {"anyOf": [_COUNT, several]} if model is Layer else _COUNT
    if model is Spt and key.word == "blows":
        return {"type": "array", "items": _COUNT}
    schema = _of(key.shape, definitions)
    if isinstance(key.default, (str, bool, int)) and not isinstance(key.default, BaseModel) and key.default != "":
        schema = {**schema, "default": key.default}
    return schema if key.required or "$ref" in schema else _or_null(schema)


def _or_null(schema: SiteSchema) -> SiteSchema:
    """Let a key stand without a value."""
    if "anyOf" in schema:
        return {**schema, "anyOf": [*schema["anyOf"], {"type": "null"}]}
    if "enum" in schema:
        return {**schema, "enum": [*schema["enum"], None]}
    return {**schema, "type": [schema["type"], "null"]} if "type" in schema else schema


def _of(shape: Shape, definitions: dict[str, SiteSchema]) -> SiteSchema:
    if shape.kind == "quantity":
        return _quantity(shape)
    if shape.kind == "model" and shape.model is not None:
        name = shape.model.__name__
        if name not in definitions:
            definitions[name] = {}
            definitions[name] = _object(shape.model, definitions)
        return {"$ref": f"#/definitions/{name}"}
    if shape.kind == "list" and shape.item is not None:
        return {"type": "array", "items": _of(shape.item, definitions), **_lengths("Items", shape)}
    if shape.kind == "choice":
        return {"enum": list(shape.choices)}
    if shape.kind == "text":
        return {"anyOf": [{"type": "string", **_lengths("Length", shape)}, {"type": "number"}]}
    if shape.kind == "truth":
        return {"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no"]}]}
    if shape.kind == "map":
        return {"type": "object"}
    kinds = {"whole": "integer", "number": "number"}
    return {"type": kinds[shape.kind], **_ends(shape)} if shape.kind in kinds else {}


def _lengths(what: str, shape: Shape) -> SiteSchema:
    ends: SiteSchema = {f"min{what}": shape.shortest} if shape.shortest else {}
    return ends if shape.longest is None else {**ends, f"max{what}": shape.longest}


def _ends(shape: Shape) -> SiteSchema:
    ends: SiteSchema = {}
    if not math.isinf(shape.least):
        ends["minimum"] = shape.least
    if not math.isinf(shape.most):
        ends["maximum"] = shape.most
    return ends


def _quantity(shape: Shape) -> SiteSchema:
    """Allow a number in the bare unit, a text with its own, for a band also a range; the sign as in the model."""
    quantity = shape.measure
    names = ", ".join(units.FACTORS[quantity.inside])
    bare = quantity.us if quantity.us == quantity.si else f"{quantity.us} (us) or {quantity.si} (si)"
    sign: SiteSchema = {} if shape.least < 0 else {"exclusiveMinimum": 0} if shape.open_ended else {"minimum": 0}
    value: SiteSchema = {"anyOf": [{"type": "number", **sign}, {"type": "string", "pattern": r"^\s*[-+]?[.\d]"}]}
    words = f"{quantity.name}; a bare number is in {bare}, a text names its unit: {names}"
    pair = {"type": "array", "items": value, "minItems": 2, "maxItems": 2}
    if shape.form == "pair":
        return {**pair, "description": f"top and base, {words}"}
    if shape.form == "value":
        return {**value, "description": words}
    spread = {
        "type": "object",
        "properties": dict.fromkeys(("low", "likely", "high"), value),
        "required": ["low", "high"],
        "additionalProperties": False,
    }
    return {"description": f"{words}; also a range [low, high] or {{low, likely, high}}", "anyOf": [*value["anyOf"], pair, spread]}


def _first_line(model: type[BaseModel]) -> str:
    return (model.__doc__ or "").strip().splitlines()[0]
