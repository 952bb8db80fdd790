"""Schedules of shafts as they are copied off drawings, with invented contents; what they mean is their plain sense (common practice)."""

import openpyxl
import pytest

from methodpick.errors import InputError
from methodpick.ground.check import check
from methodpick.imports.input_formats import read_file

BORINGS = "id,ground elevation (ft),depth (ft)\nB-1,520,80\n"
PLAIN = "shaft,boring,diameter (in),cutoff (ft),tip (ft),count\nP1,B-1,48,3,62,4\nP2,B-1,48,3,66,6\n"


@pytest.fixture
def pasted(tmp_path):
    def read(text):
        (tmp_path / "borings.csv").write_text(BORINGS, encoding="utf-8")
        (tmp_path / "shaft schedule.txt").write_text(text, encoding="utf-8")
        return read_file(tmp_path)

    return read


def built(read):
    """The shafts in inches and feet, as a schedule has them."""
    feet = [(shaft.cutoff_m / 0.3048, shaft.tip_m / 0.3048) for shaft in read.site.shafts]
    return [
        (shaft.id, round(shaft.diameter_m / 0.0254, 2), round(top, 2), round(tip, 2), shaft.count)
        for shaft, (top, tip) in zip(read.site.shafts, feet, strict=True)
    ]


STACKED = """DRILLED SHAFT SCHEDULE, BRIDGE 4
SHAFT\tSHAFT\tTOP\tTIP\tNO.
NO.\tDIA.\tDEPTH\tDEPTH\tREQ'D
\t(IN.)\t(FT)\t(FT)\t
P1\t48\t3\t62\t4
"""
OVER_COLUMNS = """PIER\tSHAFT\tDIA.\tELEVATION (FT)\t\tBORING
\t\t(IN)\tTOP\tTIP\t
Pier 2\t2A\t48\t517\t458\tB-1
\t2B\t48\t517\t454\tB-1
Pier 3\t3A\t60\t516\t450\tB-1
"""


def test_headings_in_several_rows_are_read_down_each_column(pasted):
    assert built(pasted(STACKED)) == [("P1", 48, 3, 62, 4)]


def test_a_word_over_several_columns_belongs_to_each_and_a_level_is_no_depth(pasted):
    read = pasted(OVER_COLUMNS)
    assert built(read) == [("2A", 48, 3, 62, 1), ("2B", 48, 3, 66, 1), ("3A", 60, 4, 70, 1)]
    assert [shaft.substructure for shaft in read.site.shafts] == ["Pier 2", "Pier 2", "Pier 3"]
    assert ["names no substructure" in doubt.message for doubt in read.doubts] == [True]


def test_the_sizes_of_a_casing_are_not_those_of_the_shaft(pasted):
    read = pasted("PIER,DIA.,CASING,,TIP\n,(IN),DIA (IN),TIP (FT),(FT)\n1,48,54,20,60\n")
    assert built(read) == [("1", 48, 0, 60, 1)]
    assert sorted(doubt.message for doubt in read.doubts) == [
        "the heading 'CASING DIA (IN)' is not known",
        "the heading 'CASING TIP (FT)' is not known",
    ]


def test_the_same_in_a_workbook_with_merged_cells(tmp_path):
    made = openpyxl.Workbook()
    tab = made.active
    tab.title = "Schedule"
    for row in (["SHAFT", "DIA.", "ELEVATION (FT)", None], [None, "(IN)", "TOP", "TIP"], ["P1", 48, 517, 458]):
        tab.append([*row, "BORING" if row[0] == "SHAFT" else "B-1" if row[0] else None])
    tab.merge_cells("A1:A2")
    tab.merge_cells("C1:D1")
    tab.merge_cells("E1:E2")
    borings = made.create_sheet("Borings")
    for row in (["id", "ground elevation (ft)", "depth (ft)"], ["B-1", 520, 80]):
        borings.append(row)
    made.save(tmp_path / "weir.xlsx")
    assert built(read_file(tmp_path / "weir.xlsx")) == [("P1", 48, 3, 62, 1)]


