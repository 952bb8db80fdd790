"""What the search finds: segments from seat to seat, each drilled in one sequence of states, and the score that ranks them."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from methodpick.records import record
from methodpick.terms import FLUIDS

DRY_BASE, UPPER_CASING, PERMANENT = "casing_then_dry", "casing_then_fluid", "permanent_casing"
"""Families of ways that case a part, dry to the tip below it or under fluid, and of those whose casing stays."""
FAMILIES = ("dry", "slurry", DRY_BASE, UPPER_CASING, "full_depth_casing", PERMANENT)
"""Families of ways to build a shaft, by what holds the hole."""


class Score(NamedTuple):
    """How good a sequence is. Scores are compared number by number: the first that differs decides, and less is better.

    Lengths in metres on which nothing is decided, and that are drilled in a state whose verdict is unlikely, unknown or doubtful;
    then the relative cost (one metre of dry open hole is 1) with penalties and preferences in it; then the changes of method.

    >>> Score(doubtful_m=2.0) > Score(cost=50.0)
    True
    """

    undecided_m: float = 0.0
    unlikely_m: float = 0.0
    unknown_m: float = 0.0
    doubtful_m: float = 0.0
    cost: float = 0.0
    changes: int = 0

    @property
    def open_lengths_m(self) -> tuple[float, float, float, float]:
        """Return the four lengths on which a hazard is open, the gravest first."""
        return self[:4]

    @property
    def unsettled_lengths_m(self) -> tuple[float, float, float]:
        """Return the lengths that are undecided, unlikely and unknown, without those that are only doubtful."""
        return self[:3]

    def plus(self, other: Score) -> Score:
        """Return the sum of two scores.

        >>> Score(doubtful_m=1.0, cost=1.0, changes=1).plus(Score(cost=1.5)).cost
        2.5
        """
        undecided, unlikely, unknown, doubtful, cost, changes = self
        more_undecided, more_unlikely, more_unknown, more_doubtful, more_cost, more_changes = other
        return _new(
            Score,
            (
                undecided + more_undecided,
                unlikely + more_unlikely,
                unknown + more_unknown,
                doubtful + more_doubtful,
                cost + more_cost,
                changes + more_changes,
            ),
        )

    def with_cost(self, cost: float, changes: int = 0) -> Score:
        """Return the score with a cost, and changes of method, on top."""
        undecided, unlikely, unknown, doubtful, old_cost, old_changes = self
        return _new(Score, (undecided, unlikely, unknown, doubtful, old_cost + cost, old_changes + changes))

    def with_unlikely(self, length_m: float) -> Score:
        """Return the score with a length on top that is unlikely to be safe."""
        undecided, unlikely, unknown, doubtful, cost, changes = self
        return _new(Score, (undecided, unlikely + length_m, unknown, doubtful, cost, changes))

    def times(self, length_m: float) -> Score:
        """Return the score of a length from that of one metre; changes are not of a metre and are left out."""
        undecided, unlikely, unknown, doubtful, cost, _ = self
        return _new(Score, (undecided * length_m, unlikely * length_m, unknown * length_m, doubtful * length_m, cost * length_m, 0))

    def toward(self, other: Score, share: float) -> Score:
        """Return the score a share of the way from this one to another."""
        undecided, unlikely, unknown, doubtful, cost, _ = self
        to_undecided, to_unlikely, to_unknown, to_doubtful, to_cost, _ = other
        return _new(
            Score,
            (
                undecided + share * (to_undecided - undecided),
                unlikely + share * (to_unlikely - unlikely),
                unknown + share * (to_unknown - unknown),
                doubtful + share * (to_doubtful - doubtful),
                cost + share * (to_cost - cost),
                0,
            ),
        )

    def since(self, earlier: Score) -> Score:
        """Return what was added since an earlier sum, lengths cleared of rounding."""
        undecided, unlikely, unknown, doubtful, cost, _ = self
        old_undecided, old_unlikely, old_unknown, old_doubtful, old_cost, _ = earlier
        return _new(
            Score,
            (
                cleaned(undecided - old_undecided),
                cleaned(unlikely - old_unlikely),
                cleaned(unknown - old_unknown),
                cleaned(doubtful - old_doubtful),
                cost - old_cost,
                0,
            ),
        )


_new = tuple.__new__
"""Making a score from a tuple this way takes a third of the time of the constructor, and the search makes 100,000 of them."""
NOTHING = Score()
"""The score of drilling nothing."""
WORST = Score(undecided_m=inf)
"""A score that every other one betters."""
TOLERANCE_M = 1e-6
"""Depths closer than this are one depth, shorter lengths are none."""


def cleaned(length_m: float) -> float:
    """Return a length without the rounding that sums leave in it."""
    return 0.0 if abs(length_m) < TOLERANCE_M else round(length_m, 9)


class Run(NamedTuple):
    """A length drilled in one support state."""

    top_m: float
    base_m: float
    state: str


class Segment(NamedTuple):
    """From one seat to the next seat or the tip.

    ``casing``: none (to the tip), ``set`` in the hole, or ``advanced`` ahead of the excavation below ``ahead_m`` by
    ``way``; ``keep`` leaves it in. ``bails`` says that the hole is emptied before the segment starts. ``dug_m`` is the depth to which the
    top is dug out for a casing that stands from the surface, as for a starter: through what its way does not pass; 0 where nothing is.
    """

    top_m: float
    base_m: float
    runs: tuple[Run, ...]
    casing: str
    way: str | None
    ahead_m: float
    keep: bool
    sealed: str
    embedment_m: float
    stratum: int
    bails: bool
    score: Score
    dug_m: float = 0.0

    @property
    def gripped_from_m(self) -> float:
        """Return the depth from which undrilled ground grips a casing that ends the segment."""
        return max(self.ahead_m, self.top_m)

    def held_from_m(self, depth_m: float) -> float:
        """Return how deep the hole goes before fluid, a casing or the concrete holds a depth that was drilled dry."""
        filled = (run.top_m for run in self.runs if run.state in FLUIDS and run.top_m > depth_m - TOLERANCE_M)
        return min(filled, default=self.base_m)


@record
class SequencePath:
    """A whole sequence from the starter's shoe to the tip."""

    segments: tuple[Segment, ...]
    score: Score

    @property
    def cost(self) -> float:
        """Return the relative cost, penalties and preferences included."""
        return self.score.cost

    @property
    def runs(self) -> tuple[Run, ...]:
        """Return the runs of all segments from the top down."""
        return tuple(run for segment in self.segments for run in segment.runs)

    @property
    def strings(self) -> tuple[Segment, ...]:
        """Return the segments that end with a casing."""
        return tuple(segment for segment in self.segments if segment.casing != "none")

    @property
    def last(self) -> str:
        """Return the state in which the tip is reached."""
        return self.segments[-1].runs[-1].state

    @property
    def is_emptied(self) -> bool:
        """Return whether anything is dug in an empty hole."""
        return any(run.state in {"dry", "cased_dry"} for run in self.runs)

    @property
    def stands_at_tip(self) -> str:
        """Return what stands in the hole when the tip is reached: a fluid, water inside a casing, or nothing where it was emptied."""
        full = ""
        for segment in self.segments:
            full = "" if segment.bails else full
            for run in segment.runs:
                if run.state in FLUIDS or run.state == "dry":
                    full = run.state if run.state in FLUIDS else ""
                elif segment.casing != "set":
                    full = full or "water"
        return full

    @property
    def fluids(self) -> tuple[str, ...]:
        """Return the support fluids of the plan, in the order of their use."""
        return tuple(dict.fromkeys(run.state for run in self.runs if run.state in FLUIDS))

    @property
    def fluid(self) -> str | None:
        """Return the support fluid of the plan, that of the longest length where there are two, None without one."""
        return max(self.fluids, key=self._length_under, default=None)

    def _length_under(self, fluid: str) -> float:
        return sum(run.base_m - run.top_m for run in self.runs if run.state == fluid)

    @property
    def held_by(self) -> str:
        """Return what holds most of the hole that is not left open and dry: ``fluid`` or ``casing``; ``dry`` where nothing does."""
        shoe = max((segment.base_m for segment in self.strings), default=0.0)
        fluid_m = sum(run.base_m - max(run.top_m, shoe) for run in self.runs if run.state in FLUIDS and run.base_m > shoe)
        cased_m = max(0.0, shoe - self.segments[0].top_m)
        return "dry" if fluid_m + cased_m <= 0.0 else "fluid" if fluid_m > cased_m else "casing"

    @property
    def family(self) -> str:
        """Return the family that the path is of."""
        if any(segment.keep for segment in self.strings):
            return PERMANENT
        if not self.strings:
            return "dry" if self.fluid is None else "slurry"
        if self.segments[-1].casing != "none":
            return "full_depth_casing"
        return DRY_BASE if self.last == "dry" else UPPER_CASING

    @property
    def means(self) -> frozenset[str]:
        """Return by what the hole is held on the way: nothing, each fluid, casing that is set, and each way of advancing casing."""
        open_hole = {run.state for run in self.runs if run.state in FLUIDS or run.state == "dry"}
        return frozenset(open_hole | {segment.way or "set" for segment in self.strings})

    @property
    def without_score(self) -> SequencePath:
        """Return what is built along the path: one of a search at other costs, or of a more cautious one, may be built alike."""
        return SequencePath(tuple(segment._replace(score=NOTHING) for segment in self.segments), NOTHING)

    def is_built_as(self, other: SequencePath) -> bool:
        """Return whether another path drills the same runs and sets the same casings in the same way."""
        return self._work() == other._work()

    def _work(self) -> list[tuple[object, ...]]:
        return [(segment.top_m, segment.base_m, segment.runs, segment.casing, segment.way, segment.keep) for segment in self.segments]
