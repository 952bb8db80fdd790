"""A platform that the plan raises by fill where water below rises above what casing on the ground can hold.

What is expected is worked out by hand from the head over the water (1.524 m: 5 ft, FHWA-NHI-18-024 sec. 3.4, digest), the freeboard
(0.3 m, own) and the highest stick-up (3 m, own).
"""

from dataclasses import replace

import pytest
from written_plan import verify_plan

from methodpick.ground.site import SiteConditions
from methodpick.plan.fluid.levels import chosen_raise, platform_raise
from methodpick.plan.pipeline import plan
from methodpick.site.planning import plan_site
from methodpick.site.result import DRILLED_IN_PAD
from methodpick.site.site_takeoff import take_off

ARTESIAN = """methodpick: 1
site: {{units: si, name: Marsh, allowed: [slurry]{site}}}
borings:
  - id: B-1
    depth: 25
    water: [{{reading: piezometer, depth: {level}, response_zone: [6, 12]}}]
    layers:
      - {{top: 0, base: 6, description: "very stiff clay", symbol: CH, su: 200, unit_weight: 20}}
      - {{top: 6, base: 25, description: "medium dense sand", symbol: SP, fines: 3, n: [22, 24, 25], unit_weight: 20}}
shafts: [{{id: P1, boring: B-1, diameter: 1000, tip: 12}}]
"""
GROUND_STATED = ", drilling_grade: {above_ground: 0}"


@pytest.fixture
def planned(book, read_text):
    def made(level_m, site=""):
        text = read_text(ARTESIAN.format(level=level_m, site=site))
        return text, plan(text, book)

    return made


def test_the_platform_is_raised_by_the_head_that_casing_on_the_ground_cannot_hold(planned, book):
    """3.2 m of water above the ground + 1.524 m of head + 0.3 m of freeboard - 3 m of stick-up = 2.024 m, in whole decimetres 2.1 m."""
    site, made = planned(-3.2)
    shaft = made.shafts[0]
    assert shaft.levels.raised_m == pytest.approx(2.1)
    assert shaft.levels.grade_m == shaft.design.grade_m == pytest.approx(-2.1)
    assert shaft.levels.head_missing_m == 0.0
    assert shaft.proven
    assert shaft.method == "slurry"
    assert shaft.decision.startswith("Drill under ")
    assert shaft.decision.endswith(" This needs the platform raised by fill to ⟦2.1|m⟧ above the ground.")
    assert "platform-raised-over-the-head" in {caution.rule for caution in shaft.cautions}
    assert verify_plan(made, site, book) == ()


def test_a_stated_drilling_grade_is_not_changed(planned):
    """The site says where the rig stands: nothing builds the shaft from there, and what would is told as a change to ask for."""
    shaft = planned(-3.2, GROUND_STATED)[1].shafts[0]
    assert shaft.method == "undecided"
    assert shaft.levels.raised_m == 0.0
    assert any("above the ground, on a platform of fill" in way.family for way in shaft.alternates)


def test_nothing_is_raised_where_the_ground_carries_the_head(planned):
    """1 m of water, 1.524 m of head and 0.3 m of freeboard stay below 3 m of stick-up."""
    shaft = planned(-1.0)[1].shafts[0]
    assert shaft.proven
    assert shaft.levels.raised_m == 0.0
    assert "platform-raised-over-the-head" not in {caution.rule for caution in shaft.cautions}


def test_the_platform_is_drilled_and_left_out_of_the_price_in_the_takeoff(planned, book):
    site, _ = planned(-3.2)
    made = take_off(site, plan_site(site, book), book)
    drilled = {line.item: line.amount.likely for line in made.shafts[0].lines}
    assert any("raises the platform at P1 by ⟦2.1|m⟧" in note for note in made.notes)
    assert drilled[DRILLED_IN_PAD] == pytest.approx(2.1)


@pytest.mark.parametrize("raised_m", [1.0, 2.2])
def test_a_plan_that_says_another_height_is_contradicted(planned, book, raised_m):
    site, made = planned(-3.2)
    shaft = made.shafts[0]
    levels = replace(shaft.levels, raised_m=raised_m)
    wrong = verify_plan(replace(made, shafts=(replace(shaft, levels=levels),)), site, book)
    assert any("raised_m" in str(found) for found in wrong)


@pytest.mark.parametrize(
    ("missing_m", "raise_m"),
    [(0.0, 0.0), (0.04, 0.1), (0.1, 0.1), (2.024, 2.1), (3.0, 3.0), (5.0, 3.0)],
    ids=["nothing missing", "whole steps", "no step more", "as above", "the most", "not above the most"],
)
def test_a_platform_is_raised_in_whole_decimetres_to_the_most(book, missing_m, raise_m):
    assert platform_raise(SiteConditions(), missing_m, book.values) == pytest.approx(raise_m)


def test_a_plan_raises_no_platform_that_the_site_states(book):
    stated = SiteConditions.model_validate({"drilling_grade": {"above_ground": 1.0}})
    assert chosen_raise(stated, 2.0, book.values) == 0.0
    assert chosen_raise(SiteConditions(), 2.0, book.values) == platform_raise(stated, 2.0, book.values) == pytest.approx(2.0)


def test_no_platform_is_raised_over_water(book):
    assert platform_raise(SiteConditions(setting="water", water_depth_m=4.0), 2.0, book.values) == 0.0
