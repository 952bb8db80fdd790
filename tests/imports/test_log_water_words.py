"""What drillers write of water, in metres and feet (common practice, no source; the feet are converted by hand)."""

import pytest
from imports.test_ags4_faults import GROUND, group, header, layers, read, strikes

from methodpick.imports.log_water_words import none_met, water_in


@pytest.mark.parametrize(
    ("text", "struck", "level"),
    [
        ("Water strike 1 at 4.20m, rose to 3.10m in 20 mins", (4.2,), 3.1),
        ("2nd strike: 9.50m, rose to 3.00m", (9.5,), 3.0),
        ("Water struck at 4.20m bgl (medium inflow), standing at 3.10m after 20mins", (4.2,), 3.1),
        ("Heavy inflow at 7.6 m; level 2.3 m after 20 minutes", (7.6,), 2.3),
        ("Groundwater encountered during drilling at 3.40m, rest level 2.20m", (3.4,), 2.2),
        ("Water entries at 2.1m, 4.5m and 8.0m", (2.1, 4.5, 8.0), None),
        ("Groundwater at 5.0m", (5.0,), None),
        ("GW strike @ 6.4m", (6.4,), None),
        ("Perched water at 1.2m in made ground", (1.2,), None),
        ("Water struck at 20 ft rising to 15 ft", (6.096,), 4.572),
        ("Groundwater first encountered at 15.0 feet at time of drilling", (4.572,), None),
        ("Water struck at 12.0m rose to ground level", (12.0,), 0.0),
        ("Water struck at 12.0m, rose to 0.5m above ground level", (12.0,), -0.5),
        ("Groundwater ingress noted between 2.10 and 2.40m", (2.1,), None),
        ("Struck at 6.50, rose to 5.40", (6.5,), 5.4),
        ("Water struck at 7.0m, rose by 1.5m", (7.0,), 5.5),
        ("Water struck at 7.0m, rose 1.5m in 20 minutes", (7.0,), 5.5),
        ("Water struck at 7.0m rising 1.5m", (7.0,), None),
        ("Water struck at 6.50m, 5.40m after 20 minutes", (6.5,), 5.4),
        ("Water struck at 6.50m, level after 20mins 5.40m", (6.5,), 5.4),
        ("Water strike: 6.50m, 20 min: 5.40m", (6.5,), 5.4),
        ("Water at 20 feet while drilling, 15 feet after 24 hours", (6.096,), 4.572),
        ("Water at 15 feet while drilling, 20 feet after 24 hours", (4.572,), None),
    ],
)
def test_strikes_and_what_they_rose_to(text, struck, level):
    water = water_in(text)
    assert water is not None
    assert (water.struck_m, water.rises_to_m, water.at_end_m) == (struck, level, None)


@pytest.mark.parametrize(
    ("text", "level"),
    [
        ("GWL 6.4m bgl", 6.4),
        ("SWL 3.2m", 3.2),
        ("Rest water level 3.2m", 3.2),
        ("Water table at 2.3m", 2.3),
        ("Water level at 12.5 ft after 24 hrs", 3.81),
        ("Water at 3.20m at end of shift, 2.90m next morning", 3.2),
        ("Groundwater on completion of borehole 5.3m bgl", 5.3),
        ("Groundwater was measured at 12.5 feet upon completion", 3.81),
        ("Water level at end of drilling: 4.5 m", 4.5),
    ],
)
def test_levels_at_the_end(text, level):
    water = water_in(text)
    assert water is not None
    assert (water.struck_m, water.at_end_m) == ((), level)


@pytest.mark.parametrize(
    ("text", "hedged", "down_to"),
    [
        ("Water: none", False, None),
        ("No visible groundwater", False, None),
        ("Dry on completion", False, None),
        ("No groundwater encountered above 10.0m where rotary drilling commenced", True, 10.0),
        ("Dry to 20 ft", True, 6.096),
        ("Groundwater - None Encountered", False, None),
    ],
)
def test_no_water_and_how_far_down(text, hedged, down_to):
    said = none_met(text)
    assert said is not None
    assert (said.hedged, said.to_m) == (hedged, down_to)
    assert water_in(text) is None


@pytest.mark.parametrize("text", ["Water added from 3.0m to 7.0m", "Casing sealed off water at 6.0m", "Damp at 3.0m", "Standpipe dry"])
def test_what_is_no_strike(text):
    assert water_in(text) is None
    assert none_met(text) is None


@pytest.mark.parametrize("text", ["Groundwater encountered at elevation 12.5 ft", "Water struck at 6.50 mOD", "Groundwater at El. 12.5 ft"])
def test_a_level_above_a_datum_is_no_depth_and_is_told(text):
    assert water_in(text) is None
    boring, doubts = read(header(f"{text}."), GROUND)
    assert boring.water == ()
    assert any("without a depth" in doubt.message for doubt in doubts)


def test_water_that_rose_above_the_ground_is_artesian_though_no_height_is_told():
    water = water_in("Water struck at 14.0m rose above ground level")
    assert water is not None
    assert (water.struck_m, water.artesian) == ((14.0,), True)


def test_a_rise_in_the_next_sentence_belongs_to_the_strike_before_it():
    boring, _ = read(header("Ground water encountered at 3.2m. Rising to 2.2m after 20 minutes."), GROUND)
    assert [(one.met_m, one.level_m) for one in boring.water] == [(3.2, 2.2)]


def test_artesian_water_is_confined_whatever_lies_above_it():
    boring, doubts = read(header("Artesian water encountered at 14.0m."), GROUND)
    assert [(one.reading, one.struck_m, one.rises_to_m) for one in boring.water] == [("confined", 14.0, None)]
    assert any("artesian" in doubt.message for doubt in doubts)
    with_head = read(header("Artesian head 1.2m above ground level."), GROUND, strikes(("14.00", "")))[0]
    assert [(one.reading, one.struck_m, one.rises_to_m) for one in with_head.water] == [("confined", 14.0, -1.2)]


def test_artesian_water_without_a_depth_is_a_serious_doubt():
    doubts = read(header("Water flowing from top of casing."), GROUND, strikes(("4.00", ""), ("14.00", "")))[1]
    assert [doubt.severity for doubt in doubts if "artesian" in doubt.message] == ["serious"]


def test_water_that_a_remark_names_without_a_depth_is_told():
    boring, doubts = read(header("Groundwater encountered within rock only."), GROUND)
    assert boring.water == ()
    assert any("without a depth" in doubt.message for doubt in doubts)


def test_water_is_read_from_remarks_at_a_depth():
    remarks = group("DREM", ("LOCA_ID", "DREM_TOP", "DREM_REM"), ("", "m", ""), ("LW-4", "4.30", "Water strike, medium flow"))
    assert [one.met_m for one in read(header(), GROUND, remarks)[0].water] == [4.3]
    detail = group("DETL", ("LOCA_ID", "DETL_TOP", "DETL_DESC"), ("", "m", ""), ("LW-4", "4.30", "Water seepage at 4.40m."))
    assert [one.met_m for one in read(header(), layers(("0.00", "20.00", "Stiff CLAY", "")), detail)[0].water] == [4.4]
