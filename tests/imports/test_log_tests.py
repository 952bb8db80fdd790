"""Tests of the laboratory and the hole that tell a layer's strength, grain size or permeability. Invented logs; the sums are by hand.

Undrained strength is half of the deviator stress at failure of an unconsolidated undrained test (ASTM D2850, BS 1377-7); the unconfined
strength of rock is 20 to 25 times its point load index (ISRM suggested method, 1985); both from memory.
"""

import math

import pytest
from imports.test_ags3 import group as group_of_ags3
from imports.test_ags3 import only
from imports.test_ags4_faults import GROUND, group, header, layers, read

from methodpick.imports.ags3 import read_ags3
from methodpick.imports.ags4 import read_ags4

CLAY_ON_ROCK = layers(("0.00", "8.00", "Stiff CLAY", ""), ("8.00", "20.00", "Strong SANDSTONE", ""))
SAMPLE = ("LOCA_ID", "SAMP_TOP", "SPEC_REF")


def triaxials(kind, *stages, stated=""):
    first = group("TRIG", (*SAMPLE, "TRIG_TYPE"), ("", "m", "", ""), ("LW-4", "3.00", "1", kind))
    rows = [("LW-4", "3.00", "1", stated, stage) for stage in stages]
    return first + group("TRIT", (*SAMPLE, "TRIT_CU", "TRIT_DEVF"), ("", "m", "", "kPa", "kPa"), *rows)


@pytest.mark.parametrize(
    ("kind", "stages", "stated", "strength"),
    [("UU", ("120",), "", 60.0), ("UUM", ("100", "120", "140"), "", 60.0), ("UU", ("120",), "55", 55.0), ("CU", ("120",), "", None)],
)
def test_half_of_the_deviator_stress_of_an_undrained_test_is_the_strength(kind, stages, stated, strength):
    band = read(header(), CLAY_ON_ROCK, triaxials(kind, *stages, stated=stated))[0].layers[0].su_kpa
    assert (None if band is None else band.likely) == strength


def test_a_consolidated_test_says_why_it_gives_no_strength():
    counts = {count.group: count for count in read_ags4("".join((header(), CLAY_ON_ROCK, triaxials("CD", "200")))).counts}
    assert counts["TRIT"].set_aside == (("the test is consolidated", 1),)


def point_loads(*values):
    return group("RPLT", (*SAMPLE, "RPLT_PLSI"), ("", "m", "", "MN/m2"), *(("LW-4", "9.00", "1", value) for value in values))


def test_rock_is_twenty_to_twenty_five_times_as_strong_as_its_point_load():
    band = read(header(), CLAY_ON_ROCK, point_loads("4.0"))[0].layers[1].ucs_kpa
    assert 4000 * 20 <= band.likely <= 4000 * 25
    assert band.low < 4000 * 20
    assert band.high > 4000 * 25


def test_a_compressive_test_goes_before_point_loads():
    tests = group("RUCS", (*SAMPLE, "RUCS_UCS"), ("", "m", "", "MPa"), ("LW-4", "10.00", "1", "61"))
    band = read(header(), CLAY_ON_ROCK, point_loads("4.0"), tests)[0].layers[1].ucs_kpa
    assert (band.low, band.likely, band.high) == (61000.0, 61000.0, 61000.0)


def curve(*points):
    headings = (*SAMPLE, "GRAG_FINE")
    sieves = group(
        "GRAT", (*SAMPLE, "GRAT_SIZE", "GRAT_PERP"), ("", "m", "", "mm", "%"), *(("LW-4", "3.00", "1", *each) for each in points)
    )
    return group("GRAG", headings, ("", "m", "", "%"), ("LW-4", "3.00", "1", "")) + sieves


def test_the_finest_tenth_lies_between_two_sieves_on_a_scale_of_logarithms():
    band = read(header(), GROUND, curve(("0.063", "5"), ("0.252", "15"), ("2", "60"), ("20", "100")))[0].layers[0].d10_mm
    assert band.high == pytest.approx(math.sqrt(0.063 * 0.252), rel=1e-4)  # halfway from 5 to 15 %
    assert (band.low, band.likely) == (pytest.approx(band.high / 2), None), "what is bailed has lost fines"


