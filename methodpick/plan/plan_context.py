"""What every plan of one shaft is made from, worked out once: the judged ground, levels and costs, and what each path needs.

It stands on the platform that the site has, or on one that is raised by fill where water below rises above what casing can hold.
"""

from __future__ import annotations

from collections.abc import Iterable
from copy import copy
from dataclasses import field, replace
from functools import cached_property, partial
from weakref import proxy

from methodpick.collector import collector_paused
from methodpick.engine.rulebook import Rulebook
from methodpick.facts.gather import Gathered, Gatherer
from methodpick.facts.sheet import Frame
from methodpick.ground.doubt import Doubt
from methodpick.ground.fitted_boring import join_equal_layers
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, Site
from methodpick.plan.casing.sizes import CasingSize, most_strings
from methodpick.plan.casing.strings import make_casings
from methodpick.plan.checks.catalogue import cutting_limits
from methodpick.plan.concrete.hole import socket_of
from methodpick.plan.concrete.placement import FinishedHole, StandingFluids, decide_placement, plan_concrete
from methodpick.plan.demands.bounds import KeptBounds
from methodpick.plan.demands.fluid_length import BareRun, bare_runs
from methodpick.plan.demands.ground_on_casing import extractions
from methodpick.plan.finished_hole import nothing_built, stage_values
from methodpick.plan.fluid.levels import chosen_raise, find_levels
from methodpick.plan.fluid.window import HeldLength
from methodpick.plan.judging.planning_input import limits_of
from methodpick.plan.judging.slices import JudgedGround, insides, judge
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import GroundFacts, KeptProofs, ProvedFacts
from methodpick.plan.proving.objections_of import objections_of
from methodpick.plan.proving.prove import prove
from methodpick.plan.reasons.decision import method_of
from methodpick.plan.reasons.intervals import DepthSupport, FirmAt, IntervalWriter
from methodpick.plan.reasons.notes import NotesOfLengths, StageJudgement, assumptions, cautions_of_ground
from methodpick.plan.result import Interval, OtherWay, Placement, ShaftMethod, Slurry, Stage
from methodpick.plan.result.checks import Check, none_short
from methodpick.plan.sequence.families import FoundPaths, NearlyAsCheap, NotBuildable, PathProofs, ShaftSearches
from methodpick.plan.sequence.known_searches import KnownSearches
from methodpick.plan.sequence.objections import Objection, Objections
from methodpick.plan.sequence.path import SequencePath
from methodpick.plan.sequence.search_input import (
    SearchCosts,
    SearchInput,
    drilling_hours,
    search_options,
    search_slice,
    site_costs,
    without_short_hazards,
)
from methodpick.plan.sequence.seats import find_seats
from methodpick.plan.stages import make_stages
from methodpick.records import record
from methodpick.terms import Fluid
from methodpick.vocabulary.assumptions import Assumption


@record
class PlanBasis:
    """What all shafts of a site are planned from: the site, the rulebook, the assumptions, and the doubts about the site.

    ``proved`` are the proofs by their facts that the plans share; they are kept as long as the basis, and added to by every plan.
    ``searched`` is what the searches of plans on changed copies of the site found, where several are planned.
    """

    site: Site
    book: Rulebook
    assumptions: tuple[Assumption, ...]
    doubts: tuple[Doubt, ...] = ()
    proved: ProvedFacts = field(default_factory=dict, compare=False, repr=False)
    searched: KnownSearches | None = field(default=None, compare=False, repr=False)


@record
class WorkedPath:
    """A path worked out to the last stage: the finished hole with its casings, concrete and pulls, and the stages."""

    path: SequencePath
    hole: FinishedHole
    stages: tuple[Stage, ...]


@record
class WayConstraint:
    """What a way of building is restricted to beside what the rules say: to compare what else could be built.

    ``fluids`` are the support fluids that may be used (None: all that the rules allow). ``one_diameter`` lets no casing stand in
    another, a starter included; ``outside_m`` is the outside diameter of all casing then, None where each may have its own.
    """

    fluids: tuple[Fluid, ...] | None = None
    one_diameter: bool = False
    outside_m: float | None = None


WayKey = tuple[SequencePath, Placement | None, tuple[CasingSize, ...]]
"""A path without its score, the placement of its concrete where the ground leaves it open, and the sizes of its casings where given."""


