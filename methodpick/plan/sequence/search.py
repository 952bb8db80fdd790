"""The cheapest buildable sequence, by exact shortest path over depth.

A node is a seat depth with the number of strings, the seal, the fluid in use and the plant already paid for; an edge
is one whole segment, seat to seat, in one sequence of states. Scores add along a path and are compared in order, so
keeping the best path of every node is exact, fixed costs included.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from heapq import heappop, heappush
from itertools import count

from methodpick.plan.sequence.drilling_options import SearchNode
from methodpick.plan.sequence.least_rest import reaches
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import DRY_BASE, NOTHING, PERMANENT, TOLERANCE_M, UPPER_CASING, WORST, Score, Segment, SequencePath
from methodpick.plan.sequence.search_input import SearchCosts, SearchInput
from methodpick.plan.sequence.seats import Seat
from methodpick.plan.sequence.segments import Edge, Segments, WayToSeat
from methodpick.terms import FLUIDS

# ---- What may follow a node of the search: whole segments, seat to seat, each in one sequence of states


PARTIAL_CASING = frozenset({DRY_BASE, UPPER_CASING})
"""Families that case a part and reach the tip in the open hole."""
WITH_CASING = PARTIAL_CASING | {"full_depth_casing", PERMANENT}
"""Families that set a casing before they reach the tip."""


class SearchEdges:
    """All edges that may follow a node, but for those that cannot better ``goal``, the score of the best goal so far."""

    def __init__(self, lengths: LengthScores, given: SearchInput, goal: Score = WORST, segments: Segments | None = None) -> None:
        self.lengths, self.options = lengths, given.options
        self.segments = segments or Segments(lengths, given)
        self.seats = sorted(given.seats, key=lambda seat: seat.depth_m)
        self.tip = lengths.end_m
        self.goal = goal
        self.rest = self.segments.rest_of(given)
        self.last_seat = self._last_seat()

    def of(self, node: SearchNode, score: Score = NOTHING) -> Iterator[Edge]:
        """Return the edges after a node whose path has a score."""
        least = score.plus(self.lengths.least_below(node.depth_m))
        family = self.options.family
        bare, stays = self.options.over_water and not node.strings, family == PERMANENT
        if not bare and (node.strings or family not in WITH_CASING):
            yield from self.to_tip(node)
        if node.strings >= self.options.most_strings or family in {"dry", "slurry"}:
            return
        after = self.segments.after(node)
        for seat in self.seats:
            past = max(self.options.least_run_m, self.options.least_step_m if node.strings else 0.0)
            if seat.depth_m < node.depth_m + past - TOLERANCE_M:
                continue
            if least.with_cost(self.segments.least_string_cost(seat, node.strings), 1) >= self.goal:
                break  # no deeper seat costs less
            if self.is_too_dear(score.plus(self._least_to(node, seat)), seat.depth_m, node.paid):
                continue
            at_tip = seat.depth_m >= self.tip - TOLERANCE_M
            if (family == "full_depth_casing" and not at_tip) or (family in PARTIAL_CASING and at_tip):
                continue
            ways: tuple[WayToSeat, ...] = ()
            if not at_tip and not seat.in_socket and not bare:
                ways = after.set_in_hole(self.segments, seat)
            if not seat.in_socket or at_tip:
                ways += after.ahead(self.segments, seat)
            for edge in self._worth_it(score, seat, ways) if ways else ():
                if (edge.segment.keep or not stays) and not (self.options.one_diameter and self._telescopes(edge.segment)):
                    yield edge

    def to_tip(self, node: SearchNode) -> Iterable[Edge]:
        """Return the edges in the open hole from a node to the tip."""
        return self.segments.after(node).to_tip(self.segments, self.options.family)

    def bound_by(self, node: SearchNode, score: Score, should_m: float) -> None:
        """Lower the goal to just above the best open hole from a node to the tip, which the search finds itself when it comes there."""
        for edge in self.to_tip(node):
            burden = edge.burden(self.options.objections, should_m, cautious=self.lengths.cautious)
            if burden is not None:
                total = edge.segment.score if burden is NOTHING else edge.segment.score.plus(burden)
                self.goal = min(self.goal, score.plus(total).with_cost(TOLERANCE_M, 1))

    def is_too_dear(self, score: Score, depth_m: float, paid: frozenset[str]) -> bool:
        """Return whether no way that scores so much down to a seat betters the best goal so far."""
        return reaches(score.plus(self.rest.below(depth_m, paid)), self.goal)

    def _least_to(self, node: SearchNode, seat: Seat) -> Score:
        """Return what no casing from a node to a seat scores less than."""
        drilled = self.lengths.least_below(node.depth_m).since(self.lengths.least_below(seat.depth_m))
        return drilled.with_cost(self.segments.least_string_cost(seat, node.strings), 1)

    def _telescopes(self, segment: Segment) -> bool:
        """Return whether the casing of a segment that starts at the starter's shoe or below stands inside the starter."""
        return self.options.surface_m is not None and segment.top_m >= self.options.start_m - TOLERANCE_M

    def least(self, depth_m: float) -> Score:
        """Return what no way from a depth to the tip can score less than, a casing that the family still has to set included."""
        below = self.lengths.least_below(depth_m)
        if self.last_seat is None or depth_m >= self.last_seat.depth_m - TOLERANCE_M:
            return below
        return below.with_cost(self.segments.least_string_cost(self.last_seat), 1)

    def _last_seat(self) -> Seat | None:
        """Return the shallowest seat from which a plan that ends dry may reach the tip dry; None for other families."""
        if self.options.family != DRY_BASE:
            return None
        return next((seat for seat in self.seats if self.lengths.blocked("dry", seat.depth_m) >= self.tip - TOLERANCE_M), None)

    def _worth_it(self, so_far: Score, seat: Seat, ways: tuple[WayToSeat, ...]) -> Iterator[Edge]:
        """Return the edges that end with a casing on the seat, pulled or left, unless they are too dear to be worth it."""
        rest, keeping = self.least(seat.depth_m), self.segments.keeping(seat)
        for way in ways:
            reached = so_far.plus(way.score)
            if reached.plus(rest) < self.goal and not self.is_too_dear(reached, seat.depth_m, way.reached.paid):
                yield from way.edges(keeping)


