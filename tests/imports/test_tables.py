"""Tables: workbooks and CSV as people have them, with invented contents. What headings mean is their plain sense (common practice)."""

import re
import zipfile
from datetime import date
from pathlib import Path

import openpyxl
import pytest
import yaml

from methodpick.errors import InputError
from methodpick.imports.input_formats import read_file
from methodpick.imports.site_file import read_site
from methodpick.imports.site_forms import table_form
from methodpick.imports.table_cells import MOST_UNPACKED
from methodpick.imports.tables import read_tables

PROFILES = Path(__file__).parents[2] / "profiles"
US = [["units", "us"]]
BORINGS = [["Boring No.", "Ground El.", "Depth"], ["B-1", 412.5, 70]]
LAYERS = [["Boring", "From", "To", "Description", "USCS"], ["B-1", 0, 6, "brown silty sand", "SM"], ["B-1", 6, 70, "stiff fat clay", "CH"]]


@pytest.fixture
def book(tmp_path):
    def write(**sheets):
        made = openpyxl.Workbook()
        made.remove(made.active)
        for name, rows in sheets.items():
            tab = made.create_sheet(name)
            for row in rows:
                tab.append(row)
        path = tmp_path / "weir.xlsx"
        made.save(path)
        return path

    return write


def refused(source, name=None):
    with pytest.raises(InputError) as caught:
        read_tables(source, name)
    return caught.value.problems


def test_a_workbook_is_read_like_the_site_file_of_the_same_words(book):
    path = book(
        site=US,
        borings=BORINGS,
        layers=LAYERS,
        spt=[["boring", "depth", "n", "blows"], ["B-1", 2.5, 4, None], ["B-1", 12.5, None, "3-5-6"], ["B-1", 45, "50/3in", None]],
        water=[["boring", "depth", "when", "after"], ["B-1", 11.5, "settled", 24]],
        shafts=[["Shaft", "Boring", "Dia.", "Cut-off", "Tip", "Qty"], ["P1", "B-1", 48, 2, 58, 4]],
        stock=[["OD", "Wall", "Length", "Qty"], [54, 0.5, 40, 2]],
        rates=[["currency", "USD"], ["pour.concrete", "180"]],
    )
    expected = read_site(
        """
methodpick: 1
site: {units: us}
borings:
  - id: B-1
    ground_elevation: 412.5
    depth: 70
    layers:
      - {top: 0, base: 6, description: brown silty sand, symbol: SM}
      - {top: 6, base: 70, description: stiff fat clay, symbol: CH}
    spt: [{depth: 2.5, n: 4}, {depth: 12.5, blows: [3, 5, 6]}, {depth: 45, n: 50/3in}]
    water: [{depth: 11.5, reading: settled, after: 24}]
shafts: [{id: P1, boring: B-1, diameter: 48, cutoff: 2, tip: 58, count: 4}]
stock: [{outside_diameter: 54, wall: 0.5, length: 40, count: 2}]
rates: {currency: USD, pour: {concrete: 180}}
"""
    )[0]
    assert read_file(path).site == expected


def test_a_number_without_a_unit_is_asked_about_and_never_guessed(book):
    problems = refused(
        book(borings=[["Hole ID", "Depth (ft)"], ["B-1", 70]], layers=[["Hole ID", "From", "To (ft)", "Lithology"], ["B-1", 0, 6, "sand"]])
    )
    assert ["has no unit" in problem.message for problem in problems] == [True]
    assert (problems[0].place.line, problems[0].place.column) == (2, 2)


@pytest.mark.parametrize(
    ("heading", "cell", "metres"),
    [
        ("Depth (ft)", 10, 3.048),
        ("DEPTH_FT", 10, 3.048),
        ("Depth [m]", 10, 10.0),
        ("Depth, m", 10, 10.0),
        ("Total Depth\n(FT.)", "10", 3.048),
        ("Depth (m)", "10 ft", 3.048),
        ("TD", "10'-6\"", 3.2),
        ("Depth", "3.5 m", 3.5),
    ],
)
def test_the_unit_stands_in_the_cell_or_in_the_heading(book, heading, cell, metres):
    path = book(borings=[["id", heading], ["B-1", cell]])
    assert read_tables(path).profiles[0].depth_m == metres


