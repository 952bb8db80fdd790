"""The bits of rules: pieces of a number line, lists of members."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.engine.compiler import Layout, Listing, NumberRange, WordColumn, number_ranges
from methodpick.engine.rule import Both, Compare, Either, FactRef, Number, Within
from methodpick.vocabulary.catalogue import FactSpec
from methodpick.vocabulary.values import Choice

SOIL = FactSpec("soil", "enum", "1", Choice(frozenset({"sand", "clay"})), ("sand", "clay"), 0, "slice", "logged", "", "", False)


def level(op, limit):
    return Compare(op, FactRef("x"), Number(limit), "")


def laid_out(*conditions, points=False):
    layout = Layout(points=points)
    layout.add(conditions)
    return layout


def test_a_line_is_cut_where_bits_change_and_nowhere_else():
    layout = laid_out(level("<", 1.0), level(">=", 1.0), level("<=", 3.0), points=True)
    assert number_ranges("x", layout, "both") == (NumberRange(0b101, "<", 1.0), NumberRange(0b110, "<=", 3.0), NumberRange(0b010))


def test_a_range_is_certainly_below_by_its_high_end_and_possibly_by_its_low_end():
    layout = laid_out(level("<", 1.0))
    assert number_ranges("x", layout, "high") == (NumberRange(0b11, "<", 1.0), NumberRange(0b10))
    assert number_ranges("x", layout, "low") == (NumberRange(0b11, "<", 1.0), NumberRange(0b01))


def test_sets_of_words_leave_what_is_certain_and_what_is_possible():
    column = WordColumn(SOIL, laid_out(Within("soil", frozenset({"sand"}), "")))
    assert (column.mask_of(frozenset({"sand"})), column.mask_of(frozenset({"clay"})), column.mask_of(frozenset({"sand", "clay"}))) == (
        0b11,
        0b00,
        0b10,
    )
    with pytest.raises(ValueError, match="'soil' cannot be gravle"):
        column.mask_of(frozenset({"gravle", "sand"}))


def test_alternatives_have_bits_of_their_own_and_are_shared():
    either = Either((level("<", 1.0), level(">", 3.0)))
    layout = laid_out(either, Both((either, level(">", 0.0))))
    assert layout.bits == 4
    assert layout.alternatives == {either: ([2, 3], [0, 1])}


@given(st.integers(0, 70), st.data())
def test_the_members_of_a_mask(count, data):
    members = data.draw(st.sets(st.integers(0, count - 1))) if count else set()
    listing = Listing([f"m{index}" for index in range(count)])
    for _ in range(2):
        assert listing.of(sum(1 << index for index in members)) == tuple(f"m{index}" for index in sorted(members))
