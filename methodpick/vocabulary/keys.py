"""Reading of maps with known keys: unknown, missing and wrong ones become problems with their place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from methodpick.errors import Place, Problem, RuleError, did_you_mean, one_of
from methodpick.strict_yaml import KeyPath, YamlDocument


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
            self.unknown(path, f"'{value}' is not one of the words allowed here", str(value), allowed)
            return default
        return value


def _kind(value: Any) -> str:
    names = {dict: "a map", list: "a list", str: f"the text '{value}'", bool: f"'{str(value).lower()}'", type(None): "nothing"}
    return names.get(type(value), f"the number {value}")
