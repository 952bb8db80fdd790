"""What would open a way of building where none is left, or none is proven: plant, specification, hours of work, platform, no bell.

Each change is what the owner, the engineer or the contractor can grant; the ground is never changed. The shaft is planned anew with each
alone; where none does it, with all of them, of which those that are not needed are taken back one by one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from methodpick.ground.site import DrillingGrade, SiteConditions
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.result import Alternate
from methodpick.plan.sequence.path import SequencePath
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
PLATFORM_STEPS = 3
"""The platform is raised in so many equal steps up to the most that the rulebook names."""
MOST_OPENINGS = 4
"""So many changes that do alone are named, the first of the list first."""
NO_OPENING = Alternate(
    family="no change of plant, specification, hours, platform or bell",
    intervals=(),
    stages=(),
    casings=(),
    relative_cost=None,
    why_not=(
        "Each of them and all together were tried, and none opens a way that passes its proofs: the ground has to be changed first "
        "(grouting, freezing, wells), or the shaft: its place, size or depth."
    ),
)


@dataclass(frozen=True, slots=True)
class SiteChange:
    """A change that somebody can grant: its words, what to write in the site file, and the keys of the site with their new values.

    ``plant`` are keys of the equipment; ``straight`` leaves out the bell of the shaft.
    """

    words: str
    write: str
    site: Mapping[str, Any] = field(default_factory=dict)
    plant: Mapping[str, Any] = field(default_factory=dict)
    straight: bool = False

    @property
    def keys(self) -> tuple[str, ...]:
        """Return what the change sets."""
        return (*self.site, *self.plant, *(("bell",) if self.straight else ()))

    def made_in(self, site: SiteConditions) -> SiteConditions:
        """Return the site with the change."""
        equipment = site.equipment.model_copy(update=dict(self.plant))
        return site.model_copy(update={**self.site, "equipment": equipment})


def openings(context: PlanContext, best: SequencePath | None) -> tuple[Alternate, ...]:
    """Return the changes that open a proven way, each as a way beside the plan; nothing where the plan is proven already."""
    if best is not None and context.is_proven(best):
        return ()
    changes = tuple(site_changes(context))
    alone = [(change, way) for change in changes if (way := _way_with(context, (change,))) is not None]
    if alone:
        return tuple(_opening((change,), way) for change, way in _least_platform(alone)[:MOST_OPENINGS])
    together = _fewest(context, changes)
    way = _way_with(context, together)
    return (NO_OPENING,) if way is None else (_opening(together, way),)


def site_changes(context: PlanContext) -> Iterator[SiteChange]:
    """Return what can be granted at a site and is not, plant first, a raised platform last."""
    site = context.basis.site.site
    for key, words in PLANT_WORDS.items():
        if getattr(site.equipment, key) is not True:
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


def _least_platform(alone: Sequence[tuple[SiteChange, str]]) -> list[tuple[SiteChange, str]]:
    """Return the changes without the higher platforms where a lower one does."""
    grades = [pair for pair in alone if "drilling_grade" in pair[0].site]
    return [pair for pair in alone if pair not in grades[1:]]


def _fewest(context: PlanContext, changes: Sequence[SiteChange]) -> tuple[SiteChange, ...]:
    """Return the changes that do together, each of which is needed; all of them where even all do not."""
    needed = _not_against_each_other(changes)
    if _way_with(context, needed) is None:
        return tuple(needed)
    for change in tuple(needed):
        fewer = [other for other in needed if other is not change]
        if _way_with(context, fewer) is not None:
            needed = fewer
    return tuple(needed)


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


def _way_with(context: PlanContext, changes: Sequence[SiteChange]) -> str | None:
    """Return the decision of the proven plan with some changes of the site; None where none passes its proofs."""
    site = context.basis.site
    conditions = site.site
    for change in changes:
        conditions = change.made_in(conditions)
    basis = replace(context.basis, site=site.model_copy(update={"site": conditions}), proved={})
    shaft = context.shaft.model_copy(update={"bell": None}) if any(change.straight for change in changes) else context.shaft
    other = PlanContext(basis, context.ground.profile, shaft)
    path = other.best_proven()
    if path is None:
        return None
    return decision(path, other.worked(path).hole, other.intervals(path, lambda *_: False))


def _opening(changes: Sequence[SiteChange], way: str) -> Alternate:
    """Return a way that needs some changes, as it stands beside the plan: without stages, since the site is not so."""
    lines = "; ".join(change.write for change in changes)
    return Alternate(
        family=" and ".join(change.words for change in changes),
        intervals=(),
        stages=(),
        casings=(),
        relative_cost=None,
        why_not=f"It can be built then: {way} For its stages, proofs and quantities plan the file again with {lines}.",
    )
