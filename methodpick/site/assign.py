"""From borings to shafts: which boring decides for a shaft, what the others say, and what speaks against it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.errors import InputError, Problem
from methodpick.ground.level import level_difference
from methodpick.ground.profile import Profile
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.plan.judging.boring_choice import by_distance, distance, pick, set_over
from methodpick.plan.result import Citation
from methodpick.site.quick import Quick
from methodpick.site.result import Assignment, Flag, Weighed
from methodpick.site.result.assign import Way
from methodpick.unit_markup import mark
from methodpick.vocabulary.limits import Limit

METHODS = {
    "dry": "dry",
    "slurry": "slurry",
    "temporary_casing": "temporary casing",
    "permanent_casing": "permanent casing",
    "combination": "a combination",
    "undecided": "no method",
}
_SAID: Mapping[Way, str] = {
    "named": "named by the shaft",
    "only": "the only boring",
    "nearest": "the nearest boring",
    "substructure": "the nearest boring of the same substructure",
    "envelope": "the worst boring within the radius",
    "first": "the first boring of the file, for want of positions",
}


def assign(site: Site, shaft: Shaft, quick: Quick) -> Assignment:
    """Return the boring that decides for a shaft, with all that were weighed and every flag.

    With ``borings_by: envelope`` every boring within the radius is planned with, and the one with the greatest ordering tuple
    (undecided, unlikely, unknown, doubtful length, cost, changes of method) decides. Raises InputError as :func:`pick` does,
    and where an envelope has nothing to measure by.
    """
    picked = pick(site, shaft)
    near = by_distance(site, shaft)
    way: Way = picked.way
    chosen, within = picked.boring, tuple[Profile, ...]()
    if site.site.borings_by == "envelope" and picked.way not in ("named", "only"):
        within = _within(site, shaft, near)
        if within:
            way, chosen = "envelope", max(within, key=lambda one: [round(part, 6) for part in quick.glance(one, shaft).score])
    looked = list(dict.fromkeys([chosen.id, *(one.id for one in near[:2]), *(one.id for one in within)]))
    weighed = tuple(_weigh(site, site.boring(name), shaft, quick, planned=len(looked) > 1) for name in looked)
    level = level_difference(chosen, shaft)
    limits = quick.book.limits
    flags = (
        *_near_two(near, shaft, quick),
        *_reach(site, chosen, shaft, limits),
        *_distance(chosen, shaft, limits),
        *_level(site, level, limits),
        *_wanted(site, picked.wanted, within, shaft),
    )
    return Assignment(
        shaft.id, way, chosen.id, distance(chosen, shaft), level, bool(level) and site.site.setting == "land", _SAID[way], weighed, flags
    )


def _within(site: Site, shaft: Shaft, near: Sequence[Profile]) -> tuple[Profile, ...]:
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
    return tuple(one for one in near if (distance(one, shaft) or 0.0) <= radius + 1e-9)


def _weigh(site: Site, boring: Profile, shaft: Shaft, quick: Quick, *, planned: bool) -> Weighed:
    seen = quick.glance(boring, shaft) if planned else None
    end = set_over(site, shaft, boring, quick.book.values).end_m
    return Weighed(
        boring.id,
        distance(boring, shaft),
        level_difference(boring, shaft),
        shaft.substructure is not None and boring.substructure == shaft.substructure,
        end >= shaft.tip_m - 0.005,
        seen.method if seen else None,
        tuple(float(value) for value in seen.score) if seen else None,
    )


def _near_two(near: Sequence[Profile], shaft: Shaft, quick: Quick) -> tuple[Flag, ...]:
    """Flag a shaft whose two nearest borings give different methods."""
    if len(near) < 2:
        return ()
    first, second = (quick.glance(one, shaft) for one in near[:2])
    if first.method == second.method:
        return ()
    worse = near[0] if first.score >= second.score else near[1]
    said = sorted(f"{one.id} gives {METHODS[seen.method]}" for one, seen in zip(near[:2], (first, second), strict=True))
    return (
        Flag(
            "method",
            "caution",
            f"The two nearest borings do not agree: {said[0]}, {said[1]}; {worse.id} asks for more. Be "
            "ready for both, or ask for a boring at the shaft.",
            Citation("practice", "two nearest borings compared"),
        ),
    )


def _reach(site: Site, boring: Profile, shaft: Shaft, limits: Mapping[str, Limit]) -> tuple[Flag, ...]:
    end = set_over(site, shaft, boring, {name: one.value for name, one in limits.items()}).end_m
    wanted = shaft.tip_m + limits["data_below_least"].value * shaft.diameter_m
    if end < shaft.tip_m - 0.005:
        return (
            Flag(
                "short",
                "caution",
                f"Boring {boring.id} stops {mark(shaft.tip_m - end, 'm')} above the tip: nothing is claimed below it.",
                _cite(limits["data_below_least"]),
            ),
        )
    if end < wanted - 0.005:
        return (
            Flag(
                "short",
                "note",
                f"Boring {boring.id} goes {mark(end - shaft.tip_m, 'm')} below the tip, less than "
                f"{limits['data_below_least'].value:g} diameters.",
                _cite(limits["data_below_least"]),
            ),
        )
    return ()


def _distance(boring: Profile, shaft: Shaft, limits: Mapping[str, Limit]) -> tuple[Flag, ...]:
    away = distance(boring, shaft)
    if away is None:
        return (
            Flag(
                "position",
                "note",
                f"How far boring {boring.id} is from the shaft is not known.",
                Citation("practice", "distance of borings"),
            ),
        )
    far, watch = limits["boring_far_m"], limits["boring_watch_m"]
    if away > far.value:
        return (
            Flag(
                "far",
                "caution",
                f"Boring {boring.id} is {mark(away, 'm')} away, more than {mark(far.value, 'm')}: it says which "
                "soils to expect, not at which depth.",
                _cite(far),
            ),
        )
    if away > watch.value:
        return (Flag("far", "note", f"Boring {boring.id} is {mark(away, 'm')} away, more than {mark(watch.value, 'm')}.", _cite(watch)),)
    return ()


def _level(site: Site, level_m: float | None, limits: Mapping[str, Limit]) -> tuple[Flag, ...]:
    watch = limits["level_watch_m"]
    if level_m is None:
        return (
            Flag(
                "level",
                "note",
                "The level of the ground is not known at both, so depths of the boring are taken as depths of the shaft.",
                Citation("practice", "work in elevations"),
            ),
        )
    if level_m and site.site.setting == "water":
        return (
            Flag(
                "level",
                "caution",
                f"The mudline at the shaft lies {mark(abs(level_m), 'm')} {_side(level_m)} that at the boring; "
                "over water depths are not set over, since the water levels belong to one mudline.",
                Citation("practice", "work in elevations"),
            ),
        )
    if abs(level_m) > watch.value:
        return (
            Flag(
                "level",
                "caution",
                f"The ground at the shaft lies {mark(abs(level_m), 'm')} {_side(level_m)} that at the boring; "
                "layers are set over by elevation, yet they may follow the ground.",
                _cite(watch),
            ),
        )
    stretch = limits["top_stretch_m"]
    if level_m > stretch.value:
        return (Flag("level", "caution", f"The top {mark(level_m, 'm')} at the shaft lie above the boring: no log.", _cite(stretch)),)
    if level_m > 0.005:
        return (
            Flag(
                "level",
                "note",
                f"The top {mark(level_m, 'm')} at the shaft lie above the boring; its top layer is taken to reach up to the ground.",
                _cite(stretch),
            ),
        )
    return ()


def _wanted(site: Site, wanted: str, within: Sequence[Profile], shaft: Shaft) -> tuple[Flag, ...]:
    source = Citation("practice", "borings to shafts")
    if wanted == "substructure":
        of = f"substructure '{shaft.substructure}'" if shaft.substructure is not None else "its substructure, which it does not name"
        return (Flag("position", "caution", f"No boring belongs to {of}; another is taken.", source),)
    if site.site.borings_by == "envelope" and not within and shaft.boring is None and len(site.borings) > 1:
        return (Flag("far", "caution", f"No boring lies within {mark(site.site.radius_m or 0.0, 'm')}; the nearest is taken.", source),)
    return ()


def _side(level_m: float) -> str:
    return "above" if level_m > 0 else "below"


def _cite(limit: Limit) -> Citation:
    return Citation(limit.source, limit.where)
