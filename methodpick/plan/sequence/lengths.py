"""What drilling a length in one state costs and risks, as prefix sums over the cuts, so that an edge is O(1)."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import pairwise

from methodpick.plan.result import STATES
from methodpick.plan.sequence.costs import Costs
from methodpick.plan.sequence.path import NOTHING, Score
from methodpick.plan.sequence.search_slices import ALLOWED, DOUBTFUL, RULED_OUT, UNKNOWN, UNLIKELY, Cut, Seat

TOLERANCE_M = 1e-6
DRILLED_IN = ("cased_dry", "dry", "water", "polymer", "mineral", "cased_balanced", "cased_plug")


class Lengths:
    """Prefix sums over the cuts for one mode: ``cautious`` counts doubtful lengths as hazards and worst stand-up."""

    def __init__(self, cuts: Sequence[Cut], seats: Sequence[Seat], costs: Costs, *, cautious: bool) -> None:
        """Take the cuts top down, the seats and the costs."""
        self.cuts = tuple(cuts)
        self.tops = [cut.top_m for cut in cuts]
        self.bases = [cut.base_m for cut in cuts]
        self.end_m = self.bases[-1]
        self.cautious = cautious
        self._costs = costs
        self._scores: dict[tuple[str, float, float], Score | None] = {}
        self._turns: dict[tuple[str, float], list[tuple[float, int]]] = {}
        self._leasts: dict[float, Score] = {}
        self._sums = {state: self._prefix(state) for state in STATES}
        self._blocks = {state: self._blocked(state) for state in STATES}
        hours = 0.0
        self._starts, self._rest = self._least_rest(seats)
        self.hours: list[float] = [0.0]
        for cut in cuts:
            hours += cut.length_m / cut.rate_m_h
            self.hours.append(hours)

    def _per_metre(self, cut: Cut, state: str) -> Score:
        if not cut.decided:
            return 1.0, 0.0, 0.0, 0.0, self._costs.per_m["dry"], 0
        rank = cut.rank[state]
        cost = self._costs.per_m[state] + self._costs.should_m * cut.should[state] - self._costs.point_m * cut.points[state]
        doubtful = 1.0 if self.cautious and rank == DOUBTFUL else 0.0
        return (0.0, 1.0 if rank == UNLIKELY else 0.0, 1.0 if rank == UNKNOWN else 0.0, doubtful, max(cost, 0.05), 0)

    def _prefix(self, state: str) -> list[Score]:
        total = (0.0, 0.0, 0.0, 0.0, 0.0)
        sums: list[Score] = [(*total, 0)]
        for cut in self.cuts:
            rate, length = self._per_metre(cut, state), cut.length_m
            total = (
                total[0] + rate[0] * length,
                total[1] + rate[1] * length,
                total[2] + rate[2] * length,
                total[3] + rate[3] * length,
                total[4] + rate[4] * length,
            )
            sums.append((*total, 0))
        return sums

    def _blocked(self, state: str) -> list[float]:
        """Return for every cut the depth of the first cut from it down that rules the state out."""
        blocks = [self.end_m + 1.0] * (len(self.cuts) + 1)
        for index in range(len(self.cuts) - 1, -1, -1):
            cut = self.cuts[index]
            out = cut.decided and cut.rank[state] == RULED_OUT
            blocks[index] = cut.top_m if out else blocks[index + 1]
        return blocks

    def _least_rest(self, seats: Sequence[Seat]) -> tuple[list[float], list[Score]]:
        """Give, for every length of one cut that is pushed into or not, the least score of it and all below in any state.

        Scores are compared in order and add, so the sum of the least of every length is never above that of a path.
        """
        pushes = [(seat.pushed_from_m, seat.depth_m) for seat in seats]
        ends = sorted({*self.tops, self.end_m, *(depth for push in pushes for depth in push if self.tops[0] < depth < self.end_m)})
        rest: list[Score] = [NOTHING]
        for top, base in reversed(list(pairwise(ends))):
            cut, middle = self.cuts[self.index(top)], (top + base) / 2
            states = DRILLED_IN if any(first < middle < last for first, last in pushes) else DRILLED_IN[1:]
            rates = [self._per_metre(cut, state) for state in states if not cut.decided or cut.rank[state] != RULED_OUT]
            least, last, length = min(rates, default=NOTHING), rest[-1], base - top
            rest.append(
                (
                    last[0] + least[0] * length,
                    last[1] + least[1] * length,
                    last[2] + least[2] * length,
                    last[3] + least[3] * length,
                    last[4] + least[4] * length,
                    0,
                )
            )
        return ends[:-1], rest[::-1]

    def least_below(self, depth_m: float) -> Score:
        """Return a score that no way of drilling from a depth to the tip can fall below."""
        if depth_m not in self._leasts:
            self._leasts[depth_m] = self._least_below(depth_m)
        return self._leasts[depth_m]

    def _least_below(self, depth_m: float) -> Score:
        if depth_m >= self.end_m - TOLERANCE_M:
            return NOTHING
        at = max(0, bisect_right(self._starts, depth_m + TOLERANCE_M) - 1)
        top, base = self._starts[at], self._starts[at + 1] if at + 1 < len(self._starts) else self.end_m
        first, second = self._rest[at], self._rest[at + 1]
        part = min(1.0, max(0.0, (base - depth_m) / (base - top)))
        low = [_clean(second[index] + part * (first[index] - second[index])) for index in range(4)]
        return (low[0], low[1], low[2], low[3], second[4] + part * (first[4] - second[4]) - TOLERANCE_M, 0)

    def index(self, depth_m: float) -> int:
        """Return the cut that starts at or holds a depth."""
        return max(0, min(bisect_right(self.tops, depth_m + TOLERANCE_M) - 1, len(self.cuts) - 1))

    def _sum_to(self, state: str, depth_m: float) -> Score:
        at = self.index(depth_m)
        cut, before, after = self.cuts[at], self._sums[state][at], self._sums[state][at + 1]
        part = (depth_m - cut.top_m) / cut.length_m
        return (
            before[0] + part * (after[0] - before[0]),
            before[1] + part * (after[1] - before[1]),
            before[2] + part * (after[2] - before[2]),
            before[3] + part * (after[3] - before[3]),
            before[4] + part * (after[4] - before[4]),
            0,
        )

    def score(self, state: str, top_m: float, base_m: float) -> Score | None:
        """Return the score of drilling a length in a state, None where a cut rules it out."""
        key = (state, top_m, base_m)
        if key not in self._scores:
            self._scores[key] = self._score(state, top_m, base_m)
        return self._scores[key]

    def _score(self, state: str, top_m: float, base_m: float) -> Score | None:
        if base_m - top_m <= TOLERANCE_M:
            return 0.0, 0.0, 0.0, 0.0, 0.0, 0
        if self.blocked(state, top_m) < base_m - TOLERANCE_M:
            return None
        first, last = self._sum_to(state, top_m), self._sum_to(state, base_m)
        return (
            _clean(last[0] - first[0]),
            _clean(last[1] - first[1]),
            _clean(last[2] - first[2]),
            _clean(last[3] - first[3]),
            last[4] - first[4],
            0,
        )

    def blocked(self, state: str, top_m: float) -> float:
        """Return the depth at which a state that starts at ``top_m`` is first ruled out; beyond the tip when never."""
        return self._blocks[state][self.index(top_m)]

    def hours_between(self, top_m: float, base_m: float) -> float:
        """Return the drilling hours of a length."""
        return self._hours_to(base_m) - self._hours_to(top_m)

    def _hours_to(self, depth_m: float) -> float:
        at = self.index(depth_m)
        cut = self.cuts[at]
        return self.hours[at] + (depth_m - cut.top_m) / cut.rate_m_h

    def stands(self, top_m: float, base_m: float, after_h: float) -> bool:
        """Return whether every dry slice stands from where its top is drilled until ``after_h`` after the base is reached."""
        end = self._hours_to(base_m) + after_h
        for index in range(self.index(top_m), bisect_left(self.tops, base_m - TOLERANCE_M)):
            cut = self.cuts[index]
            stand = cut.stand_worst_h if self.cautious else cut.stand_h
            if cut.decided and end - self._hours_to(max(cut.top_m, top_m)) > stand + 1e-9:
                return False
        return True

    def turns(self, state: str, top_m: float) -> list[tuple[float, int]]:
        """Return the depths below ``top_m`` at which a state gets worse than before, where a change of method may help, and its rank."""
        key = (state, top_m)
        if key not in self._turns:
            self._turns[key] = self._find_turns(state, top_m)
        return self._turns[key]

    def _find_turns(self, state: str, top_m: float) -> list[tuple[float, int]]:
        found: list[tuple[float, int]] = []
        worst = ALLOWED
        for index in range(self.index(top_m), len(self.cuts)):
            cut = self.cuts[index]
            rank = cut.rank[state] if cut.decided else ALLOWED
            if rank > worst:
                worst = rank
                found.append((max(cut.top_m, top_m), rank))
            if rank == RULED_OUT:
                break
        return found


def _clean(length: float) -> float:
    return 0.0 if abs(length) < TOLERANCE_M else round(length, 9)
