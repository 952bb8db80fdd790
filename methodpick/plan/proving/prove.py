"""All checks of a way of building, in the order of a page; those of its fluids and of its concrete are made here.

The first are those that the rules of a slice decide.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from math import pi
from operator import attrgetter

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.earth_pressure import k0
from methodpick.plan.checks.fluid_head import CasingTopFacts, StarterShoeFacts, check_casing_top, check_starter_shoe
from methodpick.plan.checks.fluid_window import FluidWindowFacts, WallAt, WallCompared, check_density, compare_wall, worst_of_walls
from methodpick.plan.checks.inputs import Contact, ProvedPlace
from methodpick.plan.checks.pick import PickFacts, check_pick
from methodpick.plan.checks.pull import PullFacts, check_pull
from methodpick.plan.checks.pull_balance import PullBalanceFacts, ShoeAt, check_pull_balance
from methodpick.plan.checks.record import input_of
from methodpick.plan.checks.workability import WorkabilityFacts, check_workability
from methodpick.plan.demands.bounds import stations
from methodpick.plan.demands.fluid_length import density_limits, is_salt
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay, FluidHeld
from methodpick.plan.proving.casings import of_class, prove_casings, prove_plant
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, SliceComparison, answer, compare_slice, su_of
from methodpick.plan.proving.open_hole import prove_drained_walls, prove_open_hole
from methodpick.plan.proving.surroundings import (
    prove_artesian,
    prove_bare_ground,
    prove_predrilled_sand,
    prove_surroundings,
    prove_wide_walls,
)
from methodpick.plan.result import Citation, Stage
from methodpick.plan.result.checks import Check, Ends
from methodpick.terms import FLUIDS, ROCK_LIKE, Fluid
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import YES, Span, Value, point

# ---- the fluids, and the concrete


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
        opens=piece.slice.stratum.likely not in ROCK_LIKE,
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
    yield from _picks(ground, way)
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


def _picks(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proof of the heaviest pick where the site tells at which radius it is lifted.

    Nobody states the steel of a cage: it is taken by the concrete of the drawing.
    """
    equipment, limits = ground.site.site.equipment, ground.limits
    if equipment.pick_radius_m is None:
        return
    least, likely, most = (limits[f"cage_steel_{end}_kg_m3"].value * way.concrete.theoretical_m3 for end in ("least", "likely", "most"))
    facts = PickFacts(
        place=ProvedPlace(None, 0.0, 0.0),
        casing_kg=max((casing.mass_kg for casing in way.casings), default=0.0),
        cage_kg=Span(least, most, likely),
        radius_m=equipment.pick_radius_m,
        capacity_kg=None if equipment.pick_capacity_t is None else 1000.0 * equipment.pick_capacity_t,
    )
    yield from ground.prove(check_pick, facts)


# ---- all checks in the order of a page


# ---- What the facts of a slice can say is decided by a rule: its check shows the same fact, limit and rule


def prove_slices(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return, for every stage and every must rule that compares a fact with a limit about its state, the check of the worst slice."""
    for stage in way.opening_stages():
        part = ("slices", stage.no, stage.state, way.opens_from_m(stage), stage.base_m)
        yield from ground.prove_part(part, partial(_of_stage, ground, way, stage))


def _of_stage(ground: GroundFacts, way: BuiltWay, opening: Stage) -> Iterator[Check]:
    """Return the checks of one stage."""
    stage = replace(opening, top_m=way.opens_from_m(opening))
    found: dict[str, list[SliceComparison]] = {}
    for piece in ground.slices(stage.top_m, stage.base_m):
        for comparison in _of_slice(ground, piece, stage.state or ""):
            found.setdefault(comparison.threshold.rule.id, []).append(comparison)
    for comparisons in found.values():
        yield _write(ground, max(comparisons, key=attrgetter("gravity")), stage)


def _of_slice(ground: GroundFacts, piece: JudgedSlice, state: str) -> tuple[SliceComparison, ...]:
    """Return the comparisons at a slice in a state; made once for all stages and ways."""
    kept, key = ground.kept.slices, (piece.slice.top_m, state)
    if key not in kept:
        kept[key] = tuple(compare_slice(piece, state, ground.limits))
    return kept[key]


NOT_ASKED = "The rule speaks only where more is so, which is not so here."
"""Said of a number that is short where the other conditions of its rule do not hold."""


def _write(ground: GroundFacts, found: SliceComparison, stage: Stage) -> Check:
    piece, threshold, value, limit = found.piece, found.threshold, found.value, found.limit
    rule, spec = threshold.rule, ground.book.catalogue.facts[threshold.fact]
    near = value.likely if value.likely is not None else value.low if threshold.below else value.high
    word = "at least" if threshold.below else "at most"
    name = spec.meaning.split(";")[0].split(" (")[0].removesuffix(":")
    has, margin = _without_end_of_domain(found, spec.domain)
    nearest = "unlimited" if near not in has.ends else mark(near, spec.unit)
    beside = f" {NOT_ASKED}" if found.result == "holds" and (found.margin.adverse or 0.0) < 0.0 else ""
    what = f"At {mark(piece.slice.base_m, 'm')} the {name} is {nearest}, {word} {mark(limit, spec.unit)}.{beside}"
    return Check(
        id=rule.id,
        stage=stage.no,
        what=what,
        needed=Ends(limit, limit, limit),
        has=has,
        margin=margin,
        unit=spec.unit,
        formula=_formula(piece, threshold.fact),
        inputs={threshold.fact: input_of(value)},
        limits=(threshold.limit,) if threshold.limit is not None else (),
        rule=rule.id,
        sources=tuple(Citation(cited.key, cited.where) for cited in rule.source),
        result=found.result,
        top_m=max(stage.top_m, piece.slice.top_m),
        base_m=min(stage.base_m, piece.slice.base_m),
        remedy="" if found.result == "holds" else rule.treatment.get(stage.state or "", ""),
    )


def _without_end_of_domain(found: SliceComparison, domain: Value) -> tuple[Ends, Ends]:
    """Return a value that must be high and what is left of it, without number where only the end of what can be written bounds it.

    Such is the safety against uplift where no water lies below.
    """
    if not found.threshold.below or not isinstance(domain, Span):
        return found.has, found.margin
    bound = [end is not None and end >= domain.high for end in found.has.ends]
    has = Ends(*(None if is_end else end for end, is_end in zip(found.has.ends, bound, strict=True)))
    return has, Ends(*(None if is_end else end for end, is_end in zip(found.margin.ends, bound, strict=True)))


def _formula(piece: JudgedSlice, fact: str) -> str | None:
    known = piece.slice.sheet.facts.get(fact)
    return known.formulas[0] if known is not None and known.formulas else None


# ---- All checks of a way of building, in the order of a page


def prove(ground: GroundFacts, way: BuiltWay) -> tuple[Check, ...]:
    """Return all checks of a way of building; the same ground and way give the same checks."""
    return (
        *prove_casings(ground, way),
        *prove_plant(ground, way),
        *prove_open_hole(ground, way),
        *prove_drained_walls(ground, way),
        *prove_wide_walls(ground, way),
        *prove_predrilled_sand(ground, way),
        *prove_artesian(ground, way),
        *prove_slices(ground, way),
        *prove_fluids(ground, way),
        *prove_pour(ground, way),
        *prove_bare_ground(ground, way),
        *prove_surroundings(ground, way),
    )
