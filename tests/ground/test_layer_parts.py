"""Layers parted at the depths that their words name. Expected parts are what a logger would have drawn as layers of their own."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shipped import shipped_rulebook
from written_plan import verify_plan

from methodpick.ground.check_boring import check_profile
from methodpick.ground.layer_parts import LayerPart, at_named_depths, depths_outside, parts_of
from methodpick.ground.profile import Layer, Profile
from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan


def layer(words, top_m=0.0, base_m=10.0, **more):
    return Layer(top_m=top_m, base_m=base_m, description=words, **more)


def boring(*layers):
    return Profile(id="B-1", layers=layers)


def read_parts(words, **more):
    """Give top, base, likely class, features of every part."""
    return [(part.top_m, part.base_m, part.described.likely, sorted(part.described.features)) for part in parts_of(layer(words, **more))]


def test_a_crushed_zone_is_crushed_and_the_rock_around_it_is_not():
    assert read_parts("strong grey LIMESTONE, jointed; crushed zone 5.0 to 5.6 m") == [
        (0.0, 5.0, "rock", ["jointed"]),
        (5.0, 5.6, "rock", ["crushed", "jointed"]),
        (5.6, 10.0, "rock", ["jointed"]),
    ]


def test_a_bed_of_another_soil_has_neither_the_symbol_nor_the_tests_of_its_layer():
    upper, bed, lower = parts_of(layer("stiff clay, loose sand lens at 4.1-4.5 m", symbol="CL", su_kpa=90, origin="alluvial"))
    assert (bed.symbol, bed.su_kpa, bed.origin, bed.described.likely) == (None, None, "alluvial", "clean_sand")
    assert [(part.symbol, part.su_kpa.likely) for part in (upper, lower)] == [("CL", 90), ("CL", 90)]


def test_a_part_keeps_all_words_of_the_log_and_says_where_its_own_come_from():
    words = "Stiff CLAY, becoming very stiff below 6.2 m"
    upper, lower = parts_of(layer(words))
    assert {part.log_words for part in (upper, lower)} == {words}
    assert "depth named in the words" in lower.described.evidence


def test_strength_words_stay_those_of_the_country_that_wrote_the_log():
    _, bed = parts_of(layer("Dense silty SAND. Below 5 m: firm clay"))
    assert bed.described.british


@pytest.mark.parametrize(
    ("words", "kept"),
    [
        ("limestone, void 7.0 to 7.9 m", "cavities"),
        ("fill of clay, concrete slab 1.0 to 1.3 m", "obstructions"),
        ("mudstone, coal seam 4.0 to 4.9 m", "coal"),
    ],
)
def test_what_is_found_at_one_depth_may_be_met_at_another(words, kept):
    assert all(kept in features for *_, features in read_parts(words))


def test_a_thin_bed_of_soil_is_a_seam():
    (whole,) = parts_of(layer("stiff clay, wet sand seam 4.1 to 4.3 m"))
    assert [(seam.thickness_m, seam.wet) for seam in whole.seams] == [(0.2, True)]


@pytest.mark.parametrize("words", ["stiff grey CLAY, brown below 4 m", "firm clay", "limestone, boulder at 3 m", "clay, soft below 4 m OD"])
def test_words_that_say_nothing_else_part_nothing(words):
    (whole,) = parts_of(layer(words))
    assert whole.description == words


def test_a_boring_without_named_depths_is_itself():
    profile = boring(layer("stiff clay"), layer("dense sand, 3 m thick", 10, 12))
    assert at_named_depths(profile) is profile


def test_a_depth_outside_the_layer_is_a_doubt_and_is_not_read():
    wrong = layer("firm clay, below 12 m soft", 3, 9)
    assert [words for words, _ in depths_outside(wrong)] == ["soft"]
    assert len(parts_of(wrong)) == 1
    assert any("outside their layer" in doubt.message for doubt in check_profile(boring(layer("sand", 0, 3), wrong)))


def test_a_parted_layer_is_noted():
    (note,) = [doubt for doubt in check_profile(boring(layer("Firm CLAY, stiff below 6 m"))) if "name depths" in doubt.message]
    assert note.severity == "note"
    assert "0.0 m to 6.0 m: Firm CLAY; 6.0 m to 10.0 m: stiff CLAY" in note.action


def test_parts_are_not_read_again():
    parted = at_named_depths(boring(layer("Firm CLAY, stiff below 6 m"), layer("sand, grey below 11 m", 10, 12)))
    assert at_named_depths(parted) is parted
    assert all(isinstance(part, LayerPart) for part in parted.layers)


WORDS = [
    "Firm CLAY, stiff below 6 m",
    "stiff clay, loose sand lens at 4.1-4.5 m",
    "silty sand, wet below 12 ft, with cobbles below 6.5 m",
    "LIMESTONE; void 3 to 4 m; crushed zone 5.0 to 5.6 m",
    "peat, bottom 2 ft silty",
]


@given(st.sampled_from(WORDS), st.integers(1, 99))
def test_a_line_between_two_layers_of_equal_words_changes_nothing(words, tenth):
    line = tenth / 10
    whole, split = boring(layer(words)), boring(layer(words, 0, line), layer(words, line, 10))
    assert at_named_depths(split).layers == at_named_depths(whole).layers


@given(st.sampled_from(WORDS), st.integers(0, 200), st.integers(2, 200))
def test_parts_tile_their_layer(words, top, thickness):
    whole = layer(words, top / 10, (top + thickness) / 10)
    ends = [end for part in parts_of(whole) for end in (part.top_m, part.base_m)]
    assert (ends[0], ends[-1]) == (whole.top_m, whole.base_m)
    assert ends[1:-1:2] == ends[2::2]
    assert all(part.base_m > part.top_m for part in parts_of(whole))


@given(st.integers(1, 32))
def test_feet_and_metres_part_alike(foot):
    feet, metres = (layer(f"sand; below {depth}: wet") for depth in (f"{foot} ft", f"{foot * 0.3048:.3f} m"))
    for in_feet, in_metres in zip(parts_of(feet), parts_of(metres), strict=True):
        assert in_feet.top_m == pytest.approx(in_metres.top_m, abs=0.001)
        assert in_feet.described == in_metres.described


def site_of(layers):
    return read_site(
        json.dumps(
            {
                "methodpick": 1,
                "site": {"units": "si", "fluids_allowed": ["water", "polymer", "mineral"]},
                "borings": [
                    {
                        "id": "B-1",
                        "depth": 24,
                        "water": [{"reading": "piezometer", "depth": 3}],
                        "layers": [{"top": top, "base": base, "description": words} for top, base, words in layers],
                    }
                ],
                "shafts": [{"id": "P1", "diameter": 900, "tip": 18}],
            }
        ),
        "case.yaml",
    )[0]


@pytest.mark.parametrize(
    ("logged", "drawn"),
    [
        (
            [(0, 24, "very stiff grey clay, loose sand layer from 7.0 to 8.5 m")],
            [(0, 7, "very stiff grey clay"), (7, 8.5, "loose sand"), (8.5, 24, "very stiff grey clay")],
        ),
        ([(0, 24, "Soft grey CLAY, becoming very stiff below 9.0 m")], [(0, 9, "Soft grey CLAY"), (9, 24, "very stiff grey CLAY")]),
    ],
)
def test_a_plan_is_that_of_the_same_ground_drawn_as_layers(logged, drawn):
    """Whoever logs a bed with its depth in words and whoever draws it as a layer gets one method."""
    book = shipped_rulebook()
    ways = []
    for layers in (logged, drawn):
        site = site_of(layers)
        made = plan(site, book)
        assert verify_plan(made, site, book) == ()
        ways.append(
            [(run.top_m, run.base_m, run.support, run.fluid, run.drilled_in, run.layer) for run in made.shafts[0].intervals]
            + [made.shafts[0].method, made.shafts[0].proven]
        )
    assert ways[0] == ways[1]
