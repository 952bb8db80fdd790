"""The searches for one shaft: the expected plan, the cautious one, the best of every other family, and the worst credible one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property, partial
from operator import attrgetter

from methodpick.plan.sequence.drilling_options import SEALED
from methodpick.plan.sequence.known_searches import KnownSearches, PathsBefore, found_before
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.objections import Objection, Objections, search_proven
from methodpick.plan.sequence.path import DRY_BASE, FAMILIES, PERMANENT, TOLERANCE_M, UPPER_CASING, Score, SequencePath
from methodpick.plan.sequence.search import does_without_fluid, scores_below, search
from methodpick.plan.sequence.search_input import SearchCosts, SearchInput
from methodpick.plan.sequence.segments import Segments
from methodpick.records import record
from methodpick.terms import CASED_STATES


@record
class NotBuildable:
    """No sequence reaches the tip by the rules and by what the site leaves open."""


@record
class PathProofs:
    """What the proofs of a complete path object to, and whether all of them hold at the likely values."""

    objections_to: Callable[[SequencePath], Iterable[Objection]]
    hold_for: Callable[[SequencePath], bool]


@record
class NearlyAsCheap:
    """When fluid and casing are both open: within what share of the cost, how deep a casing is handy, what length of dry base counts."""

    share: float
    handy_m: float
    dry_base_m: float


_FoundPath = tuple[SequencePath | None, bool]
"""The path that a search found, None where there is none, and whether its proofs had nothing new against it within the trials."""


class _ProvedSearch:
    """Searches over the same lengths, each for the best path that meets no new objection; ``before`` are paths found in an equal input."""

    def __init__(self, lengths: LengthScores, given: SearchInput, proofs: PathProofs, before: PathsBefore | None = None) -> None:
        self.lengths, self.given, self.proofs, self.before = lengths, given, proofs, before
        self.segments = Segments(lengths, given)
        self._of_family: dict[str, _FoundPath] = {}

    def find(self, near: SequencePath | None = None, given: SearchInput | None = None) -> _FoundPath:
        """Return the path, and whether one was found within the trials; ``near`` leads the first search."""
        here = given or self.given
        find = partial(search, self.lengths, here, segments=self.segments)
        if here is self.given and near is None and self.before is not None:
            find = partial(found_before, self.before, here.options.objections, find)
        return search_proven(find, self.proofs.objections_to, here.options.objections, near)

    def find_proven_first(self, near: SequencePath | None = None) -> _FoundPath:
        """Return the best path; where a proof of it does not hold, the best of all families whose proofs all hold, if any does.

        Families overlap, and each search learns what is held against the paths before it: so the first one's family is searched again too.
        """
        found = self.find(near)
        if found[0] is None or self.holds(found):
            return found
        others = [self.find_of(family) for family in FAMILIES]
        proven = [way[0] for way in others if way[0] is not None and self.holds(way)]
        return (min(proven, key=attrgetter("score")), True) if proven else found

    def holds(self, found: _FoundPath) -> bool:
        """Return whether a path was found within the trials and all its proofs hold."""
        path, ended_well = found
        return path is not None and ended_well and self.proofs.hold_for(path)

    def more_cautious(self, given: SearchInput) -> _ProvedSearch:
        """Return a search that counts doubtful lengths as hazards, over its own slices and options."""
        return _ProvedSearch(LengthScores(given, cautious=True), given, self.proofs)

    def does_without_fluid(self, bound: Score) -> bool:
        """Return whether a path without fluid scores less than a bound, whatever its proofs say; else no more cautious one does either.

        What is more cautious may do less, at the same costs and lengths that are open, and proofs only add to a score.
        """
        return does_without_fluid(self.lengths, self.given, bound, self.segments)

    def has_below(self, family: str, bound: Score) -> bool:
        """Return whether a path of a family scores less than a bound, whatever its proofs say; else none that they leave does either."""
        return scores_below(self.lengths, self.given.of_family(family), bound, self.segments)

    def may_end_dry_from(self, deepest_m: float) -> bool:
        """Return whether the hole may be dry to the tip below a seat no deeper than that: nothing rules that out, and it stands."""
        drilling, tip = self.segments.drilling, self.lengths.end_m
        seats = (seat.depth_m for seat in self.given.seats if seat.depth_m <= deepest_m)
        return any(drilling.stays_dry(depth, tip, self.given.options.finish_h, cased=False) for depth in seats)

    def find_of(self, family: str) -> _FoundPath:
        """Return the best path of a family, and whether one was found within the trials; searched once."""
        if family not in self._of_family:
            self._of_family[family] = self.find(given=self.given.of_family(family))
        return self._of_family[family]

    def find_pulled(self, family: str) -> _FoundPath:
        """Return the best path of a family all of whose casing is pulled, and whether one was found within the trials."""
        given = replace(self.given, options=replace(self.given.options, permanent=False))
        return _ProvedSearch(self.lengths, given, self.proofs).find_of(family)


class FoundPaths:
    """The paths of a shaft that can be built: the chosen one at once, each other when it is first asked for; kept as long as its plan.

    The searches are made in the order of the methods here, whoever asks first: each learns the objections of those before it.
    ``proven`` is off where the trials ended before the proofs of the chosen path had nothing new to object to, and where every path
    fails a proof: the chosen one then is that against which they hold least.
    """

    def __init__(self, likely: _ProvedSearch, best: SequencePath, *, proven: bool) -> None:
        self._likely, self.best, self.proven = likely, best, proven
        self._of_other: dict[str, _FoundPath] = {}

    def decided(self, near: NearlyAsCheap) -> FoundPaths:
        """Return the same paths with another chosen where fluid and casing cost nearly the same, and something decides.

        Casing where most of what the fluid would hold is stony, loses fluid or lies under open water, and fluid where stones stop the
        plant at hand. Else the reserve: casing where the cautious way is cased and needs no fluid. Else a dry base: one handy casing below
        which the hole is dug, looked at and poured dry. Else one casing through clay that squeezes, fluid below it.
        The other way leaves no more open than the cheaper one, and all its proofs hold.
        Ways are searched only where one of them may stand for the best one.
        """
        if not self.proven:
            return self
        other = self._preferred(near.share) or self._with_reserve(near.share) or self._with_dry_base(near)
        other = other or self._with_upper_casing(near.share)
        if other is None:
            return self
        chosen = FoundPaths(self._likely, replace(other, score=other.score._replace(doubtful_m=0.0)), proven=True)
        chosen.__dict__["_cautious"] = self._cautious
        return chosen

    def _preferred(self, share: float) -> SequencePath | None:
        """Return the cheapest way by the other of fluid and casing, where the rules prefer that over most of the hole; else None."""
        other = {"fluid": "casing", "casing": "fluid"}.get(self.best.held_by)
        if other is None or not self._likely.lengths.lean_to(other, self.best.runs):
            return None
        ways = (
            path for path, ended_well in self._others.values() if path is not None and self._may_stand(path, share, ended_well=ended_well)
        )
        return min(ways, key=attrgetter("cost"), default=None)

    def _with_reserve(self, share: float) -> SequencePath | None:
        """Return the cautious way where it is held by casing alone and may stand for one by fluid; None where it may not."""
        if self.best.held_by != "fluid" or not self._likely.does_without_fluid(self._no_dearer(share)):
            return None
        path, ended_well = self._cautious
        if path is None or path.held_by != "casing" or path.fluids or not self._may_stand(path, share, ended_well=ended_well):
            return None
        return path

    def _with_dry_base(self, near: NearlyAsCheap) -> SequencePath | None:
        """Return the way by one handy casing that is pulled, dry below it, where it may stand for one by fluid; None where it may not."""
        deepest_m = min(near.handy_m, self.best.segments[-1].base_m - near.dry_base_m) + TOLERANCE_M
        if self.best.held_by != "fluid" or not self._likely.may_end_dry_from(deepest_m):
            return None
        if not self._likely.has_below(DRY_BASE, self._no_dearer(near.share)):
            return None
        _ = self._cautious  # searched before, as the class has it
        path, ended_well = self._likely.find_of(DRY_BASE)
        if path is None or len(path.strings) != 1 or path.strings[0].keep:
            return None
        shoe_m, tip_m = path.strings[0].base_m, path.segments[-1].base_m
        handy = shoe_m <= near.handy_m and tip_m - shoe_m >= near.dry_base_m
        return path if handy and self._may_stand(path, near.share, ended_well=ended_well) else None

    def _with_upper_casing(self, share: float) -> SequencePath | None:
        """Return the way by fluid below one casing that leads through clay which squeezes, where it may stand for fluid alone; else None.

        It is pulled, seals, and most of what it holds is such clay, in which the rules advise against fluid.
        """
        lengths, top = self._likely.lengths, self.best.segments[0].top_m
        if self.best.family != "slurry" or not any(piece.squeezes for piece in lengths.slices):
            return None
        if not self._likely.has_below(UPPER_CASING, self._no_dearer(share)):
            return None
        _ = self._cautious  # searched before, as the class has it
        path, ended_well = self._likely.find_of(UPPER_CASING)
        if path is None or len(path.strings) != 1 or path.strings[0].keep or path.strings[0].sealed not in SEALED:
            return None
        leads = path.runs[0].state in CASED_STATES and lengths.squeezes(top, path.strings[0].base_m)
        return path if leads and self._is_as_good(path, share, ended_well=ended_well) else None

    def _no_dearer(self, share: float) -> Score:
        """Return a score above that of every way that may stand for the best one, doubts aside."""
        score = self.best.score
        return Score(*score.unsettled_lengths_m, 0.0, score.cost * (1.0 + share) + TOLERANCE_M)

    def _may_stand(self, path: SequencePath, share: float, *, ended_well: bool) -> bool:
        """Return whether a way may stand for the best one: the one by fluid, the other by casing, and the cost is as good as the same."""
        other = {path.held_by, self.best.held_by} == {"fluid", "casing"}
        return other and self._is_as_good(path, share, ended_well=ended_well)

    def _is_as_good(self, path: SequencePath, share: float, *, ended_well: bool) -> bool:
        """Return whether a way costs as good as the same as the best one, leaves no more open, and all its proofs hold.

        Over open water one that is emptied never stands for one that stays full.
        """
        if self._likely.given.options.over_water and path.is_emptied and not self.best.is_emptied:
            return False
        sure = path.score.unsettled_lengths_m <= self.best.score.unsettled_lengths_m
        return path.cost <= self.best.cost * (1.0 + share) and sure and self._likely.holds((path, ended_well))

    @property
    def cautious(self) -> SequencePath | None:
        """Return the cautious path; None where it is the chosen one."""
        path = self._cautious[0]
        return None if path is not None and path.is_built_as(self.best) else path

    def cautious_of(self, path: SequencePath) -> SequencePath | None:
        """Return the cautious path of the family of another path; None where it is that path, as where nothing of it is in doubt."""
        if not any(path.score.open_lengths_m):
            return None
        found = self._likely.more_cautious(self._careful.of_family(path.family)).find(path)[0]
        return None if found is not None and found.is_built_as(path) else found

    @property
    def others(self) -> tuple[tuple[str, SequencePath | None], ...]:
        """Return the best path of every other family, None where the family cannot be built."""
        return tuple((family, path) for family, (path, _) in self._others.items())

    @property
    def other_families(self) -> tuple[str, ...]:
        """Return the families that are not the plan's, in the order in which they are searched."""
        return tuple(family for family in FAMILIES if family != self.best.family)

    def other(self, family: str) -> SequencePath | None:
        """Return the best path of another family, None where it cannot be built; those before it in order are to be asked for first."""
        return self._other(family)[0]

    def none_below(self, family: str, cost: float) -> bool:
        """Return whether no way of a family, and of those behind it, can cost less than a sum and leave no more open than the plan.

        Bounded searches tell it where the plan leaves nothing open; where it does, some way is taken to.
        """
        behind = self.other_families[self.other_families.index(family) :]
        return not any(self.best.score.open_lengths_m) and not any(self._likely.has_below(each, Score(cost=cost)) for each in behind)

    @property
    def worst(self) -> SequencePath | None:
        """Return the path without any open hole about which a must rule is in doubt; None where nothing can be built then."""
        return self._worst[0]

    @property
    def objections(self) -> tuple[Objection, ...]:
        """Return what the proofs hold against all paths that any of the searches tried."""
        _ = self._worst
        return tuple(self._likely.given.options.objections.known)

    def trials_ended(self, path: SequencePath) -> bool:
        """Return whether the trials of the search that found a path ended before its proofs had nothing new against it."""
        return next((not ended_well for found, ended_well in self._searched() if found == path), False)

    def _searched(self) -> Iterator[_FoundPath]:
        yield self.best, self.proven
        yield self._cautious
        yield from tuple(self._of_other.values())
        yield from self._others.values()
        yield self._worst

    @cached_property
    def _careful(self) -> SearchInput:
        """Return the search for a more cautious way: over open water it empties no casing where the best way empties none."""
        given = self._likely.given
        if not given.options.over_water or self.best.is_emptied:
            return given
        return replace(given, options=replace(given.options, may_empty=False))

    @cached_property
    def _cautious(self) -> _FoundPath:
        return self._likely.more_cautious(self._careful).find_proven_first(self.best)

    @cached_property
    def _others(self) -> Mapping[str, _FoundPath]:
        return {family: self._other(family) for family in self.other_families}

    def _other(self, family: str) -> _FoundPath:
        if family not in self._of_other:
            _ = self._cautious
            self._of_other[family] = self._likely.find_pulled(family) if self.twin_of(family) else self._likely.find_of(family)
        return self._of_other[family]

    def twin_of(self, family: str) -> str:
        """Return the family of the way that the best path of another family is built as: the plan's, or permanent casing; else nothing.

        The families that case a part, or all, find casing that stays as well; it stands once, as the plan or as permanent casing.
        """
        path, planned = self._likely.find_of(family)[0], self.best.family
        if path is not None and path.is_built_as(self.best):
            return planned
        if path is None or PERMANENT in {family, planned}:
            return ""
        kept = self._likely.find_of(PERMANENT)[0]
        return PERMANENT if kept is not None and path.is_built_as(kept) else ""

    @cached_property
    def _worst(self) -> _FoundPath:
        _ = self._others
        ground = replace(self._careful, slices=tuple(piece.without_doubtful_holes() for piece in self._careful.slices))
        return self._likely.more_cautious(ground).find_proven_first(self._cautious[0])


