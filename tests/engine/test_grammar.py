import pytest

from methodpick.engine.compiler import FALSE, OPEN, TRUE, Program
from methodpick.engine.grammar import ExpressionError, parse
from methodpick.engine.interpret import truth
from methodpick.engine.rule import Both, Compare, Not, Within
from methodpick.vocabulary.catalogue import Catalogue, FactSpec
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import EITHER, Choice, Span

SOILS = ("sand", "clay", "rock")
CATALOGUE = Catalogue(
    {
        "head_m": FactSpec("head_m", "number", "m", Span(0, 60), (), 0.1, "slice", "logged", "", "", False),
        "su_kpa": FactSpec("su_kpa", "number", "kPa", Span(0, 500), (), 5, "slice", "logged", "", "", False),
        "soil": FactSpec("soil", "enum", "1", Choice(frozenset(SOILS)), SOILS, 0, "slice", "logged", "", "", False),
        "share": FactSpec("share", "number", "1", Span(-2, 9), (), 0.1, "slice", "logged", "", "", False),
        "wet": FactSpec("wet", "boolean", "1", EITHER, ("no", "yes"), 0, "slice", "logged", "", "", False),
    }
)
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


@pytest.mark.parametrize(
    ("text", "said", "offset"),
    [
        ("soil == gravle", "'gravle' is not a value of 'soil'", 8),
        ("haed_m > 0", "no fact and no limit is called 'haed_m'", 0),
        ("head_m > su_kpa", "head_m is in m, su_kpa in kPa", 9),
        ("head_m > 3", "head_m is in m, 3 in 1", 9),
        ("head_m == 0", "numbers are compared with < <= > >= only", 10),
        ("head_m + su_kpa > 0", "m and kPa cannot be added", 0),
        ("head_m.real > 0", "not allowed", 0),
        ("__import__('os') > 0", "the sign ' has no meaning", 11),
        ("__import__(os) > 0", "only min", 0),
        ("soil == 'clay'", "the sign ' has no meaning", 8),
        ("wet # and not really", "the sign # has no meaning", 4),
        ("\uff57et", "has no meaning", 0),
        ("0or wet", "'0or' is no number", 0),
        ("0 < 0x10", "'0x10' is no number", 4),
        ("0 < 1_000", "'1_000' is no number", 4),
        ("wet is wet", "compared with ==, != or in", 7),
        ("min(*head_m) > 0", "only min", 0),
        ("max(head_m, head_m, key=wet) > 0", "only min", 0),
        ("head_m // head_m > 0", "not allowed", 0),
        ("head_m ** 2 > 0", "not allowed", 0),
        ("soil in {*soil}", "a word is expected", 9),
        ("True", "not allowed", 0),
        ("wet == maybe", "'maybe' is not a value of 'wet'", 7),
        ("wet if wet else wet", "not allowed in a condition", 0),
        ("head_m > ", "this is not a condition", 8),
        ("(x for x in soil)", "not allowed", 0),
        ("head_m", "not a yes/no fact", 0),
        ("soil < 3", "compared with ==, != or in", 7),
    ],
)
def test_what_is_wrong_is_said_with_its_place(text, said, offset):
    with pytest.raises(ExpressionError) as found:
        read(text)
    assert said in found.value.message
    assert found.value.offset == offset


@pytest.mark.parametrize(
    "text",
    [
        "(" * 250 + "wet" + ")" * 250,
        "-" * 390 + "head_m > 0",
        " or ".join(["wet"] * 5000),
        "not " * 99 + "wet and",
        "wet" + " " * 500,
        "head_m > 1e400",
        "9**9**9 > 0",
    ],
)
def test_hostile_conditions_are_refused(text):
    with pytest.raises(ExpressionError):
        read(text)


@pytest.mark.parametrize(
    "text",
    [
        "*".join(["share"] * 50) + " > 0",
        "/".join(["share"] * 50) + " > 0",
        "abs(" * 55 + "share" + ")" * 55 + " > 0",
        "+".join(["share"] * 50) + " > 0",
        "min(" * 30 + "share" + ", share)" * 30 + " > 0",
        "not " * 90 + "wet",
        "wet and (wet or (" * 18 + "wet" + "))" * 18,
    ],
)
def test_no_condition_that_is_read_is_costly_to_compile_or_run(text):
    """The code printed for a product of n factors grew as 2^n once: fifty factors would never end."""
    program = Program([read(text)], CATALOGUE)
    for values in ({}, {"share": Span(0.5, 0.5), "wet": Choice(frozenset({"yes"}))}):
        assert program.truth(program.judge(values)[0], 0) == truth(read(text), values, CATALOGUE)


@pytest.mark.parametrize(
    ("text", "value", "result"),
    [
        ("share * share <= 0.25", Span(0.5, 0.5), TRUE),
        ("share * share > 1", Span(-2, 0.5), OPEN),
        ("1 / share > 1", Span(0, 0.5), OPEN),
        ("1 / share > 1", Span(0.25, 0.5), TRUE),
        ("abs(share) >= 0", Span(-1, 2), TRUE),
        ("abs(share) < 2", Span(-2, 1), OPEN),
        ("-share < 0", Span(0.1, 2), TRUE),
        ("min(share, 1) > 1", Span(0, 9), FALSE),
        ("max(share, 1) < 1", Span(0, 9), FALSE),
        ("share - share <= 0", Span(0, 1), OPEN),
        ("2 - share > 1.5", Span(0, 0.25), TRUE),
    ],
)
def test_arithmetic_on_ranges(text, value, result):
    """By hand from the ends of the ranges (interval arithmetic after Moore 1966)."""
    program = Program([read(text)], CATALOGUE)
    assert program.truth(program.judge({"share": value})[0], 0) == result
    assert truth(read(text), {"share": value}, CATALOGUE) == result


def test_numbers_beyond_floats_are_open_not_wrong():
    text = "*".join(["share"] * 40) + " > 1"
    wide = Catalogue({"share": FactSpec("share", "number", "1", Span(0, 1e15), (), 1, "slice", "logged", "", "", False)})
    program = Program([parse(text, wide, {})], wide)
    assert program.truth(program.judge({"share": Span(1e15, 1e15)})[0], 0) == OPEN


def test_units_of_products_and_quotients():
    assert read("head_m / head_m < 1")
    assert read("head_m * share < head_least_m")
    assert read("head_m * su_kpa > 0")
    with pytest.raises(ExpressionError, match="head_m / share is in m, 1 in 1"):
        read("head_m / share < 1")
    with pytest.raises(ExpressionError, match="different units"):
        read("min(head_m, su_kpa) > 0")


def test_misspelling_gets_a_hint():
    with pytest.raises(ExpressionError) as found:
        read("soil == snad")
    assert found.value.hint == "did you mean 'sand'?"
