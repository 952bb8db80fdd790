"""The parts of a sheet: columns, cells, and formulas that name cells of this or another sheet. Numbers are in the reader's units."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, Generic, TypeVar

from methodpick.records import record
from methodpick.unit_markup import NumberWriter

Record = TypeVar("Record")


@record
class NumberCell:
    """A number with its decimals, in a workbook those ``shown``; ``given`` marks what the reader may set, one of the ``choices`` if any."""

    value: float
    digits: int = 3
    given: bool = False
    shown: int | None = None
    choices: tuple[int, ...] = ()


@record
class CellRef:
    """A cell by its table, row and column, both counted from 0."""

    table: str
    row: int
    column: int


@record
class CellRange:
    """The cells of one column from a row to a row, both counted."""

    table: str
    first: int
    last: int
    column: int


@record
class FormulaCell:
    """A number that a spreadsheet works out: its value now, and the formula in pieces, without the sign of equality.

    One that is ``unknown`` lacks a number that nobody gave: it is 0 to a spreadsheet, blank as a text and never a price of nothing.
    ``shown`` are its decimals in a workbook, where they are not those of the text.
    """

    value: float
    formula: tuple[str | CellRef | CellRange, ...]
    digits: int = 3
    unknown: bool = False
    shown: int | None = None


@record
class WordsCell:
    """Words that hang on numbers: those that hold now, and the formula in pieces, without the sign of equality."""

    words: str
    formula: tuple[str | CellRef | CellRange, ...]


@record
class MissingCell:
    """A number that nobody gave: an empty cell, marked for the reader to fill."""


Cell = str | int | NumberCell | FormulaCell | WordsCell | MissingCell | None
SheetRow = tuple[Cell, ...]


@record
class SheetColumn:
    """A column with its unit and its width in characters; ``live`` columns serve formulas and stand in the workbook only."""

    name: str
    unit: str = ""
    width: int = 10
    live: bool = False

    @property
    def head(self) -> str:
        """Return the heading with the unit.

        >>> SheetColumn("tip", "ft").head, SheetColumn("shaft").head
        ('tip, ft', 'shaft')
        """
        return f"{self.name}, {self.unit}" if self.unit else self.name


@record
class Worksheet:
    """A sheet. ``name`` is that of its file and tab; every row is as long as the columns; ``warnings`` stand above the headings."""

    name: str
    title: str
    columns: tuple[SheetColumn, ...]
    rows: tuple[SheetRow, ...]
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


@record
class Field(Generic[Record]):
    """A column of a sheet, and the cell that a record has in it."""

    column: SheetColumn
    cell: Callable[[Record], Cell]


@record
class SheetNumbers(NumberWriter):
    """Writes numbers and sentences in the reader's units, and numbers as cells."""

    def cell(self, value: float | None, unit: str) -> NumberCell | None:
        """Return a number kept inside as a cell; nothing where there is none."""
        return None if value is None else NumberCell(self.cell_value(value, unit) + 0.0, self.cell_digits(unit))

    def shown_digits(self, unit: str) -> int:
        """Return the decimals of a number in a workbook: none of what is counted, else as a sheet writes its unit.

        >>> SheetNumbers("us").shown_digits("1"), SheetNumbers("us").shown_digits("kg"), SheetNumbers("us").shown_digits("m")
        (0, 0, 2)
        """
        return 0 if unit == "1" else self.cell_digits(unit)

    def column(self, name: str, unit: str, width: int = 10) -> SheetColumn:
        """Return a column of numbers with the reader's unit."""
        return SheetColumn(name, self.cell_unit(unit), width)

    def measured(self, name: str, unit: str, value: Callable[[Record], float | None], width: int = 10) -> Field[Record]:
        """Return a field of numbers kept inside in a unit."""
        return Field(self.column(name, unit, width), lambda record: self.cell(value(record), unit))

    def worded(self, name: str, text: Callable[[Record], str], width: int = 10) -> Field[Record]:
        """Return a field of texts."""
        return Field(SheetColumn(name, width=width), lambda record: self.text(text(record)))


def counted(name: str, value: Callable[[Record], int], width: int = 6) -> Field[Record]:
    """Return a field of whole numbers without a unit."""
    return Field(SheetColumn(name, width=width), value)


def blank(name: str, width: int) -> Field[Any]:
    """Return a field that is filled in by hand."""
    return Field(SheetColumn(name, width=width), lambda _: "")


def fill(name: str, title: str, fields: Sequence[Field[Record]], records: Iterable[Record], notes: Iterable[str] = ()) -> Worksheet:
    """Return a sheet with a row for every record.

    >>> fill("tips", "Tips", [counted("shafts", len)], ["ab"]).rows
    ((2,),)
    """
    rows = tuple(tuple(field.cell(record) for field in fields) for record in records)
    return Worksheet(name, title, tuple(field.column for field in fields), rows, tuple(notes))


def gathered(shafts: Sequence[str], rows: Iterable[tuple[int, Sequence[Cell]]]) -> tuple[SheetRow, ...]:
    """Put rows together that differ only in their shaft, which they name by its number; the shafts stand in the first cell.

    >>> gathered(["P1", "P2", "P3", "P4", "P5"], [(0, ["a"]), (1, ["b"]), (2, ["a"]), (3, ["a"]), (4, ["a"])])
    (('P1, P3 to P5', 'a'), ('P2', 'b'))
    """
    found: dict[SheetRow, list[int]] = {}
    for number, row in rows:
        found.setdefault(tuple(row), []).append(number)
    return tuple((_spans(shafts, numbers), *row) for row, numbers in found.items())


_FEW = 3
"""So many neighbours are written as from and to."""


def _spans(shafts: Sequence[str], numbers: Sequence[int]) -> str:
    """Name shafts, neighbours in the order of the site as from and to."""
    spans: list[list[int]] = []
    for number in sorted(set(numbers)):
        if spans and spans[-1][-1] == number - 1:
            spans[-1].append(number)
        else:
            spans.append([number])
    return ", ".join(
        f"{shafts[span[0]]} to {shafts[span[-1]]}" if len(span) >= _FEW else ", ".join(shafts[number] for number in span) for span in spans
    )


def plain(cell: Cell) -> str:
    """Write a cell as text, a number with its decimals.

    >>> plain(NumberCell(2.0)), plain(7), plain(None), plain(FormulaCell(-0.0001, ("1",), 1)), plain(FormulaCell(0.0, ("0",), unknown=True))
    ('2.000', '7', '', '0.0', '')
    """
    if cell is None or isinstance(cell, MissingCell) or (isinstance(cell, FormulaCell) and cell.unknown):
        return ""
    if isinstance(cell, WordsCell):
        return cell.words
    if isinstance(cell, (NumberCell, FormulaCell)):
        text = f"{cell.value:.{cell.digits}f}"
        return text.removeprefix("-") if not text.strip("-0.") else text
    return str(cell)
