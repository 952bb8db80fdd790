"""How ranges count in a proof: every result word by hand, and the laws of ranges."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.proof import Comparison, compare, decide
from methodpick.plan.result.checks import CHECK_RESULTS
from methodpick.vocabulary.values import Choice, Span, any_of, known, point

USABLE = CHECK_RESULTS.index("open_range")
ADVERSE = {"strength": "low", "head": "high"}
"""Strength is set against twice the head."""


def length(**more):
    return Comparison(has=lambda v: v["strength"], needed=lambda v: 2.0 * v["head"], adverse=ADVERSE, **more)


def result(comparison, strength, head):
    return compare(comparison, {"strength": strength, "head": head}).result


@pytest.mark.parametrize(
    ("strength", "head", "word"),
    [
        (Span(8, 12, 10), Span(3, 4, 3.5), "holds"),  # 10 to 8 with the high head, 8 to 7 with the low strength: never short
        (Span(8, 12, 10), Span(3, 6, 3.5), "open_range"),  # 10 to 12 with the high head only
        (Span(8, 12, 10), Span(3, 8, 6), "open_likely"),  # 10 to 12 likely; at best 12 to 6
        (Span(8, 12), Span(3, 6, 3.5), "open_range"),  # no likely strength: at worst 8 to 7, and 8 to 12 with the high head
        (Span(6, 12), Span(3, 4, 3.5), "unknown"),  # no likely strength: at worst 6 to 7, at best 12 to 7
        (Span(4, 6), Span(3, 4, 3.5), "open_likely"),  # at the likely head short at every strength: 6 to 7; at best 6 to 6
        (Span(4, 5, 4.5), Span(3, 4, 3.5), "fails"),  # at best 5 to 6
    ],
)
def test_each_result_by_hand(strength, head, word):
    assert result(length(), strength, head) == word


def test_life_hangs_on_the_likely_values():
    assert result(length(), Span(8, 12, 10), Span(3, 8, 6)) == "open_likely"
    assert result(length(life=True), Span(8, 12, 10), Span(3, 8, 6)) == "fails"


def test_less_may_be_left_at_the_adverse_end():
    """10 against 11 at the high head is short of the full need, but not of nine tenths of it (9.9)."""
    assert result(length(), point(10.0), Span(4, 5.5, 5)) == "open_range"
    assert result(length(needed_adverse=lambda v: 1.8 * v["head"]), point(10.0), Span(4, 5.5, 5)) == "holds"


def test_a_margin_under_the_recommended_is_little():
    """10 against 9 holds; three times the head would be 13.5. Without a likely head the recommendation is read at its worst."""
    advised = length(recommended=lambda v: 3.0 * v["head"])
    assert result(advised, point(10.0), point(4.5)) == "little_margin"
    assert result(advised, point(15.0), point(4.5)) == "holds"
    assert result(advised, point(10.0), Span(3.0, 4.5)) == "little_margin"


def test_one_input_is_adverse_at_a_time():
    """10 to 8 alone and 3.5 to 4.5 alone leave 1 and 1; both together would be short by 1."""
    found = compare(length(), {"strength": Span(8, 12, 10), "head": Span(3, 4.5, 3.5)})
    assert found.result == "holds"
    assert (found.has.adverse, found.needed.adverse) in {(8, 7.0), (10, 9.0)}
    assert found.margin.adverse == pytest.approx(1.0)
    assert found.margin.likely == pytest.approx(3.0)
    assert found.margin.best == pytest.approx(6.0)


def test_the_input_that_decides_is_named():
    assert compare(length(), {"strength": Span(9, 12, 10), "head": Span(3, 4.5, 3.5)}).worst_input == "head"
    assert compare(length(), {"strength": point(10.0), "head": point(3.0)}).worst_input is None


def test_what_has_no_end_is_none_and_never_holds_by_itself():
    """An infinite need is short whatever there is; two infinite quantities have no difference and are not taken to hold."""
    found = compare(length(), {"strength": point(10.0), "head": Span(1.0, inf, 2.0)})
    assert (found.result, found.needed.adverse, found.margin.adverse) == ("open_range", None, None)
    endless = Comparison(has=lambda v: v["head"] - v["head"], needed=lambda _: 0.0, adverse={"head": "high"})
    assert compare(endless, {"head": Span(1.0, inf)}).result == "unknown"


def test_conditions_by_hand():
    """Void under a pressure of more than 5: each word by counting the combinations."""

    def broken(value):
        return value["soil"] == "void" and value["kpa"] > 5

    rock, void, either = known("rock"), known("void"), Choice(frozenset({"rock", "void"}))
    assert decide(broken, {"soil": rock, "kpa": Span(0, 9, 4)}) == "holds"
    assert decide(broken, {"soil": void, "kpa": Span(0, 9, 4)}) == "open_range"
    assert decide(broken, {"soil": void, "kpa": Span(0, 9, 6)}) == "open_likely"
    assert decide(broken, {"soil": void, "kpa": Span(0, 9, 6)}, life=True) == "fails"
    assert decide(broken, {"soil": void, "kpa": Span(6, 9, 6)}) == "fails"
    assert decide(broken, {"soil": either, "kpa": Span(0, 9, 6)}) == "unknown"
    assert decide(broken, {"soil": either, "kpa": Span(0, 9, 4)}) == "open_range"
    assert decide(broken, {"soil": any_of("rock", "void", likely="rock"), "kpa": Span(0, 9, 4)}) == "holds"


numbers = st.floats(0.0, 50.0, allow_nan=False)


@st.composite
def spans(draw, *, likely=True):
    low, middle, high = sorted(draw(st.lists(numbers, min_size=3, max_size=3)))
    return Span(low, high, middle if likely or draw(st.booleans()) else None)


def rank(comparison, strength, head):
    return CHECK_RESULTS.index(result(comparison, strength, head))


@given(spans(likely=False), spans(likely=False), st.floats(0.0, 20.0), st.booleans())
def test_moving_an_input_to_its_adverse_side_betters_nothing(strength, head, by, life):
    comparison = length(life=life, recommended=lambda v: 3.0 * v["head"], needed_adverse=lambda v: 1.5 * v["head"])
    before = rank(comparison, strength, head)
    up = Span(head.low + by, head.high + by, None if head.likely is None else head.likely + by)
    assert rank(comparison, strength, up) >= before


@given(spans(likely=False), spans(likely=False), st.floats(0.0, 20.0), st.floats(0.0, 20.0), st.booleans(), st.booleans())
def test_widening_an_input_makes_nothing_usable_that_was_not(strength, head, less, more, forget, life):
    comparison = length(life=life, recommended=lambda v: 3.0 * v["head"], needed_adverse=lambda v: 1.5 * v["head"])
    before = rank(comparison, strength, head)
    after = rank(comparison, strength, Span(head.low - less, head.high + more, None if forget else head.likely))
    assert after >= before or after > USABLE


@given(st.sets(st.sampled_from("abcd"), min_size=1), st.sets(st.sampled_from("abcd")), st.sets(st.sampled_from("abcd")), st.booleans())
def test_more_possible_words_make_nothing_usable_that_was_not(words, more, bad, life):
    def broken(value):
        return value["word"] in bad

    likely = min(words)
    before = CHECK_RESULTS.index(decide(broken, {"word": Choice(frozenset(words), likely)}, life=life))
    after = CHECK_RESULTS.index(decide(broken, {"word": Choice(frozenset(words | more), likely)}, life=life))
    assert after >= before or after > USABLE
