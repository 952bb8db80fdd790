"""The ground of a shaft derived anew from the record, the checks of a written way proved anew on it, and the log as it is shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from methodpick.engine.compiler import FALSE
from methodpick.engine.rulebook import Rulebook
from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import Frame
from methodpick.ground.fitted_boring import drawn_down, join_equal_layers
from methodpick.ground.profile import Spt
from methodpick.ground.site import Shaft, Site
from methodpick.plan.fluid.levels import chosen_raise, find_levels
from methodpick.plan.judging.planning_input import boring_at_shaft, limits_of, user_assumptions
from methodpick.plan.judging.slices import insides, judge
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.proving.prove import prove
from methodpick.plan.result import Drawdown, HoleLevels, Log, Plan, ShaftPlan
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.review.contradiction import Contradiction, differences, number, word
from methodpick.review.plan_file import WrittenWay
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.values import point

# ---- facts at the written levels and cuts, judged by the rules


NOT_BUILT = {"id", "boring", "count", "position", "substructure", "ground_elevation_m"}
"""Fields of a shaft that do not tell how it is built in given ground; boring and level are compared by themselves."""


@record
class ReviewBasis:
    """What a whole plan rests on: the site as written, the rulebook, and the assumptions that were taken."""

    site: Site
    book: Rulebook
    assumptions: tuple[Assumption, ...]


def basis_of(plan: Plan, site: Site, book: Rulebook) -> ReviewBasis:
    """Return what a plan rests on."""
    own = user_assumptions(site, book)
    return ReviewBasis(site, book, (*own, *book.assumptions) if plan.input.assumptions else own)


def designed_shaft(site: Site, shaft: ShaftPlan) -> Shaft:
    """Return the shaft of the design that a plan is about, with the boring that it was planned with."""
    return next(known for known in site.shafts if known.id == shaft.id).model_copy(update={"boring": shaft.boring})


def ground_key(basis: ReviewBasis, shaft: Shaft) -> tuple[object, ...]:
    """Return what the ground of a shaft follows from: shafts with one key have one ground, whatever their names and places.

    The distance of the boring counts only where a rule speaks of it.
    """
    site, book = basis.site, basis.book
    away_m, spoken = shaft.away_m(site.boring(shaft.boring or "")), False
    if away_m is not None:
        outcomes = book.scopes["shaft"].judge({"boring_distance_m": point(away_m)})
        judged = {rule.id for rule in outcomes.scope.rules}
        about = (rule.id for rule in book.rules if "boring_distance_m" in rule.facts)
        spoken = any(rule not in judged or outcomes.of(rule)[0] != FALSE for rule in about)
    return shaft.boring, shaft.ground_elevation_m, shaft.model_dump_json(exclude=NOT_BUILT), away_m is None, away_m if spoken else None


def ground_anew(
    basis: ReviewBasis, shaft: ShaftPlan, levels: HoleLevels, cuts_m: Sequence[float], drawdown: Drawdown | None = None
) -> GroundFacts:
    """Return the judged ground of a shaft, from the ground as logged; ``drawdown`` where wells keep water down."""
    site, designed = basis.site, designed_shaft(basis.site, shaft)
    book = basis.book.for_diameter(designed.diameter_m)
    profile = join_equal_layers(boring_at_shaft(site, designed, site.boring(shaft.boring), book.values))
    if drawdown is not None:
        profile = drawn_down(profile, (drawdown.aquifer_top_m, drawdown.aquifer_base_m), drawdown.level_m)
    limits = limits_of(site, book.values)
    gatherer = Gatherer(Frame(site.site, profile, designed, book.catalogue, book.tables, basis.assumptions, limits, levels.raised_m))
    inside = insides(levels, limits)
    return GroundFacts(site, judge(gatherer, gatherer.slices_at(cuts_m), book, inside), levels, inside)


def raise_asked_for(ground: GroundFacts) -> float:
    """Return the fill in m that a plan may choose where the head is not held from the ground."""
    frame = ground.gatherer.frame
    from_ground = find_levels(Gatherer(replace(frame, raised_m=0.0)))
    return chosen_raise(frame.site, from_ground.head_missing_m, frame.limits)


# ---- checks, proved anew and compared; and what no way may be built on


HOLD = frozenset({"holds", "little_margin"})


def compare_checks(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the written checks of a way differ from those that ground and stages give anew."""
    right = prove(ground, way.built)
    names, proved = [_key(check) for check in way.checks], [_key(check) for check in right]
    if names != proved:
        yield from _missing(names, proved)
        return
    for written, again in zip(way.checks, right, strict=True):
        yield from differences(written, again, f"check {again.id}", again.stage)


