"""Coherence of a site: what in borings and shafts does not fit together. Doubts, never a refusal."""

from __future__ import annotations

import re

from methodpick.ground.check_boring import check_profile
from methodpick.ground.doubt import SITE, Doubt, Doubts, Subject, WriteNumber, say_kilopascals, say_metres
from methodpick.ground.fitted_boring import at_shaft, level_difference, tile
from methodpick.ground.layer_parts import at_named_depths
from methodpick.ground.position import is_coarse
from methodpick.ground.profile import CLAYS_FROM, SANDS_BELOW, Layer, Profile, usual_index
from methodpick.ground.site import Shaft, Site
from methodpick.patterns import pattern_of
from methodpick.terms import GRANULAR, ROCK_LIKE

# ---- a boring and the cone test beside it: words of a layer against how the ground behaves as the cone passes


_COARSE = GRANULAR - {"silt", "silty_sand"}
"""Sand and gravel that no cone takes for clay; silty sand may behave as silt."""


def check_cone(profile: Profile, doubts: Doubts) -> None:
    """Check every layer with enough readings; those of ground that nobody described are told."""
    if not profile.cone:
        return
    for layer in at_named_depths(profile).layers:
        here = [reading for reading in profile.cone if layer.top_m <= reading.depth_m < layer.base_m]
        index = usual_index(here)
        if index is not None:
            _check_layer(layer, index, doubts)
    outside = [reading for reading in profile.cone if not any(layer.top_m <= reading.depth_m < layer.base_m for layer in profile.layers)]
    if outside:
        doubts.doubt(outside[0].depth_m, "a cone was read where no layer is described", "nothing is made of it: a cone brings up no ground")


def _check_layer(layer: Layer, index: float, doubts: Doubts) -> None:
    likely = layer.described.likely
    if likely == "clay" and index < SANDS_BELOW:
        message = f"described as clay, but the cone behaves as in sand (index {index:.2f}, sand below {SANDS_BELOW:g})"
        doubts.doubt(layer.top_m, message, "the words are followed, and no strength is read off the cone there; look at the samples")
    elif likely in _COARSE and index >= CLAYS_FROM:
        message = f"described as {likely.replace('_', ' ')}, but the cone behaves as in clay (index {index:.2f}, clay from {CLAYS_FROM:g})"
        doubts.doubt(layer.top_m, message, "the words are followed; look at the samples")


# ---- the site


BELOW_TIP_DIAMETERS = 2.0
"""Depth of a boring below the tip, in diameters, that lets one speak of the ground under it (common practice)."""
FAR_M = 60.0
"""Distance from its boring beyond which the ground of a shaft is a guess (own value; a boring a shaft is common practice)."""
ROUGH_M = 30.0
"""How far apart two places may be whose latitude and longitude agree in whole seconds: 30.9 m along a meridian."""
LEVEL_TOLERANCE_M = 0.3
GRADE_USUAL_M = 15.0
"""A drilling grade on land that lies farther above or below the ground is taken for a slip (common practice, no source)."""
FEET_IN_A_METRE = 3.28
SLACK_M = 0.005


def check(site: Site, say_m: WriteNumber = say_metres, say_kpa: WriteNumber = say_kilopascals) -> list[Doubt]:
    """Return all doubts about a site: each boring, then each shaft against its boring, then the plant and the water.

    ``say_m`` and ``say_kpa`` write a length and a stress in the user's units.
    """
    over_water = site.site.setting == "water"
    found = [doubt for boring in site.borings for doubt in check_profile(boring, over_water, say_m, say_kpa)]
    for boring in site.borings:
        doubts = Doubts(Subject("boring", boring.id), say_m, say_kpa)
        check_cone(boring, doubts)
        found += doubts.found
    for shaft in site.shafts:
        found += _check_shaft(site, shaft, say_m)
    return found + _check_places(site, say_m) + _check_surroundings(site, say_m)


def boring_of(site: Site, shaft: Shaft) -> Profile | None:
    """Return the boring that a shaft names, or the only one there is; None where it is open."""
    if shaft.boring is None:
        return site.borings[0] if len(site.borings) == 1 else None
    return next((boring for boring in site.borings if boring.id == shaft.boring), None)


def _check_shaft(site: Site, shaft: Shaft, say_m: WriteNumber) -> list[Doubt]:
    doubts = Doubts(Subject("shaft", shaft.id), say_m)
    boring = boring_of(site, shaft)
    if boring is not None:
        here = boring if site.site.setting == "water" else at_shaft(boring, shaft, 0.0)
        _check_reach(shaft, here, doubts)
        _check_heights(site, shaft, boring, doubts)
        _check_socket(shaft, here, doubts)
    elif shaft.position is None or any(each.position is None for each in site.borings if each.layers):
        doubts.serious(None, "it names no boring, and positions are missing to find the nearest", "name its boring")
    nearest = boring or _nearest(site, shaft)
    if nearest is not None:
        _check_distance(shaft, nearest, doubts)
        if boring is None:
            _check_passed_over(site, shaft, nearest, doubts)
            _check_reach(shaft, nearest if site.site.setting == "water" else at_shaft(nearest, shaft, 0.0), doubts)
    _check_sizes(site, shaft, doubts)
    _check_name(shaft, doubts)
    return doubts.found


