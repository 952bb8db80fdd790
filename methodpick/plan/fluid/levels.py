"""Fluid levels and stick-up: how high the fluid can and must stand, from the drilling grade and the heads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from methodpick.facts.curves import Inside
from methodpick.facts.gather import Gatherer
from methodpick.ground.profile import Profile
from methodpick.ground.site import SiteConditions
from methodpick.terms import GRANULAR

FLUIDS = ("water", "polymer", "mineral")
STEP_M = 0.05
"""Fluid levels and stick-ups are rounded up to this."""


@dataclass(frozen=True, slots=True)
class Levels:
    """Depths below the ground: the drilling grade (negative above it), the fluid level of each fluid, the stick-up."""

    grade_m: float
    fluid_m: Mapping[str, float]
    stick_up_m: float
    starter_base_m: float
    head_missing_m: float

    @property
    def casing_top_m(self) -> float:
        """Return the depth of the casing tops (negative above the ground)."""
        return self.grade_m - self.stick_up_m


def drilling_grade(site: SiteConditions, profile: Profile, limits: Mapping[str, float]) -> float:
    """Return the depth of the drilling grade below the ground, negative above it.

    Over water without a stated grade the platform stands 2 m over the highest water.
    """
    grade = site.drilling_grade
    if grade is not None and grade.above_ground_m is not None:
        return -grade.above_ground_m
    if grade is not None and grade.elevation_m is not None and profile.ground_elevation_m is not None:
        return profile.ground_elevation_m - grade.elevation_m
    if site.setting == "water":
        high = site.water_level.high_m if site.water_level and site.water_level.high_m is not None else 0.0
        return -(max(high, site.water_depth_m or 0.0) + limits["platform_above_water_m"])
    return 0.0


def find_levels(gatherer: Gatherer, limits: Mapping[str, float]) -> Levels:
    """Return the fluid levels that keep the head over every granular layer of the shaft, as far as the stick-up goes."""
    frame = gatherer.frame
    grade = drilling_grade(frame.site, frame.profile, limits)
    free = limits["freeboard_m"]
    highest = grade - limits["stick_up_max_m"] + free
    levels: dict[str, float] = {}
    missing = 0.0
    for fluid in FLUIDS:
        wanted = grade + free
        for stratum, ground in zip(gatherer.strata, gatherer.grounds, strict=True):
            if stratum.top_m < frame.shaft.tip_m and (stratum.soils & GRANULAR or ground.aquifer.kind != "main"):
                level = ground.aquifer.level_m
                if level.low < min(stratum.base_m, frame.shaft.tip_m):
                    head = level.likely if level.likely is not None else level.low
                    wanted = min(wanted, head - limits[f"fluid_head_{fluid}_m"])
        missing = max(missing, highest - wanted)
        levels[fluid] = round(max(wanted, highest) / STEP_M - 0.499) * STEP_M
    top = min(levels.values())
    stick_up = max(limits["stick_up_m"], grade - top + free)
    return Levels(
        grade,
        {fluid: round(level, 3) for fluid, level in levels.items()},
        round(stick_up, 3),
        starter_base(gatherer, limits, -top),
        max(0.0, round(missing, 3)),
    )


def starter_base(gatherer: Gatherer, limits: Mapping[str, float], fluid_above_m: float) -> float:
    """Return the depth of the starter casing: through loose top ground, 5 to 10 ft or one diameter; none on rock.

    Over water there is none either: a casing from the platform into the bottom is the first string.
    It stands at least as deep as its fluid stands above the ground, so that the fluid does not run out under it.
    """
    frame = gatherer.frame
    if frame.site.starter_casing is False or frame.site.setting == "water":
        return 0.0
    first = gatherer.strata[0]
    if first.logged and first.soils == {"rock"}:
        return 0.0
    least, most = limits["starter_min_m"], limits["starter_max_m"]
    length = min(max(least, frame.shaft.diameter_m, fluid_above_m), most)
    for stratum in gatherer.strata:
        loose = bool(stratum.soils & GRANULAR) or stratum.layer.origin == "fill" or stratum.words.origin == "fill"
        if not loose:
            if length < stratum.top_m + 0.5 <= most:
                length = stratum.top_m + 0.5
            break
        if stratum.base_m > most:
            length = max(length, most if frame.shaft.tip_m > 2 * most else length)
            break
    return round(min(length, frame.shaft.tip_m / 2), 3)


def insides(levels: Levels, limits: Mapping[str, float]) -> dict[str, Inside | None]:
    """Return what stands inside the hole in every state."""
    water = Inside(limits["water_density_kg_m3"], levels.fluid_m["water"])
    return {
        "dry": None,
        "water": water,
        "polymer": Inside(limits["polymer_density_kg_m3"], levels.fluid_m["polymer"]),
        "mineral": Inside(limits["mineral_density_kg_m3"], levels.fluid_m["mineral"]),
        "cased_dry": None,
        "cased_balanced": water,
        "cased_plug": water,
    }
