"""What many tests share: the shipped rulebook, the example sites and their plans."""

import gc
import os

import pytest
from effort import register_profiles
from shared_plans import path_of, plan_of, site_of, site_plan_of, takeoff_of
from shipped import shipped_rulebook

from methodpick.imports.site_file import read_site
from methodpick.vocabulary.trade_sizes import TradeSizes

GARBAGE = 50_000
"""So many new objects call the garbage collector; some hundred, as usual, call it all the time where many plans are kept."""
register_profiles()
os.environ["METHODPICK_CACHE"] = "off"  # also in the processes that tests start: what one keeps must not decide another


def pytest_configure():
    gc.set_threshold(GARBAGE)


def pytest_collection_finish():
    """Let the garbage collector pass over the tests and the package, which stay: looking through them took a sixth of all the time."""
    gc.collect()
    gc.freeze()


TOGETHER = {
    "the package": ("methodpick/", "tests/house/", "tests/mechanics/test_reached.py", "tests/generated/test_mutate_planner.py"),
    "the viaduct": (
        "tests/cli/test_takeoff.py",
        "tests/document/test_answer.py",
        "tests/document/test_checks.py",
        "tests/document/test_report.py",
        "tests/document/test_said_once.py",
        "tests/document/test_ways_of_working.py",
        "tests/document/test_words.py",
        "tests/drawings/",
        "tests/formats/test_html.py",
        "tests/formats/test_pdf.py",
        "tests/formats/test_workbook_print.py",
        "tests/plan/other_ways/",
        "tests/review/test_changed_plans.py",
        "tests/site/",
        "tests/tables/",
    ),
}
"""Tests that read every module of the package, and tests that plan the example of sixty shafts: each lot runs in one worker, for the
other would have to do the same work again. Every other file is on its own, and goes to the worker that is free."""


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Hand out whole files, and the lots of ``TOGETHER``, to the workers."""
    if config.getvalue("dist") != "loadfile":
        return None
    from xdist.scheduler import LoadFileScheduling

    class LotScheduling(LoadFileScheduling):
        def _split_scope(self, nodeid):
            return next((lot for lot, begins in TOGETHER.items() if nodeid.startswith(begins)), super()._split_scope(nodeid))

    return LotScheduling(config, log)


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
    return shipped_rulebook()


@pytest.fixture(scope="session")
def trade_sizes(book):
    """Return the function from the units of a site to the sizes on its market."""
    return lambda units: TradeSizes(units, book.values, book.sizes)


@pytest.fixture(scope="session")
def site_path():
    return path_of


@pytest.fixture(scope="session")
def site():
    return site_of


@pytest.fixture(scope="session")
def planned():
    return plan_of


@pytest.fixture(scope="session")
def planned_site():
    """Plan a site by name: every shaft with the borings that decide for it."""
    return site_plan_of


@pytest.fixture(scope="session")
def takeoff():
    """Take off a planned site by name."""
    return takeoff_of


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
    return replace(plan, shafts=(replace(plan.shafts[0], slurry=slurry, slurries=(slurry,)),))
