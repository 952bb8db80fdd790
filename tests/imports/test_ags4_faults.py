"""Faults of real AGS4 files, each in a small invented log. What is right follows from the words of each log; common practice, no source."""

import pytest

from methodpick.errors import InputError
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.log_remarks import depth_in


def group(name, headings, units, *rows):
    def line(kind, cells):
        return ",".join(f'"{cell}"' for cell in (kind, *cells))

    return "\n".join([f'"GROUP","{name}"', line("HEADING", headings), line("UNIT", units), *(line("DATA", row) for row in rows), "", ""])


def header(remark="", kind="CP", status="", depth="20.00"):
    headings = ("LOCA_ID", "LOCA_TYPE", "LOCA_STAT", "LOCA_FDEP", "LOCA_REM")
    return group("LOCA", headings, ("", "", "", "m", ""), ("LW-4", kind, status, depth, remark))


def layers(*rows):
    headings = ("LOCA_ID", "GEOL_TOP", "GEOL_BASE", "GEOL_DESC", "GEOL_LEG")
    return group("GEOL", headings, ("", "m", "m", "", ""), *(("LW-4", *row) for row in rows))


GROUND = layers(("0.00", "12.00", "Loose brown SAND", ""), ("12.00", "20.00", "Dense GRAVEL", ""))


def strikes(*rows):
    return group("WSTG", ("LOCA_ID", "WSTG_DPTH", "WSTG_REM"), ("", "m", ""), *(("LW-4", *row) for row in rows))


def read(*parts):
    imported = read_ags4("".join(parts), "lower-weir.ags")
    return imported.profiles[0], imported.doubts


def test_a_line_break_inside_a_value_keeps_the_layer():
    boring, doubts = read(header(), layers(("0.00", "2.00", "Soft grey\nsilty CLAY", "201"), ("2.00", "20.00", "Dense SAND", "401")))
    assert [layer.description for layer in boring.layers] == ["Soft grey silty CLAY", "Dense SAND"]
    assert not doubts


def test_a_quote_that_is_never_closed_loses_only_its_own_row():
    text = layers(("0.00", "2.00", "Soft CLAY", "201"), ("2.00", "20.00", "Dense SAND", "401")).replace('Soft CLAY"', "Soft CLAY")
    boring, doubts = read(header(), text)
    assert [layer.description for layer in boring.layers][1] == "Dense SAND"
    assert len(boring.layers) == 2
    assert any("quote is not closed" in doubt.message for doubt in doubts)


def test_a_log_without_units_says_that_the_usual_ones_are_taken():
    text = "\n".join(line for line in (header() + GROUND).splitlines() if not line.startswith('"UNIT"'))
    boring, doubts = read(text)
    assert [layer.base_m for layer in boring.layers] == [12.0, 20.0]
    assert [doubt.message for doubt in doubts] == [f"group {name} has no line of units" for name in ("LOCA", "GEOL")]


def test_a_packed_file_is_named():
    with pytest.raises(InputError, match="packed file"):
        read_ags4("PK\x03\x04 sheet", "log.ags")


def test_a_logged_hole_that_is_called_proposed_is_kept_with_a_doubt():
    boring, doubts = read(header(status="PROPOSED"), GROUND)
    assert len(boring.layers) == 2
    assert ["proposed" in doubt.message for doubt in doubts] == [True]


@pytest.mark.parametrize(
    ("status", "word"), [("CANCELLED", "cancelled"), ("Planned", "planned"), ("P", "proposed"), ("Not drilled", "not drilled")]
)
def test_a_hole_that_was_not_made_is_set_aside_by_its_status(status, word):
    codes = group("ABBR", ("ABBR_HDNG", "ABBR_CODE", "ABBR_DESC"), ("", "", ""), ("LOCA_STAT", "P", "Proposed position"))
    other = header().replace("LW-4", "LW-5").replace('"GROUP"', "").split("DATA")[1]
    made, doubts = read(header(status=status).rstrip("\n") + '\n"DATA' + other, codes, GROUND.replace("LW-4", "LW-5"))
    assert made.id == "LW-5"
    assert [(doubt.boring, doubt.severity, word in doubt.message) for doubt in doubts] == [("LW-4", "note", True)]


