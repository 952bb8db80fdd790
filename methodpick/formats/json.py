"""Plan and takeoff as JSON, ``methodpick-plan/2`` and ``methodpick-takeoff/1``: SI, byte-stable, no NaN and no infinity.

The unit of a number is in its key.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import fields
from functools import cache
from json.encoder import encode_basestring
from math import isfinite
from typing import Any

from methodpick.ground.site import Site
from methodpick.plan.result import FactValue, OtherWays, Plan, QuantityLine
from methodpick.printable import escaped_in_json
from methodpick.site.result import Takeoff
from methodpick.unit_markup import spell

_LATER = {
    "ShaftPlan": (
        "decision",
        "relative_cost",
        "fluid_level_m",
        "cutoff_m",
        "count",
        "doubts",
        "ground",
        "boring_level_m",
        "design",
        "ladder",
    )
}
_PARTS = {"other_ways": tuple(OtherWays.PARTS)}
"""Fields that are written part by part, each under its own name; the record that holds the field has the parts too."""
_EXACT = frozenset({"cuts_m"})
"""Keys of the ground that facts are derived from anew: written as they are, not rounded."""
_WORDS = {None: "null", True: "true", False: "false"}
_NAMES = {"from_": "from", "open_": "open"}


def plan_json(plan: Plan) -> str:
    """Return a plan. Keys and lists keep a fixed order; sentences are in SI.

    Floats are rounded to 6 decimals but for ``site`` and ``cuts_m``, from which the facts can be derived anew.
    """
    written: dict[int, str] = {}
    shafts = [_map([(name, _part(name, value, written)) for name, value in _named(shaft)], 2) for shaft in plan.shafts]
    parts = [
        ("format", _text(plan.format, 1)),
        ("tool_version", _text(plan.tool_version, 1)),
        ("rulebook", _text(plan.rulebook, 1)),
        ("input", _text(plan.input, 1)),
        ("site", _exactly({} if plan.site is None else _site_tree(plan.site), 1)),
        ("shafts", _list(shafts, 1)),
        ("sources", _text(dict(sorted(plan.sources.items())), 1)),
    ]
    return _map(parts, 0) + "\n"


def _part(name: str, value: Any, written: dict[int, str]) -> str:
    """Write a part of a shaft; shafts with the same plan share their parts, so that each is written once."""
    if name in _EXACT:
        return _exactly(value, 3)
    if id(value) not in written:
        written[id(value)] = _text(value, 3)
    return written[id(value)]


def _site_tree(site: Site) -> dict[str, Any]:
    """Return ground and design in SI, what is not given left out; the units of the file are none of the plan's."""
    return site.model_dump(mode="json", exclude_defaults=True, exclude={"site": {"units"}})


def _exactly(tree: Any, depth: int) -> str:
    """Write maps, lists, texts and numbers as they are; no text of JSON holds a line end of its own."""
    text = escaped_in_json(json.dumps(tree, ensure_ascii=False, indent=1, allow_nan=False))
    return text.replace("\n", "\n" + " " * depth)


def _map(parts: Sequence[tuple[str, str]], depth: int) -> str:
    """Write a map whose values are written already, each by its plain name."""
    if not parts:
        return "{}"
    lead = "\n" + " " * depth
    return "{" + ",".join([f'{lead} "{name}": {text}' for name, text in parts]) + lead + "}"


def _list(parts: Sequence[str], depth: int) -> str:
    """Write a list whose entries are written already."""
    if not parts:
        return "[]"
    lead = "\n" + " " * depth
    return "[" + ",".join([f"{lead} {text}" for text in parts]) + lead + "]"


def takeoff_json(takeoff: Takeoff) -> str:
    """Return a takeoff without the plans that it was made from, in the same style as a plan."""
    plan = takeoff.site.plan
    tree = {
        "format": takeoff.format,
        "tool_version": plan.tool_version,
        "rulebook": plan.rulebook,
        "input": plan.input,
        "site": plan.site_name,
        "assignments": takeoff.site.assignments,
        "shafts": takeoff.shafts,
        "site_lines": takeoff.site_lines,
        "totals": takeoff.totals,
        "yard": takeoff.yard,
        "hours": takeoff.hours,
        "cost": takeoff.cost,
        "notes": takeoff.notes,
    }
    return _text(tree, 0) + "\n"


def _text(value: Any, depth: int) -> str:
    """Write a record as maps, lists, texts and numbers, its lines after the first indented: floats to 6 decimals, sentences in SI.

    >>> print(_text((1.23456789, "water at ⟦4.877|m⟧", ()), 0))
    [
     1.234568,
     "water at 4.88 m",
     []
    ]
    """
    if isinstance(value, str):
        return _string(spell(value, "si"))
    if isinstance(value, float):
        return repr(round(value, 6) + 0.0) if isfinite(value) else "null"
    if value is None or isinstance(value, bool):
        return _WORDS[value]
    if isinstance(value, int):
        return repr(value)
    if isinstance(value, (list, tuple)):
        if value and isinstance(value[0], QuantityLine):
            return _map([("lines", _list([_text(item, depth + 2) for item in value], depth + 1))], depth)
        return _list([_text(item, depth + 1) for item in value], depth)
    if isinstance(value, FactValue):
        return _map([(name, _text(part, depth + 1)) for name, part in _fact(value).items()], depth)
    if isinstance(value, Mapping):
        return _map([(_string(str(name))[1:-1], _text(item, depth + 1)) for name, item in value.items()], depth)
    parts = [(name, _exactly(part, depth + 1) if name in _EXACT else _text(part, depth + 1)) for name, part in _named(value)]
    return _map(parts, depth)


def _string(text: str) -> str:
    return escaped_in_json(encode_basestring(text))


def _named(record: Any) -> list[tuple[str, Any]]:
    """Return the fields of a record in the order of the format."""
    kind: Any = type(record)
    return [(written, getattr(record, name)) for name, written in _order(kind)]


@cache
def _order(kind: Any) -> tuple[tuple[str, str], ...]:
    later = _LATER.get(kind.__name__, ())
    names = [name for field in fields(kind) for name in _PARTS.get(field.name, (field.name,))]
    return tuple((name, _NAMES.get(name, name)) for name in sorted(names, key=lambda name: later.index(name) + 1 if name in later else 0))


def _fact(fact: FactValue) -> dict[str, Any]:
    """Return a fact of a reason as its format has it: a range, or the words that are possible."""
    tail = {"unit": fact.unit, "basis": fact.basis, "from": fact.from_}
    if fact.values is not None:
        return {"values": fact.values, **tail}
    return {"low": fact.low, "likely": fact.likely, "high": fact.high, **tail}
