"""Sums, products and numbers of what proofs are given; by hand."""

from methodpick.plan.checks.inputs import added, as_number, multiplied
from methodpick.vocabulary.values import EITHER, FALSE, TRUE, Span, likely_bool, point


def test_sums():
    assert added([]) == point(0.0)
    assert added([Span(1, 3, 2), Span(10, 20)]) == Span(11.0, 23.0)
    assert added([Span(1, 3, 2), Span(10, 20, 15)]) == Span(11.0, 23.0, 17.0)


def test_products():
    assert multiplied(Span(1, 3, 2), Span(4, 6, 5)) == Span(4, 18, 10)
    assert multiplied(Span(1, 3), Span(4, 6, 5)) == Span(4, 18)
    assert multiplied(Span(1, 3, 2), Span(4, 6)) == Span(4, 18)


def test_yes_and_no_as_numbers():
    assert as_number(TRUE) == point(1.0)
    assert as_number(FALSE) == point(0.0)
    assert as_number(EITHER) == Span(0.0, 1.0)
    assert as_number(likely_bool(True)) == Span(0.0, 1.0, 1.0)
    assert as_number(likely_bool(False)) == Span(0.0, 1.0, 0.0)
