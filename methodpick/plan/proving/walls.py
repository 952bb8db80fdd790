"""The proofs of a wall that is opened for a casing: wider than the shaft, for which the facts of a slice hold, or in clean dry sand.

For a hole as wide as the shaft the rules decide, and their checks stand among those of the slices.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby

from methodpick.plan.checks.dry_sand import PredrilledSandFacts, check_predrilled_sand
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
from methodpick.vocabulary.values import YES, point

CLEAN_SAND = frozenset({"clean_sand", "clean_gravel"})
"""Soil without fines, which runs when it is dry."""


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


def prove_predrilled_sand(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of clean sand that is drilled open dry for a casing, of every run of it in a stage."""
    for stage in way.opening_stages():
        if stage.state != "dry" or _predrilled_for(way, stage) is None:
            continue
        for clean, run in groupby(ground.slices(stage.top_m, stage.base_m), key=_is_clean_sand):
            pieces = list(run)
            if clean:
                top, base = max(stage.top_m, pieces[0].slice.top_m), min(stage.base_m, pieces[-1].slice.base_m)
                cohesion = [piece.slice.ground.cohesion or point(0.0) for piece in pieces]
                facts = PredrilledSandFacts(ProvedPlace(stage.no, top, base), base - top, min(cohesion, key=lambda span: span.low))
                yield from ground.prove(check_predrilled_sand, facts)


def _is_clean_sand(piece: JudgedSlice) -> bool:
    """Return whether a slice is likely clean sand or gravel that nothing cements."""
    return piece.slice.stratum.likely in CLEAN_SAND and YES not in answer(piece, "cemented").at_likely.values


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
        facts = WallOverloadFacts(
            place=place,
            depth_m=depth,
            diameter_m=diameter_m,
            total_kpa=ground.total_kpa(depth),
            surcharge_kpa=ground.surcharge_kpa(depth),
            inside_kpa=ground.inside_kpa(stage.state, stage.fluid, depth),
            su_kpa=below.su,
            fissured=answer(piece, "fissured"),
            rigidity=ground.gatherer.curves.loading.clay.rigidity,
            dry=dry,
        )
        yield from ground.prove(check_wall_overload, facts)
    elif likely in GRANULAR and dry and YES not in answer(piece, "cemented").at_likely.values:
        yield from ground.prove(check_wall_cohesion, WallCohesionFacts(place, depth, diameter_m, below.cohesion, below.phi, below.weight))
