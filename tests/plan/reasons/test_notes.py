"""What is said beside a plan: neighbours, water, concrete, the cautious plan, and the numbers in sentences."""

import re
from itertools import combinations, product
from types import SimpleNamespace

import pytest

from methodpick.plan.pipeline import plan
from methodpick.plan.reasons.notes import ANY_SIGN, FIRST_SIGN, LET_GO, WALL_MAY_NOT_STAND, _open_hazard, hangs_on, open_proofs, trigger
from methodpick.plan.result import Check, Ends
from methodpick.unit_markup import spell

# ---- What a page says of neighbours, flowing groundwater and soft concrete. Common practice, no source, but where a test names one


SITE = """methodpick: 1
site: {{units: si, allowed: [dry, temporary_casing]{site}}}
borings:
  - id: B-1
    depth: 30
    water: [{{reading: settled, depth: 3}}]
    layers:
      - {{top: 0, base: 8, description: "medium dense {ground}", symbol: {symbol}, unit_weight: 19, phi: 34, absent: [cobbles, boulders]}}
      - {{top: 8, base: 30, description: "stiff grey clay", symbol: CH, su: 100, unit_weight: 20, absent: [fissured]}}
shafts: [{{id: P1, diameter: 1200, tip: 16}}]
"""


@pytest.fixture
def planned_in(book, read_text):
    def made(site="", ground="fine to medium sand", symbol="SP"):
        return plan(read_text(SITE.format(site=site, ground=ground, symbol=symbol)), book).shafts[0]

    return made


def severities(shaft):
    return {caution.rule: caution.severity for caution in shaft.cautions}


@pytest.mark.parametrize(
    ("distance", "near"), [(", distance: 14", True), (", distance: 16", False), ("", True)], ids=["14 m", "16 m", "not given"]
)
def test_a_railway_is_a_danger_with_what_it_asks(distance, near, planned_in):
    """UP and BNSF, guidelines for temporary shoring: 12 ft, 25 ft and 50 ft."""
    shaft = planned_in(f", neighbours: [{{what: live railway track{distance}}}]")
    assert ("railway-beside-the-shaft" in severities(shaft)) == near
    if near:
        caution = next(caution for caution in shaft.cautions if caution.rule == "railway-beside-the-shaft")
        assert caution.severity == "danger"
        assert all(word in caution.text for word in ("possession", "flagman", "3.658", "7.62", "15.24", "movements of the rails"))


def test_a_house_is_no_railway_and_a_near_structure_is_a_danger(planned_in):
    found = severities(planned_in(", neighbours: [{what: brick house, distance: 4}]"))
    assert "railway-beside-the-shaft" not in found
    assert found["loss-of-ground-near-neighbours"] == "danger"


@pytest.mark.parametrize("other", ["", "{what: warehouse, distance: 40}, "], ids=["alone", "with another one far away"])
def test_a_structure_at_a_distance_nobody_gave_is_a_danger_and_never_far(other, planned_in):
    shaft = planned_in(f", neighbours: [{other}{{what: hospital}}]")
    assert severities(shaft)["neighbour-at-a-distance-nobody-gave"] == "danger"
    assert any("how far away" in gap.question for gap in shaft.gaps)
    assert "neighbour-at-a-distance-nobody-gave" not in severities(planned_in(", neighbours: [{what: hospital, distance: 40}]"))


def test_groundwater_velocity_is_given_on_land(planned_in):
    """Openwork gravel lets water run that washes concrete out; sand does not."""
    flowing = ", groundwater_velocity: 0.02"
    assert "flowing-groundwater" in severities(planned_in(flowing, "openwork coarse gravel", "GP"))
    assert "flowing-groundwater" not in severities(planned_in(flowing))
    assert "flowing-groundwater" not in severities(planned_in("", "openwork coarse gravel", "GP"))


