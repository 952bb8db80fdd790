from time import perf_counter

import pytest

from methodpick.engine.grammar import ExpressionError, parse
from methodpick.engine.tree import Both, Compare, Not, Within
from methodpick.vocabulary.catalogue import Catalogue, FactSpec
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import EITHER, Choice, Span

SOILS = ("sand", "clay", "rock")
CATALOGUE = Catalogue({
    "head_m": FactSpec("head_m", "number", "m", Span(0, 60), (), 0.1, "slice", "logged", "", "", False),
    "su_kpa": FactSpec("su_kpa", "number", "kPa", Span(0, 500), (), 5, "slice", "logged", "", "", False),
    "soil": FactSpec("soil", "enum", "1", Choice(frozenset(SOILS)), SOILS, 0, "slice", "logged", "", "", False),
    "wet": FactSpec("wet", "boolean", "1", EITHER, ("no", "yes"), 0, "slice", "logged", "", "", False),
})
LIMITS = {"head_least_m": Limit("head_least_m", 1.5, "m", "own", "", "", "own", "")}


def read(text):
    return parse(text, CATALOGUE, LIMITS)


def test_a_condition_becomes_a_tree_with_its_limits_inside():
    tree = read("soil in {sand, clay} and head_m > head_least_m and not wet")
    assert isinstance(tree, Both)
    assert tree.parts[0] == Within("soil", frozenset({"sand", "clay"}), "soil in {sand, clay}")
    assert isinstance(tree.parts[1], Compare)
    assert tree.parts[1].right.value == 1.5
    assert isinstance(tree.parts[2], Not)


def test_chains_are_conjunctions():
    assert isinstance(read("0 < head_m <= head_least_m"), Both)


@pytest.mark.parametrize(("text", "said", "offset"), [
    ("soil == gravle", "'gravle' is not a value of 'soil'", 8),
    ("haed_m > 0", "no fact and no limit is called 'haed_m'", 0),
    ("head_m > su_kpa", "head_m is in m, su_kpa in kPa", 9),
    ("head_m > 3", "head_m is in m, 3 in 1", 9),
    ("head_m == 0", "numbers are compared with < <= > >= only", 10),
    ("head_m + su_kpa > 0", "m and kPa cannot be added", 0),
    ("head_m.real > 0", "not allowed", 0),
    ("__import__('os') > 0", "only min", 0),
    ("wet == maybe", "'maybe' is not a value of 'wet'", 7),
    ("lambda: 1", "not allowed in a condition", 0),
    ("head_m > ", "this is not a condition", 8),
    ("[x for x in soil]", "not allowed", 0),
    ("head_m", "not a yes/no fact", 0),
    ("soil < 3", "compared with ==, != or in", 7),
])
def test_what_is_wrong_is_said_with_its_place(text, said, offset):
    with pytest.raises(ExpressionError) as found:
        read(text)
    assert said in found.value.message
    assert found.value.offset == offset


@pytest.mark.parametrize("text", [
    "(" * 250 + "wet" + ")" * 250, "-" * 390 + "head_m > 0", " or ".join(["wet"] * 5000), "not " * 99 + "wet and",
    "wet" + " " * 500, "head_m > 1e400", "9**9**9 > 0",
])
def test_hostile_conditions_are_refused_at_once(text):
    start = perf_counter()
    with pytest.raises(ExpressionError):
        read(text)
    assert perf_counter() - start < 1.0


def test_misspelling_gets_a_hint():
    with pytest.raises(ExpressionError) as found:
        read("soil == snad")
    assert found.value.hint == "did you mean 'sand'?"
