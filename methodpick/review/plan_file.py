"""A written plan read back into its records, strictly, every error placed by its path in the JSON; and the ways of building it holds."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from math import isfinite
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import ValidationError

from methodpick.errors import InputError, Problem, Problems
from methodpick.ground.site import Site
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.result import (
    FORMAT,
    Alternate,
    CautiousPlan,
    Drawdown,
    FactValue,
    InputStamp,
    Interval,
    OtherWays,
    Plan,
    QuantityLine,
    RulebookStamp,
    Rung,
    ShaftPlan,
    Slurry,
)
from methodpick.plan.result.checks import Check
from methodpick.records import record

# ---- the file


FIRST_FORMAT = "methodpick-plan/1"
WRITTEN_AS = {"from_": "from", "open_": "open"}
PLAIN = {float: "a number", int: "a whole number", str: "a text", bool: "true or false"}
TOP_KEYS = ("format", "tool_version", "rulebook", "input", "site", "shafts", "sources")


def read_plan_text(text: str, file: str) -> Plan:
    """Read a plan from the text of a file. Raises InputError where it is no JSON or no plan of this format."""
    try:
        tree = json.loads(text, object_pairs_hook=_unique, parse_constant=_refuse)
    except (ValueError, RecursionError) as error:
        raise InputError(Problem(f"{file}: this is no JSON: {error}", hint="write the plan with 'plan --json'")) from None
    return read_plan(tree)


def read_plan(tree: Any) -> Plan:
    """Read a plan from maps and lists. Raises InputError with every problem, each at its path."""
    if not isinstance(tree, dict) or "format" not in tree:
        raise InputError(Problem("this is no plan", expected=f'a map with "format": "{FORMAT}"', hint="write the plan with 'plan --json'"))
    if tree["format"] == FIRST_FORMAT:
        raise InputError(
            Problem(
                f"the plan is of format {FIRST_FORMAT}, which carries neither the ground nor the other ways as records",
                expected=FORMAT,
                hint="plan the site file again with 'plan --json' and verify the new plan",
            )
        )
    if tree["format"] != FORMAT:
        raise InputError(Problem(f"the format of the plan is {tree['format']!r}", expected=FORMAT))
    reader = _Reader()
    reader.keys(tree, TOP_KEYS, "")
    site = _site(reader, tree.get("site"))
    made = {
        name: reader.read(kind, tree.get(name), name)
        for name, kind in (
            ("tool_version", str),
            ("rulebook", RulebookStamp),
            ("input", InputStamp),
            ("shafts", tuple[ShaftPlan, ...]),
            ("sources", Mapping[str, str]),
        )
    }
    if not len(reader.problems):
        for place, shaft in enumerate(made["shafts"]):
            _casings_named(reader, shaft, f"shafts[{place}]")
    if len(reader.problems):
        raise InputError(reader.problems)
    return Plan(**made, site_name="" if site is None else site.site.name, site=site)


def _casings_named(reader: _Reader, shaft: ShaftPlan, path: str) -> None:
    """Note ways that are not worked out to the end, and lifts and pulls of casings that a way does not have."""
    try:
        ways = tuple(ways_of(shaft))
    except ValueError as error:
        reader.note(path, str(error))
        return
    for way in ways:
        if not way.built.stages:  # that it holds concrete and no work is found where it is verified
            continue
        concrete, count = way.built.concrete, len(way.built.casings)
        numbers = {*(lift.casing_no for lift in concrete.pulls), *(pull.casing_no for pull in concrete.extraction)}
        for number in sorted(numbers - set(range(1, count + 1))):
            reader.note(path, f"the {way.name} pulls casing {number}, and there is none", f"1 to {count}")


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return a map. Raises ValueError where a key stands twice."""
    made = dict(pairs)
    if len(made) < len(pairs):
        names = [name for name, _ in pairs]
        raise ValueError(f"the key {next(name for name in names if names.count(name) > 1)!r} stands twice in one map")
    return made


def _refuse(name: str) -> float:
    raise ValueError(f"{name} is no number")


def _site(reader: _Reader, tree: Any) -> Site | None:
    """Read the ground and the design."""
    try:
        return Site.model_validate(tree)
    except ValidationError as error:
        for detail in error.errors():
            place = ".".join(str(part) for part in ("site", *detail["loc"]))
            reader.note(place, detail["msg"].removeprefix("Value error, "))
        return None


