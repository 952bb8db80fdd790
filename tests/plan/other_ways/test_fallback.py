"""The fallback uses another plant or way than the one that failed, and is the cheapest that avoids the same trouble.

What is expected is common practice (no source): an obstruction that stops a twisted casing stops it again; a seal that leaks is flooded.
"""

from types import SimpleNamespace

import pytest

from methodpick.plan.other_ways.alternates import why_not
from methodpick.plan.other_ways.ladder import doubt_left, doubt_of, find_fallback
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.reasons.notes import FAMILY_WORDS
from methodpick.plan.result import OPEN_MEANS
from methodpick.plan.sequence.path import Run, Score, SequencePath

SITE = """methodpick: 1
site: {{units: si, allowed: [{allowed}], equipment: {{vibratory: {vibratory}, oscillator: {oscillator}, kelly_twist: true}}}}
borings:
  - id: B-1
    depth: 30
    water: [{{reading: settled, depth: 3}}]
    layers:
      - {{top: 0, base: 8, description: "medium dense sand", symbol: SP, unit_weight: 19, phi: 33, absent: [cobbles, boulders]}}
      - {{top: 8, base: 30, description: "stiff grey clay", symbol: CH, su: 100, unit_weight: 20, absent: [fissured]}}
shafts: [{{id: P1, diameter: 1000, tip: 15}}]
"""


@pytest.fixture
def found_in(book, read_text):
    def made(allowed="temporary_casing, dry", vibratory="true", oscillator="true"):
        site = read_text(SITE.format(allowed=allowed, vibratory=vibratory, oscillator=oscillator))
        context = PlanContext(PlanBasis(site, book, book.assumptions), site.borings[0], site.shafts[0])
        found = context.paths()
        return context, found.best, find_fallback(context, found)

    return made


def ways(path):
    return {segment.way for segment in path.strings if segment.way}


def test_a_casing_that_stops_short_is_followed_by_other_plant(found_in):
    _, best, fallback = found_in()
    assert ways(best)
    assert not ways(best) & ways(fallback.path)
    assert "stops short" in fallback.trigger


def test_where_no_other_plant_is_left_the_fallback_ends_otherwise(found_in):
    _, best, fallback = found_in(vibratory="false", oscillator="false")
    assert fallback is None or fallback.path.means != best.means


@pytest.mark.parametrize("name", ["contaminated-fill", "twenty-layers", "boulders", "residual-thin", "sand-over-clay-thin"])
def test_no_fallback_repeats_the_means_of_the_plan(name, planned):
    shaft = planned(name).shafts[0]
    rungs = {rung.name: rung for rung in shaft.ladder}
    if "fallback" in rungs:
        how = [
            [(stage.action, stage.state) for stage in rung.stages if stage.state] + [casing.way for casing in rung.casings]
            for rung in (rungs["planned"], rungs["fallback"])
        ]
        assert set(how[0]) != set(how[1])
        assert rungs["fallback"].proven


def test_the_fallback_of_a_doubt_is_the_cheapest_that_avoids_it(site, book):
    """The shaft through the cavity: no dearer than the cautious plan, and no more of what is doubtful left."""
    made = site("karst")
    context = PlanContext(PlanBasis(made, book, book.assumptions), made.borings[0], made.shafts[0])
    found = context.paths()
    slices, fallback = context.search_input.slices, find_fallback(context, found)
    assert doubt_of(slices, found.best) > 0
    assert doubt_left(slices, found.best, fallback.path) <= doubt_left(slices, found.best, found.cautious) + 1e-6
    assert fallback.path.cost <= found.cautious.cost


def test_fluid_and_casing_at_about_the_same_cost_are_both_open(planned):
    """15 % (own): the relative costs are no better known."""
    shaft = planned("caving-lens").shafts[0]
    ratios = {way.family: way.relative_cost / shaft.relative_cost for way in shaft.alternates if way.relative_cost}
    assert 1.0 < ratios[FAMILY_WORDS["slurry"]] < 1.15 < ratios["permanent casing"]
    found = {way.family: way.both_open for way in shaft.alternates}
    assert found[FAMILY_WORDS["slurry"]] == "fluid_or_casing"
    assert OPEN_MEANS["fluid_or_casing"].sentence in next(way.why_not for way in shaft.alternates if way.both_open)
    assert found["permanent casing"] is found["all dry"] is None


@pytest.mark.parametrize(
    ("more", "cost", "start"), [(1e-6, 100.4, "It can be built at about the same relative cost"), (2e-6, 100.4, "It leaves")]
)
def test_a_length_of_a_thousandth_of_a_millimetre_is_none_that_is_left_open(more, cost, start):
    def path(doubtful_m, cost):
        return SequencePath(
            (SimpleNamespace(casing="none", runs=(Run(0.0, 5.0, "dry"),), top_m=0.0, base_m=5.0),), Score(doubtful_m=doubtful_m, cost=cost)
        )

    ground = SimpleNamespace(limits={"both_open_share": 0.1}, slices=())
    assert why_not(ground, "slurry", path(more, cost), path(0.0, 100.0)).startswith(start)
