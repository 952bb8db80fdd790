from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.vocabulary.values import Choice, Span, any_of, from_bool, known, likely_bool, meet, point

ends = st.floats(-100, 100)
words = st.sets(st.sampled_from("abcd"), min_size=1).map(lambda chosen: Choice(frozenset(chosen)))


@st.composite
def spans(draw):
    low, high = sorted((draw(ends), draw(ends)))
    return Span(low, high, draw(st.one_of(st.none(), st.floats(low, high))))


@given(spans(), spans(), ends)
def test_meet_and_hull_of_spans_are_set_operations(first, second, number):
    def inside(span):
        return span is not None and span.low <= number <= span.high

    assert inside(first.meet(second)) == (inside(first) and inside(second))
    assert inside(first.hull(second)) or not (inside(first) or inside(second))
    hull = first.hull(second)
    assert {hull.low, hull.high} <= {first.low, first.high, second.low, second.high}, "the smallest that holds both"
    assert meet(first, first) == first


@given(spans(), spans())
def test_the_likely_value_never_leaves_its_span(first, second):
    for made in (first.meet(second), first.hull(second), first.at_likely):
        assert made is None or made.likely is None or made.low <= made.likely <= made.high
    assert first.at_likely.certain or first.likely is None


@given(words, words)
def test_meet_of_choices(first, second):
    both = first.meet(second)
    assert (both.values if both else frozenset()) == first.values & second.values


def test_values_refuse_nonsense():
    for call in (
        lambda: Span(3, 1),
        lambda: Span(0, 1, 2),
        lambda: Span(float("nan"), 1),
        lambda: Choice(frozenset()),
        lambda: Choice(frozenset("a"), "b"),
    ):
        with pytest.raises(ValueError, match=r"."):
            call()
    assert meet(point(1), known("a")) is None


def test_an_open_end_is_no_point():
    assert not Span(0, inf).certain
    assert Span(0, inf, 3).at_likely == point(3)


def test_words_and_flags():
    assert any_of("a", "b", likely="b").at_likely == known("b")
    assert likely_bool(False).at_likely == from_bool(False)
    assert not likely_bool(True).certain
