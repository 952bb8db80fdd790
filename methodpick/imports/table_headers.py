"""The headings of a table: which row they stand in, which column of the site file each one means, and in which unit."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any

from methodpick import units
from methodpick.imports.table_cells import CellSheet
from methodpick.imports.table_columns import TableColumn, TableSheet, column_named, normal

MOST_ABOVE = 15
"""Rows of titles and notes that may stand above the headings (own value)."""
_UNIT_AT_END = re.compile(
    r"^(.*?)(?:[\s_,]*[(\[{]\s*([^()\[\]{}]*?)\s*[)\]}]|[,_]\s*([A-Za-z/%0-9\"']+\.?)|\s([A-Za-z/0-9]+\.?))\s*$", re.DOTALL
)


@dataclass(frozen=True, slots=True)
class TableHeading:
    """A heading of a table: its place, its text, the column that it means (None where it means none), its unit."""

    index: int
    text: str
    column: TableColumn | None
    unit: str = ""


@dataclass(frozen=True, slots=True)
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
    """Return a table with its headings; the row that names most columns is that of the headings. None where no row names two."""
    best: tuple[int, int, tuple[TableHeading, ...]] | None = None
    for at, (_, row) in enumerate(cells.rows[:MOST_ABOVE]):
        headings = tuple(_heading(index, str(cell), sheet) for index, cell in enumerate(row) if isinstance(cell, str))
        known = len({heading.column.name for heading in headings if heading.column is not None})
        if known >= min(2, len(sheet.columns)) and (best is None or known > best[0]):
            best = (known, at, headings)
    if best is None:
        return None
    _, at, headings = best
    rows = cells.rows[at + 1 :]
    if rows and (in_row := _units_row(rows[0][1], headings)) is not None:
        headings, rows = in_row, rows[1:]
    return HeadedTable(sheet, cells, cells.rows[at][0], headings, rows)


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
