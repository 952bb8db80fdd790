"""From a site and a rulebook to the plan: the order of the work, one step a line, for a shaft and for a site."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from methodpick import __version__
from methodpick.collector import collector_paused
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem, did_you_mean
from methodpick.facts.gather import Gathered
from methodpick.ground.check import check
from methodpick.ground.doubt import SITE, Doubt, Subject
from methodpick.ground.fitted_boring import level_difference
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, Site
from methodpick.plan.concrete.hole import fluid_filled, make_quantities
from methodpick.plan.concrete.placement import GROUND_NOT_KNOWN
from methodpick.plan.demands.fluid_length import sources_of
from methodpick.plan.fluid.programme import fluid_programme, fluid_quantities
from methodpick.plan.hours import nights_of
from methodpick.plan.judging.planning_input import boring_at_shaft, choose_boring, user_assumptions
from methodpick.plan.judging.slices import lasting_from_m
from methodpick.plan.other_ways.alternates import also_open, alternates, cautious_plan, next_best, relief, what_differs
from methodpick.plan.other_ways.ladder import FindPath, firm_lengths, make_rungs
from methodpick.plan.other_ways.openings import openings
from methodpick.plan.plan_context import PlanBasis, PlanContext, WorkedPath, shaft_context
from methodpick.plan.reasons import notes
from methodpick.plan.reasons.decision import decision, design_of, log_of, log_says_nothing, method_of
from methodpick.plan.reasons.intervals import FirmAt
from methodpick.plan.result import (
    Citation,
    Departure,
    InputStamp,
    Interval,
    OtherWays,
    Placement,
    Plan,
    PlanDoubt,
    RulebookStamp,
    SetValue,
    ShaftMethod,
    ShaftPlan,
    Slurry,
)
from methodpick.plan.result.checks import Check
from methodpick.plan.result.decision_words import needs_platform
from methodpick.plan.sequence.families import FoundPaths, NotBuildable
from methodpick.plan.sequence.path import SequencePath
from methodpick.records import record
from methodpick.unit_markup import mark
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.values import Span

# ---- Build the plan of one shaft, step by step: gather, judge, search, size, explain


@record
class _Core:
    """What a shaft is built by: its intervals, its path worked out (None without a method), the decision, and the ways beside it."""

    intervals: tuple[Interval, ...]
    worked: WorkedPath | None
    decision: str
    other_ways: OtherWays
    checks: tuple[Check, ...] = ()
    proven: bool = True
    slurries: tuple[Slurry, ...] = ()


def build_shaft(context: PlanContext, shaft: Shaft, doubts: Sequence[Doubt]) -> ShaftPlan:
    """Plan a shaft by its context, or by that of a shaft that is built alike; ``doubts`` are those about the site."""
    found = context.paths()
    core = _not_buildable(context) if isinstance(found, NotBuildable) else _built(context, found)
    return _complete_plan(context, shaft, core, doubts)


def _build_along(context: PlanContext, shaft: Shaft, path: SequencePath, cautious: FindPath, doubts: Sequence[Doubt]) -> ShaftPlan:
    """Plan a shaft along a given path; a length is firm as in the expected plan, by the cautious path of the same ways."""
    placement = _placement(context, path)
    other_ways = OtherWays.known(None, (), ())
    core = _worked_core(context, path, placement, firm_lengths(context, path, cautious, placement), other_ways)
    return _complete_plan(context, shaft, core, doubts)


def _complete_plan(context: PlanContext, shaft: Shaft, core: _Core, doubts: Sequence[Doubt]) -> ShaftPlan:
    """Return the plan as it is handed out, with the doubts about the shaft."""
    gathered = context.gathered
    about_shaft = _doubts(doubts, context.ground.profile.id, shaft.id)
    return replace(_shaft_plan(context, shaft, core, gathered), doubts=(*about_shaft, *map(PlanDoubt.of_facts, gathered.doubts)))


# ---- built, or not buildable


def _built(context: PlanContext, found: FoundPaths) -> _Core:
    """Return the expected plan, with the ways beside it left until they are asked for."""
    best = found.best
    placement = _placement(context, best)
    firm = firm_lengths(context, best, lambda: found.cautious, placement)
    other_ways = OtherWays(
        find_cautious=lambda: (
            None if found.cautious is None else cautious_plan(context, found.cautious, firm, what_differs(context, best, placement))
        ),
        find_alternates=lambda: (*alternates(context, found, firm), *relief(context, best), *openings(context, best)),
        find_ladder=lambda: make_rungs(context, found, placement),
        find_alone={"next_best": lambda: next_best(context, found, firm), "also_open": lambda: also_open(context, found, firm)},
        find_difference=lambda: None if found.cautious is None else what_differs(context, best, placement),
        made_from=context,
    )
    return _worked_core(context, best, placement, firm, other_ways)


def _placement(context: PlanContext, path: SequencePath) -> Placement | None:
    """Return the placement of the concrete where the ground leaves it open; None where the path decides it."""
    decided = all(support != "undecided" for support, _ in context.interval_writer.supports(path))
    return None if decided else GROUND_NOT_KNOWN


def _worked_core(context: PlanContext, path: SequencePath, placement: Placement | None, firm: FirmAt, other_ways: OtherWays) -> _Core:
    """Return a path worked out, with its intervals and checks; one that is not proven says so first.

    Where the log tells of no ground, nothing is decided, and no path is worked out.
    """
    intervals = context.intervals(path, firm)
    if _method(context, intervals) == "undecided":
        return _Core(intervals=intervals, worked=None, decision=log_says_nothing(intervals), other_ways=OtherWays.known(None, (), ()))
    worked, proven = context.worked(path, placement), context.is_proven(path, placement)
    return _Core(
        intervals=intervals,
        worked=worked,
        decision=("" if proven else notes.UNPROVEN) + decision(path, worked.hole, intervals) + _needs_platform(context),
        other_ways=other_ways,
        checks=context.checks(path, placement),
        proven=proven,
        slurries=context.slurries(path),
    )


def _needs_platform(context: PlanContext) -> str:
    """Return the sentence on the platform that a plan raises; empty where it takes the drilling grade of the site."""
    raised_m = context.levels.raised_m
    return needs_platform(raised_m) if raised_m > 0 else ""


def _method(context: PlanContext, intervals: Sequence[Interval]) -> ShaftMethod:
    """Return the name of the method by the intervals of a shaft."""
    return method_of(((interval.support, interval.base_m) for interval in intervals), context.levels.starter_base_m)


def _not_buildable(context: PlanContext) -> _Core:
    """Return nothing decided at any depth, and nothing to build, with what would open a way."""
    return _Core(
        intervals=context.interval_writer.undecided(),
        worked=None,
        decision=notes.NOT_BUILDABLE,
        other_ways=OtherWays(
            find_cautious=lambda: None, find_alternates=lambda: (*relief(context, None), *openings(context, None)), find_ladder=tuple
        ),
    )


# ---- the record


def _boring_distance_m(gathered: Gathered) -> float | None:
    """Return how far the boring is from the shaft, None where it is not known."""
    distance = gathered.base.value("boring_distance_m") if "boring_distance_m" in gathered.base.facts else None
    return distance.likely if isinstance(distance, Span) else None


def _shaft_plan(context: PlanContext, shaft: Shaft, core: _Core, gathered: Gathered) -> ShaftPlan:
    """Return the plan as it is handed out; where no depth is decided nothing is built, bought or poured."""
    ground, levels = context.ground, context.levels
    worked = core.worked
    judgement = context.stage_judgement(worked)
    casings = () if worked is None else worked.hole.casings
    said = context.notes_of(core.intervals)
    without = ShaftPlan(
        id=shaft.id,
        boring=ground.profile.id,
        boring_distance_m=_boring_distance_m(gathered),
        diameter_m=shaft.diameter_m,
        tip_depth_m=shaft.tip_m,
        method=_method(context, core.intervals),
        decision=core.decision,
        placement=None,
        intervals=core.intervals,
        stages=(),
        casings=(),
        slurry=None,
        fluid_programme=None,
        concrete=None,
        quantities=(),
        assumptions=said.assumptions,
        open_hazards=notes.open_hazards(ground, core.intervals, casings),
        cautions=notes.cautions(ground, judgement, said.cautions),
        gaps=notes.gaps(ground, judgement),
        other_ways=core.other_ways,
        relative_cost=0.0,
        fluid_level_m=None,
        cutoff_m=shaft.cutoff_m,
        count=shaft.count,
        doubts=(),
        ground=log_of(ground),
        design=design_of(ground, levels.grade_m),
        levels=context.levels,
        cuts_m=context.cuts_m(),
    )
    return without if worked is None else _with_work(without, context, core, worked)


def _with_work(plan: ShaftPlan, context: PlanContext, core: _Core, worked: WorkedPath) -> ShaftPlan:
    """Return the plan of a shaft with what it is built by."""
    ground, levels, path, hole, stages = context.ground, context.levels, worked.path, worked.hole, worked.stages
    slurry = context.slurry(path)
    filled_m3, filled_to_m = fluid_filled(ground, path, levels, hole.casings)
    programme = fluid_programme(ground, slurry, core.slurries, (filled_m3, stages), levels)
    fluid = () if programme is None else fluid_quantities(programme, levels, filled_to_m)
    return replace(
        plan,
        placement=hole.placement,
        stages=stages,
        casings=hole.casings,
        slurry=slurry,
        fluid_programme=programme,
        concrete=hole.concrete,
        quantities=make_quantities(ground, levels, hole.casings, fluid, hole.concrete),
        relative_cost=round(path.cost, 6),
        fluid_level_m=levels.level_of(path.fluid),
        checks=core.checks,
        proven=core.proven,
        slurries=core.slurries,
        nights=nights_of(stages, plan.tip_depth_m, context.shift_h, context.limits, lasting_from_m(ground.slices)),
    )


def _doubts(doubts: Sequence[Doubt], boring: str, shaft: str) -> tuple[PlanDoubt, ...]:
    """Return the doubts about a shaft, its boring and the site as a whole."""
    planned_with = {Subject("boring", boring), Subject("shaft", shaft), SITE}
    return tuple(
        PlanDoubt(doubt.subject.kind, doubt.subject.name, doubt.at, f"{doubt.message}; {doubt.action}")
        for doubt in doubts
        if doubt.subject in planned_with
    )


# ---- From a site and a rulebook to the plan: the order of the work, one step a line


@collector_paused()
def plan(
    site: Site, rulebook: Rulebook, *, path: str = "", digest: str = "", shafts: Sequence[str] | None = None, assumptions: bool = True
) -> Plan:
    """Plan every shaft of a site (or those named), by a rulebook.

    The same input gives the same plan: nothing is read but the arguments. ``assumptions`` off takes only what is logged.
    Raises InputError where a shaft is not there or has no boring.
    """
    wanted = wanted_shafts(site, shafts)
    basis = planning_basis(site, rulebook, assumptions=assumptions)
    plans = tuple(plan_shaft(basis, choose_boring(site, shaft).boring, shaft) for shaft in wanted)
    return assembled(basis, InputStamp(path, digest, assumptions), plans)


def planning_basis(site: Site, rulebook: Rulebook, *, assumptions: bool = True) -> PlanBasis:
    """Return what all shafts of a site are planned from. Raises InputError where an assumption of the user is not known."""
    return PlanBasis(site, rulebook, assumptions_for(site, rulebook, assumptions=assumptions), tuple(doubts_of(site)))


@collector_paused()
def plan_shaft(basis: PlanBasis, boring: Profile, shaft: Shaft, context: PlanContext | None = None) -> ShaftPlan:
    """Plan one shaft with a boring as logged, set over to the ground of the shaft.

    ``context`` is used where the ground is gathered and judged already, for this shaft or for one that is built alike.
    """
    context = context or shaft_context(basis, boring_at_shaft(basis.site, shaft, boring, basis.book.values), shaft)
    return replace(build_shaft(context, shaft, basis.doubts), boring_level_m=level_difference(boring, shaft))


@collector_paused()
def plan_along(basis: PlanBasis, boring: Profile, shaft: Shaft, context: PlanContext, path: SequencePath, cautious: FindPath) -> ShaftPlan:
    """Plan one shaft along a path that its searches found beside the best one: whole, with its own checks, without ways beside it.

    ``cautious`` finds the more cautious path of the same ways, which a firm length holds alike.
    """
    return replace(_build_along(context, shaft, path, cautious, basis.doubts), boring_level_m=level_difference(boring, shaft))


def doubts_of(site: Site) -> list[Doubt]:
    """Return the doubts about a site, with marks in their sentences."""
    return check(site, say_m=lambda value: mark(value, "m"), say_kpa=lambda value: mark(value, "kPa"))


def assembled(basis: PlanBasis, stamp: InputStamp, plans: tuple[ShaftPlan, ...]) -> Plan:
    """Put the plans of shafts together, with what they rest on."""
    site, rulebook = basis.site.site, basis.book
    return Plan(
        tool_version=__version__,
        rulebook=_rulebook_stamp(rulebook),
        input=stamp,
        shafts=plans,
        site_name=site.name,
        units=site.units,
        sources=_sources(plans, rulebook),
        site=basis.site,
    )


def assumptions_for(site: Site, rulebook: Rulebook, *, assumptions: bool) -> tuple[Assumption, ...]:
    """Return the user's own assumptions and, unless they are switched off, those of the rulebook."""
    users = user_assumptions(site, rulebook)
    return (*users, *rulebook.assumptions) if assumptions else users


