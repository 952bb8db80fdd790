"""Doubts about a log. Grades after Terzaghi and Peck (1967) as named in methodpick/ground/descriptions/grades.py, from memory."""

from pathlib import Path

import pytest

from methodpick.ground.check import check
from methodpick.ground.check_boring import check_profile
from methodpick.ground.profile import Profile
from methodpick.ground.site import Site
from methodpick.imports.site_file import read_site

CLAY = {"top_m": 0, "base_m": 20, "description": "stiff grey clay", "symbol": "CL"}
SETTLED = {"reading": "settled", "depth_m": 3, "after_h": 24}


def boring(**fields):
    return Profile.model_validate({"id": "B-1", "depth_m": 20, "layers": [CLAY], "water": [SETTLED], **fields})


def layer(**fields):
    return [{**CLAY, **fields}]


def messages(profile, severity=None):
    return [doubt.message for doubt in check_profile(profile) if severity in (None, doubt.severity)]


def site(shaft=None, **fields):
    shafts = [{"id": "P1", "diameter_m": 1.2, "tip_m": 12, **shaft}] if shaft is not None else []
    return Site.model_validate({"borings": [boring()], "shafts": shafts, **fields})


@pytest.mark.parametrize(("fines", "told"), [(0.35, True), (1, False), (35, False)])
def test_a_share_written_as_a_part_of_one_is_doubted(fines, told):
    found = messages(boring(layers=layer(symbol=None, fines_percent=fines)))
    assert any("less than one percent" in message for message in found) is told


def test_a_sound_boring_raises_no_doubt():
    assert check_profile(boring()) == []


@pytest.mark.parametrize(
    ("layers", "severity", "message"),
    [
        ([], "serious", "the log describes no layer"),
        ([{**CLAY, "top_m": 1}], "doubt", "no layer is described down to 1.0 m"),
        ([{**CLAY, "base_m": 6}, {**CLAY, "top_m": 8}], "doubt", "no layer is described down to 8.0 m"),
        ([{**CLAY, "base_m": 15}], "doubt", "no layer is described down to the end of the boring at 20.0 m"),
        ([{**CLAY, "base_m": 8}, {**CLAY, "top_m": 6}], "doubt", "two layers overlap down to 8.0 m"),
        ([CLAY, {**CLAY, "top_m": 6, "base_m": 7}], "note", "a layer lies inside another"),
        ([CLAY, {**CLAY, "top_m": 9, "base_m": 7}], "serious", "a layer has its base at 7.0 m, not below its top"),
        ([{**CLAY, "base_m": 25}], "serious", "a layer reaches to 25.0 m, but the boring ends at 20.0 m"),
        ([{**CLAY, "top_m": 6}, {**CLAY, "base_m": 6}], "note", "the layers are not listed from the top down"),
    ],
)
def test_layers_that_do_not_tile_are_named(layers, severity, message):
    assert message in messages(boring(layers=layers), severity)


@pytest.mark.parametrize(
    ("words", "symbol", "n", "doubted"),
    [
        ("soft grey clay", "CL", 30, True),
        ("soft grey clay", "CL", 3, False),
        ("soft grey clay", "CL", 7, False),  # one grade apart: schools differ
        ("stiff grey clay", "CL", 2, True),
        ("stiff grey clay", "CL", 11, False),
        ("firm to stiff clay", "CL", 20, False),
        ("firm to stiff clay", "CL", 35, True),
        ("loose brown sand", "SP", 50, True),
        ("loose brown sand", "SP", 8, False),
        ("loose brown sand", "SP", 20, False),
        ("dense brown sand", "SP", 6, True),
    ],
)
def test_counts_that_contradict_the_words_are_doubted(words, symbol, n, doubted):
    found = messages(boring(layers=layer(description=words, symbol=symbol, n=[n])))
    assert any(f"but N of {n}" in message for message in found) == doubted


def test_counts_of_tests_in_the_layer_count_as_well():
    tests = [{"depth_m": depth, "n": 2} for depth in (3, 9)]
    assert messages(boring(spt=tests)) == ["described as stiff, but N of 2 is soft"]


@pytest.mark.parametrize(
    ("su_kpa", "n", "expected"),
    [
        ([15, 20], (), ["described as stiff, but su of 18 kPa is soft"]),
        ([75, 150], (), []),  # stiff after BS 5930
        ([30, 35], (11,), []),
        (60, (40,), ["described as stiff, but N of 40 is hard", "su of 60 kPa does not go with N of 40"]),
    ],
)
def test_strength_that_contradicts_words_or_counts_is_doubted(su_kpa, n, expected):
    assert messages(boring(layers=layer(su_kpa=su_kpa, n=n))) == expected


