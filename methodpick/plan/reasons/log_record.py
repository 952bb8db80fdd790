"""What the boring and the drawings said, as the report shows it."""

from __future__ import annotations

from methodpick.ground.profile import Profile, Spt
from methodpick.plan.concrete.hole import bell_height
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.result import Design, Log, LogLayer, LogWater


def log_of(ground: JudgedGround) -> Log:
    """Return layers, tests and water of the boring for the strip."""
    profile = ground.profile
    return Log(
        layers=tuple(
            LogLayer(
                top_m=stratum.top_m,
                base_m=stratum.base_m,
                soil_class=stratum.likely or "unknown",
                description=stratum.layer.description,
                symbol=stratum.layer.symbol or "",
            )
            for stratum in ground.strata
            if stratum.logged
        ),
        spt=_counts(ground, profile),
        water=tuple(
            LogWater(
                low_m=aquifer.level_m.high,
                likely_m=aquifer.level_m.likely,
                high_m=aquifer.level_m.low,
                aquifer_top_m=aquifer.top_m,
                aquifer_base_m=aquifer.base_m,
                kind=aquifer.kind,
                source=aquifer.source,
            )
            for aquifer in ground.aquifers
            if aquifer.kind != "covered" and (aquifer.read or aquifer.kind != "main")
        ),
        end_m=profile.end_m,
        ground_elevation_m=profile.ground_elevation_m,
        technique=profile.technique,
        cave_in_depth_m=profile.cave_in_depth_m,
        remarks=tuple((remark.depth_m, remark.text) for remark in profile.remarks),
    )


def _counts(ground: JudgedGround, profile: Profile) -> tuple[tuple[float, str], ...]:
    """Return the penetration tests by depth; those given on a layer stand at even distances in it."""
    counts = [(test.depth_m, count_text(test)) for test in profile.spt]
    for stratum in ground.strata:
        step = stratum.layer.thickness_m / (len(stratum.layer.n) + 1) if stratum.layer.n else 0.0
        counts += [(round(stratum.top_m + step * (index + 1), 3), str(n)) for index, n in enumerate(stratum.layer.n)]
    return tuple(sorted(counts))


def count_text(test: Spt) -> str:
    """Write a penetration test as the log does: a count, blows over a length at refusal, WOH."""
    if test.weight_of_hammer:
        return "WOH"
    if test.refusal and test.penetration_m is not None:
        return f"{test.n}/{test.penetration_m * 1000:.0f}mm"
    return str(test.n) if test.n is not None else "-"


def design_of(ground: JudgedGround, grade_m: float) -> Design:
    """Return what the drawings say of the shaft; a socket without a diameter of its own has that of the shaft."""
    shaft, site = ground.shaft, ground.site
    return Design(
        socket_top_m=shaft.socket_top_m,
        socket_diameter_m=None if shaft.socket_top_m is None else shaft.socket_diameter_m or shaft.diameter_m,
        bell_diameter_m=None if shaft.bell is None else shaft.bell.diameter_m,
        bell_height_m=None if shaft.bell is None else bell_height(shaft.bell, shaft.diameter_m, ground.limits["bell_height_share"]),
        cage_diameter_m=shaft.cage_diameter_m,
        east_m=None if shaft.position is None else shaft.position.east_m,
        north_m=None if shaft.position is None else shaft.position.north_m,
        grade_m=grade_m,
        water_depth_m=site.water_depth_m if site.setting == "water" else None,
    )
