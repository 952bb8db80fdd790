"""How a boring was drilled and cased, as logs of several firms write it. Invented logs; common practice, no source."""

import pytest
from imports.test_ags4_faults import GROUND, group, header, layers, read

DAYS = ("LOCA_ID", "LOCA_TYPE", "LOCA_FDEP", "LOCA_STAR", "LOCA_ENDD")
CORES = group("CORE", ("LOCA_ID", "CORE_TOP", "CORE_BASE"), ("", "m", "m"), ("LW-4", "12.00", "13.50"))


def ways(*rows, headings=("HDPH_TOP", "HDPH_BASE", "HDPH_TYPE")):
    return group("HDPH", ("LOCA_ID", *headings), ("", "m", "m", "", "")[: len(headings) + 1], *(("LW-4", *row) for row in rows))


def lengths(boring):
    return [(length.top_m, length.base_m, length.technique) for length in boring.drilling]


def test_a_length_of_two_ways_is_cored_from_its_first_run_on():
    boring, _ = read(header(kind=""), GROUND, CORES, ways(("0.00", "20.00", "CP+RC")))
    assert lengths(boring) == [(0.0, 12.0, "cable_percussion"), (12.0, 20.0, "core")]
    assert boring.technique == "cable_percussion"


@pytest.mark.parametrize(
    ("words", "technique"),
    [
        ("Windowless Sampling", "window_sampler"),
        ("Rotary coring", "core"),
        ("Rotary open hole", "rotary"),
        ("Rotary open hole, air flush", "air_rotary"),
        ("Air rotary", "air_rotary"),
        ("Rotary open hole (air mist)", "rotary"),
        ("Light cable percussion", "cable_percussion"),
        ("Trial Pitting", "unknown"),
        ("Dynamic probing", "unknown"),
    ],
)
def test_the_method_in_words_counts_where_no_code_is_given(words, technique):
    rows = ways(("0.00", "20.00", words), headings=("HDPH_TOP", "HDPH_BASE", "HDPH_METH"))
    assert read(header(kind=""), GROUND, rows)[0].technique == technique


def flushed(*rows):
    return group("FLSH", ("LOCA_ID", "FLSH_TOP", "FLSH_BASE", "FLSH_TYPE"), ("", "m", "m", ""), *(("LW-4", *row) for row in rows))


@pytest.mark.parametrize(
    ("rows", "technique"),
    [
        ([("0.00", "20.00", "Air")], "air_rotary"),
        ([("0.00", "20.00", "Air/mist")], "rotary"),
        ([("0.00", "20.00", "Water")], "rotary"),
        ([("0.00", "5.00", "Air"), ("5.00", "20.00", "Water")], "air_rotary"),
        ([("8.00", "20.00", "Air")], "rotary"),
        ([], "rotary"),
    ],
    ids=["air", "mist is water", "water", "air at the top", "told only below", "not told"],
)
def test_rotary_drilling_by_air_is_told_by_its_flush(rows, technique):
    """Its kind as a whole is that of its upper part; by length, each by the flush of that length."""
    boring, _ = read(header(kind="RO"), GROUND, *([flushed(*rows)] if rows else []))
    assert boring.technique == technique
    boring, _ = read(header(kind=""), GROUND, ways(("0.00", "5.00", "RO"), ("5.00", "20.00", "RO")), flushed(("5.00", "20.00", "Air")))
    assert lengths(boring) == [(0.0, 5.0, "rotary"), (5.0, 20.0, "air_rotary")]


def test_a_code_that_only_the_file_explains_is_read_by_its_words():
    codes = group("ABBR", ("ABBR_HDNG", "ABBR_CODE", "ABBR_DESC"), ("", "", ""), ("LOCA_TYPE", "XD", "Hollow stem auger"))
    assert read(header(kind="XD"), GROUND, codes)[0].technique == "hollow_stem_auger"
    boring, doubts = read(header(kind="XD"), GROUND)
    assert boring.technique == "unknown"
    assert any("not known" in doubt.message for doubt in doubts)


