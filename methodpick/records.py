"""Records: frozen data classes with slots whose methods are made when they are first called, so that a command starts quickly.

Python compiles the methods of a data class when its module is imported, half a millisecond a class; a command calls few of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from copy import copy
from dataclasses import MISSING, Field, FrozenInstanceError, field, fields, make_dataclass
from functools import cache
from types import CodeType, FunctionType
from typing import Any, NoReturn, dataclass_transform


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def record(
    kind: type[Any] | None = None,
    /,
    *,
    frozen: bool = True,
    guarded: bool = True,
    order: bool = False,
    kw_only: bool = False,
    caches: bool = False,
) -> Any:
    """Make of a class what ``dataclass(frozen=True, slots=True)`` makes of it, with methods that are made at their first call.

    Its annotations must be texts; of what ``field`` takes, ``default``, ``default_factory``, ``compare`` and ``repr`` are kept. With
    ``caches`` it may have cached properties. One that is frozen but not ``guarded`` is so for the type checker alone, and is made in
    half the time: for what a plan makes by the thousand. ``fields`` and ``replace`` of :mod:`dataclasses` take records, and type
    checkers read them as data classes. As with every data class with slots the class is made anew, so that its methods cannot call
    ``super()`` without arguments.

    >>> @record
    ... class Length:
    ...     top_m: "float"
    ...     base_m: "float" = 1.0
    >>> Length(0.5), Length(0.5) == Length(0.5, base_m=1.0)
    (Length(top_m=0.5, base_m=1.0), True)
    """

    def made(kind: type[Any]) -> Any:
        content = {name: value for name, value in vars(kind).items() if name not in ("__dict__", "__weakref__")}
        types = {name: text for name, text in kind.__annotations__.items() if "ClassVar" not in text}
        layout = _Layout(kind, types, {name: content.pop(name, MISSING) for name in types}, types if kw_only else ())
        layout.guarded = frozen and guarded
        methods = _methods(layout, frozen=frozen, order=order)
        content = methods | {name: value for name, value in content.items() if name != "__hash__" or value is not None}
        content |= {"__slots__": (*types, "__dict__") if caches else tuple(types), "__match_args__": layout.positional()}
        content |= {"__qualname__": kind.__qualname__, "__record__": layout, "__dataclass_fields__": _Fields(layout)}
        of_class: Any = type(kind)
        layout.kind = of_class(kind.__name__, kind.__bases__, content)
        return layout.kind

    return made if kind is None else made(kind)


def _methods(layout: _Layout, *, frozen: bool, order: bool) -> dict[str, Any]:
    """Return the methods that a record has where its class defines none."""
    operators = _OPERATORS if order else {"__eq__": "=="}
    methods: dict[str, Any] = {name: _at_first_call(layout, name, _comparison) for name in operators}
    methods |= {"__init__": _at_first_call(layout, "__init__", _init), "__repr__": _repr, "__hash__": None}
    if frozen:
        methods |= {"__hash__": _at_first_call(layout, "__hash__", _hash), "__getstate__": _state, "__setstate__": _set_state}
    if layout.guarded:
        methods |= {"__setattr__": _refuse_to_set, "__delattr__": _refuse_to_delete}
    return methods


class _Layout:
    """The fields of a record, inherited ones first: the texts of their types, and what the class gives them or ``MISSING``."""

    __slots__ = ("given", "guarded", "keywords", "kind", "types")

    def __init__(self, kind: type[Any], types: Mapping[str, str], given: Mapping[str, Any], keywords: Iterable[str]) -> None:
        above = [vars(base)["__record__"] for base in reversed(kind.__mro__) if "__record__" in vars(base)]
        self.kind: Any = kind
        self.types = {name: text for layout in above for name, text in layout.types.items()} | dict(types)
        self.given = {name: value for layout in above for name, value in layout.given.items()} | dict(given)
        self.guarded = True
        self.keywords = frozenset().union(keywords, *(layout.keywords for layout in above))

    def positional(self) -> tuple[str, ...]:
        """Return the names of the fields that need not be named."""
        return tuple(name for name in self.types if name not in self.keywords)

    def shown(self) -> list[str]:
        """Return the names of the fields by which a record is printed."""
        return [name for name, value in self.given.items() if not isinstance(value, Field) or value.repr]

    def compared(self) -> list[str]:
        """Return the names of the fields by which a record is compared."""
        return [name for name, value in self.given.items() if not isinstance(value, Field) or value.compare]


class _Fields:
    """The fields of a record as :mod:`dataclasses` asks for them, made when it first does."""

    __slots__ = ("layout",)

    def __init__(self, layout: _Layout) -> None:
        self.layout = layout

    def __get__(self, instance: object, kind: type[Any] | None = None) -> Mapping[str, Field[Any]]:
        made = {name: _field(name, text, self.layout) for name, text in self.layout.types.items()}
        type.__setattr__(self.layout.kind, "__dataclass_fields__", made)
        return made


def _field(name: str, text: str, layout: _Layout) -> Field[Any]:
    """Return a field as a data class has it: a copy of one, with the mark that :mod:`dataclasses` puts on its fields."""
    made, given = copy(_field_of_a_data_class()), layout.given[name]
    if not isinstance(given, Field):
        given = field(default=given)
    for part in ("default", "default_factory", "repr", "compare"):
        setattr(made, part, getattr(given, part))
    made.name, made.type, made.kw_only = name, text, name in layout.keywords
    return made


@cache
def _field_of_a_data_class() -> Field[Any]:
    return fields(make_dataclass("Any", ["field"]))[0]


# ---- methods that are made at their first call: a text for each, compiled


Written = tuple[str, dict[str, Any], dict[str, Any]]
"""The text of a function in which the fields are f0, f1 ..., what it calls by name, and the defaults of its arguments by field."""
_OPERATORS = {"__eq__": "==", "__lt__": "<", "__le__": "<=", "__gt__": ">", "__ge__": ">="}


def _at_first_call(layout: _Layout, name: str, write: Callable[[_Layout, str], Written]) -> Callable[..., Any]:
    """Return a method that puts in its own place what its text compiles to, and calls that."""

    def method(*given: Any, **named: Any) -> Any:
        text, called, defaults = write(layout, name)
        code = _compiled(text, name)
        names = {f"f{number}": each for number, each in enumerate(layout.types)}
        variables = tuple(names.get(word, word) for word in code.co_varnames)
        attributes = tuple(names.get(word, word) for word in code.co_names)
        positional = tuple(defaults[each] for each in layout.positional() if each in defaults)
        made = FunctionType(code.replace(co_varnames=variables, co_names=attributes), called, name, positional)
        made.__kwdefaults__ = {each: defaults[each] for each in layout.keywords if each in defaults} or None
        made.__qualname__ = f"{layout.kind.__qualname__}.{name}"
        setattr(layout.kind, name, made)
        return made(*given, **named)

    return method


@cache
def _compiled(text: str, name: str) -> CodeType:
    """Return the code of a function; records whose texts are the same but for the names of their fields share it."""
    found: dict[str, Any] = {}
    exec(text, found)  # noqa: S102 (a text of this module alone: no name of a field is in it)
    code: CodeType = found[name].__code__
    return code


def _init(layout: _Layout, name: str) -> Written:
    """Write how a record is made: one that is guarded by the setters of its slots, which ask nobody whether it is frozen."""
    called: dict[str, Any] = {"absent": MISSING}
    defaults, sets, takes = {}, [], {}
    for number, (each, given) in enumerate(layout.given.items()):
        default, factory = (given.default, given.default_factory) if isinstance(given, Field) else (given, MISSING)
        if layout.guarded:
            called[f"set{number}"] = getattr(layout.kind, each).__set__
        if default is not MISSING or factory is not MISSING:
            defaults[each] = default
        if factory is not MISSING:
            called[f"make{number}"] = factory
        value = f"f{number}" if factory is MISSING else f"make{number}() if f{number} is absent else f{number}"
        sets.append(f"set{number}(self, {value})" if layout.guarded else f"self.f{number} = {value}")
        takes[each] = f"f{number}"
    arguments = ["self", *(takes[each] for each in layout.positional())]
    arguments += ["*", *(takes[each] for each in layout.types if each in layout.keywords)] if layout.keywords else []
    sets += ["self.__post_init__()"] if hasattr(layout.kind, "__post_init__") else []
    return f"def {name}({', '.join(arguments)}):\n " + "\n ".join(sets or ["pass"]), called, defaults


def _comparison(layout: _Layout, name: str) -> Written:
    compared = f"{_values(layout, 'self')} {_OPERATORS[name]} {_values(layout, 'other')}"
    text = f"def {name}(self, other):\n return {compared} if other.__class__ is self.__class__ else NotImplemented"
    return text, {"NotImplemented": NotImplemented}, {}


def _hash(layout: _Layout, name: str) -> Written:
    return f"def {name}(self):\n return hash({_values(layout, 'self')})", {"hash": hash}, {}


def _values(layout: _Layout, of: str) -> str:
    compared = set(layout.compared())
    return f"({''.join(f'{of}.f{number}, ' for number, name in enumerate(layout.types) if name in compared)})"


# ---- methods that are the same for all records


def _repr(self: Any) -> str:
    return f"{type(self).__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in self.__record__.shown())})"


def _refuse_to_set(self: Any, name: str, value: object) -> NoReturn:  # noqa: ARG001 (called by Python)
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_to_delete(self: Any, name: str) -> NoReturn:  # noqa: ARG001 (called by Python)
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, name) for name in self.__record__.types]


def _set_state(self: Any, state: list[Any]) -> None:
    for name, value in zip(self.__record__.types, state, strict=True):
        object.__setattr__(self, name, value)
