"""Water is a head per aquifer; how far each reading is believed (handbook practice, no single source)."""

import pytest
from shipped import strata_of

from methodpick.facts.aquifers import find_aquifers
from methodpick.ground.profile import Layer, Profile, Remark, WaterReading
from methodpick.ground.site import OpenWater, SiteConditions
from methodpick.plan.pipeline import plan
from methodpick.resources import folder
from methodpick.strict_yaml import read

LIMITS = {name: entry["value"] for name, entry in read(folder("rules") / "limits.yaml").value["limits"].items()}
CLAY_SAND_CLAY = ((0, 6, "CL"), (6, 9, "SP"), (9, 20, "CH"))


def found(layers, *readings, technique="unknown", site=None):
    made = tuple(Layer(top_m=top, base_m=base, symbol=symbol) for top, base, symbol in layers)
    profile = Profile(id="B", depth_m=layers[-1][1], layers=made, water=readings, technique=technique)
    return find_aquifers(profile, site or SiteConditions(), strata_of(profile, layers[-1][1]), LIMITS)


def reading(kind, depth=None, **more):
    return WaterReading(reading=kind, depth_m=depth, **more)


def test_a_settled_level_swings_by_the_season():
    (main,) = found(((0, 20, "CL"),), reading("settled", 6))
    assert (main.level_m.low, main.level_m.likely, main.level_m.high) == (5, 6, 7)
    assert main.position(4.9) == (frozenset({"above"}), "above")
    assert main.position(7.1) == (frozenset({"below"}), "below")
    assert main.position(6.5) == (frozenset({"above", "below"}), "below")


def test_no_reading_is_unknown_never_dry():
    (main,) = found(((0, 20, "CL"),))
    assert main.level_m.likely is None
    assert main.level_m.low == 0
    assert not main.read


def test_a_reading_while_drilling_in_tight_ground_reads_low():
    (main,) = found(((0, 20, "CL"),), reading("while_drilling", 6))
    assert main.level_m.likely < 6
    assert main.level_m.low == 0


def test_a_reading_while_drilling_in_sand_is_nearly_right():
    (main,) = found(((0, 20, "SP"),), reading("while_drilling", 6))
    assert main.level_m.likely == 6
    assert main.level_m.low >= 4


def test_mud_says_nothing_of_water():
    (main,) = found(((0, 20, "SP"),), reading("while_drilling", 6), technique="mud_rotary")
    assert main.level_m.likely is None


def test_none_met_counts_in_free_draining_ground():
    (main,) = found(((0, 20, "SP"),), reading("none_met", hole_depth_m=15))
    assert main.level_m.low >= 13
    (tight,) = found(((0, 20, "CL"),), reading("none_met", hole_depth_m=15))
    assert tight.level_m.low == 0, "in clay it says little"


def test_a_confined_aquifer_has_its_own_head():
    main, sand = found(CLAY_SAND_CLAY, reading("confined", struck_m=6, rises_to_m=2))
    assert sand.kind == "confined"
    assert (sand.top_m, sand.base_m, sand.level_m.likely) == (6, 9, 2)
    assert main.level_m.likely == 2


def test_artesian_water_stands_above_the_ground():
    _, sand = found(CLAY_SAND_CLAY, reading("confined", struck_m=6, rises_to_m=-1))
    assert sand.kind == "artesian"
    assert sand.level_m.likely == -1


def test_a_strike_without_its_rise_may_rise_to_the_ground():
    *_, strike = found(((0, 5, "SP"), (5, 40, "CH")), reading("while_drilling", 3), reading("confined", struck_m=33))
    assert strike.kind == "strike"
    assert strike.level_m.low == 0
    assert strike.level_m.likely == 30
    assert strike.assumed == {"strike-rise-not-recorded"}


def test_a_deeper_unread_aquifer_is_likely_like_the_one_above():
    _, deep = found(((0, 5, "SP"), (5, 20, "CH"), (20, 25, "SP")), reading("settled", 3))
    assert deep.kind == "unread"
    assert deep.level_m.likely == 3
    assert deep.level_m.low <= 0
    assert not deep.read


