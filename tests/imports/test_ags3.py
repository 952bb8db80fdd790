"""AGS3: the same borings by the same path. The grammar is that of public files; the logs here are invented."""

from pathlib import Path

import pytest

from methodpick.errors import InputError
from methodpick.imports.ags3 import read_ags3, read_ags3_tables
from methodpick.imports.ags4 import read_ags4

CORPUS = Path(__file__).parent.parent / "corpus"
HOLE = '"**HOLE"\n"*HOLE_ID","*HOLE_TYPE","*HOLE_FDEP","*HOLE_GL","*HOLE_REM"\n"<UNITS>","","m","m",""\n"MQ-2","CP","15.00","4.20",""\n\n'
GEOL = (
    '"**GEOL"\n"*HOLE_ID","*GEOL_TOP","*GEOL_BASE","*GEOL_DESC","*GEOL_LEG"\n"<UNITS>","m","m","",""\n'
    '"MQ-2","0.00","6.00","Soft grey CLAY","201"\n"MQ-2","6.00","15.00","Dense brown SAND","401"\n\n'
)


def group(name, headings, units, *rows):
    def line(cells):
        return ",".join(f'"{cell}"' for cell in cells)

    marked = [f"*{heading}" for heading in ("HOLE_ID", *headings)]
    return "\n".join([f'"**{name}"', line(marked), line(("<UNITS>", *units)), *(line(("MQ-2", *row)) for row in rows), "", ""])


def only(*parts):
    return read_ags3("".join((HOLE, GEOL, *parts))).profiles[0]


def test_header_and_layers():
    boring = only()
    assert (boring.id, boring.depth_m, boring.ground_elevation_m, boring.technique) == ("MQ-2", 15.0, 4.2, "cable_percussion")
    assert [(layer.top_m, layer.base_m, layer.description) for layer in boring.layers] == [
        (0.0, 6.0, "Soft grey CLAY"),
        (6.0, 15.0, "Dense brown SAND"),
    ]


def test_the_days_of_drilling_are_written_day_first():
    hole = HOLE.replace('"*HOLE_REM"', '"*HOLE_STAR","*HOLE_ENDD"').replace('"m","m",""', '"m","m","dd/mm/yyyy","dd/mm/yyyy"')
    hole = hole.replace('"4.20",""', '"4.20","05/03/1998","06/03/1998"')
    assert read_ags3(hole + GEOL).profiles[0].date == "1998-03-05 to 1998-03-06"


def test_a_group_without_units_says_that_the_usual_ones_are_taken():
    read = read_ags3(HOLE + GEOL.replace('"<UNITS>","m","m","",""\n', ""))
    assert read.profiles[0].layers == only().layers
    assert [doubt.message for doubt in read.doubts] == ["no units stand in group GEOL"]


def test_headings_that_run_over_lines_keep_their_columns():
    text = GEOL.replace('"*GEOL_BASE","*GEOL_DESC"', '"*GEOL_BASE",\n"*GEOL_DESC"')
    assert read_ags3(HOLE + text).profiles[0].layers == only().layers


def test_units_that_run_over_lines_keep_their_columns():
    text = GEOL.replace('"<UNITS>","m","m","",""', '"<UNITS>","m",\n"m","",""')
    assert read_ags3(HOLE + text).profiles == read_ags3(HOLE + GEOL).profiles


def test_rows_that_go_on_are_joined_letter_by_letter():
    text = GEOL.replace('"MQ-2","0.00","6.00","Soft grey CLAY","201"', '"MQ-2","0.00","6.00","Soft grey CL",""\n"<CONT>","","","AY","201"')
    assert read_ags3(HOLE + text).profiles[0].layers == only().layers


def test_a_group_that_stands_twice_completes_its_rows():
    more = '"**HOLE"\n"*HOLE_ID","*?HOLE_STAB"\n"<UNITS>",""\n"MQ-2","Sides unstable below 3.0m"\n\n'
    read = read_ags3(HOLE + GEOL + more)
    assert [profile.id for profile in read.profiles] == ["MQ-2"]
    assert [(remark.depth_m, remark.tag) for remark in read.profiles[0].remarks] == [(3.0, "collapse")]
    assert next(count for count in read.counts if count.group == "HOLE").rows == 2


