"""The ways to build a site side by side: each a whole plan under its constraint, added up by hand from its shafts."""

from types import SimpleNamespace

import pytest

from methodpick.compare.ways import TITLES, compare_ways
from methodpick.plan.result.checks import none_short
from methodpick.site.planning import SitePlanner, plan_site

INCH = 0.0254


@pytest.fixture(scope="module")
def ways_of(site, book):
    made = {}

    def find(name, shafts=None, **conditions):
        key = name, shafts, repr(conditions)
        if key not in made:
            read = site(name)
            changed = read.model_copy(update={"site": read.site.model_copy(update=conditions)})
            made[key] = {way.name: way for way in compare_ways(changed, book, shafts=shafts).ways}
        return SimpleNamespace(**made[key])

    return find


def test_every_way_is_there_in_the_order_of_the_page(ways_of):
    assert list(vars(ways_of("caving-lens"))) == list(TITLES)


def test_the_plan_is_what_the_site_is_planned_as(ways_of, planned):
    """One of four equal shafts, as ``plan`` prints it."""
    (shaft,) = planned("caving-lens").shafts
    (kind,) = ways_of("caving-lens").plan.kinds
    assert kind.shafts == (shaft.id,)
    assert kind.state.decision == shaft.decision
    assert [casing.outside_diameter_m for casing in kind.state.casings] == [casing.outside_diameter_m for casing in shaft.casings]
    assert kind.state.relative_cost == shaft.relative_cost


@pytest.mark.parametrize("name", ["caving-lens", "karst", "saturated-sand", "stiff-clay"])
def test_what_is_not_firm_is_what_the_pages_of_the_plan_say(ways_of, planned, name):
    """The lengths of the plan's own pages, counted as often as each shaft stands."""
    pages = sum(
        (interval.base_m - interval.top_m) * shaft.count
        for shaft in planned(name).shafts
        for interval in shaft.intervals
        if interval.confidence != "firm"
    )
    assert ways_of(name).plan.amounts.not_firm_m == pytest.approx(pages)


def test_the_cautious_way_is_that_of_the_plan(ways_of, planned):
    (shaft,) = planned("caving-lens").shafts
    (kind,) = ways_of("caving-lens").cautious.kinds
    assert kind.state.relative_cost == shaft.cautious.relative_cost
    assert len(kind.state.casings) == len(shaft.cautious.casings)


def test_the_amounts_of_a_site_are_those_of_its_shafts(ways_of):
    """Each amount is the sum over the shafts, counted as often as each stands."""
    for way in vars(ways_of("caving-lens")).values():
        kinds, amounts = way.kinds, way.amounts
        assert amounts.concrete_m3.likely == pytest.approx(sum(kind.state.concrete_m3.likely * kind.count for kind in kinds))
        assert amounts.drilled_m == pytest.approx(sum(kind.state.drilled_m * kind.count for kind in kinds))
        assert sum(volume for _, volume in amounts.fluid_m3) == pytest.approx(sum(kind.state.fluid_m3 * kind.count for kind in kinds))
        assert amounts.hours.likely == pytest.approx(sum(kind.state.hours.likely * kind.count for kind in kinds))
        assert amounts.relative_cost == pytest.approx(sum(kind.state.relative_cost * kind.count for kind in kinds))
        set_m = sum(casing.length_m * kind.count for kind in kinds for casing in kind.state.casings)
        assert sum(length for _, length in amounts.casing_m) == pytest.approx(set_m)


def test_casing_of_one_diameter_stands_in_no_other_casing(ways_of):
    """A shaft of 48 in takes 54 in casing (6 in over the shaft, GEC 10 sec. 5.2, digest); the plan has 54 in a starter of 60 in."""
    ways = ways_of("caving-lens")
    assert ways.plan.amounts.diameters_m == pytest.approx((54 * INCH, 60 * INCH), abs=1e-3)
    assert ways.one_casing_diameter.amounts.diameters_m == pytest.approx((54 * INCH,), abs=1e-3)
    assert all(len(kind.state.casings) <= 1 for kind in ways.one_casing_diameter.kinds)
    assert ways.one_casing_diameter.changed == 4


def test_a_way_that_cannot_be_built_says_why_and_has_no_numbers(ways_of):
    """Nothing stands dry in the sand below the water: where all else is forbidden no sequence reaches the tip."""
    way = ways_of("caving-lens", allowed=("dry",)).cautious
    assert way.outcome == "cannot_be_built"
    assert way.amounts is None
    assert way.notes == ("P4: no sequence reaches the tip so.",)


def test_a_plan_that_is_not_proven_says_so(ways_of):
    """A bell is cut in dry ground that stands (FHWA-NHI-18-024 sec. 3.5, from memory); in wet sand no way passes that proof."""
    ways = ways_of("bell-in-wet-ground", ("P1",))
    assert ways.plan.outcome == "not_proven"
    assert any(note.startswith("Not proven: P1") for note in ways.plan.notes)
    assert ways_of("bell-in-wet-ground", ("P2",)).plan.outcome == "built"
    assert ways_of("caving-lens").plan.outcome == "built"


def test_one_fluid_is_the_plan_of_a_site_file_that_allows_no_other(site, book, ways_of):
    """Two shafts, one under each slurry: with one for both the site is planned as by ``fluids_allowed`` with that fluid alone."""
    shafts = ("B6-1", "B9-1")
    ways = ways_of("viaduct", shafts)
    assert {used.fluid for kind in ways.plan.kinds for used in kind.state.fluids} == {"polymer", "mineral"}
    (fluid,) = {used.fluid for kind in ways.one_fluid.kinds for used in kind.state.fluids}
    whole = site("viaduct")
    only = whole.model_copy(update={"site": whole.site.model_copy(update={"fluids_allowed": (fluid,)})})
    by_file = {shaft.id: shaft.decision for shaft in plan_site(only, book, shafts=shafts).plan.shafts}
    assert {kind.shafts[0]: kind.state.decision for kind in ways.one_fluid.kinds} == by_file


def test_every_way_passes_its_checks_and_other_families_are_others(site, book, ways_of):
    ways = ways_of("caving-lens")
    assert all(kind.state.proven for way in vars(ways).values() for kind in way.kinds)
    assert ways.other_family.kinds[0].state.decision != ways.plan.kinds[0].state.decision
    planner = SitePlanner(site("caving-lens"), book)
    context = planner.kind_of(site("caving-lens").shafts[0]).context
    best = context.best()
    others = [path for _, path in context.paths().others if path is not None and none_short(context.checks(path))]
    cheapest = min(path.score for path in others if not path.is_built_as(best))
    assert ways.other_family.kinds[0].state.relative_cost == pytest.approx(cheapest.cost, abs=1e-6)
