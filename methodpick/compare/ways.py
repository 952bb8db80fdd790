"""A site built in other ways, each a complete plan by the same search, checks and takeoff: cautious, with less plant, of other families."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field
from functools import cache, partial
from typing import NamedTuple

from methodpick.compare.result import ComparedWays, GivenCost, SiteWay, WayName, WayOutcome, amounts_of, kind_states
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.rates import RelativeCosts
from methodpick.ground.site import Shaft, Site
from methodpick.plan.casing.sizes import CasingSize
from methodpick.plan.other_ways.ladder import FindPath
from methodpick.plan.pipeline import plan_along, wanted_shafts
from methodpick.plan.plan_context import PlanContext, WayConstraint
from methodpick.plan.reasons.notes import FAMILY_WORDS
from methodpick.plan.result import InputStamp, ShaftPlan
from methodpick.plan.sequence.families import FoundPaths
from methodpick.plan.sequence.path import NOTHING, Score, SequencePath
from methodpick.records import record
from methodpick.site.boring_assignment import PlanKey
from methodpick.site.planning import NO_FILE, KindOfShaft, Progress, SitePlanner
from methodpick.site.result import Takeoff
from methodpick.site.site_takeoff import take_off
from methodpick.terms import FLUID_NAMES, FLUIDS, Fluid
from methodpick.unit_markup import how_many, mark
from methodpick.vocabulary.trade_sizes import SAME_OUTSIDE_M

TITLES: Mapping[WayName, str] = {
    "plan": "plan",
    "cautious": "cautious",
    "one_fluid": "one fluid",
    "one_casing_diameter": "one casing diameter",
    "other_family": "other family",
}
AS_PLANNED: Mapping[WayName, str] = {
    "cautious": "The plan leaves no state in doubt that a more cautious one would avoid.",
    "one_fluid": "The plan needs no more than one fluid already.",
    "one_casing_diameter": "The plan has casing of one outside diameter already, or none.",
    "other_family": "",
}
NO_SEQUENCE = "no sequence reaches the tip so"
_RANKED_BY = (
    "undecided",
    "drilled in a state that is unlikely to hold",
    "drilled in a state of which it is not known whether it holds",
    "drilled in a state that is doubtful",
)
"""Lengths by which a path is ranked before its relative cost, as in :class:`methodpick.plan.sequence.path.Score`."""


class _Chosen(NamedTuple):
    """The plan of a kind of shaft with the score of its path; without a score where no sequence reaches the tip.

    ``resize`` plans the same path with the sizes of casing that are chosen for the site; None where its casing is given.
    """

    plan: ShaftPlan
    score: Score | None
    resize: Callable[[tuple[CasingSize, ...]], ShaftPlan | None] | None = None

    @property
    def stands(self) -> bool:
        """Return whether it is a whole way to build that passes its checks."""
        return self.score is not None and self.plan.proven

    @property
    def why_not(self) -> str:
        """Return why it does not stand."""
        if self.score is None:
            return NO_SEQUENCE
        failing = dict.fromkeys(check.what.rstrip(".") for check in self.plan.checks if check.is_short)
        return "its checks do not hold: " + "; ".join(failing) if failing else "the trials of its search ended"


@record(frozen=False)
class _Way:
    """A way to build the site in the making: what is chosen for each kind, what stops it, and what is said of it."""

    name: WayName
    chosen: list[_Chosen] = field(default_factory=list)
    stops: dict[str, list[str]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    changed: int = 0


@record(frozen=False)
class _KindToBuild:
    """A kind of shaft with the names of its shafts, how many they stand for, and its plan."""

    of_shafts: KindOfShaft
    names: tuple[str, ...]
    count: int
    planned: _Chosen

    @property
    def context(self) -> PlanContext:
        """Return what its plans are made from."""
        return self.of_shafts.context


class SiteComparison:
    """Plans a site in several ways over ground that is judged once."""

    def __init__(self, planner: SitePlanner, wanted: Sequence[Shaft], stamp: InputStamp) -> None:
        self.planner, self.stamp = planner, stamp
        self.shafts = tuple(shaft.id for shaft in wanted)
        kinds: dict[PlanKey, _KindToBuild] = {}
        for shaft in wanted:
            found = planner.kind_of(shaft)
            if found.key not in kinds:
                kinds[found.key] = _KindToBuild(found, (), 0, self._planned(found))
            kind = kinds[found.key]
            kind.names, kind.count = (*kind.names, shaft.id), kind.count + shaft.count
        self.kinds = list(kinds.values())

    # ---- the ways

    def plan(self) -> _Way:
        """Return the plan itself."""
        way = self._as_planned("plan")
        for kind in self.kinds:
            if not kind.planned.stands:
                why = kind.planned.why_not if kind.planned.plan.has_method else "nothing is decided"
                way.notes.append(f"Not proven: {_named(kind.names)}: {why}.")
        return way

    def cautious(self) -> _Way:
        """Return the plan on firmer states only."""
        way = _Way("cautious")
        for kind in self.kinds:
            found = kind.context.paths()
            path = found.cautious if isinstance(found, FoundPaths) else None
            self._take(way, kind, None if path is None else self._along(kind, path, lambda: None))
        return way

    def one_fluid(self) -> _Way:
        """Return the best way with one support fluid for the whole site."""
        if len({slurry.fluid for kind in self.kinds for slurry in kind.planned.plan.slurries}) < 2:
            return self._as_planned("one_fluid")
        tried = [(fluid, self._with_fluid(fluid)) for fluid in FLUIDS]
        built = [(self._rank(way), fluid, way) for fluid, way in tried if not way.stops]
        if not built:
            way = _Way("one_fluid")
            for fluid, other in tried:
                for why, names in other.stops.items():
                    way.stops[f"{FLUID_NAMES[fluid]}: {why}"] = names
            return way
        _, fluid, way = min(built, key=lambda each: (each[0], FLUIDS.index(each[1])))
        others = [FLUID_NAMES[other] for other, tried_way in tried if tried_way.stops]
        cannot = f"; with {' or '.join(others)} alone it cannot be built" if others else ""
        way.notes.insert(0, f"The one fluid is {FLUID_NAMES[fluid]}{cannot}.")
        return way

    def _with_fluid(self, fluid: Fluid) -> _Way:
        """Return the site with one fluid; a kind that needs no other is built as planned, for that is best among fewer ways too."""
        way, constraint = _Way("one_fluid"), WayConstraint(fluids=(fluid,))
        for kind in self.kinds:
            used = {slurry.fluid for slurry in kind.planned.plan.slurries}
            self._take(way, kind, None if used <= {fluid} else self._constrained(kind, constraint))
        return way

    def one_casing_diameter(self) -> _Way:
        """Return the best way with casing of one outside diameter, no casing in another; of as few as the sizes of the shafts allow."""
        free, way = [self._untelescoped(kind) for kind in self.kinds], _Way("one_casing_diameter")
        needs = {place: each.plan.casings[0].outside_diameter_m for place, each in enumerate(free) if each.stands and each.plan.casings}
        diameter = self._shared_diameters(needs)
        for place, (kind, each) in enumerate(zip(self.kinds, free, strict=True)):
            kept = place not in needs or abs(diameter[place] - needs[place]) < SAME_OUTSIDE_M
            fixed = None if kept else WayConstraint(one_diameter=True, outside_m=diameter[place])
            self._take(way, kind, each if fixed is None else self._constrained(kind, fixed))
        sizes, over_m = sorted(set(diameter.values())), self._widest_over_m()
        listed = " and ".join(mark(size, "size") for size in sizes)
        if len(sizes) == 1:
            way.notes.append(f"All casing is {listed} outside, starters too; no casing stands in another.")
        elif sizes:
            way.notes.append(
                f"No one diameter serves: casing lets the shaft's own tool pass and is at most {mark(over_m, 'size')} wider. "
                f"The fewest are {len(sizes)}: {listed}. No casing stands in another."
            )
        return way

    def _untelescoped(self, kind: _KindToBuild) -> _Chosen:
        """Return a kind without casing in casing; as planned where the plan has none."""
        planned = kind.planned
        return planned if len(planned.plan.casings) < 2 else self._constrained(kind, WayConstraint(one_diameter=True))

    def _shared_diameters(self, needs: Mapping[int, float]) -> dict[int, float]:
        """Return the diameter of each kind, as few in all as serve: the widest that is left serves all that may be so wide."""
        left, found = dict(needs), dict[int, float]()
        while left:
            widest = max(left.values())
            served = [place for place in left if self._most_m(place, left[place]) >= widest - SAME_OUTSIDE_M]
            found |= dict.fromkeys(served, widest)
            left = {place: need for place, need in left.items() if place not in served}
        return found

    def _most_m(self, place: int, need_m: float) -> float:
        """Return how wide casing may be for a kind: as much over its tool as casing of the yard, and as the plant takes."""
        shaft = self.kinds[place].of_shafts.shaft
        if shaft.diameter_is == "casing_outside":
            return need_m
        most_m = max(need_m, shaft.diameter_m + self._widest_over_m())
        plant_m = self.planner.site.site.equipment.max_casing_m
        return most_m if plant_m is None else max(need_m, min(most_m, plant_m))

    def _widest_over_m(self) -> float:
        return 2 * self.planner.book.values["casing_oversize_m"]

    def other_family(self) -> _Way:
        """Return each kind built by the best family of ways other than its own; kinds for which none is proven stay as planned."""
        way, families, stays = _Way("other_family"), dict[str, int](), 0
        for kind in self.kinds:
            chosen = self._best_other(kind)
            self._take(way, kind, None if chosen is None else chosen[1])
            if chosen is None:
                stays += kind.count
            else:
                families[chosen[0]] = families.get(chosen[0], 0) + kind.count
        if not families:
            way.stops = {"no other family of ways passes its proofs": [name for kind in self.kinds for name in kind.names]}
            return way
        way.notes.append("; ".join(f"{how_many(count, 'shaft')}: {words}" for words, count in families.items()) + ".")
        if stays:
            way.notes.append(f"{how_many(stays, 'shaft')} as planned: no other family of ways passes its proofs there.")
        return way

    # ---- kinds

    def _as_planned(self, name: WayName) -> _Way:
        return _Way(name, [kind.planned for kind in self.kinds])

    def _planned(self, kind: KindOfShaft) -> _Chosen:
        """Return the plan of a kind, as its own page tells it."""
        path = kind.context.best()
        return _Chosen(self.planner.as_planned(kind), None if path is None else path.score, partial(self.planner.resized, kind))

    def _along(self, kind: _KindToBuild, path: SequencePath, cautious: FindPath, context: PlanContext | None = None) -> _Chosen:
        """Return a kind planned along a path; ``cautious`` finds the more cautious path of the same ways."""
        of, context = kind.of_shafts, context or kind.context
        find = cache(cautious)

        @cache  # ways share the kinds that are built as planned, and the choices of casing many sizes
        def resized(sizes: tuple[CasingSize, ...]) -> ShaftPlan:
            return plan_along(of.basis, of.boring, of.shaft, context.with_sizes(path, sizes), path, find)

        plan = plan_along(of.basis, of.boring, of.shaft, context, path, find)
        return _Chosen(plan, path.score, None if context.outside_m is not None else resized)

    def _constrained(self, kind: _KindToBuild, constraint: WayConstraint) -> _Chosen:
        """Return a kind planned anew under a constraint; as planned, without a score, where no sequence reaches the tip under it."""
        context = kind.context.constrained(constraint)
        found = context.paths()
        if not isinstance(found, FoundPaths):
            return _Chosen(kind.planned.plan, None)
        return self._along(kind, found.best, lambda: found.cautious, context)

    def _best_other(self, kind: _KindToBuild) -> tuple[str, _Chosen] | None:
        """Return a kind built by the best proven path of another family than the plan's, with its words; None where there is none."""
        found = kind.context.paths()
        if not isinstance(found, FoundPaths):
            return None
        others = [(family, path) for family, path in found.others if path is not None and not path.is_built_as(found.best)]
        proven = [(family, path) for family, path in others if kind.context.is_proven(path)]
        if not proven:
            return None
        family, path = min(proven, key=lambda each: each[1].score)
        return FAMILY_WORDS[family], self._along(kind, path, lambda: found.cautious_of(path))

    def _take(self, way: _Way, kind: _KindToBuild, chosen: _Chosen | None) -> None:
        """Take the next kind into a way, None for as planned; one that does not stand stops the way."""
        taken = chosen or kind.planned
        way.chosen.append(taken)
        if not taken.stands:
            way.stops.setdefault(taken.why_not, []).extend(kind.names)
        if _work(taken.plan) != _work(kind.planned.plan):
            way.changed += kind.count

    def _rank(self, way: _Way) -> tuple[float, ...]:
        """Return by what ways are ranked, as the search ranks paths: lengths in doubt, then relative cost, over all shafts."""
        total = NOTHING
        for chosen, kind in zip(way.chosen, self.kinds, strict=True):
            total = total.plus((chosen.score or NOTHING).times(kind.count))
        return tuple(round(part, 6) for part in total)

    # ---- the record

    def takeoff(self, way: _Way) -> Takeoff:
        """Return the takeoff of a way."""
        by_key = {kind.of_shafts.key: chosen for kind, chosen in zip(self.kinds, way.chosen, strict=True)}

        def resized(kind: KindOfShaft, sizes: tuple[CasingSize, ...]) -> ShaftPlan | None:
            resize = by_key[kind.key].resize
            return None if resize is None else resize(sizes)

        resize = None if way.name == "one_casing_diameter" else resized
        site_plan = self.planner.plan_by(lambda kind: by_key[kind.key].plan, resize, stamp=self.stamp, shafts=self.shafts)
        return take_off(self.planner.site, site_plan, self.planner.book)

    def record(self, way: _Way, takeoff: Takeoff) -> SiteWay:
        """Return a way with what its takeoff adds up; ``takeoff`` is that of the plan where the way is the plan."""
        outcome: WayOutcome = "built" if way.changed else "as_planned"
        if way.name == "plan":
            outcome = "built" if all(chosen.stands for chosen in way.chosen) else "not_proven"
        return SiteWay(
            name=way.name,
            title=TITLES[way.name],
            outcome=outcome,
            notes=tuple(way.notes) if way.changed or way.name == "plan" else (AS_PLANNED[way.name],),
            changed=way.changed,
            amounts=amounts_of(takeoff),
            kinds=kind_states(takeoff, [kind.names for kind in self.kinds]),
            behind=self._behind(way) if way.changed else "",
        )

    def _behind(self, way: _Way) -> str:
        """Return the length in doubt by which the search puts a way behind the plan; nothing where only the relative cost does."""
        planned, other = self._rank(self.plan()), self._rank(way)
        for place, words in enumerate(_RANKED_BY):
            if other[place] > planned[place]:
                return f"{mark(planned[place], 'm')} are {words} in the plan, {mark(other[place], 'm')} in this way."
        return ""


