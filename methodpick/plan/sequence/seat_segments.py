"""The ways to bring a casing from a node of the search to a seat, and what each costs; all families share them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from methodpick.plan.sequence.drilling_options import Drilling, DrillingOptions, Lowering, SearchNode
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import NOTHING, TOLERANCE_M, Run, Score
from methodpick.plan.sequence.search_input import SearchInput
from methodpick.plan.sequence.seats import Seat
from methodpick.terms import FLUIDS


class WayToSeat(NamedTuple):
    """A way to bring a casing to a seat: how it is drilled and lowered, the node that it leads to, and its score, pulled or left aside."""

    runs: tuple[Run, ...]
    lowering: Lowering
    bails: bool
    reached: SearchNode
    score: Score


class SeatSegments:
    """The ways from a node to a seat. Each is worked out once for all searches over the same ground, whatever their family."""

    def __init__(self, lengths: LengthScores, given: SearchInput) -> None:
        self.lengths, self.costs, self.options = lengths, given.costs, given.options
        self.tip = lengths.end_m
        self.drilling = DrillingOptions(lengths, given)
        self._set: dict[tuple[SearchNode, float], tuple[WayToSeat, ...]] = {}
        self._ahead: dict[tuple[SearchNode, float, int], tuple[WayToSeat, ...]] = {}

    def set_in_hole(self, node: SearchNode, seat: Seat) -> tuple[WayToSeat, ...]:
        """Return the ways to drill to just above the seat, set the casing and push it the last length into undrilled ground."""
        key = (node, seat.depth_m)
        if key not in self._set:
            self._set[key] = tuple(self._find_set(node, seat))
        return self._set[key]

    def ahead(self, node: SearchNode, seat: Seat) -> tuple[WayToSeat, ...]:
        """Return the ways to bring the casing ahead of the excavation; objections to a way of advancing may change them."""
        key = (node, seat.depth_m, self.options.objections.about_ways)
        if key not in self._ahead:
            found = (self._way(node, seat, drilling, lowering) for drilling, lowering in self.drilling.casing_ahead(node, seat))
            self._ahead[key] = tuple(way for way in found if way is not None)
        return self._ahead[key]

    def string_cost(self, seat: Seat) -> float:
        """Return the cost of a string to a seat, before it is drilled for."""
        return self.costs.string + self.costs.casing_m * (seat.depth_m + self.options.stick_up_m)

    def drilled(self, node: SearchNode, runs: tuple[Run, ...]) -> Score | None:
        """Return the score of drilling the runs, with plant first used, bailing and the exchange of what stands in the hole.

        What a casing that stands in place of a starter goes through above the starter's shoe counts nothing, as the starter does not.
        """
        total = NOTHING
        extra = 0.0
        for run in runs:
            part = self.lengths.score(run.state, max(run.top_m, node.depth_m), run.base_m)
            if part is None:
                return None
            total = part if total is NOTHING else total.plus(part)
            if run.state in FLUIDS and run.state not in node.paid:
                extra += self.costs.plant[run.state]
        if bails(node, runs):
            extra += self.costs.seal_test
        elif node.wet and runs[0].state in FLUIDS and runs[0].state != (node.fluid or "water"):
            extra += self.costs.exchange
        return total.with_cost(extra, len(runs) - 1 + (1 if node.strings else 0))

    def _find_set(self, node: SearchNode, seat: Seat) -> Iterator[WayToSeat]:
        pushed_from = seat.pushed_from_m
        if pushed_from <= node.depth_m + self.options.least_run_m:
            return
        lowering = Lowering("set", None, pushed_from)
        for runs, fluid in self.drilling.open_hole(node, pushed_from, self.options.set_h):
            pushed: tuple[Run, ...] = ()
            if seat.depth_m > pushed_from:
                pushed = (Run(pushed_from, seat.depth_m, "cased_dry" if runs[-1].state == "dry" else "cased_balanced"),)
            way = self._way(node, seat, Drilling((*runs, *pushed), fluid), lowering)
            if way is not None:
                yield way

    def _way(self, node: SearchNode, seat: Seat, drilling: Drilling, lowering: Lowering) -> WayToSeat | None:
        runs = drilling.runs
        score = self.drilled(node, runs)
        if score is None:
            return None
        at_tip = seat.depth_m >= self.tip - TOLERANCE_M
        wet = runs[-1].state not in {"dry", "cased_dry"}
        paid, cost = paid_for(node, runs), self.string_cost(seat)
        if lowering.way is not None:
            ahead_m = max(lowering.ahead_m, node.depth_m)
            cost += self.drilling.advance_cost_m(lowering.way) * (seat.depth_m - ahead_m)
            cost += self.costs.smeared_m * self.lengths.smeared(ahead_m, seat.entered_m)
            if lowering.way not in paid:
                cost += self.costs.plant[lowering.way]
                paid = paid | {lowering.way}
        if at_tip and wet:
            cost += self.costs.tremie
        sealed = "end" if at_tip else seat.seals
        reached = SearchNode(seat.depth_m, node.strings + 1, sealed, wet, drilling.fluid, paid)
        return WayToSeat(runs, lowering, bails(node, runs), reached, score.with_cost(cost, 1))


def paid_for(node: SearchNode, runs: tuple[Run, ...]) -> frozenset[str]:
    """Return the plant that is paid for once the runs are drilled."""
    new = [run.state for run in runs if run.state in FLUIDS and run.state not in node.paid]
    return node.paid.union(new) if new else node.paid


def bails(node: SearchNode, runs: tuple[Run, ...]) -> bool:
    """Return whether a full hole is emptied before the first run."""
    return node.wet and runs[0].state == "dry"
