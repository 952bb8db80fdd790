"""Values from outside the project for what the rulebook holds: classes by blow count, the dry limit, heave; marks as in test_formulas."""

from math import sqrt

import pytest

from methodpick.engine.compiler import FALSE
from methodpick.mechanics.clay import heave_number
from methodpick.plan.casing.sizes import CasingUse, wall_for
from methodpick.vocabulary.values import known, point


@pytest.mark.parametrize(("count", "name"), [(1, "very_soft"), (3, "soft"), (6, "firm"), (12, "stiff"), (20, "very_stiff"), (35, "hard")])
def test_consistency_by_blow_count(book, count, name):
    """Terzaghi & Peck (1967), read in a table of a reference library: 2, 4, 8, 15, 30 blows part the classes (medium is our firm)."""
    found = book.tables["consistency_by_n"].look_up({"n60": point(float(count))})["consistency"]
    assert name in found.values
    assert found.likely in {name, None}


@pytest.mark.parametrize(("kpa", "name"), [(20, "very_soft"), (40, "soft"), (75, "firm"), (150, "stiff"), (300, "very_stiff")])
def test_british_words_by_blow_count_go_with_their_strengths(book, kpa, name):
    """BS 5930 (1999) ends its words at 20, 40, 75, 150 and 300 kPa (memory); Stroud (1974): 4 to 6 kPa a blow, 5 in the middle (memory)."""
    ends = {word: row.when["n60"].high for row in book.tables["british_consistency_by_n"].rows for word in row.then["consistency"].values}
    assert kpa / 6 <= ends[name] <= kpa / 4
    strengths = book.tables["strength_of_clay"].look_up({"consistency": known(name), "british_words": known("yes")})["su_kpa"]
    assert strengths.high == kpa


@pytest.mark.parametrize(("count", "name"), [(2, "very_loose"), (7, "loose"), (20, "medium_dense"), (40, "dense"), (60, "very_dense")])
def test_density_by_blow_count(book, count, name):
    """Terzaghi & Peck (1967), memory: 4, 10, 30, 50 blows part the classes."""
    found = book.tables["density_by_n"].look_up({"n60": point(float(count))})["density"]
    assert name in found.values


@pytest.mark.parametrize(("count", "name"), [(2, "very_loose"), (6, "loose"), (15, "medium_dense"), (35, "dense"), (50, "very_dense")])
def test_density_by_corrected_blow_count(book, count, name):
    """Skempton (1986), memory: 3, 8, 25, 42 corrected blows part the classes, at relative densities of 15, 35, 65 and 85 %."""
    found = book.tables["density_by_corrected_n"].look_up({"n1_60": point(float(count))})["density"]
    assert found.likely == name


@pytest.mark.parametrize(("percent", "name"), [(7, "very_loose"), (25, "loose"), (50, "medium_dense"), (75, "dense"), (95, "very_dense")])
def test_density_by_relative_density(book, percent, name):
    """Skempton (1986), after Terzaghi & Peck, memory: 15, 35, 65 and 85 % part the classes."""
    found = book.tables["density_by_relative_density"].look_up({"relative_density_percent": point(float(percent))})["density"]
    assert found.likely == name


@pytest.mark.parametrize("mass", ["sound", "broken"])
@pytest.mark.parametrize("cavities", ["yes", "no"])
def test_chalk_gives_water_as_its_mass_does(book, mass, cavities):
    """Waltham (1994), as reprinted: chalk aquifers 20 m/d; pipes and open joints are in it, so that nothing of it is likely tighter."""
    values = {
        "soil": known("rock"),
        "rock_kind": known("chalk"),
        "rock_mass": known(mass),
        "jointed": known("yes"),
        "cavities": known(cavities),
    }
    found = book.tables["permeability"].look_up(values)["permeability_m_s"]
    assert found.likely == pytest.approx(20 / 86400, rel=0.01)
    assert found.low < found.likely < found.high


@pytest.mark.parametrize(("inches_an_hour", "dry"), [(6.0, True), (24.8, False)])
def test_the_limit_of_a_dry_pour(book, inches_an_hour, dry):
    """FHWA-NHI-18-024 ch. 7, transcription: less than 12 in of inflow an hour (1 in in 5 min); the second pair is a hole that failed it."""
    values = {"hole_rise_m_h": point(inches_an_hour * 0.0254), "hole_has_fluid": known("no")}
    assert (book.scopes["stage"].judge(values).of("placement-wet-inflow")[0] == FALSE) is dry


def test_heave_number_of_a_worked_cut():
    """California Trenching and Shoring Manual, example 10-2, transcription: 8.5 at a depth of two widths; 7.6 for a length of three widths.

    The long one follows from the round one by 0.84 + 0.16 B / L (Skempton 1951, memory).
    """
    assert heave_number(2.0, 1.0) == pytest.approx(8.5, rel=0.02)
    assert heave_number(2.0, 1.0) * (0.84 + 0.16 / 3) == pytest.approx(7.6, rel=0.02)


def test_casing_of_shafts_is_thin_enough_for_the_elastic_formula(book):
    """API 5C3, memory, for 110 ksi: elastic collapse governs above D/t 26.22 (printed so by a casing design page, read).

    The same page prints 13.85 and 19.63 for the two lower limits; the API coefficients give 12.44 and 20.41, so those two are
    wrong in print. All casing of shafts lies far above, which is why only the elastic formula is kept.
    """
    y = 110e3
    a = 2.8762 + 0.10679e-5 * y + 0.21301e-10 * y**2 - 0.53132e-16 * y**3
    b = 0.026233 + 0.50609e-6 * y
    c = -465.93 + 0.030867 * y - 0.10483e-7 * y**2 + 0.36989e-13 * y**3
    share = b / a
    elastic = (2 + share) / (3 * share)
    lowest = (sqrt((a - 2) ** 2 + 8 * (b + c / y)) + a - 2) / (2 * (b + c / y))
    assert elastic == pytest.approx(26.22, abs=0.01)
    assert lowest == pytest.approx(12.44, abs=0.01)
    assert abs(lowest - 13.85) > 1
    for inches in (24, 36, 54, 78, 102, 144):
        diameter = inches * 0.0254
        for pressure in (0.0, 150.0, 400.0):
            assert diameter / wall_for(diameter, CasingUse(pressure, way="driven"), book.values) > elastic
