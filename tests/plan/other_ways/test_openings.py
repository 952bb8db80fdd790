"""What would open a way of building: plant, the specification, a straight shaft, a raised platform; nothing where a way is proven.

What is expected follows from the ground by hand, or is common practice (no source) where so said.
"""

import json
from pathlib import Path

import pytest

from methodpick.document.reasons import in_the_way
from methodpick.formats.json import plan_json
from methodpick.plan.other_ways.filled_cavities import FILLING, filled
from methodpick.plan.other_ways.openings import NO_OPENING, openings, site_changes
from methodpick.plan.pipeline import plan, planning_basis
from methodpick.plan.plan_context import PlanContext
from methodpick.review.plan_file import read_plan
from methodpick.review.verify import verify_plan

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
    assert slurry.opening.write == ("site.allowed: [dry, slurry]",)
    assert "site.allowed: [dry, slurry]" in slurry.why_not


def test_a_shaft_that_the_site_file_itself_excludes_names_the_lines(read_text, book):
    """Sand below water is not dug dry: as long as nothing else is allowed, no plant and no ground is what lacks."""
    shaft = plan(read_text(SAND.format(site="allowed: [dry]", shaft="")), book).shafts[0]
    assert not shaft.has_method
    assert shaft.excluded_by == ("site.allowed: [dry]",)
    (said, *_) = in_the_way(shaft).blocks
    assert said.text == "The site file itself: site.allowed: [dry]. Nothing that it leaves open builds this shaft."


def test_the_words_of_an_opening_are_those_of_its_record(read_text, book):
    """A plan file whose line to write is not the one that its sentence names contradicts itself."""
    site = read_text(SAND.format(site="allowed: [dry]", shaft=""))
    tree = json.loads(plan_json(plan(site, book)))
    assert verify_plan(read_plan(tree), book, site).contradictions == ()
    way = next(way for way in tree["shafts"][0]["alternates"] if way["opening"])
    way["opening"]["write"] = ["site.allowed: [dry, permanent_casing]"]
    (found,) = verify_plan(read_plan(tree), book, site).contradictions
    assert "why_not" in found.what


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
    """3.2 m of water above the ground + 1.524 m (5 ft) of head + 0.3 m of freeboard - 3 m of stick-up = 2.024 m, in decimetres 2.1 m.

    The plan raises the platform by the same where no grade is stated (test_raised_platform.py).
    """
    context, found = sought(ARTESIAN.format(grade=""))
    (platform,) = (way for way in found if "platform" in way.family)
    assert platform.family == "with the drilling grade at ⟦2.1|m⟧ above the ground, on a platform of fill"
    assert "site.drilling_grade.above_ground: ⟦2.1|m⟧" in platform.why_not
    assert [change.raised_m for change in site_changes(context) if change.raised_m] == pytest.approx([2.1])
    context, found = sought(ARTESIAN.format(grade=", drilling_grade: {above_ground: 2.1}"))
    assert found == (), "the platform is there: the way is proven"
    assert not any(change.raised_m for change in site_changes(context)), "no head is missing from it"


def test_a_platform_that_stands_too_low_is_raised_by_what_is_left(sought):
    """Of the 2.024 m that are missing from the ground a stated grade of 1 m leaves 1.024 m, in decimetres 1.1 m: 2.1 m above the ground."""
    _, found = sought(ARTESIAN.format(grade=", drilling_grade: {above_ground: 1.0}"))
    (platform,) = (way for way in found if "platform" in way.family)
    assert platform.family.startswith("with the drilling grade at ⟦2.1|m⟧ above the ground")


def test_what_is_named_to_write_is_planned(sought):
    """The site file with the line that an opening names is a site whose plan is proven."""
    _, found = sought(ARTESIAN.format(grade=", drilling_grade: {above_ground: 0}"))
    (platform,) = (way for way in found if "platform" in way.family)
    above = platform.why_not.partition("above_ground: ⟦")[2].partition("|")[0]
    context, found = sought(ARTESIAN.format(grade=f", drilling_grade: {{above_ground: {above}}}"))
    assert found == ()
    assert context.best_proven() is not None


def test_the_starter_ends_in_the_lid_over_rising_water(sought):
    """The lid ends at 6 m; half a metre of it is left under the shoe, so that nothing pipes up outside the starter."""
    context, _ = sought(
        ARTESIAN.format(grade=", drilling_grade: {above_ground: 2.0}").replace("base: 6,", "base: 3,").replace("top: 6,", "top: 3,")
    )
    assert context.levels.starter_base_m == pytest.approx(2.5)


