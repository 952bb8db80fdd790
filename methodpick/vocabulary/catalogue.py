"""The catalogue of facts, and how the keys of a map in the rulebook are read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from keyword import iskeyword
from math import inf
from pathlib import Path
from typing import Any

from methodpick.errors import Place, Problem, RuleError, did_you_mean, one_of
from methodpick.records import record
from methodpick.strict_yaml import KeyPath, YamlDocument, read
from methodpick.vocabulary.values import EITHER, Choice, Span, Value

# ---- Reading of maps with known keys: unknown, missing and wrong ones become problems with their place


class Reader:
    """Reads one document and collects its problems, those of its YAML included; ``done`` raises them all at once."""

    def __init__(self, document: YamlDocument) -> None:
        """Take the document whose places the problems name."""
        self.document = document
        self.problems = document.problems.after()

    def wrong(self, path: KeyPath, message: str, expected: str = "", hint: str = "", key: bool = False) -> None:
        """Record a problem at a path."""
        self.problems.note(lambda: Problem(message, self.document.place(path, key), expected, hint))

    def wrong_at(self, place: Place, message: str, hint: str = "") -> None:
        """Record a problem at a place that is known already."""
        self.problems.note(lambda: Problem(message, place, hint=hint))

    def near(self, word: str, words: Iterable[str]) -> str:
        """Return the hint for a misspelt word, none where the problem will only be counted."""
        return "" if self.problems.full else did_you_mean(word, words)

    def unknown(self, path: KeyPath, message: str, word: str, words: Iterable[str], *, key: bool = False) -> None:
        """Record a word that a closed list does not hold, with the list and the likeliest of it."""
        known = () if self.problems.full else tuple(words)
        self.wrong(path, message, one_of(known), self.near(word, known), key)

    def done(self) -> None:
        """Raise RuleError with every problem noted, if any."""
        if self.problems:
            raise RuleError(self.problems)

    def mapping(self, path: KeyPath, value: Any, known: Iterable[str], needed: Iterable[str] = ()) -> dict[str, Any]:
        """Return a map after checking its keys; an empty one where there is no map."""
        if not isinstance(value, dict):
            self.wrong(path, f"here stands {_kind(value)}", "a map of keys and values")
            return {}
        known = tuple(known)
        strange = value.keys() - known
        for name in [name for name in value if name in strange] if strange else ():
            self.unknown((*path, name), f"the key '{name}' is not known here", name, known, key=True)
        for name in needed:
            if name not in value:
                self.wrong(path, f"the key '{name}' is missing")
            elif value[name] is None or (isinstance(value[name], str) and not value[name].strip()):
                self.wrong((*path, name), f"the key '{name}' has no value", key=True)
        return {name: item for name, item in value.items() if name not in strange} if strange else value

    def section(self, name: str, kind: type) -> Any:
        """Return the one top key of a file, which must hold a map or a list."""
        top = self.mapping((), self.document.value, (name,), (name,))
        value = top.get(name, kind())
        if not isinstance(value, kind):
            self.wrong((name,), f"here stands {_kind(value)}", "a list" if kind is list else "a map")
            return kind()
        return value

    def items(self, path: KeyPath, value: Any) -> list[Any]:
        """Return a list; an empty one where nothing stands, and after a problem."""
        if value is None or isinstance(value, list):
            return value or []
        self.wrong(path, f"here stands {_kind(value)}", "a list")
        return []

    def flag(self, path: KeyPath, value: Any) -> bool:
        """Return true or false; false where nothing stands."""
        if value is not None and not isinstance(value, bool):
            self.wrong(path, f"here stands {_kind(value)}", "true or false")
        return value is True

    def text(self, path: KeyPath, value: Any, default: str = "") -> str:
        """Return a text; numbers are taken as they are written."""
        if value is None:
            return default
        if isinstance(value, (dict, list, bool)):
            self.wrong(path, f"here stands {_kind(value)}", "a text")
            return default
        return str(value)

    def number(self, path: KeyPath, value: Any, default: float = 0.0) -> float:
        """Return a number."""
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self.wrong(path, f"here stands {_kind(value)}", "a number")
            return default
        return float(value)

    def word(self, path: KeyPath, value: Any, allowed: Iterable[str], default: str) -> str:
        """Return one word of a closed list."""
        allowed = allowed if isinstance(allowed, Mapping) else tuple(allowed)
        if not isinstance(value, str) or value not in allowed:
            message = "no word stands here" if value is None else f"'{value}' is not one of the words allowed here"
            self.unknown(path, message, str(value), allowed)
            return default
        return value


def _kind(value: Any) -> str:
    names = {dict: "a map", list: "a list", str: f"the text '{value}'", bool: f"'{str(value).lower()}'", type(None): "nothing"}
    return names.get(type(value), f"the number {value}")


# ---- The catalogue of facts: which facts exist, their units, domains and questions, and how their values are written in rule data


SCOPES = ("site", "shaft", "slice", "slice_state", "stage")
_TYPES = ("number", "enum", "boolean")
_ORIGINS = ("logged", "tested", "derived", "design", "site")
_TAKEN = frozenset({"always", "min", "max", "abs"})
_KEYS = ("type", "unit", "domain", "values", "resolution", "scope", "origin", "meaning", "ask", "changeable", "input")


@record
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


@record
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


def catalogue_of(document: YamlDocument) -> Catalogue:
    """Return the catalogue of a read document."""
    reader = Reader(document)
    facts = {name: _fact(reader, ("facts", name), name, entry) for name, entry in reader.section("facts", dict).items()}
    reader.done()
    return Catalogue(facts)


def _fact(reader: Reader, path: KeyPath, name: str, entry: Any) -> FactSpec:
    entry = reader.mapping(path, entry, _KEYS, ("type", "scope", "meaning"))
    if not nameable(name):
        reader.wrong(path, f"'{name}' cannot name a fact", NAME_FORM, key=True)
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
        name=name,
        kind=kind,
        unit=reader.text((*path, "unit"), entry.get("unit"), "1"),
        domain=domain,
        words=words,
        resolution=reader.number((*path, "resolution"), entry.get("resolution", 0)),
        scope=reader.word((*path, "scope"), entry.get("scope"), SCOPES, "slice"),
        origin=reader.word((*path, "origin"), entry.get("origin", "logged"), _ORIGINS, "logged"),
        meaning=reader.text((*path, "meaning"), entry.get("meaning")),
        ask=reader.text((*path, "ask"), entry.get("ask")),
        changeable=reader.flag((*path, "changeable"), entry.get("changeable")),
    )


NAME_FORM = "letters, digits and underscores, no word of the language"
"""What a name of a fact or a limit is made of."""


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


def no_value_of(word: str, spec: FactSpec) -> str:
    """Return that a word is none of those that a fact may have."""
    return f"'{word}' is not a value of '{spec.name}'"


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
            place = (*path, index) if isinstance(written, list) else path
            reader.unknown(place, no_value_of(str(word), spec), str(word), spec.words)
            return spec.domain
        words.append(str(word))
    if not words:
        reader.wrong(path, f"no value of '{spec.name}' is left", f"one of {', '.join(spec.words)}")
        return spec.domain
    if likely is not None and likely not in words:
        reader.wrong(path, f"'{likely}' is not among the values of '{spec.name}'")
        return spec.domain
    return Choice(frozenset(words), likely or (words[0] if len(words) == 1 else None))
