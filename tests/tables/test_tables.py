"""The sheets: complete, adding up, the same twice, proof against foreign text, and live in a spreadsheet program."""

import csv
import io
import shutil
import subprocess
import zipfile
from collections import Counter
from dataclasses import replace

import openpyxl
import pytest
from effort import examples
from hostile import HOSTILE, spoilt
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.formats.sheets import TOP, defused, sheet_csv, workbook_xlsx
from methodpick.site.estimate import FOR_THE_LOSS, Estimate, UnpricedLine
from methodpick.site.planning import plan_site
from methodpick.site.result import FREE_FLUID
from methodpick.site.site_takeoff import take_off
from methodpick.tables import takeoff as lines
from methodpick.tables.cells import FormulaCell, MissingCell, NumberCell, plain
from methodpick.tables.factors import CHOICES
from methodpick.tables.site_tables import make_tables

WANTED = (
    "method_schedule",
    "casing_schedule",
    "strings",
    "slurry_control",
    "concrete_plan",
    "depth_volume",
    "takeoff",
    "hold_points",
    "fallbacks",
    "questions",
    "assumptions",
    "reliance",
)
YD3_M3 = 0.9144**3  # the yard is 0.9144 m exactly, by definition
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


@pytest.fixture(scope="module")
def viaduct(takeoff):
    return takeoff("viaduct")


@pytest.fixture(scope="module")
def tables(viaduct):
    return {one.name: one for one in make_tables(viaduct, "us")}


@pytest.fixture(scope="module")
def book_bytes(tables):
    return workbook_xlsx(tuple(tables.values()), "us", "viaduct")


def read(table):
    return list(csv.DictReader(io.StringIO(sheet_csv(table), newline="")))


def test_every_sheet_is_there_and_every_row_is_as_long_as_the_columns(tables):
    assert set(WANTED) <= set(tables)
    for table in tables.values():
        assert table.rows, table.name
        assert {len(row) for row in table.rows} == {len(table.columns)}, table.name
        assert len({column.head for column in table.columns}) == len(table.columns), table.name
        assert not [cell for row in table.rows for cell in row if isinstance(cell, str) and "⟦" in cell], table.name


def test_all_60_shafts_stand_in_the_schedules(tables):
    """The example has 15 bents of 4 shafts (profiles/viaduct.yaml)."""
    for name in ("method_schedule", "concrete_plan", "hours"):
        assert len({row["shaft"] for row in read(tables[name])}) == len(tables[name].rows) == 60
    for name in ("casing_schedule", "depth_volume", "hold_points", "stages", "supports"):
        assert len({row["shaft"] for row in read(tables[name])}) == 60


@pytest.mark.parametrize("units", ["us", "si"])
def test_totals_of_the_takeoff_are_the_sums_of_their_parts(viaduct, units):
    rows = read(next(one for one in make_tables(viaduct, units) if one.name == "takeoff"))
    sums = {(row["group"], row["item"]): row for row in rows if row["scope"] == "sum"}
    for end in ("low", "likely", "high"):
        added = Counter()
        for row in rows:
            if row["scope"] != "sum":
                added[row["group"], row["item"]] += float(row[end]) * int(row["alike"] or 1)
        assert set(added) == set(sums)
        for key, row in sums.items():
            assert added[key] == pytest.approx(float(row[end]), abs=0.0005 * 62), key


def test_the_cost_adds_up_and_each_line_is_quantity_times_price(tables, viaduct):
    rows = read(tables["cost"])
    for end in ("low", "likely", "high"):
        parts = [float(row[end]) for row in rows[:-1]]
        assert sum(parts) == pytest.approx(float(rows[-1][end]), abs=0.2)
        assert float(rows[-1][end]) == pytest.approx(getattr(viaduct.cost.total, end), abs=0.01)
        for row in rows[:-1]:
            assert float(row[f"quantity, {end}"]) * float(row[f"price, {end}"]) == pytest.approx(float(row[end]), rel=2e-3, abs=0.5)


