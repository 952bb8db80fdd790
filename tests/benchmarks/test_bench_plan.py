"""Benchmarks, reported and never asserted: pytest tests/benchmarks --benchmark-only -o addopts=--import-mode=importlib"""

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


SIXTY = """methodpick: 1
site: {units: si, equipment: {kelly_twist: true, oscillator: true}}
borings:
  - id: B
    depth: 75
    water: [{reading: settled, depth: 3, after: 24 h}]
    layers:
LAYERS
shafts: [{id: S, boring: B, diameter: 1500, tip: 60}]
"""
GROUNDS = (
    'description: "stiff clay", symbol: CL, su: 90',
    'description: "medium dense sand", symbol: SP, fines: 3 %',
    'description: "firm silt", symbol: ML, su: 60',
    'description: "dense silty sand", symbol: SM',
    'description: "very stiff clay", symbol: CH, su: 180',
)


def sixty():
    """A shaft of 60 m through 25 layers of 2.4 m and one below."""
    layers = [f"      - {{top: {2.4 * index:.1f}, base: {2.4 * (index + 1):.1f}, {GROUNDS[index % 5]}}}" for index in range(25)]
    layers.append('      - {top: 60.0, base: 75, description: "very stiff clay", symbol: CH, su: 200}')
    return SIXTY.replace("LAYERS", "\n".join(layers))


def test_search_of_60_m_25_layers_three_strings(benchmark, read_text, book):
    from methodpick.plan.pipeline import planning_basis
    from methodpick.plan.plan_context import PlanContext
    from methodpick.plan.sequence.families import PathProofs, ShaftSearches

    made = read_text(sixty())
    context = PlanContext(planning_basis(made, book), made.borings[0], made.shafts[0])
    assert context.search_input.options.most_strings == 3
    assert benchmark(lambda: ShaftSearches(context.search_input, PathProofs(context.objections_to, context.is_proven)).best()) is not None


def test_plan_of_60_m_25_layers_warm(benchmark, read_text, book):
    made = read_text(sixty())
    assert benchmark(lambda: plan(made, book)).shafts
