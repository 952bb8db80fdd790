"""What may follow a node of the search: whole segments, seat to seat, each in one sequence of states."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from methodpick.plan.sequence.drilling_options import Drilling, SearchNode
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import NOTHING, TOLERANCE_M, WORST, Score, Segment
from methodpick.plan.sequence.search_input import SearchInput
from methodpick.plan.sequence.search_slices import RULED_OUT, UNLIKELY
from methodpick.plan.sequence.seat_segments import SeatSegments, WayToSeat, bails, paid_for
from methodpick.plan.sequence.seats import Seat

PARTIAL_CASING = frozenset({"casing_then_dry", "casing_then_fluid"})
"""Families that case a part and reach the tip in the open hole."""
WITH_CASING = PARTIAL_CASING | {"full_depth_casing", "permanent_casing"}
"""Families that set a casing before they reach the tip."""


class SearchEdges:
    """All segments that may follow a node, but for those that cannot better ``goal``, the score of the best goal so far."""

    def __init__(self, lengths: LengthScores, given: SearchInput, goal: Score = WORST, to_seats: SeatSegments | None = None) -> None:
        self.lengths, self.costs, self.options = lengths, given.costs, given.options
        self.to_seats = to_seats or SeatSegments(lengths, given)
        self.seats = sorted(given.seats, key=lambda seat: seat.depth_m)
        self.tip = lengths.end_m
        self.goal = goal
        self.so_far = NOTHING
        self.last_seat = self._last_seat()
        self._kept_scores: dict[float, tuple[tuple[bool, Score], ...]] = {}

    def of(self, node: SearchNode, score: Score = NOTHING) -> Iterator[tuple[Segment, SearchNode]]:
        """Return the segments after a node whose path has a score."""
        self.so_far, least = score, score.plus(self.lengths.least_below(node.depth_m))
        family = self.options.family
        bare = self.options.over_water and not node.strings
        if not bare and (node.strings or family not in WITH_CASING):
            for drilling in self.to_seats.drilling.open_hole(node, self.tip, self.options.finish_h, family):
                yield from self._to_tip(node, drilling)
        if node.strings >= self.options.most_strings or family in {"dry", "slurry"}:
            return
        for seat in self.seats:
            past = max(self.options.least_run_m, self.options.least_step_m if node.strings else 0.0)
            if seat.depth_m < node.depth_m + past - TOLERANCE_M:
                continue
            if least.with_cost(self.to_seats.string_cost(seat), 1) >= self.goal:
                break  # no deeper seat costs less
            at_tip = seat.depth_m >= self.tip - TOLERANCE_M
            if (family == "full_depth_casing" and not at_tip) or (family in PARTIAL_CASING and at_tip):
                continue
            if not at_tip and not seat.in_socket and not bare:
                yield from self._pulled_or_left(seat, self.to_seats.set_in_hole(node, seat))
            if not seat.in_socket or at_tip:
                yield from self._pulled_or_left(seat, self.to_seats.ahead(node, seat))

    def least(self, depth_m: float) -> Score:
        """Return what no way from a depth to the tip can score less than, a casing that the family still has to set included."""
        below = self.lengths.least_below(depth_m)
        if self.last_seat is None or depth_m >= self.last_seat.depth_m - TOLERANCE_M:
            return below
        return below.with_cost(self.to_seats.string_cost(self.last_seat), 1)

    def _last_seat(self) -> Seat | None:
        """Return the shallowest seat from which a plan that ends dry may reach the tip dry; None for other families."""
        if self.options.family != "casing_then_dry":
            return None
        return next((seat for seat in self.seats if self.lengths.blocked("dry", seat.depth_m) >= self.tip - TOLERANCE_M), None)

    def _to_tip(self, node: SearchNode, drilling: Drilling) -> Iterator[tuple[Segment, SearchNode]]:
        """Return the segment that reaches the tip in the open hole, where the family lets it."""
        runs, fluid = drilling
        wet = runs[-1].state != "dry"
        if not wet and self.options.family in {"slurry", "casing_then_fluid"}:
            return
        score = self.to_seats.drilled(node, runs)
        if score is None:
            return
        score = score.with_unlikely(self.lengths.bare_below(node.depth_m))
        segment = Segment(
            top_m=node.depth_m,
            base_m=self.tip,
            runs=runs,
            casing="none",
            way=None,
            ahead_m=self.tip,
            keep=False,
            sealed="no",
            embedment_m=0.0,
            stratum=-1,
            bails=bails(node, runs),
            score=score.with_cost(self.costs.tremie) if wet else score,
        )
        yield segment, SearchNode(depth_m=self.tip, strings=node.strings, sealed="end", wet=wet, fluid=fluid, paid=paid_for(node, runs))

    def _pulled_or_left(self, seat: Seat, ways: Iterable[WayToSeat]) -> Iterator[tuple[Segment, SearchNode]]:
        """Return the segments that end with a casing on the seat, pulled or left, unless they are too dear to be worth it."""
        rest = self.least(seat.depth_m)
        for way in ways:
            if self.so_far.plus(way.score).plus(rest) >= self.goal:
                continue
            for keep, extra in self._keeping(seat):
                segment = Segment(
                    top_m=way.runs[0].top_m,
                    base_m=seat.depth_m,
                    runs=way.runs,
                    casing=way.lowering.how,
                    way=way.lowering.way,
                    ahead_m=way.lowering.ahead_m,
                    keep=keep,
                    sealed=seat.seals,
                    embedment_m=seat.embedment_m,
                    stratum=seat.stratum,
                    bails=way.bails,
                    score=way.score.plus(extra),
                )
                yield segment, way.reached

    def _keeping(self, seat: Seat) -> tuple[tuple[bool, Score], ...]:
        """Return pulling and leaving a string, each with its penalties and hazards over the string's length; worked out once."""
        if seat.depth_m not in self._kept_scores:
            self._kept_scores[seat.depth_m] = tuple(self._scores_of_keeping(seat))
        return self._kept_scores[seat.depth_m]

    def _scores_of_keeping(self, seat: Seat) -> Iterator[tuple[bool, Score]]:
        pull, leave, should_pull, should_leave = self.lengths.string_to(seat.depth_m)
        if self.options.temporary and pull != RULED_OUT and self.options.family != "permanent_casing":
            yield False, Score(unlikely_m=1.0 if pull == UNLIKELY else 0.0, cost=self.costs.should_m * should_pull)
        if self.options.permanent and leave != RULED_OUT:
            cost = self.costs.permanent_m * seat.depth_m + self.costs.should_m * should_leave
            yield True, Score(unlikely_m=1.0 if leave == UNLIKELY else 0.0, cost=cost)