@pytest.mark.parametrize("status", ["FINAL", "Preliminary", "DRAFT", ""])
def test_a_hole_of_another_status_is_read_without_a_word(status):
    boring, doubts = read(header(status=status), GROUND)
    assert len(boring.layers) == 2
    assert not doubts


@pytest.mark.parametrize(
    "remark",
    [
        "Groundwater strikes not recorded, water added while drilling",
        "Groundwater not encountered: strikes could not be seen due to the water flush",
        "No groundwater encountered. Water added throughout drilling",
    ],
)
def test_no_water_seen_in_a_hole_full_of_water_is_no_dry_hole(remark):
    boring, doubts = read(header(remark), GROUND)
    assert boring.water == ()
    assert doubts or "not recorded" in remark


def test_none_met_holds_only_above_the_depth_from_which_water_was_added():
    boring, _ = read(header("No groundwater encountered. Water added to assist boring between 4.50m and 9.00m."), GROUND)
    assert [(one.reading, one.hole_depth_m) for one in boring.water] == [("none_met", 4.5)]


def test_none_met_holds_only_above_the_first_core_run_and_the_first_flush():
    cores = group("CORE", ("LOCA_ID", "CORE_TOP", "CORE_BASE"), ("", "m", "m"), ("LW-4", "12.00", "13.50"))
    boring, _ = read(header(kind="CP+RC"), GROUND, cores, strikes(("", "None encountered")))
    assert [(one.reading, one.hole_depth_m) for one in boring.water] == [("none_met", 12.0)]
    flush = group("FLSH", ("LOCA_ID", "FLSH_TOP", "FLSH_BASE", "FLSH_TYPE"), ("", "m", "m", ""), ("LW-4", "8.00", "20.00", "Water"))
    assert read(header(), GROUND, flush, strikes(("", "None encountered")))[0].water[0].hole_depth_m == 8.0
    air = flush.replace("Water", "Air")
    assert read(header(), GROUND, cores, air, strikes(("", "None encountered")))[0].water[0].hole_depth_m == 20.0


def test_none_met_prior_to_flush_holds_down_to_the_depth_it_names():
    boring, _ = read(header("Groundwater not encountered prior to use of water flush at 6.50m."), GROUND)
    assert [(one.reading, one.hole_depth_m) for one in boring.water] == [("none_met", 6.5)]


@pytest.mark.parametrize(
    ("remark", "struck", "level"),
    [
        ("Groundwater encountered at 6.50m, rising to 5.40m after 20 minutes.", 6.5, 5.4),
        ("Water rose from 14.10m to 4.80m.", 14.1, 4.8),
        ("Water strike at 3.55m - water level rose to 1.30m BGL (20 mins).", 3.55, 1.3),
        ("Slight seepage of water at 2.20m.", 2.2, 2.2),
    ],
)
def test_water_that_only_a_remark_tells_of_is_read(remark, struck, level):
    boring, doubts = read(header(remark), GROUND)
    assert [(one.met_m, one.level_m) for one in boring.water] == [(struck, level)]
    assert any("remark only" in doubt.message for doubt in doubts)


def test_every_strike_of_a_remark_is_read():
    boring, _ = read(header("Groundwater encountered at depths of 1.60m and 10.10m."), GROUND)
    assert [one.met_m for one in boring.water] == [1.6, 10.1]


def test_a_rise_in_a_remark_belongs_to_the_strike_of_the_table():
    boring, _ = read(header("Water seepage encountered at 6.20m depth, rising to 5.80m after 20 minutes."), GROUND, strikes(("6.20", "")))
    assert [(one.met_m, one.level_m) for one in boring.water] == [(6.2, 5.8)]


def test_the_level_at_the_end_of_drilling_is_read_from_a_remark():
    boring, _ = read(header("Groundwater encountered at 5.0m bgl.  Groundwater on completion of borehole 5.3m bgl."), GROUND)
    assert sorted((one.reading, one.level_m) for one in boring.water) == [("end_of_drilling", 5.3), ("while_drilling", 5.0)]


