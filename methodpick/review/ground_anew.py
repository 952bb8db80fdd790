"""The ground of a shaft derived anew from the record: facts at the written levels and cuts, judged by the rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from methodpick.engine.compiler import FALSE
from methodpick.engine.rulebook import Rulebook
from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import Frame
from methodpick.ground.drawdown import drawn_down
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.ground.tiling import join_equal_layers
from methodpick.plan.fluid.levels import FluidLevels, find_levels, insides
from methodpick.plan.judging.boring_choice import boring_at_shaft, distance
from methodpick.plan.judging.site_limits import limits_of
from methodpick.plan.judging.slices import judge
from methodpick.plan.judging.user_assumptions import user_assumptions
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import Drawdown, HoleLevels, Plan, ShaftPlan
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.values import point

NOT_BUILT = {"id", "boring", "count", "position", "substructure", "ground_elevation_m"}
"""Fields of a shaft that do not tell how it is built in given ground; boring and level are compared by themselves."""


@dataclass(frozen=True, slots=True)
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
    away_m, spoken = distance(site.boring(shaft.boring or ""), shaft), False
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
    gatherer = Gatherer(Frame(site.site, profile, designed, book.catalogue, book.tables, basis.assumptions, limits))
    hole = FluidLevels(levels.grade_m, levels.fluid_m, levels.stick_up_m, levels.starter_base_m, levels.head_missing_m)
    inside = insides(hole, limits)
    return GroundFacts(site, judge(gatherer, gatherer.slices_at(cuts_m), book, inside), hole, inside)


def levels_asked_for(ground: GroundFacts) -> HoleLevels:
    """Return the levels that the ground and the drilling grade ask for."""
    asked = find_levels(ground.gatherer)
    return HoleLevels(asked.grade_m, asked.fluid_m, asked.stick_up_m, asked.starter_base_m, asked.head_missing_m)
