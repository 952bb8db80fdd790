"""What is registered decides: every formula is called while the example and published sites are planned, or waits for named work."""

import ast
from pathlib import Path

import pytest
from measure_house import nodes, sources

import methodpick
from methodpick.imports.site_file import read_site
from methodpick.mechanics.registry import all_formulas
from methodpick.plan.pipeline import plan
from methodpick.resources import folder

TESTS = Path(__file__).parents[1]
TELLING = (
    *("lid-counted", "R05", "cobbles-thin", "karst", "D07"),
    *("driven-beside-a-house", "stiff-clay", "B20", "vibrated-by-a-shed", "T04", "clay-with-cone", "sand-with-cone"),
)
"""Sites that call every formula between them: they are planned first, and the others only where one is still missing."""
SITES = sorted(
    (
        *folder("profiles").glob("*.yaml"),
        *(TESTS / "sites").glob("*.yaml"),
        *(path for path in (TESTS / "published" / "cases").glob("*.yaml") if path.name != "built.yaml"),
    ),
    key=lambda path: (path.stem not in TELLING, path.stem),
)
FORMULAS = all_formulas()
WAITING = {name for name, record in FORMULAS.items() if record.waits_for}


def note_first_call(record, found):
    """Let a formula note its name when it is first called; from then on it is as it was, and costs no more."""

    def noted(*args, **kwargs):
        record.call.__code__ = record.code
        found.add(record.name)
        return record.call(*args, **kwargs)

    made = {}
    exec(f"def stand_in(*args, **kwargs): return noted_{record.name}(*args, **kwargs)", made)  # noqa: S102 - the names are those of the register
    record.call.__globals__[f"noted_{record.name}"] = noted
    record.call.__code__ = made["stand_in"].__code__


@pytest.fixture(scope="module")
def reached(book):
    """Return the names of the formulas that were called while one shaft of each site was planned, until all were."""
    found = set()
    for record in FORMULAS.values():
        note_first_call(record, found)
    try:
        for path in SITES:
            site = read_site(path)[0]
            plan(site, book, shafts=[site.shafts[0].id])
            if FORMULAS.keys() - found <= WAITING:
                break
    finally:
        for record in FORMULAS.values():
            record.call.__code__ = record.code
            record.call.__globals__.pop(f"noted_{record.name}")
    return found


def test_every_formula_is_called_by_the_planner(reached):
    idle = sorted(set(FORMULAS) - reached - WAITING)
    assert not idle, f"nothing calls {', '.join(idle)} while planning: call them in facts/ or plan/ where they decide, or say waits_for"


def test_nothing_that_waits_is_called_already(reached):
    """What was planned tells of a few sites; the code tells of all: only the proofs, which wait themselves, name a waiting formula."""
    assert reached & WAITING == set()
    if not WAITING:
        return
    package = Path(methodpick.__file__).parent
    for path, tree in ((path, tree) for path, tree in sources(package.parent).values() if path.parent.name != "checks"):
        for node in nodes(tree):
            if isinstance(node, ast.FunctionDef) and node.name in WAITING:
                continue
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("methodpick.mechanics."):
                assert {each.name for each in node.names} & WAITING == set(), path
            if isinstance(node, ast.FunctionDef) and node.name not in WAITING:
                called = {each.func.id for each in ast.walk(node) if isinstance(each, ast.Call) and isinstance(each.func, ast.Name)}
                assert called & WAITING == set(), f"{path}: {node.name}"


def test_every_formula_has_a_value_from_outside():
    """The modules of tests/published import each formula, to hold it to a value that somebody else worked out."""
    held = {
        each.name
        for path in (TESTS / "published").glob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
        for each in node.names
    }
    missing = sorted(set(FORMULAS) - held)
    assert not missing, f"tests/published holds no value of {', '.join(missing)}"


def test_what_a_formula_waits_for_is_said_in_words():
    for name in WAITING:
        assert len(FORMULAS[name].waits_for.split()) >= 4, name
