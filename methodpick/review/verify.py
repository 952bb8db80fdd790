"""Hold a written plan against its ground, the rules and itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field, replace
from typing import Any

from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem, RuleError
from methodpick.ground.fitted_boring import level_difference
from methodpick.ground.site import Shaft, Site
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import HoleLevels, Plan, ShaftPlan
from methodpick.records import record
from methodpick.review.casing_laws import check_casings, check_casings_made, check_pulls, check_tools
from methodpick.review.contradiction import Contradiction, differences, number, placed, word
from methodpick.review.fluid_laws import check_fluids, check_levels, check_main_fluid, check_programme
from methodpick.review.ground_anew import (
    ReviewBasis,
    basis_of,
    check_log,
    compare_checks,
    designed_shaft,
    failing_checks,
    ground_anew,
    ground_key,
)
from methodpick.review.hours_and_cost_laws import check_cost, check_hours, check_nights, check_order
from methodpick.review.interval_laws import check_confidence, check_intervals, check_method, check_without_method
from methodpick.review.other_way_laws import check_other_ways
from methodpick.review.plan_file import WrittenWay, read_plan, ways_of
from methodpick.review.reason_laws import ReasonLaws, check_notes
from methodpick.review.sentence_laws import check_decision, check_stage_texts, check_undecided
from methodpick.review.sequence_laws import check_sequence
from methodpick.review.volumes import check_concrete, check_overbreak, check_quantities, check_rungs, check_supply, check_swell
from methodpick.unit_markup import spell


@record
class Verified:
    """What a plan was held against, by count, and what was found."""

    shafts: int
    ways: int
    stages: int
    checks: int
    contradictions: tuple[Contradiction, ...]


def verify(plan_tree: Any, rulebook: Rulebook, site: Site | None = None) -> tuple[Contradiction, ...]:
    """Return every contradiction of a plan, read from its JSON; ``site`` is compared with the ground that the plan carries.

    Raises InputError where the plan cannot be read, RuleError where another rulebook decided.
    """
    return verify_plan(read_plan(plan_tree), rulebook, site).contradictions


def verify_plan(plan: Plan, rulebook: Rulebook, site: Site | None = None) -> Verified:
    """Return what was verified and found of a plan as it was read. Raises InputError and RuleError as :func:`verify`."""
    if plan.rulebook.digest != rulebook.digest:
        raise RuleError(
            Problem(
                f"the plan was decided by the rulebook {plan.rulebook.digest[:12]}, this one is {rulebook.digest[:12]}",
                expected=f"the rulebook with the overlays {', '.join(plan.rulebook.overlays) or 'none'}",
                hint="give the same --rules, --overlay and --agency as for the plan, or plan the site again",
            )
        )
    if plan.site is None:
        raise InputError("site: the plan carries no ground")
    found = [*_inputs(plan, plan.site, site), *_departures(plan, rulebook), *_sources(plan, rulebook)]
    basis = basis_of(plan, plan.site, rulebook)
    ways = [way for shaft in plan.shafts for way in ways_of(shaft)]
    verified = _Verified()
    for shaft in plan.shafts:
        found += verified.shaft(basis, shaft)
    return Verified(
        len(plan.shafts), len(ways), sum(len(way.built.stages) for way in ways), sum(len(way.checks) for way in ways), tuple(found)
    )


def _inputs(plan: Plan, carried: Site, given: Site | None) -> Iterator[Contradiction]:
    """Return where the ground that a plan carries is not that of a site file, and shafts that stand twice."""
    if given is not None:
        yield from differences(_tree(carried), _tree(given), "site")
    yield from word("shafts", tuple(dict.fromkeys(shaft.id for shaft in plan.shafts)), tuple(shaft.id for shaft in plan.shafts))


def _departures(plan: Plan, rulebook: Rulebook) -> Iterator[Contradiction]:
    """Return where a plan hides what makes its rulebook less careful, or says it otherwise."""
    written = tuple((found.origin, spell(found.what, "si"), found.reason) for found in plan.rulebook.loosened)
    right = tuple((found.overlay, spell(found.what, "si"), found.reason) for found in rulebook.loosened)
    yield from differences(written, right, "rulebook.loosened")


def _sources(plan: Plan, rulebook: Rulebook) -> Iterator[Contradiction]:
    """Return sources that are not those of the rulebook."""
    for key, written in plan.sources.items():
        known = rulebook.sources.get(key)
        yield from differences(written, None if known is None else known.cite(), f"sources.{key}")


def _tree(site: Site) -> dict[str, Any]:
    return site.model_dump(mode="json", exclude_defaults=True, exclude={"site": {"units"}})


@record(frozen=False)
class _Verified:
    """Shafts that were verified, by what their ground follows from, each with what was found: equal ones are verified once."""

    by_ground: dict[tuple[object, ...], list[tuple[ShaftPlan, list[Contradiction]]]] = field(default_factory=dict)

    def shaft(self, basis: ReviewBasis, shaft: ShaftPlan) -> Iterator[Contradiction]:
        """Return the contradictions of one shaft: its place and design, its own, and those of every way of building."""
        wrong = list(_place(basis.site, shaft))
        if wrong:
            yield from placed(wrong, shaft.id)
            return
        drawn = designed_shaft(basis.site, shaft)
        yield from placed(_design(basis.site, drawn, shaft), shaft.id)
        alike = self.by_ground.setdefault(ground_key(basis, drawn), [])
        found = next((found for other, found in alike if _is_alike(other, shaft)), None)
        if found is None:
            found = list(_built(basis, shaft))
            alike.append((shaft, found))
        yield from (replace(contradiction, shaft=shaft.id) for contradiction in found)


def _is_alike(other: ShaftPlan, shaft: ShaftPlan) -> bool:
    """Return whether two plans differ in name, count and place only."""
    named = {name: getattr(other, name) for name in ("id", "count", "boring_distance_m", "doubts", "design")}
    return replace(shaft, **named) == other


def _place(site: Site, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where shaft and boring are not those of the site, or the cuts no depths down to the tip."""
    borings = {boring.id for boring in site.borings}
    if shaft.id not in {known.id for known in site.shafts}:
        yield Contradiction("shaft", shaft.id, "one of the shafts of the site")
    elif shaft.boring not in borings:
        yield Contradiction("boring", shaft.boring, f"one of {', '.join(sorted(borings))}")
    else:
        yield from _cuts(shaft.cuts_m, shaft.tip_depth_m)


