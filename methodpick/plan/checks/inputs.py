"""What several proofs are given: the stage and length they speak of, and the ground that a casing touches."""

from __future__ import annotations

from collections.abc import Iterable

from methodpick.records import record
from methodpick.vocabulary.values import NO, YES, Choice, Span

GREATEST_LOAD, GREATEST_OUTSIDE = "the greatest load on the ground", "the greatest pressure outside"
HIGHEST_FLUID = "the highest fluid level"
"""Adverse ends of inputs, in the words of several proofs."""


@record(guarded=False)
class ProvedPlace:
    """The stage that a proof is made for (None for the finished hole) and the length that it protects."""

    stage: int | None
    top_m: float
    base_m: float


@record
class Contact:
    """A length of casing that the ground touches: its friction once set up, while it moves, and the share that set-up leaves.

    ``set_up`` multiplies the static friction after the hours that the casing stands; a friction that is not known is None.
    """

    length_m: float
    static_kpa: Span | None
    moving_kpa: Span | None
    set_up: Span | None


def added(spans: Iterable[Span]) -> Span:
    """Return the sum of ranges; it has a likely value where each of them has.

    >>> added([Span(1, 3, 2), Span(10, 20, 15)])
    Span(low=11.0, high=23.0, likely=17.0)
    """
    parts = list(spans)
    likely = [part.likely for part in parts if part.likely is not None]
    middle = float(sum(likely)) if len(likely) == len(parts) else None
    return Span(float(sum(part.low for part in parts)), float(sum(part.high for part in parts)), middle)


def multiplied(first: Span, second: Span) -> Span:
    """Return the product of two ranges of numbers that are not negative.

    >>> multiplied(Span(1, 3, 2), Span(2, 2, 2))
    Span(low=2, high=6, likely=4)
    """
    likely = None if first.likely is None or second.likely is None else first.likely * second.likely
    return Span(first.low * second.low, first.high * second.high, likely)


def as_number(answer: Choice) -> Span:
    """Return a yes or no as a number: one for yes, nothing for no, the range between for either.

    >>> as_number(Choice(frozenset({"yes", "no"}), "no"))
    Span(low=0.0, high=1.0, likely=0.0)
    """
    likely = None if answer.likely is None else float(answer.likely == YES)
    return Span(0.0 if NO in answer.values else 1.0, 1.0 if YES in answer.values else 0.0, likely)