@pytest.mark.parametrize(("heading", "cell"), [("Date Drilled", date(2026, 3, 16)), ("Start date", "2026-03-16"), ("date", "2026-03-16")])
def test_the_day_of_drilling_is_a_column_of_the_borings(book, heading, cell):
    borings = [[*BORINGS[0], heading], [*BORINGS[1], cell]]
    assert read_tables(book(site=US, borings=borings, layers=LAYERS)).site.borings[0].date == "2026-03-16"


def test_a_row_of_units_below_the_headings(book):
    assert (
        read_tables(book(borings=[["id", "depth", "hammer_efficiency"], [None, "ft", "%"], ["B-1", 10, 80]])).profiles[0].depth_m == 3.048
    )


def test_a_schedule_pasted_from_a_drawing(tmp_path):
    text = (
        "DRILLED SHAFT SCHEDULE\n"
        '"SHAFT\nNO."\t"DIA.\n(IN.)"\t"TOP EL.\n(FT)"\t"TIP EL.\n(FT)"\t"GROUND EL. (FT)"\tREMARKS\n'
        "P1\t48\tEL. 410.5\tEL. 352.0\t412.5\tsee note 3\n"
        "P2\t4'-0\"\t410.5\t350\t412.5\t\n\n"
    )
    assert ["no boring is in the tables" in problem.message for problem in refused(text, "schedule.txt")] == [True]
    (tmp_path / "shaft schedule.txt").write_text(text, encoding="utf-8")
    (tmp_path / "borings.csv").write_text("id,depth (ft)\nB-1,80\n", encoding="utf-8")
    site = read_file(tmp_path).site
    assert [(shaft.id, shaft.diameter_m, shaft.cutoff_m, shaft.tip_m) for shaft in site.shafts] == [
        ("P1", 1.2192, 0.61, 18.44),
        ("P2", 1.2192, 0.61, 19.05),
    ]


def test_a_pier_beside_the_number_of_a_shaft_is_the_structure_that_it_carries(book):
    path = book(
        site=US,
        borings=BORINGS,
        layers=LAYERS,
        shafts=[["PIER", "SHAFT NO.", "Dia.", "Tip"], ["Pier 2", "S-1", 48, 58], ["Pier 2", "S-2", 48, 58]],
    )
    assert [(shaft.id, shaft.substructure) for shaft in read_tables(path).site.shafts] == [("S-1", "Pier 2"), ("S-2", "Pier 2")]
    alone = book(site=US, borings=BORINGS, layers=LAYERS, shafts=[["PIER", "Dia.", "Tip"], ["P2", 48, 58]])
    assert [(shaft.id, shaft.substructure) for shaft in read_tables(alone).site.shafts] == [("P2", None)]
    both = book(site=US, borings=BORINGS, shafts=[["PIER", "BENT", "SHAFT NO.", "Dia.", "Tip"], ["P2", "2", "S-1", 48, 58]])
    assert any("both mean id" in problem.message for problem in refused(both))


@pytest.mark.parametrize("heading", ["Groundwater (ft)", "GWL", "Depth to water (ft)", "Water level"])
def test_a_water_level_in_the_table_of_borings_is_a_doubt_with_the_table_that_takes_it(book, heading):
    # Its kind of reading is not said, so that it cannot be taken over; left unsaid it would be lost.
    read = read_tables(book(site=US, borings=[[*BORINGS[0], heading], [*BORINGS[1], 11]], layers=LAYERS))
    doubt = next(doubt for doubt in read.doubts if heading in doubt.message)
    assert doubt.severity == "doubt"
    assert "table 'water'" in doubt.action
    assert read.profiles[0].water == ()


