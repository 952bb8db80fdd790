"""The headings of a table: the rows they stand in, the column that each one means, its unit.

A heading on a drawing stands in up to three rows: its words one below the other (SHAFT over NO.), a unit below them, or one
word over several columns (ELEVATION over TOP and TIP). All of a column is read together; a word that stands over several
columns is never left out, so that a level is not taken for a depth, nor the size of a casing for that of the shaft.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from methodpick import units
from methodpick.imports.table_cells import CellSheet
from methodpick.imports.table_columns import TableColumn, TableSheet, column_named, normal, sheets
from methodpick.patterns import pattern_of
from methodpick.records import record

MOST_ABOVE = 15
"""Rows of titles and notes that may stand above the headings (own value)."""
_UNIT_AT_END = pattern_of(
    r"^(.*?)(?:[\s_,]*[(\[{]\s*([^()\[\]{}]*?)\s*[)\]}]|[,_]\s*([A-Za-z/%0-9\"']+\.?)|\s([A-Za-z/0-9]+\.?))\s*$", re.DOTALL
)


@record
class TableHeading:
    """A heading of a table: its place, its text, the column that it means (None where it means none), its unit."""

    index: int
    text: str
    column: TableColumn | None
    unit: str = ""


@record
class HeadedTable:
    """A table with its headings understood: the row of the headings, the headings, and the rows below them."""

    sheet: TableSheet
    cells: CellSheet
    row: int
    headings: tuple[TableHeading, ...]
    rows: tuple[tuple[int, tuple[Any, ...]], ...]

    def understood(self) -> str:
        """Return in words which heading was taken for which column, and in which unit; of columns that hold something."""
        filled = {index for _, row in self.rows for index, cell in enumerate(row) if cell is not None}
        known = [
            f"{heading.column.name} <- '{' '.join(heading.text.split())}'" + (f" in {heading.unit}" if heading.unit else "")
            for heading in self.headings
            if heading.column is not None and heading.index in filled
        ]
        return f"{self.cells.file}: sheet {self.sheet.name}, headings in row {self.row}: {', '.join(known)}"


def head(cells: CellSheet, sheet: TableSheet) -> HeadedTable | None:
    """Return a table with its headings; the row, or rows, that name most columns are those of the headings. None where none names two."""
    best: tuple[tuple[int, int], int, int, tuple[TableHeading, ...]] | None = None
    for at in range(min(MOST_ABOVE, len(cells.rows))):
        for deep in range(1, MOST_STACKED + 1):
            rows = [row for _, row in cells.rows[at : at + deep]]
            if len(rows) < deep or (deep > 1 and not _may_head(rows[-1])):
                break
            headings = _stacked(rows, sheet) if deep > 1 else _row_of_headings(rows[0], sheet)
            known = len({heading.column.name for heading in headings if heading.column is not None})
            score = known, sum(bool(heading.unit) for heading in headings)
            if known >= min(2, len(sheet.columns)) and (best is None or score > best[0]):
                best = (score, at, deep, headings)
    if best is None:
        return None
    _, at, deep, headings = best
    rows_below = cells.rows[at + deep :]
    if rows_below and (in_row := _units_row(rows_below[0][1], headings)) is not None:
        headings, rows_below = in_row, rows_below[1:]
    return HeadedTable(sheet, cells, cells.rows[at][0], _with_substructure(headings, sheet), rows_below)


def _row_of_headings(row: tuple[Any, ...], sheet: TableSheet) -> tuple[TableHeading, ...]:
    return tuple(_heading(index, str(cell), sheet) for index, cell in enumerate(row) if isinstance(cell, str))


# ---- headings in several rows


MOST_STACKED = 3
"""Rows that one heading stands in at most (own value)."""
_LEVEL_WORDS = frozenset({"el", "els", "elev", "elevs", "elevation", "elevations", "level", "levels", "rl"})
_OF_THE_SHAFT = frozenset({"shaft", "shafts", "drilled shaft", "drilled shafts", "pier", "pile"})
"""Words over several columns that add nothing to those below them."""


def _may_head(row: tuple[Any, ...]) -> bool:
    """Return whether a row may go on the headings above it: it holds words and no number."""
    return all(cell is None or (isinstance(cell, str) and not _NUMBER.match(cell)) for cell in row)


_NUMBER = pattern_of(r"\s*[-+]?\.?\d")


def _stacked(rows: Sequence[tuple[Any, ...]], sheet: TableSheet) -> tuple[TableHeading, ...]:
    """Return the headings of several rows, each column read from the top down."""
    found = []
    over = ""
    for index in range(max(map(len, rows))):
        parts = [row[index] if index < len(row) else None for row in rows]
        if any(part is not None and not isinstance(part, str) for part in parts):
            continue
        over = parts[0] or over
        below = " ".join(part for part in parts[1:] if part)
        if parts[0] or below:
            found.append(_below(index, over, below, sheet, own=bool(parts[0])))
    return tuple(found)


def _below(index: int, over: str, below: str, sheet: TableSheet, *, own: bool) -> TableHeading:
    """Return the heading of a column from what stands over it, ``own`` or over a column to its left, and what stands below that."""
    if not below or not over:
        return _heading(index, over or below, sheet)
    word, unit = _without_unit(over)
    if normal(word) in _LEVEL_WORDS:
        core, inner = _without_unit(below)
        bracket = inner or unit
        level = _heading(index, f"{core} elevation" + (f" ({bracket})" if bracket else ""), sheet)
        return replace(level, text=f"{over} {below}")
    joined = _heading(index, f"{over} {below}", sheet)
    if joined.column is not None or own or normal(word) not in _OF_THE_SHAFT:
        return joined
    return _heading(index, below, sheet)


def _without_unit(text: str) -> tuple[str, str]:
    """Return a heading without the unit in brackets at its end, and that unit.

    >>> _without_unit("ELEVATION (FT)"), _without_unit("TOP")
    (('ELEVATION', 'FT'), ('TOP', ''))
    """
    match = _UNIT_AT_END.match(text.strip())
    return (match[1], match[2]) if match is not None and match[2] is not None else (text.strip(), "")


_SUBSTRUCTURES = frozenset({"pier", "bent", "abutment", "foundation", "footing", "structure", "support", "pier no", "bent no"})


def _with_substructure(headings: tuple[TableHeading, ...], sheet: TableSheet) -> tuple[TableHeading, ...]:
    """Return the headings with PIER beside SHAFT taken for the substructure: alone either one names the shaft."""
    named = [heading for heading in headings if heading.column is not None and heading.column.name == "id"]
    larger = [heading for heading in named if normal(heading.text) in _SUBSTRUCTURES]
    column = next((column for column in sheet.columns if column.name == "substructure"), None)
    has_one = any(heading.column is not None and heading.column is column for heading in headings)
    if column is None or has_one or len(larger) != 1 or len(named) < 2:
        return headings
    return tuple(replace(heading, column=column) if heading is larger[0] else heading for heading in headings)


# ---- one heading and its unit


def _heading(index: int, text: str, sheet: TableSheet) -> TableHeading:
    """Return a heading as a whole where it is a name, else without the unit at its end."""
    if (column := column_named(sheet, text)) is not None:
        return TableHeading(index, text, column)
    match = _UNIT_AT_END.match(text.strip())
    if match is None:
        return TableHeading(index, text, None)
    unit = next((part for part in match.groups()[1:] if part), "")
    column = column_named(sheet, match[1])
    if column is None:
        return TableHeading(index, text, None)
    known = unit_of(unit, column)
    bracketed = match[2] is not None
    return TableHeading(index, text, column if known or bracketed else None, known)


def means_water_level(text: str) -> bool:
    """Return whether a heading of another table tells the depth of water; "level" alone may be that of the ground."""
    column = _heading(0, text, sheets()["water"]).column
    return column is not None and column.name == "depth" and any(word in normal(text) for word in ("water", "gw", "wl", "dtw"))


def unit_of(text: str, column: TableColumn) -> str:
    """Return the name of a unit that fits a column, empty where the text names none that does.

    >>> from methodpick.imports.table_columns import sheets
    >>> unit_of("FT.", sheets()["layers"].columns[1]), unit_of("kPa", sheets()["layers"].columns[1])
    ('ft', '')
    """
    quantity = column.shape.quantity
    if quantity is None or not text.strip():
        return ""
    try:
        return units.name_of(text.strip(), quantity.inside)
    except ValueError:
        return ""


def _units_row(row: tuple[Any, ...], headings: tuple[TableHeading, ...]) -> tuple[TableHeading, ...] | None:
    """Return the headings with the units of a row below them; None where that row holds anything but units."""
    by_index = {heading.index: heading for heading in headings}
    found: dict[int, str] = {}
    for index, cell in enumerate(row):
        if cell is None:
            continue
        heading = by_index.get(index)
        unit = unit_of(str(cell).strip("()[] "), heading.column) if heading is not None and heading.column is not None else ""
        if not unit and normal(str(cell)) not in ("", "unit", "units"):
            return None
        if unit:
            found[index] = unit
    if not found:
        return None
    return tuple(replace(heading, unit=found.get(heading.index, heading.unit)) for heading in headings)
