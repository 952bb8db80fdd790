"""The keys of a site file, read once from the models of the ground, and its JSON schema (draft-07), by which an editor checks it.

The reader, its error messages and the JSON Schema all follow this one description, so that they cannot disagree.
"""

from __future__ import annotations

import math
import types
from dataclasses import replace
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from methodpick import units
from methodpick.ground.late_model import LateModel
from methodpick.ground.profile import Layer, Spt
from methodpick.ground.quantity import Band, QuantityKind
from methodpick.ground.site import Site
from methodpick.records import record

# ---- keys


ShapeKind = Literal["model", "list", "quantity", "number", "whole", "truth", "choice", "text", "map", "any"]

_ENDS_OF_KEY: dict[str, tuple[float, float]] = {
    "east": (-1e8, 1e8),
    "north": (-1e8, 1e8),
    "pi": (0.0, 1000.0),
    "fines": (0.0, 100.0),
    "rqd": (0.0, 100.0),
}
"""Ends of single keys that differ from those of their kind of quantity."""


@record
class Shape:
    """What may stand at a key: its kind, and for a quantity its form (one value, a band, a pair) and its ends."""

    kind: ShapeKind
    quantity: QuantityKind | None = None
    form: Literal["value", "band", "pair"] = "value"
    of_map: type[BaseModel] | LateModel | None = None
    item: Shape | None = None
    choices: tuple[str, ...] = ()
    least: float = -math.inf
    most: float = math.inf
    open_ended: bool = False
    shortest: int = 0
    longest: int | None = None

    @property
    def model(self) -> type[BaseModel] | None:
        """Return the model of a map; one that is imported late is imported for it."""
        return self.of_map.model if isinstance(self.of_map, LateModel) else self.of_map

    @property
    def measure(self) -> QuantityKind:
        """Return the quantity of a shape that has one. Raises TypeError for any other."""
        if self.quantity is None:
            raise TypeError(f"a {self.kind} has no unit")
        return self.quantity


@record
class Key:
    """A key of the file: its word, the attribute it fills, what may stand there and whether it must."""

    word: str
    attribute: str
    shape: Shape
    required: bool
    default: Any


@cache
def keys_of(model: type[BaseModel]) -> dict[str, Key]:
    """Return the keys that a model has in the file, by their word.

    >>> from methodpick.ground.site import Shaft
    >>> keys_of(Shaft)["diameter"].shape.quantity.us
    'in'
    """
    keys = {}
    for attribute, field in model.model_fields.items():
        word = field.alias or attribute
        shape = _plausible(_bounded(_shape(field.annotation, tuple(field.metadata)), tuple(field.metadata)), word)
        default = None if field.is_required() else field.get_default()
        keys[word] = Key(word, attribute, shape, field.is_required(), default)
    return keys


def _shape(annotation: Any, metadata: tuple[Any, ...]) -> Shape:
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _bounded(_shape(arguments[0], metadata + arguments[1:]), arguments[1:])
    if origin in (Union, types.UnionType):
        inner = [argument for argument in arguments if argument is not type(None)]
        return _shape(inner[0], metadata) if len(inner) == 1 else Shape("any")
    quantity = next((mark for mark in metadata if isinstance(mark, QuantityKind)), None)
    if origin is Literal:
        return Shape("choice", choices=tuple(str(argument) for argument in arguments))
    if origin is tuple:
        if arguments[-1] is Ellipsis:
            return Shape("list", item=_shape(arguments[0], ()))
        return Shape("quantity", quantity, "pair")
    if origin is dict:
        return Shape("map")
    late = next((mark for mark in metadata if isinstance(mark, LateModel)), None)
    return _plain(annotation, quantity) if late is None else Shape("model", of_map=late)


def _plain(annotation: Any, quantity: QuantityKind | None) -> Shape:
    if annotation is Band:
        return Shape("quantity", quantity, "band")
    if quantity is not None:
        return Shape("quantity", quantity)
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return Shape("model", of_map=annotation)
    kinds: dict[Any, ShapeKind] = {bool: "truth", int: "whole", float: "number", str: "text"}
    return Shape(kinds.get(annotation, "any"))


def _bounded(shape: Shape, metadata: tuple[Any, ...]) -> Shape:
    """Add the ends and lengths that the model asks for."""
    for mark in metadata:
        for name in ("ge", "gt"):
            if (end := getattr(mark, name, None)) is not None:
                shape = replace(shape, least=float(end), open_ended=name == "gt")
        if (end := getattr(mark, "le", None)) is not None:
            shape = replace(shape, most=float(end))
        if (length := getattr(mark, "min_length", None)) is not None:
            shape = replace(shape, shortest=length)
        if (length := getattr(mark, "max_length", None)) is not None:
            shape = replace(shape, longest=length)
    return shape


def _plausible(shape: Shape, word: str) -> Shape:
    """Close the ends that the model leaves open with what can be true at all."""
    if shape.quantity is None:
        return shape
    low, high = _ENDS_OF_KEY.get(word, (shape.quantity.least, shape.quantity.most))
    return replace(shape, least=max(shape.least, low), most=min(shape.most, high))


# ---- schema


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