def wanted_shafts(site: Site, shafts: Sequence[str] | None) -> tuple[Shaft, ...]:
    """Return the shafts that are named, else all. Raises InputError where one is not there."""
    if not site.shafts:
        raise InputError(
            Problem(
                "the file describes no shaft",
                hint="add 'shafts:' to it, or a table of shafts; --boring, --diameter and --tip give one shaft to plan",
            )
        )
    if not shafts:
        return site.shafts
    known = [shaft.id for shaft in site.shafts]
    missing = [name for name in shafts if name not in known]
    if missing:
        raise InputError(
            [
                Problem(f"there is no shaft '{name}' in the file", expected=f"one of {', '.join(known)}", hint=did_you_mean(name, known))
                for name in missing
            ]
        )
    return tuple(shaft for shaft in site.shafts if shaft.id in set(shafts))


def _rulebook_stamp(rulebook: Rulebook) -> RulebookStamp:
    """Return which rulebook decides, the limits that its overlays set, and what makes it less careful."""
    values = tuple(
        SetValue(
            name=name,
            value=limit.value,
            unit=limit.unit,
            overlay=limit.origin,
            source=Citation(limit.source, limit.where),
            confidence=limit.confidence,
        )
        for name, limit in sorted(rulebook.limits.items())
        if limit.origin != "base"
    )
    departures = tuple(Departure(found.overlay, found.what, found.reason) for found in rulebook.loosened)
    return RulebookStamp(rulebook.digest, rulebook.overlays, values, departures)


def _sources(plans: Sequence[ShaftPlan], rulebook: Rulebook) -> Mapping[str, str]:
    """Return the sources that the plans name, in full."""
    keys: set[str] = set()
    for shaft in {id(shaft.other_ways): shaft for shaft in plans}.values():  # shafts of a kind share the ways beside their plan
        for interval in shaft.intervals:
            keys |= {source.key for reason in interval.reasons for source in reason.sources}
        keys |= {source.key for caution in shaft.cautions for source in (*caution.sources, *(limit.source for limit in caution.limits))}
        keys |= {assumption.source for assumption in shaft.assumptions}
        keys |= {source.key for check in shaft.checks for source in check.sources}
        keys |= sources_of(shaft.fluid_programme) if shaft.fluid_programme is not None else set()
    keys |= {limit.source for limit in rulebook.limits.values() if limit.origin != "base"}
    return {key: rulebook.sources[key].cite() for key in sorted(keys) if key in rulebook.sources}
