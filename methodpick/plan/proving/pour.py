"""The proofs of the concrete of a way: balance at every shoe while casing is pulled, and the time that it must flow."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.casing.external_pressure import outside_of
from methodpick.plan.checks.inputs import Place
from methodpick.plan.checks.pull_balance import PullBalanceFacts, ShoeAt, check_pull_balance
from methodpick.plan.checks.workability import WorkabilityFacts, check_workability
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.result.checks import Check
from methodpick.vocabulary.values import point


def prove_pour(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of the pour and of the pull of every temporary casing."""
    concrete = way.concrete
    last = way.stages[-1].no if way.stages else None
    outside = outside_of(ground.gatherer)
    for number, casing in enumerate(way.casings, 1):
        steps = [step for step in concrete.pulls if step.casing_no == number and step.level_after_m is not None]
        if not steps:
            continue
        stage = next(
            (one.no for one in way.stages if one.action in {"pull", "remove_starter"} and abs(one.base_m - casing.base_m) < TOUCH_M), last
        )
        shoes = tuple(
            ShoeAt(stage, shoe, level, point(outside.pressure(shoe, gap=False)), point(0.0))
            for step in steps
            for shoe, level in ((step.shoe_m, step.level_before_m), (step.shoe_after_m, step.level_after_m))
            if level is not None and shoe > max(0.0, concrete.finished_level_m) + TOUCH_M
        )
        if shoes:
            facts = PullBalanceFacts(
                place=Place(stage, 0.0, casing.base_m),
                shoes=shoes,
                finish_m=concrete.finished_level_m,
                cutoff_m=ground.shaft.cutoff_m,
                cutoff_outside_kpa=point(outside.pressure(max(0.0, ground.shaft.cutoff_m), gap=False)),
                kept=concrete.starter_kept or any(casing.kind == "permanent" for casing in way.casings),
            )
            yield from check_pull_balance(facts, ground.limits)
    pour = next((one.no for one in way.stages if one.action == "pour"), None)
    wait = ground.site.site.schedule.concrete_wait_h or 0.0
    facts_of_mix = WorkabilityFacts(
        place=Place(pour, 0.0, ground.shaft.tip_m),
        under_fluid=way.placement.state == "wet",
        casing_pulled=any(casing.kind != "permanent" for casing in way.casings),
        wait_h=point(wait),
        pour_h=point(concrete.pour_hours),
        pull_h=point(max(0.0, concrete.workable_needed_h - wait - concrete.pour_hours)),
        workable_h=point(concrete.workable_h),
    )
    yield from check_workability(facts_of_mix, ground.limits)