def test_where_nothing_opens_a_way_the_page_says_that_the_ground_has_to_be_changed(sought):
    """Water 12 m above the ground: 12 + 1.524 + 0.3 - 3 - 3 = 7.8 m are still missing on the highest fill."""
    text = ARTESIAN.format(grade="").replace("-3.2", "-12")
    _, found = sought(text)
    (way,) = found
    assert way.family == NO_OPENING
    assert "the ground has to be changed" in way.why_not
    assert "leave a way to the tip" in way.why_not


def test_where_nothing_opens_a_way_the_nearest_is_named_with_what_it_is_short_of(sought):
    """Water 5.5 m above the ground: 5.5 + 1.524 + 0.3 - 3 - 3 = 1.324 m of head are missing on the highest fill: no fluid holds it."""
    _, found = sought(ARTESIAN.format(grade="").replace("-3.2", "-5.5"))
    (way,) = found
    assert way.family == NO_OPENING
    nearest = way.why_not.partition("The way that comes nearest, ")[2]
    assert "with the drilling grade at ⟦3|m⟧ above the ground" in nearest
    assert "rotator" not in nearest.partition(":")[0], "the way needs none"
    assert "the safety of the hole base against uplift" in nearest.partition("It is short of its proofs: ")[2]


def test_a_plan_that_no_change_betters_is_the_nearest_itself(sought, monkeypatch):
    monkeypatch.setattr("methodpick.plan.other_ways.openings.site_changes", lambda _: iter(()))
    _, (way,) = sought((Path(__file__).parents[2] / "sites" / "bell-in-wet-ground.yaml").read_text(encoding="utf-8"))
    assert "The plan itself comes nearest. It is short of its proofs: The bell is cut in water or fluid." in way.why_not


# ---- cavities that are filled and drilled again: a usual measure in karst (UFC 3-220-20 sec. 6-4.2.1 names it; steps are common practice)


KARST = """methodpick: 1
site:
  units: si
  allowed: [{allowed}]
  fluids_allowed: [mineral]
  equipment: {{oscillator: false, rotator: false, kelly_twist: {casing}}}
borings:
  - id: B-1
    depth: 30
    water: [{{depth: 3, reading: settled, after: 24 h}}]
    remarks: [{{depth: 11, text: "flush lost"}}]
    layers:
      - {{top: 0, base: 6, {soil}}}
      - {{top: 6, base: 10, description: "strong grey limestone", rqd: 85, ucs: 40, absent: [cavities]}}
      - {{top: 10, base: 13, {void}}}
      - {{top: 13, base: 30, description: "strong grey limestone", rqd: 85, ucs: 40, absent: [cavities]}}
shafts: [{{id: P1, boring: B-1, diameter: 1200, tip: {tip}}}]
"""
STIFF = 'description: "very stiff clay", symbol: CL, su: 150, absent: [fissured]'
WET_SAND = 'description: "loose fine sand", symbol: SP, fines: 3, n: [6, 7, 8]'
FILL = "with the cavities filled through the shaft and drilled again"


def karst(soil=STIFF, void='description: "void"', tip=18, allowed="slurry", casing="false"):
    return KARST.format(soil=soil, void=void, tip=tip, allowed=allowed, casing=casing)


def test_a_void_that_takes_the_fluid_is_filled_and_drilled_again(sought):
    """The hole alone takes (3 m + 1 m above the roof) x 1.13 m2 = 4.52 m3."""
    context, found = sought(karst())
    assert context.best_proven() is None
    (way,) = (way for way in found if way.family == FILL)
    assert "⟦10|m⟧ to ⟦13|m⟧" in way.why_not
    assert "⟦4.52389|m3⟧" in way.why_not
    assert "set for ⟦24|h⟧" in way.why_not
    assert way.stages == (), "the ground is not so: nothing of it is a stage of the plan"


def test_what_the_ground_asks_for_is_no_line_of_the_site_file(sought):
    """Filling the void opens a way by itself: nothing that the file says excludes it."""
    _, found = sought(karst())
    assert next(way for way in found if way.family == FILL).excluded_by == ()


