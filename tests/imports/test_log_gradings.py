"""Values of tests that a log leaves to the reader: fines, plasticity, a vane with its letters. Invented logs; the sums are by hand."""

import pytest
from imports.test_ags4_faults import GROUND, group, header, read


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
