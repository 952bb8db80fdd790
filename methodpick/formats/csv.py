"""A sheet as CSV, the takeoff among them, and a form to fill in; no cell can become a formula."""

from __future__ import annotations

import csv
from dataclasses import replace
from io import StringIO
from unicodedata import normalize

from methodpick.blank_form import FormSheet
from methodpick.document.record import loosened_lines
from methodpick.errors import printable
from methodpick.site.result import Takeoff
from methodpick.tables.cells import Cell, FormulaCell, NumberCell, SheetNumbers, Worksheet, plain
from methodpick.tables.factors import make_factors
from methodpick.tables.takeoff import takeoff_table
from methodpick.terms import UnitSystem

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
