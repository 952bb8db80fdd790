"""The proofs of the fluids and of the concrete of a way."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from math import pi

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.earth_pressure import k0
from methodpick.plan.checks.fluid_head import CasingTopFacts, StarterShoeFacts, check_casing_top, check_starter_shoe
from methodpick.plan.checks.fluid_window import FluidWindowFacts, WallAt, WallCompared, check_density, compare_wall, worst_of_walls
from methodpick.plan.checks.inputs import Contact, ProvedPlace
from methodpick.plan.checks.pull import PullFacts, check_pull
from methodpick.plan.checks.pull_balance import PullBalanceFacts, ShoeAt, check_pull_balance
from methodpick.plan.checks.workability import WorkabilityFacts, check_workability
from methodpick.plan.demands.bounds import stations
from methodpick.plan.demands.fluid_length import density_limits, is_salt
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay, FluidHeld
from methodpick.plan.proving.casings import of_class
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer, su_of
from methodpick.plan.result.checks import Check
from methodpick.terms import FLUIDS, ROCK, Fluid
from methodpick.vocabulary.values import YES, Span, point

# ---- The proofs of the fluids of a way: each has its own window, and the starter's shoe holds it


def prove_fluids(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of every fluid of the way."""
    for held in way.fluids:
        place = _place(way, held)
        part = ("window", place.stage, held.fluid, held.top_m, held.base_m, held.level_m, planned_density(held))
        yield from ground.prove_part(part, partial(_window, ground, place, held))
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
    stage = way.first_stage_under(held)
    return ProvedPlace(None if stage is None else stage.no, held.top_m, held.base_m)


def _fluid(held: FluidHeld) -> Fluid:
    return next(fluid for fluid in FLUIDS if fluid == held.fluid)


def _window(ground: GroundFacts, place: ProvedPlace, held: FluidHeld) -> Iterator[Check]:
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
    compared = [
        (_compared(ground, facts, piece, depth), (max(piece.top_m, top), min(piece.base_m, held.base_m)))
        for piece, depth in stations(ground.judged, top, held.base_m)
    ]
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


# ---- The proofs of the concrete of a way: balance at every shoe while casing is pulled, and the time that it must flow


def prove_pour(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of the pour and of the pull of every temporary casing."""
    yield from _balances(ground, way)
    yield from _pulls(ground, way)
    concrete = way.concrete
    pour = next((stage.no for stage in way.stages if stage.action == "pour"), None)
    wait = ground.site.site.schedule.concrete_wait_h or 0.0
    facts = WorkabilityFacts(
        place=ProvedPlace(pour, 0.0, ground.shaft.tip_m),
        under_fluid=way.placement.state == "wet",
        casing_pulled=any(casing.kind != "permanent" for casing in way.casings),
        wait_h=point(wait),
        pour_h=point(concrete.pour_hours),
        pull_h=point(max(0.0, concrete.workable_needed_h - wait - concrete.pour_hours)),
        workable_h=point(concrete.workable_h),
    )
    yield from ground.prove(check_workability, facts)


def _balances(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs that the concrete in a casing that is pulled outweighs what presses outside, at every shoe."""
    concrete = way.concrete
    last = way.stages[-1].no if way.stages else None
    outside, fluid = ground.outside, _fluid_over(ground, way)
    for number, casing in enumerate(way.casings, 1):
        steps = [step for step in concrete.pulls if step.casing_no == number and step.level_after_m is not None]
        if not steps:
            continue
        pull = way.stage_that_pulls(casing)
        stage = last if pull is None else pull.no
        shoes = tuple(
            ShoeAt(
                stage=stage,
                shoe_m=shoe,
                concrete_level_m=level,
                outside_kpa=point(outside.pressure(shoe, gap=False)),
                over_kpa=point(_pressure(fluid, level)),
            )
            for step in steps
            for shoe, level in ((step.shoe_m, step.level_before_m), (step.shoe_after_m, step.level_after_m))
            if level is not None and shoe > max(0.0, concrete.finished_level_m) + TOUCH_M
        )
        if shoes:
            facts = PullBalanceFacts(
                place=ProvedPlace(stage, 0.0, casing.base_m),
                shoes=shoes,
                finish_m=concrete.finished_level_m,
                cutoff_m=ground.shaft.cutoff_m,
                cutoff_outside_kpa=point(outside.pressure(max(0.0, ground.shaft.cutoff_m), gap=False)),
                kept=concrete.starter_kept or any(casing.kind == "permanent" for casing in way.casings),
            )
            yield from ground.prove(check_pull_balance, facts)


def _fluid_over(ground: GroundFacts, way: BuiltWay) -> HoleFluid | None:
    """Return the fluid that stands on the concrete while casing is pulled; None in a hole that is poured dry."""
    filled = [stage.fluid for stage in way.stages if stage.action in {"refill", "pour"} and stage.fluid is not None]
    return ground.inside[filled[-1]] if way.placement.state == "wet" and filled else None


def _pressure(fluid: HoleFluid | None, level_m: float) -> float:
    return 0.0 if fluid is None else fluid.pressure(level_m)


def _pulls(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs that the plant pulls each casing: that of its way, by its class where the site names no pull."""
    equipment = ground.site.site.equipment
    named = {
        "twisted": equipment.rig_pull_kn,
        "oscillated": equipment.oscillator_pull_kn,
        "vibrated": equipment.vibrator_pull_kn,
        "driven": equipment.vibrator_pull_kn,
    }
    for pull in way.concrete.extraction:
        casing = way.casings[pull.casing_no - 1]
        side = pi * casing.outside_diameter_m
        friction = Span(pull.friction_low_kn / side, pull.friction_high_kn / side, pull.friction_kn / side)
        known, usual = named.get(casing.way or "twisted"), casing.way or "set"
        stage = way.stage_that_pulls(casing)
        facts = PullFacts(
            place=ProvedPlace(None if stage is None else stage.no, 0.0, casing.base_m),
            outside_diameter_m=casing.outside_diameter_m,
            mass_kg=casing.mass_kg,
            contacts=(Contact(1.0, friction, None, point(1.0)),),
            turns=casing.way != "driven",
            plant_kn=of_class(ground, ground.limits[f"pull_{usual}_kn"]) if known is None else point(known),
        )
        yield from ground.prove(check_pull, facts)
