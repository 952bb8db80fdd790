"""What would open a way of building: plant, the specification, a straight shaft, a raised platform; nothing where a way is proven.

What is expected follows from the ground by hand, or is common practice (no source) where so said.
"""

import pytest

from methodpick.plan.other_ways.openings import NO_OPENING, openings, site_changes
from methodpick.plan.pipeline import planning_basis
from methodpick.plan.plan_context import PlanContext

SAND = """methodpick: 1
site: {{units: si, {site}}}
borings:
  - id: B-1
    depth: 20
    water: [{{depth: 2, reading: settled, after: 24 h}}]
    layers:
      - {{top: 0, base: 3, description: "stiff clay", symbol: CL, su: 100}}
      - {{top: 3, base: 14, description: "loose fine sand", symbol: SP, fines: 3, n: [6, 7, 8]}}
      - {{top: 14, base: 20, description: "stiff clay", symbol: CH, su: 120}}
shafts: [{{id: P1, boring: B-1, diameter: 1200, cutoff: 1, tip: 12{shaft}}}]
"""
ARTESIAN = """methodpick: 1
site: {{units: si, allowed: [slurry]{grade}}}
borings:
  - id: B-1
    depth: 25
    water: [{{reading: piezometer, depth: -3.2, response_zone: [6, 12]}}]
    layers:
      - {{top: 0, base: 6, description: "very stiff clay", symbol: CH, su: 200, unit_weight: 20}}
      - {{top: 6, base: 25, description: "medium dense sand", symbol: SP, fines: 3, n: [22, 24, 25], unit_weight: 20}}
shafts: [{{id: P1, boring: B-1, diameter: 1000, tip: 12}}]
"""
NO_CASING = "equipment: {vibratory: false, kelly_twist: false, oscillator: false, rotator: false, impact_hammer: false}"


@pytest.fixture
def sought(book, read_text):
    def found(text):
        site = read_text(text)
        context = PlanContext(planning_basis(site, book), site.borings[0], site.shafts[0])
        return context, openings(context, context.best())

    return found


def test_a_proven_way_needs_no_opening(sought):
    _, found = sought(SAND.format(site="allowed: [slurry]", shaft=""))
    assert found == ()


def test_the_specification_opens_a_way_in_wet_sand(sought):
    """Sand below water holds under slurry or in casing, never dry: each of the two methods that are closed opens a way alone."""
    _, found = sought(SAND.format(site="allowed: [dry]", shaft=""))
    words = [way.family for way in found]
    assert "if the specification allows the method: slurry" in words
    assert "if the specification allows the method: temporary casing" in words
    slurry = next(way for way in found if way.family.endswith("slurry"))
    assert slurry.stages == (), "the site is not so: nothing of it is a stage of the plan"
    assert "site.allowed: [dry, slurry]" in slurry.why_not


def test_plant_opens_a_way_where_only_casing_is_allowed(sought):
    _, found = sought(SAND.format(site=f"allowed: [temporary_casing], {NO_CASING}", shaft=""))
    assert "with an oscillator" in [way.family for way in found]
    oscillator = next(way for way in found if way.family == "with an oscillator")
    assert "oscillator" in oscillator.why_not
    assert "site.equipment.oscillator: true" in oscillator.why_not


def test_two_changes_that_are_needed_together_are_named_together(sought):
    """Without any plant for casing, and with nothing but dry holes allowed, neither a method nor a plant alone holds the sand in casing."""
    site = f"allowed: [dry], fluids_allowed: [water], {NO_CASING}"
    _, found = sought(SAND.format(site=site, shaft=""))
    assert len(found) == 1
    assert " and " in found[0].family
    assert "It can be built then" in found[0].why_not


def test_a_straight_shaft_is_offered_where_a_bell_stands_in_sand(sought):
    """A bell is not cut in sand under fluid (GEC 10, 2018: bells stand in dry, stiff clay); a straight shaft is built under slurry."""
    _, found = sought(SAND.format(site="allowed: [slurry]", shaft=", bell: {diameter: 2000, height: 1.0}"))
    straight = next(way for way in found if "straight shaft" in way.family)
    assert "no bell at the shaft" in straight.why_not


def test_a_raised_platform_carries_the_head_of_artesian_water(sought):
    """Water 3.2 m above the ground, at least 1 m of head over it and 0.3 m of freeboard ask for 4.5 m; casing stands up 3 m at most."""
    context, found = sought(ARTESIAN.format(grade=""))
    platform = next(way for way in found if "platform" in way.family)
    assert "site.drilling_grade.above_ground" in platform.why_not
    grades = [change.site["drilling_grade"].above_ground_m for change in site_changes(context) if "drilling_grade" in change.site]
    assert grades == [1.0, 2.0, 3.0]
    assert len([way for way in found if "platform" in way.family]) == 1, "a lower platform that does is enough"
    context, found = sought(ARTESIAN.format(grade=", drilling_grade: {above_ground: 2.0}"))
    assert found == (), "the platform is there: the way is proven"


def test_the_starter_ends_in_the_lid_over_rising_water(sought):
    """The lid ends at 6 m; half a metre of it is left under the shoe, so that nothing pipes up outside the starter."""
    context, _ = sought(
        ARTESIAN.format(grade=", drilling_grade: {above_ground: 2.0}").replace("base: 6,", "base: 3,").replace("top: 6,", "top: 3,")
    )
    assert context.levels.starter_base_m == pytest.approx(2.5)


def test_where_nothing_opens_a_way_the_page_says_that_the_ground_has_to_be_changed(sought):
    text = ARTESIAN.format(grade="").replace("-3.2", "-12")
    _, found = sought(text)
    assert found == (NO_OPENING,)
    assert "the ground has to be changed" in NO_OPENING.why_not