def test_fines_that_are_stated_stand_over_silt_and_clay():
    """A grading that states its fines beside its silt and clay, which leave the finest sand out, keeps what it states."""
    headings = (*SAMPLE, "GRAG_FINE", "GRAG_SILT", "GRAG_CLAY")
    rows = group("GRAG", headings, ("", "m", "", "%", "%", "%"), ("LW-4", "3.00", "1", "38", "22", "9"))
    assert read(header(), GROUND, rows)[0].layers[0].fines_percent.likely == 38.0
    rows = group("GRAG", headings, ("", "m", "", "%", "%", "%"), ("LW-4", "3.00", "1", "", "22", "9"))
    assert read(header(), GROUND, rows)[0].layers[0].fines_percent.likely == 31.0


def test_a_curve_that_ends_above_a_tenth_has_no_finest_tenth():
    assert read(header(), GROUND, curve(("0.063", "12"), ("2", "60")))[0].layers[0].d10_mm is None


@pytest.mark.parametrize(("passing", "features"), [("88", ("cobbles",)), ("97", ()), ("100", ())])
def test_a_share_on_the_sieve_of_cobbles_is_cobbles_but_for_a_single_stone(passing, features):
    sieves = curve(("0.063", "4"), ("2", "60"), ("63", passing))
    assert read(header(), GROUND, sieves)[0].layers[0].features == features


def permeability(value):
    return group("IPRG", ("LOCA_ID", "IPRG_TOP", "IPRG_BASE", "IPRG_IPRM"), ("", "m", "m", "m/s"), ("LW-4", "2.00", "4.00", value))


def test_a_test_of_permeability_leaves_a_range():
    band = read(header(), GROUND, permeability("2.0E-05"))[0].layers[0].permeability_m_s
    assert band.likely == pytest.approx(2e-5)
    assert band.low < 2e-5 < band.high


def test_a_permeability_of_nothing_is_left_out_with_a_doubt():
    boring, doubts = read(header(), GROUND, permeability("0.000"))
    assert boring.layers[0].permeability_m_s is None
    assert ["IPRG_IPRM" in doubt.message for doubt in doubts] == [True]


def test_the_same_tests_in_ags3():
    sample = ("SAMP_TOP", "SPEC_REF")
    kind = group_of_ags3("TRIG", (*sample, "TRIG_TYPE"), ("m", "", ""), ("3.00", "1", "UU"))
    stage = group_of_ags3("TRIX", (*sample, "TRIX_CU", "TRIX_DEVF"), ("m", "", "kN/m2", "kN/m2"), ("3.00", "1", "", "90"))
    hole = group_of_ags3("IPRM", ("IPRM_TOP", "IPRM_BASE", "IPRM_IPRM"), ("m", "m", "m/s"), ("8.00", "9.00", "1E-4"))
    sieves = (("8.00", "1", "0.063", "5"), ("8.00", "1", "0.252", "15"), ("8.00", "1", "63", "90"))
    grading = group_of_ags3("GRAD", (*sample, "GRAD_SIZE", "GRAD_PERP"), ("m", "", "mm", "%"), *sieves)
    clay, sand = only(kind, stage, hole, grading).layers
    assert clay.su_kpa.likely == 45.0
    assert sand.permeability_m_s.likely == pytest.approx(1e-4)
    assert (sand.fines_percent.likely, sand.features) == (5.0, ("cobbles",))
    assert sand.d10_mm.high == pytest.approx(math.sqrt(0.063 * 0.252), rel=1e-4)


def test_a_point_load_of_ags3_stands_in_the_row_of_the_rock():
    rock = '"**GEOL"\n"*HOLE_ID","*GEOL_TOP","*GEOL_BASE","*GEOL_DESC"\n"<UNITS>","m","m",""\n"MQ-2","0.00","9.00","Strong GRANITE"\n\n'
    hole = '"**HOLE"\n"*HOLE_ID","*HOLE_FDEP"\n"<UNITS>","m"\n"MQ-2","9.00"\n\n'
    tests = group_of_ags3("ROCK", ("SAMP_TOP", "ROCK_UCS", "ROCK_PLSI"), ("m", "MN/m2", "MN/m2"), ("4.00", "", "5.0"))
    assert 100_000 <= read_ags3(hole + rock + tests).profiles[0].layers[0].ucs_kpa.likely <= 125_000


