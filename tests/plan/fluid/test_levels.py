"""The levels of a hole that is drilled from the floor of a pit, and what a page says of the drilling grade."""

import pytest
from command_line import output_of
from written_plan import verify_plan

from methodpick.document.shaft import relied_on
from methodpick.plan.pipeline import plan
from methodpick.unit_markup import spell

PIT = """methodpick: 1
site: {units: si, starter_casing: STARTER, drilling_grade: {above_ground: GRADE}}
borings:
  - id: B-1
    depth: 25
    water: [{reading: settled, depth: 6}]
    layers:
      - {top: 0, base: 8, description: "stiff clay", symbol: CL, su: 90, absent: [fissured]}
      - {top: 8, base: 25, description: "very stiff clay", symbol: CH, su: 160, absent: [fissured]}
shafts: [{id: P1, boring: B-1, diameter: 1000, tip: 14}]
"""


@pytest.fixture
def planned_from(book, read_text):
    def made(grade_m, starter="true"):
        site = read_text(PIT.replace("GRADE", str(grade_m)).replace("STARTER", starter))
        whole = plan(site, book)
        assert verify_plan(whole, site, book) == ()
        return whole.shafts[0]

    return made


def test_without_a_starter_the_hole_begins_at_the_floor_of_the_pit(planned_from):
    shaft = planned_from(-1.5, "false")
    assert not shaft.levels.has_starter
    assert shaft.casings == ()
    assert shaft.stages[0].top_m == pytest.approx(1.5)


def test_a_starter_goes_down_from_the_floor_of_the_pit(planned_from):
    shaft = planned_from(-1.5)
    assert shaft.levels.has_starter
    assert shaft.levels.starter_base_m > shaft.levels.floor_m == pytest.approx(1.5)


GRAVEL = """methodpick: 1
site: {units: si, allowed: [dry, slurry, temporary_casing], equipment: {oscillator: false, rotator: false}}
borings:
  - id: B-1
    depth: 30
    layers:
      - {top: 0, base: 2, description: "firm clay", symbol: CL, su: 60}
      - {top: 2, base: 12, description: "medium dense sandy GRAVEL COBBLES"}
      - {top: 12, base: 30, description: "medium dense sand", symbol: SP, absent: [cobbles, boulders]}
shafts: [{id: P1, boring: B-1, diameter: 1000, tip: 24}]
"""


@pytest.mark.parametrize(("cobbles", "deeper"), [("with high cobble content", False), ("with occasional cobbles", True)])
def test_a_long_starter_goes_only_through_ground_that_stands_or_lets_it_in(book, read_text, cobbles, deeper):
    """Fluid that stands over the ground asks for a shoe as deep as that holds it; through many cobbles nobody pushes or shakes one past the
    usual 3 m (common practice, no source).
    """
    site = read_text(GRAVEL.replace("COBBLES", cobbles))
    whole = plan(site, book)
    assert verify_plan(whole, site, book) == ()
    assert (whole.shafts[0].levels.starter_base_m > book.values["starter_max_m"]) is deeper


@pytest.mark.parametrize(
    ("grade_m", "words"), [(-1.5, "1.50 m below the ground"), (0, "at the ground"), (0.5, "0.50 m above the ground")], ids=str
)
def test_the_page_says_where_the_drilling_grade_lies(planned_from, grade_m, words):
    assert f", grade {words}" in spell(relied_on(planned_from(grade_m)), "si")


# ---- a starter in which no fluid ever stands


CLAY_WITHOUT_WATER = """methodpick: 1
site: {{units: si{grade}}}
borings:
  - id: B-1
    depth: 20
    {water}
    layers:
      - {{top: 0, base: 0.4, description: "silty sand"}}
      - {{top: 0.4, base: 20, description: "stiff to very stiff grey clay", su: 120}}
shafts: [{{id: P1, diameter: 1200, tip: 5}}]
"""


@pytest.mark.parametrize(
    ("water", "method", "height"),
    [
        ("# nobody read the water", "dry", 1.07),  # the height of an edge protection, limit stick_up_m; no fluid asks for more
        ("water: [{reading: piezometer, depth: 9.5}]", "dry", 1.07),
    ],
)
def test_a_starter_of_a_dry_hole_stands_no_higher_than_a_rail(book, read_text, water, method, height):
    made = plan(read_text(CLAY_WITHOUT_WATER.format(water=water, grade="")), book).shafts[0]
    assert made.method == method
    assert (made.levels.stick_up_m > height + 0.5) == water.startswith("#"), "fluid would ask for more where the water may stand anywhere"
    (starter,) = made.casings
    assert -starter.top_m == pytest.approx(height, abs=0.01)
    assert "no fluid in it asks for more" in starter.stick_up_why
    cage = next(stage for stage in made.stages if stage.action == "cage")
    assert cage.top_m == starter.top_m


