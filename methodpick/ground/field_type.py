"""What may stand in a field of a model, by its annotation: the value is held against its type and its ends, and comes out as it is kept."""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping, Sequence
from math import isfinite
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin

from methodpick.records import record

Metadata = tuple[Any, ...]
"""What an annotation notes beside a type: ends, readings, kinds of quantity."""
Path = tuple[str | int, ...]
"""The way from a model to a value in it, by words of the file and places in a list."""
Read = Callable[[Any], Any]
"""Gives a value as it is kept. Raises Refusal where it cannot stand in the field."""


class Refusal(ValueError):  # noqa: N818 (it refuses a value; what is wrong is in it)
    """What is wrong with the values of a model, each with the way to it."""

    def __init__(self, problems: Sequence[tuple[Path, str]]) -> None:
        """Take what is wrong."""
        super().__init__("; ".join(f"{'.'.join(map(str, path))}: {message}" if path else message for path, message in problems))
        self.problems = tuple(problems)


@record
class FieldEnds:
    """What a number must be, at least (``ge``), above (``gt``), at most (``le``), and how many letters or entries there may be."""

    ge: float | None = None
    gt: float | None = None
    le: float | None = None
    min_length: int | None = None
    max_length: int | None = None

    def refused(self, value: Any) -> str:
        """Return what is wrong with a number, text or list; empty where nothing is."""
        if (self.ge is not None and value < self.ge) or (self.gt is not None and value <= self.gt):
            return f"it must be at least {self.ge:g}" if self.ge is not None else f"it must be above {self.gt:g}"
        if self.le is not None and value > self.le:
            return f"it must be at most {self.le:g}"
        if self.min_length is not None and len(value) < self.min_length:
            return f"it must have at least {self.min_length}"
        if self.max_length is not None and len(value) > self.max_length:
            return f"it must have at most {self.max_length}"
        return ""


class Kept(NamedTuple):
    """How a value that is right is changed before it is kept."""

    as_read: Callable[[Any], Any]


class FieldType(NamedTuple):
    """The type of a field: the annotation without its notes, the notes, how a value is read, and the model in it, in a list or alone."""

    annotation: Any
    metadata: Metadata
    read: Read
    model: type[Any] | None

    def within(self, ends: FieldEnds) -> FieldType:
        """Return the type with its values held against ends as well."""
        return self._replace(metadata=(*self.metadata, ends), read=_with_notes(self.read, (ends,)))


def field_type(annotation: Any) -> FieldType:
    """Return the type of a field by its annotation.

    >>> field_type(float | None).within(FieldEnds(ge=0)).read(3)
    3.0
    """
    inner, metadata = _parted(annotation)
    return FieldType(inner, metadata, _with_notes(_read_of(inner), metadata), _model_in(inner))


def _parted(annotation: Any) -> tuple[Any, Metadata]:
    if get_origin(annotation) is Annotated:
        return annotation.__origin__, annotation.__metadata__
    return annotation, ()


def _with_notes(read: Read, metadata: Metadata) -> Read:
    """Return a reading that holds the value against its ends and changes it as noted; nothing is done to what may be None and is."""
    ends = [note for note in metadata if isinstance(note, FieldEnds)]
    changes = [note.as_read for note in metadata if isinstance(note, Kept)]
    if not ends and not changes:
        return read

    def noted(value: Any) -> Any:
        value = read(value)
        if value is not None:
            for end in ends:
                if wrong := end.refused(value):
                    raise Refusal([((), wrong)])
            for change in changes:
                value = change(value)
        return value

    return noted


def _model_in(annotation: Any) -> type[Any] | None:
    """Return the model that a field holds, alone or as the entries of a list; None where it holds none."""
    if isinstance(annotation, type) and hasattr(annotation, "model_fields"):
        return annotation
    parts = () if get_origin(annotation) is Literal else get_args(annotation)
    return next((found for part in parts if (found := _model_in(part)) is not None), None)


def _read_of(annotation: Any) -> Read:
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _with_notes(_read_of(annotation.__origin__), annotation.__metadata__)
    if origin in (Union, types.UnionType):
        (inner,) = (argument for argument in arguments if argument is not type(None))
        read = _read_of(inner)
        return lambda value: None if value is None else read(value)
    if origin is Literal:
        return _choice(arguments)
    if origin is tuple:
        return _entries(_read_of(arguments[0])) if arguments[-1] is Ellipsis else _several([_read_of(each) for each in arguments])
    if hasattr(annotation, "model_fields"):
        read_model: Read = annotation.model_validate
        return read_model
    return _PLAIN[annotation]


# ---- readings of plain types


def _refuse(message: str) -> Refusal:
    return Refusal([((), message)])


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise _refuse("a number belongs here")
    if not isfinite(value):
        raise _refuse("a finite number belongs here")
    return float(value)


def _whole(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value // 1:
        raise _refuse("a whole number belongs here")
    return int(value)


def _truth(value: Any) -> bool:
    if not isinstance(value, bool):
        raise _refuse("true or false belongs here")
    return value


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise _refuse("a text belongs here")
    return value


_PLAIN: Mapping[Any, Read] = {float: _number, int: _whole, bool: _truth, str: _text, Any: lambda value: value}


def _choice(words: tuple[Any, ...]) -> Read:
    known = frozenset(word for choice in words for word in (get_args(choice) or (choice,)))

    def read(value: Any) -> Any:
        if not isinstance(value, str) or value not in known:
            raise _refuse(f"one of {', '.join(sorted(known))} belongs here")
        return value

    return read


def _listed(value: Any) -> Sequence[Any]:
    if not isinstance(value, (list, tuple)):
        raise _refuse("a list belongs here")
    return value


def _entries(read: Read) -> Read:
    """Return the reading of a list of any length."""
    return lambda value: _read_each([read] * len(_listed(value)), value)


def _several(reads: Sequence[Read]) -> Read:
    """Return the reading of a list of a certain length."""

    def read(value: Any) -> tuple[Any, ...]:
        if len(_listed(value)) != len(reads):
            raise _refuse(f"{len(reads)} values belong here")
        return _read_each(reads, value)

    return read


def _read_each(reads: Sequence[Read], values: Sequence[Any]) -> tuple[Any, ...]:
    made, problems = [], []
    for place, (read, value) in enumerate(zip(reads, values, strict=True)):
        try:
            made.append(read(value))
        except Refusal as refusal:
            problems += [((place, *path), message) for path, message in refusal.problems]
    if problems:
        raise Refusal(problems)
    return tuple(made)
