"""What may follow a node of the search: whole segments, seat to seat, each in one sequence of states."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.sequence.drilling_options import SearchNode
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import NOTHING, TOLERANCE_M, WORST, Score
from methodpick.plan.sequence.search_input import SearchInput
from methodpick.plan.sequence.seats import Seat
from methodpick.plan.sequence.segments import Edge, Segments, WayToSeat

PARTIAL_CASING = frozenset({"casing_then_dry", "casing_then_fluid"})
"""Families that case a part and reach the tip in the open hole."""
WITH_CASING = PARTIAL_CASING | {"full_depth_casing", "permanent_casing"}
"""Families that set a casing before they reach the tip."""


class SearchEdges:
    """All edges that may follow a node, but for those that cannot better ``goal``, the score of the best goal so far."""

    def __init__(self, lengths: LengthScores, given: SearchInput, goal: Score = WORST, segments: Segments | None = None) -> None:
        self.lengths, self.options = lengths, given.options
        self.segments = segments or Segments(lengths, given)
        self.seats = sorted(given.seats, key=lambda seat: seat.depth_m)
        self.tip = lengths.end_m
        self.goal = goal
        self.last_seat = self._last_seat()

    def of(self, node: SearchNode, score: Score = NOTHING) -> Iterator[Edge]:
        """Return the edges after a node whose path has a score."""
        least = score.plus(self.lengths.least_below(node.depth_m))
        family = self.options.family
        bare, stays = self.options.over_water and not node.strings, family == "permanent_casing"
        after = self.segments.after(node)
        if not bare and (node.strings or family not in WITH_CASING):
            yield from after.to_tip(family)
        if node.strings >= self.options.most_strings or family in {"dry", "slurry"}:
            return
        for seat in self.seats:
            past = max(self.options.least_run_m, self.options.least_step_m if node.strings else 0.0)
            if seat.depth_m < node.depth_m + past - TOLERANCE_M:
                continue
            if least.with_cost(self.segments.string_cost(seat), 1) >= self.goal:
                break  # no deeper seat costs less
            at_tip = seat.depth_m >= self.tip - TOLERANCE_M
            if (family == "full_depth_casing" and not at_tip) or (family in PARTIAL_CASING and at_tip):
                continue
            ways: tuple[WayToSeat, ...] = ()
            if not at_tip and not seat.in_socket and not bare:
                ways = after.set_in_hole(seat)
            if not seat.in_socket or at_tip:
                ways += after.ahead(seat)
            for edge in self._worth_it(score, seat, ways) if ways else ():
                if edge.segment.keep or not stays:
                    yield edge

    def least(self, depth_m: float) -> Score:
        """Return what no way from a depth to the tip can score less than, a casing that the family still has to set included."""
        below = self.lengths.least_below(depth_m)
        if self.last_seat is None or depth_m >= self.last_seat.depth_m - TOLERANCE_M:
            return below
        return below.with_cost(self.segments.string_cost(self.last_seat), 1)

    def _last_seat(self) -> Seat | None:
        """Return the shallowest seat from which a plan that ends dry may reach the tip dry; None for other families."""
        if self.options.family != "casing_then_dry":
            return None
        return next((seat for seat in self.seats if self.lengths.blocked("dry", seat.depth_m) >= self.tip - TOLERANCE_M), None)

    def _worth_it(self, so_far: Score, seat: Seat, ways: tuple[WayToSeat, ...]) -> Iterator[Edge]:
        """Return the edges that end with a casing on the seat, pulled or left, unless they are too dear to be worth it."""
        rest, keeping = self.least(seat.depth_m), self.segments.keeping(seat)
        for way in ways:
            if so_far.plus(way.score).plus(rest) < self.goal:
                yield from way.edges(keeping)