FILLED = """methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: 25
    water: [{reading: drilling_fluid, depth: 1.7}]
    layers:
      - {top: 0, base: 1, description: "fill: brown silty sand", symbol: SM, origin: fill}
      - {top: 1, base: BASE, description: "TOP clay", symbol: CH, su: TOP_SU, unit_weight: 20, absent: [fissured, boulders, cobbles]}
      - {top: BASE, base: 25, description: "very stiff grey clay", symbol: CH, su: 150, absent: [fissured, boulders, cobbles]}
shafts: [{id: P1, boring: B-1, diameter: 1200, tip: 12}]
"""


def test_a_starter_of_a_dry_hole_ends_where_such_a_hole_asks_for(book, read_text):
    """1 m of fill whose water nobody read: fluid 1.5 m over it asks for a shoe at 1.55 m; a dry hole for 1.5 m, the least (5 ft)."""
    site = read_text(FILLED.replace("BASE", "6").replace("TOP_SU", "90").replace("TOP", "stiff brown"))
    whole = plan(site, book)
    shaft = whole.shafts[0]
    assert (shaft.levels.starter_base_m, shaft.levels.dry_starter_base_m) == (1.55, 1.5)
    assert shaft.method == "dry"
    assert [casing.base_m for casing in shaft.casings] == [1.5]
    drilled = [stage for stage in shaft.stages if stage.action == "drill"]
    assert drilled[0].top_m == 1.5
    assert verify_plan(whole, site, book) == ()


def test_a_starter_of_a_hole_with_fluid_ends_where_the_fluid_asks_for(book, read_text):
    """The same over firm clay that no dry hole stands in: the starter keeps its 1.55 m."""
    site = read_text(FILLED.replace("BASE", "11").replace("TOP_SU", "12").replace("TOP", "very soft brown"))
    shaft = plan(site, book).shafts[0]
    assert shaft.method != "dry"
    assert shaft.levels.starter_base_m >= 1.55
    starters = [casing.base_m for casing in shaft.casings if casing.is_starter]
    assert starters in ([], [shaft.levels.starter_base_m])


SHALE = """methodpick: 1
site: {units: si, equipment: {vibratory: false, kelly_twist: true}, recharge: [river 60 m away]}
borings:
  - id: B-1
    depth: 14.8
    layers:
      - {top: 0, base: 1.2, description: "stiff clay, moist", symbol: CH, features: [fissured], su: {low: 68, likely: 97, high: 126}}
      - {top: 1.2, base: 4.4, description: "weathered grey shale, very weak", symbol: weathered_rock, features: [slaking], su: [622, 1154]}
      - {top: 4.4, base: 14.8, description: "white chalk, weak", symbol: rock, features: [jointed], unit_weight: 17.2, rqd: [24, 30]}
    spt: [{depth: 1.5, n: 50/50mm}, {depth: 3, n: 50/100mm}]
    cores: [{top: 4.4, base: 5.9, recovery: 71, rqd: 50}, {top: 5.9, base: 7.4, recovery: 62, rqd: 55}]
shafts: [{id: P1, boring: B-1, diameter: 900, tip: 6.9, socket_top: 4.4, socket_diameter: 750, count: 10}]
"""


def test_a_starter_that_is_shorter_than_fluid_asks_for_takes_no_less_than_its_setting(book, read_text):
    """Half of the 1.5 h that a casing takes to set; nothing is gained for what the longer starter of a fluid would have gone further."""
    site = read_text(SHALE)
    whole = plan(site, book)
    shaft = whole.shafts[0]
    assert shaft.levels.dry_starter_base_m < shaft.levels.starter_base_m
    assert [casing.base_m for casing in shaft.casings] == [shaft.levels.dry_starter_base_m]
    assert shaft.stages[0].hours == pytest.approx(0.75)
    assert verify_plan(whole, site, book) == ()


ON_ROCK = """methodpick: 1
site: {units: si, allowed: [dry, slurry]}
borings:
  - id: B-1
    depth: 25
    technique: core
    water: [WATER]
    layers:
      - {top: 0, base: TOP, description: "GROUND"}
      - {top: TOP, base: 25, description: "strong massive sandstone", symbol: rock, rqd: 90, ucs: 60, absent: [slaking, cavities]}
shafts: [{id: P1, boring: B-1, diameter: 1000, tip: 7}]
"""
NONE, AT_1_M = "{reading: none_met, hole_depth: 25}", "{reading: settled, depth: 1}"


