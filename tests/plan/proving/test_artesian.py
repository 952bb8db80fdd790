"""Water that rises above the ground, on a whole way: stick-up by hydrostatics, the seat in the lid by own values."""

import pytest

CLAY = 'description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
SAND = 'description: "loose fine sand", symbol: SP, fines: 3 %, unit_weight: 19, phi: 30, absent: [cobbles, boulders, cemented]'


def water(rises_to):
    return f"[{{reading: confined, struck: 12, rises_to: {rises_to}}}]"


def of(shaft):
    return {check.id: check for check in shaft.checks if check.id.startswith("artesian")}


def test_the_stick_up_and_the_seat_of_a_starter_in_the_lid(made):
    """Head 1 m above the ground over sand at 12 m; with the least head of 1 m the fluid presses 9.81 x 14 = 137.3 kPa there. Polymer of
    1001 kg/m3 stands 13.99 m high for it, 1.99 m over the ground, 2.29 m with 0.3 m of freeboard; 3 m is the most. The starter is set in
    a drilled hole or pushed, the plan leaves it open: a seal asks for 1 m at least in the undrilled lid, and it is asked about.
    """
    found = of(made((0, 12, CLAY), (12, 30, SAND), tip=16, water=water(-1.0), site="allowed: [slurry], fluids_allowed: [polymer]"))
    assert found["artesian-stick-up"].needed.likely == pytest.approx(2.29, abs=0.01)
    assert found["artesian-stick-up"].result == "holds"
    assert found["artesian-lid"].result == "holds"
    assert found["artesian-seat"].result == "unknown"
    assert found["artesian-seat"].needed.best == pytest.approx(1.0)
    assert "pushed" in found["artesian-seat"].remedy


def test_a_head_above_the_highest_stick_up_leaves_no_way_under_fluid(made):
    """Head 4 m above the ground: 9.81 x 17 = 166.8 kPa, 17.0 m of polymer, 5.3 m over the ground with its freeboard; 3 m is the most."""
    shaft = made((0, 12, CLAY), (12, 30, SAND), tip=16, water=water(-4.0), site="allowed: [slurry], fluids_allowed: [polymer]")
    assert shaft.method == "undecided"
    assert shaft.decision.startswith("No way of building")


def test_water_below_the_ground_asks_for_nothing(made):
    assert of(made((0, 12, CLAY), (12, 30, SAND), tip=16, water=water(3.0))) == {}
