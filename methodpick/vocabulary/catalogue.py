"""The catalogue of facts: which facts exist, their units, domains and questions (``rules/facts.yaml``)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from keyword import iskeyword
from math import inf
from pathlib import Path
from typing import Any

from methodpick.strict_yaml import Document, KeyPath, read
from methodpick.vocabulary.keys import Reader
from methodpick.vocabulary.values import EITHER, Choice, Span, Value

SCOPES = ("site", "shaft", "slice", "slice_state", "stage")
_TYPES = ("number", "enum", "boolean")
_ORIGINS = ("logged", "tested", "derived", "design", "site")
_TAKEN = frozenset({"always", "min", "max", "abs"})
_KEYS = ("type", "unit", "domain", "values", "resolution", "scope", "origin", "meaning", "ask", "changeable", "input")


@dataclass(frozen=True, slots=True)
class FactSpec:
    """What the catalogue declares of a fact."""

    name: str
    kind: str
    unit: str
    domain: Value
    words: tuple[str, ...]
    resolution: float
    scope: str
    origin: str
    meaning: str
    ask: str
    changeable: bool

    def domain_value(self) -> Value:
        """Return the whole domain: what a missing fact may be."""
        return self.domain


@dataclass(frozen=True, slots=True)
class Catalogue:
    """All facts by name, in the order of the file."""

    facts: Mapping[str, FactSpec]

    def __contains__(self, name: str) -> bool:
        """Return whether a fact of that name exists."""
        return name in self.facts


def read_catalogue(path: Path) -> Catalogue:
    """Read the catalogue. Raises RuleError with every problem, InputError where the file cannot be read."""
    document = read(path)
    return catalogue_of(document)


def catalogue_of(document: Document) -> Catalogue:
    """Return the catalogue of a read document."""
    reader = Reader(document)
    facts = {name: _fact(reader, ("facts", name), name, entry) for name, entry in reader.section("facts", dict).items()}
    reader.done()
    return Catalogue(facts)


def _fact(reader: Reader, path: KeyPath, name: str, entry: Any) -> FactSpec:
    entry = reader.mapping(path, entry, _KEYS, ("type", "scope", "meaning"))
    if not nameable(name):
        reader.wrong(path, f"'{name}' cannot name a fact", "letters, digits and underscores, no word of the language", key=True)
    kind = reader.word((*path, "type"), entry.get("type"), _TYPES, "boolean")
    words: tuple[str, ...] = ()
    domain: Value = EITHER
    if kind == "number":
        domain = _range(reader, path, entry.get("domain"))
    elif kind == "enum":
        listed = entry.get("values")
        if not isinstance(listed, list) or len(listed) < 2:
            reader.wrong(path, f"the fact '{name}' lists no values", "values: [one, two, ...]")
            listed = ["a", "b"]
        words = tuple(dict.fromkeys(str(word) for word in listed))
        for index, word in enumerate(listed):
            if not isinstance(word, str) or not nameable(word) or word in listed[:index]:
                reader.wrong((*path, "values", index), f"'{word}' cannot be a value", "different words of letters, digits, underscores")
        domain = Choice(frozenset(words))
    else:
        words = ("no", "yes")
    return FactSpec(
        name,
        kind,
        reader.text((*path, "unit"), entry.get("unit"), "1"),
        domain,
        words,
        reader.number((*path, "resolution"), entry.get("resolution", 0)),
        reader.word((*path, "scope"), entry.get("scope"), SCOPES, "slice"),
        reader.word((*path, "origin"), entry.get("origin", "logged"), _ORIGINS, "logged"),
        reader.text((*path, "meaning"), entry.get("meaning")),
        reader.text((*path, "ask"), entry.get("ask")),
        reader.flag((*path, "changeable"), entry.get("changeable")),
    )


def nameable(name: str) -> bool:
    """Return whether a condition can name a thing so.

    >>> nameable("su_kpa"), nameable("not"), nameable("N-60")
    (True, False, False)
    """
    return name.isidentifier() and name.isascii() and not iskeyword(name) and name not in _TAKEN


def _range(reader: Reader, path: KeyPath, value: Any) -> Span:
    if not isinstance(value, list) or len(value) != 2:
        where = (*path, "domain") if value is not None else path
        reader.wrong(where, "a number needs its domain", "domain: [low, high]")
        return Span(-inf, inf)
    low = -inf if value[0] is None else reader.number((*path, "domain", 0), value[0])
    high = inf if value[1] is None else reader.number((*path, "domain", 1), value[1])
    if low > high:
        reader.wrong((*path, "domain"), "the domain is empty", "[low, high]")
        return Span(-inf, inf)
    return Span(low, high)
