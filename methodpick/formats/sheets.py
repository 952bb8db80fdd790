"""The sheets, the takeoff among them, and a form to fill in, as CSV and as one XLSX workbook; no cell can become a formula.

The workbook has formulas with values beside them, and the same bytes for the same sheets.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from io import BytesIO, StringIO
from typing import Any
from unicodedata import normalize

from methodpick.blank_form import FormSheet
from methodpick.collector import collector_paused
from methodpick.document.record import CLOSING, loosened_lines
from methodpick.errors import printable
from methodpick.formats.printed_sheet import LINE_HEIGHT, TALLEST, TITLE_SIZE, PrintedSheet, laid_out, lines_of, page_starts
from methodpick.resources import need
from methodpick.site.result import Takeoff
from methodpick.tables.cells import (
    Cell,
    CellRange,
    CellRef,
    FormulaCell,
    MissingCell,
    NumberCell,
    SheetNumbers,
    WordsCell,
    Worksheet,
    plain,
)
from methodpick.tables.factors import make_factors
from methodpick.tables.takeoff import takeoff_table
from methodpick.terms import UnitSystem

# ---- as CSV


_RISKY = ("=", "+", "-", "@", "\t", "\r", "\n")
_UNSEEN = " \ufeff\u200b\u200c\u200d\u200e\u200f\u2060"
"""Signs that show as nothing; blanks of other widths become the plain one before."""


def sheet_csv(sheet: Worksheet) -> str:
    """Return a sheet: headings with units, then the rows; what only serves formulas is left out.

    Warnings stand above the headings, a row each.
    """
    kept = [index for index, column in enumerate(sheet.columns) if not column.live]
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows([defused(warning)] for warning in sheet.warnings)
    writer.writerow([defused(sheet.columns[index].head) for index in kept])
    writer.writerows([_cell(row[index]) for index in kept] for row in sheet.rows)
    return out.getvalue()


def takeoff_csv(takeoff: Takeoff, units: UnitSystem = "si") -> str:
    """Return the sums of a takeoff, the lines of the site, and those of one shaft each (``alike`` says how many stand behind it).

    Numbers have 3 decimals. A text that a spreadsheet would take for a formula has an apostrophe before it.
    """
    numbers = SheetNumbers(units)
    sheet = takeoff_table(takeoff, make_factors(takeoff, numbers), numbers)
    return sheet_csv(replace(sheet, warnings=tuple(loosened_lines(takeoff.site.plan, units))))


def _cell(cell: Cell) -> str:
    return plain(cell) if isinstance(cell, (NumberCell, FormulaCell)) else defused(plain(cell))


def defused(text: str) -> str:
    r"""Return a text that no spreadsheet takes for a formula, on one line.

    Signs of full width and such count as the plain ones that some programs turn them into; blanks before them do not hide them.

    >>> defused("=HYPERLINK(1)"), defused("P1"), defused(" -3"), defused("\rx")
    ("'=HYPERLINK(1)", 'P1', "' -3", "' x")
    >>> defused("\uff1d1+1")
    "'\uff1d1+1"
    """
    if text.isascii() and text.isprintable():  # most texts are, and need no look at their signs
        return f"'{text}" if text.lstrip().startswith(_RISKY) else text
    text = printable(text)
    line = " ".join(text.replace("\r\n", "\n").splitlines())
    seen = normalize("NFKC", text).lstrip(_UNSEEN)
    return f"'{line}" if seen.startswith(_RISKY) or seen.strip().startswith(_RISKY) else line


def form_csv(sheet: FormSheet) -> str:
    """Return a sheet of the form as CSV; a text that a spreadsheet would take for a formula has an apostrophe before it."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([column.heading for column in sheet.columns])
    writer.writerows([[defused(cell) if isinstance(cell, str) else cell for cell in row] for row in sheet.rows])
    return out.getvalue()


# ---- as a workbook


TOP = 3
"""Rows over the first row of cells: title, notes, headings."""
_DATE = datetime(2000, 1, 1)  # noqa: DTZ001 - a date of the file format, which has no zone
_LONGEST = 32767
"""No cell holds a longer text, by the file format."""


