"""A page never contradicts itself: what is said to hold has at least what it needs."""

import pytest


@pytest.mark.parametrize("name", ["caving-lens", "karst", "river-crossing", "artesian-sand", "saturated-sand", "stiff-clay", "boulders"])
def test_what_holds_has_no_negative_margin(name, planned):
    checks = [check for shaft in planned(name).shafts for check in shaft.checks if check.result == "holds"]
    assert checks
    wrong = [
        (check.id, check.stage, check.margin.likely) for check in checks if check.margin.likely is not None and check.margin.likely < 0
    ]
    assert wrong == []
