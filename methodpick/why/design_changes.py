"""What designer and contractor may choose otherwise: diameter, tip, drilling grade."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.ground.shaft import Shaft
from methodpick.ground.site import DrillingGrade, Site
from methodpick.plan.plan_context import PlanContext
from methodpick.why.input_change import CredibleRange, InputChange

DIAMETER_STEP_M = 0.0254
DEPTH_STEP_M = 0.05


def design_changes(context: PlanContext, depth_m: float) -> Iterator[InputChange]:
    """Return the changes of the design to try; the tip stays below ``depth_m``."""
    for change in (_diameter(context), _tip(context, depth_m), _drilling_grade(context)):
        if change.credible.has_steps:
            yield change


def _change_shaft(site: Site, name: str, **update: object) -> Site:
    shafts = tuple(shaft.model_copy(update=update) if shaft.id == name else shaft for shaft in site.shafts)
    return site.model_copy(update={"shafts": shafts})


def _diameter(context: PlanContext) -> InputChange:
    """Return the diameter: down to what cage and socket need, up to what a bell leaves."""
    shaft, limits = context.shaft, context.limits
    factor, most_m = limits["flip_diameter_factor"], limits["flip_diameter_most_m"]
    needed_m = max(_cage_needs_m(shaft, limits["flip_cage_room_m"]), shaft.socket_diameter_m or 0.0)
    low = max(limits["flip_diameter_least_m"], shaft.diameter_m / factor, needed_m)
    high = min(most_m, factor * shaft.diameter_m, (shaft.bell.diameter_m - limits["flip_bell_wider_m"]) if shaft.bell else most_m)
    return InputChange(
        "diameter",
        "the diameter",
        CredibleRange(min(low, shaft.diameter_m), max(high, shaft.diameter_m), step=DIAMETER_STEP_M, unit="m", now=shaft.diameter_m),
        lambda site, value: _change_shaft(site, shaft.id, diameter_m=value),
        by_design=True,
    )


def _cage_needs_m(shaft: Shaft, room_m: float) -> float:
    return (shaft.cage_diameter_m or 0.0) + room_m


def _tip(context: PlanContext, depth_m: float) -> InputChange:
    """Return the tip: higher or deeper by a share of its depth, no deeper than the boring speaks for."""
    shaft, limits = context.shaft, context.limits
    share, below_m = limits["flip_tip_share"], limits["flip_tip_below_m"]
    end = max(context.ground.profile.end_m, shaft.tip_m)
    low = max(depth_m + below_m, shaft.cutoff_m + below_m, (shaft.socket_top_m or 0.0) + below_m, (1 - share) * shaft.tip_m)
    return InputChange(
        "tip",
        "the tip",
        CredibleRange(min(low, shaft.tip_m), min(end, (1 + share) * shaft.tip_m), step=DEPTH_STEP_M, unit="m", now=shaft.tip_m),
        lambda site, value: _change_shaft(site, shaft.id, tip_m=value),
        by_design=True,
    )


def _drilling_grade(context: PlanContext) -> InputChange:
    """Return the drilling grade: higher, so that the fluid can stand higher, or lower on a built platform."""
    now = -context.levels.grade_m
    over_water = context.ground.site.setting == "water"

    def change(site: Site, value: float) -> Site:
        grade = DrillingGrade(above_ground_m=value)
        return site.model_copy(update={"site": site.site.model_copy(update={"drilling_grade": grade})})

    low = now if over_water else min(now, 0.0)
    return InputChange(
        "drilling_grade",
        "the drilling grade above the " + ("mudline" if over_water else "ground"),
        CredibleRange(low, now + context.limits["flip_grade_higher_m"], step=DEPTH_STEP_M, unit="m", now=now),
        change,
        by_design=True,
    )
