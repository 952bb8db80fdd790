"""Benchmarks of the formulas, reported and never asserted; how to run them stands in DEVELOPERS.md."""

import pytest

from methodpick.mechanics.registry import all_formulas

FORMULAS = all_formulas()


@pytest.mark.parametrize("name", ["cylinder_pressure", "cohesion_needed", "collapse_limit", "radial_inflow", "oval_collapse_pressure"])
def test_one_formula(benchmark, name):
    record = FORMULAS[name]
    arguments = record.example[0]
    assert benchmark(lambda: record.call(**arguments)) is not None


def test_all_formulas_once(benchmark):
    assert benchmark(lambda: [record.call(**record.example[0]) for record in FORMULAS.values()])