_SEVERAL = pattern_of(
    r"\s*([A-Za-z][\w ]*?)\s*(\d+)\s*(?:-|\N{EN DASH}|\.\.\.?|to|thru|through)\s*\1\s*(\d+)\s*|"
    r"\s*\S+\s+(?:to|thru|through|and)\s+\S+\s*|\s*\S+\s*(?:,|&)\s*\S+.*",
    re.IGNORECASE,
)
"""Names of several shafts in one: P1-P4, P5 thru P8, P9 and P10, P9, P10."""


def _check_name(shaft: Shaft, doubts: Doubts) -> None:
    """Doubt a name that stands for several shafts where they are counted as one."""
    if shaft.count == 1 and _SEVERAL.fullmatch(shaft.id):
        doubts.doubt(None, "its name may be that of several shafts, and it counts as one", "give its count, or a row to each shaft")


def _nearest(site: Site, shaft: Shaft) -> Profile | None:
    """Return the boring that stands nearest to a shaft without one of its own, None where positions are missing."""
    borings = [boring for boring in site.borings if boring.layers] or list(site.borings)
    distances = {boring.id: distance for boring in borings if (distance := shaft.away_m(boring)) is not None}
    if not distances or len(distances) < len(borings):
        return None
    return min(borings, key=lambda boring: distances[boring.id])


def _check_passed_over(site: Site, shaft: Shaft, nearest: Profile, doubts: Doubts) -> None:
    """Name the hole that stands nearer than the nearest boring with layers: nobody described what is in it."""
    away_m = shaft.away_m(nearest)
    for hole in site.borings:
        nearer_m = shaft.away_m(hole)
        if not hole.layers and away_m is not None and nearer_m is not None and nearer_m < away_m:
            message = f"hole {hole.id} stands nearer than boring {nearest.id}, and no layer of it is described"
            doubts.doubt(None, message, "it is passed over; ask for its log, or hold what it tested against the boring")
            return


def _check_distance(shaft: Shaft, boring: Profile, doubts: Doubts) -> None:
    away_m = shaft.away_m(boring)
    if away_m is not None and away_m > FAR_M:
        message = f"boring {boring.id}, which decides its ground, stands {doubts.say_m(away_m)} away"
        doubts.doubt(None, message, "the ground between them is not known; check the positions, or ask for a boring at the shaft")


def _check_reach(shaft: Shaft, boring: Profile, doubts: Doubts) -> None:
    say_m, end_m, tip_m = doubts.say_m, boring.end_m, shaft.tip_m
    wanted_m = tip_m + BELOW_TIP_DIAMETERS * shaft.diameter_m
    if end_m < tip_m - SLACK_M:
        message = f"the tip is below boring {boring.id}, which ends at {say_m(end_m)}"
        level_m = shaft.ground_elevation_m if shaft.ground_elevation_m is not None else boring.ground_elevation_m
        if level_m is not None and 0 < level_m - tip_m <= end_m:
            depth = say_m(level_m - tip_m)
            remedy = f"if {say_m(tip_m)} is an elevation, write the depth below the ground, {depth}; else ask for a deeper boring"
        else:
            remedy = "nothing is claimed below the boring; ask for a deeper one"
        doubts.serious(tip_m, message, remedy)
    elif end_m < wanted_m - SLACK_M:
        message = f"boring {boring.id} ends {say_m(end_m - tip_m)} below the tip, less than two diameters"
        doubts.doubt(tip_m, message, f"water or weak ground below it is not known; ask for a boring to {say_m(wanted_m)}")
    cave_m = boring.cave_in_depth_m
    if cave_m is not None and cave_m < tip_m:
        message = f"boring {boring.id} caved in at {say_m(cave_m)}, above the tip"
        doubts.doubt(cave_m, message, "readings below that are in doubt, and so is an open hole")


def _check_heights(site: Site, shaft: Shaft, boring: Profile, doubts: Doubts) -> None:
    say_m, there_m, by_m = doubts.say_m, boring.ground_elevation_m, level_difference(boring, shaft)
    if by_m is not None and abs(by_m) > LEVEL_TOLERANCE_M:
        side = "above" if by_m > 0 else "below"
        message = f"the ground at the shaft is {say_m(abs(by_m))} {side} the ground at boring {boring.id}"
        over_water = site.site.setting == "water"
        action = "check which way they were given" if over_water else "its layers are set over by elevation, so check both levels"
        doubts.doubt(None, message, f"depths of the boring are not depths of the shaft; {action}")
    grade = site.site.drilling_grade
    if grade is not None and grade.elevation_m is not None and there_m is None:
        doubts.doubt(None, f"the drilling grade is an elevation, but boring {boring.id} has none", "give its ground elevation")
    elif grade is not None and grade.elevation_m is not None and there_m is not None and site.site.setting == "land":
        _check_grade(grade.elevation_m - there_m, abs(grade.elevation_m), abs(there_m), doubts)
    if shaft.ground_elevation_m is not None and there_m is not None and by_m is not None and abs(by_m) > GRADE_USUAL_M:
        _check_units(abs(shaft.ground_elevation_m), abs(there_m), f"the ground elevations of the shaft and of boring {boring.id}", doubts)


