"""How a length may be drilled from a node of the search: the open hole dry or under fluid, and casing ahead of the excavation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import NamedTuple

from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import DRY_BASE, TOLERANCE_M, Run
from methodpick.plan.sequence.search_input import DOUBTFUL, SearchInput
from methodpick.plan.sequence.seats import Seat
from methodpick.terms import CASING_WAYS, SHAKING_WAYS, CasingWay

HARD_ROCK_WAYS: frozenset[CasingWay] = frozenset({"oscillated"})
"""Ways that cut a shoe into rock too strong for any other."""
SEALED = frozenset({"yes", "probable"})
"""Seals that a hole may be emptied behind, the probable one after a test."""
NO_WATER = "no_water"
"""What stands at a shoe that seals nothing where no water stands near: a hole that is dry there goes on dry."""


class SearchNode(NamedTuple):
    """Where a path stands: the shoe's depth, strings used, its seal, what stands in the hole, plant paid for.

    ``wet`` says that the hole is full; ``fluid`` is the support fluid in it, empty for plain water in a casing.
    """

    depth_m: float
    strings: int
    sealed: str
    wet: bool
    fluid: str
    paid: frozenset[str]


def goes_on_dry(node: SearchNode) -> bool:
    """Return whether the hole may go on dry: behind a seal, or in a hole that is dry and meets no water at its shoe, where it has one.

    >>> goes_on_dry(SearchNode(9.0, 1, "no", wet=False, fluid="", paid=frozenset()))
    False
    >>> goes_on_dry(SearchNode(9.0, 1, NO_WATER, wet=False, fluid="", paid=frozenset()))
    True
    """
    return node.sealed in SEALED or (not node.wet and (node.strings == 0 or node.sealed == NO_WATER))


class Drilling(NamedTuple):
    """How a length is drilled: its runs, and the support fluid that stands in the hole afterwards, empty for none."""

    runs: tuple[Run, ...]
    fluid: str


class Lowering(NamedTuple):
    """How a casing comes to its seat: ``set`` in the hole or ``advanced`` by a way, ahead of the excavation below a depth.

    ``dug_m`` is the depth to which the top is dug out for it where it stands from the surface; 0 where nothing is.
    """

    how: str
    way: str | None
    ahead_m: float
    dug_m: float = 0.0


class DrillingOptions:
    """The ways to drill a length below a node, whatever the family that a search is restricted to."""

    def __init__(self, lengths: LengthScores, given: SearchInput) -> None:
        self.lengths, self.costs, self.options = lengths, given.costs, given.options
        self.tip = lengths.end_m
        self._ways: dict[tuple[float, float, float, int, frozenset[str], bool], tuple[str, ...]] = {}
        self._starts: dict[float, tuple[float, ...]] = {}
        self._dry_to: dict[tuple[float, float, bool], tuple[float, ...]] = {}

    def open_hole(self, node: SearchNode, base_m: float, after_h: float, family: str = "") -> Iterator[Drilling]:
        """Return the ways of a family to drill the open hole to ``base_m``: dry, under fluid, or dry and then under fluid.

        Another fluid than the one in the hole takes its place only below a shoe that is sealed. Fluid that goes into a dry hole stands
        against the wall above as well, which it may not be ruled out for.
        """
        top = node.depth_m
        dry_start = goes_on_dry(node) and family != "slurry" and (self.options.may_empty or not node.strings)
        cased = base_m < self.tip - TOLERANCE_M
        if dry_start and self.stays_dry(top, base_m, after_h, cased=cased):
            yield Drilling((Run(top, base_m, "dry"),), "")
        if family == "dry" or (family == DRY_BASE and base_m >= self.tip - TOLERANCE_M):
            return
        for fluid in self.options.fluids:
            if node.fluid and node.fluid != fluid and node.sealed not in SEALED:
                continue
            if self.lengths.score(fluid, top, base_m) is None:
                continue
            yield Drilling((Run(top, base_m, fluid),), fluid)
            for into in self.dry_to(top, self.options.fill_h, cased=cased) if dry_start else ():
                if into < base_m - TOLERANCE_M:
                    yield Drilling((Run(top, into, "dry"), Run(into, base_m, fluid)), fluid)

    def below_short_starter(self, node: SearchNode) -> Iterator[Drilling]:
        """Return the hole that is dry from a starter as short as a dry hole asks for, where nothing speaks against the ground below it.

        What a longer starter would hold counts nothing, as that does not: the steel that is spared pays for the drilling.
        """
        top, start = self.options.dry_start_m, self.options.start_m
        if top is None or node.strings or node.depth_m != start or not self.lengths.is_allowed("dry", top, start):
            return
        if self.stays_dry(top, self.tip, self.options.finish_h, cased=False):
            yield Drilling((Run(top, self.tip, "dry"),), "")

    def stays_dry(self, top_m: float, base_m: float, after_h: float, *, cased: bool) -> bool:
        """Return whether a length may be drilled dry and stands, ``after_h`` more included; ``cased`` where a casing is then set in it."""
        return self.lengths.blocked("dry", top_m) >= base_m - TOLERANCE_M and self.lengths.stands(top_m, base_m, after_h, cased=cased)

    def dry_to(self, top_m: float, after_h: float, *, cased: bool) -> tuple[float, ...]:
        """Return the depths at which a dry hole may be given up that stands that far, ``after_h`` more included; found once."""
        key = (top_m, after_h, cased)
        if key not in self._dry_to:
            depths = self.depths_to_give_up_dry(top_m)
            self._dry_to[key] = tuple(into for into in depths if self.stays_dry(top_m, into, after_h, cased=cased))
        return self._dry_to[key]

    def depths_to_give_up_dry(self, top_m: float) -> tuple[float, ...]:
        """Return the depths below ``top_m`` at which a dry hole may be given up: the margin above a depth where dry gets worse.

        None has another depth nearer below it than the margin where a must rule speaks against dry: the level and the
        boundary that it stands on may lie higher than the log says.
        """
        if top_m not in self._starts:
            turns, margin = self.lengths.turns("dry", top_m), self.options.margin_m
            hard = [depth for depth, rank in turns if rank >= DOUBTFUL]
            found = (self.lengths.cut_near(depth - margin) for depth, _ in turns)
            self._starts[top_m] = tuple(
                into
                for into in found
                if into > top_m + self.options.least_run_m
                and not any(into - TOLERANCE_M < depth < into + margin - TOLERANCE_M for depth in hard)
            )
        return self._starts[top_m]

    def casing_ahead(self, node: SearchNode, seat: Seat) -> Iterator[tuple[Drilling, Lowering]]:
        """Return the ways to bring casing to the seat ahead of the excavation, after a dry predrill where that stands.

        Below open water nothing is predrilled before a casing stands in the bed.
        A plug is kept to the seat, or to where the shoe enters the ground that seals it; there the level inside is enough.
        Where no water stands near, the casing is dug dry: to the tip, or to a seat, sealing or not, below which the hole goes on dry.
        A casing that goes ahead before anything is drilled stands from the surface, in place of a starter, where it gets through.
        """
        top = node.depth_m
        starts = {top}
        dry = (not node.wet or node.sealed in SEALED) and (self.options.may_empty or not node.strings)
        if dry and (node.strings or not self.options.over_water):
            open_to = (*self.dry_to(top, self.options.set_h, cased=True), *self._hollow_ground(top))
            starts.update(into for into in open_to if into < seat.depth_m - self.options.least_run_m)
        for ahead in sorted(starts):
            first = self.options.surface_m if not node.strings and ahead == top else None
            found = list(self._ahead_from(node, seat, first)) if first is not None else []
            yield from found or self._ahead_from(node, seat, ahead)
        if node.strings or not self.options.over_water:
            yield from self._across_lost_ground(node, seat)

    def _hollow_ground(self, top_m: float) -> tuple[float, ...]:
        """Return the top of the first ground below a depth that keeps its casing, as a cavity does, where a dry hole stands down to it."""
        hollow = self.lengths.keeps_casing_from(top_m)
        reached = top_m + self.options.least_run_m < hollow < self.tip and self.stays_dry(top_m, hollow, self.options.set_h, cased=True)
        return (hollow,) if reached else ()

    def _across_lost_ground(self, node: SearchNode, seat: Seat) -> Iterator[tuple[Drilling, Lowering]]:
        """Return the ways to drill under fluid to ground that no fluid holds, a void as a rule, and to bring casing across it."""
        lost = self.lengths.unheld(self.options.fluids, node.depth_m)
        if not node.depth_m + self.options.least_run_m < lost < seat.depth_m - TOLERANCE_M:
            return
        for fluid in self.options.fluids:
            if node.fluid and node.fluid != fluid and node.sealed not in SEALED:
                continue
            if self.lengths.score(fluid, node.depth_m, lost) is None:
                continue
            for drilling, lowering in self._ahead_from(node._replace(wet=True, fluid=fluid, depth_m=lost), seat, lost):
                yield Drilling((Run(node.depth_m, lost, fluid), *drilling.runs), fluid), lowering

    def _ahead_from(self, node: SearchNode, seat: Seat, ahead: float) -> Iterator[tuple[Drilling, Lowering]]:
        """Return the ways to bring casing from a depth to the seat, after a dry predrill to it where it lies deeper than the hole."""
        predrilled = (Run(node.depth_m, ahead, "dry"),) if ahead > node.depth_m else ()
        inside = None
        for way in self._ways_to(node, seat, ahead):
            inside = tuple(self._inside(ahead, seat)) if inside is None else inside
            dug_m = self._dug_for(way, ahead) if ahead == self.options.surface_m else 0.0
            lowering, fluid = Lowering("advanced", way, ahead, dug_m), "" if predrilled else node.fluid
            for runs in inside:
                yield Drilling((*predrilled, *runs), fluid), lowering
            if not node.wet and seat.clear_of_water and self._is_dug_dry(ahead, seat):
                yield Drilling((*predrilled, Run(ahead, seat.depth_m, "cased_dry")), ""), lowering

    def _dug_for(self, way: str, surface_m: float) -> float:
        """Return to where the top is dug out for a casing in place of a starter: through what its way does not pass, 0 where it does."""
        stops = (piece for piece in self.lengths.slices if surface_m < piece.base_m and piece.top_m < self.options.predug_m - TOLERANCE_M)
        dug = (min(piece.base_m, self.options.predug_m) for piece in stops if piece.logged and way not in piece.ways)
        return max(dug, default=0.0)

    def _is_dug_dry(self, ahead_m: float, seat: Seat) -> bool:
        return self.lengths.score("cased_dry", ahead_m, seat.depth_m) is not None

    def _inside(self, ahead_m: float, seat: Seat) -> Iterator[tuple[Run, ...]]:
        """Return what stands inside a casing that goes ahead: a plug, water, or a plug and then water where no plug is cut."""
        base, score = seat.depth_m, self.lengths.score
        pushed = seat.entered_m
        if score("cased_plug", ahead_m, base) is not None:
            yield (Run(ahead_m, base, "cased_plug"),)
        if score("cased_balanced", ahead_m, base) is not None:
            yield (Run(ahead_m, base, "cased_balanced"),)
        if not ahead_m + self.options.least_run_m < pushed < base - TOLERANCE_M or score("cased_plug", ahead_m, pushed) is None:
            return
        plug, level = score("cased_plug", pushed, base), score("cased_balanced", pushed, base)
        if level is not None and (plug is None or plug.open_lengths_m > level.open_lengths_m):
            yield Run(ahead_m, pushed, "cased_plug"), Run(pushed, base, "cased_balanced")

    def _ways_to(self, node: SearchNode, seat: Seat, ahead_m: float) -> Sequence[str]:
        """Return the ways to bring casing to a seat that may be worth it, the cheapest first.

        A way that is dearer here even if another string paid for its plant is left out where no proof is known to object to a cheaper one.
        """
        known = self.options.objections.about_ways(seat.depth_m)
        last = seat.depth_m >= self.tip - TOLERANCE_M or node.strings + 1 >= self.options.most_strings
        paid = node.paid.intersection(CASING_WAYS)
        from_m = max(ahead_m, node.depth_m)
        key = ahead_m, from_m, seat.depth_m, len(known), paid, last
        if key not in self._ways:
            through = self._ways_through(ahead_m, seat)
            brought = {way: self.advance_cost_m(way) * (seat.depth_m - from_m) for way in through}
            full = {way: cost + (0.0 if way in paid else self.costs.plant[way]) for way, cost in brought.items()}
            against = {objection.word for objection in known if objection.is_of_grip_from(ahead_m)}
            most = min((cost for way, cost in full.items() if way not in against), default=inf)
            least = full if last else brought
            worth = (way for way in through if least[way] <= most)
            self._ways[key] = tuple(sorted(worth, key=lambda way: (full[way], CASING_WAYS.index(way))))
        return self._ways[key]

    def _ways_through(self, ahead_m: float, seat: Seat) -> tuple[str, ...]:
        """Return the ways whose plant gets through every slice down to the seat, but for those that a proof bars.

        The last push may be through tight ground; hard rock is cut by an oscillator or rotator alone. The top that a usual starter is
        set in is dug out for a casing that stands in its place; where no log tells of ground between the two, a way gets through all of
        it, so that none is chosen whose plant is not there.
        """
        length, reach = seat.depth_m - ahead_m, self.options.reach_m
        undug_m = self.options.predug_m if ahead_m == self.options.surface_m else ahead_m
        entered_m = seat.depth_m if seat.seals == "no" else seat.entered_m
        between = (undug_m, entered_m) if self.lengths.is_logged_between(undug_m, entered_m) else (ahead_m, seat.depth_m)
        through = self.lengths.ways_through(*between)
        if seat.hard_rock_m > TOLERANCE_M:
            through &= HARD_ROCK_WAYS
        through -= self.options.objections.ways_against(ahead_m, seat.depth_m, "barred")
        return tuple(way for way in self.options.ways if way in through and length <= reach.get(way, inf) + TOLERANCE_M)

    def advance_cost_m(self, way: str) -> float:
        """Return the cost of a metre of casing brought ahead by a way; shaking near a neighbour goes against a recommendation."""
        return self.costs.advance_m[way] + (self.costs.should_m if self.options.shaking and way in SHAKING_WAYS else 0.0)
