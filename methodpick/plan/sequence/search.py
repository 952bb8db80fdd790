"""The cheapest buildable sequence, by exact shortest path over depth.

A node is a seat depth with the number of strings, the seal, the fluid in use and the plant already paid for; an edge
is one whole segment, seat to seat, in one sequence of states. Scores add along a path and are compared in order, so
keeping the best path of every node is exact, fixed costs included.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from heapq import heappop, heappush
from itertools import count

from methodpick.plan.sequence.costs import Costs
from methodpick.plan.sequence.drilling_options import Node
from methodpick.plan.sequence.edges import Edges
from methodpick.plan.sequence.lengths import TOLERANCE_M, Lengths
from methodpick.plan.sequence.path import NOTHING, Path, Score, Segment, plus
from methodpick.plan.sequence.search_options import Options
from methodpick.plan.sequence.search_slices import Seat


def search(lengths: Lengths, seats: Sequence[Seat], costs: Costs, options: Options) -> Path | None:
    """Return the best path from the starter's shoe to the tip, None where the family cannot be built.

    The node with the least score, drilling the rest included, is followed first; the search ends where that least
    reaches the score of the best goal.
    """
    tip = lengths.end_m
    start = Node(options.start_m, 0, "none", False, "", frozenset())
    best: dict[Node, tuple[Score, Node | None, Segment | None]] = {start: (NOTHING, None, None)}
    edges, front = Edges(lengths, seats, costs, options), _Front(costs)
    goal: Node | None = None
    order = count()
    waiting = [(edges.least(start.depth_m), next(order), start, NOTHING)]
    while waiting:
        least, _, node, score = heappop(waiting)
        if least >= edges.goal:
            break
        if not front.holds(node, score):
            continue
        for segment, reached in edges.of(node, score):
            burden = options.objections.burden(segment, node.strings, costs.should_m, cautious=lengths.cautious)
            if burden is None:
                continue
            weighed = segment if burden is NOTHING else replace(segment, score=plus(segment.score, burden))
            total = plus(score, weighed.score)
            if total >= edges.goal:
                continue
            if reached.depth_m >= tip - TOLERANCE_M:
                best[reached] = (total, node, weighed)
                goal, edges.goal = reached, total
            elif front.takes(reached, total):
                best[reached] = (total, node, weighed)
                heappush(waiting, (plus(total, edges.least(reached.depth_m)), next(order), reached, total))
    return None if goal is None else _trace(best, goal)


class _Front:
    """The nodes worth following. One is idle where another at its depth does all it can do for no higher score.

    What the other has paid for and the one has not, its fluids' plant or a way of advancing casing, counts as paid on top, and
    so does bringing the other's fluid into the hole.
    """

    def __init__(self, costs: Costs) -> None:
        self.plant, self.exchange = costs.plant, costs.exchange
        self.at: dict[tuple[float, str], list[tuple[Node, Score]]] = {}

    def takes(self, node: Node, score: Score) -> bool:
        """Take a node unless it is idle; tell whether it was taken."""
        here = self.at.setdefault((node.depth_m, node.sealed), [])
        if any(self._covers(other, reached, node, score) for other, reached in here):
            return False
        here[:] = [(other, reached) for other, reached in here if not self._covers(node, score, other, reached)]
        here.append((node, score))
        return True

    def holds(self, node: Node, score: Score) -> bool:
        """Return whether a node is still worth following at this score."""
        return node.strings == 0 or (node, score) in self.at[node.depth_m, node.sealed]

    def _covers(self, one: Node, at_one: Score, other: Node, at_other: Score) -> bool:
        if one.strings > other.strings or one.wet > other.wet or one.fluid not in {"", other.fluid}:
            return False
        unpaid = self.exchange if one.fluid != other.fluid else 0.0
        unpaid += sum(self.plant[name] for name in other.paid - one.paid)
        return plus(at_one, (0.0, 0.0, 0.0, 0.0, unpaid, 0)) <= at_other


def _trace(best: dict[Node, tuple[Score, Node | None, Segment | None]], node: Node) -> Path:
    score = best[node][0]
    segments: list[Segment] = []
    at: Node | None = node
    while at is not None:
        _, before, segment = best[at]
        if segment is not None:
            segments.append(segment)
        at = before
    return Path(tuple(reversed(segments)), score)