def test_stresses_and_lengths_are_written_as_the_user_reads_them():
    profile = boring(layers=layer(su_kpa=15))
    doubt = check_profile(profile, say_m=lambda m: f"{m / 0.3048:.0f} ft", say_kpa=lambda kpa: f"{kpa / 0.04788:.0f} psf")[0]
    assert doubt.where == "boring B-1, 0 ft"
    assert "su of 313 psf" in doubt.message


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"description": "fine sand", "symbol": "SP", "su_kpa": 50}, "an undrained strength is given for clean sand or gravel"),
        (
            {"description": "fine sand", "symbol": "SP", "fines_percent": 20},
            "the symbol SP has 0 to 5 % fines, the tests 20 %",
        ),  # ASTM D2487: SP below 5 %
        ({"description": "silty sand", "symbol": "SM", "fines_percent": [2, 4]}, "the symbol SM has 12 to 50 % fines, the tests 2 to 4 %"),
        ({"description": "limestone", "symbol": "rock", "rqd_percent": 90, "recovery_percent": 60}, "RQD 90 % is above the recovery 60 %"),
        ({"features": ["fissured"], "absent": ["fissured"]}, "'fissured' is said to be there and to be absent"),
        (
            {"seams": [{"material": "sand", "thickness_m": 0.3, "spacing_m": 0.2}]},
            "seams of sand are as thick as their spacing or the layer",
        ),
    ],
)
def test_contradictions_inside_a_layer_are_named(fields, message):
    assert message in messages(boring(layers=layer(**fields)), "doubt")


def test_a_symbol_that_names_other_ground_than_the_description_is_doubted():
    found = messages(boring(layers=layer(description="soft clay", symbol="SP")), "doubt")
    assert any("SP" in message and "clay" in message for message in found)


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"spt": [{"depth_m": 25, "n": 12}]}, "a penetration test lies below the end of the boring"),
        ({"spt": [{"depth_m": 5, "n": 12, "blows": [3, 5, 6]}]}, "N is 12, but its blows [3, 5, 6] give 11"),
        ({"spt": [{"depth_m": 19, "n": 50, "penetration_m": 0.0762, "text": "50/3in"}]}, "50/3in and nothing cored or passed below it"),
        ({"cores": [{"top_m": 9, "base_m": 8}]}, "a core run has its base at 8.0 m, not below its top"),
        ({"cores": [{"top_m": 18, "base_m": 21}]}, "a core run reaches to 21.0 m, below the end of the boring"),
        ({"cores": [{"top_m": 18, "base_m": 20, "recovery_percent": 70, "rqd_percent": 80}]}, "RQD 80 % is above the recovery 70 %"),
    ],
)
def test_tests_and_cores_that_do_not_fit_are_named(fields, message):
    assert message in messages(boring(**fields), "doubt")


@pytest.mark.parametrize(
    "below", [{"cores": [{"top_m": 19, "base_m": 20}]}, {"spt": [{"depth_m": 10, "n": 50, "penetration_m": 0.1}, {"depth_m": 12, "n": 12}]}]
)
def test_a_refusal_that_was_cored_or_passed_is_no_doubt(below):
    tests = [{"depth_m": 10, "n": 50, "penetration_m": 0.1}]
    assert not [m for m in messages(boring(**{"spt": tests, **below})) if "nothing cored" in m]


@pytest.mark.parametrize(
    ("fields", "severity", "message"),
    [
        ({"water": []}, "doubt", "the log says nothing about water"),
        (
            {"water": [{"reading": "none_met", "hole_depth_m": 20}, SETTLED]},
            "doubt",
            "no water is said to be met down to 20.0 m, yet a reading (settled) stands in that depth",
        ),
        ({"water": [{"reading": "none_met", "hole_depth_m": 30}]}, "doubt", "no water was met in a hole deeper than the boring"),
        (
            {"water": [{"reading": "none_met"}], "technique": "mud_rotary"},
            "doubt",
            "'no water met' means nothing when drilled by mud rotary",
        ),
        ({"water": [{**SETTLED, "depth_m": 22}]}, "serious", "water is read below the end of the boring at 20.0 m"),
        ({"water": [{**SETTLED, "hole_depth_m": 2}]}, "serious", "water is read below the hole, then 2.0 m deep"),
        (
            {"water": [{"reading": "confined", "struck_m": 9, "rises_to_m": 11}]},
            "serious",
            "water is said to rise, yet to 11.0 m, below where it was struck",
        ),
        ({"water": [{"reading": "confined", "struck_m": 9}]}, "doubt", "confined water was struck, but not how far it rises"),
        ({"water": [{**SETTLED, "depth_m": -1}]}, "note", "water stands 1.0 m above the ground"),
        ({"water": [{"reading": "piezometer", "depth_m": 3}]}, "doubt", "the piezometer does not say which depth it measures"),
        (
            {"water": [{"reading": "piezometer", "depth_m": 3, "response_zone_m": [18, 22]}]},
            "doubt",
            "the response zone reaches below the end of the boring",
        ),
        ({"water": [{"reading": "while_drilling", "depth_m": 5}]}, "doubt", "read in clay or silt before the hole could fill"),
        ({"water": [{"reading": "end_of_drilling", "depth_m": 5}], "technique": "wash"}, "doubt", "read in a hole kept full (wash)"),
    ],
)
def test_water_that_does_not_fit_is_named(fields, severity, message):
    assert message in messages(boring(**fields), severity)


