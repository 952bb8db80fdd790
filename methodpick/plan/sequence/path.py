"""The outcome of the search: segments from seat to seat, each drilled in one sequence of states."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.plan.sequence.search_slices import FLUIDS

Score = tuple[float, float, float, float, float, int]
"""Undecided, unlikely, unknown and doubtful length, then relative cost, then changes of method."""
NOTHING: Score = (0.0, 0.0, 0.0, 0.0, 0.0, 0)


@dataclass(frozen=True, slots=True)
class Run:
    """A length drilled in one state."""

    top_m: float
    base_m: float
    state: str


@dataclass(frozen=True, slots=True)
class Segment:
    """From one seat to the next seat or the tip.

    ``casing``: none (to the tip), ``set`` in the hole, or ``advanced`` ahead of the excavation below ``ahead_m`` by
    ``way``; ``keep`` leaves it in. ``bails`` says that the hole is emptied before the segment starts.
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


@dataclass(frozen=True, slots=True)
class Path:
    """A whole sequence from the starter's shoe to the tip; ``built`` is off for a shaft that no sequence builds."""

    segments: tuple[Segment, ...]
    score: Score
    built: bool = True

    @property
    def cost(self) -> float:
        """Return the relative cost, penalties and preferences included."""
        return self.score[4]

    @property
    def strings(self) -> tuple[Segment, ...]:
        """Return the segments that end with a casing."""
        return tuple(segment for segment in self.segments if segment.casing != "none")

    @property
    def last(self) -> str:
        """Return the state in which the tip is reached."""
        return self.segments[-1].runs[-1].state

    @property
    def fluids(self) -> tuple[str, ...]:
        """Return the support fluids of the plan, in the order of their use."""
        return tuple(dict.fromkeys(run.state for segment in self.segments for run in segment.runs if run.state in FLUIDS))

    @property
    def fluid(self) -> str | None:
        """Return the support fluid of the plan, that of the longest length where there are two, None without one."""
        return max(self.fluids, key=self._length_under, default=None)

    def _length_under(self, fluid: str) -> float:
        return sum(run.base_m - run.top_m for segment in self.segments for run in segment.runs if run.state == fluid)

    @property
    def deepest_casing_m(self) -> float:
        """Return the depth of the deepest casing other than the starter, 0 without one."""
        return max((segment.base_m for segment in self.strings), default=0.0)


def plus(first: Score, second: Score) -> Score:
    """Add two scores.

    >>> plus((0, 0, 0, 0, 1.0, 1), (0, 0, 0, 2.0, 1.5, 0))
    (0, 0, 0, 2.0, 2.5, 1)
    """
    return (
        first[0] + second[0],
        first[1] + second[1],
        first[2] + second[2],
        first[3] + second[3],
        first[4] + second[4],
        first[5] + second[5],
    )