def test_a_rate_that_is_missing_has_a_marked_cell_that_the_cost_follows(viaduct):
    """Filled in, the cell prices the quantity; until then the total says that it is incomplete."""
    unpriced = UnpricedLine("spoil, again", Estimate.exactly(10), "m3", "spoil")
    sheets = {one.name: one for one in make_tables(replace(viaduct, cost=replace(viaduct.cost, unpriced=(unpriced,))), "si")}
    row = next(number for number, cells in enumerate(sheets["factors"].rows) if cells[1] == "rate: spoil, again")
    assert sheets["factors"].rows[row][2:5] == (MissingCell(),) * 3
    cost = next(cells for cells in sheets["cost"].rows if cells[0] == "spoil, again")
    assert [cell.formula[0].row for cell in cost[8:11]] == [row] * 3
    assert [plain(cell) for cell in (*cost[1:4], *cost[8:11])] == [""] * 6
    assert plain(sheets["cost"].rows[-1][0]) == "total, incomplete"
    written = workbook_xlsx(tuple(sheets.values()), "si", "viaduct")
    tab = openpyxl.load_workbook(io.BytesIO(written), read_only=True)["factors"]
    marked, given = tab.cell(row + TOP + 1, 3), tab.cell(row + TOP, 3)
    assert marked.value is None
    assert marked.fill.fgColor.rgb != given.fill.fgColor.rgb


def test_the_calendar_has_every_shaft_once_and_the_days_of_every_string(tables, viaduct):
    rows = read(tables["calendar"])
    assert sorted(row["shaft"] for row in rows) == sorted(shaft.shaft for shaft in viaduct.shafts)
    assert max(int(row["last day"]) for row in rows) == viaduct.calendar.days.likely
    strings = {row["string"]: row for row in read(tables["strings"])}
    for row in rows:
        for name in row["strings"].split(", "):
            assert row["shaft"] in strings[name]["shafts"].split(", ")
    first, last = (
        {name: pick(int(row[day]) for row in rows if name in row["strings"].split(", ")) for name in strings}
        for pick, day in ((min, "first day"), (max, "last day"))
    )
    assert all(int(strings[name]["working days"]) <= last[name] - first[name] + 1 for name in strings), "it goes in after the rig came"


def test_concrete_of_one_shaft_by_hand(tables):
    """B1-1: 48 in, tip 55 ft, cut-off 2 ft: pi/4 x 4 ft^2 x 53 ft = 666.0 ft3 = 24.67 yd3 (hand calculation)."""
    row = next(one for one in read(tables["concrete_plan"]) if one["shaft"] == "B1-1")
    assert float(row["by the drawing, yd3"]) == pytest.approx(24.67, abs=0.02)


def test_alike_shafts_share_a_row_of_words(tables):
    rows = read(tables["questions"])
    keys = [tuple(row.values())[1:] for row in rows]
    assert len(set(keys)) == len(keys)
    assert any(" to " in row["shafts"] for row in rows)
    assert {row["answer"] for row in rows} == {""}


def test_hold_points_stop_before_every_irreversible_step(tables):
    """Cage, pour and base are hold points of every shaft, whatever its method (common practice, no source)."""
    held = {}
    for row in read(tables["hold_points"]):
        held.setdefault(row["shaft"], []).append(row["hold"])
        assert row["released by"] == ""
    for shaft, names in held.items():
        wanted = ["base, before the cage", "cage, before it is lifted in", "before the first truck is discharged"]
        assert [name for name in names if name in wanted] == wanted, shaft


def test_the_cautions_defer_to_engineers_first(tables):
    first = read(tables["cautions"])[0]
    assert "licensed engineer" in first["caution"]
    assert "Local safety codes" in first["caution"]


def test_the_record_of_reliance_names_input_digests_and_versions(tables, viaduct):
    rows = {(row["kind"], row["what"]): row["which"] for row in read(tables["reliance"])}
    assert rows["input", "viaduct.yaml"] == "0" * 64
    assert rows["rulebook", "digest"] == viaduct.site.plan.rulebook.digest
    assert ("tool", "methodpick") in rows
    assert sum(kind == "boring of a shaft" for kind, _ in rows) == 60


FULLWIDTH = st.sampled_from(["\uff1d1+1", "\uff0b1", "\uff0d1", "\uff20sum", "\ufe661", "\u207a1"])
RISKY = st.builds(
    lambda lead, sign, rest: lead + sign + rest,
    st.text(" \t\r\n\u00a0\u3000\ufeff\u200b", max_size=4),
    st.sampled_from(FORMULA_SIGNS),
    st.text(max_size=20),
)


@given(st.one_of(RISKY, FULLWIDTH, HOSTILE))
def test_no_text_starts_a_formula_however_it_is_dressed(text):
    made = defused(text)
    assert "\n" not in made
    assert "\r" not in made
    bare = made.lstrip(" \u00a0\u3000\ufeff\u200b")
    assert not bare.startswith((*FORMULA_SIGNS, "\uff1d", "\uff0b", "\uff0d", "\uff20", "\ufe66", "\u207a"))


