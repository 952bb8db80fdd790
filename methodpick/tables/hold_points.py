"""Hold points: where the work stops until something is shown and signed for, taken from the stages and what the plan knows of each."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.result import Casing, ShaftPlan, Stage
from methodpick.site.result import ShaftTakeoff, Takeoff
from methodpick.tables.cells import Cell, Column, Sheet, SheetNumbers
from methodpick.unit_markup import mark

_HOLDS = {
    "introduce_fluid": "before fluid goes into the hole",
    "set_casing": "casing at its seat",
    "advance_casing": "casing at its seat",
    "seal_test": "before the casing is bailed",
    "clean": "base, before the cage",
    "cage": "cage, before it is lifted in",
    "pour": "before the first truck is discharged",
    "pull": "before each lift of the casing",
    "remove_starter": "before the starter is pulled",
}
"""The stages that end in a hold point (common practice, no source)."""


def hold_points(takeoff: Takeoff, numbers: SheetNumbers) -> Sheet:
    """Return the hold points of every shaft in the order of the work, with room for the signature."""
    rows: list[tuple[Cell, ...]] = []
    for shaft, taken in zip(takeoff.site.plan.shafts, takeoff.shafts, strict=True):
        held = [stage for stage in shaft.stages if stage.action in _HOLDS]
        for number, stage in enumerate(held, 1):
            shown = " ".join(_shown(stage, shaft, taken))
            rows.append(
                (numbers.text(shaft.id), number, stage.no, _HOLDS[stage.action], numbers.text(stage.text), numbers.text(shown), "", "")
            )
    return Sheet(
        "hold_points",
        "Hold points",
        (
            Column("shaft", width=10),
            Column("no.", width=6),
            Column("stage", width=6),
            Column("hold", width=34),
            Column("work", width=70),
            Column("to be shown", width=80),
            Column("shown, date and time", width=20),
            Column("released by", width=20),
        ),
        tuple(rows),
        ("Who releases which point is for the contract and the engineer in charge to say.",),
    )


def _shown(stage: Stage, shaft: ShaftPlan, taken: ShaftTakeoff) -> Iterator[str]:
    """Describe what a hold point asks for, as far as the plan knows."""
    programme = shaft.fluid_programme
    if stage.action == "introduce_fluid" and programme is not None:
        yield f"Fluid tested: {programme.times[0].text}" if programme.times else "Fluid tested in the tank."
        yield f"Stock at hand: {mark(programme.stock_m3, 'm3')}."
    elif stage.action in {"set_casing", "advance_casing"}:
        yield from _seat(stage, shaft)
    elif stage.action == "clean":
        yield f"Depth sounded: {mark(shaft.tip_depth_m, 'm')} below the ground."
        if shaft.placement.state == "wet" and programme is not None and programme.times:
            yield programme.times[-1].text
    elif stage.action == "cage":
        yield from (check.text if check.fits else f"NOT SHOWN TO FIT: {check.text}" for check in taken.checks)
    elif stage.action == "pour":
        yield from _pour(shaft)
    elif stage.action in {"pull", "remove_starter"}:
        yield from _pull(stage, shaft)


def _seat(stage: Stage, shaft: ShaftPlan) -> Iterator[str]:
    for one in _casings(stage, shaft):
        yield f"Shoe at {mark(one.base_m, 'm')} in {one.seat_layer or 'its seat'}; sealed: {one.sealed}."
        if one.embedment is not None:
            yield one.embedment.note


def _casings(stage: Stage, shaft: ShaftPlan) -> list[Casing]:
    return [one for one in shaft.casings if abs(one.base_m - stage.base_m) < 2e-3]


def _pour(shaft: ShaftPlan) -> Iterator[str]:
    one = shaft.concrete
    yield f"{mark(one.expected_m3, 'm3')} ordered (up to {mark(one.expected_high_m3, 'm3')} counted with), and a second supply named."
    yield (
        f"Slump {mark(one.slump_min_m, 'size')} to {mark(one.slump_max_m, 'size')} shown, workable for {mark(one.workable_needed_h, 'h')}."
    )
    if one.tremie is not None:
        yield f"{mark(one.tremie.charge_m3, 'm3')} at hand for the first charge."


def _pull(stage: Stage, shaft: ShaftPlan) -> Iterator[str]:
    numbers = {number for number, one in enumerate(shaft.casings, 1) if abs(one.base_m - stage.base_m) < 2e-3}
    for pull in shaft.concrete.pulls:
        if pull.casing_no in numbers and pull.level_least_m is not None:
            unsafe = "" if pull.safe else " NOT SAFE as planned: see the table of pulls."
            yield f"Lift {pull.lift_no}: concrete sounded at {mark(pull.level_least_m, 'm')} (depth) or higher.{unsafe}"
