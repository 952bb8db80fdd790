"""The workbook as it prints: text fits its rows, columns fit their pages at a legible size, headings name units."""

from io import BytesIO

import openpyxl
import pytest
from openpyxl.utils import get_column_letter

from methodpick.formats.printed_sheet import PAGE_WIDTH
from methodpick.formats.sheets import TOP, form_workbook, workbook_xlsx
from methodpick.imports.site_forms import table_form
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


def test_numbers_have_the_decimals_that_can_be_measured(book):
    """Trucks and pounds whole, volumes to a hundredth, money whole; prices with the decimals that they have."""
    rows = {row[4].value: row for row in book["takeoff"].iter_rows(min_row=TOP + 1)}
    shown = {item: rows[item][6].number_format for item in ("trucks of concrete", "concrete, to order", "integrity tubes")}
    assert shown == {"trucks of concrete": "#,##0", "concrete, to order": "#,##0.00", "integrity tubes": "#,##0"}
    factors = [row[3].number_format for row in book["factors"].iter_rows(min_row=TOP + 1) if row[3].value is not None]
    assert set(factors) == {"#,##0.00##"}


def test_words_stand_off_the_number_beside_them_and_headings_over_their_numbers(book):
    for tab in book:
        heads = {cell.column: cell.alignment.horizontal for cell in tab[TOP]}
        for row in tab.iter_rows(min_row=TOP + 1, max_row=TOP + 20):
            for cell in row:
                if isinstance(cell.value, str) and not cell.value.startswith("="):
                    assert (cell.alignment.horizontal, cell.alignment.indent) == ("left", 1), (tab.title, cell.coordinate)
                elif isinstance(cell.value, int | float):
                    assert heads[cell.column] == "right", (tab.title, cell.coordinate)


def test_no_word_of_a_heading_is_broken(book):
    for tab in book:
        widths = widths_of(tab)
        for cell in tab[TOP]:
            assert max(map(len, str(cell.value).split())) < widths[cell.column_letter], (tab.title, cell.value)


def test_title_and_notes_stand_on_the_first_page_alone(book):
    """The first column is printed on every page: what begins in it and is wider would be cut there."""
    wide = [tab for tab in book if (tab.page_setup.fitToWidth or 1) > 1]
    assert wide
    for tab in wide:
        width = widths_of(tab)["A"]
        assert tab["A2"].value is None
        assert tab["B2"].value
        assert len(tab["A1"].value or "") < width
        (notes,) = [one for one in tab.merged_cells.ranges if one.min_row == 2]
        assert notes.min_col == 2


def test_a_sheet_without_rows_takes_one_page(takeoff):
    """Dry in stiff clay: no fluid is tested."""
    sheets = make_tables(takeoff("stiff-clay"), "us")
    made = openpyxl.load_workbook(BytesIO(workbook_xlsx(sheets, "us", "stiff-clay")))
    assert all((made[sheet.name].page_setup.fitToWidth or 1) == 1 for sheet in sheets if not sheet.rows)
    assert any(not sheet.rows for sheet in sheets)


def test_which_end_is_taken_is_one_of_three(book):
    (rule, *_) = book["factors"].data_validations.dataValidation
    assert rule.formula1 == '"1,2,3"'


def test_a_workbook_without_a_sheet_of_cautions_says_who_decides(takeoff):
    """A sheet that points to one that is not there points to nothing."""
    sheets = make_tables(takeoff("caving-lens"), "us")
    alone = openpyxl.load_workbook(BytesIO(workbook_xlsx([sheet for sheet in sheets if sheet.name == "hours"], "us", "hours")))["hours"]
    assert "licensed engineer" in alone["A2"].value
    assert "'cautions'" not in alone["A2"].value


def test_the_form_prints_with_its_words_in_their_rows_and_its_columns_on_their_pages():
    """What the columns mean is wrapped, and no row is lower than its words."""
    form = openpyxl.load_workbook(BytesIO(form_workbook(table_form("us"))))
    for tab in form:
        assert tab.page_setup.orientation == "landscape"
        assert tab.print_title_rows == "$1:$1"
    told = form["explanations"]
    widths = widths_of(told)
    for row in told.iter_rows(min_row=2):
        lines = max(len(str(cell.value or "")) / widths[cell.column_letter] for cell in row)
        assert (told.row_dimensions[row[0].row].height or 15.0) >= 13.0 * lines - 0.5
