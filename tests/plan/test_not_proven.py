"""A way of which a check fails is not called proven: the bell that cannot be cut dry."""

import pytest

from methodpick.plan.pipeline import plan

SITE = """
methodpick: 1
site: {name: Bell in wet ground, units: si, fluids_allowed: [water, mineral]}
borings:
  - id: B1
    depth: 5.8
    water: [{reading: settled, depth: 2.6}]
    layers:
      - {top: 0, base: 5.5, description: loose silty fine sand, symbol: SM}
      - {top: 5.5, base: 5.8, description: firm grey clay, symbol: CL}
shafts:
  - {id: P1, boring: B1, diameter: 900, tip: 10.7BELL}
"""


@pytest.fixture
def planned_bell(read_text, book):
    """Return the plan of the site with or without a bell at the tip, in ground that the log does not reach."""
    return lambda bell: plan(read_text(SITE.replace("BELL", ", bell: {diameter: 1800, height: 0.9}" if bell else "")), book).shafts[0]


def test_a_bell_that_is_not_cut_dry_leaves_the_plan_not_proven(planned_bell):
    made = planned_bell(bell=True)
    assert {check.id for check in made.checks if check.result == "fails"} == {"bell-dry"}
    assert not made.proven
    assert not any(rung.proven for rung in made.ladder)
    assert all("It is not proven: The bell is cut in water or fluid." in other.why_not for other in made.alternates if other.stages)


def test_the_same_shaft_without_a_bell_is_proven(planned_bell):
    made = planned_bell(bell=False)
    assert made.proven
    assert all(rung.proven for rung in made.ladder)
