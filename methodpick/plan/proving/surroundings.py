"""The proofs of the ground beside the work and of what stands round a shaft: walls, bare ground, neighbours, a railway, the platform.

For a hole as wide as the shaft the rules decide, and their checks stand among those of the slices.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import groupby
from math import inf
from typing import NamedTuple

from methodpick.facts.aquifer import Aquifer
from methodpick.ground.site import Neighbour
from methodpick.plan.checks.artesian import ArtesianFacts, check_artesian
from methodpick.plan.checks.bare_ground import BareGroundFacts, compare_bare_ground
from methodpick.plan.checks.dry_sand import PredrilledSandFacts, check_predrilled_sand
from methodpick.plan.checks.inputs import ProvedPlace, multiplied
from methodpick.plan.checks.neighbours import RailwayFacts, VibrationFacts, check_railway, check_vibration
from methodpick.plan.checks.platform import Load, PlatformFacts, check_platform
from methodpick.plan.checks.record import Unwritten, governing, gravity
from methodpick.plan.checks.wall_cohesion import WallCohesionFacts, check_wall_cohesion
from methodpick.plan.checks.wall_overload import WallOverloadFacts, check_wall_overload, depths_to_check
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer, number, su_of
from methodpick.plan.result import Casing, Stage
from methodpick.plan.result.checks import Check
from methodpick.terms import COHESIVE, GRANULAR, OPEN_STATES, ROCK, SHAKING_WAYS
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

    A casing that goes ahead of the dig is in the lid with the length that nobody drilled for it; the one that stands already seals the lid
    where it was forced further, or alone.
    """
    standing = way.standing(stage)
    if stage.action == "advance_casing":
        going = next((casing for casing in way.strings if casing.base_m >= stage.base_m - TOUCH_M), None)
        if going is not None and (standing is None or aquifer.top_m - going.predrill_base_m >= standing.advanced_m):
            return going, aquifer.top_m, going.predrill_base_m
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
        undrilled_from_m=point(undrilled),
        outside_diameter_m=casing.outside_diameter_m,
    )


# ---- The proofs of the ground that concrete meets without a casing that stays


