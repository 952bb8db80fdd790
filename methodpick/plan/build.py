"""Build the plan of one shaft, step by step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from methodpick.engine.rulebook import Outcomes, Rulebook
from methodpick.facts.curves import Inside
from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import Frame
from methodpick.ground.doubt import Doubt
from methodpick.ground.profile import Profile
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.ground.tiling import join_equal_layers
from methodpick.plan import notes
from methodpick.plan.concrete import plan_concrete
from methodpick.plan.costs import Costs, read_costs
from methodpick.plan.cut import WAYS, Cut, Seat
from methodpick.plan.extraction import extractions
from methodpick.plan.finished import decide_placement, decision, fluid_of, method_of, stage_values
from methodpick.plan.fluid.programme import fluid_programme
from methodpick.plan.fluid.window import slurry_window
from methodpick.plan.intervals import Told, held_at, make_intervals
from methodpick.plan.judge import Judged, judge
from methodpick.plan.ladder import FAMILY_WORDS, climb, climb_best, differs, why_not
from methodpick.plan.levels import Levels, find_levels, insides
from methodpick.plan.options import Options, own_limits
from methodpick.plan.path import Path, Run, Segment
from methodpick.plan.quantities import held_by_fluid, make_quantities
from methodpick.plan.record import design_of, log_of
from methodpick.plan.relief import relief
from methodpick.plan.result import Alternate, Casing, CautiousPlan, Concrete, Interval, Placement, ShaftPlan, Slurry, Stage
from methodpick.plan.rungs import make_rungs
from methodpick.plan.seats import find_seats
from methodpick.plan.sizes import most_strings
from methodpick.plan.stages import make_stages
from methodpick.plan.strings import make_casings
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.values import Span, Value


@dataclass(frozen=True, slots=True)
class Hole:
    """What a path leaves to be concreted: its casings, dry or wet placement, the concrete."""

    casings: tuple[Casing, ...]
    placement: Placement
    concrete: Concrete


class Workshop:
    """What every plan of one shaft is made from: the gathered ground, the judged slices, levels and rates."""

    def __init__(self, site: Site, profile: Profile, shaft: Shaft, book: Rulebook, taken: tuple[Assumption, ...]) -> None:
        """Gather and judge the ground of the shaft."""
        self.site, self.book, self.limits = site, book, own_limits(book.values, site)
        self.dry_rise = book.limits["dry_rise_m_h"]
        self.gatherer = Gatherer(Frame(site.site, join_equal_layers(profile), shaft, book.catalogue, book.tables, taken, self.limits))
        self.levels: Levels = find_levels(self.gatherer, self.limits)
        self.seats = find_seats(self.gatherer, self.levels.starter_base_m, book.tables)
        self.inside = insides(self.levels, self.limits)
        extra = [self.levels.starter_base_m, *(seat.depth_m for seat in self.seats)]
        self.slices = self.gatherer.slices(book.crossings(), self.inside, extra)
        self.judged, self.wide = judge(self.gatherer, self.slices, book, self.inside)
        self.told: Told = {}
        self.cuts = [one.cut for one in self.judged]
        self.windows: dict[tuple[str, float, float], Slurry] = {}
        self._holes: dict[tuple[Path, bool], Hole] = {}

    def search_terms(self) -> tuple[Sequence[Cut], Sequence[Seat], Costs, Options]:
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
        return (self.cuts, self.seats, read_costs(self.limits, rates, share, [way for way, here in there if here]), self.options())

    def best(self) -> Path | None:
        """Search the expected plan alone, None where nothing can be built."""
        return climb_best(*self.search_terms())

    def options(self) -> Options:
        """Return what the search may use on this site."""
        limits, allowed = self.limits, self.site.site.allowed
        near = self.site.site.neighbours and self.gatherer.base.span("neighbour_distance_m").high < limits["vibration_distance_m"]
        finish = limits["hours_clean"] + limits["hours_cage"] + 2.0
        return Options(
            self.levels.starter_base_m,
            limits["introduce_margin_m"],
            -self.levels.casing_top_m,
            limits["hours_casing_set"],
            limits["hours_advance_m"],
            finish,
            most_strings=most_strings(self.site, self.gatherer.frame.shaft, limits),
            shaking=bool(near),
            reach_m={way: limits[f"reach_{way}_m"] for way in WAYS},
            over_water=self.site.site.setting == "water",
            temporary="temporary_casing" in allowed,
            permanent="permanent_casing" in allowed,
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
        """Return the density window of the length that a path holds by fluid."""
        runs = [run for segment in path.segments for run in segment.runs if run.state == path.fluid]
        if path.fluid is None or not runs:
            return None
        ends = min(run.top_m for run in runs), max(run.base_m for run in runs)
        if (key := (path.fluid, *ends)) not in self.windows:
            self.windows[key] = slurry_window(self.gatherer, self.judged, path.fluid, ends, self.levels, self.book.limits)
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

    def fluid(self, path: Path) -> Inside | None:
        """Return the support fluid that stands in the hole at the tip, else that of a path; None without one."""
        fluid = path.last if path.last in path.fluids else path.fluid
        return None if fluid is None else self.inside[fluid]


def stage_outcomes(shop: Workshop, path: Path) -> Outcomes:
    """Judge the stage rules over the finished hole of a path."""
    hole = shop.hole(path)
    stages = shop.stages(path, hole)
    concrete = shop.extracted(hole.concrete, hole.casings, stages)
    return shop.book.scopes["stage"].judge(stage_values(shop.gatherer, shop.judged, path, stages, concrete, hole.casings))


def build_shaft(
    site: Site,
    profile: Profile,
    shaft: Shaft,
    book: Rulebook,
    taken: tuple[Assumption, ...],
    said: Sequence[Doubt],
    shop: Workshop | None = None,
) -> ShaftPlan:
    """Plan one shaft: gather, judge, search, size, explain; ``shop`` is taken where it is gathered and judged already."""
    shop = shop or Workshop(site, profile, shaft, book, taken)
    ladder = climb(*shop.search_terms())
    path = ladder.best if ladder is not None else _nothing(shop)
    firm = _firm(shop, path, ladder.cautious if ladder is not None else None)
    intervals = shop.intervals(path, firm)
    hole = shop.hole(path, decided=all(i.support != "undecided" for i in intervals))
    casings, placement = hole.casings, hole.placement
    stages = shop.stages(path, hole)
    concrete = shop.extracted(hole.concrete, casings, stages)
    values = stage_values(shop.gatherer, shop.judged, path, stages, concrete, casings)
    stage: tuple[Outcomes, Mapping[str, Value]] = (book.scopes["stage"].judge(values), values)
    gathered = shop.gatherer.gathered(shop.slices)
    base = gathered.base.values()
    slurry = shop.slurry(path)
    hole_m3, _ = held_by_fluid(shaft, path, shop.levels, casings)
    fluid = fluid_programme(shop.gatherer, shop.judged, slurry, hole_m3, stages, shop.levels, book)
    method = method_of(intervals, shop.levels.starter_base_m)
    distance = gathered.base.value("boring_distance_m") if "boring_distance_m" in gathered.base.facts else None
    return ShaftPlan(
        shaft.id,
        profile.id,
        distance.likely if isinstance(distance, Span) else None,
        shaft.diameter_m,
        shaft.tip_m,
        method,
        decision(path, casings, placement, intervals, shop.levels),
        placement,
        intervals,
        stages,
        casings,
        slurry,
        fluid,
        concrete,
        make_quantities(shaft, path, casings, concrete, shop.judged, shop.levels, book.tables, shop.limits),
        notes.assumptions(gathered, shop.judged, intervals, book),
        notes.open_hazards(shop.judged, intervals, book),
        notes.cautions(shop.judged, shop.wide, stage, base, intervals, book),
        notes.gaps(shop.judged, shop.wide, stage, base, book),
        _cautious(shop, ladder.cautious if ladder else None, path, firm),
        (
            *(_alternate(shop, family, other, path, firm) for family, other in (ladder.others if ladder else ())),
            *relief(shop, ladder.best if ladder else None),
        ),
        round(path.cost, 6),
        fluid_of(path, shop.levels),
        shaft.cutoff_m,
        shaft.count,
        (*_doubts(said, profile, shaft), *gathered.doubts),
        log_of(shop.gatherer),
        design=design_of(shop.gatherer, shop.levels),
        ladder=make_rungs(shop, ladder),
    )


def _doubts(said: Sequence[Doubt], profile: Profile, shaft: Shaft) -> tuple[str, ...]:
    """Return the doubts about this shaft, its boring and the site as a whole."""
    mine = {f"boring {profile.id}", f"shaft {shaft.id}"}
    return tuple(
        f"{doubt.where}: {doubt.message}; {doubt.action}"
        for doubt in said
        if not doubt.where.startswith(("boring ", "shaft ")) or doubt.where.split(",")[0] in mine
    )


def _nothing(shop: Workshop) -> Path:
    """Return a path that claims nothing, for a shaft that no sequence builds."""
    start, tip = shop.levels.starter_base_m, shop.cuts[-1].base_m
    run = Run(start, tip, "cased_balanced")
    segment = Segment(
        start,
        tip,
        (run,),
        "none",
        None,
        tip,
        keep=False,
        sealed="no",
        embedment_m=0.0,
        stratum=-1,
        bails=False,
        score=(tip, 0.0, 0.0, 0.0, 0.0, 0),
    )
    return Path((segment,), segment.score, built=False)


def _firm(shop: Workshop, path: Path, cautious: Path | None) -> dict[float, bool]:
    """Return for every slice whether the cautious plan holds it alike and no assumption carries its verdict."""
    found: dict[float, bool] = {}
    for one in shop.judged:
        middle = (one.slice.top_m + one.slice.base_m) / 2
        held = held_at(path, middle, shop.levels.starter_base_m, one)
        alike = cautious is None or held_at(cautious, middle, shop.levels.starter_base_m, one).support == held.support
        state = held.fluid or held.drilled_in or "cased_plug"
        found[round(one.slice.top_m, 3)] = alike and not _assumed(shop, one, state)
    return found


def _assumed(shop: Workshop, one: Judged, state: str) -> bool:
    """Return whether the verdict of a state rests on an assumed fact."""
    verdict = one.verdicts[state]
    names = {fact for rule in (*verdict.rules, *verdict.open_musts) for fact in shop.book.by_id[rule].facts}
    return any(one.slice.sheet.facts[name].assumed for name in names if name in one.slice.sheet.facts)


def _cautious(shop: Workshop, cautious: Path | None, best: Path, firm: Mapping[float, bool]) -> CautiousPlan | None:
    if cautious is None:
        return None
    hole = shop.hole(cautious)
    why, trigger, settles = differs(best, shop.judged, shop.book)
    return CautiousPlan(
        shop.intervals(cautious, firm),
        shop.stages(cautious, hole),
        hole.casings,
        shop.slurry(cautious),
        round(cautious.cost, 6),
        why,
        trigger,
        settles,
    )


def _alternate(shop: Workshop, family: str, path: Path | None, best: Path, firm: Mapping[float, bool]) -> Alternate:
    why = why_not(family, path, best, shop.judged, shop.book)
    if path is None:
        return Alternate(FAMILY_WORDS[family], (), (), (), None, why)
    hole = shop.hole(path)
    return Alternate(FAMILY_WORDS[family], shop.intervals(path, firm), shop.stages(path, hole), hole.casings, round(path.cost, 6), why)