class _Reader:
    """Reads records by the types of their fields; collects problems."""

    def __init__(self) -> None:
        self.problems = Problems()
        self._last_shafts: dict[str, tuple[Mapping[str, Any], Mapping[str, Any]]] = {}

    def note(self, path: str, message: str, expected: str = "") -> None:
        """Add a problem at a path."""
        self.problems.note(lambda: Problem(f"{path or 'the plan'}: {message}", expected=expected))

    def keys(self, tree: Mapping[str, Any], known: tuple[str, ...], path: str) -> None:
        """Note the keys of a map that are missing, and those that nobody knows."""
        for name in known:
            if name not in tree:
                self.note(path, f"the key '{name}' is missing")
        for name in tree:
            if name not in known:
                self.note(path, f"the key '{name}' is not known", expected=f"{', '.join(known)}")

    def read(self, kind: Any, value: Any, path: str) -> Any:
        """Return a value read as a type of a field; None after a problem."""
        shape, arguments = _shape(kind)
        if shape == "union":
            return self._union(arguments, value, path)
        if shape == "words":
            return self._one_of(arguments, value, path)
        if shape == "list":
            return self._list(arguments, value, path)
        if shape == "map":
            return self._map(arguments[1], value, path)
        if shape == "record":
            return self._fact(value, path) if kind is FactValue else self._record(kind, value, path)
        return self._plain(kind, value, path)

    def _plain(self, kind: Any, value: Any, path: str) -> Any:
        if kind is float and isinstance(value, (int, float)) and not isinstance(value, bool) and isfinite(value):
            return float(value)
        if kind is not float and isinstance(value, kind) and not (kind is int and isinstance(value, bool)):
            return value
        self.note(path, f"{_short(value)} is not {PLAIN[kind]}", expected=PLAIN[kind])
        return None

    def _union(self, arguments: tuple[Any, ...], value: Any, path: str) -> Any:
        if value is None and NoneType in arguments:
            return None
        kinds = [kind for kind in arguments if kind is not NoneType]
        if len(kinds) > 1:
            kinds = [kind for kind in kinds if (kind is str) == isinstance(value, str)] or kinds
        return self.read(kinds[0], value, path)

    def _one_of(self, words: tuple[Any, ...], value: Any, path: str) -> Any:
        if value in words:
            return value
        self.note(path, f"{_short(value)} is not known here", expected=f"one of {', '.join(map(str, words))}")
        return None

    def _list(self, arguments: tuple[Any, ...], value: Any, path: str) -> Any:
        if arguments[0] is QuantityLine and isinstance(value, dict):
            self.keys(value, ("lines",), path)
            value, path = value.get("lines"), f"{path}.lines"
        if not isinstance(value, list):
            self.note(path, f"{_short(value)} stands where a list belongs", expected="a list")
            return None
        if len(arguments) == 2 and arguments[1] is Ellipsis:
            return tuple(self.read(arguments[0], part, f"{path}[{index}]") for index, part in enumerate(value))
        if len(value) != len(arguments):
            self.note(path, f"there are {len(value)} entries", expected=f"{len(arguments)}")
            return None
        return tuple(self.read(kind, part, f"{path}[{index}]") for index, (kind, part) in enumerate(zip(arguments, value, strict=True)))

    def _map(self, kind: Any, value: Any, path: str) -> Any:
        if not isinstance(value, dict):
            self.note(path, f"{_short(value)} stands where a map belongs", expected="a map")
            return None
        return {name: self.read(kind, part, f"{path}.{name}") for name, part in value.items()}

    def _record(self, kind: Any, value: Any, path: str) -> Any:
        if not isinstance(value, dict):
            self.note(path, f"{_short(value)} stands where a map belongs", expected="a map")
            return None
        known = _fields(kind)
        self.keys(value, tuple(known), path)
        if kind is ShaftPlan:
            read = self._shaft_parts(known, value, path)
        else:
            read = {name: self.read(hint, value[key], f"{path}.{key}") for key, (name, hint) in known.items() if key in value}
        if len(self.problems):
            return None
        if kind is ShaftPlan:
            parts = {name: read[name] for name in OtherWays.PARTS}
            read = {name: part for name, part in read.items() if name not in parts} | {"other_ways": OtherWays.known(**parts)}
        return kind(**read)

    def _shaft_parts(self, known: Mapping[str, tuple[str, Any]], value: Mapping[str, Any], path: str) -> dict[str, Any]:
        """Read the parts of a shaft; what the last shaft of the same boring has too is read once, for many are built alike."""
        boring = str(value.get("boring"))
        before, parts = self._last_shafts.get(boring, ({}, {}))
        read = {
            name: parts[name] if name in parts and value[key] == before[key] else self.read(hint, value[key], f"{path}.{key}")
            for key, (name, hint) in known.items()
            if key in value
        }
        if not len(self.problems):
            self._last_shafts[boring] = value, read
        return read

    def _fact(self, value: Any, path: str) -> Any:
        """Read a fact of a reason: a range, or the words that are possible."""
        if not isinstance(value, dict):
            self.note(path, f"{_short(value)} stands where a map belongs", expected="a map")
            return None
        whole = {"low": None, "likely": None, "high": None, "values": None}
        if "values" not in value:
            self.keys(value, ("low", "likely", "high", "unit", "basis", "from"), path)
        return self._record(FactValue, whole | value, path)