@pytest.mark.parametrize(
    ("ground", "top_m", "water", "shoe_m"),
    [("stiff clay", 1.2, NONE, 1.2), ("stiff clay", 0.3, NONE, 0.0), ("stiff clay", 4.0, NONE, 1.5), ("loose sand", 1.8, AT_1_M, 2.3)],
    ids=["clay on rock", "a foot of clay", "deep rock", "wet sand on rock"],
)
def test_a_starter_stands_on_rock_and_is_cored_into_it_only_below_ground_that_would_run_in(ground, top_m, water, shoe_m, book, read_text):
    """Half a metre (own) into what lies below a loose top, 1.5 m or a diameter else (own), no starter on rock at grade."""
    site = read_text(ON_ROCK.replace("GROUND", ground).replace("TOP", str(top_m)).replace("WATER", water))
    whole = plan(site, book)
    assert verify_plan(whole, site, book) == ()
    shaft = whole.shafts[0]
    assert shaft.levels.starter_base_m == pytest.approx(shoe_m)
    assert shaft.levels.has_starter is (shoe_m > 0.0)
    if shoe_m <= top_m:
        assert "cored in the rock" not in shaft.stages[0].text
        return
    cored_m = shoe_m - top_m
    below = next(stage for stage in shaft.stages if stage.action == "drill" and stage.top_m >= shoe_m - 1e-6)
    assert "its hole is cored in the rock from" in shaft.stages[0].text
    assert shaft.stages[0].hours - 0.75 == pytest.approx(cored_m * below.hours / (below.base_m - below.top_m), rel=0.05)


# ---- mineral slurry over water that was read under pressure, at its highest


PRESSED = """methodpick: 1
site: {units: si, allowed: [slurry]}
borings:
  - id: B-1
    depth: 25
    water: [WATER]
    layers:
      - {top: 0, base: 8, description: "TOP clay", symbol: CL, su: SU, unit_weight: 20, absent: [fissured, boulders]}
      - {top: 8, base: 25, description: "medium dense fine to medium sand", symbol: SP, unit_weight: 20}
shafts: [{id: P1, boring: B-1, diameter: 1000, tip: 18}]
"""


@pytest.fixture
def over(book, read_text):
    def made(water, top="very stiff grey", su=150):
        site = read_text(PRESSED.replace("WATER", water).replace("TOP", top).replace("SU", str(su)))
        whole = plan(site, book)
        assert verify_plan(whole, site, book) == ()
        return whole.shafts[0]

    return made


def rising_to(depth_m):
    return f"{{reading: confined, struck: 8, rises_to: {depth_m}}}"


@pytest.mark.parametrize(
    ("water", "mineral_m", "water_m"),
    [
        (rising_to(1.5), -0.5, -0.05),
        (rising_to(1.2), -0.75, -0.35),
        (rising_to(3.0), 0.3, 0.3),
        ("{reading: settled, depth: 1.5}", -0.05, -0.05),
    ],
    ids=["0.5 m at its highest", "as far as the casing allows", "low water", "nothing read under pressure"],
)
def test_slurry_holds_pressed_water_at_its_highest_as_far_as_its_casing_allows(over, water, mineral_m, water_m):
    """Likely: 1.524 m (5 ft) over the water. At its highest, a metre above that: 1.0 m over it, up to 1.07 m of casing less 0.3 m of
    freeboard. In steps of 0.05 m; 0.3 m below the grade at least. Water and polymer fluid stay as they are, and so does the casing.
    """
    levels = over(water).levels
    assert levels.fluid_m["mineral"] == pytest.approx(mineral_m)
    assert levels.fluid_m["water"] == levels.fluid_m["polymer"] == pytest.approx(water_m)
    assert levels.stick_up_m == pytest.approx(1.07)


def test_slurry_stands_no_higher_than_the_ground_at_the_starter_bears(over):
    """Under very soft clay it would run out around the shoe before it helps."""
    stiff, soft = (over(rising_to(1.2), top, su).levels for top, su in (("very stiff grey", 150), ("very soft grey", 8)))
    assert stiff.fluid_m["mineral"] < soft.fluid_m["mineral"] <= soft.fluid_m["water"]


def test_water_that_the_casing_cannot_hold_at_its_highest_stands_among_the_dangers(over, tmp_path):
    """Water that may rise to 0.3 m above the ground asks for 1.3 m, 0.75 m is what the casing allows: 0.45 m are missing to the metre."""
    (check,) = (check for check in over(rising_to(0.7)).checks if check.id == "fluid-head-too-low")
    assert check.result == "open_range"
    (tmp_path / "pressed.yaml").write_text(PRESSED.replace("WATER", rising_to(0.7)).replace("TOP", "very stiff grey").replace("SU", "150"))
    page = output_of("plan", str(tmp_path / "pressed.yaml"))
    assert "fluid head too low" in page[page.index("DANGEROUS HERE") :]
