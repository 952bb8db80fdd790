"""Limits of the takeoff, the yard and the choice of borings: small sites, with the expected numbers worked out by hand.

Where a docstring names no source the number is an own value of the project, as its limit says.
"""

import pytest

from methodpick.site.planning import plan_site
from methodpick.site.result import FREE_FLUID
from methodpick.site.site_takeoff import take_off
from methodpick.units import FOOT_M

CLAY = """methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: 30
    water: [{reading: none_met}]
    layers: [{top: 0, base: 30, description: "stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]}]
    PLACE
shafts: [{id: P1, diameter: DIAMETER, tip: 12, SHAFT}]
"""
SAND = """methodpick: 1
site: {units: si, fluids_allowed: [polymer], allowed: [slurry]}
borings:
  - id: B-1
    depth: 30
    water: [{reading: piezometer, depth: 8}]
    layers: [{top: 0, base: 30, description: "dense fine to medium sand", symbol: SP, phi: 36, unit_weight: 20}]
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""


def clay(diameter=1200, boring="", shaft=""):
    return CLAY.replace("DIAMETER", str(diameter)).replace("    PLACE\n", f"    {boring}\n" if boring else "").replace(", SHAFT", shaft)


def taken_off(text, book, read_text):
    site = read_text(text)
    return take_off(site, plan_site(site, book), book)


def amounts(text, book, read_text):
    return {line.item: line.amount for line in taken_off(text, book, read_text).shafts[0].lines}


def flags(text, book, read_text):
    """Give what is said of the boring that a shaft is planned with, by kind."""
    (assignment,) = plan_site(read_text(text), book).assignments
    return {flag.kind: (flag.severity, flag.text) for flag in assignment.flags}


def test_a_tenth_to_three_tenths_of_wet_spoil_is_fluid(book, read_text):
    """spoil_fluid_share_least, spoil_fluid_share_most: 10 to 30 % of the bank volume (common practice, no source). All of it is dug under
    fluid: 3 m as wide as the starter of 1321 mm, 4.11 m3, and 15 m of 1.2 m, 16.96 m3; a tenth of 21.07 m3 is 2.11, three tenths 6.32 m3.
    """
    found = amounts(SAND, book, read_text)[FREE_FLUID]
    assert (found.low, found.high) == pytest.approx((2.11, 6.32), rel=0.01)


def test_a_joint_without_a_rate_takes_its_planning_hours(book, read_text):
    """hours_joint: a quarter of an hour, as in the stages. Casing comes in 12.19 m; each string is set in 2 h by the rates."""
    text = SAND.replace("[slurry]", "[temporary_casing]").replace("fluids_allowed: [polymer]", "equipment: {oscillator: true}")
    made = taken_off(text + "rates: {casing: {set_hours: 2}}", book, read_text)
    lengths_m = [casing.length_m for casing in made.site.plan.shafts[0].casings]
    splices = sum(int(length // 12.19) for length in lengths_m)
    assert splices >= 1
    assert made.hours[0].casing.likely == pytest.approx(2 * len(lengths_m) + 0.25 * splices)
    assert "casing: splice_hours" in made.hours[0].lacking


def test_tubes(book, read_text):
    """tubes_least: ASTM D6760 (as quoted) has 3 to 8; a cage of 0.45 m by 0.3 m would need 2. tube_above_m: 2 ft, as 0.6 m, over 12 m."""
    found = amounts(clay(600), book, read_text)
    assert found["integrity tubes"].likely == 3
    assert found["integrity tubes, length"].likely == pytest.approx(3 * 12.6)


def test_a_rig_moves_in_an_hour(book, read_text):
    """hours_move."""
    (row,) = taken_off(clay(), book, read_text).hours
    assert row.move.likely == pytest.approx(1.0)


def test_strings_go_in_steps_of_10_ft(book, read_text):
    """trade_length_m: a starter of 1.5 m in clay with 1.07 m over the ground needs 2.57 m and is a string of 10 ft."""
    (string,) = taken_off(clay(), book, read_text).yard.strings
    assert string.length_m == pytest.approx(10 * FOOT_M, rel=1e-3)


def test_a_boring_further_than_50_ft_is_told(book, read_text):
    """boring_watch_m: 50 ft, half of the 100 ft of AASHTO 10.4.2 (from memory): 45 ft is near, 55 ft is told."""
    for away_m, told in ((13.7, False), (16.8, True)):
        place = f", position: {{east: {away_m}, north: 0}}"
        assert ("far" in flags(clay(boring="position: {east: 0, north: 0}", shaft=place), book, read_text)) == told


def test_ground_at_the_shaft_that_lies_higher(book, read_text):
    """level_watch_m: 10 ft, as 3 m; top_stretch_m: the top layer reaches up by a metre at most."""
    for higher_m, severity, words in (
        (3.3, "caution", "they may follow the ground"),
        (2.7, "caution", "no log"),
        (1.1, "caution", "no log"),
        (0.9, "note", "is taken to reach up"),
    ):
        found = flags(clay(boring="ground_elevation: 100", shaft=f", ground_elevation: {100 + higher_m}"), book, read_text)
        assert found["level"][0] == severity
        assert words in found["level"][1]


@pytest.mark.parametrize(("rent", "told"), [(1.0, False), (10.7, False), (13.1, True), (30.0, True), (0.1, False), (0.09, True)])
def test_a_rent_that_buys_casing_at_once_or_never_is_a_slip_of_units(book, read_text, rent, told):
    """rent_days_least, rent_days_most: 20 and 2500 days. A starter of 54 in x 3/8 in weighs 10.69 (54 - 3/8) 3/8 = 215 lb/ft: at 1.1 a
    pound 236 a foot, which are 236 days of rent at 1 a foot and day, 22 at 10.7, 18 at 13.1, 8 at 30, 2360 at 0.1, 2630 at 0.09.
    """
    text = clay() + f"rates: {{casing: {{buy: 1.1 /lb, rent_a_day: {rent} /ft}}}}\n"
    assert any("look at the units" in note for note in taken_off(text, book, read_text).yard.said) is told
