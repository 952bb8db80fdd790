"""Limits and sources: every threshold is a record with its unit, source, place, edition and confidence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from methodpick.strict_yaml import YamlDocument
from methodpick.terms import CONFIDENCES
from methodpick.vocabulary.catalogue import nameable
from methodpick.vocabulary.keys import Reader

_LIMIT_KEYS = ("value", "unit", "source", "where", "edition", "confidence", "note")
SOURCE_KEYS = ("title", "author", "publisher", "year", "edition", "note", "place", "confidence")


@dataclass(frozen=True, slots=True)
class Limit:
    """A threshold. ``origin`` names the file that gave the value: the base rulebook or an overlay."""

    name: str
    value: float
    unit: str
    source: str
    where: str
    edition: str
    confidence: str
    note: str
    origin: str = "base"

    @property
    def beside(self) -> str:
        """Return what stands beside the value in a sentence: the overlay that set it, nothing for the base value."""
        return "" if self.origin == "base" else f" (set by {self.origin})"


@dataclass(frozen=True, slots=True)
class Source:
    """An entry of the bibliography. ``confidence`` is how the document itself was known to whoever wrote the rules."""

    key: str
    title: str
    author: str
    year: str
    note: str
    confidence: str = "memory"

    def cite(self) -> str:
        """Write the entry on one line.

        >>> Source("x", "Drilled shafts", "A. Author", "2018", "").cite()
        'A. Author (2018). Drilled shafts'
        """
        lead = f"{self.author} ({self.year}). " if self.author and self.year else f"{self.author or self.year}. "
        return (lead if lead != ". " else "") + self.title


def limits_of(document: YamlDocument, sources: Mapping[str, Source] | None = None) -> dict[str, Limit]:
    """Return the limits of ``rules/limits.yaml``; raises RuleError with every problem."""
    reader = Reader(document)
    limits = {name: limit_of(reader, ("limits", name), name, entry) for name, entry in reader.section("limits", dict).items()}
    if sources is not None:
        for name, limit in limits.items():
            if limit.source not in sources:
                reader.wrong(("limits", name, "source"), f"the source '{limit.source}' is not in sources.yaml")
    reader.done()
    return limits


def limit_of(reader: Reader, path: tuple[str | int, ...], name: str, entry: Any, origin: str = "base") -> Limit:
    """Return one limit record."""
    entry = reader.mapping(path, entry, _LIMIT_KEYS, ("value", "unit", "source", "confidence"))
    if not nameable(name):
        reader.wrong(path, f"'{name}' cannot name a limit", "letters, digits and underscores, no word of the language", key=True)
    return Limit(
        name=name,
        value=reader.number((*path, "value"), entry.get("value")),
        unit=reader.text((*path, "unit"), entry.get("unit"), "1"),
        source=reader.text((*path, "source"), entry.get("source")),
        where=reader.text((*path, "where"), entry.get("where")),
        edition=reader.text((*path, "edition"), entry.get("edition")),
        confidence=reader.word((*path, "confidence"), entry.get("confidence"), CONFIDENCES, "own"),
        note=reader.text((*path, "note"), entry.get("note")),
        origin=origin,
    )


def sources_of(document: YamlDocument) -> dict[str, Source]:
    """Return the bibliography of ``rules/sources.yaml``; raises RuleError with every problem."""
    reader = Reader(document)
    sources = {key: source_of(reader, ("sources", key), key, entry) for key, entry in reader.section("sources", dict).items()}
    reader.done()
    return sources


def source_of(reader: Reader, path: tuple[str | int, ...], key: str, entry: Any) -> Source:
    """Return one entry of the bibliography."""
    entry = reader.mapping(path, entry, SOURCE_KEYS, ("title",))
    return Source(
        key=key,
        title=reader.text((*path, "title"), entry.get("title")),
        author=reader.text(path, entry.get("author", entry.get("publisher"))),
        year=reader.text(path, entry.get("year")),
        note=reader.text(path, entry.get("note")),
        confidence=reader.word((*path, "confidence"), entry.get("confidence", "memory"), CONFIDENCES, "memory"),
    )
