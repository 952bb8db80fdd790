"""The ladder of a shaft: its rungs with what each takes, its fallback; and what would open a way of building where none is left.

What opens a way is a change that the owner, the engineer or the contractor can grant; the ground is never changed. The shaft is planned
anew with each alone; where none does it, with all of them, of which those that are not needed are taken back one by one.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from methodpick.ground.site import DrillingGrade, SiteConditions
from methodpick.plan.concrete.hole import fluid_filled
from methodpick.plan.other_ways.alternates import what_differs
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.reasons.notes import CASING_TROUBLE, TROUBLE_DRY, TROUBLE_UNDER_FLUID
from methodpick.plan.result import Alternate, Placement, Rung
from methodpick.plan.sequence.families import FoundPaths
from methodpick.plan.sequence.path import SequencePath
from methodpick.plan.sequence.search_input import DOUBTFUL, SearchSlice
from methodpick.terms import FLUID_NAMES, FLUIDS, METHODS, OPEN_STATES, SUPPORT_NAMES
from methodpick.unit_markup import mark

# ---- The way that is gone over to where the planned one fails: by another plant or way, and the cheapest that avoids the same trouble


SMALL_M = 1e-6


@dataclass(frozen=True, slots=True)
class Fallback:
    """The way that is gone over to, and what on site triggers it."""

    path: SequencePath
    trigger: str


def find_fallback(context: PlanContext, found: FoundPaths) -> Fallback | None:
    """Return the fallback of a plan, None where no other way avoids its trouble.

    Where the plan rests on doubtful lengths, they are the trouble; else that it does not reach the tip as planned, or, where casing is
    brought to the tip, that its plant does not get through. Over open water none empties a hole that the plan keeps full.
    """
    best, slices = found.best, context.search_input.slices
    full = context.search_input.options.over_water and not best.is_emptied
    others = [
        path for path in (found.cautious, *(path for _, path in found.others)) if path is not None and _is_another(slices, best, path)
    ]
    others = [path for path in others if not (full and path.is_emptied)]
    if found.cautious is not None and found.cautious in others:
        left_m = doubt_left(slices, best, found.cautious)
        open_m = max(best.score.unsettled_lengths_m, found.cautious.score.unsettled_lengths_m)
        avoiding = [
            path
            for path in others
            if doubt_left(slices, best, path) <= left_m + SMALL_M
            and path.score.unsettled_lengths_m <= open_m
            and (path is found.cautious or (doubt_of(slices, best) > SMALL_M and context.is_proven(path)))
        ]
        return Fallback(min(avoiding, key=lambda path: path.cost), what_differs(context.ground, best).trigger)
    return _where_the_last_fails(context, best, others)


def _where_the_last_fails(context: PlanContext, best: SequencePath, others: Sequence[SequencePath]) -> Fallback | None:
    """Return the cheapest way that leaves no more open: by other plant where casing is brought ahead, else one that ends otherwise."""
    ways = frozenset(segment.way for segment in best.strings if segment.way is not None)
    open_m = best.score.open_lengths_m
    no_worse = [path for path in others if path.score.open_lengths_m <= open_m]
    if ways:
        avoiding = [path for path in no_worse if not ways & path.means]
        if not avoiding:
            avoiding = [path for path in (context.best_without(ways),) if path is not None and path.score.open_lengths_m <= open_m]
        if avoiding:
            return Fallback(min(avoiding, key=lambda path: path.score), _go_over(CASING_TROUBLE))
    avoiding = [path for path in no_worse if path.last != best.last]
    trouble = TROUBLE_DRY if best.last == "dry" else TROUBLE_UNDER_FLUID if best.last in OPEN_STATES else CASING_TROUBLE
    return Fallback(min(avoiding, key=lambda path: path.score), _go_over(trouble)) if avoiding else None


def _go_over(trouble: str) -> str:
    return f"If {trouble}: stop, keep or bring the hole full above the outside water, and go over to this way with the engineer."


# ---- doubt


def _is_another(slices: Sequence[SearchSlice], best: SequencePath, path: SequencePath) -> bool:
    """Return whether a path uses other means than the best one, or cases what is doubtful of its open hole."""
    doubtful = [(run, part) for run, part in _doubtful_runs(slices, best) if run in OPEN_STATES]
    theirs = [part for run, part in _doubtful_runs(slices, path) if run in OPEN_STATES]
    left = sum(max(0.0, min(base, low) - max(top, high)) for _, (top, base) in doubtful for high, low in theirs)
    return path.means != best.means or left < sum(base - top for _, (top, base) in doubtful) - SMALL_M


def doubt_of(slices: Sequence[SearchSlice], path: SequencePath) -> float:
    """Return the length that a path drills in a state that is doubtful or worse."""
    return sum(base - top for top, base in _doubtful(slices, path))


def doubt_left(slices: Sequence[SearchSlice], best: SequencePath, path: SequencePath) -> float:
    """Return how much of what is doubtful on the best path is doubtful on another as well."""
    theirs = list(_doubtful(slices, path))
    return sum(
        max(0.0, min(base, other_base) - max(top, other_top)) for top, base in _doubtful(slices, best) for other_top, other_base in theirs
    )


def _doubtful(slices: Sequence[SearchSlice], path: SequencePath) -> Iterator[tuple[float, float]]:
    """Return the lengths of slices that a path drills in a state that is doubtful or worse."""
    return (length for _, length in _doubtful_runs(slices, path))


def _doubtful_runs(slices: Sequence[SearchSlice], path: SequencePath) -> Iterator[tuple[str, tuple[float, float]]]:
    """Return the same lengths, each with its state."""
    for run in path.runs:
        for piece in slices:
            top, base = max(run.top_m, piece.top_m), min(run.base_m, piece.base_m)
            if base > top and piece.logged and piece.rank[run.state] >= DOUBTFUL:
                yield run.state, (top, base)


# ---- The rungs of a shaft: planned, fallback with its trigger, worst credible, each with what it takes beyond the plan


@dataclass(frozen=True, slots=True)
class _Takes:
    """What a way of building takes: casing that counts, fluid to fill the hole, concrete likely and at the high overbreak."""

    casing_m: float
    casing_kg: float
    fluid_m3: float
    concrete_m3: float
    concrete_high_m3: float


def make_rungs(context: PlanContext, found: FoundPaths, placement: Placement | None = None) -> tuple[Rung, ...]:
    """Return the rungs of a shaft, no rung twice; ``placement`` is given where the ground does not decide it, for every rung."""
    best, fallback, worst = found.best, find_fallback(context, found), found.worst or found.best
    rungs = [_rung(context, "planned", (best, best), placement)]
    if fallback is not None:
        rungs.append(replace(_rung(context, "fallback", (fallback.path, best), placement), trigger=fallback.trigger))
    rungs.append(replace(_rung(context, "worst_credible", (worst, best), placement), trigger=_worst_words(found)))
    return tuple(rungs)


def _rung(
    context: PlanContext,
    name: Literal["planned", "fallback", "worst_credible"],
    paths: tuple[SequencePath, SequencePath],
    placement: Placement | None,
) -> Rung:
    """Return a rung with what it takes beyond the plan, from its path and the plan's; the worst credible one with the high overbreak."""
    path, best = paths
    planned, takes = _takes(context, best, placement), _takes(context, path, placement)
    concrete = takes.concrete_high_m3 if name == "worst_credible" else takes.concrete_m3
    return Rung(
        name=name,
        method=decision(path, context.worked(path, placement).hole),
        trigger="",
        relative_cost=round(path.cost, 6),
        extra_casing_m=takes.casing_m - planned.casing_m,
        extra_casing_kg=takes.casing_kg - planned.casing_kg,
        extra_fluid_m3=takes.fluid_m3 - planned.fluid_m3,
        extra_concrete_m3=concrete - planned.concrete_m3,
        **context.other_way(path, placement).parts(),
    )


