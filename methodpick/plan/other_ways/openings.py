"""What would open a way of building where none is left, or none is proven: plant, specification, approval, hours, platform, cavities.

Each change is what the owner, the engineer or the contractor can grant; of the ground only cavities are changed, which are filled through
the shaft and drilled again. The shaft is planned anew with all of
them together; where that builds it, with each alone, and where none does alone, with as few together as do.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import Any

from methodpick.ground.site import SiteConditions
from methodpick.plan.checks.crowd import CROWD
from methodpick.plan.checks.pull import PULL
from methodpick.plan.checks.reach import REACH_CASING, REACH_DIAMETER, REACH_KELLY
from methodpick.plan.checks.torque import TORQUE_RESTART, TORQUE_TURNING
from methodpick.plan.fluid.levels import platform_raise
from methodpick.plan.other_ways.filled_cavities import FILLING, filled, hollow_lengths, soil_stands_without_fluid, steps, taking_fluid
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.reasons.notes import TRIALS_ENDED
from methodpick.plan.result import Alternate, Opening
from methodpick.plan.sequence.families import NotBuildable
from methodpick.plan.sequence.path import Score, SequencePath
from methodpick.records import record
from methodpick.terms import FLUID_NAMES, FLUIDS, METHODS, SUPPORT_NAMES, CasingWay
from methodpick.unit_markup import height_words, mark

PLANT_WORDS: Mapping[str, str] = {
    "vibratory": "a vibratory hammer",
    "kelly_twist": "casing turned in by the kelly",
    "oscillator": "an oscillator",
    "rotator": "a rotator",
    "impact_hammer": "an impact hammer",
}
"""Plant that brings casing down, by the key of the site file."""
WAY_OF_PLANT: Mapping[str, CasingWay] = {
    "vibratory": "vibrated",
    "kelly_twist": "twisted",
    "oscillator": "oscillated",
    "rotator": "oscillated",
    "impact_hammer": "driven",
}
"""The way of advancing casing that a plant drives."""
WIDER_CASING = "max_casing_m"
"""The key of the site file that keeps strings from standing in one another."""
NEVER_SUPPOSED = frozenset({"oscillator", "rotator"})
"""Plant that no plan takes where the site does not name it, unless nothing else is left."""
MOST_OPENINGS = 3
"""So many changes that do alone are named, the first of the list first."""
NO_OPENING = "no change of plant, specification, neighbours, hours, platform or bell"
"""The family of what is said where no change opens a proven way."""
TRIED = "All of them together were tried, with the platform raised and without, and none opens a way that passes its proofs:"
CHANGE_THE_GROUND = "the ground has to be changed first (grouting, freezing, wells), or the shaft: its place, size or depth."
STRONGER_PLANT = "the machines have to be stronger, or to reach further, than those that the site names or that are usual."
PLANT_PROOFS = frozenset(proof.id for proof in (TORQUE_TURNING, TORQUE_RESTART, PULL, CROWD, REACH_CASING, REACH_DIAMETER, REACH_KELLY))
"""Proofs of what a machine can do: where only these are short, no ground has to be changed."""
NO_WAY_AT_ALL = "Nor does any of them leave a way to the tip that the rules let stand."


@record
class SiteChange:
    """A change that somebody can grant: its words, what to write in the site file, and the keys of the site with their new values.

    ``plant`` are keys of the equipment; ``straight`` leaves out the bell of the shaft; ``raised_m`` is fill on the platform; ``fills``
    are the depths of the cavities that are filled and drilled again, and ``steps`` says how. ``stands`` is the line of the site file
    that the change takes back, empty where the file says nothing of it.
    """

    words: str
    write: str
    stands: str = ""
    site: Mapping[str, Any] = field(default_factory=dict)
    plant: Mapping[str, Any] = field(default_factory=dict)
    straight: bool = False
    raised_m: float = 0.0
    fills: tuple[tuple[float, float], ...] = ()
    steps: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """Return what the change sets."""
        others = {"bell": self.straight, "drilling_grade": self.raised_m > 0, "cavities": bool(self.fills)}
        return (*self.site, *self.plant, *(key for key, is_set in others.items() if is_set))

    def made_in(self, site: SiteConditions) -> SiteConditions:
        """Return the site with the change."""
        equipment = site.equipment.model_copy(update=dict(self.plant))
        return site.model_copy(update={**self.site, "equipment": equipment})


def openings(context: PlanContext, best: SequencePath | None) -> tuple[Alternate, ...]:
    """Return the changes that open a proven way, each as a way beside the plan; nothing where the plan is proven already.

    All together are tried first, with the platform raised and as it is, with cavities filled and not: where none of these does, no
    single change is tried, and the way that comes nearest to a proven one is named.
    """
    if best is not None and context.is_proven(best):
        return ()
    changes, tried = tuple(site_changes(context)), _TriedChanges(context)
    everything = _not_against_each_other(changes)
    parts = [everything]
    parts += [[change for change in part if not change.raised_m] for part in parts if any(change.raised_m for change in part)]
    parts += [[change for change in part if not change.fills] for part in parts if any(change.fills for change in part)]
    needed = next((part for part in parts if tried.way_with(part) is not None), None)
    if needed is None:
        return (_no_opening(tried.nearest(best)),)
    ways = ((change, tried.way_with((change,))) for change in changes)
    alone = tuple(itertools.islice(((change, way) for change, way in ways if way is not None), MOST_OPENINGS))
    return tuple(_opening((change,), way) for change, way in alone) or (_opening_together(tried, needed, changes),)


def site_changes(context: PlanContext) -> Iterator[SiteChange]:
    """Return what can be granted at a site and is not, plant first, a raised platform last."""
    site = context.basis.site.site
    yield from _of_plant(site)
    yield from _of_specification(site)
    yield from _of_railway(site)
    yield from _of_design_and_ground(context)
    raised_m = platform_raise(site, context.levels.head_missing_m, context.limits)
    if raised_m > 0:
        above_m = round(raised_m - context.levels.grade_m, 3)
        yield SiteChange(
            words=f"with the drilling grade at {height_words(-above_m)}, on a platform of fill",
            write=f"site.drilling_grade.above_ground: {mark(above_m, 'm')}",
            stands="" if site.drilling_grade is None else f"site.drilling_grade, {height_words(context.levels.grade_m)}",
            raised_m=raised_m,
        )


def _of_plant(site: SiteConditions) -> Iterator[SiteChange]:
    for key, words in PLANT_WORDS.items():
        named = getattr(site.equipment, key)
        if named is False or (named is None and key in NEVER_SUPPOSED):
            stands = f"site.equipment.{key}: false" if named is False else ""
            yield SiteChange(words=f"with {words}", write=f"site.equipment.{key}: true", stands=stands, plant={key: True})
    if site.equipment.max_casing_m is not None:
        line, widest = "site.equipment.max_casing", mark(site.equipment.max_casing_m, "size")
        words = f"with casing wider than {widest}, one string in another"
        yield SiteChange(words=words, write=f"no {line}", stands=f"{line}: {widest}", plant={WIDER_CASING: None})


def _of_specification(site: SiteConditions) -> Iterator[SiteChange]:
    if site.fluids_allowed is not None:
        for fluid in FLUIDS:
            if fluid not in site.fluids_allowed:
                named = (*site.fluids_allowed, fluid)
                words = f"if the specification lets {FLUID_NAMES[fluid]} be used"
                stands = _list("fluids_allowed", site.fluids_allowed)
                yield SiteChange(words=words, write=_list("fluids_allowed", named), stands=stands, site={"fluids_allowed": named})
    for method in METHODS:
        if method not in site.allowed:
            allowed = (*site.allowed, method)
            words = f"if the specification allows the method: {SUPPORT_NAMES[method]}"
            stands = _list("allowed", site.allowed)
            yield SiteChange(words=words, write=_list("allowed", allowed), stands=stands, site={"allowed": allowed})
    if site.schedule.overnight_allowed is False:
        schedule = site.schedule.model_copy(update={"overnight_allowed": True})
        line = "site.schedule.overnight_allowed"
        words = "if work may go on over night"
        yield SiteChange(words=words, write=f"{line}: true", stands=f"{line}: false", site={"schedule": schedule})


def _of_railway(site: SiteConditions) -> Iterator[SiteChange]:
    """Return the approval of a railway that has not agreed to the work in writing."""
    neighbours = site.neighbours or ()
    if any(each.is_railway and not each.approved for each in neighbours):
        agreed = tuple(each.model_copy(update={"approved": True}) if each.is_railway else each for each in neighbours)
        words, write = "if the railroad approves the work in writing", "approved: true at the railway under site.neighbours"
        yield SiteChange(words=words, write=write, site={"neighbours": agreed})


def _of_design_and_ground(context: PlanContext) -> Iterator[SiteChange]:
    if context.shaft.bell is not None:
        words = "with a straight shaft in place of the bell, of the size and depth that the engineer says"
        yield SiteChange(words=words, write="no bell at the shaft", stands="the bell of the shaft", straight=True)
    if hollow := hollow_lengths(context):
        yield SiteChange(
            words="with the cavities filled through the shaft and drilled again",
            write=f"the cavities of the boring written as filled (description: {FILLING}; absent: [cavities])",
            fills=hollow,
            steps=steps(hollow, context.shaft.diameter_m, context.limits),
        )


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
        if before is None:
            merged[key] = change
            continue
        values = tuple(dict.fromkeys((*before.site[key], *change.site[key])))
        words = f"{before.words}, {change.words.removeprefix('if the specification ')}"
        merged[key] = SiteChange(words=words, write=_list(key, values), stands=before.stands, site={key: values})
    return list(merged.values())


@record
class _UnprovenWay:
    """The best way of a shaft with some changes, none of whose ways is proven."""

    context: PlanContext
    path: SequencePath
    changes: tuple[SiteChange, ...]

    @property
    def distance(self) -> tuple[int, int, Score, int]:
        """Return how far the way is from a proven one: the checks that are short in it, what stays open, the changes.

        What a stronger machine mends is nearer than anything else.
        """
        short = {check.what: check.id for check in self.context.checks(self.path) if check.is_short}
        return sum(proof not in PLANT_PROOFS for proof in short.values()), len(short), self.path.score, len(self.changes)


class _TriedChanges:
    """The plans of a shaft with changes of its site, each worked out once."""

    def __init__(self, context: PlanContext) -> None:
        self._context = context
        self._ways: dict[tuple[str, ...], str | None] = {}
        self._unproven: list[_UnprovenWay] = []

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
        raised_m = context.levels.raised_m + sum(change.raised_m for change in changes)
        hollow = next((change.fills for change in changes if change.fills), ())
        other = PlanContext(basis, filled(context.ground.profile, hollow), shaft, raised_m)
        path = _best_way(other, taking_fluid(context, hollow))
        if path is not None:
            return _decided(other, path)
        best = other.best()
        if best is not None and not other.is_proven(best):
            self._unproven.append(_UnprovenWay(other, best, tuple(changes)))
        return None

    def nearest(self, planned: SequencePath | None) -> _UnprovenWay | None:
        """Return which of the ways that were tried and not proven comes nearest to a proven one, the plan itself included; None without."""
        plans = () if planned is None else (_UnprovenWay(self._context, planned, ()),)
        return min((*plans, *self._unproven), key=lambda way: way.distance, default=None)


def _decided(context: PlanContext, path: SequencePath) -> str:
    return decision(path, context.worked(path).hole, context.intervals(path, lambda *_: False))


def _no_opening(nearest: _UnprovenWay | None) -> Alternate:
    """Return what is said where no change opens a proven way, with the way that comes nearest to one and what that is short of."""
    return Alternate(
        family=NO_OPENING,
        intervals=(),
        relative_cost=None,
        why_not=f"{TRIED} {_what_else(nearest)} {NO_WAY_AT_ALL if nearest is None else _nearest_words(nearest)}",
    )


def _what_else(nearest: _UnprovenWay | None) -> str:
    """Describe what is left where no change opens a proven way: stronger plant where nothing else is short, else other ground."""
    short = set() if nearest is None else {check.id for check in nearest.context.checks(nearest.path) if check.is_short}
    return STRONGER_PLANT if short and short <= PLANT_PROOFS else CHANGE_THE_GROUND


def _nearest_words(way: _UnprovenWay) -> str:
    """Describe the way that comes nearest to a proven one, what has to be granted for it, and what it is short of."""
    given = " and ".join(change.words for change in _needed(way))
    name = f"The way that comes nearest, {given}: {_decided(way.context, way.path)}" if given else "The plan itself comes nearest."
    short = dict.fromkeys(check.what for check in way.context.checks(way.path) if check.is_short)
    return f"{name} It is short of its proofs: {' '.join(short) or TRIALS_ENDED}"


def _needed(way: _UnprovenWay) -> Iterator[SiteChange]:
    """Return the changes that a way makes use of, of plant the first that brings its casing."""
    brought: set[str] = set()
    for change in way.changes:
        ways = {WAY_OF_PLANT[key] for key in change.plant if key in WAY_OF_PLANT} & way.path.means - brought
        wider = WIDER_CASING in change.plant and len(way.path.strings) > 1
        if ways or wider or not change.plant:
            brought |= ways
            yield change


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
    steps = " ".join(change.steps for change in changes if change.steps)
    opening = Opening(decision=way, steps=steps, write=tuple(change.write for change in changes))
    return Alternate(
        family=" and ".join(change.words for change in changes),
        intervals=(),
        stages=(),
        casings=(),
        relative_cost=None,
        excluded_by=tuple(dict.fromkeys(change.stands for change in changes if change.stands)),
        why_not=opening.words,
        opening=opening,
    )
