"""The keys of a site file, read once from the models of the ground.

The reader, its error messages and the JSON Schema all follow this one description, so that they cannot disagree.
"""

from __future__ import annotations

import math
import types
from dataclasses import dataclass, replace
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from methodpick.ground.quantity import Band, QuantityKind

ShapeKind = Literal["model", "list", "quantity", "number", "whole", "truth", "choice", "text", "map", "any"]

_ENDS_OF_KEY: dict[str, tuple[float, float]] = {
    "east": (-1e8, 1e8),
    "north": (-1e8, 1e8),
    "pi": (0.0, 1000.0),
    "fines": (0.0, 100.0),
    "rqd": (0.0, 100.0),
}
"""Ends of single keys that differ from those of their kind of quantity."""


@dataclass(frozen=True, slots=True)
class Shape:
    """What may stand at a key: its kind, and for a quantity its form (one value, a band, a pair) and its ends."""

    kind: ShapeKind
    quantity: QuantityKind | None = None
    form: Literal["value", "band", "pair"] = "value"
    model: type[BaseModel] | None = None
    item: Shape | None = None
    choices: tuple[str, ...] = ()
    least: float = -math.inf
    most: float = math.inf
    open_ended: bool = False
    shortest: int = 0
    longest: int | None = None

    @property
    def measure(self) -> QuantityKind:
        """Return the quantity of a shape that has one. Raises TypeError for any other."""
        if self.quantity is None:
            raise TypeError(f"a {self.kind} has no unit")
        return self.quantity


@dataclass(frozen=True, slots=True)
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

    >>> from methodpick.ground.shaft import Shaft
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
    return _plain(annotation, quantity)


def _plain(annotation: Any, quantity: QuantityKind | None) -> Shape:
    if annotation is Band:
        return Shape("quantity", quantity, "band")
    if quantity is not None:
        return Shape("quantity", quantity)
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return Shape("model", model=annotation)
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