def test_a_strike_and_its_rise_stand_in_one_row():
    rows = ("WSTK_DEP", "WSTK_NMIN", "WSTK_POST", "WSTK_FLOW", "WSTK_DATE", "WSTK_TIME"), ("m", "min", "m", "", "dd/mm/yyyy", "hhmm")
    boring = only(group("WSTK", *rows, ("7.50", "20", "5.10", "Fast inflow", "03/11/2031", "0915")))
    (reading,) = boring.water
    assert (reading.reading, reading.met_m, reading.level_m) == ("confined", 7.5, 5.1)
    assert reading.date == "2031-11-03T09:15:00"


def test_not_encountered_in_the_column_of_the_flow_is_a_fact():
    boring = only(group("WSTK", ("WSTK_DEP", "WSTK_FLOW"), ("m", ""), ("", "Groundwater not encountered")))
    assert [(one.reading, one.hole_depth_m) for one in boring.water] == [("none_met", 15.0)]


def test_penetration_counts_the_seating_drive():
    headings = ("ISPT_TOP", "ISPT_NVAL", "ISPT_NPEN", "ISPT_MAIN", "ISPT_REP")
    units = ("m", "", "mm", "", "")
    boring = only(group("ISPT", headings, units, ("7.00", "21", "450", "21", ""), ("9.00", "", "290", "50", "50 (5,17/28,22 for 65mm)")))
    assert [(test.n, test.penetration_m) for test in boring.spt] == [(21, None), (50, 0.14)]


def test_cores_casings_flush_and_chiselling_have_other_names():
    boring = only(
        group("CORE", ("CORE_TOP", "CORE_BOT", "CORE_RQD"), ("m", "m", "%"), ("12.00", "13.50", "40")),
        group("CDIA", ("CDIA_CDEP", "CDIA_HOLE"), ("m", "mm"), ("6.00", "200")),
        group("HDIA", ("HDIA_HDEP", "HDIA_HOLE"), ("m", "mm"), ("15.00", "150")),
        group("FLSH", ("FLSH_FROM", "FLSH_TO", "FLSH_TYPE", "FLSH_RETN"), ("m", "m", "", "%"), ("12.00", "15.00", "Water", "20")),
        group("CHIS", ("CHIS_FROM", "CHIS_TO", "CHIS_TIME"), ("m", "m", "hhmm"), ("5.00", "5.20", "0130")),
    )
    assert [(run.top_m, run.base_m, run.rqd_percent) for run in boring.cores] == [(12.0, 13.5, 40.0)]
    assert (boring.casing_depth_m, boring.casings[0].diameter_m, boring.diameter_m) == (6.0, 0.2, 0.15)
    tags = {remark.tag: remark.text for remark in boring.remarks}
    assert "return 20 %" in tags["fluid_loss"]
    assert "01:30 hh:mm" in tags["obstruction"]


def test_standpipes_of_both_kinds():
    zone = ("m", "dd/mm/yyyy", "m", "m")
    old = group("PREF", ("PREF_TDEP", "PREF_DATE", "PREF_TRPS", "PREF_BRPS"), zone, ("14.00", "01/02/2031", "10.00", "14.00"))
    old += group(
        "POBS",
        ("PREF_TDEP", "POBS_DATE", "POBS_DEP"),
        ("m", "dd/mm/yyyy", "m"),
        ("14.00", "05/02/2031", "3.20"),
        ("14.00", "01/02/2031", "3.60"),
    )
    new = old.replace("**PREF", "**?MONP").replace("**POBS", "**?MONR").replace("PREF_TDEP", "?MONP_DIS").replace("PREF_TRPS", "?MONP_TRZ")
    new = (
        new.replace("PREF_BRPS", "?MONP_BRZ")
        .replace("POBS_DATE", "?MONR_DATE")
        .replace("POBS_DEP", "?MONR_WDEP")
        .replace("PREF_DATE", "?MONP_DATE")
    )
    for text in (old, new):
        (reading,) = only(text).water
        assert (reading.reading, reading.depth_m, reading.response_zone_m) == ("piezometer", 3.2, (10.0, 14.0))
        assert [level.depth_m for level in reading.history] == [3.6, 3.2]


