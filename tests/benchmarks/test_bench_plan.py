"""Benchmarks, reported and never asserted: pytest tests/benchmarks --benchmark-only -o addopts=--import-mode=importlib"""

import subprocess
import sys

import pytest

from methodpick.plan.pipeline import plan

CASES = ("twenty-layers", "caving-lens", "stiff-clay-thin")


@pytest.mark.parametrize("name", CASES)
def test_plan_warm(benchmark, site, book, name):
    made = site(name)
    assert benchmark(lambda: plan(made, book)).shafts


def test_rulebook_loads(benchmark):
    from methodpick.engine.load import load_rulebook
    from methodpick.resources import folder

    assert benchmark(lambda: load_rulebook(folder("rules"))).rules


def test_one_slice_is_judged(benchmark, book, site):
    from methodpick.facts.gather import Gatherer
    from methodpick.facts.sheet import Frame

    made = site("caving-lens")
    gatherer = Gatherer(Frame(made.site, made.borings[0], made.shafts[0], book.catalogue, book.tables, book.assumptions, book.values))
    values = gatherer.slices((), {"dry": None})[3].sheet.values()
    assert benchmark(lambda: book.scopes["slice"].judge(values)).on_range


def test_whole_process(benchmark, site_path):
    path = site_path("twenty-layers")
    benchmark.pedantic(lambda: subprocess.run([sys.executable, "-m", "methodpick", "plan", path], capture_output=True, check=True),
                       rounds=5)


def test_importing_the_four_packages_alone(benchmark):
    code = "import typer, pydantic, rich.console, rich.table, yaml"
    benchmark.pedantic(lambda: subprocess.run([sys.executable, "-c", code], check=True), rounds=5)
