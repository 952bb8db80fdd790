"""Sentences, each checked in the one place where it is written; expected texts are worked by hand from the numbers given."""

import re
from dataclasses import replace

import pytest

from methodpick.document.built_with import density_window
from methodpick.document.casings_and_concrete import casing_words, extraction_words, lift_words, outside_and_wall, placing, pulls
from methodpick.document.cautions import assumptions, doubts, warnings
from methodpick.document.cost_and_bid import not_priced, total_name
from methodpick.document.decision import head_lines, least_confidence, stages
from methodpick.document.engineer_page import engineer_page
from methodpick.document.fluid import fluid_level_words, over_the_hole, stock
from methodpick.document.model import Document, texts_of
from methodpick.document.nights import nights_in_short
from methodpick.document.pages import ShaftGroup, group_shafts
from methodpick.document.reasons import cautious, ladder
from methodpick.document.record import fact_words, set_by_overlay, verdict_words
from methodpick.document.site import water_levels
from methodpick.document.takeoff import clearances, least_sizes
from methodpick.plan.pipeline import plan
from methodpick.plan.result import Citation, FactValue, Night, OtherWays, Rung, SetValue
from methodpick.site.estimate import Estimate, UnpricedLine
from methodpick.unit_markup import height_words, spell


@pytest.fixture
def shaft(planned):
    return planned("caving-lens").shafts[0]


def in_si(text):
    return spell(text, "si")


def test_trucks_are_counted_with_their_interval(shaft):
    """36 m3 at 9 m3 a truck are 4 trucks; a quarter of an hour is 15 minutes."""
    made = replace(
        shaft.concrete, trucks=4, trucks_high=5, truck_m3=9.0, truck_every_h=0.25, pour_hours=1.25, workable_needed_h=3.9, workable_h=4.0
    )
    (text,) = [text for text in placing(replace(shaft, concrete=made), why=False) if text.startswith("About")]
    assert in_si(text) == (
        "About 4 to 5 trucks of 9.0 m3, one every 15 min; pour about 1.2 h. The concrete must flow for 3.9 h from the first truck to the "
        "last pull, waiting counted; 4 h are counted on."
    )
    (alone,) = [
        text for text in placing(replace(shaft, concrete=replace(made, trucks=1, trucks_high=1)), why=False) if text.startswith("About")
    ]
    assert in_si(alone).startswith("About 1 truck of 9.0 m3; pour")


def test_volumes_are_told_by_their_cause(shaft):
    made = replace(
        shaft.concrete, theoretical_m3=20.0, casing_oversize_m3=-1.5, fill_m3=18.5, overbreak_m3=1.0, overbreak_low_m3=0.5,
        overbreak_high_m3=3.0, expected_m3=19.5, expected_low_m3=19.0, expected_high_m3=21.5, over_pour_m3=0.3, finished_level_m=-0.5,
    )  # fmt: skip
    texts = [in_si(text) for text in placing(replace(shaft, concrete=made), why=True)]
    assert texts[1] == (
        "Theoretical 20.0 m3; a casing that stays takes away 1.5 m3 for certain, so 18.5 m3 fill the hole as drilled. Ground overbreak "
        "likely 1.0 m3 (0.5 m3 to 3.0 m3) on top: 19.5 m3 in all (19.0 m3 to 21.5 m3)."
    )
    assert texts[2] == "Cast to 0.50 m above the ground and cut down: 0.3 m3 more."
    assert height_words(0.004) == "the ground"


def test_a_lift_that_is_not_safe_stands_apart_and_says_so(shaft):
    step = shaft.concrete.pulls[0]
    bad = replace(step, safe=False, note="Too little concrete.")
    assert lift_words(bad) == f"Casing {step.casing_no}, lift {step.lift_no}, NOT SAFE: Too little concrete."
    section = pulls(replace(shaft, concrete=replace(shaft.concrete, pulls=(bad, *shaft.concrete.pulls[1:]))))
    (danger,) = [block for block in section.blocks if getattr(block, "tone", "") == "danger"]
    assert danger.entries == (lift_words(bad),)


