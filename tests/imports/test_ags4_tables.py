"""AGS4 form: rules 2 to 8 of the format (edition 4.0, from memory), and its legend codes."""

import pytest

from methodpick.errors import InputError
from methodpick.ground.descriptions.symbols_and_names import SOILS
from methodpick.imports.ags4 import read_ags4_tables as read_tables
from methodpick.imports.log_layers import LEGEND, legend_soils, symbol_of

# ---- AGS4 form: rules 2 to 8 of the format (edition 4.0, from memory)


TEXT = (
    '"GROUP","LOCA"\r\n"HEADING","LOCA_ID","LOCA_REM","LOCA_GL"\r\n"UNIT","","","m"\r\n"TYPE","ID","X","2DP"\r\n'
    '"DATA","B-1","said ""hard"", then","4.50"\r\n\r\n'
)


def test_quotes_commas_and_line_ends():
    row = read_tables(TEXT).of("LOCA")[0]
    assert row.text("LOCA_REM") == 'said "hard", then'
    assert row.line == 5
    assert row.units["LOCA_GL"] == "m"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_encodings_that_occur(tmp_path, encoding):
    path = tmp_path / "log.ags"
    path.write_bytes(TEXT.replace("then", "50 mm \N{DEGREE SIGN}").encode(encoding))
    assert read_tables(path).of("LOCA")[0].text("LOCA_REM").endswith("\N{DEGREE SIGN}")


@pytest.mark.parametrize(
    ("text", "said"), [("", "empty"), ("   \n", "empty"), ('"**PROJ"\n"*PROJ_ID"\n', "AGS3"), ("methodpick: 1\n", "no GROUP line")]
)
def test_other_files_are_refused_kindly(text, said):
    with pytest.raises(InputError, match=said):
        read_tables(text, "log.ags")


def test_directory_missing_file_and_binary_are_refused(tmp_path):
    binary = tmp_path / "x.ags"
    binary.write_bytes(b"GROUP\x00\x01")
    for path in (tmp_path, tmp_path / "none.ags", binary):
        with pytest.raises(InputError, match=path.name):
            read_tables(path)


def test_short_long_and_stray_rows_are_doubts_with_their_lines():
    text = TEXT.rstrip() + '\n"DATA","B-2"\n"DATA","B-3","","1.0","extra"\nstray\n'
    tables = read_tables(text)
    assert [row.boring for row in tables.of("LOCA")] == ["B-1", "B-2", "B-3"]
    assert [doubt.place.line for doubt in tables.book.in_order()] == [6, 7, 8]


def test_group_that_stands_twice_is_read_together():
    tables = read_tables(TEXT + TEXT.replace("B-1", "B-2"))
    assert [row.boring for row in tables.of("LOCA")] == ["B-1", "B-2"]
    assert tables.book.found[0].severity == "note"


@pytest.mark.parametrize(
    ("value", "unit", "metres"), [("4.50", "m", 4.5), ("10", "ft", 3.048), ("75", "mm", 0.075), ("1.5", "", 1.5), ("-2.0", "m", -2.0)]
)
def test_lengths_are_read_in_the_unit_of_their_column(value, unit, metres):
    tables = read_tables(TEXT.replace('"4.50"', f'"{value}"').replace('"","","m"', f'"","","{unit}"'))
    assert tables.of("LOCA")[0].number("LOCA_GL") == metres
    assert not tables.book.found


@pytest.mark.parametrize(
    ("value", "unit"), [("wet", "m"), ("nan", "m"), ("inf", "m"), ("1e300", "m"), ("4", "furlong"), ("4,555", "m"), ("4m3", "m")]
)
def test_value_that_is_no_length_is_a_doubt(value, unit):
    tables = read_tables(TEXT.replace('"4.50"', f'"{value}"').replace('"","","m"', f'"","","{unit}"'))
    assert tables.of("LOCA")[0].number("LOCA_GL") is None
    assert tables.book.found[0].quoted == value


def test_a_unit_of_another_kind_is_told_once_and_the_unit_of_the_format_taken():
    text = TEXT.replace('"","","m"', '"","","kPa"').rstrip() + '\n"DATA","B-2","","7.25"\n'
    tables = read_tables(text)
    assert [row.number("LOCA_GL") for row in tables.of("LOCA")] == [4.5, 7.25]
    assert ["kPa" in doubt.message for doubt in tables.book.found] == [True]


# ---- Legend codes of AGS4: the first digit names the soil (keying of engineering geological symbols, from memory)


@pytest.mark.parametrize(
    ("code", "soils", "symbol"),
    [
        ("201", {"clay"}, "CL-CH"),
        ("301", {"silt"}, "ML"),
        ("403", {"silty_sand", "clean_sand"}, "SM-SP"),
        ("509", {"silty_gravel", "clean_gravel"}, "GM-GP"),
        ("601", {"organic"}, "peat"),
        ("701", {"cobbles"}, "cobbles"),
        ("812", {"rock", "weathered_rock", "intermediate"}, "rock"),
        ("999", set(), None),
        ("", set(), None),
        ("CLAY", set(), None),
    ],
)
def test_legend_code_names_a_class_by_its_first_digit(code, soils, symbol):
    assert legend_soils(code) == soils
    assert symbol_of(legend_soils(code)) == symbol


def test_made_ground_legend_allows_every_soil_and_no_symbol():
    assert {"clay", "clean_gravel", "organic"} <= legend_soils("102")
    assert symbol_of(legend_soils("102")) is None


def test_every_legend_code_names_soils_of_the_closed_list():
    assert all(soils <= SOILS for soils in LEGEND.values())
