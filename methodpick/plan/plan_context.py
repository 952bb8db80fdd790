"""What every plan of one shaft is made from, worked out once: the judged ground, levels, costs, and what a path needs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from methodpick.engine.rulebook import Outcomes, Rulebook
from methodpick.facts.curves import HoleFluid
from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import Frame
from methodpick.ground.profile import Profile
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.ground.tiling import join_equal_layers
from methodpick.plan.casing.sizes import most_strings
from methodpick.plan.casing.strings import make_casings
from methodpick.plan.concrete.extraction import extractions
from methodpick.plan.concrete.placement import decide_placement, plan_concrete
from methodpick.plan.fluid.levels import Levels, find_levels, insides
from methodpick.plan.fluid.window import slurry_window
from methodpick.plan.judging.slices import judge
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.proving.objections_of import objections_of
from methodpick.plan.proving.prove import prove
from methodpick.plan.reasons.intervals import Told, make_intervals
from methodpick.plan.result import Casing, Concrete, HoleLevels, Interval, Placement, Slurry, Stage
from methodpick.plan.result.checks import Check
from methodpick.plan.sequence.costs import read_costs
from methodpick.plan.sequence.families import Ladder, SearchTerms, climb, climb_best
from methodpick.plan.sequence.objections import Objection, Objections
from methodpick.plan.sequence.path import Path
from methodpick.plan.sequence.search_options import Options, own_limits
from methodpick.plan.sequence.search_slices import WAYS
from methodpick.plan.sequence.seats import find_seats
from methodpick.plan.stages.stage_facts import stage_values
from methodpick.plan.stages.stage_list import make_stages
from methodpick.vocabulary.assumptions import Assumption


@dataclass(frozen=True, slots=True)
class Hole:
    """What a path leaves to be concreted: its casings, dry or wet placement, the concrete."""

    casings: tuple[Casing, ...]
    placement: Placement
    concrete: Concrete


class PlanContext:
    """What every plan of one shaft is made from: the gathered ground, the judged slices, levels and rates."""

    def __init__(self, site: Site, profile: Profile, shaft: Shaft, book: Rulebook, taken: tuple[Assumption, ...]) -> None:
        """Gather and judge the ground of the shaft."""
        self.site, self.book, self.limits = site, book, own_limits(book.values, site)
        self.dry_rise = book.limits["dry_rise_m_h"]
        self.gatherer = Gatherer(Frame(site.site, join_equal_layers(profile), shaft, book.catalogue, book.tables, taken, self.limits))
        self.levels: Levels = find_levels(self.gatherer, self.limits)
        self.seats = find_seats(self.gatherer, self.levels, book.tables)
        self.inside = insides(self.levels, self.limits)
        extra = [self.levels.starter_base_m, *(seat.depth_m for seat in self.seats)]
        self.slices = self.gatherer.slices(book.crossings(), self.inside, extra)
        self.judged, self.wide = judge(self.gatherer, self.slices, book, self.inside)
        self.told: Told = {}
        self.cuts = [one.cut for one in self.judged]
        self.windows: dict[tuple[str, float, float], Slurry] = {}
        self._holes: dict[tuple[Path, bool], Hole] = {}
        self.objections = Objections()
        self._checks: dict[Path, tuple[Check, ...]] = {}
        self.ground = GroundFacts(site, self.gatherer, self.judged, self.levels, self.inside, book)

    def search_terms(self) -> SearchTerms:
        """Return what the search works on; plant that is paid once is shared by all shafts of the site."""
        share = sum(shaft.count for shaft in self.site.shafts) or 1
        plant = self.site.site.equipment
        there = (
            ("twisted", plant.kelly_twist),
            ("vibrated", plant.vibratory),
            ("driven", plant.impact_hammer),
            ("oscillated", plant.oscillator or plant.rotator),
        )
        rates = self.site.rates.relative if self.site.rates else None
        return SearchTerms(
            self.cuts, self.seats, read_costs(self.limits, rates, share, [way for way, here in there if here]), self.options()
        )

    def best(self) -> Path | None:
        """Search the expected plan alone, None where nothing can be built."""
        return climb_best(self.search_terms(), self.objections_to)

    def climb(self) -> Ladder | None:
        """Search the plan and the other ways, each proved; None where nothing can be built."""
        return climb(self.search_terms(), self.objections_to)

    def built(self, path: Path) -> BuiltWay:
        """Return a path as it is built: stages, casings, fluids, placement and concrete."""
        hole = self.hole(path)
        stages = self.stages(path, hole)
        return BuiltWay(stages, hole.casings, self.slurries(path), hole.placement, self.extracted(hole.concrete, hole.casings, stages))

    def checks(self, path: Path) -> tuple[Check, ...]:
        """Return the checks of a path; worked out once."""
        if path not in self._checks:
            self._checks[path] = prove(self.ground, self.built(path))
        return self._checks[path]

    def hole_levels(self) -> HoleLevels:
        """Return the levels of the hole as a record of the plan."""
        levels = self.levels
        return HoleLevels(levels.grade_m, dict(levels.fluid_m), levels.stick_up_m, levels.starter_base_m, levels.head_missing_m)

    def cuts_m(self) -> tuple[float, ...]:
        """Return the depths at which the ground was cut into slices, from the top to the tip."""
        return (self.slices[0].top_m, *(piece.base_m for piece in self.slices))

    def objections_to(self, path: Path) -> list[Objection]:
        """Return what the proofs of a path object to."""
        return list(objections_of(self.checks(path), self.built(path)))

    def options(self) -> Options:
        """Return what the search may use on this site."""
        limits, allowed = self.limits, self.site.site.allowed
        near = self.site.site.neighbours and self.gatherer.base.span("neighbour_distance_m").high < limits["vibration_distance_m"]
        finish = limits["hours_clean"] + limits["hours_cage"] + limits["hours_pour_taken"]
        return Options(
            self.levels.starter_base_m,
            limits["introduce_margin_m"],
            -self.levels.casing_top_m,
            limits["hours_casing_set"],
            limits["hours_advance_m"],
            finish,
            limits["run_least_m"],
            most_strings=most_strings(self.site, self.gatherer.frame.shaft, limits),
            shaking=bool(near),
            reach_m={way: limits[f"reach_{way}_m"] for way in WAYS},
            over_water=self.site.site.setting == "water",
            temporary="temporary_casing" in allowed,
            permanent="permanent_casing" in allowed,
            objections=self.objections,
        )

    def hours(self, path: Path) -> dict[str, float]:
        """Return the drilling hours of every run of a path."""
        found: dict[str, float] = {}
        for segment in path.segments:
            for run in segment.runs:
                hours = sum(
                    (min(cut.base_m, run.base_m) - max(cut.top_m, run.top_m)) / cut.rate_m_h
                    for cut in self.cuts
                    if cut.base_m > run.top_m and cut.top_m < run.base_m
                )
                found[f"{run.top_m:.3f}-{run.base_m:.3f}"] = hours
        return found

    def intervals(self, path: Path, firm: Mapping[float, bool]) -> tuple[Interval, ...]:
        """Return the intervals of a path."""
        return make_intervals(path, self.judged, self.levels.starter_base_m, self.book, firm, self.told)

    def casings(self, path: Path | None) -> tuple[Casing, ...]:
        """Return the casings of a path."""
        return make_casings(self.site, self.gatherer, path, self.levels, self.limits)

    def slurry(self, path: Path) -> Slurry | None:
        """Return the density window of the length that a path holds by the fluid of its longest length."""
        return None if path.fluid is None else self._window(path, path.fluid)

    def slurries(self, path: Path) -> tuple[Slurry, ...]:
        """Return the density windows of all fluids of a path, in the order of their use."""
        return tuple(self._window(path, fluid) for fluid in path.fluids)

    def _window(self, path: Path, fluid: str) -> Slurry:
        runs = [run for segment in path.segments for run in segment.runs if run.state == fluid]
        ends = min(run.top_m for run in runs), max(run.base_m for run in runs)
        if (key := (fluid, *ends)) not in self.windows:
            self.windows[key] = slurry_window(self.gatherer, self.judged, fluid, ends, self.levels, self.book.limits)
        return self.windows[key]

    def stages(self, path: Path, hole: Hole) -> tuple[Stage, ...]:
        """Return the stages of a path."""
        return make_stages(
            path, hole.casings, self.levels, hole.placement, hole.concrete, self.hours(path), self.limits, self.gatherer.frame.shaft
        )

    def hole(self, path: Path, *, decided: bool = True) -> Hole:
        """Return the casings, placement and concrete of a path; worked out once, since plan, ladder and other ways ask for them."""
        if (path, decided) not in self._holes:
            casings = self.casings(path)
            placement = decide_placement(self.judged, path, self.dry_rise, decided=decided)
            concrete = plan_concrete(
                self.gatherer,
                self.judged,
                casings,
                placement,
                (self.fluid(path), self.inside["water"]),
                self.book.tables["overbreak"],
                self.limits,
            )
            self._holes[path, decided] = Hole(casings, placement, concrete)
        return self._holes[path, decided]

    def extracted(self, concrete: Concrete, casings: Sequence[Casing], stages: Sequence[Stage]) -> Concrete:
        """Return the concrete with what it takes to pull each casing after its hours in the ground."""
        shift = self.site.site.schedule.shift_hours or self.limits["shift_h"]
        return replace(concrete, extraction=extractions(self.gatherer, self.judged, casings, stages, self.book.tables, shift))

    def fluid(self, path: Path) -> HoleFluid | None:
        """Return the support fluid that stands in the hole at the tip, else that of a path; None without one."""
        fluid = path.last if path.last in path.fluids else path.fluid
        return None if fluid is None else self.inside[fluid]


def stage_outcomes(context: PlanContext, path: Path) -> Outcomes:
    """Judge the stage rules over the finished hole of a path."""
    hole = context.hole(path)
    stages = context.stages(path, hole)
    concrete = context.extracted(hole.concrete, hole.casings, stages)
    return context.book.scopes["stage"].judge(stage_values(context.gatherer, context.judged, path, stages, concrete, hole.casings))