def test_what_pulling_a_casing_takes(shaft):
    pull = replace(
        shaft.concrete.extraction[0], casing_no=2, pull_kn=300.0, pull_low_kn=200.0, pull_high_kn=450.0, residence_h=9.4, weight_kn=50.0,
        friction_kn=250.0, stuck_risk="medium", stuck_in="grey clay",
    )  # fmt: skip
    assert in_si(extraction_words(pull)) == (
        "Casing 2 takes a pull of 300 kN (200 kN to 450 kN) after about 9 h in the ground: weight 50 kN, friction 250 kN. Risk of "
        "sticking: medium, most in grey clay."
    )
    assert in_si(extraction_words(replace(pull, stuck_risk="low"))).endswith("Risk of sticking: low.")


def test_a_casing_in_pieces_from_the_yard(shaft):
    """Two pieces have one splice. A ring of 1.3 m less 1.2 m over 10 m in the ground: pi/4 x (1.69 - 1.44) x 10 = 1.96 m3."""
    casing = replace(
        shaft.casings[1], kind="temporary", installed_by="twisted in", why="It seals.", wall_by=None, embedment=None, sections_m=(6.0, 5.0),
        step_m=0.15, outside_diameter_m=1.3, wall_m=0.0127, wider_m=0.1, from_yard=True, base_m=10.0,
    )  # fmt: skip
    assert in_si(casing_words(casing)) == (
        "temporary, twisted in. It seals. In 2 pieces from the shoe up, 6.00 m + 5.00 m, so 1 splice. 150 mm less than the casing around "
        "it. From the yard, 100 mm wider than the 1200 mm that would do: 2.0 m3 more concrete and spoil over its length in the ground."
    )
    shared = in_si(casing_words(replace(casing, from_yard=False)))
    assert "it. One size for several shafts, 100 mm wider than the 1200 mm that would do" in shared
    assert in_si(outside_and_wall(casing)) == "1300 x 12.7 mm"


def test_the_head_of_a_page_names_place_and_boring(shaft):
    ground = replace(shaft.ground, ground_elevation_m=100.0, end_m=26.0, date="")
    made = replace(
        shaft, ground=ground, diameter_m=1.2, cutoff_m=1.0, tip_depth_m=18.0, boring="B-3", boring_distance_m=1.5, boring_level_m=0.4,
        design=replace(shaft.design, water_depth_m=None),
    )  # fmt: skip
    (line,) = head_lines(ShaftGroup((made,)))
    assert in_si(line) == (
        "1200 mm diameter, cut-off 1.00 m, tip 18.00 m below the ground (el. 82.00 m); boring B-3, 1.50 m away, its ground 0.40 m lower, "
        "ends at 26.00 m"
    )
    dated = replace(made, ground=replace(ground, date="2026-03-16"))
    assert "; boring B-3 of 2026-03-16, 1.50 m away" in in_si(head_lines(ShaftGroup((dated,)))[0])
    over_water = replace(made, boring_level_m=None, design=replace(made.design, water_depth_m=5.0))
    assert "below the mudline" in head_lines(ShaftGroup((over_water,)))[0]


def test_hours_stand_behind_their_stage_and_add_up(shaft):
    two = tuple(replace(stage, text=f"Step {hours}.", hours=hours) for stage, hours in zip(shaft.stages, (1.5, 2.5), strict=False))
    steps, total = stages(replace(shaft, nights=(), stages=(*two, replace(two[0], hours=None, text="Wait.")))).blocks
    assert steps.entries == ("Step 1.5. [1.5 h]", "Step 2.5. [2.5 h]", "Wait.")
    assert total.text.startswith("About 4 h for the whole shaft")


def test_the_least_confidence_of_a_shaft_is_its_weakest_interval(shaft):
    firm = tuple(replace(interval, confidence="firm") for interval in shaft.intervals)
    assert least_confidence(replace(shaft, intervals=firm)) == "firm"
    assert least_confidence(replace(shaft, intervals=(*firm, replace(firm[0], confidence="conditional")))) == "conditional"


