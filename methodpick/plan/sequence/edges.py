"""What may follow a node of the search: whole segments, seat to seat, each in one sequence of states."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import inf

from methodpick.plan.sequence.costs import Costs
from methodpick.plan.sequence.drilling_options import Node, Opening
from methodpick.plan.sequence.lengths import TOLERANCE_M, Lengths
from methodpick.plan.sequence.path import NOTHING, Run, Score, Segment, plus
from methodpick.plan.sequence.search_options import Options
from methodpick.plan.sequence.search_slices import DISCOURAGED, FLUIDS, RULED_OUT, UNLIKELY, Seat

PARTIAL = frozenset({"casing_then_dry", "casing_then_fluid"})
"""Families that case a part and reach the tip in the open hole."""


class Edges:
    """All segments that may follow a node, but for those that cannot better the score of the best goal so far."""

    def __init__(self, lengths: Lengths, seats: Sequence[Seat], costs: Costs, options: Options) -> None:
        self.lengths, self.costs, self.options = lengths, costs, options
        self.seats = sorted(seats, key=lambda seat: seat.depth_m)
        self.tip = lengths.end_m
        self._pull = self._pull_ranks()
        self.opening = Opening(lengths, costs, options)
        self._bare = self._bare_lengths()
        self.goal: Score = (inf, inf, inf, inf, inf, 0)
        self.so_far = NOTHING
        self.last = self._last_seat()

    def of(self, node: Node, score: Score = NOTHING) -> Iterator[tuple[Segment, Node]]:
        """Return the segments after a node whose path has a score."""
        self.so_far, least = score, plus(score, self.lengths.least_below(node.depth_m))
        family = self.options.family
        bare = self.options.over_water and not node.strings
        if not bare and (family not in {"full_depth_casing", "permanent_casing"} | PARTIAL or node.strings):
            for runs, fluid in self.opening.hole(node, self.tip, self.options.finish_h):
                yield from self._finish(node, runs, fluid)
        if node.strings >= self.options.most_strings or family in {"dry", "slurry"}:
            return
        for seat in self.seats:
            if seat.depth_m < node.depth_m + self.options.least_run_m - TOLERANCE_M:
                continue
            if plus(least, (0.0, 0.0, 0.0, 0.0, self._string_cost(seat), 1)) >= self.goal:
                break  # no deeper seat costs less
            at_tip = seat.depth_m >= self.tip - TOLERANCE_M
            if (family == "full_depth_casing" and not at_tip) or (family in PARTIAL and at_tip):
                continue
            if not at_tip and not seat.in_socket and not bare:
                yield from self._set(node, seat)
            if not seat.in_socket or at_tip:
                yield from self._advanced(node, seat)

    def least(self, depth_m: float) -> Score:
        """Return what no way from a depth to the tip can score less than, a casing that the family still has to set included."""
        below = self.lengths.least_below(depth_m)
        if self.last is None or depth_m >= self.last.depth_m - TOLERANCE_M:
            return below
        return plus(below, (0.0, 0.0, 0.0, 0.0, self._string_cost(self.last), 1))

    def _last_seat(self) -> Seat | None:
        """Return the shallowest seat from which a plan that ends dry may reach the tip dry; None for other families."""
        if self.options.family != "casing_then_dry":
            return None
        return next((seat for seat in self.seats if self.lengths.blocked("dry", seat.depth_m) >= self.tip - TOLERANCE_M), None)

    def _set(self, node: Node, seat: Seat) -> Iterator[tuple[Segment, Node]]:
        """Return the ways to drill to just above the seat, set the casing and push it the last length into undrilled ground."""
        pushed_from = seat.pushed_from_m
        if pushed_from <= node.depth_m + self.options.least_run_m:
            return
        for open_runs, fluid in self.opening.hole(node, pushed_from, self.options.set_h):
            runs = open_runs
            if seat.depth_m > pushed_from:
                inside = "cased_dry" if runs[-1].state == "dry" else "cased_balanced"
                runs = (*runs, Run(pushed_from, seat.depth_m, inside))
            yield from self._cased(node, seat, runs, fluid, "set", None, pushed_from)

    def _finish(self, node: Node, runs: tuple[Run, ...], fluid: str) -> Iterator[tuple[Segment, Node]]:
        if self.options.family in {"slurry", "casing_then_fluid"} and runs[-1].state == "dry":
            return
        score = self._score(node, runs)
        if score is None:
            return
        score = plus(score, (0.0, self._bare[self.lengths.index(node.depth_m)], 0.0, 0.0, 0.0, 0))
        wet = runs[-1].state != "dry"
        if wet:
            score = plus(score, (0.0, 0.0, 0.0, 0.0, self.costs.tremie, 0))
        segment = Segment(node.depth_m, self.tip, runs, "none", None, self.tip, False, "no", 0.0, -1, self._bails(node, runs), score)
        yield segment, Node(self.tip, node.strings, "end", wet, fluid, self._paid(node, runs))

    def _score(self, node: Node, runs: tuple[Run, ...]) -> Score | None:
        """Return the score of drilling the runs, with plant first used, bailing and the exchange of what stands in the hole."""
        total: Score = NOTHING
        extra = 0.0
        for run in runs:
            part = self.lengths.score(run.state, run.top_m, run.base_m)
            if part is None:
                return None
            total = plus(total, part)
            if run.state in FLUIDS and run.state not in node.paid:
                extra += self.costs.plant[run.state]
        if self._bails(node, runs):
            extra += self.costs.seal_test
        elif node.wet and runs[0].state in FLUIDS and runs[0].state != (node.fluid or "water"):
            extra += self.costs.exchange
        changes = len(runs) - 1 + (1 if node.strings else 0)
        return plus(total, (0.0, 0.0, 0.0, 0.0, extra, changes))

    @staticmethod
    def _paid(node: Node, runs: tuple[Run, ...]) -> frozenset[str]:
        return node.paid.union(run.state for run in runs if run.state in FLUIDS)

    @staticmethod
    def _bails(node: Node, runs: tuple[Run, ...]) -> bool:
        return node.wet and runs[0].state == "dry"

    def _cased(
        self, node: Node, seat: Seat, runs: tuple[Run, ...], fluid: str, how: str, way: str | None, ahead_m: float
    ) -> Iterator[tuple[Segment, Node]]:
        drilled = self._score(node, runs)
        if drilled is None:
            return
        at_tip = seat.depth_m >= self.tip - TOLERANCE_M
        wet = runs[-1].state not in {"dry", "cased_dry"}
        paid = self._paid(node, runs)
        cost = self._string_cost(seat)
        if way is not None and how == "advanced":
            cost += self.opening.a_metre(way) * (seat.depth_m - ahead_m)
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
            segment = Segment(
                node.depth_m,
                seat.depth_m,
                runs,
                how,
                way,
                ahead_m,
                keep,
                seat.seals,
                seat.embedment_m,
                seat.stratum,
                self._bails(node, runs),
                score,
            )
            yield segment, Node(seat.depth_m, node.strings + 1, "end" if at_tip else seat.seals, wet, fluid, paid)

    def _string_cost(self, seat: Seat) -> float:
        return self.costs.string + self.costs.casing_m * (seat.depth_m + self.options.stick_up_m)

    def _kept(self, seat: Seat) -> Iterator[tuple[bool, Score]]:
        """Return pulling and leaving the string, each with its penalties and hazards over the string's length."""
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
        """Return the length below each cut that must not meet concrete without a casing that stays."""
        bare = [0.0]
        for cut in reversed(self.lengths.cuts):
            bare.append(bare[-1] + (cut.length_m if cut.decided and cut.pull == RULED_OUT else 0.0))
        return bare[:0:-1]

    def _advanced(self, node: Node, seat: Seat) -> Iterator[tuple[Segment, Node]]:
        """Return the ways to bring casing to the seat ahead of the excavation; the hole is full afterwards."""
        for runs, way, ahead in self.opening.ahead(node, seat):
            fluid = "" if runs[0].state == "dry" else node.fluid
            for segment, reached in self._cased(node, seat, runs, fluid, "advanced", way, ahead):
                yield segment, replace(reached, wet=True)
