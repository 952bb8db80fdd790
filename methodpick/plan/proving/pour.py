"""The proofs of the concrete of a way: balance at every shoe while casing is pulled, and the time that it must flow."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from methodpick.facts.curves import HoleFluid
from methodpick.plan.checks.inputs import Contact, ProvedPlace
from methodpick.plan.checks.pull import PullFacts, check_pull
from methodpick.plan.checks.pull_balance import PullBalanceFacts, ShoeAt, check_pull_balance
from methodpick.plan.checks.workability import WorkabilityFacts, check_workability
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.proving.plant import of_class
from methodpick.plan.result.checks import Check
from methodpick.vocabulary.values import Span, point


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