def failing_checks(way: WrittenWay) -> Iterator[Contradiction]:
    """Return the checks that are short though the way is called proven, and ways called not proven though nothing speaks against them.

    A way that is called not proven says so on its page, with the checks that are short; also where the trials of its search ended, which
    leaves a check that does not hold over its range.
    """
    short = [check for check in way.checks if check.is_short]
    if way.proven:
        for check in short:
            yield Contradiction(
                f"check {check.id}", "short, and the way is called proven", "a way that holds it, or not proven", check.stage
            )
    elif not short and not way.trials_ended and (way.name != "plan" or all(check.result in HOLD for check in way.checks)):
        yield Contradiction("proven", "no", "yes: no check speaks against the way")


def _key(check: Check) -> tuple[str, int | None]:
    return check.id, check.stage


def _missing(names: list[tuple[str, int | None]], proved: list[tuple[str, int | None]]) -> Iterator[Contradiction]:
    lost, added = [name for name in proved if name not in names], [name for name in names if name not in proved]
    for check, stage in lost:
        yield Contradiction(f"check {check}", "nothing", "a check of this stage", stage)
    for check, stage in added:
        yield Contradiction(f"check {check}", "a check of this stage", "nothing", stage)
    if not lost and not added:
        yield Contradiction("the checks", ", ".join(name for name, _ in names), ", ".join(name for name, _ in proved))


# ---- the log as the strip shows it


def check_log(ground: GroundFacts, log: Log) -> Iterator[Contradiction]:
    """Return where the layers, tests, waters and remarks of the strip are not those of the boring."""
    profile = ground.gatherer.frame.profile
    layers = [
        (each.top_m, each.base_m, each.likely or "unknown", each.layer.as_logged, each.layer.symbol or "", each.words.slab)
        for each in ground.gatherer.strata
        if each.logged
    ]
    written = [(layer.top_m, layer.base_m, layer.soil_class, layer.description, layer.symbol, layer.slab) for layer in log.layers]
    yield from differences(tuple(written), tuple(layers), "ground.layers")
    waters = [
        (water.level_m.high, water.level_m.likely, water.level_m.low, water.top_m, water.base_m, water.kind, water.source, water.none_met)
        for water in ground.gatherer.aquifers
        if water.kind != "covered" and (water.read or water.kind != "main")
    ]
    shown = [
        (level.low_m, level.likely_m, level.high_m, level.aquifer_top_m, level.aquifer_base_m, level.kind, level.source, level.none_met)
        for level in log.water
    ]
    yield from differences(tuple(shown), tuple(waters), "ground.water")
    counts = [(test.depth_m, _count(test)) for test in profile.spt]
    for stratum in ground.gatherer.strata:
        step = stratum.layer.thickness_m / (len(stratum.layer.n) + 1) if stratum.layer.n else 0.0
        counts += [(round(stratum.top_m + step * place, 3), str(n)) for place, n in enumerate(stratum.layer.n, 1)]
    yield from differences(log.spt, tuple(sorted(counts)), "ground.spt")
    yield from number("ground.end_m", log.end_m, profile.end_m)
    yield from number("ground.ground_elevation_m", log.ground_elevation_m, profile.ground_elevation_m)
    yield from word("ground.technique", log.technique, profile.technique)
    yield from word("ground.date", log.date, profile.date or "")
    yield from number("ground.cave_in_depth_m", log.cave_in_depth_m, profile.cave_in_depth_m)
    yield from differences(log.remarks, tuple((remark.depth_m, remark.text) for remark in profile.remarks), "ground.remarks")


def _count(test: Spt) -> str:
    """Return a penetration test as a log writes it: the count, the blows over a length at refusal, or that the weight sank."""
    if test.weight_of_hammer:
        return "WOH"
    if test.refusal and test.penetration_m is not None:
        return f"{test.n}/{test.penetration_m * 1000:.0f}mm"
    return "-" if test.n is None else str(test.n)