@cache
def _shape(kind: Any) -> tuple[str, tuple[Any, ...]]:
    """Return what a type of a field is made of: "union", "words", "list", "map", "record" or "plain", with its arguments."""
    origin, arguments = get_origin(kind), get_args(kind)
    if origin in {UnionType, Union}:
        return "union", arguments
    if origin is Literal:
        return "words", arguments
    if origin is tuple:
        return "list", arguments
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return "map", arguments
    return ("record" if is_dataclass(kind) and isinstance(kind, type) else "plain"), arguments


@cache
def _fields(kind: Any) -> Mapping[str, tuple[str, Any]]:
    """Return the keys of a record as they are written, with the name and the type of each field."""
    hints = get_type_hints(kind)
    types = {name: hint for field in fields(kind) for name, hint in _written_parts(field.name, hints[field.name])}
    return {WRITTEN_AS.get(name, name): (name, hint) for name, hint in types.items()}


def _written_parts(name: str, hint: Any) -> Iterable[tuple[str, Any]]:
    """Return a field as it is written: under its name, the ways beside a plan part by part."""
    return OtherWays.PARTS.items() if hint is OtherWays else ((name, hint),)


def _short(value: Any) -> str:
    text = json.dumps(value, default=str)
    return text if len(text) <= 60 else f"{text[:57]}..."


# ---- ways of building: the plan itself, the cautious one, the other families, the rungs


@record
class WrittenWay:
    """A way of building as it is written; ``intervals`` is None and ``sentence`` empty where a plan gives none for it.

    ``proven`` is what the way says of itself, ``trials_ended`` that the trials of its search ended; the plan says that by not being proven.
    """

    name: str
    built: BuiltWay
    slurries: tuple[Slurry, ...]
    checks: tuple[Check, ...]
    intervals: tuple[Interval, ...] | None = None
    sentence: str = ""
    drawdown: Drawdown | None = None
    proven: bool = True
    relative_cost: float | None = None
    trials_ended: bool = False

    def is_built_as(self, other: WrittenWay) -> bool:
        """Return whether another way has the same stages, casings, fluids, concrete, checks and cost over the same ground."""
        return (self.built, self.checks, self.relative_cost, self.drawdown) == (
            other.built,
            other.checks,
            other.relative_cost,
            other.drawdown,
        )


def ways_of(shaft: ShaftPlan) -> Iterator[WrittenWay]:
    """Return all ways of building of a shaft that are worked out to the end; without a method the plan is none."""
    if shaft.placement is not None and shaft.concrete is not None:
        yield WrittenWay(
            name="plan",
            built=BuiltWay(shaft.stages, shaft.casings, shaft.slurries, shaft.placement, shaft.concrete),
            slurries=shaft.slurries,
            checks=shaft.checks,
            intervals=shaft.intervals,
            sentence=shaft.decision,
            proven=shaft.proven,
            relative_cost=shaft.relative_cost,
        )
    if shaft.cautious is not None:
        yield _way("cautious plan", shaft.cautious, intervals=shaft.cautious.intervals)
    for other in shaft.alternates:
        if other.stages:
            yield _way(other.family, other, intervals=other.intervals, drawdown=other.drawdown)
    for rung in shaft.ladder:
        yield _way(f"rung {rung.name}", rung, sentence=rung.method)


def _way(
    name: str,
    record: CautiousPlan | Alternate | Rung,
    *,
    intervals: tuple[Interval, ...] | None = None,
    sentence: str = "",
    drawdown: Drawdown | None = None,
) -> WrittenWay:
    """Return the way of a record that stands beside the plan. Raises ValueError where it has stages and no concrete."""
    if record.placement is None or record.concrete is None:
        raise ValueError(f"the {name} has stages, but no placement and concrete")
    built = BuiltWay(record.stages, record.casings, record.slurries, record.placement, record.concrete)
    return WrittenWay(
        name=name,
        built=built,
        slurries=record.slurries,
        checks=record.checks,
        intervals=intervals,
        sentence=sentence,
        drawdown=drawdown,
        proven=record.proven,
        relative_cost=record.relative_cost,
        trials_ended=record.trials_ended,
    )