def test_water_added_is_read_from_its_group():
    added = group("WADD", ("LOCA_ID", "WADD_TOP", "WADD_BASE", "WADD_VOLM"), ("", "m", "m", "l"), ("LW-4", "3.00", "6.00", "120"))
    boring, _ = read(header(), GROUND, added)
    assert [(one.depth_m, one.tag, one.text) for one in boring.remarks] == [(3.0, "water_added", "water added 3.00 to 6.00 m, 120 l")]


def test_the_table_of_codes_of_the_file_beats_the_digits_of_a_legend():
    codes = group("ABBR", ("ABBR_HDNG", "ABBR_CODE", "ABBR_DESC"), ("", "", ""), ("GEOL_LEG", "666", "NO RECOVERY"))
    (layer,) = read(header(), codes, layers(("0.00", "20.00", "as driller's log", "666")))[0].layers
    assert layer.symbol is None
    assert not layer.described.soils
    assert read(header(), layers(("0.00", "20.00", "as driller's log", "666")))[0].layers[0].symbol == "peat"


def test_a_code_that_the_file_explains_as_fill_is_fill():
    codes = group("ABBR", ("ABBR_HDNG", "ABBR_CODE", "ABBR_DESC"), ("", "", ""), ("GEOL_LEG", "MG", "Made Ground"))
    assert read(header(), codes, layers(("0.00", "20.00", "Brown sandy GRAVEL", "MG")))[0].layers[0].origin == "fill"


def test_all_casings_and_diameters_are_kept():
    casings = group("CDIA", ("LOCA_ID", "CDIA_DPTH", "CDIA_DIAM"), ("", "m", "mm"), ("LW-4", "4.50", "200"), ("LW-4", "11.00", "150"))
    holes = group("HDIA", ("LOCA_ID", "HDIA_DPTH", "HDIA_DIAM"), ("", "m", "mm"), ("LW-4", "4.50", "200"), ("LW-4", "20.00", "150"))
    boring, _ = read(header(), GROUND, casings, holes)
    assert [(casing.depth_m, casing.diameter_m) for casing in boring.casings] == [(4.5, 0.2), (11.0, 0.15)]
    assert [(length.top_m, length.base_m, length.diameter_m) for length in boring.drilling] == [(0.0, 4.5, 0.2), (4.5, 20.0, 0.15)]
    assert (boring.casing_depth_m, boring.diameter_m) == (11.0, 0.2)


def test_all_levels_of_a_strike_and_of_a_standpipe_are_kept():
    headings = ("LOCA_ID", "WSTG_DPTH", "WSTD_NMIN", "WSTD_POST")
    rises = group("WSTD", headings, ("", "m", "min", "m"), ("LW-4", "6.00", "20", "5.20"), ("LW-4", "6.00", "5", "5.70"))
    (strike,) = read(header(), GROUND, strikes(("6.00", "")), rises)[0].water
    assert strike.level_m == 5.2
    assert [(level.depth_m, level.after_h) for level in strike.history] == [(5.7, 0.0833), (5.2, 0.3333)]
    headings = ("LOCA_ID", "MONG_ID", "MOND_TYPE", "MOND_RDNG", "MOND_UNIT", "MOND_DTIM")
    read_out = [
        ("LW-4", "1", "WDEP", depth, "m", date) for depth, date in (("3.10", "2031-02-01"), ("2.80", "2031-01-01"), ("3.40", "2031-03-01"))
    ]
    (pipe,) = read(header(), GROUND, group("MOND", headings, ("",) * 6, *read_out))[0].water
    assert pipe.level_m == 2.8
    assert [(level.date, level.depth_m) for level in pipe.history] == [("2031-01-01", 2.8), ("2031-02-01", 3.1), ("2031-03-01", 3.4)]


def test_the_technique_is_that_of_each_depth():
    lengths = group(
        "HDPH",
        ("LOCA_ID", "HDPH_TOP", "HDPH_BASE", "HDPH_TYPE"),
        ("", "m", "m", ""),
        ("LW-4", "0.00", "12.00", "CP"),
        ("LW-4", "12.00", "20.00", "RC"),
    )
    boring, _ = read(header(kind="CP+RC"), GROUND, lengths)
    assert (boring.technique_at(5.0), boring.technique_at(15.0)) == ("cable_percussion", "core")