def test_elevations_become_depths_below_the_ground(book):
    path = book(
        site=US,
        borings=BORINGS,
        layers=[["boring", "top el.", "base_elevation", "description"], ["B-1", 412.5, 406.5, "sand"]],
        shafts=[
            ["Shaft No.", "Boring", "Dia.", "Top El.", "Tip El."],
            ["P1", "B-1", 48, "EL. 410.5", "EL 352"],
            ["P2", "B-1", "4'-0\"", 410.5, 350],
        ],
    )
    with pytest.raises(InputError, match="no 'top'"):
        read_tables(path)
    path = book(
        site=US,
        borings=BORINGS,
        layers=[["boring", "top_elevation", "base_elevation", "description"], ["B-1", 412.5, 406.5, "sand"]],
        shafts=[
            ["Shaft No.", "Boring", "Dia.", "Top El.", "Tip El."],
            ["P1", "B-1", 48, "EL. 410.5", "EL 352"],
            ["P2", "B-1", "4'-0\"", 410.5, 350],
        ],
    )
    site = read_tables(path).site
    assert (site.borings[0].layers[0].top_m, site.borings[0].layers[0].base_m) == (0.0, 1.829)
    assert [(shaft.diameter_m, shaft.cutoff_m, shaft.tip_m) for shaft in site.shafts] == [(1.2192, 0.61, 18.44), (1.2192, 0.61, 19.05)]


@pytest.mark.parametrize(
    ("sheets", "said"),
    [
        ({"shafts": [["Shaft", "Dia.", "Tip El."], ["P1", 48, 350]]}, "needs a ground elevation"),
        ({"shafts": [["Shaft", "Dia.", "Tip", "Length"], ["P1", 48, 58, 56]]}, "does not say from which level"),
        ({"shafts": [["Shaft", "Dia.", "Diameter", "Tip"], ["P1", 48, 48, 58]]}, "both mean diameter"),
        ({"layers": [["Boring", "From", "To", "Description"], ["B1", 0, 6, "sand"]]}, "there is no boring 'B1'"),
        ({"layers": [["Boring", "From", "To", "Description"], ["B-1", 0, "#REF!", "sand"]]}, "holds the error #REF!"),
        ({"spt": [["Boring", "Depth", "N"], ["B-1", 5, 16.667]]}, "is not a blow count"),
        ({"spt": [["Boring", "Depth", "N"], ["B-1", 5, date(2031, 5, 3)]]}, "is not a blow count"),
    ],
)
def test_what_is_not_clear_is_refused_at_its_cell(book, sheets, said):
    problems = refused(book(site=US, borings=BORINGS, **sheets))
    found = [problem for problem in problems if said in problem.message]
    assert found
    assert next(iter(sheets)) in found[0].place.file


def test_a_heading_that_is_not_known_is_told_and_the_elevation_of_a_casing_is_not_the_ground(book):
    read = read_tables(book(borings=[["Boring", "Depth (m)", "Elev TOC (m)", "Driller"], ["B-1", 20, 101.3, "x"]]))
    assert read.profiles[0].ground_elevation_m is None
    assert sorted(doubt.message for doubt in read.doubts) == [
        "the heading 'Driller' is not known",
        "the heading 'Elev TOC (m)' is not known",
    ]


def test_what_was_understood_is_said(book):
    (told,) = read_tables(book(borings=[["Boring No.", "TD (ft)"], ["B-1", 70]])).understood
    assert "id <- 'Boring No.'" in told
    assert "depth <- 'TD (ft)' in ft" in told


def test_rows_without_a_boring_belong_to_that_above_with_a_note(book):
    rows = [["Boring", "From", "To", "Description"], ["B-1", 0, 6, "sand"], [None, 6, 70, "clay"]]
    read = read_tables(book(site=US, borings=BORINGS, layers=rows))
    assert len(read.profiles[0].layers) == 2
    assert read.doubts[0].severity == "note"


def test_dry_in_the_column_of_the_depth_is_none_met(book):
    read = read_tables(book(site=US, borings=BORINGS, water=[["Boring", "DTW", "hole_depth"], ["B-1", "DRY", 70]]))
    assert [(one.reading, one.depth_m) for one in read.profiles[0].water] == [("none_met", None)]