def test_an_unknown_way_of_a_length_is_told():
    assert any("way of drilling" in doubt.message for doubt in read(header(), GROUND, ways(("0.00", "20.00", "QQ")))[1])


def test_the_casing_noted_with_tests_and_shifts_counts():
    tests = group(
        "ISPT",
        ("LOCA_ID", "ISPT_TOP", "ISPT_NVAL", "ISPT_CAS"),
        ("", "m", "", "m"),
        ("LW-4", "2.00", "9", "No"),
        ("LW-4", "8.00", "21", "7.50"),
    )
    boring, doubts = read(header(), GROUND, tests)
    assert boring.casing_depth_m == 7.5
    assert not doubts
    casings = group("CDIA", ("LOCA_ID", "CDIA_DPTH"), ("", "m"), ("LW-4", "9.00"))
    assert read(header(), GROUND, tests, casings)[0].casing_depth_m == 9.0


def test_layers_below_the_stated_depth_are_believed_where_other_rows_bear_them_out():
    holes = group("HDIA", ("LOCA_ID", "HDIA_DPTH", "HDIA_DIAM"), ("", "m", "mm"), ("LW-4", "20.00", "150"))
    boring, doubts = read(header(depth="12.00"), GROUND, holes)
    assert boring.depth_m == 20.0
    assert [doubt.severity for doubt in doubts if "deep" in doubt.message] == ["serious"]
    assert read(header(depth="12.00"), GROUND)[0].depth_m == 12.0, "a layer alone may be a slip"


def test_the_energy_of_the_hammer_is_read_from_a_remark():
    tests = group("ISPT", ("LOCA_ID", "ISPT_TOP", "ISPT_NVAL", "ISPT_REM"), ("", "m", "", ""), ("LW-4", "2.00", "9", "Energy Ratio 64%."))
    assert read(header(), GROUND, tests)[0].hammer_efficiency_percent == 64.0
    assert read(header(remark="SPT hammer A: Er = 71%. SPT hammer B: Er = 82%."), GROUND)[0].hammer_efficiency_percent is None


def test_the_level_on_a_local_datum_counts_where_no_boring_has_another():
    headings, units = ("LOCA_ID", "LOCA_FDEP", "LOCA_GL", "LOCA_LOCZ"), ("", "m", "m", "m")
    local = group("LOCA", headings, units, ("LW-4", "20.00", "", "98.60"))
    assert read(local, layers(("0.00", "20.00", "Stiff CLAY", "")))[0].ground_elevation_m == 98.6
    mixed = group("LOCA", headings, units, ("LW-4", "20.00", "", "98.60"), ("LW-5", "20.00", "4.10", ""))
    assert read(mixed, layers(("0.00", "20.00", "Stiff CLAY", "")))[0].ground_elevation_m is None


def test_what_is_said_of_the_sides_of_a_pit_says_that_it_is_of_them():
    rows = ways(("0.00", "3.00", "TP", "Poor"), headings=("HDPH_TOP", "HDPH_BASE", "HDPH_TYPE", "HDPH_STAB"))
    (remark,) = read(header(kind="TP"), GROUND, rows)[0].remarks
    assert (remark.depth_m, remark.text, remark.tag) == (None, "stability: Poor (unstable)", "collapse")


@pytest.mark.parametrize(
    ("start", "end", "date"),
    [
        ("2026-03-16", "2026-03-18", "2026-03-16 to 2026-03-18"),
        ("2026-03-16T08:30:00", "2026-03-16", "2026-03-16"),
        ("", "2026-03-18", "2026-03-18"),
        ("spring 2026", "", "spring 2026"),
        ("", "", None),
    ],
)
def test_the_days_of_drilling_are_those_of_the_header(start, end, date):
    boring, doubts = read(group("LOCA", DAYS, ("", "", "m", "yyyy-mm-dd", "yyyy-mm-dd"), ("LW-4", "CP", "20.00", start, end)), GROUND)
    assert boring.date == date
    assert not doubts