def test_water_met_in_sand_is_believed():
    sand = layer(description="medium dense sand", symbol="SP")
    assert messages(boring(layers=sand, water=[{"reading": "while_drilling", "depth_m": 5}])) == []


def test_no_water_met_above_a_level_deeper_than_that_hole_is_no_contradiction():
    profile = boring(water=[{"reading": "none_met", "hole_depth_m": 6}, {**SETTLED, "depth_m": 9}])
    assert messages(profile) == []


def test_over_water_the_mudline_is_not_the_ground():
    profile = boring(water=[{**SETTLED, "depth_m": -5}])
    assert check_profile(profile, over_water=True) == []


@pytest.mark.parametrize(
    ("shaft", "severity", "message"),
    [
        ({"tip_m": 24}, "serious", "the tip is below boring B-1, which ends at 20.0 m"),
        ({"tip_m": 18}, "doubt", "boring B-1 ends 2.0 m below the tip, less than two diameters"),
        ({"socket_top_m": 9}, "doubt", "the socket starts in 'stiff grey clay', which is not rock"),
        ({"cage_diameter_m": 1.1, "cover_m": 0.1}, "doubt", "cage and cover together are wider than the shaft or its socket"),
    ],
)
def test_a_shaft_that_does_not_fit_its_boring_is_named(shaft, severity, message):
    assert (severity, message) in [(doubt.severity, doubt.message) for doubt in check(site(shaft))]


def test_a_tip_that_is_an_elevation_within_the_boring_is_asked_about():
    whole = site({"tip_m": 105.0}, borings=[boring(ground_elevation_m=120.0)])
    (remedy,) = [doubt.action for doubt in check(whole) if doubt.message.startswith("the tip is below")]
    assert "the depth below the ground, 15.0 m" in remedy


def test_a_shaft_with_two_diameters_of_ground_below_it_is_no_doubt():
    assert check(site({"tip_m": 17.6})) == []


def test_ground_at_another_level_than_the_boring_is_doubted():
    whole = site({"ground_elevation_m": 101.0}, borings=[boring(ground_elevation_m=99.5)])
    (doubt,) = check(whole)
    assert doubt.message == "the ground at the shaft is 1.5 m above the ground at boring B-1"


def test_a_hole_that_caved_in_above_the_tip_is_doubted():
    whole = site({}, borings=[boring(cave_in_depth_m=7)])
    assert [(doubt.depth_m, doubt.where) for doubt in check(whole)] == [(7, "shaft P1, 7.0 m")]


def test_a_shaft_that_names_no_boring_among_several_is_serious():
    whole = site({}, borings=[boring(), boring(id="B-2")])
    assert [doubt.severity for doubt in check(whole)] == ["serious"]


@pytest.mark.parametrize(
    ("conditions", "message"),
    [
        (
            {"setting": "water", "water_depth_m": 5, "drilling_grade": {"above_ground_m": 4}},
            "the platform stands 4.0 m above the mudline, the high water 5.0 m",
        ),
        (
            {"setting": "water", "water_depth_m": 5, "water_level": {"high_m": 7}, "drilling_grade": {"above_ground_m": 6}},
            "the platform stands 6.0 m above the mudline, the high water 7.0 m",
        ),
        ({"drilling_grade": {"elevation_m": 100}}, "the drilling grade is an elevation, but boring B-1 has none"),
        ({"equipment": {"max_casing_m": 1.0}}, "the shaft is wider than the largest casing of the plant"),
    ],
)
def test_surroundings_that_do_not_fit_are_named(conditions, message):
    assert [doubt.message for doubt in check(site({}, site=conditions))] == [message]


@pytest.mark.parametrize("path", sorted(Path(__file__).parents[2].glob("profiles/*.yaml")), ids=lambda path: path.stem)
def test_the_examples_hold_together(path):
    read, _ = read_site(path)
    assert not [doubt for doubt in check(read) if doubt.severity == "serious"]