@collector_paused()
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
    elsewhere = SEE_CAUTIONS if any(sheet.name == CAUTIONS for sheet in sheets) else CLOSING
    for sheet in sheets:
        _write_sheet(book.add_worksheet(sheet.name), sheet, formats, units, "" if sheet.name == CAUTIONS else elsewhere)
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
        self.note = book.add_format({"italic": True, "text_wrap": True, "valign": "top"})
        self.warning = book.add_format({"bold": True, "font_color": "#C00000", "text_wrap": True, "valign": "top"})
        head = {"bold": True, "text_wrap": True, "valign": "top", "bottom": 1, "bg_color": "#E7E6E6"}
        self.head_of_words = book.add_format({**head, "align": "left", "indent": 1})
        self.head_of_numbers = book.add_format({**head, "align": "right"})
        self.wrapped = book.add_format({"valign": "top", "text_wrap": True, "align": "left", "indent": 1})
        self.missing = book.add_format({"bg_color": "#F8CBAD", "border": 2})
        self._numbers: dict[tuple[int, bool, bool], Any] = {}

    def number(self, digits: int, *, given: bool, unknown: bool = False) -> Any:
        """Return the look of a number; one that the reader may set is coloured, of one that lacks a number 0 is a question mark."""
        if (digits, given, unknown) not in self._numbers:
            written = "#,##0" + ("." + "0" * min(digits, FIRM) + "#" * (digits - FIRM) if digits else "")
            look = {"valign": "top", "num_format": f'{written};-{written};"?"' if unknown else written}
            self._numbers[digits, given, unknown] = self.book.add_format({**look, "bg_color": "#FFF2CC", "border": 1} if given else look)
        return self._numbers[digits, given, unknown]


FIRM = 2
"""Decimals that a number always shows; of more only those that are not nought."""


CAUTIONS = "cautions"
SEE_CAUTIONS = "See the sheet 'cautions'."


def _write_sheet(tab: Any, sheet: Worksheet, formats: _Formats, units: UnitSystem, last_note: str) -> None:
    """Write one sheet into its tab; every text as a text, never as what it might look like."""
    layout = laid_out(sheet)
    notes = defused(" ".join(filter(None, (*sheet.warnings, *sheet.notes, last_note))))[:_LONGEST]
    _write_title(tab, sheet, notes, layout, formats)
    tab.set_row(TOP - 1, _row_height([lines_of(column.head, wide) for column, wide in zip(sheet.columns, layout.widths, strict=True)]))
    for index, column in enumerate(sheet.columns):
        numbers = any(isinstance(row[index], (int, NumberCell, FormulaCell, MissingCell)) for row in sheet.rows)
        tab.set_column(index, index, layout.widths[index])
        tab.write_string(TOP - 1, index, defused(column.head), formats.head_of_numbers if numbers else formats.head_of_words)
    for number, row in enumerate(sheet.rows):
        tab.set_row(number + TOP, _row_height([lines_of(cell, layout.widths[at]) for at, cell in enumerate(row) if isinstance(cell, str)]))
        for index, cell in enumerate(row):
            _write_cell(tab, (number + TOP, index), cell, sheet.name, formats)
    tab.freeze_panes(TOP, 1)
    if sheet.rows:
        tab.autofilter(TOP - 1, 0, TOP - 1 + len(sheet.rows), len(sheet.columns) - 1)
    tab.set_landscape()
    tab.set_paper(1 if units == "us" else 9)
    last = layout.printed if sheet.rows else layout.titled[1] + 1
    tab.print_area(0, 0, TOP - 1 + len(sheet.rows), last - 1)
    _set_print(tab, layout, rows=bool(sheet.rows))


def _write_title(tab: Any, sheet: Worksheet, notes: str, layout: PrintedSheet, formats: _Formats) -> None:
    begin, end = layout.titled
    look = formats.warning if sheet.warnings else formats.note
    fits = len(sheet.title) * TITLE_SIZE <= layout.widths[0]
    tab.write_string(0, 0 if fits else begin, defused(sheet.title), formats.title)
    if end > begin:
        tab.merge_range(1, begin, 1, end, "", look)
    tab.write_string(1, begin, notes, look)
    tab.set_row(1, _row_height([lines_of(notes, sum(layout.widths[begin : end + 1]))]))


def _set_print(tab: Any, layout: PrintedSheet, *, rows: bool) -> None:
    """Set how a sheet prints: over as many pages side by side as leave it legible, with headings, first column and page numbers on each."""
    tab.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
    tab.fit_to_pages(len(layout.starts) + 1 if rows else 1, 0)
    if layout.starts:
        tab.print_across()
    tab.repeat_rows(TOP - 1)
    tab.repeat_columns(0)
    tab.set_footer("&L&A&RPage &P of &N")