def test_a_boring_whose_void_is_written_as_filled_is_planned(sought):
    """What the opening says to write: set filling stands and holds fluid, and the way through it is proven."""
    text = karst(void=f'description: "{FILLING}", absent: [cavities]')
    context, found = sought(text.replace("flush lost", "filled"))
    assert found == ()
    assert context.best_proven() is not None


def test_sand_that_only_the_fluid_holds_is_not_left_above_a_void(sought):
    """The void takes the fluid before anybody can fill it, and the sand falls in; casing to the rock holds it, where it is allowed."""
    _, found = sought(karst(WET_SAND))
    assert FILL not in [way.family for way in found]
    context, found = sought(karst(WET_SAND, allowed="slurry, temporary_casing", casing="true"))
    assert context.best_proven() is None
    (way,) = (way for way in found if way.family == FILL)
    assert "temporary casing" in way.why_not.partition("Drill until the tool drops")[0]


def test_no_shaft_stands_on_filling(sought):
    """A tip in the void is no matter of filling it: the engineer changes the depth."""
    context, found = sought(karst(tip=12))
    assert not any(FILL in way.family for way in found)
    assert not any(change.fills for change in site_changes(context))


def test_rock_that_is_only_vuggy_keeps_its_words_when_it_is_filled(sought):
    context, _ = sought(karst(void='description: "moderately strong limestone, vuggy, with cavities"'))
    (change,) = (change for change in site_changes(context) if change.fills)
    layer = filled(context.ground.profile, change.fills).layers[2]
    assert layer.described.rock_type == "limestone"
    assert layer.described.strength == "moderately strong"
    assert not layer.described.features & {"cavities", "vuggy"}
    assert filled(context.ground.profile, change.fills).remarks == (), "the loss belongs to the cavity"


def test_a_railway_that_has_not_approved_the_work_is_asked(sought):
    """Within 12 ft of a track (the railroads' rules, read) it is the railroad that agrees: no ground has to be changed for it."""
    text = SAND.format(site='allowed: [slurry], neighbours: [{what: "live railway track", distance: 3.0}]', shaft="")
    context, found = sought(text)
    assert context.best_proven() is None
    assert [way.family for way in found] == ["if the railroad approves the work in writing"]
    assert sought(text.replace("distance: 3.0", "distance: 3.0, approved: true"))[1] == ()


GRAVEL = """methodpick: 1
site:
  units: si
  allowed: [temporary_casing, permanent_casing]
  equipment: {oscillator: true, rotator: true, vibratory: true, kelly_twist: true, impact_hammer: true, oscillator_torque_knm: 200,
              rig_torque_knm: 100, oscillator_pull_kn: 300, vibrator_pull_kn: 300, rig_pull_kn: 200}
borings:
  - id: B
    depth: 40
    water: [{reading: settled, depth: 8, after: 24 h}]
    remarks: [{depth: 9, text: "all drilling water lost", tag: fluid_loss}]
    layers: [{top: 0, base: 40, description: "very dense open gravel with cobbles", symbol: GP, features: [open], permeability: 1.0e-1}]
shafts: [{id: P1, boring: B, diameter: 1200, tip: 20}]
"""


def test_machines_that_are_too_weak_are_no_matter_of_the_ground(sought):
    """A casing of 20 m in very dense open gravel, which no fluid holds and an oscillator of 200 kNm does not turn: a stronger one does."""
    context, found = sought(GRAVEL)
    assert context.best_proven() is None
    (way,) = found
    assert way.family == NO_OPENING
    assert "the machines have to be stronger" in way.why_not
    assert "the ground has to be changed" not in way.why_not


# ---- casing that is wider than the yard has: strings that stand in one another


def test_wider_casing_is_named_where_two_strings_have_to_stand_in_one_another(sought):
    """A void under rock of clay-filled slots: one string to the rock and one across the void, for which 66 in are too narrow at 60 in."""
    text = (Path(__file__).parents[2] / "jobs" / "third" / "karst-with-clay-slots.yaml").read_text(encoding="utf-8")
    _, found = sought(text)
    (way,) = found
    assert "with casing wider than ⟦1.6764|size⟧, one string in another" in way.family
    assert "no site.equipment.max_casing" in way.opening.write
    assert way.opening.decision.count("casing") >= 2
    wider = text.replace(", max_casing: 66", "")
    assert all("wider" not in other.family for other in sought(wider)[1])
