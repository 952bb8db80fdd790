"""What a log leaves open is said, asked or kept open, never decided in silence: one small site an ambiguity.

Facts of common practice without a source, unless a line names one; the sampler's bore and refusal are ASTM D1586 (memory).
"""

import pytest

from methodpick.plan.pipeline import plan
from methodpick.unit_markup import spell

SITE = """methodpick: 1
site: {{name: Alder County bridge, units: us, setting: land}}
borings:
  - id: B-1
    depth: {depth}
    ground_elevation: 400
    {boring}
    layers:
      {layers}
shafts:
  - {{id: P1, boring: B-1, diameter: 48, tip: 40, ground_elevation: {shaft_elevation}}}
"""
CLAY = '- {top: 0, base: 60, description: "stiff brown clay", symbol: CL}'
SAND = '- {top: 0, base: 60, description: "medium dense brown sand", symbol: SP, origin: alluvial}'
LENS = """- {top: 0, base: 10, description: "stiff clay", symbol: CL}
      - {top: 10, base: 20, description: "medium dense sand", symbol: SP, origin: alluvial}
      - {top: 20, base: 60, description: "very stiff clay", symbol: CH}"""
SETTLED = "water: [{reading: settled, depth: 12, after: 24 h}]"
FT = 0.3048


@pytest.fixture
def said(read_text, book):
    """Plan a shaft in a boring written here."""

    def shaft(layers, *boring, depth=60, shaft_elevation=400):
        lines = "\n    ".join(boring) or "technique: unknown"
        return plan(read_text(SITE.format(layers=layers, boring=lines, depth=depth, shaft_elevation=shaft_elevation)), book).shafts[0]

    return shaft


def cautions(shaft):
    return {one.rule for one in shaft.cautions}


def needs(shaft):
    return {one.need for one in shaft.gaps}


def position(shaft, depth_m):
    """Give the head that the plan puts at a depth, as its interval's facts have it."""
    return next(one for one in shaft.intervals if one.top_m <= depth_m <= one.base_m)


def assumed(shaft):
    return {one.fact for one in shaft.assumptions}


def test_a_level_read_while_drilling_in_clay_reads_low_and_a_settled_one_is_asked_for(said):
    shaft = said(CLAY, "technique: hollow_stem_auger", "water: [{reading: while_drilling, depth: 25}]")
    assert "hollow-stem-reads-low" in cautions(shaft)
    assert "settled water level" in needs(shaft)
    assert any("clay or silt before the hole could fill" in one.text for one in shaft.doubts)
    assert "settled water level" not in needs(said(CLAY, "technique: hollow_stem_auger", SETTLED))


def test_no_water_reading_is_unknown_and_never_dry(said):
    shaft = said(SAND)
    assert "settled water level" in needs(shaft)
    assert any("says nothing about water" in one.text for one in shaft.doubts)
    deep = position(shaft, 30 * FT)
    assert deep.verdicts["dry"].state not in {"allowed", "discouraged"}
    assert deep.support != "dry"


def test_the_doubts_of_a_boring_stay_with_it_whatever_its_name_holds(said, book, read_text):
    """A comma in a name once ended it, and a shaft lost every doubt about its boring."""
    text = SITE.format(layers=SAND, boring="technique: unknown", depth=60, shaft_elevation=400).replace("B-1", '"B-1, east"')
    apart = plan(read_text(text), book).shafts[0].doubts
    assert [(one.about, one.name) for one in apart if one.about == "boring"] == [("boring", "B-1, east")]
    assert [one.text for one in apart] == [one.text for one in said(SAND).doubts]


def test_the_level_of_the_drilling_fluid_is_no_water_level(said):
    shaft = said(SAND, "technique: mud_rotary", "water: [{reading: drilling_fluid, depth: 2}]")
    assert any("only the level of the drilling fluid" in one.text for one in shaft.doubts)
    assert {"settled water level", "water level apart from the drilling fluid"} <= needs(shaft)
    settled = said(SAND, "technique: mud_rotary", "water: [{reading: settled, depth: 2, after: 24 h}]")
    assert "water level" in assumed(settled)
    assert "water level" not in assumed(shaft), "nothing is taken of it, not even with a swing"


