"""The searches for one shaft: the expected plan, the cautious one, the best of every other family, and the worst credible one."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.objections import Objection, search_proven
from methodpick.plan.sequence.path import Run, Score, Segment, SequencePath
from methodpick.plan.sequence.search import search
from methodpick.plan.sequence.search_input import SearchInput
from methodpick.plan.sequence.search_slices import DOUBTFUL, RULED_OUT, SearchSlice
from methodpick.plan.sequence.seat_segments import SeatSegments
from methodpick.terms import OPEN_STATES

FAMILIES = ("dry", "slurry", "casing_then_dry", "casing_then_fluid", "full_depth_casing", "permanent_casing")
"""Ways to build a shaft, by what holds the hole."""


@dataclass(frozen=True, slots=True)
class FoundPaths:
    """The chosen path, the cautious one (None where it is the same), the others by family, and the worst credible one.

    The worst credible one leaves out every open hole about which a must rule is in doubt; None where nothing can be built then.
    ``proven`` is off where the trials ended before the proofs of the chosen path had nothing new to object to, and where every path
    fails a proof: the chosen one then is that against which they hold least. ``trials_ended`` are all paths of whose searches
    the trials ended.
    """

    best: SequencePath
    cautious: SequencePath | None
    others: tuple[tuple[str, SequencePath | None], ...]
    worst: SequencePath | None
    proven: bool = True
    trials_ended: frozenset[SequencePath] = frozenset()


@dataclass(frozen=True, slots=True)
class NotBuildable:
    """No sequence reaches the tip by the rules and by what the site leaves open."""

    start_m: float
    tip_m: float

    def counted_as(self) -> SequencePath:
        """Return the hole by which concrete, hours and cautions are counted all the same: kept full inside a casing to the tip.

        Nothing claims that it can be built so.
        """
        run = Run(self.start_m, self.tip_m, "cased_balanced")
        segment = Segment(
            top_m=self.start_m,
            base_m=self.tip_m,
            runs=(run,),
            casing="none",
            way=None,
            ahead_m=self.tip_m,
            keep=False,
            sealed="no",
            embedment_m=0.0,
            stratum=-1,
            bails=False,
            score=Score(undecided_m=self.tip_m),
        )
        return SequencePath((segment,), segment.score)


Objecting = Callable[[SequencePath], Iterable[Objection]]
"""What the proofs of a complete path object to."""


class ShaftSearches:
    """The searches for one shaft, each proved; the expected plan is searched once, whoever asks."""

    def __init__(self, given: SearchInput, objecting: Objecting) -> None:
        self.given, self.objecting = given, objecting

    @cached_property
    def _likely(self) -> _ProvedSearch:
        return _ProvedSearch(LengthScores(self.given, cautious=False), self.given, self.objecting)

    @cached_property
    def _expected(self) -> tuple[SequencePath | None, bool]:
        best, proven = self._likely.find()
        return (best, proven) if best is not None else (_least_failing(self._likely.lengths, self.given, self.objecting), False)

    def best(self) -> SequencePath | None:
        """Return the path of the expected plan alone, proven or not; None where nothing can be built."""
        return self._expected[0]

    def best_proven(self) -> SequencePath | None:
        """Return the path of the expected plan alone; None where no way passes its proofs."""
        best, proven = self._expected
        return best if proven else None

    def best_without(self, ways: frozenset[str]) -> SequencePath | None:
        """Return the best path that brings no casing by some ways; None where none passes its proofs."""
        others = tuple(way for way in self.given.options.ways if way not in ways)
        given = replace(self.given, options=replace(self.given.options, ways=others))
        path, proven = _ProvedSearch(self._likely.lengths, given, self.objecting).find()
        return path if proven else None

    def all(self) -> FoundPaths | NotBuildable:
        """Return the paths of the expected plan, the cautious plan, every other family and the worst credible ground."""
        given, (best, proven) = self.given, self._expected
        if best is None:
            return NotBuildable(start_m=given.options.start_m, tip_m=self._likely.lengths.end_m)
        careful = _no_less_full(given, best)
        cautious, cautious_proven = _ProvedSearch(LengthScores(careful, cautious=True), careful, self.objecting).find(best)
        worst_ground = replace(careful, slices=tuple(_without_doubtful_holes(piece) for piece in given.slices))
        others = {family: self._likely.find_of(family) for family in FAMILIES if family != family_of(best)}
        worst, worst_proven = _ProvedSearch(LengthScores(worst_ground, cautious=True), worst_ground, self.objecting).find(cautious)
        searched = ((best, proven), (cautious, cautious_proven), *others.values(), (worst, worst_proven))
        return FoundPaths(
            best=best,
            cautious=None if cautious is not None and cautious.is_built_as(best) else cautious,
            others=tuple((family, path) for family, (path, _) in others.items()),
            worst=worst,
            proven=proven,
            trials_ended=frozenset(path for path, ended_well in searched if path is not None and not ended_well),
        )


def _no_less_full(given: SearchInput, best: SequencePath) -> SearchInput:
    """Return the search for a more cautious way: over open water it empties no casing where the best way empties none."""
    if not given.options.over_water or best.is_emptied:
        return given
    return replace(given, options=replace(given.options, may_empty=False))


class _ProvedSearch:
    """Searches over the same lengths, each for the best path that meets no new objection."""

    def __init__(self, lengths: LengthScores, given: SearchInput, objecting: Objecting) -> None:
        self.lengths, self.given, self.objecting = lengths, given, objecting
        self.to_seats = SeatSegments(lengths, given)

    def find(self, near: SequencePath | None = None, given: SearchInput | None = None) -> tuple[SequencePath | None, bool]:
        """Return the path, and whether one was found within the trials; ``near`` leads the first search."""
        here = given or self.given
        return search_proven(
            lambda before: search(self.lengths, here, before, self.to_seats), self.objecting, here.options.objections, near
        )

    def find_of(self, family: str) -> tuple[SequencePath | None, bool]:
        """Return the best path of a family, and whether one was found within the trials."""
        return self.find(given=self.given.of_family(family))


def _least_failing(lengths: LengthScores, given: SearchInput, objecting: Objecting) -> SequencePath | None:
    """Return the path against which the proofs hold least, where each path fails one; None where the rules leave no path at all."""
    waiving = replace(given.options, objections=given.options.objections.waiving())
    return _ProvedSearch(lengths, replace(given, options=waiving), objecting).find()[0]


def _without_doubtful_holes(piece: SearchSlice) -> SearchSlice:
    """Return a slice in which every open hole that is in doubt is ruled out."""
    rank = {state: RULED_OUT if state in OPEN_STATES and place >= DOUBTFUL else place for state, place in piece.rank.items()}
    return replace(piece, rank=rank)


def family_of(path: SequencePath) -> str:
    """Return the family of a path."""
    if any(segment.keep for segment in path.strings):
        return "permanent_casing"
    if not path.strings:
        return "dry" if path.fluid is None else "slurry"
    if path.segments[-1].casing != "none":
        return "full_depth_casing"
    return "casing_then_dry" if path.last == "dry" else "casing_then_fluid"
