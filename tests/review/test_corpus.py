"""Every plan of the examples, the sites of the tests and the published cases verifies."""

from pathlib import Path

import pytest
from sites import numbered_site
from written_plan import verify_plan

from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.resources import folder

TESTS = Path(__file__).parents[1]
EXAMPLES, SITES = (
    sorted(path.stem for path in home.glob("*.yaml") if path.stem != "viaduct") for home in (folder("profiles"), TESTS / "sites")
)
CASES = sorted(path.stem for path in (TESTS / "published" / "cases").glob("*.yaml") if path.name != "built.yaml")
FIRST = 3
"""So many sites of the tests, as many published cases, and one generated site are verified by the plain test command."""


def some_later(names, first):
    """Leave all but the first of some names to ``.ci/run``."""
    later = pytest.mark.ci_only("verifies more plans of the same sort")
    return [name if index < first else pytest.param(name, marks=later) for index, name in enumerate(names)]


@pytest.mark.parametrize(
    "name", [*EXAMPLES, *some_later(SITES, FIRST), pytest.param("viaduct", marks=pytest.mark.ci_only("verifies sixty shafts"))]
)
def test_examples_verify(name, planned, site, book):
    assert [str(found) for found in verify_plan(planned(name), site(name), book)] == []


@pytest.mark.parametrize("name", some_later(CASES, FIRST))
def test_published_cases_verify(name, book):
    case = read_site(TESTS / "published" / "cases" / f"{name}.yaml")[0]
    assert [str(found) for found in verify_plan(plan(case, book), case, book)] == []


JOBS = sorted({f"{path.parent.name}/{path.stem}" for path in (TESTS / "jobs").glob("*/*.yaml")} - {"third/karst-with-clay-slots"})
JOBS = [name for name in JOBS if not name.endswith("/labels")]


@pytest.mark.parametrize("name", ["third/karst-with-clay-slots", *some_later(JOBS, 0)])
def test_invented_jobs_verify(name, book):
    """The first is opened by casing that is wider than the yard has."""
    made = read_site(TESTS / "jobs" / f"{name}.yaml")[0]
    assert [str(found) for found in verify_plan(plan(made, book), made, book)] == []


def test_a_plan_without_assumptions_verifies(site, book):
    made = plan(site("caving-lens"), book, assumptions=False)
    assert [str(found) for found in verify_plan(made, site("caving-lens"), book)] == []


def test_another_site_is_a_contradiction(planned, site, book):
    found = verify_plan(planned("caving-lens"), site("stiff-clay"), book)
    assert found
    assert all(contradiction.what.startswith("site.") for contradiction in found)


@pytest.mark.parametrize("number", some_later([4, 8, 10, 22, 24, 36], FIRST // 3))
def test_generated_sites_that_once_did_not_verify(number, book):
    made = read_site(numbered_site(12, number).text, f"{number}.yaml")[0]
    assert [str(found) for found in verify_plan(plan(made, book), made, book)] == []


SHORT_LOG = """methodpick: 1
site: {units: si, allowed: [dry, slurry], drilling_grade: {above_ground: 0.5}, surcharge: 24}
borings:
  - id: B-1
    depth: 8
    cave_in_depth: 2.9
    water: [{reading: settled, depth: 3.3}]
    layers: [{top: 0, base: 8, description: "very stiff brown sandy clay", symbol: CL, features: [fissured], unit_weight: 19.9}]
    spt: [{depth: 1.5, n: 34}, {depth: 3, n: 24}, {depth: 4.5, n: 33}, {depth: 6, n: 23}]
shafts: [{id: P1, diameter: 3000, tip: 12.8, bearing: side}]
"""


def test_what_a_cautious_plan_hangs_on_is_proved_as_the_plan_is_poured(book):
    """Below the end of the log nothing is decided, so that the pour is planned wet, and the hole stays open for its tremie."""
    short = read_site(SHORT_LOG, "short.yaml")[0]
    made = plan(short, book)
    assert made.shafts[0].other_ways.cautious is not None
    assert [str(found) for found in verify_plan(made, short, book)] == []