def prove_bare_ground(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return each proof where it is worst off, over the ground that no casing keeps from the concrete, down to the tip.

    It protects all of the ground around that which ends as it does; every other length that is short has a check of its own. They are
    made without the number of the pour, so that all ways that pour the same ground bare share them.
    """
    pour = next((stage.no for stage in way.stages if stage.action == "pour"), None)
    kept = max((casing.base_m for casing in way.casings if casing.kind == "permanent"), default=0.0)
    finish = way.concrete.finished_level_m
    for check in ground.prove_part(("bare ground", kept, finish), partial(_of_bare_ground, ground, kept, finish)):
        yield replace(check, stage=pour)


def _of_bare_ground(ground: GroundFacts, kept_m: float, finish_m: float) -> Iterator[Check]:
    """Return the proofs below what a casing keeps from the concrete and below the level to which it is poured."""
    found: dict[str, list[_BarePiece]] = {}
    for piece in ground.slices(max(kept_m, finish_m), ground.shaft.tip_m):
        if not piece.logged:
            continue
        top, base = max(kept_m, piece.slice.top_m), min(piece.slice.base_m, ground.shaft.tip_m)
        for proof, made in _of_bare_slice(ground, piece, top, base):
            found.setdefault(proof, []).append(_BarePiece(top, base, made))
    for each in found.values():
        worst = governing([bare.made for bare in each])
        for run in _alike(each):
            proofs = [bare.made for bare in run]
            if worst in proofs or proofs[0].result in {"fails", "open_likely"}:
                check = (worst if worst in proofs else governing(proofs)).write()
                yield replace(check, top_m=run[0].top_m, base_m=run[-1].base_m)


class _BarePiece(NamedTuple):
    """A proof of a slice that the concrete meets bare between two depths."""

    top_m: float
    base_m: float
    made: Unwritten


def _alike(pieces: Sequence[_BarePiece]) -> Iterator[list[_BarePiece]]:
    """Return the runs of slices one below the other whose proofs end alike."""
    run = [pieces[0]]
    for piece in pieces[1:]:
        if piece.made.result != run[-1].made.result or piece.top_m > run[-1].base_m + TOUCH_M:
            yield run
            run = []
        run.append(piece)
    yield run


def _of_bare_slice(ground: GroundFacts, piece: JudgedSlice, top_m: float, base_m: float) -> tuple[tuple[str, Unwritten], ...]:
    """Return the proofs of a slice between two depths, unwritten; made once for all ways that pour it bare there."""
    kept, key = ground.kept.bare, (piece.slice.top_m, top_m, base_m)
    if key not in kept:
        kept[key] = compare_bare_ground(_bare_ground_facts(ground, piece, ProvedPlace(None, top_m, base_m)), ground.limits)
    return kept[key]


def _bare_ground_facts(ground: GroundFacts, piece: JudgedSlice, place: ProvedPlace) -> BareGroundFacts:
    depth, curves = place.base_m, ground.gatherer.curves
    clay = piece.slice.stratum.likely in COHESIVE
    return BareGroundFacts(
        place=place,
        soil=answer(piece, "soil"),
        cavities=answer(piece, "cavities"),
        permeability_m_s=number(piece, "permeability_m_s"),
        concrete_kpa=curves.loading.clay.concrete_pressure(depth),
        horizontal_kpa=curves.horizontal(piece.slice.ground, depth),
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
            for check in _of_wide_wall(ground, piece, stage, casing.predrill_diameter_m):
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


def _of_wide_wall(ground: GroundFacts, piece: JudgedSlice, stage: Stage, diameter_m: float) -> tuple[Check, ...]:
    """Return the proofs of the part of a slice that a stage opens; the stages of other ways share them."""
    top, base = max(stage.top_m, piece.slice.top_m), min(piece.slice.base_m, stage.base_m)
    part = ("wide wall", piece.top_m, top, base, stage.state, stage.fluid, diameter_m)
    return ground.prove_part(part, partial(_of_slice, ground, piece, stage, diameter_m))


def _of_slice(ground: GroundFacts, piece: JudgedSlice, stage: Stage, diameter_m: float) -> Iterator[Check]:
    """Return the proofs of the part of a slice that a stage opens: clay where its load is the greatest, sand at its base."""
    if not piece.logged:
        return
    top, base = max(stage.top_m, piece.slice.top_m), min(piece.slice.base_m, stage.base_m)
    place = ProvedPlace(None, top, base)
    below, likely = piece.slice.ground, piece.slice.stratum.likely
    dry = stage.state == "dry"
    if likely in COHESIVE:
        filled = ground.inside_of(stage.state, stage.fluid)
        found = [
            WallOverloadFacts(
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
            for depth in depths_to_check(top, base, diameter_m, None if filled is None else filled.level_m)
        ]
        proofs = [ground.prove(check_wall_overload, facts) for facts in found]
        yield from (max(checks, key=_load_on_the_wall) for checks in zip(*proofs, strict=True))
    elif likely in GRANULAR and dry and YES not in answer(piece, "cemented").at_likely.values:
        yield from ground.prove(check_wall_cohesion, WallCohesionFacts(place, base, diameter_m, below.cohesion, below.phi, below.weight))


def _load_on_the_wall(check: Check) -> tuple[int, float]:
    """Return how grave the proof of a wall at a depth is: its result, then its load as a share of what it bears there."""
    ends = zip((check.needed.adverse, check.needed.likely), (check.has.adverse, check.has.likely), strict=True)
    shares = [needed / has for needed, has in ends if needed is not None and has is not None]
    return gravity(check.result, check.margin)[0], max(shares, default=0.0)


# ---- vibration at neighbours, a railway, and the platform under the plant


GROUND_FACTORS = {
    "very_loose": 1.0,
    "loose": 1.0,
    "medium_dense": 1.5,
    "dense": 3.0,
    "very_dense": 3.0,
    "very_soft": 1.0,
    "soft": 1.0,
    "firm": 1.5,
    "stiff": 1.5,
    "very_stiff": 3.0,
    "hard": 3.0,
}
"""Factor of the vibration of an impact hammer by density or consistency (TRL Report 429, digest)."""
PLATFORM_QUESTION = "How thick is the working platform, how heavy is the plant, and how strong is the ground under it?"
REFUSAL_FACTOR = 5.0
"""The same in rock and at refusal."""


def prove_surroundings(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of vibration for every casing that is shaken down, of a railway near by, and of the platform on land."""
    for casing in way.strings:
        if casing.way in SHAKING_WAYS:
            yield from _vibration(ground, way, casing)
    yield from _railways(ground)
    if ground.site.site.setting == "land":
        yield from _platform(ground, way)


# ---- neighbours


def _vibration(ground: GroundFacts, way: BuiltWay, casing: Casing) -> Iterator[Check]:
    """Return the proof for the neighbour that is worst off; where the site does not tell of any, the distance is not known."""
    if casing.way is None:
        return
    stage = way.stage_that_sets(casing)
    place = ProvedPlace(None if stage is None else stage.no, casing.base_m, casing.base_m)
    energy = ground.limits["hammer_energy_j"].value
    found: list[Check] = []
    for neighbour in _neighbours(ground):
        facts = VibrationFacts(
            place=place,
            way=casing.way,
            distance_m=None if neighbour.distance_m is None else point(neighbour.distance_m),
            most_mm_s=neighbour.vibration_mm_s,
            energy_j=Span(energy / 2.0, energy * 2.0, energy),
            ground_factor=_ground_factor(ground, casing),
        )
        found += ground.prove(check_vibration, facts)
    if found:
        yield governing(found)


def _neighbours(ground: GroundFacts) -> tuple[Neighbour, ...]:
    said = ground.site.site.neighbours
    return (Neighbour(what="not said"),) if said is None else said


def _ground_factor(ground: GroundFacts, casing: Casing) -> Span:
    """Return the factor of the hardest ground that a casing is driven through."""
    low, likely, high = 1.0, 1.0, 1.0
    for piece in ground.slices(casing.predrill_base_m, casing.base_m):
        if piece.slice.stratum.likely in ROCK | {"intermediate", "cobbles"}:
            low, likely, high = max(low, 3.0), max(likely, REFUSAL_FACTOR), REFUSAL_FACTOR
            continue
        words = answer(piece, "consistency" if piece.slice.stratum.likely in COHESIVE else "density")
        factors = [GROUND_FACTORS.get(word, 1.5) for word in words.values]
        likeliest = GROUND_FACTORS.get(words.likely, 1.5) if words.likely is not None else max(factors)
        low, likely, high = max(low, min(factors)), max(likely, likeliest), max(high, *factors)
    return Span(low, high, likely)


def _railways(ground: GroundFacts) -> Iterator[Check]:
    """Return the proof for the nearest railway; distances of a site are from the hole."""
    rails = [neighbour for neighbour in ground.site.site.neighbours or () if neighbour.is_railway]
    if not rails:
        return
    nearest = min(rails, key=lambda rail: -inf if rail.distance_m is None else rail.distance_m)
    distance = None if nearest.distance_m is None else point(nearest.distance_m)
    yield from ground.prove(check_railway, RailwayFacts(ProvedPlace(None, 0.0, 0.0), distance, nearest.approved))


# ---- the platform


def _platform(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of the heaviest track and of the plate of an oscillator, on the ground as it lies or on its fill."""
    top = ground.judged[0]
    thickness = max(0.0, -ground.levels.grade_m)
    strength = su_of(top) if top.slice.stratum.likely in COHESIVE else None
    rock = Span(1000.0, inf) if answer(top, "soil").values <= ROCK else None
    for load in _loads(ground, way):
        facts = PlatformFacts(
            place=ProvedPlace(None, 0.0, 0.0),
            load=load,
            thickness_m=thickness,
            su_kpa=strength,
            bearing_kpa=rock,
            cased=any(casing.top_m <= ground.levels.grade_m + TOUCH_M for casing in way.casings),
        )
        for check in ground.prove(check_platform, facts):
            yield check if ground.site.site.drilling_grade is not None else _asked(check)


def _asked(check: Check) -> Check:
    """Return the proof of a platform of which the site tells nothing: on the bare ground it is short, and its fill is asked about."""
    return check if check.result in {"holds", "little_margin"} else replace(check, result="unknown", remedy=PLATFORM_QUESTION)


def _loads(ground: GroundFacts, way: BuiltWay) -> Iterator[Load]:
    limits = ground.limits
    named, on_track = ground.site.site.equipment.rig_weight_kn, point(limits["track_share"].value)
    rig = Span(limits["rig_weight_low_kn"].value, limits["rig_weight_high_kn"].value) if named is None else point(named)
    yield Load("heaviest track", multiplied(rig, on_track), limits["track_width_m"].value, limits["track_length_m"].value, None)
    oscillated = [casing for casing in way.strings if casing.way == "oscillated"]
    pulls = [pull for pull in way.concrete.extraction if way.casings[pull.casing_no - 1] in oscillated]
    if not pulls:
        return
    worst = max(pulls, key=lambda pull: pull.pull_kn)
    share, side = limits["turning_share"].value, way.casings[worst.casing_no - 1].outside_diameter_m + limits["plate_wider_m"].value
    low, likely, high = (
        share * friction + worst.weight_kn + limits["oscillator_weight_kn"].value
        for friction in (worst.friction_low_kn, worst.friction_kn, worst.friction_high_kn)
    )
    yield Load("plate of the oscillator", Span(low, high, likely), side, side, None)
