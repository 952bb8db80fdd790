"""The proofs of the fluids of a way: each has its own window, and the starter's shoe holds it."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.mechanics.granular_wall import k0
from methodpick.plan.checks.fluid_head import CasingTopFacts, StarterShoeFacts, check_casing_top, check_starter_shoe
from methodpick.plan.checks.fluid_window import FluidWindowFacts, WallAt, WallCompared, check_density, compare_wall, worst_of_walls
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.fluid.bounds import stations
from methodpick.plan.fluid.specification import density_limits, is_salt
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay, FluidHeld
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer, su_of
from methodpick.plan.result.checks import Check
from methodpick.terms import FLUIDS, ROCK, Fluid
from methodpick.vocabulary.values import YES, Span, point


def prove_fluids(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of every fluid of the way."""
    for held in way.fluids:
        yield from _window(ground, way, held)
        yield from _casing_top(ground, way, held)
        if way.starter is not None:
            yield from _starter(ground, way, held)


def _casing_top(ground: GroundFacts, way: BuiltWay, held: FluidHeld) -> Iterator[Check]:
    """Return the proof that the highest casing stands over a fluid; a hole without any is asked about by nobody."""
    if not way.casings:
        return
    place = ProvedPlace(_place(way, held).stage, 0.0, 0.0)
    top = min(casing.top_m for casing in way.casings)
    facts = CasingTopFacts(place, point(held.level_m), top, over_water=ground.site.site.setting == "water")
    yield from ground.prove(check_casing_top, facts)


def planned_density(held: FluidHeld) -> float:
    """Return the density that is aimed at; in an empty window the least that the ground asks for, so that the other side shows."""
    density = held.density_min_kg_m3 if held.density_target_kg_m3 is None else held.density_target_kg_m3
    if density is None:
        raise ValueError(f"the window of {held.fluid} has no density")
    return density


def _place(way: BuiltWay, held: FluidHeld) -> ProvedPlace:
    stage = next((each for each in way.stages if each.state == held.fluid and each.action == "drill"), None)
    return ProvedPlace(None if stage is None else stage.no, held.top_m, held.base_m)


def _fluid(held: FluidHeld) -> Fluid:
    return next(fluid for fluid in FLUIDS if fluid == held.fluid)


def _window(ground: GroundFacts, way: BuiltWay, held: FluidHeld) -> Iterator[Check]:
    place = _place(way, held)
    top = max(held.top_m, held.level_m + ground.limits["fluid_unheld_m"].value)
    salt = is_salt(ground.gatherer.base, ground.limits)
    least, most = density_limits(held.fluid, ground.limits, salt=salt)
    facts = FluidWindowFacts(
        place=place,
        fluid=_fluid(held),
        diameter_m=ground.shaft.diameter_m,
        density_kg_m3=point(planned_density(held)),
        fluid_level_m=point(held.level_m),
        specified_least_kg_m3=least,
        specified_most_kg_m3=most,
        walls=(),
    )
    yield from ground.prove(check_density, facts)
    compared = [_compared(ground, facts, piece, depth) for piece, depth in stations(ground.judged, top, held.base_m)]
    yield from worst_of_walls(compared, place.stage)


def _compared(ground: GroundFacts, facts: FluidWindowFacts, piece: JudgedSlice, depth_m: float) -> WallCompared:
    """Return what the fluid does at the wall at a depth; made once for all ways that bring the same fluid there."""
    key = facts.fluid, facts.density_kg_m3.low, facts.fluid_level_m.low, piece.top_m, depth_m
    if key not in ground.kept.walls:
        ground.kept.walls[key] = compare_wall(facts, _wall(ground, piece, depth_m), ground.limits)
    return ground.kept.walls[key]


def _wall(ground: GroundFacts, piece: JudgedSlice, depth_m: float) -> WallAt:
    below = piece.slice.ground
    level = below.aquifer.level_m
    return WallAt(
        depth_m=depth_m,
        total_kpa=ground.total_kpa(depth_m),
        water_level_m=level if level.low < depth_m else None,
        phi_deg=below.phi,
        su_kpa=su_of(piece),
        wall=below.phi is not None,
        bears_water=YES in answer(piece, "water_bearing").at_likely.values,
        opens=piece.slice.stratum.likely not in ROCK | {"intermediate"},
    )


def _at_rest(piece: JudgedSlice) -> Span | None:
    """Return the coefficient at rest by the friction of a slice; None where no friction is known."""
    phi = piece.slice.ground.phi
    if phi is None:
        return None
    return Span(k0(phi.high), k0(phi.low), None if phi.likely is None else k0(phi.likely))


def _starter(ground: GroundFacts, way: BuiltWay, held: FluidHeld) -> Iterator[Check]:
    starter = way.starter
    if starter is None or held.top_m > starter.base_m + TOUCH_M or any(s.base_m < held.base_m for s in way.strings):
        return
    shoe = starter.base_m
    piece = ground.slice_above(shoe)
    level = piece.slice.ground.aquifer.level_m
    facts = StarterShoeFacts(
        place=ProvedPlace(_place(way, held).stage, 0.0, shoe),
        shoe_m=shoe,
        density_kg_m3=point(planned_density(held)),
        fluid_level_m=point(held.level_m),
        total_kpa=ground.total_kpa(shoe),
        water_level_m=level if level.low < shoe else None,
        at_rest=_at_rest(piece),
        su_kpa=su_of(piece),
    )
    yield from ground.prove(check_starter_shoe, facts)