class _EdgesWithoutFluid(SearchEdges):
    """The edges that need no support fluid."""

    def of(self, node: SearchNode, score: Score = NOTHING) -> Iterator[Edge]:
        return filter(_needs_no_fluid, super().of(node, score))

    def to_tip(self, node: SearchNode) -> Iterable[Edge]:
        return filter(_needs_no_fluid, super().to_tip(node))


def _needs_no_fluid(edge: Edge) -> bool:
    return all(run.state not in FLUIDS for run in edge.segment.runs)


# ---- The cheapest buildable sequence, by exact shortest path over depth


_Reached = dict[SearchNode, tuple[Score, SearchNode | None, Segment | None]]
"""For every node the best score, the node before it and the segment between."""


def search(
    lengths: LengthScores, given: SearchInput, near: SequencePath | None = None, segments: Segments | None = None
) -> SequencePath | None:
    """Return the best path from the starter's shoe to the tip, None where the family cannot be built.

    ``near`` is the best path of a search much like this one: nothing that scores worse than it does here has to be followed.
    Where it cannot be built here, the search is made without it. ``segments`` are shared with other searches over the same lengths.
    """
    bound = None if near is None else score_of(near, lengths, given)
    found = None if bound is None else _search(given, SearchEdges(lengths, given, bound.with_cost(0.0, 1), segments))
    return found if found is not None else _search(given, SearchEdges(lengths, given, WORST, segments))


def score_of(path: SequencePath, lengths: LengthScores, given: SearchInput) -> Score | None:
    """Return the score of a path of another search in this one; None where a length of it is ruled out or an objection bars it.

    The costs of the two searches are the same, so that only the lengths on which a hazard is open have to be read again.
    """
    total = NOTHING
    for strings, segment in enumerate(path.segments):
        here = list(lengths.of_runs(segment.runs))
        drilled = [score for score in here if score is not None]
        if len(drilled) < len(here):
            return None
        score = segment.score._replace(doubtful_m=sum(part.doubtful_m for part in drilled))
        burden = given.options.objections.burden(segment, strings, given.costs.should_m, cautious=lengths.cautious)
        if burden is None:
            return None
        total = total.plus(score if burden is NOTHING else score.plus(burden))
    return total


