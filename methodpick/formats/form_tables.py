"""A form to fill in, as a workbook with lists to choose from, or as CSV files."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from io import BytesIO, StringIO

from methodpick.blank_form import FormSheet
from methodpick.resources import need

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
        for number, row in enumerate(sheet.examples, 1):
            for index, cell in enumerate(row):
                if isinstance(cell, str) and cell:
                    tab.write_string(number, index, cell, wrapped if explained else text)
                elif isinstance(cell, (int, float)):
                    tab.write_number(number, index, cell)
    book.close()
    return out.getvalue()


def form_csv(sheet: FormSheet) -> str:
    """Return a sheet of the form as CSV."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([column.heading for column in sheet.columns])
    writer.writerows([["" if cell is None else cell for cell in row] for row in sheet.examples])
    return out.getvalue()