def test_perched_water_stays_in_its_layer():
    aquifers = found(((0, 3, "SM"), (3, 20, "CL")), reading("perched", 1), reading("settled", 10))
    perched = next(one for one in aquifers if one.kind == "perched")
    assert (perched.top_m, perched.base_m, perched.level_m.likely) == (0, 3, 1)
    assert aquifers[0].level_m.likely == 10


def test_a_thin_tight_seam_does_not_part_an_aquifer():
    aquifers = found(((0, 5, "SP"), (5, 5.2, "CL"), (5.2, 12, "SP")), reading("settled", 3))
    assert len(aquifers) == 1


def test_a_clay_of_70_cm_parts_two_aquifers():
    aquifers = found(
        ((0, 9.2, "SM"), (9.2, 9.9, "CL"), (9.9, 13, "SP"), (13, 16, "CL")),
        reading("while_drilling", 3),
        reading("confined", struck_m=9.9, rises_to_m=6.1),
    )
    assert [one.kind for one in aquifers] == ["main", "confined"]
    assert aquifers[1].level_m.likely == pytest.approx(6.1)


def test_open_water_governs_over_the_river():
    site = SiteConditions(setting="water", water_depth_m=5, water_level=OpenWater(low_m=4, high_m=7))
    (main,) = found(((0, 20, "CL"),), site=site)
    assert (main.level_m.low, main.level_m.likely, main.level_m.high) == (-7, -5, -4)


def test_the_level_of_the_drilling_fluid_is_not_used():
    (main,) = found(((0, 20, "SP"),), reading("drilling_fluid", 1))
    assert main.level_m.likely is None


def test_water_read_after_water_was_added_may_stand_deeper():
    """Driller's water in the hole reads high: the true level is likely there, and may lie as deep as the hole."""
    made = (Layer(top_m=0, base_m=20, symbol="SP"),)
    early = reading("while_drilling", 6, hole_depth_m=9)
    plain = Profile(id="B", depth_m=20, layers=made, water=(early,))
    added = plain.model_copy(update={"remarks": (Remark(depth_m=5, text="water added"),)})
    later = plain.model_copy(update={"remarks": (Remark(depth_m=15, text="water added"),)})
    levels = [find_aquifers(each, SiteConditions(), strata_of(each, 20), LIMITS)[0].level_m for each in (plain, added, later)]
    assert [(level.likely, level.high) for level in levels] == [(6, 6.5), (6, 9), (6, 6.5)]


TWO_SANDS = ((0, 3, "CL"), (3, 6, "SP"), (6, 12, "CH"), (12, 20, "SP"))


@pytest.mark.parametrize(("kind", "likely"), [("settled", 4), ("while_drilling", 3)])
def test_a_reading_under_casing_speaks_for_the_ground_below_it(kind, likely):
    """Casing through the upper sand shuts its water off; what is read then comes from under the shoe.

    Read while drilling it was still rising in the casing: a metre higher is likely (own value).
    """
    open_hole = found(TWO_SANDS, reading(kind, 4, hole_depth_m=15))[0]
    main, upper, deep = found(TWO_SANDS, reading(kind, 4, hole_depth_m=15, casing_depth_m=8))
    assert open_hole.read
    assert not main.read
    assert main.level_m.low == 0
    assert (upper.kind, upper.top_m, upper.read) == ("unread", 3, False)
    assert (deep.top_m, deep.base_m, deep.read, deep.level_m.likely) == (12, 20, True, likely)
    assert deep.kind == "confined", "it stands above the top of its sand"


def test_water_below_the_top_of_its_sand_is_under_no_pressure():
    *_, deep = found(TWO_SANDS, reading("while_drilling", 14, hole_depth_m=15, casing_depth_m=8))
    assert (deep.kind, deep.level_m.likely) == ("below", 14)


def test_none_met_under_casing_says_nothing_of_the_cased_ground():
    layers = ((0, 6, "SP"), (6, 20, "CL"))
    assert found(layers, reading("none_met", hole_depth_m=15))[0].level_m.low >= 4
    assert found(layers, reading("none_met", hole_depth_m=15, casing_depth_m=7))[0].level_m.low == 0


def test_sand_under_clay_without_a_reading_may_lift_the_clay():
    """Nobody read it: its water may stand at the ground, or below it all; the ways to read it are asked for."""
    _, sand = found(CLAY_SAND_CLAY)
    assert (sand.kind, sand.top_m, sand.base_m, sand.read) == ("unread", 6, 9, False)
    assert (sand.level_m.low, sand.level_m.likely, sand.level_m.high) == (0, None, 20)