@record
class KeptWays:
    """The paths of a shaft that were worked out already, as they are built, with their checks, and what is said of their lengths.

    ``settled`` holds, by depth, how a path holds what nothing leaves in doubt but its checks.
    """

    worked: dict[WayKey, WorkedPath] = field(default_factory=dict)
    built: dict[WayKey, BuiltWay] = field(default_factory=dict)
    checks: dict[WayKey, tuple[Check, ...]] = field(default_factory=dict)
    notes: list[tuple[tuple[Interval, ...], NotesOfLengths]] = field(default_factory=list)
    settled: dict[SequencePath, dict[float, DepthSupport | None]] = field(default_factory=dict)


class PlanContext:
    """What every plan of one shaft is made from: the gathered and judged ground, fluid levels, what the search works on.

    What a path needs is worked out once, since the plan, the ladder and the other ways ask for the same.
    """

    @collector_paused()
    def __init__(self, basis: PlanBasis, profile: Profile, shaft: Shaft, raised_m: float = 0.0) -> None:
        """Gather and judge the ground of the shaft, drilled from a platform of fill ``raised_m`` above the drilling grade of the site."""
        site, book = basis.site, basis.book.for_diameter(shaft.diameter_m)
        self.basis, self.book = basis, book
        self.limits = limits_of(site, book.values)
        self.gatherer = Gatherer(
            Frame(
                site=site.site,
                profile=join_equal_layers(profile),
                shaft=shaft,
                catalogue=book.catalogue,
                tables=book.tables,
                assumptions=basis.assumptions,
                limits=self.limits,
                raised_m=raised_m,
            )
        )
        self.levels = find_levels(self.gatherer)
        self.inside = insides(self.levels, self.limits)
        seats = find_seats(self.gatherer, self.levels, book.tables)
        cuts = [self.levels.starter_base_m, *(seat.depth_m for seat in seats)]
        self.slices = self.gatherer.slices(cutting_limits(book), self.inside, cuts)
        self.ground: JudgedGround = judge(self.gatherer, self.slices, book, self.inside)
        seen = [search_slice(judged, book, socket_of(shaft)) for judged in self.ground.slices]
        self.search_input = SearchInput(
            slices=without_short_hazards(seen, self.limits["hazard_least_m"]),
            seats=seats,
            costs=site_costs(site, shaft, self.limits),
            options=search_options(self.gatherer, self.levels, most_strings(site, shaft, self.ground.trade_sizes)),
        )
        self.interval_writer = IntervalWriter(self.ground, self.levels.starter_base_m)
        self.ground_facts = GroundFacts(site, self.ground, self.levels, self.inside, KeptProofs(checks=basis.proved))
        self.outside_m: float | None = None
        self.is_constrained = False
        self.start_search()

    def start_search(self) -> None:
        """Begin with nothing searched and no path worked out.

        The searches do not hold the context that holds them, so that it is freed with the last that asks for it, without the collector.
        """
        near = NearlyAsCheap(*(self.limits[name] for name in ("both_open_share", "casing_handy_m", "dry_base_least_m")))
        self._searches = ShaftSearches(self.search_input, _proofs_by(proxy(self)), near, self.basis.searched)
        self._held: dict[tuple[str, float, float], HeldLength] = {}
        self._held_at_once: dict[tuple[BareRun, ...], tuple[HeldLength, ...]] = {}
        self._bounds: KeptBounds = {}
        self.sizes: tuple[SequencePath, tuple[CasingSize, ...]] | None = None
        self.sized_from: PlanContext | None = None
        self.ways = KeptWays()

    def constrained(self, constraint: WayConstraint) -> PlanContext:
        """Return the same judged ground, to be searched anew for ways that keep to a constraint."""
        options = self.search_input.options
        fluids = options.fluids if constraint.fluids is None else tuple(name for name in options.fluids if name in constraint.fluids)
        options = replace(options, fluids=fluids, one_diameter=constraint.one_diameter, objections=Objections())
        if constraint.one_diameter:
            options = replace(options, most_strings=1)
        other = copy(self)
        other.search_input = replace(self.search_input, options=options)
        other.outside_m, other.is_constrained = constraint.outside_m, True
        other.start_search()
        return other

    def with_sizes(self, path: SequencePath, sizes: tuple[CasingSize, ...]) -> PlanContext:
        """Return this context with the sizes of all casings of a path, outermost first; no other path is worked out again for it."""
        sized = copy(self)
        sized.sizes, sized.sized_from = (path, sizes), self
        return sized

    def _way_key(self, path: SequencePath, placement: Placement | None) -> WayKey:
        """Return by what a path is kept; what is kept of it with other sizes is another way."""
        return path.without_score, placement, self.sizes[1] if self.sizes is not None and path == self.sizes[0] else ()

    @property
    def shaft(self) -> Shaft:
        """Return the shaft."""
        return self.ground.shaft

    @property
    def shift_h(self) -> float:
        """Return the hours of a shift: the site's, else the usual ones."""
        return self.ground.site.schedule.shift_hours or self.limits["shift_h"]

    @cached_property
    def gathered(self) -> Gathered:
        """Return all facts of the shaft, with the assumptions that were taken and the doubts about formulas."""
        return self.gatherer.gathered(self.slices)

    def best(self) -> SequencePath | None:
        """Search the expected plan alone, None where nothing can be built."""
        return self._searches.best()

    def best_proven(self) -> SequencePath | None:
        """Search the expected plan alone; None where no way passes its proofs, those included that no sequence can answer."""
        path = self.best()
        return path if path is not None and self.is_proven(path) else None

    def best_without(self, ways: frozenset[str]) -> SequencePath | None:
        """Search the best way that brings no casing by some ways; None where none passes its proofs."""
        return self._searches.best_without(ways)

    def best_at(self, costs: SearchCosts) -> SequencePath | None:
        """Search the expected plan alone at other relative costs; None where nothing can be built."""
        return self._searches.best_at(costs)

    def paths(self) -> FoundPaths | NotBuildable:
        """Return the path of the plan, and those of the other ways, which are searched when they are asked for."""
        return self._searches.found

    def built(self, path: SequencePath, placement: Placement | None = None) -> BuiltWay:
        """Return a path as it is built, ``placement`` as in :meth:`worked`: stages, casings, fluids and concrete; worked out once."""
        kept, key = self.ways.built, self._way_key(path, placement)
        if key not in kept:
            worked = self.worked(path, placement)
            kept[key] = BuiltWay(
                stages=worked.stages,
                casings=worked.hole.casings,
                fluids=self.held_lengths(path, placement),
                placement=worked.hole.placement,
                concrete=worked.hole.concrete,
            )
        return kept[key]

    def checks(self, path: SequencePath, placement: Placement | None = None) -> tuple[Check, ...]:
        """Return the checks of a path; worked out once."""
        kept, key = self.ways.checks, self._way_key(path, placement)
        if key not in kept:
            kept[key] = prove(self.ground_facts, self.built(path, placement))
        return kept[key]

    def other_way(self, path: SequencePath, placement: Placement | None = None) -> OtherWay:
        """Return a path as a way beside the plan, ``placement`` as in :meth:`worked`."""
        built = self.built(path, placement)
        return OtherWay(
            stages=built.stages,
            casings=built.casings,
            slurries=self.slurries(path),
            placement=built.placement,
            concrete=built.concrete,
            checks=self.checks(path, placement),
            proven=self.is_proven(path, placement),
            trials_ended=self.trials_ended(path),
        )

    def objections_to(self, path: SequencePath) -> list[Objection]:
        """Return what the proofs of a path object to."""
        return list(objections_of(self.checks(path), self.built(path)))

    def cuts_m(self) -> tuple[float, ...]:
        """Return the depths at which the ground was cut into slices, from the top to the tip."""
        return (self.slices[0].top_m, *(piece.base_m for piece in self.slices))

    def intervals(self, path: SequencePath, firm: FirmAt) -> tuple[Interval, ...]:
        """Return the intervals of a path; ``firm`` tells of a depth whether it rests on no doubt."""
        return self.interval_writer.of_path(path, firm)

    def notes_of(self, intervals: tuple[Interval, ...]) -> NotesOfLengths:
        """Return what is said of the lengths of a path; found once for all sizes of its casings."""
        found = next((said for known, said in self.ways.notes if known == intervals), None)
        if found is None:
            found = NotesOfLengths(assumptions(self.gathered, self.ground, intervals), cautions_of_ground(self.ground, intervals))
            self.ways.notes.append((intervals, found))
        return found

    def method_of(self, path: SequencePath) -> ShaftMethod:
        """Return the name of the method of a path."""
        return method_of(self.interval_writer.supports(path), self.levels.starter_base_m)

    def slurry(self, path: SequencePath) -> Slurry | None:
        """Return the density window of the longest length that the main fluid of a path holds at one time; None without a fluid."""
        main = [slurry for slurry in self.slurries(path) if slurry.fluid == path.fluid]
        return max(main, key=lambda slurry: slurry.base_m - slurry.top_m, default=None)

    def slurries(self, path: SequencePath) -> tuple[Slurry, ...]:
        """Return the density windows of all lengths that a path holds by fluid, in the order in which they are opened."""
        return tuple(held.slurry for held in self.held_lengths(path))

    def held_lengths(self, path: SequencePath, placement: Placement | None = None) -> tuple[HeldLength, ...]:
        """Return the lengths that the fluids of a path hold, each bare at one time, in the order in which they are opened."""
        if not path.fluids:
            return ()
        worked = self.worked(path, placement)
        runs = bare_runs(worked.stages, worked.hole.casings, self.levels.floor_m)
        if runs not in self._held_at_once:
            held = [self._held_length(run) for run in runs]
            self._held_at_once[runs] = tuple(length.sharing(other for other in held if other.fluid == length.fluid) for length in held)
        return self._held_at_once[runs]

    def _held_length(self, run: BareRun) -> HeldLength:
        if (key := (run.fluid, run.top_m, run.base_m)) not in self._held:
            self._held[key] = HeldLength(self.ground, run.fluid, (run.top_m, run.base_m), self.levels, self._bounds)
        return self._held[key]

    def worked(self, path: SequencePath, placement: Placement | None = None) -> WorkedPath:
        """Return a path with its casings, concrete and stages; ``placement`` is given where the ground does not decide it."""
        kept, key = self.ways.worked, self._way_key(path, placement)
        if key not in kept:
            kept[key] = self._work_out(*key)
        return replace(kept[key], path=path)

    def _work_out(self, path: SequencePath, placement: Placement | None, sizes: tuple[CasingSize, ...]) -> WorkedPath:
        placement = placement or decide_placement(self.ground.slices, path, self.book.limits["dry_rise_m_h"])
        levels = self.levels if path.fluids or path.strings else self.levels.dry_below(path.segments[0].top_m)
        casings = make_casings(self.basis.site, self.ground, path, levels, sizes, self.outside_m)
        concrete = plan_concrete(self.ground, casings, placement, self._standing(path))
        hours = partial(drilling_hours, self.search_input.slices)
        stages = make_stages(self.ground_facts, path, FinishedHole(casings, placement, concrete), hours)
        extraction = extractions(self.ground, casings, stages, self.shift_h)
        return WorkedPath(path, FinishedHole(casings, placement, replace(concrete, extraction=extraction)), stages)

    def _standing(self, path: SequencePath) -> StandingFluids:
        """Return the fluids of a path: that at the tip, else that of its longest length, round the casings; what stands at the tip."""
        fluid = path.last if path.last in path.fluids else path.fluid
        full = path.stands_at_tip
        return StandingFluids(
            drilled_under=None if fluid is None else self.inside[fluid],
            at_tip=self.inside[full] if full else None,
            water=self.inside["water"],
        )

    def is_proven(self, path: SequencePath, placement: Placement | None = None) -> bool:
        """Return whether no check of a path is short at the likely values, and its search did not end with something new against it."""
        return not self.trials_ended(path) and none_short(self.checks(path, placement))

    def trials_ended(self, path: SequencePath) -> bool:
        """Return whether the trials of the search for a path ended before nothing new was held against it."""
        found = self.paths()
        return isinstance(found, FoundPaths) and found.trials_ended(path)

    def stage_judgement(self, worked: WorkedPath | None) -> StageJudgement:
        """Judge the stage rules over the finished hole of a path; None: where nothing is built."""
        ground = self.ground
        values = nothing_built(ground) if worked is None else stage_values(ground, worked.path, worked.hole, worked.stages)
        return StageJudgement(self.book.scopes["stage"].judge(values), values)


def _proofs_by(context: PlanContext) -> PathProofs:
    """Return the proofs of the paths of a context."""

    def objections_to(path: SequencePath) -> Iterable[Objection]:
        return context.objections_to(path)

    return PathProofs(objections_to, lambda path: none_short(context.checks(path)))


def shaft_context(basis: PlanBasis, profile: Profile, shaft: Shaft) -> PlanContext:
    """Return what the plans of a shaft are made from, on a platform of fill where that is what builds it.

    A head that the highest stick-up does not hold is held by a casing that stands on a higher platform. The platform is raised only
    where no way is proven from the ground, and one is from the fill; or where nothing at all can be built from the ground.
    """
    on_ground = PlanContext(basis, profile, shaft)
    raise_m = chosen_raise(basis.site.site, on_ground.levels.head_missing_m, on_ground.limits)
    if raise_m <= 0 or on_ground.best_proven() is not None:
        return on_ground
    on_fill = PlanContext(basis, profile, shaft, raise_m)
    opens = on_fill.best_proven() is not None or (on_ground.best() is None and on_fill.best() is not None)
    return on_fill if opens else on_ground