def test_a_row_of_nines_is_no_number():
    boring, doubts = read(header(depth="99999.9990"), GROUND)
    assert (boring.depth_m, boring.end_m) == (None, 20.0)
    assert [(doubt.severity, "nines" in doubt.message) for doubt in doubts] == [("note", True)]


def test_a_depth_that_no_site_file_takes_is_doubted_and_left_out():
    boring, doubts = read(header(depth="9181.0"), GROUND)
    assert (boring.depth_m, boring.end_m) == (None, 20.0)
    assert [(doubt.quoted, "LOCA_FDEP" in doubt.message) for doubt in doubts] == [("9181.0", True)]


@pytest.mark.parametrize(("name", "why"), [("BKFL", "closed"), ("SCPP", "cone"), ("SHBG", "remoulded"), ("XYZW", "not read")])
def test_a_group_that_is_left_alone_says_why(name, why):
    more = group(name, ("LOCA_ID", f"{name}_TOP"), ("", "m"), ("LW-4", "1.00"))
    counts = {count.group: count for count in read_ags4(f"{header()}{GROUND}{more}").counts}
    assert (counts[name].rows, counts[name].used, counts[name].left_alone) == (1, 0, True)
    assert why in counts[name].set_aside[0][0]


def gradings(fines="", silt="", clay=""):
    headings = ("LOCA_ID", "SAMP_TOP", "SPEC_DPTH", "GRAG_SILT", "GRAG_CLAY", "GRAG_FINE")
    return group("GRAG", headings, ("", "m", "m", "%", "%", "%"), ("LW-4", "3.00", "3.10", silt, clay, fines))


def sieves(*rows):
    headings = ("LOCA_ID", "SAMP_TOP", "SPEC_DPTH", "GRAT_SIZE", "GRAT_PERP")
    return group("GRAT", headings, ("", "m", "m", "mm", "%"), *(("LW-4", "3.00", "3.10", *row) for row in rows))


SIEVES = sieves(("2", "88"), ("0.063", "23"), ("0.002", "9"))


@pytest.mark.parametrize(
    ("parts", "fines"),
    [
        ((gradings(fines="21"), SIEVES), 21.0),
        ((gradings(), SIEVES), 23.0),
        ((gradings(silt="14", clay="9"),), 23.0),
        ((gradings(silt="14"),), None),
        ((SIEVES,), None),
    ],
    ids=["stated", "sieve", "silt and clay", "silt alone", "no grading"],
)
def test_the_fines_are_stated_or_passed_a_sieve_or_are_silt_and_clay(parts, fines):
    band = read(header(), GROUND, *parts)[0].layers[0].fines_percent
    assert (None if band is None else band.likely) == fines


@pytest.mark.parametrize(
    ("liquid", "plastic", "index", "expected"),
    [("52", "23", "", 29.0), ("52", "23", "30", 30.0), ("28", "NP", "", 0.0), ("", "", "NP", 0.0), ("52", "", "", None)],
)
def test_the_plasticity_index_is_stated_or_the_difference_of_the_limits(liquid, plastic, index, expected):
    headings = ("LOCA_ID", "SAMP_TOP", "LLPL_LL", "LLPL_PL", "LLPL_PI")
    limits = group("LLPL", headings, ("", "m", "%", "%", ""), ("LW-4", "3.00", liquid, plastic, index))
    band = read(header(), GROUND, limits)[0].layers[0].pi_percent
    assert (None if band is None else band.likely) == expected


@pytest.mark.parametrize(
    ("stated", "strength"), [("84", 84.0), ("V84kPa", 84.0), ("HV 84 kPa", 84.0), ("PP84kPa", None), ("V250+kPa", None)]
)
def test_a_vane_states_its_strength_with_or_without_letters(stated, strength):
    vanes = group("IVAN", ("LOCA_ID", "IVAN_DPTH", "IVAN_IVAN"), ("", "m", "kPa"), ("LW-4", "3.00", stated))
    boring = read(header(), GROUND, vanes)[0]
    band = boring.layers[0].su_kpa
    assert (None if band is None else band.likely) == strength
    assert any(stated in remark.text for remark in boring.remarks) is (strength is None)
