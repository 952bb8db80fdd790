"""What water decides: the lid over a strike, how concrete is placed, when dry drilling ends, and what is not known (issue of water).

Expected decisions are those of GEC 10 (sections 3.4, 5.1 and 7.3) and common practice; inflows are Thiem's formula by hand.
"""

import pytest

from methodpick.engine.load import load_rulebook
from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.resources import folder

SITE = """
methodpick: 1
site: {units: si}
borings:
- id: B-1
  depth: 35
  technique: core
  water: WATER
  layers:
  - {top: 0.0, base: 5.0, description: stiff clay, symbol: CL, su: 120}
  - {top: 5.0, base: 35.0, description: strong granite, symbol: rock, rqd: 85, features: [massive], permeability: PERMEABILITY}
shafts: [{id: P1, diameter: 1200.0, tip: 25.0}]
"""
SAND = """
methodpick: 1
site: {units: si}
borings:
- {id: B-1, depth: 30, layers: [{top: 0.0, base: 30.0, description: medium dense clean fine sand, symbol: SP}]}
shafts: [{id: P1, diameter: 1200.0, tip: 12.0}]
"""


def planned(text, **options):
    return plan(read_site(text, "test.yaml")[0], load_rulebook(folder("rules")), **options).shafts[0]


def rock(water, permeability):
    return planned(SITE.replace("WATER", water).replace("PERMEABILITY", permeability))


def verdict(shaft, depth_m, state="dry"):
    return next(one for one in shaft.intervals if one.top_m <= depth_m <= one.base_m).verdicts[state]


SETTLED = "[{reading: settled, depth: 4.0}]"
STRUCK = "[{reading: settled, depth: 4.0}, {reading: confined, struck: 20, rises_to: 1.0}]"


def test_water_struck_under_rock_lifts_the_dry_base_above_it():
    """At 19 m 1 m of rock (26 kPa) stands over a head of 19 m (186 kPa): the dry base bursts. Without the strike nothing lifts."""
    assert "base-lifts-by-water-below" in verdict(rock(STRUCK, "1e-8"), 19).rules
    assert verdict(rock(STRUCK, "1e-8"), 19).state == "ruled_out"
    assert "base-lifts-by-water-below" not in verdict(rock(SETTLED, "1e-8"), 19).rules


@pytest.mark.parametrize(("permeability", "refused"), [("1e-4", True), ("1e-9", False)])
def test_water_under_pressure_ends_the_dry_hole_only_where_it_gives_much(permeability, refused):
    """From 20 to 25 m under 21.5 m of head, 3 m of influence: 6.3 * 1e-4 * 5 * 21.5 / ln(...) m3/s fills 1.13 m2 in minutes."""
    found = verdict(rock(STRUCK, permeability), 22)
    assert ("water-under-pressure-floods-dry-hole" in found.rules) is refused
    assert (found.state == "ruled_out") is refused


def inflow_check(shaft):
    return next(check for check in shaft.checks if check.id == "inflow-pumps" and check.base_m > 5.5)


def test_an_inflow_over_the_placement_limit_is_drilled_on_and_poured_by_tremie():
    """At 1e-5 m/s some 9 m3/h run in: more than twelve inches an hour in 1.13 m2 (0.34 m3/h), less than pumps keep down (20 m3/h)."""
    shaft = rock(SETTLED, "1e-5")
    assert shaft.intervals[-1].drilled_in == "dry"
    assert shaft.placement.state == "wet"
    assert "fill above the water outside" in shaft.placement.why
    assert inflow_check(shaft).result == "holds"


def test_an_inflow_over_the_pumps_ends_dry_drilling():
    """Ten times the permeability gives ten times the water, more than the pumps."""
    shaft = rock(SETTLED, "1e-4")
    assert shaft.intervals[-1].drilled_in == "water"
    assert shaft.placement.state == "wet"


def test_a_little_inflow_is_poured_dry():
    shaft = rock(SETTLED, "1e-7")
    assert (shaft.intervals[-1].drilled_in, shaft.placement.state) == ("dry", "dry")


def test_an_unknown_inflow_has_no_likely_value_and_is_poured_by_tremie():
    """Without a water level the inflow may be none or some: half of the greatest is no answer."""
    shaft = rock("[]", "2e-7")
    assert shaft.intervals[-1].drilled_in == "dry"
    assert shaft.placement.state == "wet"
    assert shaft.placement.why.startswith("Nobody knows yet")


def test_without_assumptions_water_holds_no_sand():
    """Nothing says that the sand is cemented; without a reading the hole is not dry either."""
    for assumptions in (True, False):
        shaft = planned(SAND, assumptions=assumptions)
        assert verdict(shaft, 8, "water").state in {"unlikely", "ruled_out"}
        assert verdict(shaft, 8).state in {"unknown", "unlikely", "ruled_out"}
        assert not {"water", "dry"} & {one.drilled_in for one in shaft.intervals}
        assert "settled water level" in {gap.need for gap in shaft.gaps}


@pytest.mark.parametrize(
    ("permeability", "placement", "likely"),
    [("1e-9", "dry", True), ("[1e-9, 1e-5]", "wet", False), ("[1e-11, 1e-9]", "dry", False), ("1e-5", "wet", True)],
    ids=["little", "nobody knows", "little at its most", "much"],
)
def test_a_stated_range_of_permeability_gives_no_likely_inflow(permeability, placement, likely):
    """Four powers of ten say nothing of the inflow: no middle of them is poured dry on. Where the most of the range is little, it is dry.

    Under 16 m of head Thiem gives 2 pi 1e-9 20 16 / ln(3 / 0.6) = 1.2e-6 m3/s, 4 mm/h in 1.13 m2; 1e-5 m/s ten thousand times that.
    """
    shaft = rock(SETTLED, permeability)
    assert shaft.placement.state == placement
    assert ("Nobody knows yet how fast" in shaft.placement.why) == (permeability == "[1e-9, 1e-5]")
    rises = [fact for one in shaft.intervals for reason in one.reasons for name, fact in reason.facts.items() if name == "seepage_rise_m_h"]
    assert all((fact.likely is not None) == likely for fact in rises)
