"""Which boring decides for which shaft: the method that each gives there, how they were weighed, and what speaks against the choice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from functools import cached_property

from methodpick.engine.compiler import FALSE
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem
from methodpick.ground.fitted_boring import level_difference
from methodpick.ground.profile import Profile
from methodpick.ground.site import NOT_BUILT, Shaft, Site
from methodpick.plan.judging.planning_input import boring_at_shaft, by_distance, choose_boring
from methodpick.plan.plan_context import PlanBasis, PlanContext, shaft_context
from methodpick.plan.proving.ground_facts import ProvedFacts
from methodpick.plan.result import Citation, ShaftMethod
from methodpick.plan.sequence.path import Score
from methodpick.records import record
from methodpick.site.assignment import AssignedBy, Assignment, Flag, Weighed
from methodpick.terms import SUPPORT_NAMES
from methodpick.unit_markup import mark
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import point

# ---- The method of a shaft at a boring and how hard the ground is, planned without reasons and sizes; equal shafts are planned once


PlanKey = tuple[str, str, str]
"""What shafts share whose plans are equal: boring, ground level, and the shaft as designed with what its distance decides."""


@record
class MethodPreview:
    """The method of the expected plan, and its score (the ordering tuple of the search)."""

    method: ShaftMethod
    score: Score


@record(frozen=False, caches=True)
class PreviewCache:
    """Plans shafts at borings and keeps the previews, so that equal shafts at the same boring and level are planned once.

    All share their proofs by the facts; they are kept as long as the previews, while the site is planned.
    """

    site: Site
    book: Rulebook
    assumptions: tuple[Assumption, ...]
    _previews: dict[PlanKey, MethodPreview] = field(default_factory=dict)
    _contexts: dict[PlanKey, PlanContext] = field(default_factory=dict)
    _of_distance: tuple[Rule, ...] = ()
    _proved: ProvedFacts = field(default_factory=dict)
    _at_shafts: dict[tuple[str, float | None], Profile] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find the rules that speak of the distance of a boring."""
        self._of_distance = tuple(rule for rule in self.book.rules if "boring_distance_m" in rule.facts)

    def key(self, boring: Profile, shaft: Shaft) -> PlanKey:
        """Return what two shafts share whose expected plans are equal."""
        name, level, design = self._key_at_any_distance(boring, shaft)
        return name, level, design + self._distance_part(boring, shaft)

    def _key_at_any_distance(self, boring: Profile, shaft: Shaft) -> PlanKey:
        known = boring.ground_elevation_m is not None and shaft.ground_elevation_m is not None
        level = f"{shaft.ground_elevation_m:.4f}" if known else ""
        return boring.id, level, shaft.model_dump_json(exclude=NOT_BUILT)

    def at_shaft(self, boring: Profile, shaft: Shaft) -> Profile:
        """Return a boring as it reads from the ground at a shaft; set over once for all shafts on the same level."""
        key = boring.id, shaft.ground_elevation_m
        if key not in self._at_shafts:
            self._at_shafts[key] = boring_at_shaft(self.site, shaft, boring, self.book.values)
        return self._at_shafts[key]

    def preview(self, boring: Profile, shaft: Shaft) -> MethodPreview:
        """Return the method and the score of a shaft at a boring."""
        key = self.key(boring, shaft)
        alike = key if self._distance_decides else self._key_at_any_distance(boring, shaft)
        if alike not in self._previews:
            self._previews[alike], self._contexts[key] = self._plan(boring, shaft)
        return self._previews[alike]

    def planned_from(self, key: PlanKey) -> PlanContext | None:
        """Return the gathered and judged ground of a preview that was made, None where it was not."""
        return self._contexts.get(key)

    @cached_property
    def _distance_decides(self) -> bool:
        """Return whether the distance of a boring may change the method: as a rule about the shaft it is only written on its page."""
        fact = "boring_distance_m"
        return (
            any(rule.scope != "shaft" for rule in self._of_distance)
            or any(fact in assumption.where for assumption in self.assumptions)
            or any(fact in table.inputs for table in self.book.tables.values())
        )

    def _plan(self, boring: Profile, shaft: Shaft) -> tuple[MethodPreview, PlanContext]:
        basis = PlanBasis(self.site, self.book, self.assumptions, proved=self._proved)
        context = shaft_context(basis, self.at_shaft(boring, shaft), shaft)
        path = context.best()
        if path is None:
            return MethodPreview("undecided", Score(undecided_m=shaft.tip_m)), context
        return MethodPreview(context.method_of(path), path.score), context

    def _distance_part(self, boring: Profile, shaft: Shaft) -> str:
        """Return the distance where a rule may speak of it, so that only shafts of which none does share a plan."""
        away_m = shaft.away_m(boring)
        if away_m is None:
            return ""
        outcomes = self.book.scopes["shaft"].judge({"boring_distance_m": point(away_m)})
        judged = {rule.id for rule in outcomes.scope.rules}
        silent = all(rule.id in judged and outcomes.of(rule.id)[0] == FALSE for rule in self._of_distance)
        return " known" if silent else f" {away_m:.6f}"