def _check_grade(above_m: float, elevation_m: float | None, ground_m: float | None, doubts: Doubts) -> None:
    """Check that a drilling grade on land lies where a rig can stand."""
    if abs(above_m) <= GRADE_USUAL_M:
        return
    side = "above" if above_m > 0 else "below"
    message = f"the drilling grade is said to lie {doubts.say_m(abs(above_m))} {side} the ground"
    if elevation_m is None or ground_m is None:
        action = "that may be an elevation: then write drilling_grade: {elevation: ...} and the ground elevation of the boring"
    else:
        action = "check both elevations and their datum"
        _check_units(elevation_m, ground_m, "drilling grade and ground", doubts)
    doubts.serious(None, message, action)


def _check_units(first_m: float, second_m: float, what: str, doubts: Doubts) -> None:
    """Doubt two elevations that are apart as feet and metres are."""
    less, more = sorted((first_m, second_m))
    if less > 0 and abs(more / less / FEET_IN_A_METRE - 1) < LEVEL_TOLERANCE_M / 2:
        doubts.serious(None, f"{what} differ as feet and metres do", "write both in one unit")


def _check_socket(shaft: Shaft, boring: Profile, doubts: Doubts) -> None:
    top_m = shaft.socket_top_m
    layer = None if top_m is None else next((layer for layer in tile(boring) if layer.top_m <= top_m < layer.base_m), None)
    if layer is None:
        return
    soils = layer.described.soils
    if soils and not soils & ROCK_LIKE:
        message = f"the socket starts in '{layer.description[:60]}', which is not rock"
        doubts.doubt(top_m, message, "check the socket top or the boring")


def _check_sizes(site: Site, shaft: Shaft, doubts: Doubts) -> None:
    cage_m, cover_m, largest_m = shaft.cage_diameter_m, shaft.cover_m, site.site.equipment.max_casing_m
    if cage_m is not None and cover_m is not None:
        room_m = min(shaft.diameter_m, shaft.socket_diameter_m or shaft.diameter_m)
        if cage_m + 2 * cover_m > room_m + SLACK_M:
            message = "cage and cover together are wider than the shaft or its socket"
            doubts.doubt(None, message, "check cage, cover and diameter with the designer")
    if largest_m is not None and largest_m < shaft.diameter_m:
        doubts.doubt(None, "the shaft is wider than the largest casing of the plant", "bring larger plant, or leave casing out")


def _check_places(site: Site, say_m: WriteNumber) -> list[Doubt]:
    """Doubt places that cannot be held against each other, and degrees that are too rough to tell which boring is near."""
    doubts = Doubts(SITE, say_m)
    named = [(f"boring {boring.id}", boring.position) for boring in site.borings if boring.position is not None]
    named += [(f"shaft {shaft.id}", shaft.position) for shaft in site.shafts if shaft.position is not None]
    in_grid, on_globe = ([what for what, place in named if getattr(place, kind) is None] for kind in ("degrees", "grid"))
    if in_grid and on_globe:
        message = f"{in_grid[0]} is placed in a grid, {on_globe[0]} by latitude and longitude"
        doubts.serious(None, message, "how far apart they are is not known, and the nearest is sought among the others; give both one kind")
    rough = [what for what, place in named if place.grid is None and is_coarse(place)]
    if rough:
        message = f"latitude and longitude of {rough[0]}{' and others' if len(rough) > 1 else ''} are whole seconds or four decimals"
        doubts.doubt(None, message, f"its place is known to some {say_m(ROUGH_M)}; give decimals of seconds, or a grid")
    return doubts.found


def _check_surroundings(site: Site, say_m: WriteNumber) -> list[Doubt]:
    doubts, conditions = Doubts(SITE, say_m), site.site
    grade, levels = conditions.drilling_grade, conditions.water_level
    height_m = None if grade is None else grade.above_ground_m
    high_m = (levels.high_m if levels is not None else None) or conditions.water_depth_m
    if conditions.setting == "water" and height_m is not None and high_m is not None and height_m <= high_m:
        message = f"the platform stands {say_m(height_m)} above the mudline, the high water {say_m(high_m)}"
        doubts.serious(None, message, "raise the platform")
    if conditions.setting == "land" and height_m is not None:
        _check_grade(height_m, None, None, doubts)
    if not site.shafts:
        doubts.note(None, "the file names no shaft", "add one under 'shafts', or give it on the command line")
    return doubts.found