def compare_ways(
    site: Site,
    book: Rulebook,
    *,
    stamp: InputStamp = NO_FILE,
    shafts: Sequence[str] | None = None,
    assumptions: bool = True,
    tell: Progress | None = None,
) -> ComparedWays:
    """Return a site built in other ways beside the plan; a length is firm as on the page of the plan, by the ways that may be taken.

    Raises InputError where a shaft or its boring is not there.
    """
    comparison = SiteComparison(SitePlanner(site, book, assumptions=assumptions), wanted_shafts(site, shafts), stamp)
    first = comparison.plan()
    planned = comparison.takeoff(first)
    ways = [comparison.record(first, planned)]
    makers: tuple[Callable[[], _Way], ...] = (
        comparison.cautious,
        comparison.one_fluid,
        comparison.one_casing_diameter,
        comparison.other_family,
    )
    for done, make in enumerate(makers, 1):
        way = make()
        if way.stops:
            why = tuple(f"{_named(names)}: {why}." for why, names in way.stops.items())
            ways.append(SiteWay(way.name, TITLES[way.name], "cannot_be_built", why, 0, None, ()))
        else:
            ways.append(comparison.record(way, comparison.takeoff(way) if way.changed else planned))
        if tell is not None:
            tell(done, len(makers))
    return ComparedWays(planned.site.plan, sum(kind.count for kind in comparison.kinds), tuple(ways), given_costs(site, book))


def given_costs(site: Site, book: Rulebook) -> tuple[GivenCost, ...]:
    """Return the relative costs that the site file gives otherwise than the rulebook."""
    given = {} if site.rates is None else {name: getattr(site.rates, name) for name in RelativeCosts.model_fields}
    return tuple(
        GivenCost(name, value, book.values[name])
        for name, value in given.items()
        if value is not None and name in book.values and value != book.values[name]
    )


def _work(plan: ShaftPlan) -> tuple[object, ...]:
    """Return what is done to build a plan."""
    return plan.stages, plan.casings, plan.slurries


def _named(names: Iterable[str]) -> str:
    """Name a few shafts and count the rest.

    >>> _named(["P1", "P2", "P3", "P4"]), _named(["P1"])
    ('P1, P2 and 2 more', 'P1')
    """
    listed = list(names)
    return ", ".join(listed) if len(listed) <= 3 else f"{', '.join(listed[:2])} and {len(listed) - 2} more"
