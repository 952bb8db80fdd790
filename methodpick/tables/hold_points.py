"""Hold points: where the work stops until something is shown and signed for, taken from the stages and what the plan knows of each."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from methodpick.plan.result import Casing, ShaftPlan, Stage
from methodpick.site.result import ShaftTakeoff, Takeoff
from methodpick.tables.cells import Field, SheetNumbers, Worksheet, blank, counted, fill
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
_SAME_M = 2e-3
"""Depths nearer to each other than this are one."""


class _HoldPoint(NamedTuple):
    """A stage that ends in a hold point, with its number on the shaft."""

    shaft: ShaftPlan
    number: int
    stage: Stage
    takeoff: ShaftTakeoff


def hold_points(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return the hold points of every shaft in the order of the work, with room for the signature."""
    fields: tuple[Field[_HoldPoint], ...] = (
        numbers.worded("shaft", lambda hold: hold.shaft.id),
        counted("no.", lambda hold: hold.number),
        counted("stage", lambda hold: hold.stage.no),
        numbers.worded("hold", lambda hold: _HOLDS[hold.stage.action], 34),
        numbers.worded("work", lambda hold: hold.stage.text, 70),
        numbers.worded("to be shown", lambda hold: " ".join(_to_be_shown(hold)), 80),
        blank("shown, date and time", 20),
        blank("released by", 20),
    )
    notes = ("Who releases which point is for the contract and the engineer in charge to say.",)
    return fill("hold_points", "Hold points", fields, _holds(takeoff), notes)


def _holds(takeoff: Takeoff) -> Iterator[_HoldPoint]:
    for shaft, quantities in zip(takeoff.site.plan.shafts, takeoff.shafts, strict=True):
        stages = (stage for stage in shaft.stages if stage.action in _HOLDS)
        yield from (_HoldPoint(shaft, number, stage, quantities) for number, stage in enumerate(stages, 1))


def _to_be_shown(hold: _HoldPoint) -> Iterator[str]:
    """Describe what a hold point asks for, as far as the plan knows."""
    stage, shaft = hold.stage, hold.shaft
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
        yield from (check.text if check.fits else f"NOT SHOWN TO FIT: {check.text}" for check in hold.takeoff.checks)
    elif stage.action == "pour":
        yield from _pour(shaft)
    elif stage.action in {"pull", "remove_starter"}:
        yield from _pull(stage, shaft)


def _casings(stage: Stage, shaft: ShaftPlan) -> dict[int, Casing]:
    """Return the casings that stand at the base of a stage, by their numbers."""
    return {number: casing for number, casing in enumerate(shaft.casings, 1) if abs(casing.base_m - stage.base_m) < _SAME_M}


def _seat(stage: Stage, shaft: ShaftPlan) -> Iterator[str]:
    for casing in _casings(stage, shaft).values():
        yield f"Shoe at {mark(casing.base_m, 'm')} in {casing.seat_layer or 'its seat'}; sealed: {casing.sealed}."
        if casing.embedment is not None:
            yield casing.embedment.note


def _pour(shaft: ShaftPlan) -> Iterator[str]:
    concrete = shaft.concrete
    order, most = mark(concrete.expected_m3, "m3"), mark(concrete.expected_high_m3, "m3")
    slump = f"{mark(concrete.slump_min_m, 'size')} to {mark(concrete.slump_max_m, 'size')}"
    yield f"{order} ordered (up to {most} counted with), and a second supply named."
    yield f"Slump {slump} shown, workable for {mark(concrete.workable_needed_h, 'h')}."
    if concrete.tremie is not None:
        yield f"{mark(concrete.tremie.charge_m3, 'm3')} at hand for the first charge."


def _pull(stage: Stage, shaft: ShaftPlan) -> Iterator[str]:
    casings = _casings(stage, shaft)
    for pull in shaft.concrete.pulls:
        if pull.casing_no in casings and pull.level_least_m is not None:
            unsafe = "" if pull.safe else " NOT SAFE as planned: see the table of pulls."
            yield f"Lift {pull.lift_no}: concrete sounded at {mark(pull.level_least_m, 'm')} (depth) or higher.{unsafe}"
