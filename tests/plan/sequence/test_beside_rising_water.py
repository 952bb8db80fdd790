"""Beside water under pressure that may rise above the ground crews keep the head of fluid (common practice, no source)."""

from dataclasses import replace

import pytest
from written_plan import verify_plan

from methodpick.facts.aquifer import Aquifer, highest_rising
from methodpick.plan.pipeline import plan
from methodpick.vocabulary.values import Span

SITE = """methodpick: 1
site:
  units: si
  allowed: [{allowed}]
  equipment: {{kelly_twist: false, vibratory: false, oscillator: true, rotator: false, max_casing: 2000}}
borings:
  - id: B-1
    depth: 34
    water: [{{reading: confined, struck: 10, rises_to: {rises}}}]
    layers:
      - {{top: 0, base: 10, description: "very stiff grey clay", symbol: CL, su: 170, origin: till, unit_weight: 20}}
      - {{top: 10, base: 16, description: "dense sandy gravel", symbol: GP, unit_weight: 20}}
      - {{top: 16, base: {clay}, description: "hard grey silty clay", symbol: CL, su: 240, unit_weight: 20.5, absent: [fissured, boulders]}}
{below}    spt: [{{depth: 5, n: 31}}, {{depth: 13, n: 42}}, {{depth: 20, n: 50}}, {{depth: 26, n: 52}}]
shafts: [{{id: P, diameter: 1500, tip: 29, count: 4}}]
"""
ROCK = '      - {{top: {top}, base: 34, description: "moderately strong fresh siltstone", ucs: 20, rqd: 90 %, recovery: 98 %}}\n'
ALL = "dry, slurry, temporary_casing, permanent_casing"


@pytest.fixture(scope="module")
def planned_in(book, read_text):
    def made(rises, allowed=ALL, clay_to=34):
        site = read_text(SITE.format(rises=rises, allowed=allowed, clay=clay_to, below=ROCK.format(top=clay_to) if clay_to < 34 else ""))
        return site, plan(site, book)

    return made


def test_a_casing_beside_artesian_gravel_is_not_bailed(planned_in):
    """Water that rises 2 m over the ground behind 4 m of clay: the hole stays full, at 1.08 times the cost of bailing it."""
    shaft = planned_in(-2)[1].shafts[0]
    assert "bail" not in {stage.action for stage in shaft.stages}
    assert shaft.placement.state == "wet"
    assert "emptied-beside-rising-water" not in {caution.rule for caution in shaft.cautions}


WITHOUT_FLUID = "dry, temporary_casing"


def check_of(shaft):
    (check,) = (check for check in shaft.checks if check.id == "emptied-seal-rising")
    return check


def test_with_room_below_it_is_bailed_behind_twice_the_seat(planned_in):
    """Nobody may drill under fluid: 3.8 m of clay seal, 7.6 m and more keep the reserve, and what may happen still stands on the page."""
    shaft = planned_in(-2, WITHOUT_FLUID)[1].shafts[0]
    assert "bail" in {stage.action for stage in shaft.stages}
    assert check_of(shaft).result == "holds"
    assert check_of(shaft).has.likely >= 2 * check_of(shaft).needed.likely
    assert told_of(shaft)


def told_of(shaft):
    (caution,) = (caution for caution in shaft.cautions if caution.rule == "emptied-beside-rising-water")
    return caution.severity == "danger" and "head of fluid" in caution.text


def test_without_room_it_is_bailed_against_advice_and_counts_so(planned_in, book):
    """Only 6 m of clay lie between gravel and rock. Each metre of casing that is emptied costs a metre: a smaller sum is found out."""
    site, made = planned_in(-2, WITHOUT_FLUID, clay_to=22)
    (shaft,) = made.shafts
    assert check_of(shaft).result == "little_margin"
    assert told_of(shaft)
    assert verify_plan(made, site, book) == ()
    cheaper = replace(shaft, relative_cost=shaft.relative_cost - 15.0)
    found = verify_plan(replace(made, shafts=(cheaper,)), site, book)
    assert any(each.what == "relative_cost" and each.right.startswith("no less than") for each in found)


def water(top_m, likely_m, kind="confined"):
    return Aquifer(top_m, top_m + 4.0, Span(likely_m - 0.5, likely_m + 0.5, likely_m), kind, "", read=True)


MAIN = water(0.0, 3.0, "main")


@pytest.mark.parametrize(
    ("waters", "over_water", "highest"),
    [
        ([MAIN], False, None),
        ([MAIN, water(8.0, -1.0)], False, -1.5),
        ([MAIN, water(8.0, 0.3)], False, -0.2),
        ([MAIN, water(8.0, 0.6)], False, None),
        ([MAIN, water(12.0, -1.0)], False, None),
        ([MAIN, water(8.0, -1.0, "perched")], False, None),
        ([replace(MAIN, level_m=Span(-0.5, 1.0, 0.5))], False, None),
        ([replace(MAIN, level_m=Span(-6.0, -4.0, -5.0)), water(8.0, -5.2)], True, None),
        ([replace(MAIN, level_m=Span(-6.0, -4.0, -5.0)), water(8.0, -7.0)], True, -7.5),
    ],
)
def test_water_beside_a_shoe_at_11_metres_that_may_rise_over_the_ground(waters, over_water, highest):
    """By definition: under pressure, above the shoe, and at its highest over the ground, or over the highest open water."""
    level = highest_rising(waters, 11.0, over_water=over_water)
    assert (level.low if level else None) == highest
