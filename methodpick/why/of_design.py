"""What designer and contractor may choose otherwise: diameter, tip, drilling grade."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.ground.shaft import Shaft
from methodpick.ground.site import DrillingGrade, Site
from methodpick.plan.plan_context import PlanContext
from methodpick.why.lever import Lever, lever


def design_levers(shop: PlanContext, depth_m: float) -> Iterator[Lever]:
    """Return the levers of the design; the tip stays below ``depth_m``."""
    shaft = shop.gatherer.frame.shaft
    made = (_diameter(shaft), _tip(shop, shaft, depth_m), _grade(shop))
    yield from (one for one in made if one is not None)


def with_shaft(site: Site, name: str, **update: object) -> Site:
    """Return the site with one shaft changed."""
    shafts = tuple(one.model_copy(update=update) if one.id == name else one for one in site.shafts)
    return site.model_copy(update={"shafts": shafts})


def _diameter(shaft: Shaft) -> Lever | None:
    least = max(0.3, shaft.diameter_m / 2, (shaft.cage_diameter_m or 0.0) + 0.15, shaft.socket_diameter_m or 0.0)
    most = min(4.0, 2 * shaft.diameter_m, (shaft.bell.diameter_m - 0.1) if shaft.bell else 4.0)
    return lever(
        "diameter",
        "the diameter",
        "m",
        (min(least, shaft.diameter_m), max(most, shaft.diameter_m)),
        0.0254,
        lambda site, value: with_shaft(site, shaft.id, diameter_m=value),
        now=shaft.diameter_m,
        design=True,
    )


def _tip(shop: PlanContext, shaft: Shaft, depth_m: float) -> Lever | None:
    """Return the tip, up to four tenths higher or deeper, no deeper than the boring speaks for."""
    end = max(shop.gatherer.frame.profile.end_m, shaft.tip_m)
    least = max(depth_m + 0.3, shaft.cutoff_m + 0.3, (shaft.socket_top_m or 0.0) + 0.3, 0.6 * shaft.tip_m)
    return lever(
        "tip",
        "the tip",
        "m",
        (min(least, shaft.tip_m), min(end, 1.4 * shaft.tip_m)),
        0.05,
        lambda site, value: with_shaft(site, shaft.id, tip_m=value),
        now=shaft.tip_m,
        design=True,
    )


def _grade(shop: PlanContext) -> Lever | None:
    """Return the drilling grade: higher, so that the fluid can stand higher, or lower on a built platform."""
    now = -shop.levels.grade_m
    over_water = shop.site.site.setting == "water"

    def change(site: Site, value: float) -> Site:
        grade = DrillingGrade(above_ground_m=value)
        return site.model_copy(update={"site": site.site.model_copy(update={"drilling_grade": grade})})

    return lever(
        "drilling_grade",
        "the drilling grade above the " + ("mudline" if over_water else "ground"),
        "m",
        (now if over_water else min(now, 0.0), now + 3.0),
        0.05,
        change,
        now=now,
        design=True,
    )
