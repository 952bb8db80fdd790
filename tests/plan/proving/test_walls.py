"""A wall predrilled wider than the shaft, by hand: overload ratio of clay over its strength, six at most (Broms & Bennermark, memory)."""

import pytest

STIFF = 'description: "stiff grey clay", symbol: CH, su: 90, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
SAND = 'description: "loose fine sand", symbol: SP, fines: 3 %, unit_weight: 19, phi: 30, absent: [cobbles, boulders, cemented]'
HARD = 'description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
NO_PLANT = "surcharge: 0, equipment: {vibratory: false, kelly_twist: false, oscillator: false, impact_hammer: false, rotator: false}"


def test_the_wall_of_the_hole_for_a_set_casing(made, found):
    """Drilled dry to 8 m for a casing: 8 x 20 = 160 kPa over 90 are 1.78. Below, under fluid, the clay bears less than that."""
    water = "[{reading: settled, depth: 10.5, after: 24 h}]"
    shaft = made((0, 9, STIFF), (9, 11, SAND), (11, 30, HARD), tip=25, water=water, site=NO_PLANT)
    dry = next(stage for stage in shaft.stages if stage.action == "drill")
    assert (dry.state, dry.base_m) == ("dry", 8.0)
    walls = [check for check in found(shaft, "wall-overload") if check.stage == dry.no]
    assert [check.needed.likely for check in walls] == [pytest.approx(160.0 / 90.0, rel=1e-3)]
    assert [check.rule for check in walls] == ["clay-wall-collapses"]


def test_a_hole_as_wide_as_the_shaft_is_judged_by_the_rules_alone(made, found):
    shaft = made((0, 30, STIFF), tip=10, site=NO_PLANT)
    assert found(shaft, "wall-overload") == []
    assert len(found(shaft, "clay-wall-collapses")) == 1
