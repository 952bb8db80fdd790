"""Plan, takeoff and comparison as JSON, ``methodpick-plan/2`` and the like: SI, byte-stable, no NaN and no infinity.

The unit of a number is in its key.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import cache
from json.encoder import encode_basestring
from math import isfinite
from typing import Any

from methodpick.collector import collector_paused
from methodpick.compare.result import ComparedRevisions, ComparedWays
from methodpick.errors import escaped_in_json
from methodpick.ground.site import Site
from methodpick.plan.result import Alternate, CautiousPlan, FactValue, OtherWay, OtherWays, Plan, QuantityLine, Rung
from methodpick.site.result import Takeoff
from methodpick.unit_markup import spell

_AS_BUILT = tuple(field.name for field in fields(OtherWay))
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
    ),
    **{kind.__name__: _AS_BUILT for kind in (Alternate, CautiousPlan, Rung)},
}
_PARTS = {"other_ways": tuple(OtherWays.PARTS)}
"""Fields that are written part by part, each under its own name; the record that holds the field has the parts too."""
_EXACT = frozenset({"cuts_m"})
"""Keys of the ground that facts are derived from anew: written as they are, not rounded."""
_NAMES = {"from_": "from", "open_": "open"}


@collector_paused()
def plan_json(plan: Plan) -> str:
    """Return a plan. Keys and lists keep a fixed order; sentences are in SI.

    Floats are rounded to 6 decimals but for ``site`` and ``cuts_m``, from which the facts can be derived anew.
    """
    written, known = dict[int, str](), _Known()
    parts_of = ([(name, _part(name, value, written, known)) for name, value in _named(shaft)] for shaft in plan.shafts)
    shafts = ",\n".join("  " + _map(parts, 2) for parts in parts_of)
    parts = [
        ("format", _text(plan.format)),
        ("tool_version", _text(plan.tool_version)),
        ("rulebook", _text(plan.rulebook)),
        ("input", _text(plan.input)),
        ("site", _exactly({} if plan.site is None else _site_tree(plan.site))),
        ("shafts", f"[\n{shafts}\n ]" if shafts else "[]"),
        ("sources", _text(dict(sorted(plan.sources.items())))),
    ]
    return _map([(name, text if name == "shafts" else _deeper(text, 1)) for name, text in parts], 0) + "\n"


def _part(name: str, value: Any, written: dict[int, str], known: _Known) -> str:
    """Write a part of a shaft; shafts with the same plan share their parts, so that each is written once."""
    if name in _EXACT:
        return _deeper(_exactly(value), 3)
    if id(value) not in written:
        written[id(value)] = escaped_in_json(_written(value, "\n   ", known))
    return written[id(value)]


def _text(value: Any) -> str:
    return escaped_in_json(_written(value, "\n"))


def _site_tree(site: Site) -> dict[str, Any]:
    """Return ground and design in SI, what is not given left out; the units of the file stay, for casings and tools are traded by them."""
    return site.model_dump(mode="json", exclude_defaults=True)


def _exactly(tree: Any) -> str:
    return escaped_in_json(_encoded(tree, "\n"))


def _encoded(tree: Any, lead: str) -> str:
    r"""Write a tree as ``json.dumps`` does with an indent of 1, for which the library goes over to its slow encoder.

    ``lead`` is the line end with the indent of what stands around the tree. Raises ValueError for NaN and infinity.

    >>> _encoded({"a": [1.0, None], "b": {}}, "\n") == json.dumps({"a": [1.0, None], "b": {}}, indent=1)
    True
    """
    kind = type(tree)
    if kind is str:
        return encode_basestring(tree)
    if kind is float and isfinite(tree):
        return float.__repr__(tree)
    if tree is None:
        return "null"
    inner = lead + " "
    if kind is dict:
        return _braced([f"{encode_basestring(key)}: {_encoded(item, inner)}" for key, item in tree.items()], lead)
    if kind in (list, tuple):
        return _bracketed([_encoded(item, inner) for item in tree], lead)
    return json.dumps(tree, ensure_ascii=False, indent=1, allow_nan=False)


def _braced(parts: Sequence[str], lead: str) -> str:
    """Write a map whose parts are written already."""
    return f"{{{lead} {f',{lead} '.join(parts)}{lead}}}" if parts else "{}"


def _bracketed(parts: Sequence[str], lead: str) -> str:
    """Write a list whose items are written already."""
    return f"[{lead} {f',{lead} '.join(parts)}{lead}]" if parts else "[]"


def _deeper(text: str, depth: int) -> str:
    """Indent all lines but the first; no text of JSON holds a line end of its own."""
    return text.replace("\n", "\n" + " " * depth)


def _map(parts: Sequence[tuple[str, str]], depth: int) -> str:
    """Write a map whose values are written already."""
    lead = " " * depth
    return "{\n" + ",\n".join(f'{lead} "{name}": {text}' for name, text in parts) + f"\n{lead}}}"


@collector_paused()
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
        "casing": takeoff.site.casing,
        "calendar": takeoff.calendar,
        "cost": takeoff.cost,
        "bid": takeoff.bid,
        "notes": takeoff.notes,
    }
    return _text(tree) + "\n"


def comparison_json(compared: ComparedWays | ComparedRevisions) -> str:
    """Return a comparison without the plans that it was made from, in the same style as a plan."""
    head = {"format": compared.format, "tool_version": compared.plan.tool_version, "site": compared.plan.site_name}
    if isinstance(compared, ComparedWays):
        made = {"rulebook": compared.plan.rulebook, "input": compared.plan.input, "shafts": compared.shafts, "ways": compared.ways}
    else:
        made = {name: part for name, part in _named(compared) if name not in {"plan", "format"}}
    return _text({**head, **made}) + "\n"


_Known = dict[str | float, str]
"""Sentences and numbers as they are written, of which a plan holds each some forty times."""


def _written(value: Any, lead: str, known: _Known | None = None) -> str:
    r"""Write a record as a map of its fields, maps and lists as such, floats to 6 decimals, sentences in SI; what has no end is null.

    ``lead`` is the line end with the indent of what stands around the value; ``known`` is what was written before, and is added to.

    >>> _written((1.23456789, "water at ⟦4.877|m⟧"), "\n")
    '[\n 1.234568,\n "water at 4.88 m"\n]'
    """
    known = {} if known is None else known
    kind: Any = type(value)
    if kind is str or kind is float:
        found = known.get(value)
        if found is None:
            found = known[value] = _leaf(value)
        return found
    if value is None:
        return "null"
    if kind is bool or kind is int:
        return repr(value).lower()
    inner = lead + " "
    if isinstance(value, (list, tuple)):
        if kind is tuple and value and isinstance(value[0], QuantityLine):
            return _written({"lines": list(value)}, lead, known)
        return _bracketed([_written(item, inner, known) for item in value], lead)
    if kind is FactValue:
        return _written(_fact(value), lead, known)
    shape = _shape(kind)
    if shape is not None:
        return _braced([start + _field(name, getattr(value, name), inner, known) for name, start in shape], lead)
    if isinstance(value, Mapping):
        return _braced([f"{encode_basestring(str(key))}: {_written(item, inner, known)}" for key, item in value.items()], lead)
    return _encoded(value, lead)


def _leaf(value: str | float) -> str:
    """Write a sentence in SI, or a number."""
    if isinstance(value, str):
        return encode_basestring(spell(value, "si"))
    return float.__repr__(round(value, 6) + 0.0) if isfinite(value) else "null"


@cache
def _shape(kind: Any) -> tuple[tuple[str, str], ...] | None:
    """Return the fields of a kind of record with how each begins as it is written; None for what is no record."""
    is_record = is_dataclass(kind)
    return tuple((name, f'"{written}": ') for name, written in _order(kind)) if is_record else None


def _field(name: str, value: Any, lead: str, known: _Known) -> str:
    """Write the value of a field of a record."""
    return _encoded(list(value), lead) if name in _EXACT else _written(value, lead, known)


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
    tail = {"unit": fact.unit, "basis": fact.basis, "from": fact.from_}
    if fact.values is not None:
        return {"values": fact.values, **tail}
    return {"low": fact.low, "likely": fact.likely, "high": fact.high, **tail}
