"""Records as plain trees, and where two trees differ; knows no record by name, so that it outlives every change of their shape."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from itertools import zip_longest
from math import isclose

MISSING = object()
NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e[-+]?\d+)?")


def plain(value: object) -> object:
    """Turn records and mappings into maps, tuples into lists; numbers, words and None stay."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if hasattr(value, "PARTS"):  # worked out when they are asked for
        return {name: plain(getattr(value, name)) for name in value.PARTS}
    if isinstance(value, Mapping):
        return {str(key): plain(inner) for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(inner) for inner in value]
    return sorted(map(str, value)) if isinstance(value, (set, frozenset)) else value


def differences(first: object, second: object, tolerance: float = 0.0, path: str = "") -> Iterator[str]:
    """Name the places where two plain trees differ; numbers agree to the tolerance, relative or absolute."""
    if isinstance(first, dict) and isinstance(second, dict):
        for key in dict.fromkeys((*first, *second)):
            yield from differences(first.get(key, MISSING), second.get(key, MISSING), tolerance, f"{path}.{key}")
    elif isinstance(first, list) and isinstance(second, list):
        for index, (one, other) in enumerate(zip_longest(first, second, fillvalue=MISSING)):
            yield from differences(one, other, tolerance, f"{path}[{index}]")
    elif isinstance(first, float) and isinstance(second, (int, float)):
        if not isclose(first, second, rel_tol=tolerance, abs_tol=tolerance):
            yield f"{path}: {first!r} and {second!r}"
    elif isinstance(first, str) and isinstance(second, str) and tolerance:
        if not _reads_alike(first, second, tolerance):
            yield f"{path}: {first!r} and {second!r}"
    elif first != second:
        said = ["nothing" if value is MISSING else repr(value)[:120] for value in (first, second)]
        yield f"{path}: {said[0]} and {said[1]}"


def _reads_alike(first: str, second: str, tolerance: float) -> bool:
    """Tell whether two texts differ in their numbers only, by no more than ten times the tolerance, for texts round them."""
    if first == second:
        return True
    if NUMBER.split(first) != NUMBER.split(second):
        return False
    pairs = zip(NUMBER.findall(first), NUMBER.findall(second), strict=True)
    return all(isclose(float(one), float(other), rel_tol=10 * tolerance, abs_tol=10 * tolerance) for one, other in pairs)
