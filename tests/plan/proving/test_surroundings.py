"""Neighbours and platform of a whole way: TRL Report 429 (digest), the railroads' 12 ft (read), Skempton for clay (memory)."""

import pytest

from methodpick.ground.site import Neighbour

SAND = 'description: "loose fine sand", symbol: SP, fines: 3 %, unit_weight: 19, phi: 30, absent: [cobbles, boulders, cemented]'
CLAY = 'description: "stiff grey clay", symbol: CH, su: {}, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
VIBRATED = "allowed: [dry, temporary_casing], equipment: {vibratory: true, kelly_twist: false, oscillator: false}, neighbours: "
RIG = "equipment: {rig_weight_kn: 900}"
WET = "[{reading: settled, depth: 1, after: 24 h}]"


@pytest.mark.parametrize(
    ("neighbours", "word"),
    [
        ("[{what: brick house, distance: 25}]", "holds"),  # 266 / 25^1.3 = 4.05 mm/s
        ("[{what: brick house, distance: 12}]", "open_likely"),  # 10.5 mm/s at most, 2.4 mm/s one time in two
        ("[{what: brick house, distance: 12, vibration_mm_s: 15}]", "holds"),
        ("[{what: brick house, distance: 25}, {what: hospital, distance: 30, vibration_mm_s: 2}]", "open_likely"),  # 3.2 mm/s
        ("[{what: brick house}]", "unknown"),
        ("[]", None),
    ],
)
def test_vibration_at_the_neighbour_that_is_worst_off(made, found, neighbours, word):
    shaft = made((0, 30, SAND), tip=10, water=WET, site=VIBRATED + neighbours)
    assert [casing.way for casing in shaft.casings if casing.way] == ["vibrated"]
    assert [check.result for check in found(shaft, "neighbour-vibration")] == ([] if word is None else [word])


def test_casing_is_turned_where_vibration_would_reach_a_neighbour(made):
    site = (
        "allowed: [dry, temporary_casing], equipment: {{vibratory: true, kelly_twist: true}}, neighbours: [{{what: house, distance: {}}}]"
    )
    far, near = (made((0, 30, SAND), tip=8, water=WET, site=site.format(distance)) for distance in (60, 12))
    assert {casing.way for casing in near.casings if casing.way} == {"twisted"}
    assert far.relative_cost <= near.relative_cost


@pytest.mark.parametrize(
    ("railway", "word"),
    [
        ("{what: live railroad track, distance: 3.5}", "fails"),  # 12 ft are 3.658 m
        ("{what: live railroad track, distance: 3.5, approved: true}", "little_margin"),
        ("{what: live railroad track, distance: 9}", "holds"),
        ("{what: rail line}", "unknown"),
    ],
)
def test_a_railway_keeps_its_distance(made, found, railway, word):
    shaft = made((0, 30, CLAY.format(100)), tip=10, site=f"neighbours: [{railway}, {{what: brick house, distance: 2}}]")
    assert [check.result for check in found(shaft, "neighbour-railway")] == [word]


def test_a_railway_is_known_by_its_words():
    assert [Neighbour(what=what).is_railway for what in ("Rails of the yard", "railings", "tracked crane", "railway line")] == [
        True,
        False,
        False,
        True,
    ]


@pytest.mark.parametrize(("su", "word"), [(100, "holds"), (50, "little_margin"), (30, "fails")])
def test_clay_under_the_tracks_of_a_rig(made, found, su, word):
    """0.7 x 900 kN on 0.8 x 5 m are 157.5 kPa; clay bears 5.14 su (1 + 0.2 x 0.8 / 5) = 5.304 su: 530, 265 and 159 kPa, 2 and 1.5
    times the load asked for."""
    shaft = made((0, 30, CLAY.format(su)), tip=6, site=f"drilling_grade: {{above_ground: 0}}, {RIG}")
    (check,) = found(shaft, "platform-bearing")
    assert check.result == word
    assert check.has.likely == pytest.approx(5.3045 * su, rel=1e-3)


def test_a_raised_platform_spreads_the_load(made, found):
    """1 m of fill: 630 / (1.8 x 6) = 58.3 kPa on clay of 30 kPa, that bears 5.14 x 30 x (1 + 0.2 x 1.8 / 6) = 163.5 kPa."""
    (check,) = found(made((0, 30, CLAY.format(30)), tip=6, site=f"drilling_grade: {{above_ground: 1}}, {RIG}"), "platform-bearing")
    assert check.result == "holds"
    assert check.has.likely == pytest.approx(163.5, abs=0.1)


@pytest.mark.parametrize(("su", "word"), [(100, "holds"), (50, "unknown"), (25, "unknown")])
def test_a_rig_that_is_not_named_is_asked_about_where_it_matters(made, found, su, word):
    """60 to 120 t: 105 to 210 kPa; 530 kPa bear the heaviest twice, 265 kPa the lightest 1.5 times, 133 kPa neither;
    the site tells of no platform."""
    (check,) = found(made((0, 30, CLAY.format(su)), tip=6), "platform-bearing")
    assert check.result == word


def test_granular_ground_under_the_tracks_is_asked_about(made, found):
    (check,) = found(made((0, 30, SAND), tip=10, water=WET), "platform-bearing")
    assert check.result == "unknown"
    assert check.remedy.endswith("?")