# ---- From borings to shafts: which boring a shaft is planned with, what the others give, and what speaks against it


SAME_M = 0.005
"""Levels and depths closer than this are equal."""
_METHOD_WORDS = {**SUPPORT_NAMES, "combination": "a combination", "undecided": "no method"}
_ASSIGNED_WORDS: Mapping[AssignedBy, str] = {
    "named": "named by the shaft",
    "only": "the only boring",
    "nearest": "the nearest boring",
    "substructure": "the nearest boring of the same substructure",
    "envelope": "the worst boring within the radius",
    "first": "the first boring of the file, for want of positions",
}


def assign_boring(site: Site, shaft: Shaft, previews: PreviewCache) -> Assignment:
    """Return the boring that a shaft is planned with, all that were considered, and every flag.

    With ``borings_by: envelope`` every boring within the radius is planned with, and the one with the greatest ordering tuple
    (undecided, unlikely, unknown, doubtful length, cost, changes of method) decides. Raises InputError as :func:`choose_boring` does,
    and where an envelope has nothing to measure by.
    """
    picked = choose_boring(site, shaft)
    near = by_distance(site, shaft)
    way: AssignedBy = picked.way
    chosen, within = picked.boring, tuple[Profile, ...]()
    if site.site.borings_by == "envelope" and picked.way not in ("named", "only"):
        within = _within_radius(site, shaft, near)
        if within:
            way, chosen = "envelope", max(within, key=lambda boring: [round(part, 6) for part in previews.preview(boring, shaft).score])
    considered = list(dict.fromkeys([chosen.id, *(boring.id for boring in near[:2]), *(boring.id for boring in within)]))
    level_m = level_difference(chosen, shaft)
    limits = previews.book.limits
    return Assignment(
        shaft=shaft.id,
        way=way,
        boring=chosen.id,
        distance_m=shaft.away_m(chosen),
        level_m=level_m,
        shifted=bool(level_m) and site.site.setting == "land",
        said=_ASSIGNED_WORDS[way],
        weighed=tuple(_weighed(site.boring(name), shaft, previews, planned=len(considered) > 1) for name in considered),
        flags=(
            *_nearest_two_flags(near, shaft, previews),
            *_reach_flags(previews.at_shaft(chosen, shaft), shaft, limits),
            *_distance_flags(chosen, shaft, limits),
            *_level_flags(site, level_m, limits),
            *_wanted_flags(site, picked.wanted, within, shaft),
        ),
    )


def _within_radius(site: Site, shaft: Shaft, near: Sequence[Profile]) -> tuple[Profile, ...]:
    radius = site.site.radius_m
    if radius is None:
        raise InputError(
            Problem(
                "an envelope of borings needs a radius",
                expected="radius: how far around a shaft borings count",
                hint="add 'radius:' under 'site:', or give --radius",
            )
        )
    if not near:
        raise InputError(
            Problem(
                f"the envelope of shaft '{shaft.id}' cannot be measured: positions are missing",
                expected="position: {east: .., north: ..} for the shaft and its borings",
                hint="add them, or name the boring of the shaft",
            )
        )
    return tuple(boring for boring in near if (shaft.away_m(boring) or 0.0) <= radius + 1e-9)


def _weighed(boring: Profile, shaft: Shaft, previews: PreviewCache, *, planned: bool) -> Weighed:
    preview = previews.preview(boring, shaft) if planned else None
    end_m = previews.at_shaft(boring, shaft).end_m
    return Weighed(
        boring=boring.id,
        distance_m=shaft.away_m(boring),
        level_m=level_difference(boring, shaft),
        same_substructure=shaft.substructure is not None and boring.substructure == shaft.substructure,
        reaches_tip=end_m >= shaft.tip_m - SAME_M,
        method=preview.method if preview else None,
        score=tuple(float(value) for value in preview.score) if preview else None,
    )