def test_an_empty_window_and_its_level(shaft):
    open_window = replace(
        shaft.slurry, density_min_kg_m3=1010.0, density_max_kg_m3=1030.0, density_target_kg_m3=1020.0, governed_by="below", level_m=-0.5,
        head_m=1.5,
    )  # fmt: skip
    assert in_si(over_the_hole(open_window)) == "Density 1010 kg/m3 to 1030 kg/m3, aim at 1020 kg/m3; bound below."
    empty = replace(open_window, density_min_kg_m3=1040.0, density_target_kg_m3=None)
    assert in_si(density_window(empty)) == "none fits, at least 1040 kg/m3 and at most 1030 kg/m3"
    assert in_si(over_the_hole(empty)) == "The window is empty: at least 1040 kg/m3 is needed, at most 1030 kg/m3 is allowed; bound below."
    assert in_si(fluid_level_words(open_window, "the ground")) == (
        "fluid level 0.50 m above the ground. Least head over the groundwater of the water-bearing layers: 1.50 m at the likely levels."
    )
    assert (
        in_si(fluid_level_words(replace(open_window, level_m=1.0, head_m=None), "the mudline")) == "fluid level 1.00 m below the mudline."
    )


def test_the_stock_names_the_overlay_that_set_it(shaft):
    programme = replace(shaft.fluid_programme, fluid="polymer", hole_m3=10.0, stock_m3=20.0)
    base = replace(programme, stock_factor=replace(programme.stock_factor, value=2.0, set_by=""))
    assert in_si(stock(base)) == "Polymer fluid: 10.0 m3 fill the hole, have 20.0 m3 in stock (2 times that)."
    ours = replace(base, stock_factor=replace(base.stock_factor, set_by="ours"))
    assert in_si(stock(ours)).endswith("(2 times that, set by ours).")


def test_a_rung_says_what_it_takes_beyond_the_plan(shaft):
    rungs = (Rung("planned", "dry", "", 10.0, 0.0, 0.0, 0.0, 0.0), Rung("fallback", "cased", "If it caves.", 15.0, 6.0, 1000.0, -2.0, 0.01))
    (entries,) = ladder(replace(shaft, other_ways=OtherWays.known(None, (), rungs), relative_cost=10.0)).blocks
    planned, fallback = (in_si(entry) for entry in entries.entries)
    assert planned == "Planned: dry"
    assert fallback == (
        "Fallback: cased If it caves. Against the plan: +6.00 m of casing, +1000 kg of steel, -2.0 m3 of fluid to fill the hole, relative "
        "cost 1.50 times."
    )


def test_a_cautious_plan_that_is_the_same_is_one_sentence(shaft):
    (block,) = cautious(replace(shaft, other_ways=OtherWays.known(None, (), ()))).blocks
    assert block.text == "It is the same: the plan rests on no doubtful length."


def test_facts_are_written_with_their_range_and_what_they_rest_on():
    assert in_si(fact_words(FactValue(2.0, 2.0, 2.0, None, "m", "logged", ""))) == "2.00 m"
    assert in_si(fact_words(FactValue(None, 4.0, 6.0, None, "m", "derived", ""))) == "4.00 m, 6.00 m or less"
    assert fact_words(FactValue(None, None, None, None, "m", "missing", "")) == "not known"
    assert fact_words(FactValue(None, "loose", None, ("loose", "very_loose"), "1", "assumed", "")) == "loose likely, assumed"
    assert fact_words(FactValue(None, None, None, ("silt", "clay"), "1", "missing", "")) == "silt or clay, not known"


def test_a_value_of_an_overlay_says_whose_it_is():
    limit = SetValue("dry_rise_m_h", 0.15, "m/h", "ours", Citation("own", "house rule 4"), "own")
    assert in_si(set_by_overlay(limit)) == "150 mm/h, by ours (own house rule 4; own value)"
    assert in_si(set_by_overlay(replace(limit, confidence="secondary"), "; check it")).endswith("; secondary source; check it)")