def test_the_depth_to_which_the_boring_caved_in_is_evidence(said):
    caved = said(CLAY, "technique: solid_auger", SETTLED, "cave_in_depth: 14")
    assert any("caved in at" in one.text for one in caved.doubts)
    dry = position(caved, 30 * FT).verdicts["dry"]
    assert (dry.state, dry.rules) == ("discouraged", ("boring-caved",))
    assert position(said(CLAY, "technique: solid_auger", SETTLED), 30 * FT).verdicts["dry"].state == "allowed"


def test_a_remark_without_a_tag_is_read(said):
    """A log says it in words; nobody tags it."""
    shaft = said(CLAY, "technique: solid_auger", SETTLED, 'remarks: [{depth: 22, text: "hole collapsing, water added"}]')
    assert position(shaft, 30 * FT).verdicts["dry"].state == "discouraged"
    assert "water-added-in-the-boring" in cautions(shaft)
    denied = said(CLAY, "technique: solid_auger", SETTLED, 'remarks: [{depth: 22, text: "no collapse, no water added"}]')
    assert position(denied, 30 * FT).verdicts["dry"].state == "allowed"
    assert "water-added-in-the-boring" not in cautions(denied)


def test_perched_water_wets_its_own_layer_alone(said):
    layers = """- {top: 0, base: 6, description: "silty sand", symbol: SM, origin: fill}
      - {top: 6, base: 60, description: "stiff clay", symbol: CL}"""
    shaft = said(layers, "water: [{reading: perched, depth: 3, zone: fill}, {reading: settled, depth: 30, after: 24 h}]")
    assert "perched-water" in cautions(shaft)
    where = next(one.where for one in shaft.cautions if one.rule == "perched-water")
    assert spell(where, "us").count(" to ") == 1, "in the fill and nowhere else"


def test_a_strike_is_two_numbers_and_a_missing_rise_is_asked_for(said):
    rose = said(LENS, "water: [{reading: confined, struck: 10, rises_to: 4}]")
    assert "water-under-pressure-below" in cautions(rose)
    silent = said(LENS, "water: [{reading: confined, struck: 10}]")
    assert "pressure of the water below" in needs(silent)
    assert "head of the strike" in assumed(silent)


@pytest.mark.parametrize(
    "layers",
    [
        '- {top: 0, base: 60, description: "dense sandy gravel", symbol: GP}',
        '- {top: 0, base: 60, description: "medium dense sand, trace gravel", symbol: SP, origin: alluvial}',
    ],
)
def test_a_sampler_shows_no_cobbles(said, layers):
    """Bore of the sampler 1-3/8 in (35 mm): ASTM D1586, memory. Trace gravel proves nothing."""
    shaft = said(layers, SETTLED)
    assert "cobbles and boulders" in needs(shaft)
    assert cautions(shaft) & {"gravel-hides-cobbles", "larger-pieces-than-the-sampler"}


@pytest.mark.parametrize("text", ["drill chatter", "rig grinding, possible cobbles", "hard drilling"])
def test_chatter_points_to_cobbles_where_clean_sand_alone_does_not(said, text):
    assert "cobbles and boulders" not in needs(said(SAND, SETTLED))
    shaft = said(SAND, SETTLED, f'remarks: [{{depth: 25, text: "{text}"}}]')
    assert {"larger-pieces-than-the-sampler", "cobbles-and-boulders"} <= cautions(shaft)
    assert "cobbles and boulders" in needs(shaft)
    assert "fill-obstructions" not in cautions(shaft), "nothing man-made is named"


