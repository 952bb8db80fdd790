"""The starter: the casing that stands first, how high it stands, and how it is sealed in the lid over water that rises above it."""

from __future__ import annotations

from methodpick.facts.strata import run_of_class
from methodpick.plan.casing.sizes import CasingSize, CasingUse, casing_mass, sections, wall_reason
from methodpick.plan.checks.emptied_seal import seal_length
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.result import Casing, HoleLevels
from methodpick.plan.sequence.path import TOLERANCE_M, Segment
from methodpick.terms import COHESIVE, STARTER, how_installed
from methodpick.unit_markup import mark

ABOVE_GRADE = "above the drilling grade"


def starter_casing(ground: JudgedGround, size: CasingSize, levels: HoleLevels, first: Segment | None) -> Casing:
    """Return the starter of a hole; ``first`` is the segment that ends with the first string below it, None without one."""
    pushed_m = _pushed_m(ground, size, levels, first)
    length = levels.starter_base_m - levels.casing_top_m
    return Casing(
        kind=STARTER,
        outside_diameter_m=size.outside_m,
        wall_m=size.wall_m,
        top_m=levels.casing_top_m,
        base_m=levels.starter_base_m,
        length_m=length,
        mass_kg=casing_mass(size, length),
        installed_by=how_installed(starter=True, way=None, pushed=pushed_m > 0),
        predrill_base_m=round(levels.starter_base_m - pushed_m, 3),
        predrill_diameter_m=size.outside_m,
        advanced_m=pushed_m,
        sealed="no",
        seat_layer=ground.layer_at(levels.starter_base_m),
        why="It holds the loose top, guides the tool, keeps people from the edge and, where fluid is used, carries its level.",
        wall_by=wall_reason(size, CasingUse(), ground.limits),
        sections_m=sections(length, ground.limits, size.piece_m),
        stick_up_m=levels.stick_up_m,
        stick_up_why=stick_up_reason(levels, ground.limits["stick_up_m"]),
        from_yard=size.piece_m is not None,
        wider_m=round(size.wider_m, 4),
    )


def _pushed_m(ground: JudgedGround, size: CasingSize, levels: HoleLevels, first: Segment | None) -> float:
    """Return the length in m by which a starter is pushed into undrilled clay: where it seals the lid over water that rises above it.

    It is that which the proof of its seat asks for, with the highest water, as far as the clay over its shoe and the push go. A string
    that is in the lid before it is pierced seals it in its place.
    """
    shoe_m, limits = levels.starter_base_m, ground.limits
    rising = [water for water in ground.aquifers if water.may_rise_over(levels.grade_m) and shoe_m < water.top_m < ground.shaft.tip_m]
    sealed_by_string = first is not None and any(first.base_m <= aquifer.top_m or first.casing == "advanced" for aquifer in rising)
    lid = next((stratum for stratum in ground.strata if shoe_m <= stratum.base_m + TOLERANCE_M), None)
    if not rising or sealed_by_string or lid is None or lid.likely not in COHESIVE:
        return 0.0
    head_m = max(levels.grade_m - aquifer.level_m.low for aquifer in rising)
    clay_m = shoe_m - max(run_of_class(ground.strata, shoe_m)[0], levels.floor_m)
    return round(min(seal_length(head_m, size.outside_m, limits), clay_m, limits["push_most_m"]), 3)


def stick_up_reason(levels: HoleLevels, edge_m: float) -> str:
    """Describe why the casing stands as high as it does: edge protection, ``edge_m`` high, or the level of the fluid in it."""
    stands = f"The casing stands {mark(levels.stick_up_m, 'm')} {ABOVE_GRADE}"
    edge = f"{mark(edge_m, 'm')} keeps people from the edge as a rail would"
    if levels.stick_up_m <= edge_m + 1e-6:
        return f"{stands}: {edge}; no fluid in it asks for more."
    text = f"{stands}, so that fluid in it can stand as high as the ground asks for; {edge}"
    if levels.head_missing_m > 0:
        text += f". {mark(levels.head_missing_m, 'm')} of head is still missing: raise the platform"
    return text + "."
