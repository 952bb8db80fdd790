"""The text of JSON is what the library writes with an indent of 1, letter by letter."""

import json
from math import inf, nan

import pytest

from methodpick.formats.json import _encoded, _written

TREES = (
    {},
    [],
    "",
    None,
    -0.0,
    {"a": {}, "b": [], "c": [[], {}], "d": {"e": [1, 2.5, True, False, None]}},
    ['a "quote"', "back\\slash", "line\nend", "tab\t", "½ × é", "\u2028", "\x00"],
    {'key "quoted"': 1e22, "small": 1e-7, "whole": 3.0, "many": 10**20},
    [{"a": [{"b": ["c"]}]}, (1, (2, 3))],
)  # fmt: skip


@pytest.mark.parametrize("tree", TREES)
def test_a_tree_is_written_as_the_library_writes_it(tree):
    assert _encoded(tree, "\n") == json.dumps(tree, ensure_ascii=False, indent=1)


@pytest.mark.parametrize("number", [nan, inf, -inf])
def test_no_number_that_json_lacks_is_written(number):
    with pytest.raises(ValueError, match="not JSON compliant"):
        _encoded([number], "\n")


def test_values_of_a_record_are_written_rounded_in_si_and_without_infinity():
    value = {"stage": 3, "kept": True, "drop": -0.0000001, "end": inf, "rows": [(1.23456789, None), ()], "text": "at ⟦2.0|m⟧"}
    tree = {"stage": 3, "kept": True, "drop": 0.0, "end": None, "rows": [[1.234568, None], []], "text": "at 2.00 m"}
    assert _written(value, "\n") == json.dumps(tree, ensure_ascii=False, indent=1)
