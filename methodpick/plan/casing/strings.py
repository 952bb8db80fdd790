"""From a path to its casings: starter and strings with sizes, seats and how they come into the ground."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

from methodpick.facts.gather import Gatherer
from methodpick.ground.site import Site
from methodpick.mechanics.stress import hydrostatic
from methodpick.plan.casing.seating import seat_of, stick_up_reason, wall_reason
from methodpick.plan.casing.sizes import Size, mass, sections, starter_size, string_sizes
from methodpick.plan.fluid.levels import Levels
from methodpick.plan.result import Casing
from methodpick.plan.sequence.path import Path, Segment
from methodpick.terms import CASING_WAYS
from methodpick.unit_markup import mark

INSTALLED = {"twisted": "twisted in by the rig", "vibrated": "vibrated in", "driven": "driven", "oscillated": "oscillated or rotated in"}


def make_casings(site: Site, gatherer: Gatherer, path: Path | None, levels: Levels, limits: Mapping[str, float]) -> tuple[Casing, ...]:
    """Return the starter (where there is one) and the strings of a path, outermost first."""
    strings = path.strings if path is not None else ()
    pressures = [_emptied(gatherer, one, path, limits) for one in strings]
    ways = [one.way if one.casing == "advanced" else None for one in strings]
    sizes = string_sizes(site, gatherer.frame.shaft, len(strings), pressures, ways, limits)
    casings: list[Casing] = []
    around: Size | None = None
    if levels.starter_base_m > 0:
        around = starter_size(sizes[0].outside_m if sizes else gatherer.frame.shaft.diameter_m, limits)
        casings.append(_starter(gatherer, around, levels, limits))
    passing = [f"the {mark(one.outside_m, 'size')} casing in it" for one in sizes[1:]]
    passing.append(f"the {mark(_below(gatherer), 'size')} tool below it")
    for segment, size, pressure, way, passes in zip(strings, sizes, pressures, ways, passing, strict=False):
        made = _string(gatherer, segment, size, around, levels, limits)
        made = replace(made, why=f"{made.why} Its inside, {mark(size.inside_m, 'size')}, lets {passes} pass.")
        casings.append(
            replace(
                made,
                wall_by=wall_reason(size, pressure, limits, way=way),
                embedment=seat_of(gatherer, made, limits, emptied=_bailed(segment, path)),
            )
        )
        around = size
    return tuple(casings)


def _below(gatherer: Gatherer) -> float:
    """Return the tool that drills below the innermost casing; where the casing's outside is drawn, the socket's or the shaft's."""
    shaft = gatherer.frame.shaft
    return shaft.socket_diameter_m or shaft.diameter_m if shaft.diameter_is == "casing_outside" else shaft.diameter_m


def _bailed(segment: Segment, path: Path | None) -> bool:
    """Return whether a string is emptied after its seal: what follows is dug dry."""
    if path is None:
        return False
    place = path.segments.index(segment)
    return place + 1 < len(path.segments) and path.segments[place + 1].runs[0].state == "dry"


def _emptied(gatherer: Gatherer, segment: Segment, path: Path | None, limits: Mapping[str, float]) -> float:
    """Return the outside pressure on a string that is bailed after its seal; none where it stays full."""
    if not _bailed(segment, path):
        return 0.0
    worst = 0.0
    for aquifer in gatherer.aquifers:
        level = aquifer.level_m.low
        if aquifer.top_m < segment.base_m and level < segment.base_m:
            bottom = segment.base_m if aquifer.kind == "main" else min(aquifer.base_m, segment.base_m)
            worst = max(worst, hydrostatic(bottom - level))
    clay = [
        curve
        for ground in gatherer.grounds
        if ground.su is not None
        and ground.top_m < segment.base_m
        and (curve := gatherer.curves.overload(ground, min(ground.base_m, segment.base_m), None)) is not None
    ]
    soft = any((curve[1] or 0.0) > limits["squeeze_overload"] for curve in clay)
    return max(worst, limits["squeeze_share"] * gatherer.curves.total(segment.base_m)[1] if soft else 0.0)


def _starter(gatherer: Gatherer, size: Size, levels: Levels, limits: Mapping[str, float]) -> Casing:
    length = levels.starter_base_m - levels.casing_top_m
    return Casing(
        "starter",
        size.outside_m,
        size.wall_m,
        levels.casing_top_m,
        levels.starter_base_m,
        length,
        mass(size, length),
        "set in a predrilled hole or pushed in",
        levels.starter_base_m,
        size.outside_m,
        0.0,
        "no",
        _layer(gatherer, levels.starter_base_m),
        "It holds the loose top, guides the tool, keeps people from the edge and, where fluid is used, carries its level.",
        wall_by=wall_reason(size, 0.0, limits, way=None),
        sections_m=sections(length, limits),
        stick_up_m=levels.stick_up_m,
        stick_up_why=stick_up_reason(levels, limits),
    )


def _string(gatherer: Gatherer, segment: Segment, size: Size, around: Size | None, levels: Levels, limits: Mapping[str, float]) -> Casing:
    top = levels.casing_top_m
    length = segment.base_m - top
    advanced = min(max(segment.base_m - segment.ahead_m, 0.0), segment.base_m)
    if segment.casing == "advanced" and segment.way is not None:
        how = INSTALLED[segment.way] + " ahead of the excavation"
        predrill = segment.ahead_m if segment.ahead_m > segment.top_m + 1e-6 else segment.top_m
    else:
        how = "set in the drilled hole, the last length pushed or twisted in"
        predrill = segment.ahead_m
    hole = size.outside_m + limits["predrill_oversize_m"]
    if around is not None:
        hole = max(size.outside_m, min(hole, around.inside_m))
    return Casing(
        "permanent" if segment.keep else "temporary",
        size.outside_m,
        size.wall_m,
        top,
        segment.base_m,
        length,
        mass(size, length),
        how,
        round(predrill, 3),
        round(hole, 4),
        round(advanced, 3),
        _seal(segment.sealed),
        _layer(gatherer, segment.base_m),
        _why(gatherer, segment),
        sections_m=sections(length, limits, size.piece_m),
        step_m=None if around is None else round(around.outside_m - size.outside_m, 4),
        stick_up_m=levels.stick_up_m,
        stick_up_why=stick_up_reason(levels, limits),
        from_yard=size.piece_m is not None,
        wider_m=round(size.wider_m, 4),
        way=next((way for way in CASING_WAYS if way == segment.way), None) if segment.casing == "advanced" else None,
    )


def _seal(word: str) -> Literal["yes", "probable", "no"]:
    return "yes" if word == "yes" else "probable" if word == "probable" else "no"


def _layer(gatherer: Gatherer, depth_m: float) -> str:
    for stratum in gatherer.strata:
        if depth_m <= stratum.base_m + 1e-6:
            return stratum.layer.description or stratum.layer.symbol or "no data"
    return "no data"


def _why(gatherer: Gatherer, segment: Segment) -> str:
    layer = _layer(gatherer, segment.base_m)
    into = f"{mark(segment.embedment_m, 'm')} into: {layer}"
    if segment.sealed == "yes":
        return f"The shoe stands {into}. That layer is tight enough to seal; a bail test proves it."
    if segment.sealed == "probable":
        return f"The shoe stands {into}. The seal is probable only: do the bail test, and refill at once if it fails."
    if segment.base_m >= gatherer.frame.shaft.tip_m - 1e-6:
        return "The casing goes to the tip; nothing below seals it, so the hole stays full to the concrete."
    return f"The shoe stands {into}. It does not seal; the hole is never emptied below it."