def does_without_fluid(lengths: LengthScores, given: SearchInput, bound: Score, segments: Segments) -> bool:
    """Return whether a path without any support fluid scores less than a bound."""
    return _search(given, _EdgesWithoutFluid(lengths, given, bound, segments)) is not None


def scores_below(lengths: LengthScores, given: SearchInput, bound: Score, segments: Segments) -> bool:
    """Return whether any path of a family scores less than a bound."""
    return _search(given, SearchEdges(lengths, given, bound, segments)) is not None


def _search(given: SearchInput, edges: SearchEdges) -> SequencePath | None:
    """Return the best path along edges that scores less than their goal.

    The node with the least score, drilling the rest included, is followed first; the search ends where that least
    reaches the score of the best goal.
    """
    tip, front = edges.tip, _Front(given.costs)
    start = SearchNode(depth_m=given.options.start_m, strings=0, sealed="none", wet=False, fluid="", paid=frozenset())
    best: _Reached = {start: (NOTHING, None, None)}
    objections, should_m, cautious = given.options.objections, given.costs.should_m, edges.lengths.cautious
    goal: SearchNode | None = None
    order = count()
    waiting = [(edges.least(start.depth_m), next(order), start, NOTHING)]
    while waiting:
        least, _, node, score = heappop(waiting)
        if least >= edges.goal:
            break
        if not front.holds(node, score) or (node.strings and edges.is_too_dear(score, node.depth_m, node.paid)):
            continue
        for edge in edges.of(node, score):
            segment, reached = edge.segment, edge.reached
            total = score.plus(segment.score)
            if total >= edges.goal:
                continue
            burden = edge.burden(objections, should_m, cautious=cautious)
            if burden is None:
                continue
            if burden is not NOTHING:
                total = score.plus(segment.score.plus(burden))
                if total >= edges.goal:
                    continue
            if reached.depth_m >= tip - TOLERANCE_M:
                best[reached] = (total, node, segment)
                goal, edges.goal = reached, total
            elif front.takes(reached, total):
                best[reached] = (total, node, segment)
                heappush(waiting, (total.plus(edges.least(reached.depth_m)), next(order), reached, total))
                edges.bound_by(reached, total, should_m)
    return None if goal is None else _trace(best, goal)


class _Front:
    """The nodes worth following. One is idle where another at its depth does all it can do for no higher score.

    What the other has paid for and the one has not, its fluids' plant or a way of advancing casing, counts as paid on top, and
    so does bringing the other's fluid into the hole.
    """

    def __init__(self, costs: SearchCosts) -> None:
        self.plant, self.exchange = costs.plant, costs.exchange
        self.at: dict[tuple[float, str], list[tuple[SearchNode, Score]]] = {}

    def takes(self, node: SearchNode, score: Score) -> bool:
        """Take a node unless it is idle; return whether it was taken."""
        here = self.at.setdefault((node.depth_m, node.sealed), [])
        for other, reached in here:
            if self._covers(other, reached, node, score):
                return False
        here[:] = [(other, reached) for other, reached in here if not self._covers(node, score, other, reached)]
        here.append((node, score))
        return True

    def holds(self, node: SearchNode, score: Score) -> bool:
        """Return whether a node is still worth following at this score."""
        return node.strings == 0 or (node, score) in self.at[node.depth_m, node.sealed]

    def _covers(self, able: SearchNode, able_score: Score, other: SearchNode, other_score: Score) -> bool:
        """Return whether a node can do all that another can for no higher score."""
        if able_score > other_score or able.strings > other.strings or able.wet > other.wet or able.fluid not in {"", other.fluid}:
            return False
        unpaid = self.exchange if able.fluid != other.fluid else 0.0
        unpaid += sum(self.plant[name] for name in other.paid - able.paid)
        return able_score.with_cost(unpaid) <= other_score


def _trace(best: _Reached, node: SearchNode) -> SequencePath:
    """Return the path that leads to a node."""
    score = best[node][0]
    segments: list[Segment] = []
    at: SearchNode | None = node
    while at is not None:
        _, before, segment = best[at]
        if segment is not None:
            segments.append(segment)
        at = before
    return SequencePath(tuple(reversed(segments)), score)