def test_verdicts_of_the_same_kind_stand_together(shaft):
    """States keep the order of the record; a verdict stands where its first state does."""
    interval = shaft.intervals[0]
    one, *_ = interval.verdicts.values()
    verdicts = {"dry": replace(one, state="allowed"), "water": replace(one, state="ruled_out"), "cased_dry": replace(one, state="allowed")}
    assert verdict_words(replace(interval, verdicts=verdicts)) == "allowed: dry, cased dry; ruled out: water"


def test_what_is_not_there_makes_no_section(shaft):
    assert doubts("Doubts", ()) is None
    assert warnings(replace(shaft, cautions=()), "danger") is None
    (nothing,) = assumptions(replace(shaft, assumptions=(), gaps=())).blocks
    assert nothing.text == "Nothing is assumed."


def test_without_assumptions_a_page_does_not_claim_that_the_log_says_all(shaft):
    assert shaft.gaps
    (nothing,) = assumptions(replace(shaft, assumptions=())).blocks
    assert nothing.text == "Nothing is assumed. What the log does not say stays open; the questions name it."


def test_cages_that_do_not_fit_come_first_and_in_red(takeoff):
    made = takeoff("caving-lens")
    shaft = made.shafts[0]
    check = shaft.checks[0]
    checks = (
        replace(check, fits=True, text="75 mm all round"),
        replace(check, fits=False, text="10 mm"),
        replace(check, fits=None, text="?"),
    )
    bad, good = clearances([replace(shaft, shaft="P4", checks=checks)]).blocks
    assert bad.tone == "danger"
    assert [entry.split(": ")[0].split(", ")[-1] for entry in bad.entries] == ["DOES NOT FIT", "not known"]
    assert good.entries == (f"{check.item}, fits: 75 mm all round ({check.source}; P4)",)


def test_what_has_no_price_is_named(takeoff):
    made = takeoff("viaduct")
    dear = tuple(UnpricedLine(item, Estimate.exactly(1), "1", rate) for item, rate in (("fluid plant", "fluid: plant"), ("cages", "cage")))
    lacking = replace(made.cost, unpriced=dear)
    assert not_priced(lacking) == "The total is incomplete, without: fluid plant (rate 'fluid: plant'); cages (rate 'cage')."
    assert (total_name(lacking), total_name(replace(made.cost, unpriced=()))) == ("total, incomplete", "total")
    assert not_priced(replace(made.cost, unpriced=())) == ""
    assert least_sizes(replace(made.yard, least_sizes=3)) == "no choice has fewer than 3"


NIGHT_ALONE = (
    "Night 1, after stage 1. Leave no open dry hole: fill it with water over the level outside, or with soil, unless the engineer agrees "
    "that it stands; in the morning bail it and cut away what softened or fell. Cover and guard it; the morning takes 1 h."
)
NIGHTS_LEFT_FULL = (
    "Nights 2 to 4, in stage 4 at about 4.00, 6.00 and 8.00 m; nights 5 and 6, in stage 8 at about 10.00 and 12.00 m, the last 1.50 m "
    "short of the tip. Leave the hole full of mineral slurry, its level watched; in the morning desand and test it, sound "
    "and clean the base. Cover and guard it; the morning takes 6 h. After night 6 about 13 h are left without a night: crews take turns."
)


