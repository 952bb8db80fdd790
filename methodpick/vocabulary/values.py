"""Sets of possible values, and facts: what is known of a thing is the set of values that it may still have.

A number is a :class:`Span` ``[low, high]``; an enumeration or a yes/no is a :class:`Choice`. Both may name a
likely value. A value that nobody measured is the whole declared domain, never a default.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import inf
from typing import Literal

from methodpick.records import record


@record(guarded=False)
class Span:
    """The closed range in which a number lies, with its likely value where one exists.

    Ends may be infinite, never NaN. Raises ValueError for an empty span or a likely value outside it.

    >>> Span(1.0, 3.0, 2.0).certain
    False
    """

    low: float
    high: float
    likely: float | None = None

    def __post_init__(self) -> None:
        low, high, likely = self.low, self.high, self.likely
        if not low <= high:  # as with an end that is no number
            raise ValueError(f"no number lies between {low} and {high}")
        if likely is not None and not low <= likely <= high:
            raise ValueError(f"the likely value {likely} lies outside {low} to {high}")

    @property
    def certain(self) -> bool:
        """Return whether only one value is left."""
        return self.low == self.high

    @property
    def at_likely(self) -> Span:
        """Return the single likely value, or the same span where no value is likelier."""
        return self if self.likely is None else Span(self.likely, self.likely, self.likely)

    @property
    def likely_or_middle(self) -> float:
        """Return the likely value, the middle of the span where no value is likelier.

        >>> Span(1.0, 3.0).likely_or_middle
        2.0
        """
        return self.likely if self.likely is not None else (self.low + self.high) / 2

    def meet(self, other: Span) -> Span | None:
        """Return what both spans allow, or None where they contradict; the likely value is clipped into it.

        >>> Span(0, 10, 4).meet(Span(5, 20))
        Span(low=5, high=10, likely=5)
        """
        low, high = max(self.low, other.low), min(self.high, other.high)
        if low > high:
            return None
        likely = other.likely if other.likely is not None else self.likely
        return Span(low, high, None if likely is None else min(high, max(low, likely)))

    def hull(self, other: Span) -> Span:
        """Return the smallest span that holds both; the likely value is kept only where both agree.

        >>> Span(0, 1, 1).hull(Span(3, 4, 4))
        Span(low=0, high=4, likely=None)
        """
        likely = self.likely if self.likely == other.likely else None
        return Span(min(self.low, other.low), max(self.high, other.high), likely)


@record(guarded=False)
class Choice:
    """The set of words that a thing may still be, with the likely one where one exists.

    A yes/no fact is a Choice over ``YES`` and ``NO``. Raises ValueError when nothing is left.

    >>> Choice(frozenset({"sand", "silt"}), "sand").certain
    False
    """

    values: frozenset[str]
    likely: str | None = None

    def __post_init__(self) -> None:
        if not self.values:
            raise ValueError("a choice with no value left")
        if self.likely is not None and self.likely not in self.values:
            raise ValueError(f"the likely value {self.likely!r} is not among {sorted(self.values)}")

    @property
    def certain(self) -> bool:
        """Return whether only one value is left."""
        return len(self.values) == 1

    @property
    def likely_yes(self) -> bool:
        """Return whether a yes/no is yes, or yes more likely than not.

        >>> TRUE.likely_yes, likely_bool(True).likely_yes, likely_bool(False).likely_yes, Choice(frozenset({YES, NO})).likely_yes
        (True, True, False, False)
        """
        return self.likely == YES or self.values == {YES}

    @property
    def at_likely(self) -> Choice:
        """Return the single likely value, or the same choice where no value is likelier."""
        return self if self.likely is None else Choice(frozenset({self.likely}), self.likely)

    def hull(self, other: Choice) -> Choice:
        """Return what is in either choice; the likely value is kept only where both agree.

        >>> sorted(Choice(frozenset("a"), "a").hull(Choice(frozenset("b"))).values)
        ['a', 'b']
        """
        return Choice(self.values | other.values, self.likely if self.likely == other.likely else None)

    def meet(self, other: Choice) -> Choice | None:
        """Return what both choices allow, or None where they contradict.

        >>> sorted(Choice(frozenset("ab")).meet(Choice(frozenset("bc"))).values)
        ['b']
        """
        values = self.values & other.values
        if not values:
            return None
        likely = other.likely if other.likely in values else self.likely
        return Choice(values, likely if likely in values else None)


Value = Span | Choice
"""What is known of a fact."""


def meet(first: Value, second: Value) -> Value | None:
    """Return what two values of one kind both allow, None where they contradict or differ in kind.

    >>> meet(Span(0, 2), Span(1, 3))
    Span(low=1, high=2, likely=None)
    """
    if isinstance(first, Span) and isinstance(second, Span):
        return first.meet(second)
    if isinstance(first, Choice) and isinstance(second, Choice):
        return first.meet(second)
    return None


def hull_of(first: Value, second: Value) -> Value:
    """Return the least value that holds two of one kind; likely is what is likely in both. Raises TypeError where they differ in kind.

    >>> hull_of(Span(0, 2, 1), Span(1, 3, 1))
    Span(low=0, high=3, likely=1)
    """
    if isinstance(first, Span) and isinstance(second, Span):
        return first.hull(second)
    if isinstance(first, Choice) and isinstance(second, Choice):
        return first.hull(second)
    raise TypeError("a number and words have no hull")


YES, NO = "yes", "no"
TRUE = Choice(frozenset({YES}), YES)
FALSE = Choice(frozenset({NO}), NO)
EITHER = Choice(frozenset({YES, NO}))


def point(value: float) -> Span:
    """Return the span of a number that is known exactly.

    >>> point(2.5)
    Span(low=2.5, high=2.5, likely=2.5)
    """
    return Span(value, value, value)


def ordered(low: float, likely: float | None, high: float) -> Span:
    """Return the span of numbers that ought to be in order, whatever an overlay made of them; the likely one is kept inside.

    >>> ordered(3.0, 9.0, 1.0)
    Span(low=1.0, high=3.0, likely=3.0)
    """
    low, high = min(low, high), max(low, high)
    return Span(low, high, None if likely is None else min(max(likely, low), high))


def sum_of(spans: Iterable[Span]) -> Span:
    """Return the sum of independent spans; it has a likely value only where each has one or is certain. No spans sum to zero.

    >>> sum_of([Span(1.0, 3.0, 2.0), Span(4.0, 4.0)])
    Span(low=5.0, high=7.0, likely=6.0)
    >>> sum_of([Span(1.0, 3.0, 2.0), Span(0.0, 4.0)]).likely is None
    True
    """
    low = high = 0.0
    likely: float | None = 0.0
    for span in spans:
        low, high = low + span.low, high + span.high
        middle = span.low if span.certain else span.likely
        likely = None if likely is None or middle is None else likely + middle
    return ordered(low, likely, high)


def known(word: str) -> Choice:
    """Return the choice of a word that is known for certain.

    >>> known("sand").certain
    True
    """
    return Choice(frozenset({word}), word)


def any_of(*words: str, likely: str | None = None) -> Choice:
    """Return the choice among words.

    >>> any_of("sand", "silt").likely is None
    True
    """
    return Choice(frozenset(words), likely)


def from_bool(answer: bool) -> Choice:
    """Return a known yes or no as its choice.

    >>> from_bool(True).values
    frozenset({'yes'})
    """
    return TRUE if answer else FALSE


def likely_bool(likely: bool) -> Choice:
    """Return an open yes/no with its likely answer.

    >>> likely_bool(True).likely
    'yes'
    """
    return Choice(EITHER.values, YES if likely else NO)


ANY_NUMBER = Span(-inf, inf)

Basis = Literal["logged", "tested", "derived", "assumed", "missing"]
"""How a fact is known: read off the log, measured, computed, taken by a stated assumption, or not at all."""


@record(guarded=False)
class Fact:
    """What is known of one thing at one place.

    ``source`` says where it came from in words ("N = 11 at 12.5 ft", "class CH"); ``inputs`` names the facts that a
    derived fact was computed from, ``formulas`` the registered formulas, first the one whose result the value is, then those
    that gave its arguments; ``assumed`` the ids of the assumptions that its value stands on, its inputs' included.
    """

    name: str
    value: Value
    unit: str
    basis: Basis
    source: str = ""
    inputs: tuple[str, ...] = ()
    formulas: tuple[str, ...] = ()
    assumed: frozenset[str] = frozenset()