class ShaftSearches:
    """The searches for one shaft; the expected plan is searched once, whoever asks. ``known`` is what plans on like sites found."""

    def __init__(self, given: SearchInput, proofs: PathProofs, near: NearlyAsCheap, known: KnownSearches | None = None) -> None:
        self.given, self.proofs, self.near, self.known = given, proofs, near, known

    @cached_property
    def _expected(self) -> tuple[_ProvedSearch, _FoundPath]:
        """Return the search of the expected plan, and its path.

        A path whose proofs all hold goes before every other. Where none can be built by the plant that is likely at hand, it is searched
        with plant that has to be brought; where none is left then, it is the path against which the proofs hold least.
        """
        at_hand = self._search_with(self.given, None if self.known is None else self.known.of(self.given))
        found = at_hand.find_proven_first()
        if found[0] is not None:
            return at_hand, found
        hiring = self._search_with(self.given.with_hired_plant())
        found = hiring.find_proven_first()
        if found[0] is not None:
            return hiring, found
        for likely in (at_hand, hiring):
            least = _least_failing(likely.lengths, likely.given, self.proofs)
            if least is not None:
                return likely, (least, False)
        return at_hand, (None, False)

    def _search_with(self, given: SearchInput, before: PathsBefore | None = None) -> _ProvedSearch:
        return _ProvedSearch(LengthScores(given, cautious=False), given, self.proofs, before)

    @property
    def _likely(self) -> _ProvedSearch:
        return self._expected[0]

    def best(self) -> SequencePath | None:
        """Return the path of the expected plan alone, proven or not; None where nothing can be built."""
        return None if isinstance(self.found, NotBuildable) else self.found.best

    def best_without(self, ways: frozenset[str]) -> SequencePath | None:
        """Return the best path that brings no casing by some ways; None where none passes its proofs."""
        likely = self._likely.given
        others = tuple(way for way in likely.options.ways if way not in ways)
        given = replace(likely, options=replace(likely.options, ways=others))
        search = _ProvedSearch(self._likely.lengths, given, self.proofs)
        found = search.find_proven_first()
        return found[0] if search.holds(found) else None

    def best_at(self, costs: SearchCosts) -> SequencePath | None:
        """Return the path of the expected plan at other relative costs; None where nothing can be built.

        It learns what proofs hold against paths anew: some of it is held too widely, so that what other costs led to would decide as well.
        """
        known = self._likely.given
        given = replace(known, costs=costs, options=replace(known.options, objections=Objections()))
        likely = self._search_with(given)
        best, proven = likely.find_proven_first()
        return None if best is None else FoundPaths(likely, best, proven=proven).decided(self.near).best

    @cached_property
    def found(self) -> FoundPaths | NotBuildable:
        """Return the paths of the expected plan and of the ways beside it."""
        likely, (best, proven) = self._expected
        if best is None:
            return NotBuildable()
        return FoundPaths(likely, best, proven=proven).decided(self.near)


def _least_failing(lengths: LengthScores, given: SearchInput, proofs: PathProofs) -> SequencePath | None:
    """Return the path against which the proofs hold least, where each path fails one; None where the rules leave no path at all."""
    waiving = replace(given.options, objections=given.options.objections.waiving())
    return _ProvedSearch(lengths, replace(given, options=waiving), proofs).find()[0]
