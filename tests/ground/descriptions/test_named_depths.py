"""Depths that a description names inside its layer; what a reader of logs would take from each is written by hand."""

import pytest

from methodpick.ground.descriptions.named_depths import statements_in
from methodpick.ground.descriptions.part_words import words_by_depth


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Stiff CLAY becoming very stiff below 6.2 m", [("becoming very stiff", 6.2, None)]),
        ("grey LIMESTONE, jointed; crushed zone 5.0 to 5.6 m", [("crushed zone", 5.0, 5.6)]),
        ("stiff clay, loose sand lens at 4.1-4.5 m", [("loose sand lens", 4.1, 4.5)]),
        ("silty sand with cobbles below 3 m", [("with cobbles", 3.0, None)]),
        ("brown sand; below 12 ft: wet", [("wet", 3.6576, None)]),
        ("soft clay to 14', stiff below 14'", [("soft clay", None, 4.2672), ("stiff", 4.2672, None)]),
        ("Firm clay. Below 3.20m: stiff. Between 5.00 and 6.00m: with cobbles.", [("stiff", 3.2, None), ("with cobbles", 5.0, 6.0)]),
        ("Weak, becoming moderately weak at 13.00m, white CHALK", [("becoming moderately weak", 13.0, None)]),
        ("sand.Below 0.75m, clayey.", [("clayey", 0.75, None)]),
        ("Firm CLAY. From 2.1mbgl soft", [("soft", 2.1, None)]),
        ("Stiff CLAY becoming at about 38.6 m very stiff", [("very stiff", 38.6, None)]),
        ("sand (very loose from 4.0 to 5.5 metres depth)", [("very loose", 4.0, 5.5)]),
        # what is no depth of a length
        ("boulders 0.3 to 0.6 m in clay", []),
        ("CLAY with sand bands 0.5 to 1.0 m thick", []),
        ("boulder at 8.3 m", []),
        ("partings at 3.00m and 3.60m", []),
        ("dense sand; below 3.2 mOD soft", []),
        ("joints 0.2 m apart, gravel to 50 mm", []),
        ("permeability 1e-5 m/s, 2 m2 slab", []),
        ("stiff clay, 14 blows", []),
    ],
)
def test_a_statement_is_its_words_and_its_length(text, expected):
    assert [(found.words, found.top_m, found.base_m) for found in statements_in(text)] == expected


@pytest.mark.parametrize(
    ("text", "end", "length_m"),
    [
        ("fine sand, bottom 2 ft silty", "bottom", 0.6096),
        ("peat, upper 0.5 m clayey", "top", 0.5),
        ("sand, top 6 in. organic", "top", 0.1524),
    ],
)
def test_a_length_may_be_measured_from_an_end_of_the_layer(text, end, length_m):
    (found,) = statements_in(text)
    assert (found.end, found.from_end_m) == (end, length_m)


@pytest.mark.parametrize(
    ("text", "rest", "part"),
    [
        ("Firm to stiff silty CLAY, very stiff below 6 m", "Firm to stiff silty CLAY", "very stiff silty CLAY"),
        ("Soft, below 3 m firm, grey CLAY", "Soft, grey CLAY", "firm grey CLAY"),
        ("Very stiff fissured CLAY. (LONDON CLAY). Below 9 m: sandy", "Very stiff fissured CLAY. (LONDON CLAY)", "sandy, Very stiff"),
        ("highly weathered granite, slightly weathered below 7 m", "highly weathered granite", "slightly weathered granite"),
        ("silty SAND, clean below 4 m", "silty SAND", "clean, SAND"),
        (
            "Medium dense very clayey GRAVEL. Below 8 m becoming slightly clayey GRAVEL.",
            "Medium dense very clayey GRAVEL",
            "Medium dense sli",
        ),
        ("MADE GROUND: soft clay, firm below 2 m", "MADE GROUND: soft clay", "MADE GROUND: firm clay"),
        ("stiff clay, layer of loose sand from 4 to 5 m", "stiff clay", "loose sand"),
        ("grey sand, below 4 m with many cobbles", "grey sand", "grey sand; with many cobbles"),
        ("limestone, void 7.0 to 7.9 m", "limestone, void 7.0 to 7.9 m", "void"),
    ],
)
def test_a_part_has_its_own_grades_and_the_rest_of_the_words(text, rest, part):
    taken = words_by_depth(text)
    assert taken.rest.rstrip(".") == rest
    assert taken.at((True,)).startswith(part)


@pytest.mark.parametrize(
    "text",
    [
        "Dense GRAVEL. Water struck at 4.0 m, rising to 2.1 m. Casing from 0 to 5.5 m. Sample from 3.0 to 3.45 m",
        "SAND. From 4 m: no recovery. Hole collapsed below 5 m",
        "CLAY. From 2.30m gravel is subangular and of sandstone",
    ],
)
def test_what_is_told_of_the_boring_or_of_grains_says_nothing_of_a_length(text):
    assert words_by_depth(text).said == ()
