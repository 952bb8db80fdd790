"""From a site and a rulebook to the plan: the order of the work, one step a line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from methodpick import __version__
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem, did_you_mean
from methodpick.ground.boring_at_shaft import level_difference
from methodpick.ground.check import check
from methodpick.ground.doubt import Doubt
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, Site
from methodpick.plan.fluid.specification import sources_of
from methodpick.plan.judging.boring_choice import boring_at_shaft, choose_boring
from methodpick.plan.judging.user_assumptions import user_assumptions
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.result import Citation, Departure, InputStamp, Plan, RulebookStamp, SetValue, ShaftPlan
from methodpick.plan.shaft_plan import build_shaft
from methodpick.unit_markup import mark
from methodpick.vocabulary.assumptions import Assumption


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


def plan_shaft(basis: PlanBasis, boring: Profile, shaft: Shaft, context: PlanContext | None = None) -> ShaftPlan:
    """Plan one shaft with a boring as logged, set over to the ground of the shaft.

    ``context`` is used where the ground is gathered and judged already, for this shaft or for one that is built alike.
    """
    context = context or PlanContext(basis, boring_at_shaft(basis.site, shaft, boring, basis.book.values), shaft)
    return replace(build_shaft(context, shaft, basis.doubts), boring_level_m=level_difference(boring, shaft))


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
        raise InputError(Problem("the file describes no shaft", hint="add 'shafts:', or give --boring, --diameter and --tip"))
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
    for shaft in plans:
        for interval in shaft.intervals:
            keys |= {source.key for reason in interval.reasons for source in reason.sources}
        keys |= {source.key for caution in shaft.cautions for source in (*caution.sources, *(limit.source for limit in caution.limits))}
        keys |= {assumption.source for assumption in shaft.assumptions}
        keys |= sources_of(shaft.fluid_programme) if shaft.fluid_programme is not None else set()
    keys |= {limit.source for limit in rulebook.limits.values() if limit.origin != "base"}
    return {key: rulebook.sources[key].cite() for key in sorted(keys) if key in rulebook.sources}
