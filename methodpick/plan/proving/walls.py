"""The proofs of a wall that is opened wider than the shaft: the facts of a slice hold for the shaft's own diameter.

For a hole as wide as the shaft the rules decide, and their checks stand among those of the slices.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.record import governing
from methodpick.plan.checks.wall_cohesion import WallCohesionFacts, check_wall_cohesion
from methodpick.plan.checks.wall_overload import WallOverloadFacts, check_wall_overload
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer
from methodpick.plan.result import Casing, Stage
from methodpick.plan.result.checks import Check
from methodpick.terms import COHESIVE, GRANULAR, OPEN_STATES
from methodpick.vocabulary.values import YES, Span


def prove_wide_walls(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of the wall of every open hole that is predrilled wider than the shaft, for a casing that is set in it later."""
    for stage in way.opening_stages():
        casing = _predrilled_for(way, stage)
        if casing is None or casing.predrill_diameter_m is None or casing.predrill_diameter_m <= ground.shaft.diameter_m + TOUCH_M:
            continue
        found: dict[str, list[Check]] = {}
        for piece in ground.slices(stage.top_m, stage.base_m):
            for check in _of_slice(ground, piece, stage, casing.predrill_diameter_m):
                found.setdefault(check.id, []).append(check)
        for checks in found.values():
            yield replace(governing(checks), stage=stage.no)


def _predrilled_for(way: BuiltWay, stage: Stage) -> Casing | None:
    """Return the casing that a stage drills the open hole for: the first string below its top that stands in a predrilled hole."""
    if stage.action != "drill" or stage.state not in OPEN_STATES:
        return None
    for casing in way.strings:
        if casing.base_m > stage.top_m + TOUCH_M:
            return casing if casing.predrill_base_m >= stage.base_m - TOUCH_M else None
    return None


def _of_slice(ground: GroundFacts, piece: JudgedSlice, stage: Stage, diameter_m: float) -> Iterator[Check]:
    if not piece.logged:
        return
    depth = min(piece.slice.base_m, stage.base_m)
    place = ProvedPlace(None, max(stage.top_m, piece.slice.top_m), depth)  # the stages of other ways share the proof
    below, likely = piece.slice.ground, piece.slice.stratum.likely
    dry = stage.state == "dry"
    if likely in COHESIVE:
        limits = ground.limits
        facts = WallOverloadFacts(
            place=place,
            depth_m=depth,
            diameter_m=diameter_m,
            total_kpa=ground.total_kpa(depth),
            surcharge_kpa=ground.surcharge_kpa(depth),
            inside_kpa=ground.inside_kpa(stage.state, stage.fluid, depth),
            su_kpa=below.su,
            fissured=answer(piece, "fissured"),
            rigidity=Span(limits["rigidity_low"].value, limits["rigidity_high"].value, limits["rigidity_likely"].value),
            dry=dry,
        )
        yield from ground.prove(check_wall_overload, facts)
    elif likely in GRANULAR and dry and YES not in answer(piece, "cemented").at_likely.values:
        yield from ground.prove(check_wall_cohesion, WallCohesionFacts(place, depth, diameter_m, below.cohesion, below.phi, below.weight))
