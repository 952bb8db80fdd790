"""Water that stood in the hole, seals and levels on the datum. Invented logs; common practice, no source."""

from imports.test_ags4_faults import GROUND, group, header, read, strikes


def water_at_tests(*rows):
    headings = ("LOCA_ID", "ISPT_TOP", "ISPT_NVAL", "ISPT_CAS", "ISPT_WAT")
    return group("ISPT", headings, ("", "m", "", "m", "m"), *(("LW-4", *row) for row in rows))


RISING = water_at_tests(("8.00", "14", "7.50", "6.80"), ("18.00", "50", "17.50", "1.70"))


def test_water_that_rose_in_the_cased_hole_is_told_and_kept():
    boring, doubts = read(header(), GROUND, strikes(("6.20", "")), RISING)
    (told,) = [doubt for doubt in doubts if "stood at" in doubt.message]
    assert (told.severity, told.depth_m) == ("serious", 18.0)
    assert "1.70 m in the hole of 18.00 m" in told.message
    (remark,) = [remark for remark in boring.remarks if "water in the hole" in remark.text]
    assert remark.text.endswith("6.80 m at 8.00 m (cased to 7.50 m), 1.70 m at 18.00 m (cased to 17.50 m)")


def test_water_that_was_added_above_is_no_more_than_a_note():
    added = group("WADD", ("LOCA_ID", "WADD_TOP", "WADD_BASE"), ("", "m", "m"), ("LW-4", "7.00", "12.00"))
    doubts = read(header(), GROUND, strikes(("6.20", "")), RISING, added)[1]
    assert [doubt.severity for doubt in doubts if "stood at" in doubt.message] == ["note"]


def test_zero_for_a_blank_and_water_below_the_levels_read_are_not_told():
    nothing = water_at_tests(("8.00", "14", "0.00", "0.00"), ("18.00", "50", "17.50", "7.00"))
    assert not [doubt for doubt in read(header(), GROUND, strikes(("6.20", "")), nothing)[1] if "stood at" in doubt.message]


def test_the_depth_at_which_a_strike_was_sealed_off_is_kept():
    headings = ("LOCA_ID", "WSTG_DPTH", "WSTG_SEAL")
    sealed = group("WSTG", headings, ("", "m", "m"), ("LW-4", "6.20", "9.50"))
    assert "sealed off by casing at 9.50 m" in (read(header(), GROUND, sealed)[0].water[0].remark or "")
    slip = group("WSTG", headings, ("", "m", "m"), ("LW-4", "6.20", "100000.00"))
    assert "sealed" not in (read(header(), GROUND, slip)[0].water[0].remark or "")


def test_a_row_of_rises_that_says_dry_is_no_doubt():
    headings = ("LOCA_ID", "WSTG_DPTH", "WSTD_POST", "WSTD_REM")
    dry = group("WSTD", headings, ("", "m", "m", ""), ("LW-4", "", "", "Pit dry"))
    assert not read(header(), GROUND, strikes(("", "Pit dry")), dry)[1]


def test_a_level_on_the_datum_becomes_a_depth():
    place = group("LOCA", ("LOCA_ID", "LOCA_FDEP", "LOCA_GL"), ("", "m", "m"), ("LW-4", "20.00", "31.40"))
    headings = ("LOCA_ID", "MONG_ID", "MOND_TYPE", "MOND_NAME", "MOND_RDNG", "MOND_UNIT", "MOND_DTIM")
    units = ("", "", "", "", "", "", "")
    by_type = group("MOND", headings, units, ("LW-4", "P1", "WLEV", "", "28.15", "m", "2031-05-06"))
    by_name = group("MOND", headings, units, ("LW-4", "P1", "GWX", "Groundwater level", "28.15", "mAOD", "2031-05-06"))
    for readings in (by_type, by_name):
        (reading,) = read(place, GROUND, readings)[0].water
        assert (reading.reading, reading.depth_m) == ("settled", 3.25)
    assert read(header(), GROUND, by_type)[0].water == (), "without a ground level it is no depth"
