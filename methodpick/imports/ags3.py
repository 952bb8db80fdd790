"""AGS3 (edition 3, and the like-minded one of 07/94) to the tables of a log, under the names of AGS4.

Grammar, seen in public files: ``"**GEOL"`` opens a group, ``"*HOLE_ID"`` names its columns over one or more lines,
``"<UNITS>"`` gives their units, ``"<CONT>"`` goes on with the cells of the row above, letter by letter; everything else is a row.
A group may stand twice, with columns of the user's own (marked ?) the second time: such rows complete the first ones.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from methodpick.errors import InputError, Problem
from methodpick.imports.ags3_names import GROUPS_READ, renamed
from methodpick.imports.input_formats import DoubtBook, Imported
from methodpick.imports.log_borings import borings_of
from methodpick.imports.log_tables import LEFT_OUT, DataRow, Tables, doubt_length, read_text
from methodpick.imports.quoted_records import QuotedRecord, records

_BEGINS = re.compile(r'"(?!\s*,|\s*$)')
_IS_AGS3 = re.compile(r'^\s*"\*\*\??[A-Z]', re.MULTILINE)


def read_ags3(source: Path | str, name: str | None = None) -> Imported:
    r"""Read the borings of an AGS3 file (Path) or text (str), with a doubt for everything that is not clear.

    Raises InputError where it is no AGS3 file or names no boring.

    >>> text = '"**HOLE"\n"*HOLE_ID","*HOLE_FDEP"\n"<UNITS>","m"\n"BH1","9.5"\n'
    >>> read_ags3(text).profiles[0].depth_m
    9.5
    """
    name = name or (source.name if isinstance(source, Path) else "")
    return borings_of(read_ags3_tables(source, name), "AGS3 file", "groups HOLE and GEOL with rows", read=GROUPS_READ)


def read_ags3_tables(source: Path | str, name: str | None = None) -> Tables:
    """Read an AGS3 file (Path) or text (str) into the tables of a log, under the names of AGS4.

    Raises InputError where it is no regular file, cannot be read, is too large, empty or no AGS3.
    """
    file = name or (str(source) if isinstance(source, Path) else "the text")
    text, content = read_text(source, file, "an AGS3 file")
    if not _IS_AGS3.search(text):
        raise InputError(Problem(f"{file}: no group line is in it, so it is not AGS3", expected='lines such as "**HOLE"'))
    book = DoubtBook(file)
    groups = _Ags3Reader(book).read(records(text, _BEGINS))
    in_file = {name: len(group.rows) + group.merged for name, group in groups.items()}
    tables: dict[str, list[DataRow]] = {}
    for group in groups.values():
        for canonical, row in renamed(group.name, group.rows, book):
            tables.setdefault(canonical, []).append(row)
    return Tables({group: tuple(rows) for group, rows in tables.items()}, book, hashlib.sha256(content).hexdigest(), in_file)


@dataclass(slots=True)
class _OpenRow:
    """A row while it is put together: its line, its cells, and whether an odd count of cells was told already."""

    line: int
    cells: list[str]
    headings: list[str]
    units: dict[str, str]
    text: str


@dataclass(slots=True)
class _Ags3Group:
    name: str
    rows: list[DataRow] = field(default_factory=list)
    by_id: dict[str, DataRow] = field(default_factory=dict)
    merged: int = 0
    """Rows that complete an earlier one."""


class _Ags3Reader:
    """Puts the records of a file together to rows."""

    def __init__(self, book: DoubtBook) -> None:
        self.book = book
        self.groups: dict[str, _Ags3Group] = {}
        self.group: _Ags3Group | None = None
        self.headings: list[str] = []
        self.units: dict[str, str] = {}
        self.unit_cells: list[str] = []
        self.open: _OpenRow | None = None
        self.state = "rows"

    def read(self, found: Iterator[QuotedRecord]) -> dict[str, _Ags3Group]:
        """Return the groups of the file with their rows."""
        for record in found:
            first = record.fields[0].strip()
            if first.startswith("**"):
                self._begin(first)
            elif self.group is None:
                self.book.add(record.line, "the line stands in no group", LEFT_OUT, quoted=record.text.strip())
            elif first.startswith("*"):
                self._name_columns(record.fields)
            elif first.upper() == "<UNITS>":
                self._give_units(record.fields)
            elif first.upper() == "<CONT>":
                self._continue(record)
            elif self._goes_on_with_units(record.fields):
                self._give_units(["", *record.fields] if self.state == "units" else record.fields, more=True)
            else:
                self._row(record)
        self._close()
        return self.groups

    def _begin(self, first: str) -> None:
        self._close()
        name = first.lstrip("*").lstrip("?").strip().upper()
        self.group = self.groups.setdefault(name, _Ags3Group(name))
        self.headings, self.units, self.unit_cells, self.state = [], {}, [], "headings"

    def _name_columns(self, fields: list[str]) -> None:
        """Add columns; a line that ends with a comma leaves an empty last cell, which names none."""
        self._close()
        names = [cell.strip().lstrip("*").lstrip("?").strip().upper() for cell in fields]
        while names and not names[-1]:
            names.pop()
        self.headings += names
        self.state = "headings"

    def _give_units(self, fields: list[str], *, more: bool = False) -> None:
        """Read the units; the first cell, <UNITS>, stands for the first column. They too run over several lines."""
        cells = fields[1:] if more else ["", *fields[1:]]
        if cells and not cells[-1].strip() and len(self.unit_cells) + len(cells) != len(self.headings):
            cells = cells[:-1]
        self.unit_cells += cells
        self.units = dict(zip(self.headings, (cell.strip() for cell in self.unit_cells), strict=False))
        self.state = "units"

    def _goes_on_with_units(self, fields: list[str]) -> bool:
        """Return whether a line is the rest of the units: those before it are too few, and it brings just the cells that lack."""
        lacking = len(self.headings) - len(self.unit_cells)
        return self.state == "units" and lacking > 0 and len(fields) in (lacking, lacking + 1) and all(len(cell) <= 12 for cell in fields)

    def _row(self, record: QuotedRecord) -> None:
        self._close()
        self.state = "rows"
        if not self.headings:
            self.book.add(record.line, "a row stands before the headings of its group", LEFT_OUT, quoted=record.text.strip())
            return
        self.open = _OpenRow(record.line, list(record.fields), self.headings, self.units, record.text)

    def _continue(self, record: QuotedRecord) -> None:
        """Join the cells of a <CONT> line to those of the row above, as they stand: texts break in the middle of a word."""
        row = self.open
        if row is None:
            self.book.add(record.line, "a line goes on with no row", LEFT_OUT, quoted=record.text.strip())
            return
        cells = ["", *record.fields[1:]]
        row.cells += [""] * (len(cells) - len(row.cells))
        for index, cell in enumerate(cells):
            if cell:
                row.cells[index] += cell

    def _close(self) -> None:
        """Take the row that is open into its group, or into the earlier row of the same hole where the group stands twice."""
        row, group, self.open = self.open, self.group, None
        if row is None or group is None:
            return
        cells = row.cells
        made = DataRow(group.name, row.line, dict(zip(row.headings, cells, strict=False)), row.units, self.book)
        if len(cells) < len(row.headings) or any(cell.strip() for cell in cells[len(row.headings) :]):
            doubt_length(made, len(cells), len(row.headings), row.text)
        earlier = group.by_id.get(made.text("HOLE_ID")) if group.name == "HOLE" else None
        if earlier is not None and not any(made.text(heading) and earlier.text(heading) for heading in made.values if heading != "HOLE_ID"):
            earlier.values.update({heading: cell for heading, cell in made.values.items() if cell.strip()})
            group.merged += 1
            return
        group.by_id.setdefault(made.text("HOLE_ID"), made)
        group.rows.append(made)