def test_laboratory_tests_reach_their_layers():
    lab = ("SAMP_TOP", "CLSS_LL", "CLSS_PL"), ("m", "%", "%")
    sieves = ("SAMP_TOP", "SAMP_REF", "GRAD_SIZE", "GRAD_PERP"), ("m", "", "mm", "%")
    boring = only(
        group("CLSS", *lab, ("3.00", "55", "22"), ("4.00", "", "")),
        group("GRAD", *sieves, ("8.00", "1", "0.063", "9"), ("8.00", "1", "2", "70"), ("8.00", "1", "0.075", "12")),
        group("IVAN", ("IVAN_DPTH", "IVAN_IVAN"), ("m", "kN/m2"), ("2.00", "24"), ("2.50", "V250+kPa")),
    )
    assert boring.layers[0].pi_percent.likely == 33.0
    assert boring.layers[1].fines_percent.likely == 12.0
    assert boring.layers[0].su_kpa.likely == 24.0
    triaxial = group("TRIX", ("SAMP_TOP", "TRIX_CU"), ("m", "kN/m2"), ("7.00", "65"), ("7.00", ""))
    assert only(triaxial).layers[1].su_kpa.likely == 65.0
    assert any("V250+kPa" in remark.text for remark in boring.remarks)


@pytest.mark.parametrize(("angle", "told"), [("90", 0), ("0", 0), ("-90", 0), ("60", 1), ("-45", 1)])
def test_inclination(angle, told):
    text = HOLE.replace('"*HOLE_REM"', '"*HOLE_INCL"').replace('"4.20",""', f'"4.20","{angle}"')
    assert sum("inclined" in doubt.message for doubt in read_ags3(text + GEOL).doubts) == told


def test_a_column_of_depths_in_percent_is_read_in_metres_with_a_doubt():
    cores = group("CORE", ("CORE_TOP", "CORE_BOT", "CORE_RQD"), ("%", "%", "%"), ("12.00", "13.50", "40"))
    read = read_ags3(HOLE + GEOL + cores)
    assert [(run.top_m, run.base_m) for run in read.profiles[0].cores] == [(12.0, 13.5)]
    assert ["CORE_TOP" in doubt.message or "CORE_BOT" in doubt.message for doubt in read.doubts] == [True, True]


def test_codes_of_the_file_explain_a_legend_in_words():
    codes = '"**ABBR"\n"*ABBR_HDNG","*ABBR_CODE","*ABBR_DESC"\n"GEOL_LEG","SANDZG","Silty gravelly SAND"\n\n'
    text = GEOL.replace('"Dense brown SAND","401"', '"as before","SANDZG"')
    assert read_ags3(HOLE + codes + text).profiles[0].layers[1].symbol == "SM-SP"


def test_stray_lines_are_doubts_with_their_lines():
    read = read_ags3('"stray"\n' + HOLE + GEOL + '"**ISPT"\n"MQ-2","3.00"\n"<CONT>","x"\n')
    assert [doubt.place.line for doubt in read.doubts] == [1, 14, 15]


def test_the_two_editions_of_one_log_give_the_same_borings():
    """The AGS4 text is the AGS3 one with its headings renamed by hand, as the editions call them."""
    newer = (
        '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_TYPE","LOCA_FDEP","LOCA_GL"\n"UNIT","","","m","m"\n"DATA","MQ-2","CP","15.00","4.20"\n'
        '"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC","GEOL_LEG"\n"UNIT","","m","m","",""\n'
        '"DATA","MQ-2","0.00","6.00","Soft grey CLAY","201"\n"DATA","MQ-2","6.00","15.00","Dense brown SAND","401"\n'
    )
    assert read_ags4(newer).profiles == read_ags3(HOLE + GEOL).profiles


@pytest.mark.parametrize(
    ("text", "said"), [("", "empty"), ("methodpick: 1\n", "no group line"), ('"**PROJ"\n"*PROJ_ID"\n"X"\n', "no boring")]
)
def test_other_files_are_refused(text, said):
    with pytest.raises(InputError, match=said):
        read_ags3(text, "log.ags")


def test_doubts_name_headings_as_the_file_does():
    doubts = read_ags3_tables(HOLE.replace("15.00", "deep")).of("LOCA")[0]
    doubts.number("LOCA_FDEP")
    assert doubts.book.found[0].message == "HOLE_FDEP is not a number in m"


def dry(*parts):
    """Return how deep no water was met, in which casing, in the borings of some groups."""
    return sorted((one.hole_depth_m, one.casing_depth_m) for one in only(*parts).water if one.reading == "none_met")


def shifts(*rows):
    return group(
        "PTIM", ("PTIM_DATE", "PTIM_TIME", "PTIM_DEP", "PTIM_CAS", "PTIM_WAT", "?PTIM_WTXT"), ("", "hhmm", "m", "m", "m", ""), *rows
    )