def test_nights_stand_after_the_stages_and_in_short_behind_the_hours(planned):
    def night(number, at):
        if at == 1:
            return Night(no=number, stage=at, depth_m=2.0, morning_h=1.0)
        last = {"short_of_tip_m": 1.5, "rest_h": 13.0} if number == 6 else {}
        return Night(no=number, stage=at, depth_m=2.0 * number, within=True, fluid="mineral", morning_h=float(number), **last)

    nights_by_stage = [night(number, at) for number, at in enumerate((1, 4, 4, 4, 8, 8), 1)]
    shaft = replace(planned("karst").shafts[0], nights=tuple(nights_by_stage))
    _, nights, _ = stages(shaft).blocks
    assert [spell(entry, "si") for entry in nights.entries] == [NIGHT_ALONE, NIGHTS_LEFT_FULL], (
        "how a hole is left stands once, with what the last night says"
    )
    alike = replace(shaft, nights=tuple(replace(each, morning_h=1.0, cased=each.no == 3) for each in shaft.nights))
    first, second = (spell(entry, "si") for entry in stages(alike).blocks[1].entries)
    assert "morning takes" not in first
    assert "Leave hole or casing, its shoe in undug ground, full of mineral slurry" in second
    assert "Cover and guard the hole every night; the morning takes 1 h. After night 6" in second
    assert nights_in_short(shaft) == "6 nights in stages 1 to 8"
    assert nights_in_short(replace(shaft, nights=shaft.nights[:1])) == "1 night in stage 1"
    assert nights_in_short(replace(shaft, nights=())) == ""


@pytest.mark.parametrize(
    ("low_m", "likely_m", "high_m", "said"),
    [
        (3.0, 2.0, 1.0, "2.00 m (1.00 to 3.00 m)"),
        (2.0, 2.0, 2.0, "2.00 m"),
        (1e5, 4.35, 0.0, "4.35 m (0.00 m or deeper)"),
        (-1.0, -2.0, -3.0, "2.00 m above the ground (1.00 to 3.00 m)"),
        (-2.0, -2.0, -2.0, "2.00 m above the ground"),
    ],
)
def test_a_level_is_told_with_its_range_where_it_has_one(planned, low_m, likely_m, high_m, said):
    """A reading that only bounds a level from above leaves it open how deep it lies: no depth of 100 km is printed."""
    shaft = planned("stiff-clay").shafts[0]
    water = replace(shaft.ground.water[0], low_m=low_m, likely_m=likely_m, high_m=high_m)
    assert spell(water_levels(replace(shaft, ground=replace(shaft.ground, water=(water,)))), "si") == said


FLUID_NOT_NAMED = """methodpick: 1
site: {units: si, allowed: [slurry]}
borings:
  - id: B-1
    depth: 25
    water: [{reading: settled, depth: 2, after: 24 h}]
    layers: [{top: 0, base: 25, description: "stiff grey sandy CLAY", symbol: CL, su: 60}]
shafts: [{id: P1, boring: B-1, diameter: 900, tip: 12}]
"""


def test_a_drilling_fluid_that_nobody_forbade_is_not_called_forbidden(book, read_text):
    """A log without a specification: whether polymer may be used is open, and the engineer's page says so."""
    site = read_text(FLUID_NOT_NAMED)
    (group,) = group_shafts(plan(site, book).shafts)
    words = texts_of(Document("", (engineer_page(group),), ""), "si")
    assert "perhaps not allowed" in words
    assert " not allowed" not in words.replace("perhaps not allowed", "")


def test_the_wall_bare_under_fluid_begins_below_the_starter(planned):
    for name in ("caving-lens", "saturated-sand", "twenty-layers"):
        for shaft in planned(name).shafts:
            shod_m = max((casing.base_m for casing in shaft.casings if casing.is_starter), default=0.0)
            (group,) = group_shafts((shaft,))
            found = re.findall(r"Wall bare under fluid: \D+(-?[\d.]+)", texts_of(Document("", (engineer_page(group),), ""), "si"))
            assert all(float(top_m) >= shod_m - 0.01 for top_m in found), name


def test_a_socket_narrower_than_the_shaft_stands_in_the_head(planned):
    """54 in of shaft over a socket of 48 in; where both are the same the head has one diameter."""
    karst, lens = group_shafts(planned("karst").shafts)[0], group_shafts(planned("caving-lens").shafts)[0]
    assert "54 in (socket 48 in) diameter" in spell(head_lines(karst)[-1], "us")
    assert "socket" not in head_lines(lens)[-1]
