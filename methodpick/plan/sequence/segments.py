"""The segments that may follow a node of the search, each worked out once for all searches over the same lengths."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain

from methodpick.plan.sequence.drilling_options import NO_WATER, Drilling, DrillingOptions, Lowering, SearchNode
from methodpick.plan.sequence.least_rest import LeastRest
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.objections import Objections
from methodpick.plan.sequence.path import NOTHING, TOLERANCE_M, UPPER_CASING, Run, Score, Segment
from methodpick.plan.sequence.search_input import RULED_OUT, UNLIKELY, SearchInput
from methodpick.plan.sequence.seats import Seat
from methodpick.records import record
from methodpick.terms import FLUIDS


@record(frozen=False)
class Edge:
    """A segment that may follow a node and the node that it leads to; ``strings`` stand when it starts.

    What the objections add to its score is kept with it: of those that come later only the new ones are looked at.
    """

    segment: Segment
    reached: SearchNode
    strings: int
    _total: Score | None = NOTHING
    _counted: int = 0

    def burden(self, objections: Objections, should_m: float, *, cautious: bool) -> Score | None:
        """Return what the objections known so far add to the score of the segment; None where one bars it."""
        known = len(objections.known)
        if self._counted < known and self._total is not None:
            new, before = objections.since(self._counted, self.segment.base_m), self._total
            self._total = objections.burden(self.segment, self.strings, should_m, cautious=cautious, new=new, before=before)
        self._counted = known
        return self._total


class WayToSeat:
    """A way to bring a casing from a node to a seat: how it is drilled and lowered, the node that it leads to, and its score.

    The edges that pull the casing later and that leave it in are made when a search comes to them; most ways are too dear for that.
    """

    __slots__ = ("_edges", "drilling", "lowering", "node", "reached", "score", "seat")

    def __init__(self, node: SearchNode, seat: Seat, drilled: tuple[Drilling, Lowering], reached: SearchNode, score: Score) -> None:
        self.node, self.seat, self.reached, self.score = node, seat, reached, score
        self.drilling, self.lowering = drilled
        self._edges: tuple[Edge, ...] | None = None

    def edges(self, keeping: Iterable[tuple[bool, Score]]) -> tuple[Edge, ...]:
        """Return the edges, by whether the casing stays and what that adds to the score; made once."""
        if self._edges is None:
            self._edges = tuple(Edge(self._segment(extra, keep=keep), self.reached, self.node.strings) for keep, extra in keeping)
        return self._edges

    def _segment(self, extra: Score, *, keep: bool) -> Segment:
        return Segment(
            top_m=self.drilling.runs[0].top_m,
            base_m=self.seat.depth_m,
            runs=self.drilling.runs,
            casing=self.lowering.how,
            way=self.lowering.way,
            ahead_m=self.lowering.ahead_m,
            dug_m=self.lowering.dug_m,
            keep=keep,
            sealed=self.seat.seals,
            embedment_m=self.seat.embedment_m,
            stratum=self.seat.stratum,
            bails=_bails(self.node, self.drilling.runs),
            score=self.score.plus(extra),
        )


class AfterNode:
    """What may follow one node, each worked out when a search first asks: the ways to a seat, and the edges to the tip by the family.

    The segments that keep it are handed to it and not held: what holds itself only the collector of cycles could free.
    """

    __slots__ = ("_ahead", "_node", "_set_in_hole", "_to_tip")

    def __init__(self, node: SearchNode) -> None:
        self._node = node
        self._set_in_hole: dict[float, tuple[WayToSeat, ...]] = {}
        self._ahead: dict[tuple[float, int], tuple[WayToSeat, ...]] = {}
        self._to_tip: dict[str, tuple[Edge, ...]] = {}

    def to_tip(self, segments: Segments, family: str) -> tuple[Edge, ...]:
        """Return the edges of a family that reach the tip in the open hole."""
        if family not in self._to_tip:
            self._to_tip[family] = tuple(segments.find_to_tip(self._node, family))
        return self._to_tip[family]

    def set_in_hole(self, segments: Segments, seat: Seat) -> tuple[WayToSeat, ...]:
        """Return the ways to drill to just above the seat, set the casing and push it the last length into undrilled ground."""
        found = self._set_in_hole.get(seat.depth_m)
        if found is None:
            found = self._set_in_hole[seat.depth_m] = tuple(segments.find_set(self._node, seat))
        return found

    def ahead(self, segments: Segments, seat: Seat) -> tuple[WayToSeat, ...]:
        """Return the ways to bring the casing ahead of the excavation; objections to a way of advancing may change them."""
        key = (seat.depth_m, len(segments.options.objections.about_ways(seat.depth_m)))
        found = self._ahead.get(key)
        if found is None:
            found = self._ahead[key] = tuple(segments.find_ahead(self._node, seat))
        return found


class Segments:
    """The segments from a node to a seat or the tip; they live as long as the searches over the same lengths."""

    def __init__(self, lengths: LengthScores, given: SearchInput) -> None:
        self.lengths, self.costs, self.options = lengths, given.costs, given.options
        self.tip = lengths.end_m
        self.drilling = DrillingOptions(lengths, given)
        self._after: dict[SearchNode, AfterNode] = {}
        self._kept_scores: dict[float, tuple[tuple[bool, Score], ...]] = {}
        self._rests: dict[str, LeastRest] = {}

    def after(self, node: SearchNode) -> AfterNode:
        """Return what may follow a node."""
        found = self._after.get(node)
        if found is None:
            found = self._after[node] = AfterNode(node)
        return found

    def rest_of(self, given: SearchInput) -> LeastRest:
        """Return what the rest of a way costs at the least, for the family of a search over the same lengths."""
        family = given.options.family
        if family not in self._rests:
            self._rests[family] = LeastRest(self.lengths, given)
        return self._rests[family]

    def find_to_tip(self, node: SearchNode, family: str) -> Iterator[Edge]:
        """Work out the edges of a family that reach the tip in the open hole."""
        drilled = chain(self.drilling.below_short_starter(node), self.drilling.open_hole(node, self.tip, self.options.finish_h, family))
        found = (self._edge_to_tip(node, drilling, family) for drilling in drilled)
        return (edge for edge in found if edge is not None)

    def find_set(self, node: SearchNode, seat: Seat) -> Iterator[WayToSeat]:
        """Work out the ways to set the casing in the hole."""
        return self._ways(node, seat, self._drilled_to_set(node, seat))

    def find_ahead(self, node: SearchNode, seat: Seat) -> Iterator[WayToSeat]:
        """Work out the ways to bring the casing ahead of the excavation."""
        return self._ways(node, seat, self.drilling.casing_ahead(node, seat))

    def string_cost(self, seat: Seat, *, is_starter: bool = False) -> float:
        """Return the cost of a string to a seat, before it is drilled for.

        Every other way has a starter that counts nothing: of a string that ``is_starter``, which stands from the surface in its place,
        only the length below the shoe of a starter counts.
        """
        if is_starter:
            return self.costs.casing_m * (seat.depth_m - self.options.start_m)
        return self.costs.of_string(seat.depth_m + self.options.stick_up_m)

    def least_string_cost(self, seat: Seat, strings: int = 0) -> float:
        """Return the least that a string to a seat costs, where a number of strings stand already."""
        return self.string_cost(seat, is_starter=self.options.surface_m is not None and not strings)

    def _edge_to_tip(self, node: SearchNode, drilling: Drilling, family: str) -> Edge | None:
        """Return the segment that reaches the tip in the open hole, where the family lets it."""
        runs, fluid = drilling
        wet = runs[-1].state != "dry"
        score = None if not wet and family in {"slurry", UPPER_CASING} else self._drilled(node, runs)
        if score is None:
            return None
        score = score.with_unlikely(self.lengths.bare_below(node.depth_m))
        segment = Segment(
            top_m=runs[0].top_m,
            base_m=self.tip,
            runs=runs,
            casing="none",
            way=None,
            ahead_m=self.tip,
            keep=False,
            sealed="no",
            embedment_m=0.0,
            stratum=-1,
            bails=_bails(node, runs),
            score=score.with_cost(self.costs.tremie) if wet else score,
        )
        reached = SearchNode(depth_m=self.tip, strings=node.strings, sealed="end", wet=wet, fluid=fluid, paid=_paid_for(node, runs))
        return Edge(segment, reached, node.strings)

    def _drilled(self, node: SearchNode, runs: tuple[Run, ...]) -> Score | None:
        """Return the score of drilling the runs, with plant first used, bailing and the exchange of what stands in the hole.

        What a casing that stands in place of a starter goes through above the starter's shoe counts nothing, as the starter does not.
        """
        total = NOTHING
        extra = 0.0
        for run, part in zip(runs, self.lengths.of_runs(runs, node.depth_m), strict=False):
            if part is None:
                return None
            total = part if total is NOTHING else total.plus(part)
            if run.state in FLUIDS and run.state not in node.paid:
                extra += self.costs.plant[run.state]
        if _bails(node, runs):
            extra += self.costs.seal_test
        elif node.wet and runs[0].state in FLUIDS and runs[0].state != (node.fluid or "water"):
            extra += self.costs.exchange
        return total.with_cost(extra, len(runs) - 1 + (1 if node.strings else 0))

    def _drilled_to_set(self, node: SearchNode, seat: Seat) -> Iterator[tuple[Drilling, Lowering]]:
        pushed_from = seat.pushed_from_m
        if pushed_from <= node.depth_m + self.options.least_run_m:
            return
        lowering = Lowering("set", None, pushed_from)
        for runs, fluid in self.drilling.open_hole(node, pushed_from, self.options.set_h):
            pushed: tuple[Run, ...] = ()
            if seat.depth_m > pushed_from:
                pushed = (Run(pushed_from, seat.depth_m, "cased_dry" if runs[-1].state == "dry" else "cased_balanced"),)
            yield Drilling((*runs, *pushed), fluid), lowering

    def _ways(self, node: SearchNode, seat: Seat, drilled: Iterable[tuple[Drilling, Lowering]]) -> Iterator[WayToSeat]:
        found = (self._way(node, seat, drilling, lowering) for drilling, lowering in drilled)
        return (way for way in found if way is not None)

    def _way(self, node: SearchNode, seat: Seat, drilling: Drilling, lowering: Lowering) -> WayToSeat | None:
        runs = drilling.runs
        score = self._drilled(node, runs)
        if score is None:
            return None
        at_tip = seat.depth_m >= self.tip - TOLERANCE_M
        wet = runs[-1].state not in {"dry", "cased_dry"}
        is_starter = not node.strings and lowering.way is not None and lowering.ahead_m == self.options.surface_m
        paid, cost = _paid_for(node, runs), self.string_cost(seat, is_starter=is_starter)
        if lowering.way is not None:
            ahead_m = max(lowering.ahead_m, node.depth_m)
            cost += self.drilling.advance_cost_m(lowering.way) * (seat.depth_m - ahead_m)
            cost += self.costs.smeared_m * self.lengths.smeared(ahead_m, seat.entered_m)
            if lowering.way not in paid:
                cost += self.costs.plant[lowering.way]
                paid = paid | {lowering.way}
        if at_tip and wet:
            cost += self.costs.tremie
        sealed = "end" if at_tip else NO_WATER if seat.seals == "no" and seat.clear_of_water else seat.seals
        reached = SearchNode(seat.depth_m, node.strings + 1, sealed, wet, drilling.fluid, paid)
        return WayToSeat(node, seat, (drilling, lowering), reached, score.with_cost(cost, 1))

    def keeping(self, seat: Seat) -> tuple[tuple[bool, Score], ...]:
        """Return pulling and leaving a string, each with its penalties and hazards over the string's length; worked out once."""
        if seat.depth_m not in self._kept_scores:
            self._kept_scores[seat.depth_m] = tuple(self._scores_of_keeping(seat))
        return self._kept_scores[seat.depth_m]

    def _scores_of_keeping(self, seat: Seat) -> Iterator[tuple[bool, Score]]:
        pull, leave, should_pull, should_leave = self.lengths.string_to(seat.depth_m)
        if self.options.temporary and pull != RULED_OUT:
            yield False, Score(unlikely_m=1.0 if pull == UNLIKELY else 0.0, cost=self.costs.should_m * should_pull)
        if self.options.permanent and leave != RULED_OUT:
            cost = self.costs.permanent_m * seat.depth_m + self.costs.should_m * should_leave
            yield True, Score(unlikely_m=1.0 if leave == UNLIKELY else 0.0, cost=cost)


def _paid_for(node: SearchNode, runs: tuple[Run, ...]) -> frozenset[str]:
    """Return the plant that is paid for once the runs are drilled."""
    new = [run.state for run in runs if run.state in FLUIDS and run.state not in node.paid]
    return node.paid.union(new) if new else node.paid


def _bails(node: SearchNode, runs: tuple[Run, ...]) -> bool:
    """Return whether a full hole is emptied before the first run."""
    return node.wet and runs[0].state == "dry"