def test_a_hole_that_is_dry_at_the_end_of_a_shift_met_no_water_down_to_there():
    """The casing shuts the ground off above its shoe (definition of the reading); 0.001 m of hole says nothing."""
    rows = (("02/03/2026", "0800", "0.001", "", "Dry", ""), ("02/03/2026", "1700", "5.50", "2.00", "Dry", ""))
    assert dry(shifts(*rows)) == [(5.5, 2.0)]
    assert dry(shifts(("02/03/2026", "1700", "5.50", "Nil", "", "dry"))) == [(5.5, None)]


def test_a_hole_that_is_dry_at_its_tests_met_no_water_down_to_the_deepest():
    tests = group(
        "ISPT",
        ("ISPT_TOP", "ISPT_NVAL", "ISPT_CAS", "?ISPT_WTXT"),
        ("m", "", "m", ""),
        ("2.00", "12", "1.50", "dry"),
        ("4.00", "15", "1.50", "dry"),
    )
    assert dry(tests) == [(4.0, 1.5)]
    worded = group(
        "ISPT",
        ("ISPT_TOP", "ISPT_NVAL", "ISPT_CAS", "ISPT_REM"),
        ("m", "", "m", ""),
        ("3.00", "12", "", "Water depth = Dry."),
        ("4.00", "9", "", "Sample dry"),
    )
    assert dry(worded) == [(3.0, None)]


def test_dry_below_a_strike_or_below_added_water_is_a_remark_and_no_dry_ground():
    strike = group("WSTK", ("WSTK_DEP",), ("m",), ("4.00",))
    rows = shifts(
        ("02/03/2026", "1700", "3.00", "", "Dry", ""),
        ("03/03/2026", "1700", "9.00", "8.50", "Dry", ""),
        ("04/03/2026", "1700", "12.00", "8.50", "damp", ""),
    )
    boring = only(rows, strike)
    assert dry(rows, strike) == [(3.0, None)]
    told = {remark.text for remark in boring.remarks}
    assert told == {"hole logged as dry at 3.00 m, 9.00 m (cased to 8.50 m)", "hole logged as damp or wet at 12.00 m (cased to 8.50 m)"}
    added = group("FLSH", ("FLSH_FROM", "FLSH_TO", "FLSH_TYPE"), ("m", "m", ""), ("6.00", "15.00", "Water"))
    assert dry(shifts(("02/03/2026", "1700", "9.00", "", "Dry", "")), added) == []


def test_a_standpipe_that_is_dry_at_every_visit_is_evidence_and_one_that_gave_a_level_keeps_it():
    pipe = group("?MONP", ("?MONP_DIS", "?MONP_TRZ", "?MONP_BRZ"), ("m", "m", "m"), ("8.00", "6.00", "8.00"))
    visit = ("?MONP_DIS", "?MONR_DATE", "?MONR_TIME", "?MONR_WDEP", "?MONR_REM"), ("m", "", "", "m", "")
    empty = ("8.00", "02/04/2026", "", "", "Dry. Pipe blocked.")
    assert dry(pipe, group("?MONR", *visit, empty)) == [(8.0, 6.0)]
    boring = only(pipe, group("?MONR", *visit, empty, ("8.00", "09/04/2026", "", "7.10", "")))
    assert [(one.reading, one.level_m) for one in boring.water] == [("piezometer", 7.1)]


@pytest.mark.parametrize(("words", "depth"), [("Dry", 15.0), ("DRY to 6.0", 6.0), ("Not encountered", 15.0), ("None", 15.0)])
def test_words_in_the_column_of_a_strike(words, depth):
    assert dry(group("WSTK", ("WSTK_DEP",), ("m",), (words,))) == [(depth, None)]


def test_a_legend_of_sand_does_not_deny_its_fines():
    legend = '"**ABBR"\n"*ABBR_HDNG","*ABBR_CODE","*ABBR_DESC"\n"GEOL_LEG","401","SAND and GRAVEL"\n\n'
    read = read_ags3(HOLE + legend + GEOL.replace("Dense brown SAND", "Clayey SAND and GRAVEL"))
    assert not any("disagree" in doubt.message for doubt in read.doubts)
    clash = read_ags3(HOLE + legend + GEOL.replace("Dense brown SAND", "Stiff CLAY"))
    assert any("disagree" in doubt.message for doubt in clash.doubts)
