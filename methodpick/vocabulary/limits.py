"""Limits and sources: every threshold is a record with its unit, source, place, edition and confidence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from math import inf
from typing import Any

from methodpick.records import record
from methodpick.strict_yaml import KeyPath, YamlDocument
from methodpick.terms import CONFIDENCES
from methodpick.vocabulary.catalogue import NAME_FORM, Reader, nameable

_LIMIT_KEYS = ("value", "unit", "safe", "range", "source", "where", "edition", "confidence", "note", "by_diameter")
SAFE_WAYS = ("higher", "lower", "any", "none")
"""In which way a changed limit makes plans more careful; ``none`` where either way may make them less so."""
SOURCE_KEYS = ("title", "author", "publisher", "year", "edition", "note", "place", "confidence")


@record
class Limit:
    """A threshold. ``origin`` names the file that gave the value: the base rulebook or an overlay.

    ``safe`` is one of ``SAFE_WAYS``; ``least`` and ``most`` bound what the number can plausibly be. ``by_diameter`` holds the
    values at diameters in metres, in rising order, of a limit that goes by the diameter of the shaft; ``value`` then holds where no
    shaft is known.
    """

    name: str
    value: float
    unit: str
    source: str
    where: str
    edition: str
    confidence: str
    note: str
    origin: str = "base"
    safe: str = "none"
    least: float = -inf
    most: float = inf
    by_diameter: tuple[tuple[float, float], ...] = ()

    @property
    def plausible(self) -> bool:
        """Return whether the value, at every diameter, lies in the range of what it can be."""
        return all(self.least <= value <= self.most for value in (self.value, *(value for _, value in self.by_diameter)))

    def at(self, diameter_m: float) -> float:
        """Return the value for a shaft: in a line between two diameters, the more careful of two values at one diameter.

        >>> steps = ((0.6, 0.075), (0.6, 0.1), (1.5, 0.1), (1.5, 0.15))
        >>> position = Limit("place_m", 0.075, "m", "own", "", "", "own", "", safe="lower", by_diameter=steps)
        >>> [position.at(diameter_m) for diameter_m in (0.5, 0.6, 0.9, 1.5, 2.0)]
        [0.075, 0.075, 0.1, 0.1, 0.15]
        """
        if not self.by_diameter:
            return self.value
        here = [value for diameter, value in self.by_diameter if diameter == diameter_m]
        if here:
            return max(here) if self.safe == "higher" else min(here)
        below = [point for point in self.by_diameter if point[0] < diameter_m]
        above = [point for point in self.by_diameter if point[0] > diameter_m]
        if not below or not above:
            return below[-1][1] if below else above[0][1]
        (narrow, low), (wide, high) = below[-1], above[0]
        return low + (high - low) * (diameter_m - narrow) / (wide - narrow)

    @property
    def number_range(self) -> tuple[float, float]:
        """Return the least and the greatest value over all diameters."""
        values = [value for _, value in self.by_diameter] or [self.value]
        return min(values), max(values)

    def looser_anywhere(self, other: Limit) -> bool:
        """Return whether another record of this limit is, or may be, less careful than this one for a shaft of some diameter."""
        corners = sorted({diameter for diameter, _ in (*self.by_diameter, *other.by_diameter)})
        between = [(narrow + wide) / 2 for narrow, wide in pairwise(corners)]
        sizes = [*corners, *between, corners[0] / 2, corners[-1] * 2] if corners else []
        return self.loosened_to(other.value) or any(replace(self, value=self.at(size)).loosened_to(other.at(size)) for size in sizes)

    def loosened_to(self, value: float) -> bool:
        """Return whether another value is, or may be, on the less careful side of this one.

        >>> factor = Limit("collapse_safety", 2.0, "1", "own", "", "", "own", "", safe="higher")
        >>> factor.loosened_to(1.5), factor.loosened_to(2.5), factor.loosened_to(2.0)
        (True, False, False)
        """
        if value == self.value or self.safe == "any":
            return False
        return self.safe == "none" or (value < self.value) is (self.safe == "higher")

    @property
    def beside(self) -> str:
        """Return what stands beside the value in a sentence: the overlay that set it, nothing for the base value."""
        return "" if self.origin == "base" else f" (set by {self.origin})"


@record
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
                reader.wrong(("limits", name, "source"), unknown_source(limit.source))
    reader.done()
    return limits


def unknown_source(key: str) -> str:
    """Return that a source is not listed."""
    return f"the source '{key}' is not in sources.yaml"


def limit_of(reader: Reader, path: KeyPath, name: str, entry: Any, origin: str = "base") -> Limit:
    """Return one limit record."""
    entry = reader.mapping(path, entry, _LIMIT_KEYS, ("value", "unit", "source", "confidence"))
    if not nameable(name):
        reader.wrong(path, f"'{name}' cannot name a limit", NAME_FORM, key=True)
    least, most = _range(reader, (*path, "range"), entry.get("range"))
    limit = Limit(
        name=name,
        value=reader.number((*path, "value"), entry.get("value")),
        unit=reader.text((*path, "unit"), entry.get("unit"), "1"),
        source=reader.text((*path, "source"), entry.get("source")),
        where=reader.text((*path, "where"), entry.get("where")),
        edition=reader.text((*path, "edition"), entry.get("edition")),
        confidence=reader.word((*path, "confidence"), entry.get("confidence"), CONFIDENCES, "own"),
        note=reader.text((*path, "note"), entry.get("note")),
        origin=origin,
        safe=reader.word((*path, "safe"), entry.get("safe", "none"), SAFE_WAYS, "none"),
        least=least,
        most=most,
        by_diameter=_by_diameter(reader, (*path, "by_diameter"), entry.get("by_diameter")),
    )
    refuse_implausible(reader, path, limit)
    return limit


def refuse_implausible(reader: Reader, path: KeyPath, limit: Limit) -> None:
    """Record a problem where the value of a limit cannot be: it lies outside the range of its record."""
    if not limit.plausible:
        given = (limit.value, *(value for _, value in limit.by_diameter))
        wrong = next(value for value in given if not limit.least <= value <= limit.most)
        message = f"{wrong:g} {limit.unit} cannot be '{limit.name}'".replace(" 1 ", " ")
        hint = "check the number and its unit; the range stands in limits.yaml of the rulebook"
        reader.wrong((*path, "value"), message, f"{limit.least:g} to {limit.most:g} {limit.unit}".removesuffix(" 1"), hint)


def _range(reader: Reader, path: KeyPath, value: Any) -> tuple[float, float]:
    """Return the least and the greatest plausible value, no bounds where the record gives none."""
    if value is None:
        return -inf, inf
    if not isinstance(value, list) or len(value) != 2 or not all(type(end) in {int, float} for end in value) or value[0] >= value[1]:
        reader.wrong(path, "this is no range", "the least and the greatest plausible value: [1.2, 5]")
        return -inf, inf
    return float(value[0]), float(value[1])


def _by_diameter(reader: Reader, path: KeyPath, value: Any) -> tuple[tuple[float, float], ...]:
    """Return the pairs of diameter and value of a limit that goes by the diameter."""
    if value is None:
        return ()
    pairs = value if isinstance(value, list) else []
    good = all(isinstance(pair, list) and len(pair) == 2 and all(type(number) in {int, float} for number in pair) for pair in pairs)
    if not pairs or not good or [pair[0] for pair in pairs] != sorted(pair[0] for pair in pairs) or pairs[0][0] <= 0:
        message, expected = (
            "these are no values by diameter",
            "pairs of a diameter in m and a value, from thin to wide: [[0.6, 0.075], [1.5, 0.15]]",
        )
        reader.wrong(path, message, expected)
        return ()
    return tuple((float(diameter), float(number)) for diameter, number in pairs)


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
