"""The balance of concrete while a casing is pulled: 23.5 kN/m3, 15 kPa of margin, 5 ft of cover; worked by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.pull_balance import PullBalanceFacts, ShoeAt, check_pull_balance
from methodpick.vocabulary.values import Span, point

SHOE = ShoeAt(stage=7, shoe_m=12.0, concrete_level_m=7.0, outside_kpa=point(102.5), over_kpa=point(0.0))
"""(102.5 + 15) / 23.5 = 5.0 m, and 5.0 m stand over the shoe."""
PULL = PullBalanceFacts(ProvedPlace(7, 0.0, 12.0), (SHOE,), finish_m=0.0, cutoff_m=1.0, cutoff_outside_kpa=point(0.0), kept=False)


def results(facts, limits):
    return {check.id: check.result for check in check_pull_balance(facts, limits)}


def at(**change):
    return replace(PULL, shoes=(replace(SHOE, **change),))


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({}, "holds"),
        ({"concrete_level_m": 7.01}, "fails"),
        ({"outside_kpa": Span(95, 117, 102.5)}, "holds"),  # 117 / 23.5 = 4.979 m in plain balance at the adverse end
        ({"outside_kpa": Span(95, 118, 102.5)}, "open_range"),  # 5.021 m
        ({"outside_kpa": Span(90, 118)}, "unknown"),
        ({"outside_kpa": None}, "unknown"),
        ({"outside_kpa": point(129.6)}, "fails"),  # 10.8 kN/m3 over 12 m: (129.6 + 15) / 23.5 = 6.15 m
        ({"outside_kpa": point(129.6), "concrete_level_m": 5.84}, "holds"),
        ({"concrete_level_m": 8.0, "over_kpa": point(23.5)}, "holds"),  # fluid on the concrete stands for a metre of it
        ({"concrete_level_m": 8.01, "over_kpa": point(23.5)}, "fails"),
    ],
)
def test_the_balance_at_a_shoe(limits, change, word):
    assert results(at(**change), limits)["pull-balance"] == word


def test_the_handbook_example_without_the_project_margin(limits):
    """(129.6 + 10) / 23.5 = 5.94 m with a margin of 10 kPa; at the adverse end, without any, 5.515 m."""
    check = check_pull_balance(at(outside_kpa=point(129.6)), limits)[0]
    assert check.needed.likely == pytest.approx(5.94 + 5.0 / 23.5, abs=2e-3)
    assert check.needed.adverse == pytest.approx(5.515, abs=1e-3)


@pytest.mark.parametrize(("level", "word"), [(10.476, "holds"), (10.48, "fails")])
def test_five_feet_stay_over_the_shoe(limits, level, word):
    assert results(at(outside_kpa=point(0.0), concrete_level_m=level), limits)["pull-cover"] == word


def test_margin_and_cover_fade_out_at_the_finished_level(limits):
    """A shoe 0.762 m under it has half of each: (5 + 7.5) / 23.5 = 0.532 m and 0.762 m; at the level itself plain balance."""
    near = ShoeAt(8, 0.762, 0.0, point(5.0), point(0.0))
    found = {check.id: check for check in check_pull_balance(replace(PULL, shoes=(near,)), limits)}
    assert found["pull-balance"].needed.likely == pytest.approx(0.532, abs=1e-3)
    assert found["pull-cover"].needed.likely == pytest.approx(0.762)
    last = replace(near, shoe_m=0.0, outside_kpa=point(0.0))
    assert results(replace(PULL, shoes=(last,)), limits)["pull-balance"] == "holds"
    assert results(replace(PULL, shoes=(replace(last, outside_kpa=point(1.0)),)), limits)["pull-balance"] == "fails"


def test_the_worst_shoe_is_kept(limits):
    facts = replace(PULL, shoes=(SHOE, replace(SHOE, stage=8, shoe_m=6.0, concrete_level_m=1.5)))
    check = check_pull_balance(facts, limits)[0]
    assert (check.stage, check.top_m, check.result) == (8, 6.0, "fails")  # 4.5 m against 5.0 m


@pytest.mark.parametrize(
    ("finish", "outside", "word"),
    [
        (2.14, point(20.0), "holds"),  # cut-off at 3.0 m: 0.86 m against 20 / 23.5 = 0.851 m
        (2.16, point(20.0), "fails"),
        (2.14, Span(10, 25, 20), "open_range"),
        (3.0, point(0.0), "holds"),
        (2.14, None, "unknown"),
    ],
)
def test_the_overpour_balances_the_water_at_the_cut_off(limits, finish, outside, word):
    facts = replace(PULL, shoes=(), finish_m=finish, cutoff_m=3.0, cutoff_outside_kpa=outside)
    assert results(facts, limits) == {"pull-balance-cutoff": word}
    assert results(replace(facts, kept=True), limits) == {}


@given(st.floats(0.0, 250.0), st.floats(0.0, 60.0), st.floats(0.0, 11.0))
def test_more_pressure_outside_betters_no_pull(limits, rank, outside, more, level):
    facts = replace(at(outside_kpa=point(outside), concrete_level_m=level), cutoff_outside_kpa=point(outside / 10.0))
    wetter = replace(at(outside_kpa=point(outside + more), concrete_level_m=level), cutoff_outside_kpa=point((outside + more) / 10.0))
    assert rank(check_pull_balance(wetter, limits)) >= rank(check_pull_balance(facts, limits))


def test_the_fade_is_counted_from_the_finished_level(limits):
    """A shoe at 3.0 m over a finished level of 2.238 m is 0.762 m under it: half of 1.524 m."""
    shoe = ShoeAt(8, 3.0, 2.238, point(0.0), point(0.0))
    found = {check.id: check for check in check_pull_balance(replace(PULL, shoes=(shoe,), finish_m=2.238, kept=True), limits)}
    assert found["pull-cover"].needed.likely == pytest.approx(0.762)
    assert found["pull-balance"].needed.likely == pytest.approx(7.5 / 23.5)
