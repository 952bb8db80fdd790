"""What drilling a length in one state costs and risks, as running sums over the slices, so that a length is read in one step."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate, pairwise, zip_longest
from math import inf
from typing import NamedTuple

from methodpick.facts.cuts import SAME_CUT_M
from methodpick.plan.sequence.path import NOTHING, TOLERANCE_M, Run, Score
from methodpick.plan.sequence.search_input import ALLOWED, DISCOURAGED, DOUBTFUL, RULED_OUT, UNKNOWN, UNLIKELY, SearchInput, SearchSlice
from methodpick.plan.sequence.seats import Seat
from methodpick.terms import CASED_STATES, CASING_WAYS, FLUIDS, OPEN_STATES, STATES

_ROUNDING = Score(cost=TOLERANCE_M)
"""What the least of a rest is lowered by, so that it never lies above a path by rounding alone."""
_DRILLED_IN = (*OPEN_STATES, "cased_balanced", "cased_plug")
"""States in which a length may be drilled; the last length pushed into a seat may also be dug out in an emptied casing."""
_PUSHED_IN = ("cased_dry", *_DRILLED_IN)


def _filled_with(fluid: str) -> str:
    """Return what a length is called that is drilled dry and stands under a fluid later."""
    return f"dry, then {fluid}"


class StringBurden(NamedTuple):
    """What speaks against pulling a string and against leaving it in: the worst rank along it, and the lengths against advice."""

    pull: int = ALLOWED
    leave: int = ALLOWED
    should_pull_m: float = 0.0
    should_leave_m: float = 0.0

    def past(self, piece: SearchSlice) -> StringBurden:
        """Return the burden of a string that reaches past one more slice."""
        return StringBurden(
            max(self.pull, piece.pull),
            max(self.leave, piece.leave),
            self.should_pull_m + (piece.length_m if piece.pull == DISCOURAGED else 0.0),
            self.should_leave_m + (piece.length_m if piece.leave == DISCOURAGED else 0.0),
        )


class LengthScores:
    """Scores, hours and blocked depths of any length; ``cautious`` counts doubtful lengths as hazards and worst stand-up."""

    def __init__(self, given: SearchInput, *, cautious: bool) -> None:
        """Sum up slices, top down."""
        self.slices = given.slices
        self.tops = [piece.top_m for piece in self.slices]
        self.end_m = self.slices[-1].base_m
        self.cautious = cautious
        self._costs = given.costs
        self._index: dict[float, int] = {}
        self._scores: dict[tuple[str, float, float], Score | None] = {}
        self._turns: dict[tuple[str, float], list[tuple[float, int]]] = {}
        self._leasts: dict[float, Score] = {}
        self._rates: dict[str, list[Score]] = {state: self._rates_of(state) for state in STATES}
        self._sums: dict[str, list[Score]] = {state: self._running_sum(rates) for state, rates in self._rates.items()}
        self._blocks: dict[str, list[float]] = {state: self._blocked_depths(state) for state in STATES}
        self._starts, self._rest = self._least_rest(given.seats)
        self._hours = list(accumulate((piece.length_m / piece.rate_m_h for piece in self.slices), initial=0.0))
        self._strings = list(accumulate(self.slices, StringBurden.past, initial=StringBurden()))
        self._bare = self._bare_lengths()
        self._smearing = [(piece.top_m, piece.base_m) for piece in self.slices if piece.smears]
        self._smeared: dict[tuple[float, float], float] = {}
        self._unheld: dict[tuple[str, ...], list[float]] = {}
        self._ways: dict[tuple[float, float], frozenset[str]] = {}

    def _per_metre(self, piece: SearchSlice, state: str, later: str) -> Score:
        if not piece.logged:
            return Score(undecided_m=1.0, unlikely_m=1.0 if piece.flows and state == "dry" else 0.0, cost=self._costs.per_m[state])
        rank = max(piece.rank[state], piece.rank[later])
        cost = self._costs.per_m[state] + self._costs.should_m * piece.should[state] - self._costs.point_m * piece.points[state]
        return Score(
            unlikely_m=1.0 if rank == UNLIKELY else 0.0,
            unknown_m=1.0 if rank == UNKNOWN else 0.0,
            doubtful_m=1.0 if self.cautious and rank == DOUBTFUL else 0.0,
            cost=max(cost, self._costs.least_m),
        )

    def _rates_of(self, state: str, later: str | None = None) -> list[Score]:
        """Return the score of a metre of every slice that is drilled in a state, and is open in a ``later`` one where that is given.

        It costs what drilling it costs, and is open by the graver of the two. Slices that are judged alike share it.
        """
        then = later or state
        alike: dict[tuple[bool, bool, int, int, int, int], Score] = {}
        rates: list[Score] = []
        for piece in self.slices:
            key = piece.logged, piece.flows, piece.rank[state], piece.rank[then], piece.should[state], piece.points[state]
            if key not in alike:
                alike[key] = self._per_metre(piece, state, then)
            rates.append(alike[key])
        return rates

    def _running_sum(self, rates: Sequence[Score]) -> list[Score]:
        parts = (rate.times(piece.length_m) for rate, piece in zip(rates, self.slices, strict=True))
        return list(accumulate(parts, Score.plus, initial=NOTHING))

    def _blocked_depths(self, state: str) -> list[float]:
        """Return for every slice the depth of the first slice from it down that rules the state out."""
        blocks = [self.end_m + 1.0] * (len(self.slices) + 1)
        for index in range(len(self.slices) - 1, -1, -1):
            piece = self.slices[index]
            out = piece.logged and piece.rank[state] == RULED_OUT
            blocks[index] = piece.top_m if out else blocks[index + 1]
        return blocks

    def _least_rest(self, seats: Sequence[Seat]) -> tuple[list[float], list[Score]]:
        """Return, for every length of one slice that is pushed into or not, the least score of it and all below in any state.

        Scores are compared in order and add, so the sum of the least of every length is never above that of a path.
        """
        pushes = [(seat.pushed_from_m, seat.depth_m) for seat in seats]
        ends = sorted({*self.tops, self.end_m, *(depth for push in pushes for depth in push if self.tops[0] < depth < self.end_m)})
        rest: list[Score] = [NOTHING]
        dry_to = max((seat.depth_m for seat in seats if seat.clear_of_water), default=-inf)
        for top, base in reversed(list(pairwise(ends))):
            at, middle = self.index(top), (top + base) / 2
            piece = self.slices[at]
            states = _PUSHED_IN if middle < dry_to or any(first < middle < last for first, last in pushes) else _DRILLED_IN
            rates = [self._rates[state][at] for state in states if not piece.logged or piece.rank[state] != RULED_OUT]
            rest.append(rest[-1].plus(min(rates, default=NOTHING).times(base - top)))
        return ends[:-1], rest[::-1]

    def _bare_lengths(self) -> list[float]:
        """Return, from the top of each slice down, the length that must not meet concrete without a casing that stays."""
        bare = [piece.length_m if piece.logged and piece.pull == RULED_OUT else 0.0 for piece in reversed(self.slices)]
        return list(accumulate(bare))[::-1]

    def bare_below(self, depth_m: float) -> float:
        """Return the length below the top of the slice at a depth that must not meet concrete without a casing that stays."""
        return self._bare[self.index(depth_m)]

    def keeps_casing_from(self, depth_m: float) -> float:
        """Return the top of the first slice below a depth in which no casing is pulled; beyond the tip where there is none."""
        below = self.slices[self.index(depth_m) + 1 :]
        return next((piece.top_m for piece in below if piece.logged and piece.pull == RULED_OUT), self.end_m + 1.0)

    def smeared(self, top_m: float, base_m: float) -> float:
        """Return the length of stiff clay between two depths whose side casing that is brought ahead spoils.

        Nothing where the casing is only pushed in below a hole that is drilled past the second depth.
        """
        key = (top_m, base_m)
        if key not in self._smeared:
            self._smeared[key] = sum((max(0.0, min(base, base_m) - max(top, top_m)) for top, base in self._smearing), 0.0)
        return self._smeared[key]

    def cut_near(self, depth_m: float) -> float:
        """Return the cut between two slices that lies so little above a depth that the two are not told apart, else the depth."""
        above_m = self.tops[bisect_right(self.tops, depth_m) - 1] if depth_m > self.tops[0] else depth_m
        return above_m if depth_m - above_m <= SAME_CUT_M + TOLERANCE_M else depth_m

    def string_to(self, depth_m: float) -> StringBurden:
        """Return what speaks against pulling a string that reaches to a depth, and against leaving it in."""
        return self._strings[bisect_left(self.tops, depth_m - TOLERANCE_M)]

    def ways_through(self, top_m: float, base_m: float) -> frozenset[str]:
        """Return the ways of advancing casing that get through every logged slice between two depths."""
        key = (top_m, base_m)
        if key not in self._ways:
            self._ways[key] = self._find_ways(top_m, base_m)
        return self._ways[key]

    def is_logged_between(self, top_m: float, base_m: float) -> bool:
        """Return whether a log tells of any ground between two depths."""
        inside = (piece for piece in self.slices if piece.base_m > top_m + TOLERANCE_M and piece.top_m < base_m - TOLERANCE_M)
        return top_m < base_m - TOLERANCE_M and any(piece.logged for piece in inside)

    def _find_ways(self, top_m: float, base_m: float) -> frozenset[str]:
        ways = frozenset[str](CASING_WAYS)
        for piece in self.slices:
            if piece.top_m >= base_m - TOLERANCE_M or not ways:
                break
            if piece.logged and piece.base_m > top_m + TOLERANCE_M:
                ways &= piece.ways
        return ways

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
        share = min(1.0, max(0.0, (base - depth_m) / (base - top)))
        least = self._rest[at + 1].toward(self._rest[at], share)
        return least.since(_ROUNDING)

    def index(self, depth_m: float) -> int:
        """Return the index of the slice that starts at or holds a depth."""
        found = self._index.get(depth_m)
        if found is None:
            found = max(0, min(bisect_right(self.tops, depth_m + TOLERANCE_M) - 1, len(self.slices) - 1))
            self._index[depth_m] = found
        return found

    def _sum_to(self, state: str, depth_m: float) -> Score:
        at = self.index(depth_m)
        piece, sums = self.slices[at], self._sums[state]
        return sums[at].toward(sums[at + 1], (depth_m - piece.top_m) / piece.length_m)

    def score(self, state: str, top_m: float, base_m: float, later: str = "") -> Score | None:
        """Return the score of drilling a length in a state, None where a slice rules it out.

        A dry length that stands under a ``later`` fluid is open by the graver of the two.
        """
        held = _filled_with(later) if later else state
        key = (held, top_m, base_m)
        if key not in self._scores:
            ruled_out = any(self.blocked(each, top_m) < base_m - TOLERANCE_M for each in ((state, later) if later else (state,)))
            if held not in self._sums:
                self._sums[held] = self._running_sum(self._rates_of(state, later))
            self._scores[key] = self._score(held, top_m, base_m, ruled_out=ruled_out)
        return self._scores[key]

    def _score(self, held: str, top_m: float, base_m: float, *, ruled_out: bool) -> Score | None:
        if base_m - top_m <= TOLERANCE_M:
            return NOTHING
        return None if ruled_out else self._sum_to(held, base_m).since(self._sum_to(held, top_m))

    def of_runs(self, runs: Sequence[Run], from_m: float = -inf) -> Iterator[Score | None]:
        """Return the score of each run of a segment below a depth; a dry one counts under the fluid that then fills the hole as well."""
        for run, after in zip_longest(runs, runs[1:]):
            later = after.state if run.state == "dry" and after is not None and after.state in FLUIDS else ""
            yield self.score(run.state, max(run.top_m, from_m), run.base_m, later)

    def is_allowed(self, state: str, top_m: float, base_m: float) -> bool:
        """Return whether a log tells of all ground between two depths and nothing at all speaks against a state there."""
        inside = (piece for piece in self.slices if piece.base_m > top_m + TOLERANCE_M and piece.top_m < base_m - TOLERANCE_M)
        return all(piece.logged and piece.rank[state] == ALLOWED for piece in inside)

    def lean_to(self, other: str, runs: Iterable[Run]) -> bool:
        """Return whether the rules prefer the other of ``fluid`` and ``casing`` over most of what runs hold by the one.

        Or over most of what they have to hold: ground that stands dry is held because something else is.
        """
        mine = CASED_STATES if other == "fluid" else FLUIDS
        parts = [
            (piece, min(run.base_m, piece.base_m) - max(run.top_m, piece.top_m))
            for run in runs
            if run.state in mine
            for piece in self.slices
        ]
        held = [(piece, length) for piece, length in parts if length > TOLERANCE_M]
        caving = [(piece, length) for piece, length in held if piece.rank["dry"] > DISCOURAGED]
        return any(_leans(part, other) for part in (held, caving))

    def squeezes(self, top_m: float, base_m: float) -> bool:
        """Return whether the rules advise against fluid over most of a length, since the clay squeezes."""
        lengths = ((piece, min(piece.base_m, base_m) - max(piece.top_m, top_m)) for piece in self.slices)
        held = [(piece, length) for piece, length in lengths if length > TOLERANCE_M]
        return sum(length for piece, length in held if piece.squeezes) > 0.5 * sum(length for _, length in held)

    def blocked(self, state: str, top_m: float) -> float:
        """Return the depth at which a state that starts at ``top_m`` is first ruled out; beyond the tip when never."""
        return self._blocks[state][self.index(top_m)]

    def unheld(self, fluids: Sequence[str], top_m: float) -> float:
        """Return the top of the first slice below a depth that no fluid holds for all that is known; beyond the tip where there is none."""
        key = tuple(fluids)
        if key not in self._unheld:
            self._unheld[key] = self._find_unheld(key)
        return self._unheld[key][self.index(top_m)]

    def _find_unheld(self, fluids: Sequence[str]) -> list[float]:
        found = [self.end_m + 1.0]
        for piece in reversed(self.slices):
            lost = piece.logged and bool(fluids) and all(piece.rank[fluid] >= UNKNOWN for fluid in fluids)
            found.append(piece.top_m if lost else found[-1])
        return found[:0:-1]

    def _hours_to(self, depth_m: float) -> float:
        at = self.index(depth_m)
        piece = self.slices[at]
        return self._hours[at] + (depth_m - piece.top_m) / piece.rate_m_h

    def stands(self, top_m: float, base_m: float, after_h: float, *, cased: bool) -> bool:
        """Return whether every dry slice stands from where its top is drilled until ``after_h`` after the base is reached.

        A void has no wall that could fall: it counts only where no casing is then set across it.
        """
        end = self._hours_to(base_m) + after_h
        for index in range(self.index(top_m), bisect_left(self.tops, base_m - TOLERANCE_M)):
            piece = self.slices[index]
            stand = piece.stand_worst_h if self.cautious else piece.stand_h
            if piece.logged and not (cased and piece.no_wall) and end - self._hours_to(max(piece.top_m, top_m)) > stand + 1e-9:
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
        for index in range(self.index(top_m), len(self.slices)):
            piece = self.slices[index]
            rank = piece.rank[state] if piece.logged else ALLOWED
            if rank > worst:
                worst = rank
                found.append((max(piece.top_m, top_m), rank))
            if rank == RULED_OUT:
                break
        return found


def _leans(held: Iterable[tuple[SearchSlice, float]], other: str) -> bool:
    """Return whether the rules prefer the other of fluid and casing over most of some lengths."""
    parts = tuple(held)
    leaning = sum(length for piece, length in parts if piece.logged and piece.leans_to(other))
    return leaning > 0.5 * sum(length for _, length in parts)