def test_soft_concrete_is_let_down_and_nowhere_dropped(planned_in):
    shaft = planned_in()
    assert shaft.placement.state == "dry"
    assert any(casing.kind == "temporary" for casing in shaft.casings)
    assert shaft.concrete.placement == "drop_pipe"
    said = " ".join((*(stage.text for stage in shaft.stages), *(caution.text for caution in shaft.cautions)))
    assert "drop pipe" in said
    assert "free fall" not in said
    assert "falls down the centre" not in said


def test_an_emptied_casing_is_never_moved(planned_in):
    shaft = planned_in()
    assert severities(shaft)["emptied-casing-stays-still"] == "danger"
    told = [caution.text for caution in shaft.cautions if "turn or lift" in caution.text or "lift it a little" in caution.text]
    assert all("sealed and emptied" in text for text in told)


# ---- Numbers in sentences stay within what can be, and are written as the trade writes them


MUD = """methodpick: 1
site: {units: us, setting: water, water_depth: 12, water_level: {flow_velocity: 3.6}}
borings:
  - id: B-1
    depth: 120
    layers:
      - {top: 0, base: 90, description: "very soft grey clay", symbol: CH, su: {low: 60, likely: 150, high: 300}}
      - {top: 90, base: 120, description: "stiff grey clay", symbol: CH, su: 2200}
shafts: [{id: P1, diameter: 48, tip: 100}]
"""


def said(read_text, book, rule):
    (shaft,) = plan(read_text(MUD), book).shafts
    return next(one.text for one in shaft.cautions if one.rule == rule)


def test_a_hole_closes_by_its_radius_at_most(read_text, book):
    """su of 60 psf under 90 ft of clay: an overload ratio over 100, where cavity contraction gives thousands of per cent."""
    text = spell(said(read_text, book, "squeezing-clay"), "us")
    assert max(float(one.replace(",", "")) for one in re.findall(r"([\d,.]+) %", text)) == 100.0


def test_a_flowing_river_is_written_without_an_exponent(read_text, book):
    """3.6 ft/s is 1.097 m/s."""
    text = said(read_text, book, "flowing-groundwater")
    assert "at 3.6 ft/s:" in spell(text, "us")
    assert "at 1.1 m/s:" in spell(text, "si")


def test_slow_groundwater_is_not_written_as_still(planned_in):
    """0.02 m/s is 0.066 ft/s."""
    shaft = planned_in(", groundwater_velocity: 0.02", "openwork coarse gravel", "GP")
    text = next(one.text for one in shaft.cautions if one.rule == "flowing-groundwater")
    assert "at 0.02 m/s:" in spell(text, "si")
    assert "at 0.066 ft/s:" in spell(text, "us")


@pytest.mark.parametrize(("state", "words"), [("water", "Use polymer or mineral slurry, or casing."), ("dry", "Watch for caving;")])
def test_what_to_do_about_an_open_hazard_is_what_its_rule_says_or_the_usual(book, state, words):
    rule = book.by_id["water-holds-no-granular-wall"]
    hazard = _open_hazard(rule, state, SimpleNamespace(values=lambda _: {}), [(0.0, 1.0)], book)
    assert (hazard.rule, hazard.state) == (rule.id, state)
    assert hazard.treatment.startswith(words)


def test_rubble_at_the_top_is_dug_out_for_a_casing_and_asks_for_no_oscillator(book, read_text):
    """A casing from the surface needs no starter: 0.2 m of rubble is dug out for it, and below is plain sand, which the hammer passes."""
    text = """methodpick: 1
site: {units: si, allowed: [dry, temporary_casing], equipment: {vibratory: true, kelly_twist: true}}
borings:
  - id: B
    depth: 30
    hammer_efficiency: 60 %
    water: [{reading: piezometer, depth: 3}]
    layers:
      - {top: 0, base: 0.2, description: "made ground, brick rubble"}
      - {top: 0.2, base: 8, description: "medium dense sand", symbol: SP, origin: alluvial, absent: [cobbles, boulders]}
      - {top: 8, base: 30, description: "stiff clay", symbol: CL, su: 120, origin: alluvial, absent: [cobbles, boulders]}
    spt: [{depth: 2, n: 12}, {depth: 5, n: 15}, {depth: 7, n: 16}]
shafts: [{id: P, boring: B, diameter: 1200, tip: TIP}]
"""
    shaft = plan(read_text(text.replace("TIP", "20")), book).shafts[0]
    assert [casing.kind for casing in shaft.casings] == ["temporary"]
    assert "from ⟦0|m⟧ (the top dug out to ⟦0.2|m⟧ first) to" in shaft.stages[0].text
    tops = [hazard.top_m for hazard in shaft.open_hazards if hazard.rule == "casing-cannot-get-ahead"]
    assert all(top_m >= 0.2 for top_m in tops)
    assert [interval.drilled_in for interval in shaft.intervals[:2]] == ["cased_plug", "cased_plug"]


