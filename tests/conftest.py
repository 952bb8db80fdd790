"""What many tests share: the shipped rulebook, the example sites and their plans."""

from functools import cache
from pathlib import Path

import pytest
from effort import register_profiles
from shipped import shipped_rulebook

from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.plan.result import InputStamp
from methodpick.resources import folder
from methodpick.site.planning import plan_site
from methodpick.site.site_takeoff import take_off
from methodpick.verify import verify_plan

HERE = Path(__file__).parent
SHARED = 10
"""Sites with more shafts are planned as the command line plans them, with a plan for all shafts alike."""
register_profiles()


_book = shipped_rulebook


def _path(name):
    return next(path for path in (folder("profiles") / f"{name}.yaml", HERE / "sites" / f"{name}.yaml") if path.exists())


@cache
def _site(name):
    return read_site(_path(name))[0]


@cache
def _planned(name):
    if len(_site(name).shafts) > SHARED:
        return _planned_site(name).plan
    made = plan(_site(name), _book(), path=f"{name}.yaml", digest="0" * 64)
    assert [str(found) for found in verify_plan(made, _site(name), _book())] == []
    return made


@cache
def _planned_site(name):
    return plan_site(_site(name), _book(), stamp=InputStamp(f"{name}.yaml", "0" * 64))


@cache
def _takeoff(name):
    return take_off(_site(name), _planned_site(name), _book())


def pytest_addoption(parser):
    parser.addoption("--ci", action="store_true", help="run also the tests that only .ci/run runs")


def pytest_collection_modifyitems(config, items):
    """Skip, with its reason, what only ``.ci/run`` runs."""
    for item in items:
        marker = item.get_closest_marker("ci_only")
        if marker is not None and not config.getoption("--ci"):
            item.add_marker(pytest.mark.skip(reason=f"left to .ci/run: {marker.args[0]}"))


@pytest.fixture(scope="session")
def book():
    return _book()


@pytest.fixture(scope="session")
def site_path():
    return _path


@pytest.fixture(scope="session")
def site():
    return _site


@pytest.fixture(scope="session")
def planned():
    return _planned


@pytest.fixture(scope="session")
def planned_site():
    """Plan a site by name: every shaft with the borings that decide for it."""
    return _planned_site


@pytest.fixture(scope="session")
def takeoff():
    """Take off a planned site by name."""
    return _takeoff


@pytest.fixture(scope="session")
def read_text():
    """Read a site written in a test."""
    return lambda text: read_site(text, "test.yaml")[0]


@pytest.fixture(scope="session")
def empty_window(planned, site, book):
    """Return a plan whose fluid has an empty window, as no search plans it: the water of the artesian example 0.6 m higher."""
    from dataclasses import replace

    from methodpick.plan.fluid.window import HeldLength
    from methodpick.plan.plan_context import PlanBasis, PlanContext

    plan, low = planned("artesian-deep"), site("artesian-deep")
    boring = low.borings[0]
    higher = boring.model_copy(update={"water": tuple(reading.model_copy(update={"depth_m": -2.3}) for reading in boring.water)})
    basis = PlanBasis(low.model_copy(update={"borings": (higher,)}), book, book.assumptions)
    context = PlanContext(basis, higher, low.shafts[0])
    slurry = HeldLength(context.ground, "polymer", (2.7, 50.0), context.levels).slurry
    return replace(plan, shafts=(replace(plan.shafts[0], slurry=slurry),))
