"""The digest of a rulebook: one SHA-256 over everything that decides or is printed, however the files are laid out."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields
from typing import Any

_PLAIN = frozenset({str, float, int, bool, type(None)})
_FIELDS: dict[type[Any], tuple[str, ...]] = {}
NOT_MEANING = frozenset({"place", "cases", "text", "section"})
"""Fields that change nothing in a plan: where a rule stands, its examples, the spacing of its condition."""


def digest_of(**parts: Any) -> str:
    """Return the SHA-256 of named parts: records, maps and sets of any depth; order of maps and sets does not count.

    >>> digest_of(a={"x": 1, "y": frozenset({"p", "q"})}) == digest_of(a={"y": frozenset({"q", "p"}), "x": 1})
    True
    """
    text = json.dumps(canonical(parts), separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def canonical(value: Any) -> Any:
    """Return a value as lists, texts and numbers in one fixed order.

    >>> canonical({"b": (1.0, None), "a": frozenset({"y", "x"})})
    [['a', ['x', 'y']], ['b', [1.0, None]]]
    """
    kind = type(value)
    if kind in _PLAIN:
        return value
    if kind is tuple or kind is list:
        return [canonical(item) for item in value]
    if kind is frozenset:
        return sorted(value)
    if isinstance(value, Mapping):
        return [[key, canonical(value[key])] for key in sorted(value)]
    return [kind.__name__, *[canonical(getattr(value, name)) for name in _meaning(kind)]]


def _meaning(kind: type[Any]) -> tuple[str, ...]:
    """Return the fields of a record that count: those that make two records differ. Raises TypeError for anything else."""
    if kind not in _FIELDS:
        _FIELDS[kind] = tuple(field.name for field in fields(kind) if field.compare and field.name not in NOT_MEANING)
    return _FIELDS[kind]
