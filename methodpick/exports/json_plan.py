"""The plan as JSON, format ``methodpick-plan/1``: SI with the unit in the key, byte-stable, no NaN and no infinity."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from math import isfinite
from typing import Any

from methodpick.plan.result import FactValue, Plan, QuantityLine
from methodpick.spoken import spell

_LATER = {"ShaftPlan": ("decision", "relative_cost", "fluid_level_m", "cutoff_m", "count", "doubts", "ground", "boring_level_m",
                        "design", "ladder")}
_NAMES = {"from_": "from", "open_": "open"}


def plan_json(plan: Plan) -> str:
    """Write a plan. Keys and lists keep a fixed order; floats are rounded to 6 decimals; sentences are in SI."""
    tree = {"format": plan.format, "tool_version": plan.tool_version, "rulebook": _tree(plan.rulebook),
            "input": _tree(plan.input), "shafts": [_tree(shaft) for shaft in plan.shafts],
            "sources": _tree(dict(sorted(plan.sources.items())))}
    return json.dumps(tree, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def tree_of(record: Any) -> Any:
    """Give a record as plain maps, lists, texts and numbers: floats to 6 decimals, sentences in SI.

    >>> tree_of((1.23456789, "water at ⟦4.877|m⟧"))
    [1.234568, 'water at 4.88 m']
    """
    return _tree(record)


def _tree(value: Any) -> Any:
    if isinstance(value, FactValue):
        return _fact(value)
    if is_dataclass(value) and not isinstance(value, type):
        later = _LATER.get(type(value).__name__, ())
        names = [one.name for one in fields(value)]
        order = [name for name in names if name not in later] + [name for name in names if name in later]
        return {_NAMES.get(name, name): _tree(getattr(value, name)) for name in order}
    if isinstance(value, tuple) and value and isinstance(value[0], QuantityLine):
        return {"lines": [_tree(item) for item in value]}
    if isinstance(value, Mapping):
        return {str(key): _tree(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [_tree(item) for item in value]
    if isinstance(value, float):
        return round(value, 6) + 0.0 if isfinite(value) else None
    return spell(value, "si") if isinstance(value, str) else value


def _fact(fact: FactValue) -> dict[str, Any]:
    tail = {"unit": fact.unit, "basis": fact.basis, "from": spell(fact.from_, "si")}
    if fact.values is not None:
        return {"values": list(fact.values), **tail}
    return {"low": _tree(fact.low), "likely": _tree(fact.likely), "high": _tree(fact.high), **tail}


