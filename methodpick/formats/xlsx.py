"""The sheets as one XLSX workbook, formulas with values beside them, the same bytes for the same sheets; and a form to fill in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from typing import Any

from methodpick.blank_form import FormSheet
from methodpick.document.record import CLOSING
from methodpick.formats.csv import defused
from methodpick.resources import need
from methodpick.tables.cells import Cell, CellRange, CellRef, FormulaCell, MissingCell, NumberCell, Worksheet
from methodpick.terms import UnitSystem

TOP = 3
"""Rows over the first row of cells: title, notes, headings."""
_DATE = datetime(2000, 1, 1)  # noqa: DTZ001 - a date of the file format, which has no zone
_LONGEST = 32767
"""No cell holds a longer text, by the file format."""


def workbook_xlsx(sheets: Sequence[Worksheet], units: UnitSystem, title: str) -> bytes:
    """Return the workbook. Raises InputError without the extra ``xlsx``."""
    writer = need("xlsxwriter", "xlsx", "an XLSX workbook")
    out = BytesIO()
    book = writer.Workbook(
        out,
        {
            "in_memory": True,
            "strings_to_formulas": False,
            "strings_to_urls": False,
            "strings_to_numbers": False,
            "nan_inf_to_errors": False,
        },
    )
    book.set_properties({"title": defused(title), "comments": CLOSING, "created": _DATE})
    book.set_calc_mode("auto")
    formats = _Formats(book)
    for sheet in sheets:
        _write_sheet(book.add_worksheet(sheet.name), sheet, formats, units)
    book.close()
    return out.getvalue()


def place(row: int, column: int) -> str:
    """Return the name of a cell of a table in its sheet, fixed.

    >>> place(0, 0), place(9, 27)
    ('$A$4', '$AB$13')
    """
    letters = ""
    rest = column + 1
    while rest:
        rest, digit = divmod(rest - 1, 26)
        letters = chr(ord("A") + digit) + letters
    return f"${letters}${row + TOP + 1}"


def formula(pieces: Sequence[str | CellRef | CellRange], here: str) -> str:
    """Write a formula; cells of its own sheet without the name of the sheet.

    >>> formula(("SUM(", CellRange("cost", 0, 2, 1), ")*", CellRef("factors", 0, 2)), "cost")
    '=SUM($B$4:$B$6)*factors!$C$4'
    """
    texts = []
    for piece in pieces:
        if isinstance(piece, str):
            texts.append(piece)
            continue
        if isinstance(piece, CellRef):
            cells = place(piece.row, piece.column)
        else:
            cells = f"{place(piece.first, piece.column)}:{place(piece.last, piece.column)}"
        texts.append(cells if piece.table == here else f"{piece.table}!{cells}")
    return "=" + "".join(texts)


class _Formats:
    """The looks of cells, each made once."""

    def __init__(self, book: Any) -> None:
        self.book = book
        self.title = book.add_format({"bold": True, "font_size": 14})
        self.note = book.add_format({"italic": True})
        self.warning = book.add_format({"bold": True, "font_color": "#C00000"})
        self.head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1, "bg_color": "#E7E6E6"})
        self.text = book.add_format({"valign": "top"})
        self.wrapped = book.add_format({"valign": "top", "text_wrap": True})
        self.missing = book.add_format({"bg_color": "#F8CBAD", "border": 2})
        self._numbers: dict[tuple[int, bool], Any] = {}

    def number(self, digits: int, *, given: bool) -> Any:
        """Return the look of a number; one that the reader may set is coloured."""
        if (digits, given) not in self._numbers:
            look = {"valign": "top", "num_format": "#,##0" + ("." + "0" * digits if digits else "")}
            self._numbers[digits, given] = self.book.add_format({**look, "bg_color": "#FFF2CC", "border": 1} if given else look)
        return self._numbers[digits, given]


_WIDE = 40
"""Columns from this width on are wrapped."""


def _write_sheet(tab: Any, sheet: Worksheet, formats: _Formats, units: UnitSystem) -> None:
    """Write one sheet into its tab; every text as a text, never as what it might look like."""
    first = () if sheet.name == "cautions" else ("See the sheet 'cautions'.",)
    tab.write_string(0, 0, defused(sheet.title), formats.title)
    tab.write_string(
        1, 0, defused(" ".join((*sheet.warnings, *sheet.notes, *first)))[:_LONGEST], formats.warning if sheet.warnings else formats.note
    )
    for index, column in enumerate(sheet.columns):
        tab.set_column(index, index, column.width)
        tab.write_string(TOP - 1, index, defused(column.head), formats.head)
    for number, row in enumerate(sheet.rows):
        for index, cell in enumerate(row):
            _write_cell(tab, (number + TOP, index), cell, sheet, formats)
    tab.freeze_panes(TOP, 1)
    if sheet.rows:
        tab.autofilter(TOP - 1, 0, TOP - 1 + len(sheet.rows), len(sheet.columns) - 1)
    tab.set_landscape()
    tab.set_paper(1 if units == "us" else 9)
    tab.fit_to_pages(1, 0)
    tab.repeat_rows(TOP - 1)


def _write_cell(tab: Any, at: tuple[int, int], cell: Cell, sheet: Worksheet, formats: _Formats) -> None:
    if isinstance(cell, FormulaCell):
        tab.write_formula(*at, formula(cell.formula, sheet.name), formats.number(cell.digits, given=False), cell.value)
    elif isinstance(cell, NumberCell):
        tab.write_number(*at, cell.value, formats.number(cell.digits, given=cell.given))
    elif isinstance(cell, MissingCell):
        tab.write_blank(*at, None, formats.missing)
    elif isinstance(cell, int):
        tab.write_number(*at, cell, formats.number(0, given=False))
    elif cell:
        wide = sheet.columns[at[1]].width >= _WIDE
        tab.write_string(*at, defused(cell)[:_LONGEST], formats.wrapped if wide else formats.text)


MOST_FILLED = 2000
"""Rows below the headings for which the workbook offers its lists."""
_LONGEST_LIST = 255
"""Characters that a list of choices of a workbook may have, by the file format."""


def form_workbook(sheets: Sequence[FormSheet]) -> bytes:
    """Return the form as a workbook. Raises InputError without the extra ``xlsx``."""
    writer = need("xlsxwriter", "xlsx", "an XLSX workbook")
    out = BytesIO()
    book = writer.Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False})
    bold, text, wrapped = (
        book.add_format({"bold": True, "bottom": 1}),
        book.add_format({"num_format": "@"}),
        book.add_format({"text_wrap": True}),
    )
    for sheet in sheets:
        tab = book.add_worksheet(sheet.name)
        tab.freeze_panes(1, 1)
        explained = sheet.name == "explanations"
        for index, column in enumerate(sheet.columns):
            as_text = not explained and "(" not in column.heading
            wide = 60 if column.heading in ("meaning", "description", "text", "remark", "one of") else max(12, len(column.heading) + 2)
            tab.set_column(index, index, wide, text if as_text else wrapped if explained else None)
            tab.write_string(0, index, column.heading, bold)
            if column.meaning and not explained:
                tab.write_comment(0, index, column.meaning)
            if column.choices and len(",".join(column.choices)) <= _LONGEST_LIST:
                tab.data_validation(
                    1, index, MOST_FILLED, index, {"validate": "list", "source": list(column.choices), "error_type": "warning"}
                )
        for number, row in enumerate(sheet.rows, 1):
            for index, cell in enumerate(row):
                if isinstance(cell, str) and cell:
                    tab.write_string(number, index, cell, wrapped if explained else text)
                elif isinstance(cell, (int, float)):
                    tab.write_number(number, index, cell)
    book.close()
    return out.getvalue()
