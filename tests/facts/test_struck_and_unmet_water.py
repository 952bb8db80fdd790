"""Water struck under rock, holes that met none, piezometers without a zone (common practice, no single source)."""

import pytest
from shipped import strata_of

from methodpick.facts.aquifers import find_aquifers
from methodpick.ground.profile import Layer, Profile, Remark, WaterReading
from methodpick.ground.site import SiteConditions
from methodpick.resources import folder
from methodpick.strict_yaml import read
from methodpick.unit_markup import spell

LIMITS = {name: entry["value"] for name, entry in read(folder("rules") / "limits.yaml").value["limits"].items()}
SAND_CLAY_SAND = ((0, 5, "SP"), (5, 9, "CL"), (9, 20, "SP"), (20, 40, "CH"))
CLAY_OVER_ROCK = ((0, 5, "CL"), (5, 35, "rock"))


def found(layers, *readings, **more):
    made = tuple(Layer(top_m=top, base_m=base, symbol=symbol) for top, base, symbol in layers)
    profile = Profile(id="B", depth_m=layers[-1][1], layers=made, water=readings, **({"technique": "solid_auger"} | more))
    return find_aquifers(profile, SiteConditions(), strata_of(profile, layers[-1][1]), LIMITS)


def reading(kind, depth=None, **more):
    return WaterReading(reading=kind, depth_m=depth, **more)


@pytest.mark.parametrize("layers", [((0, 35, "rock"),), CLAY_OVER_ROCK])
def test_rock_that_gave_no_water_is_the_lid_of_water_struck_under_it(layers):
    """It was struck at 20 m and rose to 3 m: the rock above it was dry, and holds it down."""
    *_, struck = found(layers, reading("confined", struck_m=20, rises_to_m=3))
    assert (struck.kind, struck.top_m, struck.base_m, struck.level_m.likely) == ("confined", 20, 35, 3)


def test_the_rock_over_a_strike_keeps_the_water_that_was_read_above():
    main, upper, struck = found(CLAY_OVER_ROCK, reading("settled", 4), reading("confined", struck_m=20, rises_to_m=1))
    assert (main.kind, main.level_m.likely) == ("main", 4)
    assert (upper.kind, upper.top_m, upper.base_m) == ("unread", 5, 20)
    assert (struck.top_m, struck.level_m.likely) == (20, 1)


def test_sand_is_no_lid():
    """Water struck in sand below its top is the water of that sand, met where the hole was when somebody looked."""
    (main,) = found(((0, 35, "SP"),), reading("confined", struck_m=20, rises_to_m=3))
    assert (main.kind, main.level_m.likely) == ("main", 3)


def test_none_met_speaks_for_all_permeable_ground_that_the_hole_went_through():
    """Both sands were dry down to 20 m: the water likely stands at the end of the hole or deeper, and no sand is unread."""
    (main,) = found(SAND_CLAY_SAND, reading("none_met", hole_depth_m=30))
    assert (main.base_m, main.level_m.low, main.level_m.likely) == (20, 20 - LIMITS["water_season_m"], 30)


def test_none_met_does_not_speak_for_sand_below_the_hole():
    main, deep = found(SAND_CLAY_SAND, reading("none_met", hole_depth_m=8))
    assert (main.base_m, main.level_m.low) == (5, 5 - LIMITS["water_season_m"])
    assert (deep.kind, deep.top_m) == ("unread", 9)


@pytest.mark.parametrize("change", [{"cave_in_depth_m": 8.0}, {"remarks": (Remark(depth_m=8.0, text="water added to the hole"),)}])
def test_none_met_ends_where_the_hole_fell_in_or_water_was_added(change):
    main, deep = found(SAND_CLAY_SAND, reading("none_met", hole_depth_m=30), **change)
    assert main.level_m.low == 5 - LIMITS["water_season_m"]
    assert (deep.kind, deep.top_m) == ("unread", 9)


def test_a_piezometer_without_a_zone_may_measure_the_water_below():
    """Its level of 11 m may be that of the lower sand; the upper sand may hold water up to the ground."""
    main, _ = found(SAND_CLAY_SAND, reading("piezometer", 11))
    assert (main.level_m.low, main.level_m.likely, main.level_m.high) == (0, 11, 11 + LIMITS["water_season_m"])
    assert main.assumed == {"piezometer-zone-not-stated"}


def test_the_higher_of_two_piezometers_without_a_zone_is_believed():
    main, _ = found(SAND_CLAY_SAND, reading("piezometer", 11), reading("piezometer", 7))
    assert (main.level_m.low, main.level_m.likely) == (0, 7)


def test_a_piezometer_in_one_body_of_ground_needs_no_zone():
    (main,) = found(((0, 20, "SP"),), reading("piezometer", 11))
    assert (main.level_m.low, main.level_m.likely) == (11 - LIMITS["water_season_m"], 11)


def test_perched_water_in_tight_ground_wets_the_sand_that_clay_holds_up_below_it():
    """Read in clay at 1 m, over 3 m of silty sand on clay: it would drain into that sand if it were dry."""
    layers = ((0, 1.2, "CL"), (1.2, 4.2, "SM"), (4.2, 12, "CL"), (12, 30, "SP"))
    perched = next(one for one in found(layers, reading("perched", 1), reading("settled", 14)) if one.kind == "perched")
    assert (perched.top_m, perched.base_m, perched.level_m.likely) == (0, 4.2, 1)


def test_perched_water_does_not_wet_sand_that_nothing_holds_up():
    perched = next(
        one for one in found(((0, 2, "CL"), (2, 30, "SP")), reading("perched", 1), reading("settled", 14)) if one.kind == "perched"
    )
    assert (perched.top_m, perched.base_m, perched.level_m.likely) == (0, 2, 1)


@pytest.mark.parametrize(("technique", "believed"), [("air_rotary", True), ("rotary", False), ("mud_rotary", False), ("solid_auger", True)])
def test_water_met_by_a_hole_that_is_flushed_with_air_is_believed(technique, believed):
    """Air lifts the water out and shows it; water and mud hide it (common practice, no source; GEC 10 sec. 2.3 of mud, digest)."""
    *_, rock = found(CLAY_OVER_ROCK, reading("while_drilling", 18, hole_depth_m=18), technique=technique)
    assert (rock.read, rock.level_m.likely) == (believed, 18 if believed else None)


@pytest.mark.parametrize(("more", "in_standpipe"), [((), False), ((reading("piezometer", 2.5, response_zone_m=(10, 15)),), True)])
def test_a_standpipe_below_tight_ground_reads_what_was_struck(more, in_standpipe):
    """Both read one layer: the higher level is believed, and the standpipe has answered how high the water rises."""
    *_, struck = found(SAND_CLAY_SAND, reading("settled", 3), reading("confined", struck_m=9, rises_to_m=2, date="2026-03-16"), *more)
    assert (struck.kind, struck.level_m.likely, struck.in_standpipe) == ("confined", 2, in_standpipe)
    assert spell(struck.source, "si") == "struck at 9.00 m, rose to 2.00 m on 2026-03-16"


def test_the_level_of_a_standpipe_is_told_as_one():
    *_, deep = found(SAND_CLAY_SAND, reading("settled", 3), reading("piezometer", 2.5, response_zone_m=(10, 15), date="2026-04-02T09:00"))
    assert (deep.kind, deep.in_standpipe) == ("confined", True)
    assert spell(deep.source, "si") == "piezometer from 10.00 m down at 2.50 m on 2026-04-02"
