"""What may follow a node of the search: whole segments, seat to seat, each in one sequence of states."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.sequence.drilling_options import Drilling, DrillingOptions, Lowering, SearchNode
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import NOTHING, TOLERANCE_M, WORST, Run, Score, Segment
from methodpick.plan.sequence.search_input import SearchInput
from methodpick.plan.sequence.search_slices import RULED_OUT, UNLIKELY
from methodpick.plan.sequence.seats import Seat
from methodpick.terms import FLUIDS

PARTIAL_CASING = frozenset({"casing_then_dry", "casing_then_fluid"})
"""Families that case a part and reach the tip in the open hole."""
WITH_CASING = PARTIAL_CASING | {"full_depth_casing", "permanent_casing"}
"""Families that set a casing before they reach the tip."""


class SearchEdges:
    """All segments that may follow a node, but for those that cannot better ``goal``, the score of the best goal so far."""

    def __init__(self, lengths: LengthScores, given: SearchInput, goal: Score = WORST) -> None:
        self.lengths, self.costs, self.options = lengths, given.costs, given.options
        self.seats = sorted(given.seats, key=lambda seat: seat.depth_m)
        self.tip = lengths.end_m
        self.drilling = DrillingOptions(lengths, given)
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
            for drilling in self.drilling.open_hole(node, self.tip, self.options.finish_h):
                yield from self._to_tip(node, drilling)
        if node.strings >= self.options.most_strings or family in {"dry", "slurry"}:
            return
        for seat in self.seats:
            if seat.depth_m < node.depth_m + self.options.least_run_m - TOLERANCE_M:
                continue
            if least.with_cost(self._string_cost(seat), 1) >= self.goal:
                break  # no deeper seat costs less
            at_tip = seat.depth_m >= self.tip - TOLERANCE_M
            if (family == "full_depth_casing" and not at_tip) or (family in PARTIAL_CASING and at_tip):
                continue
            if not at_tip and not seat.in_socket and not bare:
                yield from self._set_in_hole(node, seat)
            if not seat.in_socket or at_tip:
                for drilling, lowering in self.drilling.casing_ahead(node, seat):
                    yield from self._to_seat(node, seat, drilling, lowering)

    def least(self, depth_m: float) -> Score:
        """Return what no way from a depth to the tip can score less than, a casing that the family still has to set included."""
        below = self.lengths.least_below(depth_m)
        if self.last_seat is None or depth_m >= self.last_seat.depth_m - TOLERANCE_M:
            return below
        return below.with_cost(self._string_cost(self.last_seat), 1)

    def _last_seat(self) -> Seat | None:
        """Return the shallowest seat from which a plan that ends dry may reach the tip dry; None for other families."""
        if self.options.family != "casing_then_dry":
            return None
        return next((seat for seat in self.seats if self.lengths.blocked("dry", seat.depth_m) >= self.tip - TOLERANCE_M), None)

    def _set_in_hole(self, node: SearchNode, seat: Seat) -> Iterator[tuple[Segment, SearchNode]]:
        """Return the ways to drill to just above the seat, set the casing and push it the last length into undrilled ground."""
        pushed_from = seat.pushed_from_m
        if pushed_from <= node.depth_m + self.options.least_run_m:
            return
        lowering = Lowering("set", None, pushed_from)
        for runs, fluid in self.drilling.open_hole(node, pushed_from, self.options.set_h):
            pushed: tuple[Run, ...] = ()
            if seat.depth_m > pushed_from:
                pushed = (Run(pushed_from, seat.depth_m, "cased_dry" if runs[-1].state == "dry" else "cased_balanced"),)
            yield from self._to_seat(node, seat, Drilling((*runs, *pushed), fluid), lowering)

    def _to_tip(self, node: SearchNode, drilling: Drilling) -> Iterator[tuple[Segment, SearchNode]]:
        """Return the segment that reaches the tip in the open hole, where the family lets it."""
        runs, fluid = drilling
        wet = runs[-1].state != "dry"
        if not wet and self.options.family in {"slurry", "casing_then_fluid"}:
            return
        score = self._score(node, runs)
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
            bails=_bails(node, runs),
            score=score.with_cost(self.costs.tremie) if wet else score,
        )
        yield segment, SearchNode(depth_m=self.tip, strings=node.strings, sealed="end", wet=wet, fluid=fluid, paid=_paid(node, runs))

    def _score(self, node: SearchNode, runs: tuple[Run, ...]) -> Score | None:
        """Return the score of drilling the runs, with plant first used, bailing and the exchange of what stands in the hole."""
        total = NOTHING
        extra = 0.0
        for run in runs:
            part = self.lengths.score(run.state, run.top_m, run.base_m)
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

    def _to_seat(self, node: SearchNode, seat: Seat, drilling: Drilling, lowering: Lowering) -> Iterator[tuple[Segment, SearchNode]]:
        """Return the segments that end with a casing on the seat, pulled or left, unless they are too dear to be worth it."""
        runs = drilling.runs
        drilled = self._score(node, runs)
        if drilled is None:
            return
        at_tip = seat.depth_m >= self.tip - TOLERANCE_M
        wet = runs[-1].state not in {"dry", "cased_dry"}
        paid, cost = _paid(node, runs), self._string_cost(seat)
        if lowering.way is not None:
            cost += self.drilling.advance_cost_m(lowering.way) * (seat.depth_m - lowering.ahead_m)
            if lowering.way not in paid:
                cost += self.costs.plant[lowering.way]
                paid = paid | {lowering.way}
        if at_tip and wet:
            cost += self.costs.tremie
        least = drilled.with_cost(cost, 1)
        if self.so_far.plus(least).plus(self.least(seat.depth_m)) >= self.goal:
            return
        reached = SearchNode(
            depth_m=seat.depth_m, strings=node.strings + 1, sealed="end" if at_tip else seat.seals, wet=wet, fluid=drilling.fluid, paid=paid
        )
        if seat.depth_m not in self._kept_scores:
            self._kept_scores[seat.depth_m] = tuple(self._scores_of_keeping(seat))
        for keep, extra in self._kept_scores[seat.depth_m]:
            segment = Segment(
                top_m=node.depth_m,
                base_m=seat.depth_m,
                runs=runs,
                casing=lowering.how,
                way=lowering.way,
                ahead_m=lowering.ahead_m,
                keep=keep,
                sealed=seat.seals,
                embedment_m=seat.embedment_m,
                stratum=seat.stratum,
                bails=_bails(node, runs),
                score=least.plus(extra),
            )
            yield segment, reached

    def _string_cost(self, seat: Seat) -> float:
        return self.costs.string + self.costs.casing_m * (seat.depth_m + self.options.stick_up_m)

    def _scores_of_keeping(self, seat: Seat) -> Iterator[tuple[bool, Score]]:
        """Return pulling and leaving a string, each with its penalties and hazards over the string's length."""
        pull, leave, should_pull, should_leave = self.lengths.string_to(seat.depth_m)
        if self.options.temporary and pull != RULED_OUT and self.options.family != "permanent_casing":
            yield False, Score(unlikely_m=1.0 if pull == UNLIKELY else 0.0, cost=self.costs.should_m * should_pull)
        if self.options.permanent and leave != RULED_OUT:
            cost = self.costs.permanent_m * seat.depth_m + self.costs.should_m * should_leave
            yield True, Score(unlikely_m=1.0 if leave == UNLIKELY else 0.0, cost=cost)


def _paid(node: SearchNode, runs: tuple[Run, ...]) -> frozenset[str]:
    """Return the plant that is paid for after some runs."""
    return node.paid.union(run.state for run in runs if run.state in FLUIDS)


def _bails(node: SearchNode, runs: tuple[Run, ...]) -> bool:
    """Return whether a full hole is emptied before the first run."""
    return node.wet and runs[0].state == "dry"
