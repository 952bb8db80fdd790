"""The page of a kind of shaft for the reviewing engineer: what is to be approved, on what basis, with which margins and assumptions."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.document import cautions
from methodpick.document.answer import clause
from methodpick.document.checks import checks
from methodpick.document.decision import decision, head_lines, supports
from methodpick.document.grouping import ShaftGroup
from methodpick.document.model import Items, Page, TextTable, page_with, section
from methodpick.document.reasons import changes_of_support, within_range
from methodpick.document.site import water_levels
from methodpick.plan.result import ShaftPlan
from methodpick.unit_markup import number

_HOLD_POINTS = {
    "bail": "the seal test has held",
    "cage": "base and fluid are within their limits",
    "pour": "base, water or fluid are checked once more with the cage in",
    "bell": "the shaft stands dry and the ground is as logged",
}
"""Stages that begin only when the inspector has seen something, and what."""


def engineer_page(group: ShaftGroup) -> Page:
    """Return the page: the way itself first, then what it rests on."""
    shaft = group.first
    return page_with(
        f"For the reviewing engineer: {group.title}",
        head_lines(group),
        decision(shaft),
        within_range(group),
        supports(shaft),
        section("Basis", TextTable(("what", "which"), tuple(_basis(shaft)))),
        checks(shaft),
        cautions.hazards(shaft),
        cautions.assumptions(shaft),
        changes_of_support(shaft),
        section("Hold points", Items(tuple(_hold_points(shaft)))),
        cautions.questions(shaft),
        cautions.log_doubts(shaft),
    )


def _basis(shaft: ShaftPlan) -> Iterator[tuple[str, str]]:
    log = shaft.ground
    below_m = log.end_m - shaft.tip_depth_m
    yield "boring below the tip", f"{number(below_m, 'm')}" if below_m >= 0 else f"ends {number(-below_m, 'm')} above the tip"
    yield "distance of the boring", number(shaft.boring_distance_m, "m")
    yield "technique of the boring", log.technique.replace("_", " ") or "not given"
    for water in log.water:
        yield "water", f"{water.kind.replace('_', ' ')}: {water.source}"
    yield "levels taken", water_levels(shaft)
    for index, casing in enumerate(shaft.casings, 1):
        if casing.embedment is not None and casing.embedment.note:
            yield f"seat of casing {index}", f"{casing.seat_layer}: {casing.embedment.note}"
    yield "side friction", _side_friction(shaft)


def _side_friction(shaft: ShaftPlan) -> str:
    """Describe over which lengths a casing that is pulled or stays touches what the design may count on."""
    touched = [
        f"{casing.kind} casing from {number(max(0.0, casing.top_m), 'm')} to {number(casing.base_m, 'm')}"
        for casing in shaft.casings
        if not casing.is_starter
    ]
    return f"changed along the {'; '.join(touched)}: the designer decides" if touched else "no casing besides the starter touches it"


def _hold_points(shaft: ShaftPlan) -> Iterator[str]:
    for stage in shaft.stages:
        if stage.action in _HOLD_POINTS:
            yield f"Before stage {stage.no} ({clause(stage)}): {_HOLD_POINTS[stage.action]}."
