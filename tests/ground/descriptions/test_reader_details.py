"""Grades, moisture, features and origin by the words; denials and word parts are common practice, no source."""

import pytest

from methodpick.ground.descriptions.reader import read_description


@pytest.mark.parametrize(
    ("text", "grades"),
    [
        ("soft to medium gray clay", ("soft", "firm")),
        ("medium to stiff clay", ("firm", "stiff")),
        ("medium stiff clay", ("firm", "firm")),
        ("Medium clay, brown", ("firm", "firm")),
        ("Firm to stiff CLAY", ("firm", "stiff")),
        ("Very stiff to hard brown CLAY", ("very_stiff", "hard")),
        ("very soft organic silt", ("very_soft", "very_soft")),
        ("v. stiff CLAY", ("very_stiff", "very_stiff")),
        ("Soft becoming firm CLAY", ("soft", "firm")),
        ("clay", None),
        ("clay, hard", ("hard", "hard")),
        ("stiff clay with soft pockets", ("stiff", "stiff")),
    ],
)
def test_consistency(text, grades):
    assert read_description(text).consistency == grades


@pytest.mark.parametrize(
    ("text", "grades"),
    [
        ("loose to medium dense sand", ("loose", "medium_dense")),
        ("fine to medium sand", None),
        ("very dense gravel", ("very_dense", "very_dense")),
        ("Losose orangish brown silty SAND", ("loose", "loose")),
        ("compact sand", ("medium_dense", "medium_dense")),
        ("medium to dense sand", ("medium_dense", "dense")),
        ("Dense GRAVEL. Locally medium dense at 6.0m", ("medium_dense", "dense")),
        ("lenses of sand", None),
    ],
)
def test_density(text, grades):
    assert read_description(text).density == grades


def test_grain_hardness_is_no_consistency():
    assert read_description("fine to coarse, hard, subangular gravel").consistency is None


@pytest.mark.parametrize(
    ("text", "wetness"),
    [
        ("brown clay, moist", "moist"),
        ("damp sand", "moist"),
        ("moist to wet sand", "wet"),
        ("sand, saturated", "saturated"),
        ("silt, low dry strength", None),
        ("clay with wet sand seams", None),
        ("dry sand", "dry"),
    ],
)
def test_moisture(text, wetness):
    assert read_description(text).moisture == wetness


@pytest.mark.parametrize(
    ("text", "found", "absent"),
    [
        ("stiff fissured clay", {"fissured"}, set()),
        ("stiff clay, non-fissured, no voids, no cementation", set(), {"fissured", "cavities", "cemented"}),
        ("stiff clay, unfissured", set(), {"fissured"}),
        ("gravel, no cobbles, boulders or obstructions", set(), {"cobbles", "boulders", "obstructions"}),
        ("no voids, fissured clay", {"fissured"}, {"cavities"}),
        ("gravel. Cobbles: none observed", set(), {"cobbles"}),
        ("heavily overconsolidated clay", set(), set()),
        ("inorganic silt", set(), set()),
        ("uncontaminated sand", set(), {"contaminated"}),
        ("sand beside a gas main", set(), set()),
        ("silt, gas bubbling", {"gas"}, set()),
        ("stiff boulder clay", set(), set()),
        ("sand with boulders", {"boulders"}, set()),
        ("limestone, vuggy, karstic, sinkhole", {"vuggy", "karst"}, set()),
        ("clay, slickensided", {"slickensided"}, set()),
        ("fill with bricks and timber", {"obstructions"}, set()),
        ("sandy clay with brick fragments", set(), set()),
        ("Brown GRAVEL. Gravel is fine to coarse of siltstone, concrete and red brick (MADE GROUND)", set(), set()),
        ("open-work gravel", {"open"}, set()),
        ("coal, old workings", {"mined", "coal"}, set()),
        ("mudstone with thin coals", {"coal"}, set()),
        ("unworked coal", {"coal"}, {"mined"}),
        ("coal black clay over shale, no coal", set(), {"coal"}),
        ("clay stained with coal tar", {"contaminated"}, set()),
        ("swelling clay, laminated", {"swelling", "laminated"}, set()),
    ],
)
def test_features_with_denials_and_word_parts(text, found, absent):
    words = read_description(text)
    assert words.features == found
    assert words.absent == absent