def test_refusal_is_not_rock(said):
    spt = "spt: [{depth: 5, n: 14}, {depth: 30, n: 50/3in}]"
    sampler = said(SAND, SETTLED, spt)
    assert "refusal-is-not-rock" in cautions(sampler)
    assert "core below refusal" in needs(sampler)
    assert all(one.soil_class != "rock" for one in sampler.intervals)
    auger = said(SAND, SETTLED, 'remarks: [{depth: 38, text: "auger refusal"}]')
    assert "core below refusal" in needs(auger), "refusal of the tools is asked about too"
    assert "core below refusal" not in needs(said(SAND, SETTLED))


def test_rock_that_no_core_shows_may_lie_higher_or_lower(said):
    """Up to about 2 m: one consultant's report, secondary; 2 m are 6.6 ft."""
    layers = """- {top: 0, base: 30, description: "stiff clay", symbol: CL}
      - {top: 30, base: 60, description: "weathered sandstone", symbol: weathered_rock}"""
    augered = said(layers, SETTLED, "technique: hollow_stem_auger")
    text = next(one.text for one in augered.cautions if one.rule == "rock-without-core")
    assert "⟦2|length⟧" in text
    cored = said(layers, SETTLED, "technique: core", "cores: [{top: 30, base: 60, recovery: 90, rqd: 40}]")
    assert "rock-without-core" not in cautions(cored)


def test_refusal_is_a_lower_bound_and_weight_of_hammer_means_squeezing(said):
    soft = said('- {top: 0, base: 60, description: "grey clay", symbol: CH}', SETTLED, "spt: [{depth: 20, n: WOH}, {depth: 30, n: WOH}]")
    assert "rods-sank" in cautions(soft)
    assert position(soft, 30 * FT).verdicts["dry"].state in {"ruled_out", "unlikely"}


def test_mud_in_the_boring_says_nothing_of_a_dry_hole(said):
    """Silence of a log is an answer only where the way of drilling would have shown it."""
    mud = said(LENS, "technique: mud_rotary", SETTLED)
    assert "water level apart from the drilling fluid" in needs(mud)
    assert any("mud seals the wall" in one.text for one in mud.doubts), "nor is a level in a mudded hole a settled one at once"
    cased = said(CLAY, SETTLED, "casing_depth: 30")
    assert "casing-of-the-boring-held-its-wall" in cautions(cased)
    assert "tools-of-the-boring-held-its-wall" in cautions(said(CLAY, SETTLED, "technique: hollow_stem_auger"))
    assert "tools-of-the-boring-held-its-wall" not in cautions(said(CLAY, SETTLED, "technique: solid_auger"))


def test_lost_flush_in_the_boring_is_evidence(said):
    shaft = said(SAND, SETTLED, "technique: mud_rotary", 'remarks: [{depth: 25, text: "circulation lost"}]')
    assert "lost-fluid-in-the-boring" in cautions(shaft)
    assert "lost-fluid-in-the-boring" not in cautions(said(SAND, SETTLED, "technique: mud_rotary"))


def test_below_the_end_of_the_boring_nothing_is_decided(said):
    shaft = said(CLAY.replace("60", "30"), SETTLED, depth=30)
    assert position(shaft, 35 * FT).support == "undecided"
    assert "boring to below the tip" in needs(shaft)


def test_depths_of_the_boring_are_not_those_of_a_shaft_on_other_ground(said):
    shaft = said(CLAY, SETTLED, shaft_elevation=395)
    assert any("depths of the boring are not depths of the shaft" in one.text for one in shaft.doubts)
    assert not any("depths of the boring are not" in one.text for one in said(CLAY, SETTLED).doubts)


def test_fines_judged_by_eye_are_a_range_and_asked_for(said):
    """SM holds 12 to 50 % of fines: ASTM D2487, memory."""
    by_eye = said('- {top: 0, base: 60, description: "medium dense silty sand", symbol: SM}', SETTLED)
    gap = next(one for one in by_eye.gaps if one.need == "fines content")
    assert "⟦12|%⟧ to ⟦50|%⟧" in gap.why


def test_a_level_of_one_day_swings_by_the_season(said):
    shaft = said(SAND, SETTLED)
    assert "seasonal range of the water level" in needs(shaft)
    assert "water level" in assumed(shaft)