def _nearest_two_flags(near: Sequence[Profile], shaft: Shaft, previews: PreviewCache) -> tuple[Flag, ...]:
    """Flag a shaft whose two nearest borings give different methods."""
    if len(near) < 2:
        return ()
    first, second = (previews.preview(boring, shaft) for boring in near[:2])
    if first.method == second.method:
        return ()
    worse = near[0] if first.score >= second.score else near[1]
    gives = sorted(f"{boring.id} gives {_METHOD_WORDS[preview.method]}" for boring, preview in zip(near[:2], (first, second), strict=True))
    return (
        Flag(
            "method",
            "caution",
            "The two nearest borings do not agree",
            Citation("practice", "two nearest borings compared"),
            here=f"{gives[0]}, {gives[1]}; {worse.id} asks for more",
            advice="Be ready for both, or ask for a boring at the shaft.",
        ),
    )


def _reach_flags(boring: Profile, shaft: Shaft, limits: Mapping[str, Limit]) -> tuple[Flag, ...]:
    """Flag a boring that does not reach the tip, or not far enough below it, as it reads from the ground at the shaft."""
    end_m = boring.end_m
    below = limits["data_below_least"]
    if end_m < shaft.tip_m - SAME_M:
        text = f"Boring {boring.id} stops {mark(shaft.tip_m - end_m, 'm')} above the tip: nothing is claimed below it"
        return (Flag("short", "caution", text, _cite(below)),)
    if end_m < shaft.tip_m + below.value * shaft.diameter_m - SAME_M:
        text = f"Boring {boring.id} goes {mark(end_m - shaft.tip_m, 'm')} below the tip, less than {below.value:g} diameters"
        return (Flag("short", "note", text, _cite(below)),)
    return ()


def _distance_flags(boring: Profile, shaft: Shaft, limits: Mapping[str, Limit]) -> tuple[Flag, ...]:
    """Flag a boring that is far from the shaft, or at a distance that is not known."""
    away_m = shaft.away_m(boring)
    if away_m is None:
        text = f"How far boring {boring.id} is from the shaft is not known"
        return (Flag("position", "note", text, Citation("practice", "distance of borings")),)
    far, watch = limits["boring_far_m"], limits["boring_watch_m"]
    if away_m > far.value:
        text = (
            f"Boring {boring.id} is {mark(away_m, 'm')} away, more than {mark(far.value, 'm')}: it says which soils to expect, not at "
            "which depth"
        )
        return (Flag("far", "caution", text, _cite(far)),)
    if away_m > watch.value:
        text = f"Boring {boring.id} is {mark(away_m, 'm')} away, more than {mark(watch.value, 'm')}"
        return (Flag("far", "note", text, _cite(watch)),)
    return ()


def _level_flags(site: Site, level_m: float | None, limits: Mapping[str, Limit]) -> tuple[Flag, ...]:
    """Flag a ground at the shaft that lies higher or lower than at the boring, or at a level that is not known."""
    elevations = Citation("practice", "work in elevations")
    watch, stretch = limits["level_watch_m"], limits["top_stretch_m"]
    if level_m is None:
        text = "The level of the ground is not known at both, so depths of the boring are taken as depths of the shaft"
        return (Flag("level", "note", text, elevations),)
    side = f"{mark(abs(level_m), 'm')} {'above' if level_m > 0 else 'below'} that at the boring"
    if level_m and site.site.setting == "water":
        text = f"The mudline at the shaft lies {side}; over water depths are not set over, since the water levels belong to one mudline"
        return (Flag("level", "caution", text, elevations),)
    if abs(level_m) > watch.value:
        text = f"The ground at the shaft lies {side}; layers are set over by elevation, yet they may follow the ground"
        return (Flag("level", "caution", text, _cite(watch)),)
    if level_m > stretch.value:
        return (Flag("level", "caution", f"The top {mark(level_m, 'm')} at the shaft lie above the boring: no log", _cite(stretch)),)
    if level_m > SAME_M:
        text = f"The top {mark(level_m, 'm')} at the shaft lie above the boring; its top layer is taken to reach up to the ground"
        return (Flag("level", "note", text, _cite(stretch)),)
    return ()


def _wanted_flags(site: Site, wanted: str, within: Sequence[Profile], shaft: Shaft) -> tuple[Flag, ...]:
    """Flag a shaft for which no boring could be chosen in the way that the site asks for."""
    source = Citation("practice", "borings to shafts")
    if wanted == "substructure":
        of = f"substructure '{shaft.substructure}'" if shaft.substructure is not None else "its substructure, which it does not name"
        return (Flag("position", "caution", f"No boring belongs to {of}; another is taken", source),)
    if site.site.borings_by == "envelope" and not within and shaft.boring is None and len(site.borings) > 1:
        return (Flag("far", "caution", f"No boring lies within {mark(site.site.radius_m or 0.0, 'm')}; the nearest is taken", source),)
    return ()


def _cite(limit: Limit) -> Citation:
    return Citation(limit.source, limit.where)
