"""Build the plan of one shaft, step by step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.engine.rulebook import Outcomes, Rulebook
from methodpick.ground.doubt import Doubt
from methodpick.ground.profile import Profile
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.plan.concrete.quantities import held_by_fluid, make_quantities
from methodpick.plan.fluid.programme import fluid_programme
from methodpick.plan.judging.slices import Judged
from methodpick.plan.other_ways.relief import relief
from methodpick.plan.other_ways.rungs import make_rungs
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons import notes
from methodpick.plan.reasons.decision import decision, fluid_of, method_of
from methodpick.plan.reasons.intervals import held_at
from methodpick.plan.reasons.log_record import design_of, log_of
from methodpick.plan.result import Alternate, CautiousPlan, ShaftPlan
from methodpick.plan.sequence.families import FAMILY_WORDS, differs, why_not
from methodpick.plan.sequence.path import Path, Run, Segment
from methodpick.plan.stages.stage_facts import stage_values
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.values import Span, Value


def build_shaft(
    site: Site,
    profile: Profile,
    shaft: Shaft,
    book: Rulebook,
    taken: tuple[Assumption, ...],
    said: Sequence[Doubt],
    context: PlanContext | None = None,
) -> ShaftPlan:
    """Plan one shaft: gather, judge, search, size, explain; ``context`` is taken where it is gathered and judged already."""
    context = context or PlanContext(site, profile, shaft, book, taken)
    ladder = context.climb()
    path = ladder.best if ladder is not None else _nothing(context)
    firm = _firm(context, path, ladder.cautious if ladder is not None else None)
    intervals = context.intervals(path, firm)
    hole = context.hole(path, decided=all(i.support != "undecided" for i in intervals))
    casings, placement = hole.casings, hole.placement
    stages = context.stages(path, hole)
    concrete = context.extracted(hole.concrete, casings, stages)
    values = stage_values(context.gatherer, context.judged, path, stages, concrete, casings)
    stage: tuple[Outcomes, Mapping[str, Value]] = (book.scopes["stage"].judge(values), values)
    gathered = context.gatherer.gathered(context.slices)
    base = gathered.base.values()
    slurry = context.slurry(path)
    hole_m3, _ = held_by_fluid(shaft, path, context.levels, casings)
    fluid = fluid_programme(context.gatherer, context.judged, slurry, hole_m3, stages, context.levels, book)
    method = method_of(intervals, context.levels.starter_base_m)
    distance = gathered.base.value("boring_distance_m") if "boring_distance_m" in gathered.base.facts else None
    return ShaftPlan(
        shaft.id,
        profile.id,
        distance.likely if isinstance(distance, Span) else None,
        shaft.diameter_m,
        shaft.tip_m,
        method,
        decision(path, casings, placement, intervals, context.levels),
        placement,
        intervals,
        stages,
        casings,
        slurry,
        fluid,
        concrete,
        make_quantities(shaft, path, casings, concrete, context.judged, context.levels, book.tables, context.limits),
        notes.assumptions(gathered, context.judged, intervals, book),
        notes.open_hazards(context.judged, intervals, book),
        notes.cautions(context.judged, context.wide, stage, base, intervals, book),
        notes.gaps(context.judged, context.wide, stage, base, book),
        _cautious(context, ladder.cautious if ladder else None, path, firm),
        (
            *(_alternate(context, family, other, path, firm) for family, other in (ladder.others if ladder else ())),
            *relief(context, ladder.best if ladder else None),
        ),
        round(path.cost, 6),
        fluid_of(path, context.levels),
        shaft.cutoff_m,
        shaft.count,
        (*_doubts(said, profile, shaft), *gathered.doubts),
        log_of(context.gatherer),
        design=design_of(context.gatherer, context.levels),
        ladder=make_rungs(context, ladder),
        checks=context.checks(path) if ladder is not None else (),
        proven=ladder is None or ladder.proven,
        levels=context.hole_levels(),
        cuts_m=context.cuts_m(),
        slurries=context.slurries(path) if path.built else (),
    )


def _doubts(said: Sequence[Doubt], profile: Profile, shaft: Shaft) -> tuple[str, ...]:
    """Return the doubts about this shaft, its boring and the site as a whole."""
    mine = {f"boring {profile.id}", f"shaft {shaft.id}"}
    return tuple(
        f"{doubt.where}: {doubt.message}; {doubt.action}"
        for doubt in said
        if not doubt.where.startswith(("boring ", "shaft ")) or doubt.where.split(",")[0] in mine
    )


def _nothing(context: PlanContext) -> Path:
    """Return a path that claims nothing, for a shaft that no sequence builds."""
    start, tip = context.levels.starter_base_m, context.cuts[-1].base_m
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


def _firm(context: PlanContext, path: Path, cautious: Path | None) -> dict[float, bool]:
    """Return for every slice whether it is firm.

    The cautious plan holds it alike, no assumption carries its verdict, and every check that exposes it holds over its range.
    """
    found: dict[float, bool] = {}
    open_checks = [] if not path.built else [check for check in context.checks(path) if check.result not in {"holds", "little_margin"}]
    for one in context.judged:
        middle = (one.slice.top_m + one.slice.base_m) / 2
        held = held_at(path, middle, context.levels.starter_base_m, one)
        alike = cautious is None or held_at(cautious, middle, context.levels.starter_base_m, one).support == held.support
        state = held.fluid or held.drilled_in or "cased_plug"
        found[round(one.slice.top_m, 3)] = (
            alike and not _assumed(context, one, state) and not any(check.top_m < middle < check.base_m for check in open_checks)
        )
    return found


def _assumed(context: PlanContext, one: Judged, state: str) -> bool:
    """Return whether the verdict of a state rests on an assumed fact."""
    verdict = one.verdicts[state]
    names = {fact for rule in (*verdict.rules, *verdict.open_musts) for fact in context.book.by_id[rule].facts}
    return any(one.slice.sheet.facts[name].assumed for name in names if name in one.slice.sheet.facts)


def _cautious(context: PlanContext, cautious: Path | None, best: Path, firm: Mapping[float, bool]) -> CautiousPlan | None:
    if cautious is None:
        return None
    hole, built = context.hole(cautious), context.built(cautious)
    why, trigger, settles = differs(best, context.judged, context.book)
    return CautiousPlan(
        context.intervals(cautious, firm),
        context.stages(cautious, hole),
        hole.casings,
        context.slurry(cautious),
        round(cautious.cost, 6),
        why,
        trigger,
        settles,
        slurries=built.slurries,
        placement=built.placement,
        concrete=built.concrete,
        checks=context.checks(cautious),
    )


def _alternate(context: PlanContext, family: str, path: Path | None, best: Path, firm: Mapping[float, bool]) -> Alternate:
    why = why_not(family, path, best, context.judged, context.book)
    if path is None:
        return Alternate(FAMILY_WORDS[family], (), (), (), None, why)
    built = context.built(path)
    return Alternate(
        FAMILY_WORDS[family],
        context.intervals(path, firm),
        built.stages,
        built.casings,
        round(path.cost, 6),
        why,
        slurries=built.slurries,
        placement=built.placement,
        concrete=built.concrete,
        checks=context.checks(path),
    )
