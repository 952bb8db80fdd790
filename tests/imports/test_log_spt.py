"""Spellings of penetration tests in AGS4 files; BS EN ISO 22476-3 stops the main drive at 50 blows (memory).

The spellings were seen in public logs; the values here are invented.
"""

import pytest

from methodpick.ground.profile import Remark
from methodpick.imports.ags4 import read_ags4_tables as read_tables
from methodpick.imports.log_spt import read_spt

HEADINGS = (
    "LOCA_ID",
    "ISPT_TOP",
    "ISPT_NVAL",
    "ISPT_REP",
    "ISPT_MAIN",
    "ISPT_NPEN",
    "ISPT_SWP",
    *(f"ISPT_INC{i}" for i in range(1, 7)),
    *(f"ISPT_PEN{i}" for i in range(1, 7)),
)
UNITS = ("", "m", "", "", "", "mm", "mm", *[""] * 6, *["mm"] * 6)


def read(**cells):
    row = {"LOCA_ID": "B-1", "ISPT_TOP": "3.00", **{f"ISPT_{name}": value for name, value in cells.items()}}
    lines = [("HEADING", *HEADINGS), ("UNIT", *UNITS), ("DATA", *(row.get(heading, "") for heading in HEADINGS))]
    text = '"GROUP","ISPT"\n' + "\n".join(",".join(f'"{cell}"' for cell in line) for line in lines)
    tables = read_tables(text)
    return read_spt(tables.of("ISPT")[0]), tables.book.found


@pytest.mark.parametrize(
    ("report", "n", "penetration"),
    [
        ("N=25 (3,3/5,5,7,8)", 25, None),
        ("50 (25 for 125mm/50 for 150mm)", 50, 0.15),
        ("50 (5,25/50 for 75mm)", 50, 0.075),
        ("50 (25 for 20mm/50 for 0mm)", 50, 0.001),
        ("50/75", 50, 0.075),
        ("N=50/280", 50, 0.28),
        ("50/75mm", 50, 0.075),
        ("50 for 90mm", 50, 0.09),
        ("N>50 (hard)", 50, None),
        ("50+", 50, None),
        ("72*", 50, None),
        ("14", 14, None),
        ("S 50/125mm", 50, 0.125),
        ("N50/125", 50, 0.125),
        ("5-7-9", 16, None),
        ("5,7,9", 16, None),
        ("4,4,5,6,7,8", 26, None),
        ("50*/75mm", 50, 0.075),
        ("50 blows/75mm", 50, 0.075),
        ("Refusal 50/75mm", 50, 0.075),
        ("R50/75", 50, 0.075),
        ("50 @ 75mm", 50, 0.075),
        ("50/3in", 50, 0.0762),
        ("50 for 3 inches", 50, 0.0762),
        ("50 for 10cm", 50, 0.1),
        ("25 for 75mm, 50 for 100mm", 50, 0.1),
        ("25/75mm 50/40mm", 50, 0.04),
        ("(25/50mm)(50/30mm)", 50, 0.03),
        ("2-3-4-5-6-7", 22, None),
        ("2/3/4", 7, None),
        ("(C) 34", 34, None),
        ("C34", 34, None),
        ("34C", 34, None),
        ("50R", 50, None),
    ],
)
def test_reported_text(report, n, penetration):
    test, _ = read(REP=report)
    assert (test.n, test.penetration_m, test.text) == (n, penetration, report)


def test_a_starred_seating_drive_is_no_count():
    """A star before the stroke marks blows of the seating drive alone; 25 of them are refusal there (BS EN ISO 22476-3, memory)."""
    remark, doubts = read(REP="25*/50")
    assert isinstance(remark, Remark)
    assert "seating drive after 25 blows over 50 mm" in doubts[0].message


def test_rods_that_sank_by_their_own_weight():
    test, _ = read(REP="Rods sank under own weight")
    assert (test.n, test.weight_of_hammer) == (0, True)


def test_extrapolated_count_is_never_kept_as_a_count():
    test, doubts = read(REP="72*")
    assert test.n == 50
    assert "extrapolated" in doubts[0].message


def test_count_with_increments():
    test, doubts = read(NVAL="19", REP="N=19 (3,3/4,5,5,5)", NPEN="450", **{f"INC{i}": n for i, n in enumerate("334555", 1)})
    assert (test.n, test.penetration_m, test.blows) == (19, None, (6, 9, 10))
    assert not doubts


def test_total_penetration_includes_the_seating_drive_when_it_is_long():
    test, _ = read(NVAL="60", NPEN="350")
    assert test.penetration_m == 0.2


def test_total_penetration_below_the_seating_length_is_of_the_main_drive():
    test, _ = read(NVAL="50", NPEN="35")
    assert test.penetration_m == 0.035
    assert test.refusal