def test_a_folder_of_csv_files_and_borings_without_a_sheet_of_their_own(tmp_path):
    (tmp_path / "strata.csv").write_text("Hole ID;From (m);To (m);Lithology\nB-2;0;4.5;SAND\nB-1;0;6;CLAY\n", encoding="utf-8")
    (tmp_path / "tests.csv").write_text("Hole ID,Depth (m),N\nB-1,3,12\n", encoding="utf-8")
    site = read_file(tmp_path).site
    assert [(boring.id, len(boring.layers), len(boring.spt)) for boring in site.borings] == [("B-2", 1, 0), ("B-1", 1, 1)]


def test_a_csv_file_is_known_by_its_name_or_by_its_headings(tmp_path):
    path = tmp_path / "export.csv"
    path.write_text("Hole ID,From (m),To (m),Lithology\nB-1,0,6,CLAY\n", encoding="utf-8")
    assert read_file(path).profiles[0].layers[0].description == "CLAY"


def test_a_comma_parts_decimals_where_semicolons_part_cells(tmp_path):
    path = tmp_path / "layers.csv"
    path.write_text("Hole;From (m);To (m);Description\nKB-1;0;2,5;Soft clay, grey\nKB-1;2,5;8;Dense sand\n", "utf-8")
    assert [(one.base_m, one.description) for one in read_file(path).profiles[0].layers] == [(2.5, "Soft clay, grey"), (8.0, "Dense sand")]


def test_every_sheet_says_how_many_rows_were_used(book):
    counts = {count.group: count.rows for count in read_tables(book(site=US, borings=BORINGS, layers=LAYERS)).counts}
    assert counts == {"site": 1, "borings": 1, "layers": 2}


@pytest.mark.parametrize("units", ["us", "si"])
def test_the_form_to_fill_in_is_read_back_with_its_example(book, units):
    sheets = {sheet.name: [[column.heading for column in sheet.columns], *sheet.rows] for sheet in table_form(units)}
    read = read_tables(book(**sheets))
    assert read.units == units
    assert (len(read.site.borings), len(read.site.shafts), len(read.site.stock)) == (1, 1, 1)
    assert read.doubts == ()


def filled(path):
    """Fill the sheets of a workbook from a site file, one row an entry, by the plain words of the file."""
    tree = yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)  # noqa: S506 - makes texts of everything
    sheets = {word: [[key, value] for key, value in flat(tree.get(word, {}))] for word in ("site", "rates", "pay")}
    for word in ("borings", "shafts", "stock"):
        sheets[word] = rows(tree.get(word, []), leave=("layers", "spt", "water", "cores", "remarks"))
    for word in ("layers", "spt", "water", "cores", "remarks"):
        sheets[word] = rows([{"boring": boring["id"], **entry} for boring in tree["borings"] for entry in boring.get(word, [])])
    return {name: found for name, found in sheets.items() if found}


def flat(tree, before=""):
    for key, value in tree.items():
        if isinstance(value, dict):
            yield from flat(value, f"{before}{key}.")
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            yield from flat({str(index): entry for index, entry in enumerate(value, 1)}, f"{before}{key}.")
        else:
            yield f"{before}{key}", "; ".join(value) + (";" if len(value) == 1 else "") if isinstance(value, list) else value


def rows(entries, leave=()):
    plain = [dict(cells(entry, leave)) for entry in entries]
    names = list(dict.fromkeys(name for entry in plain for name in entry))
    return [names, *([entry.get(name) for name in names] for entry in plain)] if plain else []


def cells(entry, leave):
    for key, value in entry.items():
        if key == "position":
            yield from value.items()
        elif key == "bell":
            yield from ((f"bell_{word}", inner) for word, inner in value.items())
        elif key == "response_zone":
            yield from zip(("response_top", "response_base"), value, strict=True)
        elif isinstance(value, dict):
            yield key, "/".join(value[word] for word in ("low", "likely", "high"))
        elif key not in leave:
            yield key, join(value, key) if isinstance(value, list) else value


def join(values, key):
    return ("-" if key == "blows" else "; " if key in ("features", "absent", "n") else " to ").join(values)


