"""From a site and a rulebook to the plan: the order of the work, one step a line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from methodpick import __version__
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem
from methodpick.ground.boring_at_shaft import level_difference
from methodpick.ground.check import check
from methodpick.ground.doubt import Doubt
from methodpick.ground.profile import Profile
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.plan.fluid.used import sources_of
from methodpick.plan.judging.boring_choice import pick, set_over
from methodpick.plan.judging.user_assumptions import own_assumptions
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.result import Citation, InputStamp, Plan, RulebookStamp, SetValue, ShaftPlan
from methodpick.plan.shaft_plan import build_shaft
from methodpick.spelling import did_you_mean
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
    taken = taken_assumptions(site, rulebook, assumptions=assumptions)
    said = doubts_of(site)
    return gathered(
        site,
        rulebook,
        InputStamp(path, digest, assumptions),
        tuple(plan_shaft(site, pick(site, shaft).boring, shaft, rulebook, taken, said) for shaft in wanted),
    )


def plan_shaft(
    site: Site,
    boring: Profile,
    shaft: Shaft,
    rulebook: Rulebook,
    taken: tuple[Assumption, ...],
    said: Sequence[Doubt],
    context: PlanContext | None = None,
) -> ShaftPlan:
    """Plan one shaft with a boring as logged, set over to the ground of the shaft; ``context`` as in :func:`build_shaft`."""
    made = build_shaft(site, set_over(site, shaft, boring, rulebook.values), shaft, rulebook, taken, said, context)
    return replace(made, boring_level_m=level_difference(boring, shaft))


def doubts_of(site: Site) -> list[Doubt]:
    """Return the doubts about a site, with marks in their sentences."""
    return check(site, say_m=lambda value: mark(value, "m"), say_kpa=lambda value: mark(value, "kPa"))


def gathered(site: Site, rulebook: Rulebook, stamp: InputStamp, plans: tuple[ShaftPlan, ...]) -> Plan:
    """Put the plans of shafts together, with what they rest on."""
    return Plan(__version__, _stamp(rulebook), stamp, plans, site.site.name, site.site.units, _sources(plans, rulebook), site=site)


def taken_assumptions(site: Site, rulebook: Rulebook, *, assumptions: bool) -> tuple[Assumption, ...]:
    """Return the user's own assumptions and, unless they are switched off, those of the rulebook."""
    own = own_assumptions(site, rulebook)
    return (*own, *rulebook.assumptions) if assumptions else own


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


def _stamp(rulebook: Rulebook) -> RulebookStamp:
    values = tuple(
        SetValue(name, limit.value, limit.unit, limit.origin, Citation(limit.source, limit.where), limit.confidence)
        for name, limit in sorted(rulebook.limits.items())
        if limit.origin != "base"
    )
    return RulebookStamp(rulebook.digest, rulebook.overlays, values)


def _sources(plans: Sequence[ShaftPlan], rulebook: Rulebook) -> Mapping[str, str]:
    keys: set[str] = set()
    for one in plans:
        for interval in one.intervals:
            keys |= {source.key for reason in interval.reasons for source in reason.sources}
        keys |= {source.key for caution in one.cautions for source in caution.sources}
        keys |= {assumption.source for assumption in one.assumptions}
        keys |= sources_of(one.fluid_programme) if one.fluid_programme is not None else set()
    keys |= {limit.source for limit in rulebook.limits.values() if limit.origin != "base"}
    known: dict[str, Any] = {key: rulebook.sources[key].cite() for key in sorted(keys) if key in rulebook.sources}
    return known
