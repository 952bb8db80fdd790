"""Limits of the search for what would change a plan: the ends of each credible range, worked out by hand from what the limit says.

All of them are own values of the project, as their entries say; what is checked is that each bounds its own input.
"""

import pytest

from methodpick.plan.judging.planning_input import boring_for
from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.resources import folder
from methodpick.why.flips import FlipSearch, ShaftQuestion
from methodpick.why.ground_changes import layer_changes, water_changes
from methodpick.why.input_change import design_changes
from methodpick.why.within_range import flips_within_range

LAND = """methodpick: 1
site: {units: si, drilling_grade: {above_ground: 1.0}}
borings:
  - id: B-1
    depth: 40
    water: [{reading: confined, struck: 20, rises_to: 4}]
    layers:
      - {top: 0, base: 9, description: "stiff brown clay", symbol: CL, su: 90}
      - {top: 9, base: 20, description: "medium dense fine sand", symbol: SM, n: [12, 18], fines: 20, permeability: 1e-6}
      - {top: 20, base: 40, description: "dense sand", symbol: SP}
shafts: [{id: P1, diameter: 1200, tip: 18MORE}]
"""
WATER = """methodpick: 1
site: {units: si, setting: water, water_depth: 6}
borings: [{id: B-1, depth: 30, layers: [{top: 0, base: 30, description: "stiff clay", symbol: CL}]}]
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""


def ends(read_text, book, name, text=LAND, shaft="", stratum=1):
    """Return the low and the high end of an input's credible range, asked at 5 m."""
    site = read_text(text.replace("MORE", shaft))
    wanted = site.shafts[0]
    context = PlanContext(PlanBasis(site, book, book.assumptions), boring_for(site, wanted, book.values), wanted)
    gatherer = context.gatherer
    made = (
        *water_changes(gatherer, 5.0),
        *layer_changes(gatherer, gatherer.strata[min(stratum, len(gatherer.strata) - 1)]),
        *design_changes(context, 5.0),
    )
    credible = next(change.credible for change in made if change.name == name)
    return credible.low, credible.high


def test_blow_counts_of_12_and_18(read_text, book):
    """The mean is 15: less by three is 5, more by 10 is 25, by two and a half 37.5."""
    assert ends(read_text, book, "n") == (5, 37.5)


def test_low_blow_counts_go_up_by_ten_at_least(read_text, book):
    """The mean is 3: 2.5 times that is 7.5, ten more is 13."""
    assert ends(read_text, book, "n", LAND.replace("n: [12, 18]", "n: [3, 3]")) == (1, 13)


def test_strength_of_90_kpa(read_text, book):
    """Measured, so known without a spread: 90 / 2.5 is 36, 90 x 2.5 is 225."""
    assert ends(read_text, book, "su", stratum=0) == pytest.approx((36, 225))


def test_permeability_of_a_millionth(read_text, book):
    assert ends(read_text, book, "permeability") == pytest.approx((1e-7, 1e-5))


def test_fines_up_to_a_fine_soil(read_text, book):
    assert ends(read_text, book, "fines") == (0, 50)


def test_struck_water_rises_to_3_m_above_the_ground_at_most(read_text, book):
    assert ends(read_text, book, "struck_water") == (-3, 20)


def test_open_water_6_m_deep(read_text, book):
    """From half a metre to 5 m more than 6 m."""
    assert ends(read_text, book, "open_water", WATER) == (0.5, 11)


def test_diameter_of_1200_mm(read_text, book):
    """Half of it and twice; 3.5 m would be 7, but 4 m is the widest; a cage of 0.9 m needs 1.05 m, a bell of 1.9 m leaves 1.8 m."""
    assert ends(read_text, book, "diameter") == (0.6, 2.4)
    assert ends(read_text, book, "diameter", LAND.replace("1200", "3500"))[1] == 4
    assert ends(read_text, book, "diameter", LAND.replace("1200", "500"))[0] == 0.3
    assert ends(read_text, book, "diameter", shaft=", cage_diameter: 900")[0] == pytest.approx(1.05)
    assert ends(read_text, book, "diameter", shaft=", bell: {diameter: 1900, height: 1}")[1] == pytest.approx(1.8)


def test_tip_at_18_m(read_text, book):
    """Four tenths higher is 10.8 m, deeper 25.2 m; with a cut-off at 12 m no higher than 12.3 m."""
    assert ends(read_text, book, "tip") == pytest.approx((10.8, 25.2))
    assert ends(read_text, book, "tip", shaft=", cutoff: 12")[0] == pytest.approx(12.3)


def test_grade_of_1_m(read_text, book):
    """Down to the ground, up by three metres."""
    assert ends(read_text, book, "drilling_grade") == (0, 4)


def test_a_quarter_of_the_way_is_tried_first(read_text, book):
    """Every value that was planned with the tip changed: none lies between the present one and a quarter of the way (1.8 m of 7.2 m)."""
    site = read_text(LAND.replace("MORE", ""))
    search = FlipSearch(ShaftQuestion(site, "P1", book, book.assumptions), [5.0])
    tip = next(change for change in search.changes(0) if change.name == "tip")
    list(search._alone(tip, 0))
    steps = sorted(abs(key[0][1]) for key in search._planned if key[0][0] == "the tip" and key[0][1])
    assert steps[0] == 36


def test_the_share_to_which_costs_are_known(book, read_text):
    """relative_costs_within: a quarter dearer, or as much cheaper as a quarter dearer brings back."""
    site = read_text((folder("profiles") / "caving-lens.yaml").read_text(encoding="utf-8"))
    found = {change.flip.input: change for change in flips_within_range(site, book, plan(site, book).shafts[0])}
    assert (found["casing_cost"].low, found["casing_cost"].high) == pytest.approx((0.8, 1.25))
