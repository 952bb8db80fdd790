"""What the boring said, as the report draws it."""

from __future__ import annotations

from methodpick.facts.gather import Gatherer
from methodpick.ground.profile import Spt
from methodpick.plan.concrete.hole import bell_height
from methodpick.plan.fluid.levels import Levels
from methodpick.plan.result import Design, Log, LogLayer, LogWater


def log_of(gatherer: Gatherer) -> Log:
    """Return layers, tests and water of the boring for the strip."""
    profile = gatherer.frame.profile
    layers = tuple(
        LogLayer(one.top_m, one.base_m, one.likely or "unknown", one.layer.description, one.layer.symbol or "")
        for one in gatherer.strata
        if one.logged
    )
    tests = [(test.depth_m, count(test)) for test in profile.spt]
    for one in gatherer.strata:
        share = one.layer.thickness_m / (len(one.layer.n) + 1) if one.layer.n else 0.0
        tests += [(round(one.top_m + share * (index + 1), 3), str(n)) for index, n in enumerate(one.layer.n)]
    water = tuple(
        LogWater(one.level_m.high, one.level_m.likely, one.level_m.low, one.top_m, one.base_m, one.kind, one.source)
        for one in gatherer.aquifers
        if one.read or one.kind != "main"
    )
    return Log(
        layers,
        tuple(sorted(tests)),
        water,
        profile.end_m,
        profile.ground_elevation_m,
        profile.technique,
        profile.cave_in_depth_m,
        tuple((remark.depth_m, remark.text) for remark in profile.remarks),
    )


def design_of(gatherer: Gatherer, levels: Levels) -> Design:
    """Return what the drawings say of the shaft; a socket without a diameter of its own has that of the shaft."""
    shaft, site = gatherer.frame.shaft, gatherer.frame.site
    socket = None if shaft.socket_top_m is None else shaft.socket_diameter_m or shaft.diameter_m
    place = shaft.position
    return Design(
        shaft.socket_top_m,
        socket,
        None if shaft.bell is None else shaft.bell.diameter_m,
        None if shaft.bell is None else bell_height(shaft.bell, shaft.diameter_m, gatherer.frame.limits["bell_height_share"]),
        shaft.cage_diameter_m,
        None if place is None else place.east_m,
        None if place is None else place.north_m,
        levels.grade_m,
        site.water_depth_m if site.setting == "water" else None,
    )


def count(test: Spt) -> str:
    """Write a penetration test as the log does: a count, blows over a length at refusal, WOH."""
    if test.weight_of_hammer:
        return "WOH"
    if test.refusal and test.penetration_m is not None:
        return f"{test.n}/{test.penetration_m * 1000:.0f}mm"
    return str(test.n) if test.n is not None else "-"