def test_a_hole_of_two_kinds_is_cored_from_its_first_core_run_on():
    cores = group("CORE", ("LOCA_ID", "CORE_TOP", "CORE_BASE"), ("", "m", "m"), ("LW-4", "14.00", "15.50"))
    boring, _ = read(header(kind="CP+RC"), GROUND, cores)
    assert (boring.technique_at(13.9), boring.technique_at(14.0)) == ("cable_percussion", "core")


def test_rows_are_counted_with_the_reason_for_those_set_aside():
    imported = read_ags4(
        header() + layers(("0.00", "9.00", "SAND", ""), ("", "12.00", "CLAY", "")) + group("ERES", ("LOCA_ID",), ("",), ("LW-4",))
    )
    counts = {count.group: (count.rows, count.used, count.set_aside) for count in imported.counts}
    assert counts["LOCA"] == (1, 1, ())
    assert counts["GEOL"] == (2, 1, (("the layer has no top", 1),))
    assert counts["ERES"] == (1, 0, (("chemistry and gas", 1),))


def test_a_hole_of_which_there_are_tests_alone_is_no_boring():
    """A laboratory that calls the cored part of a hole by another name makes no second boring of it."""
    text = (
        '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP"\n"UNIT","","m"\n"DATA","BH1","9.50"\n\n'
        '"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\n"UNIT","","m","m",""\n"DATA","BH1","0","9.5","LIMESTONE"\n\n'
        '"GROUP","RUCS"\n"HEADING","LOCA_ID","SPEC_DPTH","RUCS_UCS"\n"UNIT","","m","MPa"\n'
        '"DATA","BHR1","3.00","12"\n"DATA","BHR1","4.00","15"\n"DATA","BH1","5.00","18"\n'
    )
    read = read_ags4(text)
    assert [boring.id for boring in read.profiles] == ["BH1"]
    told = [doubt for doubt in read.doubts if "only its tests" in doubt.message]
    assert [(doubt.boring, doubt.severity) for doubt in told] == [("BHR1", "serious")]
    count = next(count for count in read.counts if count.group == "RUCS")
    assert (count.rows, count.used) == (3, 1)


@pytest.mark.parametrize(("levels", "read_as"), [(("0.00", "0.00"), [None, None]), (("0.00", "1.20"), [0.0, 1.2]), (("0.00",), [0.0])])
def test_a_level_of_nought_at_every_boring_was_not_measured(levels, read_as):
    holes = "\n".join(f'"DATA","BH{index}","9.50","{level}"' for index, level in enumerate(levels))
    layers = "\n".join(f'"DATA","BH{index}","0","9.5","Stiff CLAY"' for index, _ in enumerate(levels))
    text = (
        f'"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP","LOCA_GL"\n"UNIT","","m","m"\n{holes}\n\n'
        f'"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\n"UNIT","","m","m",""\n{layers}\n'
    )
    assert [boring.ground_elevation_m for boring in read_ags4(text).profiles] == read_as


@pytest.mark.parametrize(
    ("detail", "seams"),
    [("fracture, 80 deg, open with thin clay infill", 0), ("joint with soft clay", 0), ("very soft clay in a joint", 1), ("clay band", 1)],
)
def test_what_fills_a_joint_is_no_bed(detail, seams):
    text = (
        '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP"\n"UNIT","","m"\n"DATA","BH1","9.50"\n\n'
        '"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\n"UNIT","","m","m",""\n"DATA","BH1","0","9.5","MUDSTONE"\n\n'
        f'"GROUP","DETL"\n"HEADING","LOCA_ID","DETL_TOP","DETL_BASE","DETL_DESC"\n"UNIT","","m","m",""\n"DATA","BH1","3.0","3.1","{detail}"\n'
    )
    boring = read_ags4(text).profiles[0]
    assert len(boring.layers[0].seams) == seams
    assert seams or any(remark.text == detail for remark in boring.remarks)


@pytest.mark.parametrize(
    ("text", "depth_m"),
    [
        ("Hole caved in to 10 ft", 3.048),
        ("Lost circulation at 40'", 12.192),
        ("Seepage at 24.300m depth", 24.3),
        ("Void from 20 to 22 ft", 6.096),
    ],
)
def test_the_depth_of_a_remark_may_be_in_feet(text, depth_m):
    """One foot is 0.3048 m."""
    assert depth_in(text) == depth_m