def _row_height(lines: Sequence[int]) -> float:
    return min(TALLEST, LINE_HEIGHT * max(lines, default=1))


def _write_cell(tab: Any, at: tuple[int, int], cell: Cell, sheet: str, formats: _Formats) -> None:
    if isinstance(cell, FormulaCell):
        look = formats.number(_shown(cell), given=False, unknown=cell.unknown)
        tab.write_formula(*at, formula(cell.formula, sheet), look, cell.value)
    elif isinstance(cell, NumberCell):
        tab.write_number(*at, cell.value, formats.number(_shown(cell), given=cell.given))
        if cell.choices:
            tab.data_validation(*at, *at, {"validate": "list", "source": list(cell.choices)})
    elif isinstance(cell, WordsCell):
        tab.write_formula(*at, formula(cell.formula, sheet), formats.wrapped, cell.words)
    elif isinstance(cell, MissingCell):
        tab.write_blank(*at, None, formats.missing)
    elif isinstance(cell, int):
        tab.write_number(*at, cell, formats.number(0, given=False))
    elif cell:
        tab.write_string(*at, defused(cell)[:_LONGEST], formats.wrapped)


def _shown(cell: NumberCell | FormulaCell) -> int:
    return cell.digits if cell.shown is None else cell.shown


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
        book.add_format({"bold": True, "bottom": 1, "valign": "top", "text_wrap": True}),
        book.add_format({"num_format": "@", "align": "left", "indent": 1}),
        book.add_format({"text_wrap": True, "valign": "top"}),
    )
    for sheet in sheets:
        tab = book.add_worksheet(sheet.name)
        widths = [_form_width(sheet, index) for index in range(len(sheet.columns))]
        _write_form_heads(tab, sheet, widths, (bold, wrapped if sheet.name == EXPLANATIONS else text))
        for number, row in enumerate(sheet.rows, 1):
            if sheet.name == EXPLANATIONS:
                words = [lines_of(cell, wide) for cell, wide in zip(row, widths, strict=True) if isinstance(cell, str)]
                tab.set_row(number, _row_height(words))
            for index, cell in enumerate(row):
                if isinstance(cell, str) and cell:
                    tab.write_string(number, index, cell, wrapped if sheet.name == EXPLANATIONS else text)
                elif isinstance(cell, (int, float)):
                    tab.write_number(number, index, cell)
        _set_form_print(tab, widths)
    book.close()
    return out.getvalue()


EXPLANATIONS = "explanations"
"""The sheet of a form that explains the others."""
WORDED, WIDE, WIDEST = frozenset({"meaning", "description", "text", "remark", "one of"}), 60, 28
"""Columns of words, their width, and the most that another takes."""


def _form_width(sheet: FormSheet, index: int) -> int:
    """Return the width of a column of a form, as wide as what stands in it."""
    heading = sheet.columns[index].heading
    longest = max((len(str(row[index])) for row in sheet.rows if index < len(row)), default=0)
    return WIDE if heading in WORDED else max(12, len(heading) + 2, min(WIDEST, longest + 2))


def _write_form_heads(tab: Any, sheet: FormSheet, widths: Sequence[int], looks: tuple[Any, Any]) -> None:
    """Write the headings with what they mean and the words that may stand below; columns with a unit take numbers, others texts."""
    bold, words = looks
    explained = sheet.name == EXPLANATIONS
    tab.freeze_panes(1, 1)
    for index, column in enumerate(sheet.columns):
        tab.set_column(index, index, widths[index], words if explained or "(" not in column.heading else None)
        tab.write_string(0, index, column.heading, bold)
        if column.meaning and not explained:
            tab.write_comment(0, index, column.meaning)
        if column.choices and len(",".join(column.choices)) <= _LONGEST_LIST:
            tab.data_validation(1, index, MOST_FILLED, index, {"validate": "list", "source": list(column.choices), "error_type": "warning"})


def _set_form_print(tab: Any, widths: Sequence[float]) -> None:
    """Set how a sheet of a form prints: as a sheet of a site does."""
    tab.set_landscape()
    tab.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
    tab.fit_to_pages(len(page_starts(widths)) + 1, 0)
    tab.repeat_rows(0)
    tab.repeat_columns(0)
    tab.set_footer("&L&A&RPage &P of &N")
