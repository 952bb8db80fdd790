"""A shaft that no sequence builds: nothing is claimed at any depth, and no sequence is offered.

The site leaves only dry drilling open, and the sand from 3 m down stands below the water: UFC 3-220-20 sec. 6-4.2.1 lets no dry hole
stand there, so that nothing is left (common practice, no source for the whole case).
"""

import pytest

from methodpick.plan.pipeline import plan, planning_basis
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.sequence.families import NotBuildable

SITE = """methodpick: 1
site: {units: si, allowed: [dry]}
borings:
  - id: B-1
    depth: 20
    water: [{depth: 2, reading: settled, after: 24 h}]
    layers:
      - {top: 0, base: 3, description: "stiff clay", symbol: CL, su: 100}
      - {top: 3, base: 14, description: "loose fine sand", symbol: SP, fines: 3, n: [6, 7, 8]}
      - {top: 14, base: 20, description: "stiff clay", symbol: CH, su: 120}
shafts: [{id: P1, boring: B-1, diameter: 1200, cutoff: 1, tip: 12}]
"""


@pytest.fixture(scope="module")
def shaft(read_text, book):
    return plan(read_text(SITE), book).shafts[0]


def test_the_search_says_that_nothing_can_be_built(read_text, book):
    site = read_text(SITE)
    context = PlanContext(planning_basis(site, book), site.borings[0], site.shafts[0])
    assert isinstance(context.paths(), NotBuildable)
    assert context.best() is None


def test_every_depth_is_undecided_with_its_reasons(shaft):
    assert shaft.method == "undecided"
    assert shaft.decision.startswith("No way of building this shaft is left")
    assert {interval.support for interval in shaft.intervals} == {"undecided"}
    assert {interval.confidence for interval in shaft.intervals} == {"undecided"}
    for interval in shaft.intervals:
        assert interval.drilled_in is None
        assert interval.reasons[0].rule == "no-way"
    assert "granular-below-water-flows" in {reason.rule for reason in shaft.intervals[-1].reasons}


def test_no_way_of_building_is_offered(shaft):
    assert shaft.cautious is None
    assert shaft.ladder == ()
    assert all(alternate.drawdown is not None for alternate in shaft.alternates), "wells that draw the water down change the ground"
    assert [casing.kind for casing in shaft.casings] == ["starter"]
    assert shaft.slurry is None
    assert shaft.checks == ()


def test_concrete_is_counted_all_the_same(shaft):
    """Cut-off at 1 m, tip at 12 m, 1.2 m wide: pi/4 x 1.44 x 11 = 12.44 m3, by tremie since nobody knows the ground to the tip."""
    assert shaft.placement.state == "wet"
    assert shaft.concrete.theoretical_m3 == pytest.approx(12.44, abs=0.005)
