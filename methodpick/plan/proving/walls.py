"""The proofs of the ground beside the work: walls wider than the shaft, water above the ground, bare ground beside concrete.

For a hole as wide as the shaft the rules decide, and their checks stand among those of the slices.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby

from methodpick.facts.aquifer import Aquifer
from methodpick.mechanics.concrete import concrete_pressure
from methodpick.plan.checks.artesian import ArtesianFacts, check_artesian
from methodpick.plan.checks.bare_ground import BareGroundFacts, check_bare_ground
from methodpick.plan.checks.dry_sand import PredrilledSandFacts, check_predrilled_sand
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.record import governing
from methodpick.plan.checks.wall_cohesion import WallCohesionFacts, check_wall_cohesion
from methodpick.plan.checks.wall_overload import WallOverloadFacts, check_wall_overload
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer, number, su_of
from methodpick.plan.result import Casing, Stage
from methodpick.plan.result.checks import Check
from methodpick.terms import COHESIVE, GRANULAR, OPEN_STATES
from methodpick.vocabulary.values import YES, Span, point

# ---- The proofs of a shaft into water that rises above the ground: how high a casing stands, and whether it is sealed in the lid


def prove_artesian(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs for every aquifer that the shaft enters and whose water can rise above the drilling grade."""
    for aquifer in ground.gatherer.aquifers:
        if aquifer.kind == "perched" or aquifer.level_m.low >= min(0.0, ground.levels.grade_m) or aquifer.top_m <= TOUCH_M:
            continue
        stage = next((each for each in way.opening_stages() if each.base_m > aquifer.top_m + TOUCH_M), None)
        if stage is None:
            continue
        sealing = _sealing(way, stage, aquifer)
        if sealing is not None:
            yield from ground.prove(check_artesian, _artesian_facts(ground, (stage, sealing), aquifer))


def _sealing(way: BuiltWay, stage: Stage, aquifer: Aquifer) -> tuple[Casing, float, float] | None:
    """Return the casing that is sealed in the lid when it is pierced, its shoe then, and from where it was forced through undrilled ground.

    A casing that goes ahead of the dig is in the lid with its own length; else it is the one that stands already.
    """
    if stage.action == "advance_casing":
        going = next((casing for casing in way.strings if casing.base_m >= stage.base_m - TOUCH_M), None)
        if going is not None:
            return going, aquifer.top_m, going.predrill_base_m
    standing = way.standing(stage)
    return None if standing is None else (standing, standing.base_m, standing.base_m - standing.advanced_m)


def _artesian_facts(ground: GroundFacts, opened: tuple[Stage, tuple[Casing, float, float]], aquifer: Aquifer) -> ArtesianFacts:
    stage, (casing, shoe, undrilled) = opened
    filled = ground.inside_of(stage.state, stage.fluid)
    density = ground.limits["water_density_kg_m3"].value if filled is None else filled.density_kg_m3
    return ArtesianFacts(
        place=ProvedPlace(stage.no, 0.0, aquifer.top_m),
        aquifer_top_m=aquifer.top_m,
        water_level_m=aquifer.level_m,
        grade_m=ground.levels.grade_m,
        density_kg_m3=point(density),
        lid_top_m=ground.same_layer(shoe)[0],
        lid_soil=answer(ground.slice_above(shoe), "soil"),
        starter_shoe_m=shoe,
        undrilled_from_m=Span(0.0, shoe) if casing.is_starter else point(undrilled),
        outside_diameter_m=casing.outside_diameter_m,
    )


# ---- The proofs of the ground that concrete meets without a casing that stays


def prove_bare_ground(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return each proof where it is worst off: over the ground that no casing keeps from the concrete, down to the tip.

    A slice is proved without the number of the pour, so that all ways that pour it bare share its proof.
    """
    pour = next((stage.no for stage in way.stages if stage.action == "pour"), None)
    kept = max((casing.base_m for casing in way.casings if casing.kind == "permanent"), default=0.0)
    found: dict[str, list[Check]] = {}
    for piece in ground.slices(max(kept, way.concrete.finished_level_m), ground.shaft.tip_m):
        if not piece.logged:
            continue
        top, base = max(kept, piece.slice.top_m), min(piece.slice.base_m, ground.shaft.tip_m)
        for check in ground.prove(check_bare_ground, _bare_ground_facts(ground, piece, ProvedPlace(None, top, base))):
            found.setdefault(check.id, []).append(check)
    for checks in found.values():
        yield replace(governing(checks), stage=pour)


def _bare_ground_facts(ground: GroundFacts, piece: JudgedSlice, place: ProvedPlace) -> BareGroundFacts:
    depth = place.base_m
    weight = ground.limits["concrete_unit_weight_kn_m3"].value
    clay = piece.slice.stratum.likely in COHESIVE
    return BareGroundFacts(
        place=place,
        soil=answer(piece, "soil"),
        cavities=answer(piece, "cavities"),
        permeability_m_s=number(piece, "permeability_m_s"),
        concrete_kpa=point(concrete_pressure(weight, depth - min(ground.shaft.cutoff_m, 0.0))),
        horizontal_kpa=ground.gatherer.curves.horizontal(piece.slice.ground, depth),
        su_kpa=su_of(piece) if clay else None,
    )


# ---- The proofs of a wall that is opened for a casing: wider than the shaft, for which the facts of a slice hold, or in clean dry sand


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
