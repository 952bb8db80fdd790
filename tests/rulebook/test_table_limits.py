"""Class tables of blow counts and friction angles: what published relations say of each row, and what the rows decide in a plan.

Bands of friction: Peck, Hanson and Thornburn (1974), and the figure of NAVFAC DM-7 for gravel and silt against sand, both from memory.
"""

from math import radians, tan

import pytest

from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import Frame
from methodpick.facts.strata import ReadingRules, build_strata
from methodpick.ground.check_boring import BRITISH_SU_KPA, N_OF_BRITISH_CONSISTENCY, N_OF_CONSISTENCY
from methodpick.mechanics.earth_pressure import cylinder_pressure
from methodpick.terms import CONSISTENCIES, DENSITIES
from methodpick.vocabulary.values import known, point

SAND = """methodpick: 1
site: {units: si, surcharge: 0}
borings:
  - id: B-1
    depth: 30
    hammer_efficiency: 60
    water: [{reading: piezometer, depth: 0}]
    layers: [{top: 0, base: 30, description: "SOIL", unit_weight: 20, absent: [cobbles, boulders]}]
    spt: [TESTS]
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""


def gathered(book, read_text, soil, counts):
    """Gather the facts of 30 m of a soil with blow counts by depth, without any assumption."""
    tests = ", ".join(f"{{depth: {depth}, n: {n}}}" for depth, n in counts)
    site = read_text(SAND.replace("SOIL", soil).replace("TESTS", tests))
    return Gatherer(Frame(site.site, site.borings[0], site.shafts[0], book.catalogue, book.tables, (), book.values))


def at_100_kpa(book, read_text, count):
    """Give the facts of sand with a blow count where the stress is 100 kPa: at 9.81 m of 20 kN/m3 below water."""
    found = gathered(book, read_text, "fine sand", [(9.5, count), (9.8, count), (10.1, count)]).slices((), {"dry": None}, [9.78, 9.84])
    return next(piece.sheet for piece in found if piece.top_m <= 9.81 <= piece.base_m)


def just_beside(boundary):
    """Give a count a tenth below and a tenth above a boundary."""
    return boundary * 0.9, boundary * 1.1


# ---- Which class a count is


@pytest.mark.parametrize(
    ("table", "boundary", "below", "above"),
    [
        ("density_by_n", 4, "very_loose", "loose"),
        ("density_by_n", 10, "loose", "medium_dense"),
        ("density_by_n", 30, "medium_dense", "dense"),
        ("density_by_n", 50, "dense", "very_dense"),
        ("density_by_corrected_n", 3, "very_loose", "loose"),
        ("density_by_corrected_n", 8, "loose", "medium_dense"),
        ("density_by_corrected_n", 25, "medium_dense", "dense"),
        ("density_by_corrected_n", 42, "dense", "very_dense"),
        ("density_by_relative_density", 15, "very_loose", "loose"),
        ("density_by_relative_density", 35, "loose", "medium_dense"),
        ("density_by_relative_density", 65, "medium_dense", "dense"),
        ("density_by_relative_density", 85, "dense", "very_dense"),
        ("consistency_by_n", 2, "very_soft", "soft"),
        ("consistency_by_n", 4, "soft", "firm"),
        ("consistency_by_n", 8, "firm", "stiff"),
        ("consistency_by_n", 15, "stiff", "very_stiff"),
        ("consistency_by_n", 30, "very_stiff", "hard"),
        ("british_consistency_by_n", 4, "very_soft", "soft"),
        ("british_consistency_by_n", 8, "soft", "firm"),
        ("british_consistency_by_n", 15, "firm", "stiff"),
        ("british_consistency_by_n", 30, "stiff", "very_stiff"),
        ("british_consistency_by_n", 60, "very_stiff", "hard"),
    ],
)
def test_classes_of_counts_part_where_published_relations_part_them(book, table, boundary, below, above):
    """Terzaghi & Peck (1967): density at 4, 10, 30, 50 blows, consistency at 2, 4, 8, 15, 30 (secondary); CIRIA Report 143
    (1995), British words at 4, 8, 15, 30, 60 (memory); Skempton (1986), corrected
    counts, relative densities of 15, 35, 65 and 85 %: 3, 8, 25, 42 (memory).
    """
    rows = book.tables[table]
    fact = rows.outputs[0]
    found = [rows.look_up({rows.inputs[0]: point(count)})[fact] for count in just_beside(boundary)]
    assert [value.likely for value in found] == [below, above]


@pytest.mark.parametrize(("upper", "parted"), [(4, False), (3, True)])
def test_a_layer_is_parted_where_the_density_of_its_counts_changes_by_two_classes(book, read_text, upper, parted):
    """Three blows are very loose and 12 medium dense, two classes apart; four are loose, one class apart (density_by_n, n_class_step)."""
    site = read_text(SAND.replace("SOIL", "fine sand").replace("TESTS", counts_of(upper)))
    strata = build_strata(site.borings[0], 18.0, ReadingRules(book.values, book.tables))
    assert (len([stratum for stratum in strata if stratum.logged]) > 1) is parted


def counts_of(upper):
    counts = [(2, upper), (4, upper), (6, upper), (9, 12), (12, 12), (15, 12)]
    return ", ".join(f"{{depth: {depth}, n: {n}}}" for depth, n in counts)


@pytest.mark.parametrize(("count", "density", "turned"), [(24, "medium_dense", "yes"), (28, "dense", "no")])
def test_the_density_of_corrected_counts_decides_whether_casing_is_turned_in(book, read_text, count, density, turned):
    """At 9.81 m of sand of 20 kN/m3 below water the stress is 100 kPa, so that counts stay as they are: 24 are medium dense, 28 dense, in
    which a rig hardly turns casing (own rows of penetration; Skempton 1986 for the classes, memory).
    """
    sheet = at_100_kpa(book, read_text, count)
    assert sheet.choice("density").likely == density
    assert sheet.choice("penetrable_twisted").likely == turned


# ---- Which angle a density has


SAND_BANDS = {
    "very_loose": (25.0, 28.5),
    "loose": (28.5, 30.0),
    "medium_dense": (30.0, 36.0),
    "dense": (36.0, 41.0),
    "very_dense": (41.0, 45.0),
}
"""Friction of sand by Peck, Hanson and Thornburn (1974), memory: 28.5, 30, 36 and 41 degrees part the densities; 45 as no sand has more."""


def angle(book, soil, density):
    return book.tables["friction"].look_up({"soil": known(soil), "density": known(density)})["phi_deg"]


@pytest.mark.parametrize("density", DENSITIES)
def test_friction_of_sand_holds_the_published_band(book, density):
    """The range holds the band, and what is likely lies in it, or at most a degree on the safe side; no sand has more than 46 degrees."""
    low, high = SAND_BANDS[density]
    for soil in ("silty_sand", "clean_sand"):
        found = angle(book, soil, density)
        assert found.low <= low, (soil, density)
        assert high <= found.high <= 46.0, (soil, density)
        assert low - 1.0 <= found.likely <= high, (soil, density)


API_ANGLES = {15: 47.8, 20: 67.0, 25: 81.3, 30: 95.7, 35: 114.8}
"""Angle of friction between soil and steel with the greatest friction in kPa, API RP 2A (2000) table 6.4.3-1, from memory."""
API_ROWS = {"clean_sand": (15, 20, 25, 30, 35), "silty_sand": (15, 15, 20, 25, 30), "silt": (15, 15, 15, 20, 25)}
"""The same table: sand, sand-silt and silt from very loose to very dense."""


@pytest.mark.parametrize("soil", API_ROWS)
def test_friction_on_a_casing_goes_by_the_rows_of_sand_and_silt(book, soil):
    """0.8 tan of the angle, with 15 % as the values are rounded down for a casing that is not driven."""
    for density, degrees in zip(DENSITIES, API_ROWS[soil], strict=True):
        found = book.tables["side_friction"].look_up({"soil": known(soil), "density": known(density)})
        assert found["friction_share"].likely == pytest.approx(0.8 * tan(radians(degrees)), rel=0.15), density
        assert found["friction_limit_kpa"].likely == API_ANGLES[degrees], density


@pytest.mark.parametrize(("fines", "likely", "high"), [(8, 3, 5), (20, 6, 10)])
def test_damp_sand_with_fines_holds_a_little(book, fines, likely, high):
    """Damp sand of 5 to 12 % fines 1 to 5 kPa, of more 3 to 10 kPa, nothing once it is dry or wetted (from memory)."""
    place = {
        "soil": known("silty_sand"),
        "water_position": known("above"),
        "cementation": known("uncemented"),
        "fines_percent": point(fines),
    }
    found = book.tables["cohesion"].look_up(place)["cohesion_available_kpa"]
    assert (found.low, found.likely, found.high) == (0, likely, high)


@pytest.mark.parametrize("density", DENSITIES)
def test_gravel_and_silt_lie_beside_sand_as_dense(book, density):
    """NAVFAC DM-7, angle by class and density, memory: gravel 1 to 3 degrees above sand as dense, silt 2 to 6 below it, 26 to 38."""
    sand = angle(book, "clean_sand", density).likely
    for gravel in ("silty_gravel", "clean_gravel", "cobbles"):
        assert 0.9 <= angle(book, gravel, density).likely - sand <= 3.1, gravel
    silt = angle(book, "silt", density)
    assert 1.9 <= sand - silt.likely <= 6.1
    assert silt.likely >= 26.0
    assert silt.high <= 38.0


@pytest.mark.parametrize(("count", "density"), [(5, "loose"), (15, "medium_dense"), (32, "dense")])
def test_the_angle_decides_how_hard_sand_presses_on_the_fluid(book, read_text, count, density):
    """At 9.81 m of sand of 20 kN/m3 below water, 100 kPa of stress, so that counts stay as they are: the pressure beyond that of the pore
    water and of a safety of 1.1 lies between those of the ends of the published band (round wall, hoop factor 1).
    """
    low, high = SAND_BANDS[density]
    sheet = at_100_kpa(book, read_text, count)
    excess = (sheet.span("support_needed_kpa").likely - sheet.span("pore_kpa").likely) / book.values["wall_factor_least"]
    softest, hardest = (cylinder_pressure(9.81, 1.2, 20 - 9.81, degrees) for degrees in (low, high))
    assert hardest * 0.98 <= excess <= softest * 1.02


# ---- The same boundaries in two places


def ends_of(book, table, words):
    """Give the counts at which the rows of a table of consistency part, the softest first."""
    rows = {word: row.when["n60"].high for row in book.tables[table].rows for word in row.then["consistency"].values}
    return tuple(rows[word] for word in words[:-1])


def strengths_of(book, british):
    """Give the strength in kPa at which each word of consistency ends, the softest first, and the hardest begins."""
    table = book.tables["strength_of_clay"]
    found = (table.look_up({"consistency": known(word), "british_words": known(british)})["su_kpa"] for word in CONSISTENCIES[:-1])
    return tuple(strength.high for strength in found)


def test_the_doubts_of_the_reader_part_clay_where_the_class_tables_do(book):
    """The ground knows no rulebook, and holds words against counts and strengths by the same boundaries."""
    assert ends_of(book, "consistency_by_n", CONSISTENCIES) == N_OF_CONSISTENCY
    assert ends_of(book, "british_consistency_by_n", CONSISTENCIES) == N_OF_BRITISH_CONSISTENCY
    assert strengths_of(book, "yes") == BRITISH_SU_KPA


@pytest.mark.parametrize("british", ["yes", "no"])
def test_deep_clay_has_the_grade_of_its_strength(book, british):
    """The strength from which overburden makes clay stiff, or very stiff, is that at which the class begins."""
    begins = dict(zip(CONSISTENCIES[1:], strengths_of(book, british), strict=True))
    deep = [each for each in book.assumptions if "overburden_strength_kpa" in each.where and each.where["british_words"] == known(british)]
    assert {each.value.likely: each.where["overburden_strength_kpa"].low for each in deep} == {
        word: begins[word] for word in ("stiff", "very_stiff")
    }
