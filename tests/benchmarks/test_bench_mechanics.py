"""Benchmarks of the formulas, reported and never asserted; how to run them stands in DEVELOPERS.md."""

import pytest

from methodpick.mechanics.active import layered_pressure
from methodpick.mechanics.catalogue import all_formulas

FORMULAS = all_formulas()


@pytest.mark.parametrize(
    "name", ["cylinder_pressure", "cohesion_needed", "collapse_limit", "radial_inflow", "oval_collapse_pressure", "cone_pressure"]
)
def test_one_formula(benchmark, name):
    record = FORMULAS[name]
    arguments = record.example[0]
    assert benchmark(lambda: record.call(**arguments)) is not None


def test_all_formulas_once(benchmark):
    assert benchmark(lambda: [record.call(**record.example[0]) for record in FORMULAS.values()])


def test_layered_pressure_of_a_60_m_shaft_at_every_metre(benchmark):
    """Twelve steps are within 1e-4 of the closed form; see tests/laws/test_mechanics_laws.py."""

    def profile():
        return [layered_pressure(float(depth), 1.2, lambda z: 18.0 if z < 3 else 9.0, 33.0, hoop=0.45, steps=12) for depth in range(1, 61)]

    assert len(benchmark(profile)) == 60
