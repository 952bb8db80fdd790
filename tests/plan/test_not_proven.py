"""A way of which a check is short at the likely values is not called proven: the bell that cannot be cut dry, the rig too weak to twist."""

from pathlib import Path

import pytest

from methodpick.document.checks import not_proven
from methodpick.document.reasons import cautious
from methodpick.plan.pipeline import plan

SITES = Path(__file__).parents[1] / "sites"


@pytest.fixture
def planned_bell(planned):
    """Return the plan of a shaft with or without a bell at the tip, in ground that the log does not reach."""
    with_bell, straight = planned("bell-in-wet-ground").shafts
    return lambda bell: with_bell if bell else straight


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


SOFT = """
methodpick: 1
site: {name: Soft clay, units: si, allowed: [dry, slurry], fluids_allowed: [mineral]}
borings:
  - id: B1
    depth: 18
    water: [{reading: settled, depth: 2}]
    layers: [{top: 0, base: 18, description: very soft grey silty clay, symbol: CL, su: 8}]
shafts: [{id: P1, boring: B1, diameter: 2100, tip: 13}]
"""


def test_where_every_way_fails_a_proof_the_least_failing_is_named_and_called_not_proven(read_text, book):
    """No usual fluid holds a base of 8 kPa under 13 m: 6.5 x 8 = 52 kPa is less than about 18 x 13 - 11.3 x 12.7 = 90 kPa."""
    made = plan(read_text(SOFT), book).shafts[0]
    assert "base-failure" in {check.id for check in made.checks if check.is_short}
    assert made.decision.startswith("Not proven. Drill under mineral slurry")
    assert not made.proven
    assert all(interval.confidence != "firm" for interval in made.intervals if interval.base_m > 8.0)
    assert made.cautious is None
    (said,) = [block.text for block in cautious(made).blocks]
    assert said == "No other way is found that all proofs hold."


def test_without_a_starter_no_fluid_stands_above_the_ground(read_text, book):
    straight = (SITES / "bell-in-wet-ground.yaml").read_text(encoding="utf-8").replace(", bell: {diameter: 1800, height: 0.9}", "")
    text = straight.replace("units: si,", "units: si, starter_casing: false,").replace("depth: 2.6", "depth: 0.2")
    assert min(plan(read_text(text), book).shafts[0].levels.fluid_m.values()) == 0.0
    with_starter = plan(read_text(text.replace("starter_casing: false,", "")), book).shafts[0].levels
    assert min(with_starter.fluid_m.values()) == pytest.approx(-1.3, abs=0.051)  # 1.5 m over water at 0.2 m


TWISTED = """
methodpick: 1
site:
  name: Sand over rock
  units: si
  allowed: [temporary_casing]
  equipment: {oscillator: false, rotator: false, impact_hammer: false, vibratory: false, kelly_twist: true, rig_torque_knm: TORQUE,
              rig_casing: 2000, max_casing: 2000, rig_pull_kn: 4000}
borings:
  - id: B1
    depth: 20
    water: [{reading: settled, depth: 3}]
    layers:
      - {top: 0, base: 12, description: loose grey fine sand, symbol: SP, fines: 2 %, unit_weight: 18}
      - {top: 12, base: 20, description: hard grey clay, symbol: CL, su: 250}
shafts: [{id: P1, boring: B1, diameter: 1500, tip: 18}]
"""


@pytest.mark.parametrize(("torque_knm", "proven"), [(2000, True), (900, False)])
def test_a_casing_that_the_rig_likely_cannot_twist_is_not_proven(read_text, book, torque_knm, proven):
    """The friction takes pi/2 x 1.626^2 x 219 kN/m = 908 kNm at the likely values; of 900 kNm at the rig 630 are usable, of 2000 1,400."""
    made = plan(read_text(TWISTED.replace("TORQUE", str(torque_knm))), book).shafts[0]
    assert "by twisting" in made.decision
    assert ("torque-turning" in {check.id for check in made.checks if check.is_short}) is not proven
    assert made.proven is proven
    assert made.decision.startswith("Not proven. ") is not proven
    assert ("Take a stronger machine" in not_proven(made)) is not proven


SOFT_CLAY = """methodpick: 1
site: {units: si, allowed: ALLOWED}
borings:
  - id: B-1
    depth: 30
    water: [{reading: settled, depth: 1, after: 24 h}]
    layers:
      - {top: 0, base: 2, description: "stiff clay crust", symbol: CL, su: 80}
      - {top: 2, base: 9, description: "very soft grey clay", symbol: CH, su: 8}
      - {top: 9, base: 30, description: "stiff clay", symbol: CH, su: 110, absent: [fissured]}
shafts: [{id: P1, boring: B-1, diameter: 1200, tip: 16}]
"""


def test_a_way_that_is_proven_goes_before_a_cheaper_one_that_is_not(read_text, book):
    """Clay of 8 kPa yields to fresh concrete; a casing that stays keeps it off (common practice, no source), and costs more."""

    def made(allowed):
        return plan(read_text(SOFT_CLAY.replace("ALLOWED", allowed)), book).shafts[0]

    kept, pulled = made("[dry, slurry, temporary_casing, permanent_casing]"), made("[dry, slurry, temporary_casing]")
    assert (kept.proven, pulled.proven) == (True, False)
    assert "permanent casing" in kept.decision
    assert pulled.decision.startswith("Not proven. ")
    assert {check.id for check in pulled.checks if check.is_short} == {"bare-soft-clay"}
    assert kept.relative_cost > pulled.relative_cost