def _worst_words(found: FoundPaths) -> str:
    if found.worst is None:
        return "No heavier way is found: the same with the most overbreak that the ground makes credible."
    if found.worst.is_built_as(found.best):
        return "No doubt of the log is about the planned way itself: the same with the most overbreak that the ground makes credible."
    return "Every doubt about the open hole turns out against it, and the ground breaks out as far as is credible."


def _takes(context: PlanContext, path: SequencePath, placement: Placement | None) -> _Takes:
    hole = context.worked(path, placement).hole
    strings = [casing for casing in hole.casings if not casing.is_starter]
    fluid_m3, _ = fluid_filled(context.ground, path, context.levels, hole.casings)
    return _Takes(
        casing_m=sum(casing.length_m for casing in strings),
        casing_kg=sum(casing.mass_kg for casing in strings),
        fluid_m3=fluid_m3,
        concrete_m3=hole.concrete.expected_m3,
        concrete_high_m3=hole.concrete.expected_high_m3,
    )


# ---- What would open a way of building where none is left, or none is proven


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

    All together are tried first, with the highest platform and on the ground as it is: where neither does, no single change is tried.
    """
    if best is not None and context.is_proven(best):
        return ()
    changes, tried = tuple(site_changes(context)), _TriedChanges(context)
    everything = _not_against_each_other(changes)
    on_ground = [change for change in everything if not change.raises_platform]
    needed = next((part for part in (everything, on_ground) if tried.way_with(part) is not None), None)
    if needed is None:
        return (NO_OPENING,)
    alone = tuple(itertools.islice(_alone(tried, changes), MOST_OPENINGS))
    return tuple(_opening((change,), way) for change, way in alone) or (_opening_together(tried, needed),)


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


def _opening_together(tried: _TriedChanges, needed: Sequence[SiteChange]) -> Alternate:
    """Return the changes that open a way together, without those that are not needed for it."""
    for change in tuple(needed):
        fewer = [other for other in needed if other is not change]
        if tried.way_with(fewer) is not None:
            needed = fewer
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