@given(st.from_regex(r"[A-Za-z0-9(.][ A-Za-z0-9+=@-]{0,20}[A-Za-z0-9]", fullmatch=True))
def test_harmless_text_is_left_alone(text):
    assert defused(text) == text


@given(HOSTILE | RISKY)
@settings(max_examples=examples(15))
def test_foreign_words_never_become_a_formula_in_csv_or_xlsx(caving, words):
    taken = replace(
        caving,
        site=replace(caving.site, plan=spoilt(caving.site.plan, words)),
        shafts=tuple(replace(one, shaft=words, boring=words, substructure=words) for one in caving.shafts),
    )
    made = make_tables(taken, "si", (words,))
    for table in made:
        for row in csv.reader(io.StringIO(sheet_csv(table), newline="")):
            for cell in row:
                assert not cell.startswith(FORMULA_SIGNS) or _number(cell), (table.name, cell)
    count = sum(isinstance(cell, FormulaCell) for table in made for row in table.rows for cell in row)
    loaded = openpyxl.load_workbook(io.BytesIO(workbook_xlsx(made, "si", words)))
    cells = [cell for sheet in loaded for row in sheet.iter_rows() for cell in row]
    assert sum(cell.data_type == "f" for cell in cells) == count
    assert not [cell.value for cell in cells if cell.data_type == "s" and str(cell.value).startswith(FORMULA_SIGNS)]
    assert not [cell for cell in cells if cell.hyperlink]


@pytest.fixture(scope="module")
def caving(site, book):
    made = site("caving-lens")
    return take_off(made, plan_site(made, book), book)


def _number(text):
    try:
        float(text)
    except ValueError:
        return False
    return True


@pytest.mark.ci_only("writes the workbook of sixty shafts once more")
def test_sheets_and_workbook_are_the_same_bytes_twice(viaduct, book_bytes, tables):
    again = make_tables(viaduct, "us")
    assert [sheet_csv(one) for one in again] == [sheet_csv(one) for one in tables.values()]
    assert workbook_xlsx(again, "us", "viaduct") == book_bytes
    with zipfile.ZipFile(io.BytesIO(book_bytes)) as packed:
        assert b"2000-01-01T00:00:00Z" in packed.read("docProps/core.xml")


def test_values_stand_beside_the_formulas_for_programs_that_do_not_work_them_out(book_bytes, viaduct):
    sheet = openpyxl.load_workbook(io.BytesIO(book_bytes), data_only=True, read_only=True)["takeoff"]
    rows = sheet.iter_rows(min_row=TOP + 1, max_row=TOP + len(viaduct.totals))
    for row, total in zip(rows, viaduct.totals, strict=True):
        factor = {"m": 0.3048, "m3": YD3_M3, "kg": 0.45359237}.get(total.unit, 1.0)  # exact definitions of foot, yard, pound
        assert row[lines.LOW + 1].value == pytest.approx(total.amount.likely / factor, abs=1e-6)


def test_what_hangs_on_a_factor_is_live(tables):
    rows = tables["takeoff"].rows
    for item in (
        "concrete, ground overbreak",
        "concrete, to order",
        "trucks of concrete",
        "spoil, loose",
        FREE_FLUID,
        "polymer fluid, lost",
        "polymer fluid, stock",
        f"bentonite, dry, {FOR_THE_LOSS}",
    ):
        found = [row for row in rows if row[4] == item]
        assert found, item
        assert all(isinstance(cell, FormulaCell) for row in found for cell in row[lines.LOW : lines.LOW + 3]), item
    given_cells = [cell for row in tables["factors"].rows for cell in row if isinstance(cell, NumberCell) and cell.given]
    assert len(given_cells) > len(CHOICES) * 3


SOFFICE = shutil.which("soffice")


def recalculated(folder, books):
    """Let LibreOffice work out workbooks from which every value beside a formula was taken away."""
    for name, book in books.items():
        book.save(folder / f"{name}.xlsx")
    subprocess.run(
        [
            SOFFICE,
            f"-env:UserInstallation={(folder / 'profile').as_uri()}",
            "--headless",
            "--convert-to",
            "xlsx:Calc MS Excel 2007 XML",
            "--outdir",
            str(folder / "done"),
            *(str(folder / f"{name}.xlsx") for name in books),
        ],
        check=True,
        capture_output=True,
        timeout=300,
    )
    return {name: openpyxl.load_workbook(folder / "done" / f"{name}.xlsx", data_only=True) for name in books}


