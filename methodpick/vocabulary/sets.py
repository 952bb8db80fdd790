"""Writing of value sets in rule data: a word, a list of words, a number, a range, low-likely-high."""

from __future__ import annotations

from math import inf
from typing import Any

from methodpick.strict_yaml import KeyPath
from methodpick.vocabulary.catalogue import FactSpec
from methodpick.vocabulary.keys import Reader
from methodpick.vocabulary.values import Choice, Span, Value


def value_of(reader: Reader, path: KeyPath, spec: FactSpec, written: Any, *, beyond: bool = False) -> Value:
    """Read a value set of a fact; its whole domain after a problem.

    A number: ``3``, ``[1, 4]``, ``{low: 1, likely: 2, high: 4}`` or ``{likely: 2}``. Words: ``sand``,
    ``[sand, silt]`` or ``{likely: sand}``. ``beyond`` lets a number range reach past the domain of the fact.
    """
    if spec.kind == "number":
        return _span(reader, path, spec, written, beyond=beyond)
    return _choice(reader, path, spec, written)


def _span(reader: Reader, path: KeyPath, spec: FactSpec, written: Any, *, beyond: bool) -> Value:
    domain, before = spec.domain, reader.problems.met
    if not isinstance(domain, Span):
        return domain
    low, likely, high = domain.low, None, domain.high
    if isinstance(written, list) and len(written) == 2:
        low = domain.low if written[0] is None else reader.number((*path, 0), written[0])
        high = domain.high if written[1] is None else reader.number((*path, 1), written[1])
    elif isinstance(written, dict):
        entry = reader.mapping(path, written, ("low", "likely", "high"))
        low = reader.number((*path, "low"), entry.get("low", _finite(domain.low))) if "low" in entry else domain.low
        high = reader.number((*path, "high"), entry.get("high", _finite(domain.high))) if "high" in entry else domain.high
        likely = reader.number((*path, "likely"), entry["likely"]) if "likely" in entry else None
    else:
        low = likely = high = reader.number(path, written)
    if reader.problems.met > before:
        return domain
    if low > high or (likely is not None and not low <= likely <= high):
        reader.wrong(path, f"low, likely and high of '{spec.name}' are not in order")
        return domain
    if not beyond and (low < domain.low or high > domain.high):
        reader.wrong(path, f"this lies outside the domain of '{spec.name}'", f"{domain.low:g} to {domain.high:g} {spec.unit}")
        return domain
    return Span(low, high, likely)


def _finite(value: float) -> float:
    return value if abs(value) != inf else 0.0


def _choice(reader: Reader, path: KeyPath, spec: FactSpec, written: Any) -> Value:
    likely: str | None = None
    if isinstance(written, dict):
        entry = reader.mapping(path, written, ("values", "likely"))
        listed = entry.get("values", list(spec.words))
        likely = str(entry["likely"]) if "likely" in entry else None
    else:
        listed = written if isinstance(written, list) else [written]
    words = []
    for index, word in enumerate(listed if isinstance(listed, list) else [listed]):
        word = {True: "yes", False: "no"}.get(word, word) if isinstance(word, bool) else word  # noqa: PLW2901
        if str(word) not in spec.words:
            reader.unknown(
                (*path, index) if isinstance(written, list) else path, f"'{word}' is not a value of '{spec.name}'", str(word), spec.words
            )
            return spec.domain
        words.append(str(word))
    if not words:
        reader.wrong(path, f"no value of '{spec.name}' is left", f"one of {', '.join(spec.words)}")
        return spec.domain
    if likely is not None and likely not in words:
        reader.wrong(path, f"'{likely}' is not among the values of '{spec.name}'")
        return spec.domain
    return Choice(frozenset(words), likely or (words[0] if len(words) == 1 else None))
