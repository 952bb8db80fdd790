"""The cheapest buildable sequence, by exact shortest path over depth.

A node is a seat depth with the number of strings, the seal, the fluid in use and the plant already paid for; an edge
is one whole segment, seat to seat, in one sequence of states. Scores add along a path and are compared in order, so
keeping the best path of every node is exact, fixed costs included.
"""

from __future__ import annotations

from dataclasses import replace
from heapq import heappop, heappush
from itertools import count

from methodpick.plan.sequence.drilling_options import SearchNode
from methodpick.plan.sequence.edges import SearchEdges
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import NOTHING, TOLERANCE_M, Score, Segment, SequencePath
from methodpick.plan.sequence.search_input import SearchCosts, SearchInput

_Reached = dict[SearchNode, tuple[Score, SearchNode | None, Segment | None]]
"""For every node the best score, the node before it and the segment between."""


def search(lengths: LengthScores, given: SearchInput) -> SequencePath | None:
    """Return the best path from the starter's shoe to the tip, None where the family cannot be built.

    The node with the least score, drilling the rest included, is followed first; the search ends where that least
    reaches the score of the best goal.
    """
    tip = lengths.end_m
    start = SearchNode(depth_m=given.options.start_m, strings=0, sealed="none", wet=False, fluid="", paid=frozenset())
    best: _Reached = {start: (NOTHING, None, None)}
    edges, front = SearchEdges(lengths, given), _Front(given.costs)
    goal: SearchNode | None = None
    order = count()
    waiting = [(edges.least(start.depth_m), next(order), start, NOTHING)]
    while waiting:
        least, _, node, score = heappop(waiting)
        if least >= edges.goal:
            break
        if not front.holds(node, score):
            continue
        for segment, reached in edges.of(node, score):
            burden = given.options.objections.burden(segment, node.strings, given.costs.should_m, cautious=lengths.cautious)
            if burden is None:
                continue
            weighed = segment if burden is NOTHING else replace(segment, score=segment.score.plus(burden))
            total = score.plus(weighed.score)
            if total >= edges.goal:
                continue
            if reached.depth_m >= tip - TOLERANCE_M:
                best[reached] = (total, node, weighed)
                goal, edges.goal = reached, total
            elif front.takes(reached, total):
                best[reached] = (total, node, weighed)
                heappush(waiting, (total.plus(edges.least(reached.depth_m)), next(order), reached, total))
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
        if any(self._covers(other, reached, node, score) for other, reached in here):
            return False
        here[:] = [(other, reached) for other, reached in here if not self._covers(node, score, other, reached)]
        here.append((node, score))
        return True

    def holds(self, node: SearchNode, score: Score) -> bool:
        """Return whether a node is still worth following at this score."""
        return node.strings == 0 or (node, score) in self.at[node.depth_m, node.sealed]

    def _covers(self, able: SearchNode, able_score: Score, other: SearchNode, other_score: Score) -> bool:
        """Return whether a node can do all that another can for no higher score."""
        if able.strings > other.strings or able.wet > other.wet or able.fluid not in {"", other.fluid}:
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