@pytest.mark.parametrize(
    ("text", "origin"),
    [
        ("Brown sandy GRAVEL (MADE GROUND)", "fill"),
        ("FILL - brick and ashes", "fill"),
        ("clay fill", "fill"),
        ("clay-filled joints in limestone", "unknown"),
        ("joint fill of clay", "unknown"),
        ("TOPSOIL", "fill"),
        ("sand (RIVER TERRACE DEPOSITS)", "alluvial"),
        ("Stiff CLAY (GLACIAL TILL)", "till"),
        ("stiff until 3 m, clay", "unknown"),
        ("boulder clay", "till"),
        ("silt, residual", "residual"),
        ("glacial outwash sand", "glaciofluvial"),
        ("varved clay", "lacustrine"),
        ("loess", "loess"),
        ("saprolite", "saprolite"),
        ("marine clay", "marine"),
        ("talus", "colluvial"),
    ],
)
def test_origin(text, origin):
    assert read_description(text).origin == origin


@pytest.mark.parametrize(
    ("text", "weathering", "likely"),
    [
        ("Strong grey SANDSTONE. Fractures are planar, rough, clean. Unweathered.", "fresh", "rock"),
        ("Medium strong pink GRANITE. Partially weathered: closer fracture spacing.", "partially", "rock"),
        ("Weak brown MUDSTONE. Bedding thin. Slightly to moderately weathered (iron staining).", "slightly to moderately", "rock"),
        ("Grey SANDSTONE; highly weathered.", "highly", "weathered_rock"),
        ("Strong grey SANDSTONE. Highly weathered band at 3.2m.", None, "rock"),
        ("Strong grey SANDSTONE. Discontinuities rough, fresh to moderately weathered.", None, "rock"),
    ],
)
def test_the_weathering_that_a_sentence_of_its_own_states(text, weathering, likely):
    words = read_description(text)
    assert (words.weathering, words.likely) == (weathering, likely)


def test_a_letter_at_the_end_of_a_grade_is_a_slip():
    assert read_description("Medium denses to dense very sandy GRAVEL").density == ("medium_dense", "dense")
    assert read_description("Stiffs grey CLAY").consistency == ("stiff", "stiff")


@pytest.mark.parametrize(
    ("text", "strength", "soils"),
    [
        ("Very weak to moderately strong LIMESTONE.", "very weak to moderately strong", {"intermediate", "weathered_rock", "rock"}),
        ("Medium strong (locally strong) pink GRANITE.", "medium strong to strong", {"rock"}),
        ("Medium strong, locally strong, grey SILTSTONE.", "medium strong to strong", {"rock"}),
        ("Weak to very weak brown SANDSTONE.", "weak to very weak", {"intermediate", "weathered_rock", "rock"}),
        ("Moderately to very strong GNEISS.", "moderately strong to very strong", {"rock"}),
        ("Strong grey SANDSTONE with weak mudstone bands.", "strong", {"rock"}),
    ],
)
def test_the_strength_of_rock_is_the_range_that_its_words_give(text, strength, soils):
    words = read_description(text)
    assert words.strength == strength
    assert words.soils == soils


@pytest.mark.parametrize(
    ("text", "soils", "likely"),
    [
        ("CH - dark gray, soft, organics, shells", {"clay"}, "clay"),
        ("CH: gray, soft, gravel", {"clay"}, "clay"),
        ("SM - brown, loose, gravel", {"silty_sand"}, "silty_sand"),
        ("SM, brown, loose, gravel", {"silty_sand"}, "silty_sand"),
        ("SM - Silty sand, brown, loose", {"silty_sand"}, "silty_sand"),
    ],
)
def test_soils_listed_behind_a_leading_symbol_are_what_it_holds(text, soils, likely):
    """Logs that begin with the group symbol of ASTM D2488 (common practice); what the first clause names still counts."""
    words = read_description(text)
    assert (words.soils, words.likely) == (soils, likely)
    assert words.doubt == ""


def test_rock_behind_a_leading_symbol_is_no_part_of_the_soil():
    assert "disagree" in read_description("GP, brown, sandstone").doubt


def test_fissures_of_rock_are_joints_and_those_of_clay_are_not():
    assert {"fissured", "jointed"} <= read_description("Grey LIMESTONE, fissures with clay infill").features
    assert "jointed" not in read_description("Stiff fissured CLAY").features


def test_soft_coal_is_likely_rock():
    """Bituminous coal of 5 to 30 MPa is called soft (from memory)."""
    assert read_description("Coal, black, soft").likely == "rock"
