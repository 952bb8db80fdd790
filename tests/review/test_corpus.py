"""Every plan of the examples, the sites of the tests and the published cases verifies."""

from pathlib import Path

import pytest

from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.resources import folder
from methodpick.verify import verify_plan

TESTS = Path(__file__).parents[1]
EXAMPLES = sorted(path.stem for home in (folder("profiles"), TESTS / "sites") for path in home.glob("*.yaml"))
CASES = sorted(path.stem for path in (TESTS / "published" / "cases").glob("*.yaml") if path.name != "built.yaml")


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_verify(name, planned, site, book):
    assert [str(found) for found in verify_plan(planned(name), site(name), book)] == []


@pytest.mark.parametrize("name", CASES)
def test_published_cases_verify(name, book):
    case = read_site(TESTS / "published" / "cases" / f"{name}.yaml")[0]
    assert [str(found) for found in verify_plan(plan(case, book), case, book)] == []


def test_a_plan_without_assumptions_verifies(site, book):
    made = plan(site("caving-lens"), book, assumptions=False)
    assert [str(found) for found in verify_plan(made, site("caving-lens"), book)] == []


def test_another_site_is_a_contradiction(planned, site, book):
    found = verify_plan(planned("caving-lens"), site("stiff-clay"), book)
    assert found
    assert all(contradiction.what.startswith("site.") for contradiction in found)
