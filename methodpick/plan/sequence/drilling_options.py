"""How a length is opened from a node of the search: the open hole dry or under fluid, and casing ahead of the excavation."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from methodpick.plan.sequence.costs import Costs
from methodpick.plan.sequence.lengths import TOLERANCE_M, Lengths
from methodpick.plan.sequence.path import Run
from methodpick.plan.sequence.search_options import Options
from methodpick.plan.sequence.search_slices import DOUBTFUL, WAYS, Seat
from methodpick.terms import SHAKING_WAYS

SEALED = frozenset({"yes", "probable"})


@dataclass(frozen=True, slots=True)
class Node:
    """Where a path stands: the shoe's depth, strings used, its seal, what stands in the hole, plant paid for.

    ``wet`` says that the hole is full; ``fluid`` is the support fluid in it, empty for plain water in a casing.
    """

    depth_m: float
    strings: int
    sealed: str
    wet: bool
    fluid: str
    paid: frozenset[str]


class Opening:
    """The ways to open a length below a node."""

    def __init__(self, lengths: Lengths, costs: Costs, options: Options) -> None:
        self.lengths, self.costs, self.options = lengths, costs, options
        self.tip = lengths.end_m
        self._ways: dict[tuple[float, float], str | None] = {}
        self._starts: dict[float, tuple[float, ...]] = {}

    def hole(self, node: Node, base_m: float, after_h: float) -> Iterator[tuple[tuple[Run, ...], str]]:
        """Return the ways to drill the open hole to ``base_m``: dry, under fluid, or dry and then under fluid.

        Another fluid than the one in the hole takes its place only below a shoe that is sealed.
        """
        top, family = node.depth_m, self.options.family
        dry_start = (not node.wet or node.sealed in SEALED) and (node.strings == 0 or node.sealed in SEALED) and family != "slurry"
        if dry_start and self.dry(top, base_m, after_h):
            yield (Run(top, base_m, "dry"),), ""
        if family == "dry" or (family == "casing_then_dry" and base_m >= self.tip - TOLERANCE_M):
            return
        for fluid in self.options.fluids:
            if node.fluid and node.fluid != fluid and node.sealed not in SEALED:
                continue
            if self.lengths.score(fluid, top, base_m) is not None:
                yield (Run(top, base_m, fluid),), fluid
            if not dry_start:
                continue
            for into in self.before_trouble(top):
                if into < base_m - TOLERANCE_M and self.lengths.score(fluid, into, base_m) is not None and self.dry(top, into, 1.0):
                    yield (Run(top, into, "dry"), Run(into, base_m, fluid)), fluid

    def dry(self, top_m: float, base_m: float, after_h: float) -> bool:
        """Return whether a length stands dry, ``after_h`` more included."""
        return self.lengths.blocked("dry", top_m) >= base_m - TOLERANCE_M and self.lengths.stands(top_m, base_m, after_h)

    def before_trouble(self, top_m: float) -> tuple[float, ...]:
        """Return the depths below ``top_m`` at which a dry hole may be given up: the margin above a depth where dry gets worse.

        None has another depth nearer below it than the margin where a must rule speaks against dry: the level and the
        boundary that it stands on may lie higher than the log says.
        """
        if top_m not in self._starts:
            turns, margin = self.lengths.turns("dry", top_m), self.options.margin_m
            hard = [depth for depth, rank in turns if rank >= DOUBTFUL]
            found = (depth - margin for depth, _ in turns)
            self._starts[top_m] = tuple(
                into
                for into in found
                if into > top_m + self.options.least_run_m
                and not any(into - TOLERANCE_M < depth < into + margin - TOLERANCE_M for depth in hard)
            )
        return self._starts[top_m]

    def ahead(self, node: Node, seat: Seat) -> Iterator[tuple[tuple[Run, ...], str, float]]:
        """Return the ways to bring casing to the seat ahead of the excavation, after a dry predrill where that stands.

        A plug is kept to the seat, or to where the shoe enters the ground that seals it; there the level inside is enough.
        """
        starts = {node.depth_m}
        if not node.wet or node.sealed in SEALED:
            starts.update(
                into
                for into in self.before_trouble(node.depth_m)
                if into < seat.depth_m - self.options.least_run_m and self.dry(node.depth_m, into, self.options.set_h)
            )
        for ahead in sorted(starts):
            if (ahead, seat.depth_m) not in self._ways:
                self._ways[ahead, seat.depth_m] = self._way(ahead, seat)
            way = self._ways[ahead, seat.depth_m]
            if way is None:
                continue
            first = (Run(node.depth_m, ahead, "dry"),) if ahead > node.depth_m else ()
            for runs in self._inside(ahead, seat):
                yield (*first, *runs), way, ahead

    def _inside(self, ahead_m: float, seat: Seat) -> Iterator[tuple[Run, ...]]:
        """Return what stands inside a casing that goes ahead: a plug, water, or a plug and then water where no plug is cut."""
        base, score = seat.depth_m, self.lengths.score
        pushed = seat.pushed_from_m
        if score("cased_plug", ahead_m, base) is not None:
            yield (Run(ahead_m, base, "cased_plug"),)
        if score("cased_balanced", ahead_m, base) is not None:
            yield (Run(ahead_m, base, "cased_balanced"),)
        if not ahead_m + self.options.least_run_m < pushed < base - TOLERANCE_M or score("cased_plug", ahead_m, pushed) is None:
            return
        plug, level = score("cased_plug", pushed, base), score("cased_balanced", pushed, base)
        if level is not None and (plug is None or plug[:4] > level[:4]):
            yield Run(ahead_m, pushed, "cased_plug"), Run(pushed, base, "cased_balanced")

    def _way(self, ahead_m: float, seat: Seat) -> str | None:
        """Return the cheapest plant that gets through every cut down to the seat; the last push may be through tight ground."""
        reach = self.options.reach_m
        barred = self.options.objections.barred_ways(seat.depth_m)
        possible = {way for way in self.options.ways if way not in barred and seat.depth_m - ahead_m <= reach.get(way, inf) + TOLERANCE_M}
        for cut in self.lengths.cuts:
            if cut.base_m <= ahead_m + TOLERANCE_M or cut.top_m >= seat.depth_m - TOLERANCE_M or not cut.decided:
                continue
            if seat.seals != "no" and cut.top_m >= seat.pushed_from_m - TOLERANCE_M:
                continue
            possible &= cut.ways
            if not possible:
                return None
        return min(possible, key=lambda way: (self.costs.plant[way] + self.a_metre(way) * (seat.depth_m - ahead_m), WAYS.index(way)))

    def a_metre(self, way: str) -> float:
        """Return the cost of a metre of casing brought ahead by a way; shaking near a neighbour goes against a recommendation."""
        return self.costs.advance_m[way] + (self.costs.should_m if self.options.shaking and way in SHAKING_WAYS else 0.0)
