"""Limits as the fluid programme uses them, each with its source and how well it is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from methodpick.plan.result import Citation, LimitUsed
from methodpick.vocabulary.limits import Limit


def used(limits: Mapping[str, Limit], name: str) -> LimitUsed:
    """Return a limit with its source, for the programme to show. Raises KeyError where the rulebook has no such limit."""
    one = limits[name]
    return LimitUsed(
        one.name, one.value, one.unit, Citation(one.source, one.where), one.confidence, "" if one.origin == "base" else one.origin
    )


def sources_of(record: Any) -> set[str]:
    """Return the keys of all sources that stand anywhere in a record.

    >>> sources_of((Citation("statics", "whole"), [Citation("own", "")])) == {"statics", "own"}
    True
    """
    if isinstance(record, Citation):
        return {record.key}
    if isinstance(record, (tuple, list)):
        return {key for one in record for key in sources_of(one)}
    if is_dataclass(record) and not isinstance(record, type):
        return {key for one in fields(record) for key in sources_of(getattr(record, one.name))}
    return set()
