"""What the rest of a way costs at the least, from a seat to the tip: what cannot better the best way found so far is not worked out.

Beside the cheapest drilling it counts what no way does without: a string to every seat that it goes by, and where the hole cannot be dry
to the tip a fluid that holds all of it, its plant and the concrete under it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import DRY_BASE, NOTHING, TOLERANCE_M, UPPER_CASING, WORST, Score
from methodpick.plan.sequence.search_input import SearchInput

ENDS_WET = frozenset({"slurry", UPPER_CASING})
"""Families that reach the tip under fluid."""


class LeastRest:
    """The least that is left to do from a seat to the tip, for the ways of one family."""

    def __init__(self, lengths: LengthScores, given: SearchInput) -> None:
        self.lengths, self.costs, self.options = lengths, given.costs, given.options
        self.tip = lengths.end_m
        self.seats = sorted((seat.depth_m for seat in given.seats), reverse=True)
        self._rests: dict[tuple[float, frozenset[str]], Score] = {}

    def below(self, depth_m: float, paid: frozenset[str]) -> Score:
        """Return what no way from a seat to the tip scores less than, with plant that is ``paid`` for; the worst where there is none."""
        key = depth_m, paid
        found = self._rests.get(key)
        if found is None:
            found = self._rests[key] = NOTHING if depth_m >= self.tip - TOLERANCE_M else _least(tuple(self._ways_on(depth_m, paid)))
        return found

    def _ways_on(self, depth_m: float, paid: frozenset[str]) -> Iterator[Score]:
        """Return the least of every way to go on: the open hole to the tip, dry or under each fluid, and a string to each deeper seat."""
        lengths, family = self.lengths, self.options.family
        bare_m = lengths.bare_below(depth_m)
        if family not in ENDS_WET and lengths.blocked("dry", depth_m) >= self.tip - TOLERANCE_M:
            dry = lengths.score("dry", depth_m, self.tip)
            yield NOTHING if dry is None else dry.with_unlikely(bare_m)
        least = lengths.least_below(depth_m)
        if family not in {"dry", DRY_BASE}:
            held = (fluid for fluid in self.options.fluids if lengths.blocked(fluid, depth_m) >= self.tip - TOLERANCE_M)
            plant = (0.0 if fluid in paid else self.costs.plant[fluid] for fluid in held)
            cheapest = min(plant, default=None)
            if cheapest is not None:
                yield least.with_unlikely(bare_m).with_cost(self.costs.tremie + cheapest)
        for seat_m in self.seats:
            if seat_m <= depth_m + TOLERANCE_M:
                break
            string = self.costs.of_string(seat_m + self.options.stick_up_m)
            yield least.since(lengths.least_below(seat_m)).plus(self.below(seat_m, paid)).with_cost(string, 1)


def _least(ways: Sequence[Score]) -> Score:
    """Return a score that no way falls below: of those whose lengths are the same but for rounding it has the least cost."""
    if not ways:
        return WORST
    least = min(ways)
    return least._replace(cost=min(way.cost for way in ways if _more_open(way, least) == 0.0), changes=0)


def reaches(bound: Score, goal: Score) -> bool:
    """Return whether a bound is worse than a goal by more than rounding makes of the two; changes of method do not count.

    >>> reaches(Score(doubtful_m=0.5, cost=3.0), Score(doubtful_m=0.5000000001, cost=2.0))
    True
    >>> reaches(Score(doubtful_m=0.5000000001, cost=1.0), Score(doubtful_m=0.5, cost=2.0))
    False
    """
    longer_m = _more_open(bound, goal)
    return longer_m > 0.0 or (longer_m == 0.0 and bound.cost > goal.cost + TOLERANCE_M)


def _more_open(first: Score, second: Score) -> float:
    """Return by how much the gravest open length of a score that differs is longer than another's; nothing where none does."""
    for here, there in zip(first.open_lengths_m, second, strict=False):
        if abs(here - there) > TOLERANCE_M:
            return here - there
    return 0.0
