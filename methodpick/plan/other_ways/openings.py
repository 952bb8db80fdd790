"""What would open a way of building where none is left, or none is proven: plant, specification, hours, platform, no bell, filled cavities.

Each change is what the owner, the engineer or the contractor can grant; of the ground only cavities are changed, which are filled through
the shaft and drilled again. The shaft is planned anew with all of
them together; where that builds it, with each alone, and where none does alone, with as few together as do.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import Any

from methodpick.ground.site import DrillingGrade, SiteConditions
from methodpick.plan.other_ways.filled_cavities import FILLING, filled, hollow_lengths, soil_stands_without_fluid, steps, taking_fluid
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.result import Alternate
from methodpick.plan.sequence.families import NotBuildable
from methodpick.plan.sequence.path import SequencePath
from methodpick.records import record
from methodpick.terms import FLUID_NAMES, FLUIDS, METHODS, SUPPORT_NAMES
from methodpick.unit_markup import mark

PLANT_WORDS: Mapping[str, str] = {
    "vibratory": "a vibratory hammer",
    "kelly_twist": "casing turned in by the kelly",
    "oscillator": "an oscillator",
    "rotator": "a rotator",
    "impact_hammer": "an impact hammer",
}
"""Plant that brings casing down, by the key of the site file."""
NEVER_SUPPOSED = frozenset({"oscillator", "rotator"})
"""Plant that no plan takes where the site does not name it, unless nothing else is left."""
PLATFORM_STEPS = 3
"""The platform is raised in so many equal steps up to the most that the rulebook names."""
MOST_OPENINGS = 3
"""So many changes that do alone are named, the first of the list first."""
NO_OPENING = Alternate(
    family="no change of plant, specification, hours, platform or bell",
    intervals=(),
    relative_cost=None,
    why_not=(
        "All of them together were tried, with the platform raised and without, and none opens a way that passes its proofs: the ground "
        "has to be changed first (grouting, freezing, wells), or the shaft: its place, size or depth."
    ),
)


@record
class SiteChange:
    """A change that somebody can grant: its words, what to write in the site file, and the keys of the site with their new values.

    ``plant`` are keys of the equipment; ``straight`` leaves out the bell of the shaft; ``fills`` are the depths of the cavities that are
    filled and drilled again, and ``steps`` says how.
    """

    words: str
    write: str
    site: Mapping[str, Any] = field(default_factory=dict)
    plant: Mapping[str, Any] = field(default_factory=dict)
    straight: bool = False
    fills: tuple[tuple[float, float], ...] = ()
    steps: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """Return what the change sets."""
        return (*self.site, *self.plant, *(("bell",) if self.straight else ()), *(("cavities",) if self.fills else ()))

    @property
    def raises_platform(self) -> bool:
        """Return whether the change raises the platform."""
        return "drilling_grade" in self.site

    def made_in(self, site: SiteConditions) -> SiteConditions:
        """Return the site with the change."""
        equipment = site.equipment.model_copy(update=dict(self.plant))
        return site.model_copy(update={**self.site, "equipment": equipment})


def openings(context: PlanContext, best: SequencePath | None) -> tuple[Alternate, ...]:
    """Return the changes that open a proven way, each as a way beside the plan; nothing where the plan is proven already.

    All together are tried first, with the highest platform and on the ground as it is, with cavities filled and not: where none of
    these does, no single change is tried.
    """
    if best is not None and context.is_proven(best):
        return ()
    changes, tried = tuple(site_changes(context)), _TriedChanges(context)
    everything = _not_against_each_other(changes)
    parts = [everything, [change for change in everything if not change.raises_platform]]
    parts += [[change for change in part if not change.fills] for part in parts if any(change.fills for change in part)]
    needed = next((part for part in parts if tried.way_with(part) is not None), None)
    if needed is None:
        return (NO_OPENING,)
    alone = tuple(itertools.islice(_alone(tried, changes), MOST_OPENINGS))
    return tuple(_opening((change,), way) for change, way in alone) or (_opening_together(tried, needed, changes),)


def _alone(tried: _TriedChanges, changes: Sequence[SiteChange]) -> Iterator[tuple[SiteChange, str]]:
    """Return the changes that open a way alone, with the way; of the platforms the lowest that does, none where the highest does not."""
    platforms = [change for change in changes if change.raises_platform]
    for change in changes:
        if not change.raises_platform and (way := tried.way_with((change,))) is not None:
            yield change, way
    if platforms and tried.way_with(platforms[-1:]) is not None:
        yield next((change, way) for change in platforms if (way := tried.way_with((change,))) is not None)


def site_changes(context: PlanContext) -> Iterator[SiteChange]:
    """Return what can be granted at a site and is not, plant first, a raised platform last."""
    site = context.basis.site.site
    for key, words in PLANT_WORDS.items():
        named = getattr(site.equipment, key)
        if named is False or (named is None and key in NEVER_SUPPOSED):
            yield SiteChange(words=f"with {words}", write=f"site.equipment.{key}: true", plant={key: True})
    if site.fluids_allowed is not None:
        for fluid in FLUIDS:
            if fluid not in site.fluids_allowed:
                named = (*site.fluids_allowed, fluid)
                words = f"if the specification lets {FLUID_NAMES[fluid]} be used"
                yield SiteChange(words=words, write=_list("fluids_allowed", named), site={"fluids_allowed": named})
    for method in METHODS:
        if method not in site.allowed:
            allowed = (*site.allowed, method)
            words = f"if the specification allows the method: {SUPPORT_NAMES[method]}"
            yield SiteChange(words=words, write=_list("allowed", allowed), site={"allowed": allowed})
    if site.schedule.overnight_allowed is False:
        schedule = site.schedule.model_copy(update={"overnight_allowed": True})
        words = "if work may go on over night"
        yield SiteChange(words=words, write="site.schedule.overnight_allowed: true", site={"schedule": schedule})
    if context.shaft.bell is not None:
        words = "with a straight shaft in place of the bell, of the size and depth that the engineer says"
        yield SiteChange(words=words, write="no bell at the shaft", straight=True)
    if hollow := hollow_lengths(context):
        yield SiteChange(
            words="with the cavities filled through the shaft and drilled again",
            write=f"the cavities of the boring written as filled (description: {FILLING}; absent: [cavities])",
            fills=hollow,
            steps=steps(hollow, context.shaft.diameter_m, context.limits),
        )
    if site.setting == "land":
        yield from _platforms(context)


def _platforms(context: PlanContext) -> Iterator[SiteChange]:
    """Return the platform raised in steps above where it is, the least first."""
    step = context.limits["platform_raise_most_m"] / PLATFORM_STEPS
    for count in range(1, PLATFORM_STEPS + 1):
        above = round(count * step - context.levels.grade_m, 2)
        grade = DrillingGrade(above_ground_m=above)
        words = f"with the drilling grade {mark(above, 'm')} above the ground, on a platform of fill"
        yield SiteChange(words=words, write=f"site.drilling_grade.above_ground: {mark(above, 'm')}", site={"drilling_grade": grade})


def _list(key: str, names: Sequence[str]) -> str:
    return f"site.{key}: [{', '.join(names)}]"


def _opening_together(tried: _TriedChanges, needed: Sequence[SiteChange], changes: Sequence[SiteChange]) -> Alternate:
    """Return the changes that open a way together, without those that are not needed for it, each as single ``changes`` where these do."""
    for change in tuple(needed):
        fewer = [other for other in needed if other is not change]
        single = [[*fewer, other] for other in changes if other.keys == change.keys and other is not change]
        needed = next((part for part in (fewer, *single) if tried.way_with(part) is not None), needed)
    return _opening(needed, tried.way_with(needed) or "")


def _not_against_each_other(changes: Sequence[SiteChange]) -> list[SiteChange]:
    """Return the changes that can be made together: of those that set the same key of the site, one that holds them all."""
    merged: dict[str, SiteChange] = {}
    for change in changes:
        key = change.keys[0]
        before = merged.get(key)
        if before is None or key == "drilling_grade":
            merged[key] = change
            continue
        values = tuple(dict.fromkeys((*before.site[key], *change.site[key])))
        merged[key] = SiteChange(
            words=f"{before.words}, {change.words.removeprefix('if the specification ')}", write=_list(key, values), site={key: values}
        )
    return list(merged.values())


class _TriedChanges:
    """The plans of a shaft with changes of its site, each worked out once."""

    def __init__(self, context: PlanContext) -> None:
        self._context = context
        self._ways: dict[tuple[str, ...], str | None] = {}

    def way_with(self, changes: Sequence[SiteChange]) -> str | None:
        """Return the decision of the proven plan with some changes of the site; None where none passes its proofs."""
        key = tuple(change.words for change in changes)
        if key not in self._ways:
            self._ways[key] = self._plan(changes)
        return self._ways[key]

    def _plan(self, changes: Sequence[SiteChange]) -> str | None:
        context, site = self._context, self._context.basis.site
        conditions = site.site
        for change in changes:
            conditions = change.made_in(conditions)
        basis = replace(context.basis, site=site.model_copy(update={"site": conditions}), proved={})
        shaft = context.shaft.model_copy(update={"bell": None}) if any(change.straight for change in changes) else context.shaft
        raised_m = 0.0 if any(change.raises_platform for change in changes) else context.levels.raised_m
        hollow = next((change.fills for change in changes if change.fills), ())
        other = PlanContext(basis, filled(context.ground.profile, hollow), shaft, raised_m)
        path = _best_way(other, taking_fluid(context, hollow))
        return None if path is None else decision(path, other.worked(path).hole, other.intervals(path, lambda *_: False))


def _best_way(context: PlanContext, taking: Sequence[tuple[float, float]]) -> SequencePath | None:
    """Return the best proven way; over cavities that take the fluid before they are filled the best in which the soil stands."""
    best = context.best_proven()
    if not taking or best is None or soil_stands_without_fluid(context, best, taking):
        return best
    found = context.paths()
    others = () if isinstance(found, NotBuildable) else (path for _, path in found.others if path is not None)
    standing = (path for path in others if context.is_proven(path) and soil_stands_without_fluid(context, path, taking))
    return min(standing, key=lambda path: path.score, default=None)


def _opening(changes: Sequence[SiteChange], way: str) -> Alternate:
    """Return a way that needs some changes, as it stands beside the plan: without stages, since the site is not so."""
    lines = "; ".join(change.write for change in changes)
    how = "".join(f" {change.steps}" for change in changes if change.steps)
    return Alternate(
        family=" and ".join(change.words for change in changes),
        intervals=(),
        stages=(),
        casings=(),
        relative_cost=None,
        why_not=f"It can be built then: {way}{how} For its stages, proofs and quantities plan the file again with {lines}.",
    )