def test_full_penetration_is_no_refusal():
    assert read(NVAL="62", NPEN="450")[0].penetration_m is None
    assert read(NVAL="62", NPEN="300")[0].penetration_m is None


def test_increments_give_the_penetration():
    test, _ = read(REP="50 (refused)", PEN1="75", PEN2="75", PEN3="75", PEN4="40", NPEN="265")
    assert test.penetration_m == 0.115


@pytest.mark.parametrize("cells", [{"REP": "Self weight penetration"}, {"SWP": "450"}, {"NVAL": "0", "REP": "SW"}])
def test_weight_of_hammer(cells):
    test, _ = read(**cells)
    assert (test.n, test.weight_of_hammer) == (0, True)


@pytest.mark.parametrize("cells", [{}, {"REP": "25 for 60mm seating only"}, {"REP": "abandoned"}])
def test_row_without_a_count_is_a_remark_and_a_doubt(cells):
    kept, doubts = read(**cells)
    assert isinstance(kept, Remark)
    assert kept.depth_m == 3.0
    assert len(doubts) == 1


def test_row_without_a_depth_is_a_doubt():
    kept, doubts = read(TOP="", NVAL="9")
    assert kept is None
    assert len(doubts) == 1


def test_impossible_count_is_a_remark():
    kept, doubts = read(NVAL="4000")
    assert isinstance(kept, Remark)
    assert doubts


@pytest.mark.parametrize(
    ("cells", "n", "millimetres"),
    [
        ({"REP": "8,11/16,18,16   for 75mm", "MAIN": "50"}, 50, 225),
        ({"REP": "50 (7,16/16,17,17 for 70mm)"}, 50, 220),
        ({"REP": "50 (4,8/12,15,15,8 for 30mm)", "MAIN": "50", "NPEN": "405"}, 50, 255),
        ({"REP": "80 (25 for 36mm/40,40)"}, 80, 150),
        ({"REP": "3,4/4,19,27 SPT =50/205"}, 50, 205),
        ({"REP": "8,11/16,18,16/75mm"}, 50, 225),
        ({"REP": "N=50 (8,11/16,18,16/65mm)"}, 50, 215),
        ({"REP": "8,11,16,18,16/65mm"}, 50, 215),
        ({"REP": "8,11/16,18,16 for 65mm (50 for 215mm)"}, 50, 215),
        ({"REP": "25,-/50,-,-,- for 60mm"}, 50, 60),
        ({"REP": "50 (8,11/12,17,21,- for 68mm)"}, 50, 218),
        ({"REP": "50/260mm (6,9/11,13,16,10 for 35mm)"}, 50, 260),
        ({"REP": "50/0mm (25/0,50/0)", "MAIN": "50"}, 50, 1),
        ({"MAIN": "50", "INC1": "25", "INC3": "50", "PEN1": "75", "PEN3": "60"}, 50, 60),
        ({"REP": "214", "MAIN": "50", "INC1": "25", "INC3": "50", "PEN1": "60", "PEN3": "70", "NPEN": "130"}, 50, 70),
        ({"REP": "0 (75 for 76mm/,,,)", "INC1": "25", "INC2": "50", "PEN1": "45", "PEN2": "31"}, 75, 76),
    ],
)
def test_the_main_drive_is_read_from_every_heading(cells, n, millimetres):
    """Sums by hand: increments of 75 mm, the last one as long as it says."""
    test, _ = read(**cells)
    assert (test.n, round(test.penetration_m * 1000, 1)) == (n, millimetres)


@pytest.mark.parametrize(("stated", "told"), [(">50", "penetration at refusal"), ("NR", "no count"), ("R", "no count")])
def test_words_in_the_column_of_the_count_are_told_once(stated, told):
    _, doubts = read(NVAL=stated)
    assert [told in doubt.message for doubt in doubts] == [True]


def test_refusal_in_the_seating_drive_is_no_count():
    kept, doubts = read(REP="0 (25 for 0mm/0 for 0mm)")
    assert isinstance(kept, Remark)
    assert "25 blows over 0 mm" in kept.text
    assert len(doubts) == 1


def test_headings_that_disagree_are_a_doubt():
    test, doubts = read(NVAL="17", REP="N=22 (2,3/5,5,6,6)", MAIN="22")
    assert test.n == 22
    assert "17 (ISPT_NVAL)" in doubts[0].message
    assert "22 (ISPT_MAIN)" in doubts[0].message


def test_penetrations_that_disagree_are_settled_by_the_total():
    test, doubts = read(REP="50 (8,11/12,17,21 for 68mm)", INC3="12", INC4="17", INC5="21", PEN3="75", PEN4="75", PEN5="75", NPEN="368")
    assert test.penetration_m == 0.218
    assert "penetrations disagree" in doubts[0].message