def _built(basis: ReviewBasis, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return the contradictions of a shaft that do not hang on its name and place."""
    levels = shaft.levels or HoleLevels(0.0, {}, 0.0, 0.0, 0.0, 0.0)
    ground = ground_anew(basis, shaft, levels, shaft.cuts_m)
    yield from placed(check_log(ground, shaft.ground), shaft.id)
    yield from placed(check_levels(ground, shaft.levels), shaft.id)
    reasons = ReasonLaws(ground)
    yield from placed(_of_plan(ground, shaft), shaft.id, "plan")
    yield from placed(check_other_ways(reasons, shaft), shaft.id)
    built: list[WrittenWay] = []
    for way in ways_of(shaft):
        there = ground
        if way.drawdown is not None:
            there = ground_anew(basis, shaft, way.drawdown.levels, way.drawdown.cuts_m, way.drawdown)
            yield from placed(check_levels(there, way.drawdown.levels), shaft.id, way.name)
        yield from placed(_way(there, way), shaft.id, way.name)
        if way.built.stages and not any(way.is_built_as(other) for other in built):
            built.append(way)
            yield from placed(_proved(there, way), shaft.id, way.name)
        yield from placed((reasons if there is ground else ReasonLaws(there)).check(way), shaft.id, way.name)


def _cuts(cuts_m: tuple[float, ...], tip_m: float) -> Iterator[Contradiction]:
    """Check that the cuts run down from the ground to the tip."""
    yield from word("cuts_m", tuple(sorted(set(cuts_m))), cuts_m)
    if not cuts_m or abs(cuts_m[0]) > 1e-6 or abs(cuts_m[-1] - tip_m) > 1e-6:
        yield Contradiction("cuts_m", f"{len(cuts_m)} depths", f"depths from 0 to the tip at {tip_m:g}")


def _design(site: Site, drawn: Shaft, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the shaft is not the one of the design, at the distance and level from its boring that both have."""
    place, boring = drawn.position, site.boring(shaft.boring)
    for name, written, right in (
        ("diameter_m", shaft.diameter_m, drawn.diameter_m),
        ("tip_depth_m", shaft.tip_depth_m, drawn.tip_m),
        ("cutoff_m", shaft.cutoff_m, drawn.cutoff_m),
        ("count", shaft.count, drawn.count),
        ("design, socket_top_m", shaft.design.socket_top_m, drawn.socket_top_m),
        ("design, cage_diameter_m", shaft.design.cage_diameter_m, drawn.cage_diameter_m),
        ("design, bell_diameter_m", shaft.design.bell_diameter_m, None if drawn.bell is None else drawn.bell.diameter_m),
        ("design, east_m", shaft.design.east_m, None if place is None else place.east_m),
        ("design, north_m", shaft.design.north_m, None if place is None else place.north_m),
        ("design, latitude_deg", shaft.design.latitude_deg, None if place is None else place.latitude_deg),
        ("design, longitude_deg", shaft.design.longitude_deg, None if place is None else place.longitude_deg),
        ("design, grade_m", shaft.design.grade_m, None if shaft.levels is None else shaft.levels.grade_m),
        ("boring_distance_m", shaft.boring_distance_m, drawn.away_m(boring)),
        ("boring_level_m", shaft.boring_level_m, level_difference(boring, drawn)),
    ):
        yield from number(name, written, right)


def _of_plan(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return what only the plan itself says: method, confidence, quantities, rungs."""
    yield from check_method(ground, shaft)
    yield from check_without_method(ground, shaft)
    yield from () if shaft.has_method else check_undecided(shaft)
    yield from check_confidence(ground, shaft)
    yield from check_main_fluid(shaft)
    yield from check_quantities(ground, shaft)
    yield from check_swell(ground, shaft)
    yield from check_rungs(shaft)
    yield from check_programme(ground, shaft)
    yield from check_nights(ground, shaft, _shift_h(ground)) if shaft.has_method else ()
    yield from check_order(ground, shaft)
    yield from check_notes(ground, shaft)


def _shift_h(ground: GroundFacts) -> float:
    """Return the hours of a shift: the site's, else the usual ones."""
    return ground.site.site.schedule.shift_hours or ground.limits["shift_h"].value


def _way(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where a way contradicts its intervals and its sentence, or is called proven and is not."""
    if way.intervals is not None:
        yield from check_intervals(ground, way)
    if way.sentence:
        yield from check_decision(ground, way)
    yield from failing_checks(way)


def _proved(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return the contradictions of what a way is built of; ways that are built alike are held against the ground once."""
    yield from compare_checks(ground, way)
    yield from check_sequence(ground, way)
    yield from check_casings(ground, way)
    yield from check_casings_made(ground, way)
    yield from check_fluids(ground, way)
    yield from check_pulls(ground, way, _shift_h(ground))
    yield from check_supply(ground, way)
    yield from check_hours(ground, way)
    yield from check_tools(ground, way)
    yield from check_cost(ground, way)
    yield from check_concrete(ground, way)
    yield from check_overbreak(ground, way)
    yield from check_stage_texts(ground, way)
