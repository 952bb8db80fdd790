"""Rows of a table that are none of its entries: its headings again, totals, notes below it. Each is set aside with its reason.

A row of totals is held against the rows above it, since a schedule whose total differs from its rows was copied in part.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from methodpick.errors import Place
from methodpick.imports.input_formats import MOST_QUOTED, DoubtBook, ImportDoubt
from methodpick.imports.table_columns import normal
from methodpick.imports.table_headings import HeadedTable
from methodpick.patterns import pattern_of
from methodpick.records import record

HEADINGS_AGAIN = "the headings again"
TOTALS = "a row of totals"
NOTE = "a note beside the table"

_TOTALS = pattern_of(r"\s*(?:grand |sub)?[ -]?totals?\b|\s*sums?\b", re.IGNORECASE)
_NOTE = pattern_of(r"\s*(?:\(?(?:notes?|n\.b\.|legend|remarks?)\b|\*|\(?\d{1,2}[.)]\s+[A-Za-z])", re.IGNORECASE)
_WORDS_OF_A_NOTE = 5
_DIGITS = pattern_of(r"\d{1,6}(?:\.0*)?")


@record
class Aside:
    """A row that is no entry: why, its words, and the count that a row of totals states."""

    why: str
    words: str
    count: int | None = None


def why_no_entry(table: HeadedTable, headings: Mapping[int, str], row: tuple[Any, ...], so_far: int) -> Aside | None:
    """Return why a row is no entry of its table, None where it is one; ``so_far`` is the count of what stands above it.

    ``headings`` are those of :func:`plain_headings`.

    Only a row that lacks all that an entry cannot do without, but for a name, is taken for totals or a note.
    """
    filled = [(index, cell) for index, cell in enumerate(row) if cell is not None]
    words = " ".join(" ".join(str(cell) for _, cell in filled).split())
    if _repeats(headings, filled):
        return Aside(HEADINGS_AGAIN, words)
    needed = [heading for heading in table.headings if heading.column is not None and _needed(heading.column.name)]
    if table.sheet.name != "shafts" or not needed or any(_cell(row, heading.index) is not None for heading in needed):
        return None
    texts = [cell for _, cell in filled if isinstance(cell, str) and not _DIGITS.fullmatch(cell)]
    count = _count(table, row)
    if any(_TOTALS.match(text) for text in texts) or (not texts and count is not None and count == so_far):
        return Aside(TOTALS, words, count)
    if len(texts) == len(filled) == 1 and (_NOTE.match(texts[0]) or len(texts[0].split()) >= _WORDS_OF_A_NOTE):
        return Aside(NOTE, words)
    return None


def _needed(name: str) -> bool:
    """Return whether every shaft has a value in a column, whatever its totals have."""
    return name in ("diameter", "tip", "tip_elevation")


def _cell(row: tuple[Any, ...], index: int) -> Any:
    return row[index] if index < len(row) else None


def plain_headings(table: HeadedTable) -> dict[int, str]:
    """Return the plain words of each heading by its column, a blank on either side."""
    return {heading.index: f" {normal(heading.text)} " for heading in table.headings}


def _repeats(headings: Mapping[int, str], filled: list[tuple[int, Any]]) -> bool:
    """Return whether all cells of a row, two at least, stand in the headings of their columns: a table goes on, on the next sheet."""
    words = [(index, normal(cell)) for index, cell in filled if isinstance(cell, str)]
    return len(words) == len(filled) > 1 and all(word and f" {word} " in headings.get(index, "") for index, word in words)


def _count(table: HeadedTable, row: tuple[Any, ...]) -> int | None:
    """Return the whole number in the column of the count, None where there is none."""
    for heading in table.headings:
        if heading.column is not None and heading.column.name == "count":
            found = _DIGITS.fullmatch(str(_cell(row, heading.index)).strip())
            return int(float(found[0])) if found else None
    return None


class RowsBeside:
    """Sets aside the rows of a table that are none of its entries, with a note each, and holds totals against the entries."""

    def __init__(self, table: HeadedTable, book: DoubtBook) -> None:
        self.table, self.book = table, book
        self.reasons: dict[str, int] = {}
        self.total = self.since = 0
        self.headings = plain_headings(table)
        self.support: Any = None
        self.support_told = False

    @property
    def rows(self) -> int:
        """Return how many rows were set aside."""
        return sum(self.reasons.values())

    def takes(self, row: tuple[Any, ...], place: Place) -> bool:
        """Return whether a row is no entry; it is set aside then."""
        if self.table.sheet.name != "shafts" and not self._may_repeat(row):
            return False
        aside = why_no_entry(self.table, self.headings, row, self.total)
        if aside is None:
            return False
        self.reasons[aside.why] = self.reasons.get(aside.why, 0) + 1
        quoted = aside.words[:MOST_QUOTED]
        if aside.count is not None and aside.count not in (self.total, self.since):
            message = f"the row of totals says {aside.count}, the rows above it add up to {self.total}"
            self.book.found.append(
                ImportDoubt("serious", place, "", None, message, "the rows are followed; is one of them missing?", quoted)
            )
        else:
            self.book.found.append(
                ImportDoubt("note", place, "", None, f"no entry of the table: {aside.why}", "the row is set aside", quoted)
            )
        self.since = 0 if aside.why == TOTALS else self.since
        return True

    def _may_repeat(self, row: tuple[Any, ...]) -> bool:
        """Return whether the first cell of a row stands in the heading of its column; most rows are told by it."""
        for index, cell in enumerate(row):
            if cell is not None:
                return isinstance(cell, str) and f" {normal(cell)} " in self.headings.get(index, "")
        return False

    def count(self, entry: dict[str, Any], place: Place) -> None:
        """Count an entry, and give a shaft without a substructure that of the row above it, as in a cell over several rows."""
        count = entry.get("count")
        number = count if isinstance(count, int) and not isinstance(count, bool) else 1
        self.total, self.since = self.total + number, self.since + number
        if self.table.sheet.name != "shafts":
            return
        if entry.get("substructure") is None and self.support is not None:
            if not self.support_told:
                message = "the row names no substructure"
                action = "it is taken to belong to that of the row above, and so are others below it"
                self.book.found.append(ImportDoubt("note", place, "", None, message, action))
                self.support_told = True
            entry["substructure"] = self.support
        self.support = entry.get("substructure")