@pytest.mark.ci_only("starts a spreadsheet program")
@pytest.mark.skipif(SOFFICE is None, reason="LibreOffice (soffice) is not installed here")
def test_libreoffice_works_out_the_same_totals_and_follows_the_factors(tmp_path, book_bytes, viaduct):
    """openpyxl writes no values beside formulas, so that LibreOffice must work out every one."""
    plain, changed = (openpyxl.load_workbook(io.BytesIO(book_bytes)) for _ in range(2))
    _change(changed["factors"])
    made = recalculated(tmp_path, {"plain": plain, "changed": changed})
    values = openpyxl.load_workbook(io.BytesIO(book_bytes), data_only=True)
    count = 0
    for sheet in plain:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    count += 1
                    assert made["plain"][sheet.title][cell.coordinate].value == pytest.approx(
                        values[sheet.title][cell.coordinate].value, rel=1e-9, abs=1e-6
                    ), (sheet.title, cell.coordinate)
    assert count > 1000
    for row, total in enumerate(viaduct.totals, TOP + 1):
        factor = {"m": 0.3048, "m3": YD3_M3, "kg": 0.45359237}.get(total.unit, 1.0)
        for end, value in enumerate((total.amount.low, total.amount.likely, total.amount.high)):
            assert made["plain"]["takeoff"].cell(row, lines.LOW + 1 + end).value == pytest.approx(value / factor, rel=1e-9, abs=1e-6)
    _followed(made["changed"], viaduct)


def _change(sheet):
    """Double the likely overbreak, take its high end, lose 0.25 of the hole, stock 2 holes, double the price of concrete."""
    for row in sheet.iter_rows(min_row=TOP + 1):
        if row[0].value == "which end is taken" and row[1].value == "ground overbreak":
            row[2].value = 3
        elif str(row[1].value).startswith("ground overbreak"):
            row[3].value = 2
        elif str(row[1].value).startswith("fluid lost, share"):
            row[3].value = 0.25
        elif str(row[1].value).startswith("stock of "):
            row[3].value = 2
        elif row[1].value == "rate: concrete":
            row[3].value = 2 * row[3].value


def _followed(made, viaduct):
    """By hand from the takeoff: the changed part replaces the old one in its sum."""
    amounts = {total.item: total.amount for total in viaduct.totals}
    rows = {row[4].value: row for row in made["takeoff"].iter_rows(min_row=TOP + 1, max_row=TOP + len(viaduct.totals))}

    def likely(item):
        return rows[item][lines.LOW + 1].value * YD3_M3

    order, broken = amounts["concrete, to order"], amounts["concrete, ground overbreak"]
    assert likely("concrete, ground overbreak") == pytest.approx(2 * broken.likely, rel=1e-9)
    assert likely("concrete, to order") == pytest.approx(order.likely + broken.likely, rel=1e-9)
    assert rows["concrete, to order"][lines.LOW].value * YD3_M3 == pytest.approx(order.low, rel=1e-9)
    assert rows["concrete, to order"][lines.TAKEN].value * YD3_M3 == pytest.approx(order.high, rel=1e-9)
    assert likely("polymer fluid, lost") == pytest.approx(0.25 * amounts["polymer fluid, hole volume"].likely, rel=1e-9)
    assert likely("mineral slurry, stock") == pytest.approx(2 / 1.5 * amounts["mineral slurry, stock"].likely, rel=1e-9)
    cost = {row[0].value: row for row in made["cost"].iter_rows(min_row=TOP + 1)}
    old = next(line for line in viaduct.cost.lines if line.item == "concrete")
    new = 2 * old.price.likely * (order.likely + broken.likely)
    assert cost["concrete"][2].value == pytest.approx(new, rel=1e-9)


def test_no_note_title_or_cell_keeps_the_marks_of_its_numbers(tables, caving):
    """Notes name diameters and stocks: all are written in the reader's units."""
    for one in (*tables.values(), *make_tables(caving, "si")):
        texts = [one.title, *one.notes, *(cell for row in one.rows for cell in row if isinstance(cell, str))]
        assert not [text for text in texts if "⟦" in text or "⟧" in text], one.name


def test_a_wall_in_inches_is_the_plate_that_the_page_names(tables):
    """A site file keeps 5/8 in as 15.9 mm, which is 0.626 in; the page says 0.625."""
    walls = {row["wall, in"] for row in read(tables["strings"])} | {row["wall, in"] for row in read(tables["casing_schedule"])}
    assert walls == {"0.500", "0.562", "0.625"}