NOTHING = Ends(None, None, None)


def check(name, result, what):
    return Check(name, 4, what, NOTHING, NOTHING, NOTHING, "1", None, {}, (), None, (), result, 3.0, 5.0)


OPENWORK = check("bare-openwork", "open_range", "The ground may take the mortar.")
PLATFORM = check("platform-bearing", "unknown", "The platform is not known.")
SEAL = check("emptied-seal-length", "open_range", "The seal is short at worst.")


def test_a_plan_under_fluid_does_not_hang_on_a_dry_stage():
    """Gravel that may take the concrete is what the plan hangs on, not the time that a dry wall stands."""
    assert hangs_on([], [PLATFORM, OPENWORK]) == "The ground may take the mortar."
    assert LET_GO in trigger([], [PLATFORM, OPENWORK])
    assert hangs_on([], [PLATFORM]) == WALL_MAY_NOT_STAND


def test_rules_go_before_proofs():
    assert hangs_on(["The sand runs."], [OPENWORK]) == "The sand runs."
    assert trigger(["caving", "uplift", "caving"], [OPENWORK]).startswith("On the first sign of caving or uplift, stop")
    assert ANY_SIGN in trigger([], [OPENWORK, SEAL])


def test_a_specification_is_no_sign_on_site():
    assert trigger(["specification"], []) == "If the specification does not allow it, build the cautious plan from the start."
    assert trigger(["specification", "fluid-loss"], []).startswith(f"{FIRST_SIGN}fluid loss, stop")


def test_the_rig_and_its_platform_decide_no_way():
    assert open_proofs([PLATFORM, OPENWORK, check("pull", "holds", "It comes out.")]) == [OPENWORK]


MADE_GROUND = """methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: 20
    water: [{reading: settled, depth: 6, after: 24 h}]
    layers:
      - {top: 0, base: 1.3, description: "MADE GROUND: brown clayey topsoil with brick", origin: fill}
      - {top: 1.3, base: 20, description: "stiff grey CLAY (Glacial Till)", symbol: CL, origin: till}
    spt: [{depth: 4, n: 13}, {depth: 11, n: 28}]
shafts: [{id: P1, boring: B-1, diameter: 900, tip: 12}]
"""


def test_no_length_is_assumed_for_certain_and_likely_at_once(book, read_text):
    """Made ground that is clay or silt: what is no in clay and likely no in silt is likely no there, and no below."""
    shaft = plan(read_text(MADE_GROUND), book).shafts[0]
    taken = [(each.assumed, each.lengths_m) for each in shaft.assumptions if each.fact == "collapsible"]
    assert ("no (likely) or yes", ((0.0, 1.3),)) in taken
    assert [lengths_m for assumed, lengths_m in taken if assumed == "no"] == [((1.3, 20.0),)]


@pytest.mark.parametrize("name", ["karst", "river-crossing", "artesian-sand", "twenty-layers", "descriptions-only"])
def test_no_two_assumptions_on_a_fact_lie_over_each_other(planned, name):
    """A reviewer reads each length of ground once: certain, or likely."""
    for shaft in planned(name).shafts:
        for one, other in combinations(shaft.assumptions, 2):
            if one.fact == other.fact and one.assumed != other.assumed:
                lengths = product(one.lengths_m, other.lengths_m)
                assert not [(top, base) for (top, over), (below, base) in lengths if min(over, base) - max(top, below) > 1e-6], one.fact
