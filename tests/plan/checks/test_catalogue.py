"""Every proof is in the catalogue, defined in a sentence, and names rules and limits that exist."""

import ast
from importlib import import_module
from pathlib import Path

import pytest

import methodpick.plan.checks as package
from methodpick.mechanics.registry import all_formulas
from methodpick.plan.checks.catalogue import CATALOGUE, definition
from methodpick.plan.checks.definition import Definition
from methodpick.terms import CASING_WAYS, STATES

FOLDER = Path(package.__file__).parent
FRAME = {"__init__", "catalogue", "definition", "inputs", "proof", "record"}
"""Files that hold no proof: what all proofs share."""
PROOFS = sorted(path.stem for path in FOLDER.glob("*.py") if path.stem not in FRAME)
TESTS = Path(__file__).parent
OTHER = {"pull_out", "bare_concrete", "dry_placement", "pour", "bell", "string", "predrilled_casing", "rig", "shaft"}


@pytest.mark.parametrize("name", PROOFS)
def test_every_definition_of_a_file_is_in_the_catalogue(name):
    module = import_module(f"methodpick.plan.checks.{name}")
    tree = ast.parse((FOLDER / f"{name}.py").read_text(encoding="utf-8"))
    made = [
        node.targets[0].id
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(getattr(module, node.targets[0].id), Definition)
    ]
    assert made
    assert all(getattr(module, constant) in CATALOGUE for constant in made)
    assert any(constant.startswith(("check_", "compare_")) for constant in vars(module))


@pytest.mark.parametrize("name", PROOFS)
def test_every_file_has_its_own_tests(name):
    assert (TESTS / f"test_{name}.py").exists()


@pytest.mark.parametrize("proof", CATALOGUE, ids=lambda proof: proof.id)
def test_a_definition_is_whole(proof, book):
    assert definition(proof.id) is proof
    assert proof.title[0].isupper()
    assert proof.sentence.endswith(".")
    assert len(proof.sentence) > 30
    assert proof.bars
    assert set(proof.bars) <= {*STATES, *CASING_WAYS} | OTHER
    if proof.rule is not None:
        assert proof.rule in {rule.id for rule in book.rules}


def test_ids_are_used_once():
    assert len({proof.id for proof in CATALOGUE}) == len(CATALOGUE)
    with pytest.raises(KeyError):
        definition("no-such-proof")


def test_life_hangs_on_the_proofs_that_the_definitions_name():
    """Emptied seal, base, head of fluid, balance of a pull; the platform under the plant and the pick over people, which kill."""
    assert {proof.id for proof in CATALOGUE if proof.life} == {
        "emptied-seal-soil",
        "emptied-seal-length",
        "emptied-seal-strength",
        "emptied-seal-whole",
        "base-failure",
        "starter-shoe",
        "pull-balance",
        "pull-balance-cutoff",
        "platform-bearing",
        "pick",
        "artesian-stick-up",
        "artesian-lid",
        "artesian-seat",
    }


def test_formulas_and_limits_that_proofs_name_exist(book):
    formulas = all_formulas()
    for name in PROOFS:
        tree = ast.parse((FOLDER / f"{name}.py").read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.keyword) and node.arg == "formula":
                words = [part.value for part in ast.walk(node.value) if isinstance(part, ast.Constant) and isinstance(part.value, str)]
                assert all(word in formulas for word in words), (name, words)
            if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id == "limits":
                keys = [part.value for part in ast.walk(node.slice) if isinstance(part, ast.Constant) and isinstance(part.value, str)]
                if not isinstance(node.slice, ast.JoinedStr):
                    assert all(key in book.limits for key in keys), (name, keys)
