"""The rulebook as it stands answers every place of checks.yaml and every plan worked by hand as expected."""

import runpy
from pathlib import Path

import pytest

from methodpick.engine.load import load_rulebook
from methodpick.resources import folder

MADE = runpy.run_path(str(Path(__file__).parents[1] / "kill_rules.py"))
BOOK = load_rulebook(folder("rules"))


@pytest.mark.parametrize(("what", "values", "check"), MADE["places"](BOOK), ids=lambda part: part if isinstance(part, str) else "")
def test_a_place_is_judged_as_expected(what, values, check):
    assert list(MADE["failures"](BOOK, what, values, check)) == []


@pytest.mark.parametrize("check", MADE["plan_checks"](), ids=lambda check: check.__name__)
def test_a_plan_is_as_worked_by_hand(check):
    check(BOOK)


def test_a_rule_deleted_and_a_limit_moved_are_noticed():
    checks, plans = MADE["places"](BOOK), MADE["plan_checks"]()
    changed = dict(MADE["mutants"](BOOK))
    for said in ("rule granular-below-water-flows deleted", "limit overload_cap x 1.2", "limit tremie_embedment_m x 0.8"):
        assert MADE["killed"](changed[said], checks, plans) is not None, said


def test_checks_name_only_rules_that_exist():
    known = {rule.id for rule in BOOK.rules}
    for _, _, check in MADE["places"](BOOK):
        for key in ("warns", "quiet", "asks", "silent"):
            assert set(check.get(key, ())) <= known, check["what"]