@pytest.mark.parametrize(
    ("below", "reason"),
    [
        ("TOTALS,,,,,10\n", "a row of totals"),
        (",,,,,10\n", "a row of totals"),
        ("Total concrete = 285 cy,,,,,\n", "a row of totals"),
        ("NOTES:,,,,,\n", "a note beside the table"),
        ("1. All shafts shall be cleaned,,,,,\n", "a note beside the table"),
        ("shaft,boring,diameter (in),cutoff (ft),tip (ft),count\n", "the headings again"),
    ],
)
def test_rows_that_are_no_shafts_are_set_aside_with_their_reason(pasted, below, reason):
    read = pasted(PLAIN + below)
    assert built(read) == [("P1", 48, 3, 62, 4), ("P2", 48, 3, 66, 6)]
    count = next(count for count in read.counts if count.group == "shafts")
    assert (count.rows, count.used, count.set_aside) == (3, 2, ((reason, 1),))
    assert [(doubt.severity, reason in doubt.message) for doubt in read.doubts] == [("note", True)]


def test_totals_that_differ_from_the_rows_are_a_serious_doubt(pasted):
    read = pasted(f"{PLAIN}TOTAL,,,,,11\n")
    assert [(doubt.severity, "says 11" in doubt.message, "add up to 10" in doubt.message) for doubt in read.doubts] == [
        ("serious", True, True)
    ]


def test_a_table_that_goes_on_behind_its_totals_is_read_on(pasted):
    rest = "SUBTOTAL,,,,,10\nP3,B-1,48,3,70,2\nSUBTOTAL,,,,,2\nTOTAL,,,,,12\n"
    read = pasted(PLAIN + rest)
    assert [shaft[0] for shaft in built(read)] == ["P1", "P2", "P3"]
    assert {doubt.severity for doubt in read.doubts} == {"note"}


@pytest.mark.parametrize("row", ["P3,B-1,,3,70,2\n", ",B-1,48,3,70,2\n", "P3,,,,,\n", ",,,,,9\n"])
def test_a_shaft_that_lacks_something_is_refused_and_no_total(pasted, row):
    with pytest.raises(InputError):
        pasted(PLAIN + row)


@pytest.mark.parametrize(
    ("size", "tip", "inches", "feet"),
    [
        ("4'-6 1/2\"", "62'-6\"", 54.5, 62.5),
        ('54\N{VULGAR FRACTION ONE HALF}"', "62.5' \N{PLUS-MINUS SIGN}", 54.5, 62.5),
        ('54"\N{LATIN CAPITAL LETTER O WITH STROKE}', "62.5 LF", 54, 62.5),
        ("54 in. dia.", "62.5 ft +/-", 54, 62.5),
        ("4\N{PRIME}-6\N{DOUBLE PRIME}", "62\N{PRIME}-6\N{DOUBLE PRIME}", 54, 62.5),
    ],
)
def test_sizes_as_they_stand_on_drawings(pasted, size, tip, inches, feet):
    read = pasted(f"shaft\tdiameter\tcutoff\ttip\nP1\t{size}\t3'-0\"\t{tip}\n")
    assert built(read) == [("P1", inches, 3, feet, 1)]


def test_a_title_with_a_comma_leaves_tabs_between_the_cells(pasted):
    assert built(pasted("SCHEDULE, PIERS 2, 3, 4\nshaft\tdiameter (in)\ttip (ft)\nP1\t48\t62\n")) == [("P1", 48, 0, 62, 1)]


def test_columns_that_blanks_part(pasted):
    text = "PIER   DIA (IN)   CUTOFF (FT)   TIP (FT)\nP1     48         3             62\nP2     48         3             66\n"
    assert built(pasted(text)) == [("P1", 48, 3, 62, 1), ("P2", 48, 3, 66, 1)]
    with pytest.raises(InputError, match="which one lacks, nothing tells"):
        pasted(text.replace("48         3             66", "48                       66"))


@pytest.mark.parametrize(
    ("name", "several"),
    [
        ("P1-P4", True),
        ("P5 thru P8", True),
        ("P9, P10", True),
        ("P9 & P10", True),
        ("2-3", False),
        ("P9-1", False),
        ("Pier 3 - Shaft 2", False),
    ],
)
def test_a_name_of_several_shafts_that_counts_as_one_is_doubted(pasted, name, several):
    read = pasted(f"shaft\tdiameter (in)\ttip (ft)\n{name}\t48\t62\n")
    assert any("several shafts" in doubt.message for doubt in check(read.site)) == several
    counted = pasted(f"shaft\tdiameter (in)\ttip (ft)\tcount\n{name}\t48\t62\t4\n")
    assert not any("several shafts" in doubt.message for doubt in check(counted.site))
