"""A page never contradicts itself: what is said to hold has at least what it needs."""

import pytest

from methodpick.plan.proving.prove import NOT_ASKED


@pytest.mark.parametrize("name", ["caving-lens", "karst", "river-crossing", "artesian-sand", "saturated-sand", "stiff-clay", "boulders"])
def test_what_holds_has_no_negative_margin(name, planned):
    checks = [check for shaft in planned(name).shafts for check in shaft.checks if check.result == "holds"]
    assert checks
    wrong = [
        (check.id, check.stage, check.margin.likely) for check in checks if check.margin.likely is not None and check.margin.likely < 0
    ]
    assert wrong == []


@pytest.mark.parametrize("name", ["caving-lens", "karst", "river-crossing", "artesian-sand", "saturated-sand", "stiff-clay", "boulders"])
def test_what_holds_though_its_number_is_short_at_worst_says_why(name, planned):
    checks = [check for shaft in planned(name).shafts for check in shaft.checks if check.result == "holds"]
    short = {check.id for check in checks if check.margin.adverse is not None and check.margin.adverse < 0}
    said = {check.id for check in checks if check.what.endswith(NOT_ASKED)}
    assert said == short


def test_a_rule_about_water_under_pressure_is_silent_where_no_water_is_met_under_it(planned):
    (shaft,) = planned("karst").shafts[:1]
    assert any(check.id == "water-under-pressure-floods-dry-hole" and check.what.endswith(NOT_ASKED) for check in shaft.checks)
