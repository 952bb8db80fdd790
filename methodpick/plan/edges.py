"""What may follow a node of the search: whole segments, seat to seat, each in one sequence of states."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import inf

from methodpick.plan.costs import Costs
from methodpick.plan.cut import DISCOURAGED, RULED_OUT, UNLIKELY, WAYS, Seat
from methodpick.plan.lengths import TOLERANCE_M, Lengths
from methodpick.plan.options import Options
from methodpick.plan.path import NOTHING, Run, Score, Segment, plus

LAST_PUSH_M = 1.5
"""Length below caving ground over which any plant may push or twist the shoe into its seat (own value)."""


@dataclass(frozen=True, slots=True)
class Node:
    """Where a path stands: the shoe's depth, strings used, its seal, fluid in use and plant paid for."""

    depth_m: float
    strings: int
    sealed: str
    wet: bool
    fluid: str
    paid: frozenset[str]


class Edges:
    """All segments that may follow a node, but for those that cannot better the score of the best goal so far."""

    def __init__(self, lengths: Lengths, seats: Sequence[Seat], costs: Costs, options: Options) -> None:
        self.lengths, self.costs, self.options = lengths, costs, options
        self.seats = sorted(seats, key=lambda seat: seat.depth_m)
        self.tip = lengths.end_m
        self._pull = self._pull_ranks()
        self._ways: dict[tuple[float, float], str | None] = {}
        self._bare = self._bare_lengths()
        self.goal: Score = (inf, inf, inf, inf, inf, 0)
        self.so_far = NOTHING
        self.last = self._last_seat()

    def of(self, node: Node, score: Score = NOTHING) -> Iterator[tuple[Segment, Node]]:
        """Give the segments after a node whose path has a score."""
        self.so_far, least = score, plus(score, self.lengths.least_below(node.depth_m))
        family = self.options.family
        if family not in {"full_depth_casing", "permanent_casing", "casing_then_dry"} or node.strings:
            for runs, fluid in self._open(node, self.tip, self.options.finish_h):
                yield from self._finish(node, runs, fluid)
        if node.strings >= self.options.most_strings or family in {"dry", "slurry"}:
            return
        for seat in self.seats:
            if seat.depth_m <= node.depth_m + 0.3:
                continue
            if plus(least, (0.0, 0.0, 0.0, 0.0, self._string_cost(seat), 1)) >= self.goal:
                break  # no deeper seat costs less
            at_tip = seat.depth_m >= self.tip - TOLERANCE_M
            if (family == "full_depth_casing" and not at_tip) or (family == "casing_then_dry" and at_tip):
                continue
            if not at_tip and not seat.in_socket:
                yield from self._set(node, seat)
            if not seat.in_socket or at_tip:
                yield from self._advanced(node, seat)

    def least(self, depth_m: float) -> Score:
        """Give what no way from a depth to the tip can score less than, a casing that the family still has to set included."""
        below = self.lengths.least_below(depth_m)
        if self.last is None or depth_m >= self.last.depth_m - TOLERANCE_M:
            return below
        return plus(below, (0.0, 0.0, 0.0, 0.0, self._string_cost(self.last), 1))

    def _last_seat(self) -> Seat | None:
        """Give the shallowest seat from which a plan that ends dry may reach the tip dry; None for other families."""
        if self.options.family != "casing_then_dry":
            return None
        return next((seat for seat in self.seats if self.lengths.blocked("dry", seat.depth_m) >= self.tip - TOLERANCE_M), None)

    def _set(self, node: Node, seat: Seat) -> Iterator[tuple[Segment, Node]]:
        """Give the ways to drill to just above the seat, set the casing and push it the last length into undrilled ground."""
        pushed_from = round(seat.depth_m - min(seat.embedment_m, LAST_PUSH_M), 3)
        if pushed_from <= node.depth_m + 0.3:
            return
        for open_runs, fluid in self._open(node, pushed_from, self.options.set_h):
            runs = open_runs
            if seat.depth_m > pushed_from:
                inside = "cased_dry" if runs[-1].state == "dry" else "cased_balanced"
                runs = (*runs, Run(pushed_from, seat.depth_m, inside))
            yield from self._cased(node, seat, runs, fluid, "set", None, pushed_from)

    def _open(self, node: Node, base_m: float, after_h: float) -> Iterator[tuple[tuple[Run, ...], str]]:
        """Give the ways to drill the open hole to ``base_m``: dry, under fluid, or dry and then under fluid."""
        top, family = node.depth_m, self.options.family
        dry_start = not node.wet or node.sealed in {"yes", "probable"}
        dry_start = dry_start and (node.strings == 0 or node.sealed in {"yes", "probable"}) and family != "slurry"
        if dry_start and self._dry(top, base_m, after_h):
            yield (Run(top, base_m, "dry"),), node.fluid
        if family == "dry" or (family == "casing_then_dry" and base_m >= self.tip - TOLERANCE_M):
            return
        for fluid in self.options.fluids:
            if (node.fluid and node.fluid != fluid) or self.lengths.score(fluid, top, base_m) is None:
                continue
            yield (Run(top, base_m, fluid),), fluid
            if not dry_start:
                continue
            for turn in self.lengths.turns("dry", top):
                into = max(top, turn - self.options.margin_m)
                if top + 0.3 < into < base_m - TOLERANCE_M and self._dry(top, into, 1.0):
                    yield (Run(top, into, "dry"), Run(into, base_m, fluid)), fluid

    def _dry(self, top_m: float, base_m: float, after_h: float) -> bool:
        return (self.lengths.blocked("dry", top_m) >= base_m - TOLERANCE_M
                and self.lengths.stands(top_m, base_m, after_h))

    def _finish(self, node: Node, runs: tuple[Run, ...], fluid: str) -> Iterator[tuple[Segment, Node]]:
        if self.options.family == "slurry" and runs[-1].state == "dry":
            return
        score = self._score(node, runs, fluid)
        if score is None:
            return
        score = plus(score, (0.0, self._bare[self.lengths.index(node.depth_m)], 0.0, 0.0, 0.0, 0))
        wet = runs[-1].state != "dry"
        if wet:
            score = plus(score, (0.0, 0.0, 0.0, 0.0, self.costs.tremie, 0))
        segment = Segment(node.depth_m, self.tip, runs, "none", None, self.tip, False, "no", 0.0, -1,
                          self._bails(node, runs), score)
        yield segment, Node(self.tip, node.strings, "end", wet, fluid, node.paid)

    def _score(self, node: Node, runs: tuple[Run, ...], fluid: str) -> Score | None:
        total: Score = NOTHING
        for run in runs:
            part = self.lengths.score(run.state, run.top_m, run.base_m)
            if part is None:
                return None
            total = plus(total, part)
        extra = self.costs.plant[fluid] if fluid and not node.fluid else 0.0
        if self._bails(node, runs):
            extra += self.costs.seal_test
        changes = len(runs) - 1 + (1 if node.strings else 0)
        return plus(total, (0.0, 0.0, 0.0, 0.0, extra, changes))

    @staticmethod
    def _bails(node: Node, runs: tuple[Run, ...]) -> bool:
        return node.wet and runs[0].state == "dry"

    def _cased(self, node: Node, seat: Seat, runs: tuple[Run, ...], fluid: str, how: str, way: str | None,
               ahead_m: float) -> Iterator[tuple[Segment, Node]]:
        drilled = self._score(node, runs, fluid)
        if drilled is None:
            return
        at_tip = seat.depth_m >= self.tip - TOLERANCE_M
        wet = runs[-1].state not in {"dry", "cased_dry"}
        paid = node.paid
        cost = self._string_cost(seat)
        if way is not None and how == "advanced":
            cost += self.costs.advance_m[way] * (seat.depth_m - ahead_m)
            if way not in paid:
                cost += self.costs.plant[way]
                paid = paid | {way}
        if at_tip and wet:
            cost += self.costs.tremie
        least = plus(drilled, (0.0, 0.0, 0.0, 0.0, cost, 1))
        if plus(plus(self.so_far, least), self.least(seat.depth_m)) >= self.goal:
            return
        for keep, extra in self._kept(seat):
            score = plus(least, extra)
            segment = Segment(node.depth_m, seat.depth_m, runs, how, way, ahead_m, keep, seat.seals, seat.embedment_m,
                              seat.stratum, self._bails(node, runs), score)
            yield segment, Node(seat.depth_m, node.strings + 1, "end" if at_tip else seat.seals, wet, fluid, paid)

    def _string_cost(self, seat: Seat) -> float:
        return self.costs.string + self.costs.casing_m * (seat.depth_m + self.options.stick_up_m)

    def _kept(self, seat: Seat) -> Iterator[tuple[bool, Score]]:
        """Give pulling and leaving the string, each with its penalties and hazards over the string's length."""
        pull, leave, should_pull, should_leave = self._pull[seat.depth_m]
        family = self.options.family
        if self.options.temporary and pull != RULED_OUT and family != "permanent_casing":
            yield False, (0.0, (pull == UNLIKELY and 1.0) or 0.0, 0.0, 0.0, self.costs.should_m * should_pull, 0)
        if self.options.permanent and leave != RULED_OUT:
            cost = self.costs.permanent_m * seat.depth_m + self.costs.should_m * should_leave
            yield True, (0.0, (leave == UNLIKELY and 1.0) or 0.0, 0.0, 0.0, cost, 0)

    def _pull_ranks(self) -> dict[float, tuple[int, int, float, float]]:
        ranks: dict[float, tuple[int, int, float, float]] = {}
        for seat in self.seats:
            pull = leave = 0
            should_pull = should_leave = 0.0
            for cut in self.lengths.cuts:
                if cut.top_m >= seat.depth_m - TOLERANCE_M:
                    break
                pull, leave = max(pull, cut.pull), max(leave, cut.leave)
                should_pull += cut.length_m if cut.pull == DISCOURAGED else 0.0
                should_leave += cut.length_m if cut.leave == DISCOURAGED else 0.0
            ranks[seat.depth_m] = pull, leave, should_pull, should_leave
        return ranks

    def _bare_lengths(self) -> list[float]:
        """Give the length below each cut that must not meet concrete without a casing that stays."""
        bare = [0.0]
        for cut in reversed(self.lengths.cuts):
            bare.append(bare[-1] + (cut.length_m if cut.decided and cut.pull == RULED_OUT else 0.0))
        return bare[:0:-1]

    def _advanced(self, node: Node, seat: Seat) -> Iterator[tuple[Segment, Node]]:
        """Give the ways to bring casing to the seat ahead of the excavation, after a dry predrill where that stands."""
        starts = {node.depth_m}
        if not node.wet or node.sealed in {"yes", "probable"}:
            for turn in self.lengths.turns("dry", node.depth_m):
                into = max(node.depth_m, turn - self.options.margin_m)
                if node.depth_m + 0.3 < into < seat.depth_m - 0.3 and self._dry(node.depth_m, into, self.options.set_h):
                    starts.add(into)
        for ahead in sorted(starts):
            if (ahead, seat.depth_m) not in self._ways:
                self._ways[ahead, seat.depth_m] = self._way(ahead, seat)
            way = self._ways[ahead, seat.depth_m]
            if way is None:
                continue
            for state in ("cased_plug", "cased_balanced"):
                if self.lengths.score(state, ahead, seat.depth_m) is None:
                    continue
                runs: tuple[Run, ...] = (Run(ahead, seat.depth_m, state),)
                if ahead > node.depth_m:
                    runs = (Run(node.depth_m, ahead, "dry"), *runs)
                for segment, reached in self._cased(node, seat, runs, node.fluid, "advanced", way, ahead):
                    yield segment, replace(reached, wet=True)

    def _way(self, ahead_m: float, seat: Seat) -> str | None:
        """Give the cheapest plant that gets through every cut down to the seat; the last push may be through tight ground."""
        possible = set(self.options.ways)
        for cut in self.lengths.cuts:
            if cut.base_m <= ahead_m + TOLERANCE_M or cut.top_m >= seat.depth_m - TOLERANCE_M or not cut.decided:
                continue
            if seat.seals != "no" and cut.top_m >= seat.depth_m - min(LAST_PUSH_M, seat.embedment_m) - TOLERANCE_M:
                continue
            possible &= cut.ways
            if not possible:
                return None
        return min(possible, key=lambda way: (self.costs.plant[way] + self.costs.advance_m[way] * (seat.depth_m - ahead_m),
                                              WAYS.index(way)))
