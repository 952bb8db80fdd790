"""Frozen records of a site file, held against their types and ends when they are made: what a boring, a shaft and a site are.

The names of the methods are those of a common library of models, which this replaces: importing and preparing that took a quarter of
a whole process. A model knows which of its fields were given, and everything it has as plain values for a JSON file.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import FrozenInstanceError
from functools import cache
from types import SimpleNamespace
from typing import Any, ClassVar, Literal, NoReturn, Self, get_type_hints

from methodpick.ground.field_type import FieldEnds, FieldType, Metadata, Refusal, field_type
from methodpick.records import record

# ---- The fields of a model: what stands behind its annotations


class _Absent:
    """Stands for a default that a field does not have."""


_ABSENT = _Absent()
Left = AbstractSet[str] | Mapping[str, AbstractSet[str]]
"""Fields that are left out of plain values, or by field those of the model in it."""


@record
class _Declared:
    """What a class says of a field beside its type: the word in the file, the default, and the ends."""

    alias: str
    default: Any
    ends: FieldEnds | None


@record
class FieldInfo:
    """A field of a model: its type without what is noted beside it, the notes, the word in the file, and the default."""

    annotation: Any
    metadata: Metadata
    alias: str
    default: Any
    type: FieldType

    def is_required(self) -> bool:
        """Return whether the field must be given."""
        return self.default is _ABSENT

    def get_default(self) -> Any:
        """Return what the field is where it is not given; None where it must be."""
        return None if self.default is _ABSENT else self.default


def key(name: str, default: Any = None, **ends: Any) -> Any:
    """Return the field of a site-file key: ``name`` is the word in the file, the attribute carries the unit.

    ``ends`` are those of :class:`FieldEnds`.
    """
    return _Declared(name, default, FieldEnds(**ends) if ends else None)


def need(name: str, **ends: Any) -> Any:
    """Return the field of a site-file key that must be there."""
    return _Declared(name, _ABSENT, FieldEnds(**ends) if ends else None)


class ModelKind(type):
    """The class of a kind of model, which knows its fields."""

    declared: dict[str, _Declared]
    annotated: dict[str, tuple[Any, str]]
    _fields: dict[str, FieldInfo]

    @property
    def model_fields(cls) -> dict[str, FieldInfo]:
        """Return the fields by attribute, those of the class above first; put together when they are first asked for."""
        if "_fields" not in vars(cls):
            cls._fields = {name: _field(*cls.annotated[name], said) for name, said in cls.declared.items()}
        return cls._fields


def _field(annotation: Any, module: str, declared: _Declared) -> FieldInfo:
    kind = _type_named(annotation, module)
    if declared.ends is not None:
        kind = kind.within(declared.ends)
    return FieldInfo(kind.annotation, kind.metadata, declared.alias, declared.default, kind)


@cache
def _type_named(annotation: Any, module: str) -> FieldType:
    """Return the type that an annotation of a module names; many fields have the same."""
    holder = SimpleNamespace(__annotations__={"it": annotation})
    return field_type(get_type_hints(holder, vars(sys.modules[module]), include_extras=True)["it"])


# ---- The model


class Model(metaclass=ModelKind):
    """A frozen model that refuses unknown keys, NaN and infinity; a key may be given by its word in the file or by its attribute."""

    __slots__ = ("_given",)
    declared: ClassVar[dict[str, _Declared]] = {}
    annotated: ClassVar[dict[str, tuple[Any, str]]] = {}
    _given: set[str]

    def __init_subclass__(cls) -> None:
        """Note what a class says of its fields; their types are looked at when a model is first made or asked for its fields."""
        own = {name: text for name, text in vars(cls).get("__annotations__", {}).items() if "ClassVar" not in str(text)}
        declared = dict(cls.declared)
        for name in own:
            given = vars(cls).get(name, _ABSENT)
            declared[name] = given if isinstance(given, _Declared) else _Declared(name, given, None)
            if given is not _ABSENT:
                delattr(cls, name)
        cls.declared = declared
        cls.annotated = {**cls.annotated, **{name: (text, cls.__module__) for name, text in own.items()}}

    def __init__(self, /, **given: Any) -> None:
        """Hold what is given against the fields. Raises Refusal with all that is wrong."""
        self._take(type(self).spelled_out(given))

    @classmethod
    def spelled_out(cls, value: Any) -> Any:
        """Return what may stand for a model as a map of its keys. Raises ValueError where it is written otherwise."""
        return value

    def wrong(self) -> str:
        """Return what is wrong with values that do not go together; empty where they do."""
        return ""

    @classmethod
    def model_validate(cls, value: Any) -> Self:
        """Return a model of a map, or the model itself. Raises Refusal with all that is wrong."""
        if isinstance(value, cls):
            return value
        try:
            value = cls.spelled_out(value)
        except ValueError as error:
            raise Refusal([((), str(error))]) from None
        if not isinstance(value, Mapping):
            raise Refusal([((), "a map belongs here")])
        made = object.__new__(cls)
        made._take(value)
        return made

    @classmethod
    def model_construct(cls, **values: Any) -> Self:
        """Return a model of values, by attribute, that are known to be right."""
        made = object.__new__(cls)
        made._set({name: values.get(name, said.default) for name, said in cls.declared.items()}, set(values))
        return made

    def _set(self, values: dict[str, Any], given: set[str]) -> None:
        object.__setattr__(self, "__dict__", values)
        object.__setattr__(self, "_given", given)

    def _take(self, given: Mapping[str, Any]) -> None:
        """Hold the values of a map against the fields, and keep them."""
        values: dict[str, Any] = {}
        named, problems = set(), []
        for name, info in type(self).model_fields.items():
            word = info.alias if info.alias in given else name
            if word in given:
                named.add(name)
                try:
                    values[name] = info.type.read(given[word])
                except Refusal as refusal:
                    problems += [((info.alias, *path), message) for path, message in refusal.problems]
            elif info.default is _ABSENT:
                problems.append(((info.alias,), "it must be given"))
            else:
                values[name] = info.default
        if len(named) < len(given):
            fields = type(self).model_fields
            known = {*fields, *(info.alias for info in fields.values())}
            problems += [((str(word),), "this key is not known") for word in given if word not in known]
        if problems:
            raise Refusal(problems)
        self._set(values, named)
        if wrong := self.wrong():
            raise Refusal([((), wrong)])

    def __setattr__(self, name: str, value: object) -> NoReturn:
        raise FrozenInstanceError(f"{name!r} of a model cannot be set")

    def __delattr__(self, name: str) -> NoReturn:
        raise FrozenInstanceError(f"{name!r} of a model cannot be deleted")

    def __eq__(self, other: object) -> bool:
        """Return whether another model is of the same kind and has the same values, given or not."""
        return type(self) is type(other) and vars(self) == vars(other)

    def __hash__(self) -> int:
        return hash((type(self), *vars(self).values()))

    def __iter__(self) -> Iterator[tuple[str, Any]]:
        """Return the values by attribute."""
        yield from vars(self).items()

    def __repr__(self) -> str:
        return f"{type(self).__qualname__}({', '.join(f'{name}={value!r}' for name, value in vars(self).items())})"

    def __getstate__(self) -> tuple[dict[str, Any], set[str]]:
        """Return the values and which were given, to be copied or sent to another process."""
        return vars(self), self._given

    def __setstate__(self, state: tuple[dict[str, Any], set[str]]) -> None:
        self._set(dict(state[0]), set(state[1]))

    @property
    def model_fields_set(self) -> set[str]:
        """Return the attributes that were given, rather than left to their defaults."""
        return self._given

    def model_copy(self, *, update: Mapping[str, Any] | None = None) -> Self:
        """Return the model with other values of some attributes, which are known to be right."""
        made = object.__new__(type(self))
        made._set({**vars(self), **(update or {})}, self._given.union(update or ()))
        return made

    def model_dump(
        self,
        *,
        mode: Literal["python", "json"] = "python",
        exclude: Left = frozenset(),
        exclude_defaults: bool = False,
        exclude_unset: bool = False,
    ) -> dict[str, Any]:
        """Return the model as a tree of plain values by attribute, in JSON with lists for tuples; a model in it by its declared fields."""
        return _plain(self, type(self), _Dump(mode == "json", exclude_defaults, exclude_unset), exclude)

    def model_dump_json(self, *, exclude: Left = frozenset()) -> str:
        """Return the model as the text of its JSON."""
        return json.dumps(self.model_dump(mode="json", exclude=exclude), separators=(",", ":"), ensure_ascii=False)


# ---- A model as a tree of plain values


@record
class _Dump:
    """What a tree of plain values holds: lists for tuples, and whether what is as its default or was not given is left out."""

    lists: bool
    without_defaults: bool
    without_unset: bool


def _plain(model: Model, kind: type[Model], how: _Dump, left: Left) -> dict[str, Any]:
    inner: Mapping[str, AbstractSet[str]] = left if isinstance(left, Mapping) else {}
    tree = {}
    for name, info in kind.model_fields.items():
        value = vars(model)[name]
        if name in left and name not in inner:
            continue
        if (how.without_unset and name not in model.model_fields_set) or (how.without_defaults and value == info.default):
            continue
        tree[name] = _plain_value(value, info.type.model, how, inner.get(name, frozenset()))
    return tree


def _plain_value(value: Any, kind: type[Model] | None, how: _Dump, left: Left) -> Any:
    if isinstance(value, Model):
        return _plain(value, kind or type(value), how, left)
    if isinstance(value, (tuple, list)):
        entries = (_plain_value(entry, kind, how, left) for entry in value)
        return list(entries) if how.lists or isinstance(value, list) else tuple(entries)
    if isinstance(value, dict):
        return {word: _plain_value(entry, None, how, frozenset()) for word, entry in value.items()}
    return value
