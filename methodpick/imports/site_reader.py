"""The reader of a site file: the document, its units, and every problem met on the way; and how messages name things."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from methodpick.errors import Problem, Problems
from methodpick.imports.site_places import PlacedDocument
from methodpick.spelling import did_you_mean, one_of
from methodpick.strict_yaml import KeyPath
from methodpick.terms import UnitSystem

MOST_COMPARED = 500


class Missing:
    """Stands for a value that could not be read, whose problem is noted already."""


MISSING = Missing()


@dataclass(slots=True)
class SiteReader:
    """Collects the problems of a site file while its keys are read, each with its place."""

    document: PlacedDocument
    units: UnitSystem
    problems: Problems = field(init=False)

    def __post_init__(self) -> None:
        """Start with the problems that the YAML has."""
        self.problems = self.document.problems.after()

    def complain(self, path: KeyPath, message: str, expected: str = "", hint: str = "", key: bool = False) -> Missing:
        """Note a problem at a place of the file and give :data:`MISSING`."""
        self.problems.note(lambda: Problem(message, self.document.place(path, key=key), expected, hint))
        return MISSING

    def near(self, word: str, words: Iterable[str]) -> str:
        """Return the hint for a misspelt word, whatever the case; none where the problem will only be counted.

        Nor among more than ``MOST_COMPARED`` words: of thousands of borings many are alike, and comparing takes long.
        """
        known = tuple(words)
        return "" if self.problems.full or len(known) > MOST_COMPARED else did_you_mean(word, known)

    def choose(self, path: KeyPath, value: Any, words: Iterable[str], what: str) -> Any:
        """Return the word of a closed list that the file names, or complain with the likeliest one."""
        known = tuple(words)
        if isinstance(value, str) and value in known:
            return value
        if isinstance(value, str) and (plain := value.strip().casefold().replace(" ", "_").replace("-", "_")) in known:
            return plain
        hint = self.near(value, known) if isinstance(value, str) else ""
        return self.complain(path, f"{shown(value)} is not a {what}", one_of(known), hint)

    def written(self, path: KeyPath) -> str:
        """Return an unquoted value as it stands in the file, so that the id 007 stays 007."""
        place = self.document.place(path)
        return place.text[place.column - 1 : place.column - 1 + place.width].strip()


def shown(value: Any) -> str:
    """Write a value of the file as a message names it.

    >>> shown([1, 2]), shown(None), shown("gravle")
    ('a list', 'nothing', "'gravle'")
    """
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a map"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{value}'" if len(value) <= 60 else f"'{value[:57]}...'"
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def naming(path: KeyPath) -> str:
    """Write a path in words, for a message: its last key, or the entry of a list.

    >>> naming(("borings", 0, "layers", 2, "base"))
    'base'
    >>> naming(("borings", 0, "layers", 2))
    'layers, entry 3'
    """
    if not path:
        return "the file"
    last = path[-1]
    if isinstance(last, int):
        return f"{path[-2]}, entry {last + 1}" if len(path) > 1 else f"entry {last + 1}"
    return last