@pytest.mark.parametrize("name", ["viaduct", "caving-lens", "saturated-sand"])
def test_a_workbook_filled_from_a_site_file_gives_the_same_site(book, name):
    """Twelve borings and sixty shafts in the viaduct; the plan follows from the site alone."""
    path = PROFILES / f"{name}.yaml"
    expected, found = read_site(path)[0], read_tables(book(**filled(path))).site
    assert found.site == expected.site
    assert found.shafts == expected.shafts
    assert found.borings == expected.borings
    assert (found.stock, found.rates, found.pay) == (expected.stock, expected.rates, expected.pay)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"PK\x03\x04 damaged", "cannot be unpacked"),
        (b"\x00\x01\x02", "not a text file"),
        (b"", "empty"),
        (b"a,b,c\n1,2,3\n", "no table with known headings"),
    ],
)
def test_damaged_and_foreign_files_are_refused(tmp_path, content, said):
    path = tmp_path / "odd.xlsx"
    path.write_bytes(content)
    with pytest.raises(InputError, match=said):
        read_tables(path)


@pytest.mark.parametrize(
    ("content", "size", "said"),
    [
        ("<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>", None, "document type"),
        ("<a/>", MOST_UNPACKED + 1, "unpack to too much"),
        ("<a/>", None, "cannot be read"),
    ],
)
def test_hostile_workbooks_are_refused(tmp_path, content, size, said):
    """What a part unpacks to is judged by the directory of the archive, before anything is unpacked."""
    path = tmp_path / "hostile.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("xl/workbook.xml", content)
        made.getinfo("xl/workbook.xml").file_size = size or len(content)
    with pytest.raises(InputError, match=said):
        read_tables(path)


def test_formulas_are_not_worked_out(book):
    """A formula without its value, as a script writes it, is no blank cell: it is refused, and what it would fetch is never asked for."""
    path = book(site=US, borings=[["Boring", "Depth", "Ground El."], ["B-1", 70, '=HYPERLINK("http://x")'], ["B-2", "=2*35", 9]])
    with pytest.raises(InputError) as caught:
        read_tables(path)
    found = [(problem.place.line, problem.place.column, problem.message) for problem in caught.value.problems]
    without = "the cell holds a formula without its value"
    assert found == [(2, 3, f"ground_elevation: {without}"), (3, 2, f"depth: {without}")]


def test_a_cell_that_lacks_or_errs_is_told_once(book):
    rows = [["Boring", "Top", "Base", "Description"], ["B-1", "#REF!", 20, "stiff clay"], ["B-1", 20, None, "sand"]]
    with pytest.raises(InputError) as caught:
        read_tables(book(site=US, borings=[["Boring", "Depth"], ["B-1", 70]], layers=rows))
    assert ["#REF!" in problem.message for problem in caught.value.problems] == [True, False]
    assert caught.value.problems[1].hint == "fill in the column 'base'"


def test_what_a_sheet_says_of_its_own_size_is_not_believed(book, tmp_path):
    """Some programs write the size of a sheet as one cell, or forget to write it anew; no row below may vanish."""
    path, lying = book(site=US, borings=BORINGS, layers=LAYERS), tmp_path / "lying.xlsx"
    with zipfile.ZipFile(path) as archive, zipfile.ZipFile(lying, "w") as out:
        for part in archive.infolist():
            content = archive.read(part)
            if part.filename.startswith("xl/worksheets/sheet"):
                assert b"<dimension ref=" in content
                content = re.sub(rb'<dimension ref="[A-Z0-9:]+"', b'<dimension ref="A1:B2"', content)
            out.writestr(part.filename, content)
    assert read_tables(lying).profiles == read_tables(path).profiles


def test_blank_cells_between_filled_ones_keep_their_columns(book):
    rows = [["Boring", "Ground El.", None, "Depth", None], ["B-1", 412.5, None, 70, None, None], ["B-2", None, None, 60]]
    read = read_tables(book(site=US, borings=rows))
    assert [(boring.id, round(boring.depth_m, 2)) for boring in read.profiles] == [("B-1", 21.34), ("B-2", 18.29)]