@pytest.mark.parametrize(("level", "kinds"), [(6.5, ["main", "covered"]), (7.5, ["main"])])
def test_main_water_that_may_rise_into_the_lid_over_its_sand_presses_on_it(level, kinds):
    """A level read once swings by a metre: read at 6.5 m in sand from 6 m down it may stand half a metre over its top."""
    waters = found(CLAY_SAND_CLAY, reading("settled", level))
    assert [water.kind for water in waters] == kinds
    assert {water.level_m for water in waters} == {waters[0].level_m}


def test_water_at_the_ground_is_no_missing_level():
    """Sand from half a metre down under a clay crust, the water read at the ground: the sand is under pressure, not main water."""
    kinds = [water.kind for water in found(((0, 0.5, "CL"), (0.5, 9, "SP")), reading("settled", 0.0))]
    assert kinds == ["main", "unread"]


def test_two_perched_readings_of_one_layer_are_one_water():
    """The higher one is believed and the range holds both; the main water may stand higher where it was read so."""
    layers = ((0, 2, "CL"), (2, 6, "ML"), (6, 20, "CL"))

    def perched(*readings):
        (water,) = (water for water in found(layers, *readings) if water.kind == "perched")
        return water.level_m.low, water.level_m.likely, water.level_m.high

    assert perched(reading("perched", 4), reading("perched", 3), reading("settled", 10)) == (2.5, 3, 4.5)
    assert perched(reading("perched", 3)) == (2.5, 3, 3.5)
    assert perched(reading("perched", 3), reading("settled", 2.5)) == (1.5, 2.5, 3.5)


def test_a_hole_of_half_a_metre_leaves_the_water_anywhere_in_the_first_metre():
    (main,) = found(((0, 0.5, "CL"),))
    assert (main.level_m.low, main.level_m.high, main.level_m.likely) == (0, 1, None)


def test_sand_that_nobody_read_is_taken_like_the_nearest_water_above_it():
    """The upper sand stands at 2 m, the middle one under its clay at 6 m; the third lies under the middle one."""
    layers = ((0, 5, "SP"), (5, 9, "CL"), (9, 12, "SP"), (12, 16, "CL"), (16, 20, "SP"), (20, 30, "CH"))
    *_, middle, third = found(layers, reading("settled", 2), reading("confined", struck_m=9, rises_to_m=6))
    assert (middle.top_m, middle.level_m.likely) == (9, 6)
    assert (third.kind, third.top_m, third.level_m.likely) == ("unread", 16, 6)


# ---- no water was read at all


UNREAD = """methodpick: 1
site: {{units: si}}
borings:
  - id: B-1
    depth: 24
    water: [{water}]
    layers:
      - {{top: 0, base: 7, description: "stiff clay", symbol: CL, su: 110, absent: [fissured]}}
      - {{top: 7, base: 24, description: "{below}"}}
shafts: [{{id: P1, diameter: 1200, tip: 15}}]
"""


@pytest.mark.parametrize(
    ("below", "water"),
    [
        ("weak grey mudstone", ""),
        ("weak grey mudstone, closely jointed", ""),
        ("weathered grey mudstone", ""),
        ("grey mudstone, water bearing", ""),
        ("pebble-sized pieces of grey mudstone", ""),
        ("mudstone with bands of sandstone", ""),
        ("hard grey shale", ""),
        ("grey sandstone", ""),
        ("dense sand", ""),
        ("weak grey mudstone", "{reading: confined, struck: 8, rises_to: 0.5}"),
    ],
)
def test_water_below_stiff_clay_may_lift_the_base_and_stays_a_question_where_nobody_read_it(below, water, read_text, book):
    """Mudrock too may hold water under pressure in its joints: where the log is silent, the base may lift, and the question stays."""
    shaft = plan(read_text(UNREAD.format(below=below, water=water)), book).shafts[0]
    held = [one for one in shaft.intervals if 3.0 < (one.top_m + one.base_m) / 2 < 6.0]
    assert all("base-lifts-by-water-below" in one.verdicts["dry"].rules for one in held)
    assert held
    if not water:
        assert "water" in " ".join(gap.need for gap in shaft.gaps)
