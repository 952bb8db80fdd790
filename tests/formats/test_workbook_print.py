"""The workbook as it prints: text fits its rows, columns fit their pages at a legible size, headings name units."""

from io import BytesIO

import openpyxl
import pytest
from openpyxl.utils import get_column_letter

from methodpick.formats.sheets import PAGE_WIDTH, TOP, workbook_xlsx
from methodpick.tables.site_tables import make_tables

INCHES, CHARACTERS_AN_INCH, POINTS = 10.0, 11.0, 11.0
"""Between the margins of letter paper; of the usual font at full size, some; its letters."""


@pytest.fixture(scope="module")
def book(takeoff):
    sheets = make_tables(takeoff("karst"), "us")
    return openpyxl.load_workbook(BytesIO(workbook_xlsx(sheets, "us", "karst")))


def widths_of(tab):
    """Return the width of every column; neighbours of one width share an entry of the file."""
    return {get_column_letter(at): each.width for each in tab.column_dimensions.values() for at in range(each.min, each.max + 1)}


def printed_columns(tab):
    """Return the widths of the columns of the print area."""
    last = openpyxl.utils.cell.coordinate_from_string(tab.print_area.split(":")[1].replace("$", ""))[0]
    widths = widths_of(tab)
    return [widths[get_column_letter(at)] for at in range(1, openpyxl.utils.column_index_from_string(last) + 1)]


def test_columns_are_printed_at_about_seven_points_or_more(book):
    """A sheet that is wider than a page goes over several, each with the first column."""
    for tab in book:
        widths = printed_columns(tab)
        pages = tab.page_setup.fitToWidth or 1
        on_each = (sum(widths) + (pages - 1) * widths[0]) / pages
        assert on_each <= PAGE_WIDTH * 1.1, tab.title
        assert POINTS * min(1.0, INCHES * CHARACTERS_AN_INCH / on_each) >= 6.6, tab.title
        assert tab.print_title_cols == "$A:$A"
        assert tab.print_title_rows == f"${TOP}:${TOP}"
        assert tab.oddFooter.right.text == "Page &P of &N"


def test_words_are_wrapped_and_rows_are_as_high_as_their_words(book):
    for tab in book:
        widths = widths_of(tab)
        for row in tab.iter_rows(min_row=TOP, max_row=min(tab.max_row, 60)):
            texts = [cell for cell in row if isinstance(cell.value, str) and not cell.value.startswith("=")]
            for cell in texts:
                assert cell.alignment.wrap_text, cell.coordinate
                lines = len(cell.value) / widths[cell.column_letter]
                height = tab.row_dimensions[cell.row].height or 15.0
                assert height >= 13.0 * lines - 0.5, (tab.title, cell.coordinate)


def test_numbers_have_thousands_and_headings_their_units(book):
    tab = book["casing_schedule"]
    heads = {cell.value: cell.column_letter for cell in tab[TOP]}
    mass = next(letter for head, letter in heads.items() if head.startswith("mass"))
    assert "mass, lb" in heads
    assert tab[f"{mass}{TOP + 1}"].number_format.startswith("#,##0")
