"""All sheets of a site in the order in which they are read; and its registers, in which shafts that share a line share a row.

The registers are fallbacks with their triggers, questions, assumptions, cautions, the record of reliance, and hold points.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from methodpick.collector import collector_paused
from methodpick.document.cautions import QUESTIONS
from methodpick.document.model import Document, Page, Paragraph, Section, TextTable, section
from methodpick.document.record import CLOSING, caution_sources, loosened_lines, plain_name, set_by_overlay
from methodpick.plan.result import Casing, Plan, ShaftPlan, Stage
from methodpick.site.result import ShaftTakeoff, Takeoff
from methodpick.tables import hours_and_cost, schedules
from methodpick.tables.cells import (
    Field,
    FormulaCell,
    NumberCell,
    SheetColumn,
    SheetNumbers,
    SheetRow,
    Worksheet,
    blank,
    counted,
    fill,
    gathered,
    plain,
)
from methodpick.tables.factors import factors_table, make_factors
from methodpick.tables.hours_and_cost import bid_table, cost_table
from methodpick.tables.takeoff import takeoff_table
from methodpick.terms import SEVERITIES, STATE_NAMES, UnitSystem
from methodpick.unit_markup import mark


@collector_paused()
def make_tables(takeoff: Takeoff, units: UnitSystem | None = None, reader_doubts: tuple[str, ...] = ()) -> tuple[Worksheet, ...]:
    """Return every sheet of a taken-off site in the reader's units; the same takeoff gives the same sheets."""
    site = takeoff.site
    plan, numbers = site.plan, SheetNumbers(units or site.plan.units)
    factors = make_factors(takeoff, numbers)
    cost = cost_table(takeoff, factors, numbers)
    tables = (
        cautions(plan, numbers, reader_doubts),
        schedules.method_schedule(takeoff, numbers),
        schedules.supports(site, numbers),
        schedules.stages(site, numbers),
        schedules.casing_schedule(site, numbers),
        schedules.strings(takeoff, numbers),
        schedules.slurry_control(plan, numbers),
        schedules.slurry_window(plan, numbers),
        schedules.concrete_plan(plan, numbers),
        schedules.depth_volume(plan, numbers),
        schedules.pulls(plan, numbers),
        hold_points(takeoff, numbers),
        fallbacks(plan, numbers),
        questions(plan, numbers),
        assumptions(plan, numbers),
        factors_table(factors, numbers),
        takeoff_table(takeoff, factors, numbers),
        hours_and_cost.hours(takeoff, numbers),
        hours_and_cost.calendar(takeoff, numbers),
        *((cost,) if cost is not None else ()),
        *((bid_table(takeoff.bid, numbers, takeoff.cost),) if takeoff.bid is not None else ()),
        reliance(takeoff, numbers),
    )
    warnings = tuple(loosened_lines(plan, numbers.units))
    return tuple(replace(table, warnings=warnings) for table in tables)


def sheets_document(sheets: Sequence[Worksheet]) -> Document:
    """Return sheets as a document of one page: a section each, with its table and its notes."""
    return Document("Sheets", (Page("", (), tuple(map(_printed, sheets))),), CLOSING)


def _printed(sheet: Worksheet) -> Section:
    """Return a sheet in words, without columns that only serve formulas or have no entry."""
    kept = [index for index, column in enumerate(sheet.columns) if not column.live and any(plain(row[index]) for row in sheet.rows)]
    right = (place for place, index in enumerate(kept) if any(isinstance(row[index], (int, NumberCell, FormulaCell)) for row in sheet.rows))
    heads = tuple(sheet.columns[index].head for index in kept)
    rows = tuple(tuple(plain(row[index]) for index in kept) for row in sheet.rows)
    body = TextTable(heads, rows, tuple(right)) if rows else Paragraph("Nothing.")
    return section(sheet.title, body, *map(Paragraph, sheet.notes))


# ---- The registers: fallbacks with their triggers, questions, assumptions, cautions, and the record of reliance


_Line = tuple[int, tuple[str, ...]]
"""A row of a register for a shaft, by the shaft's place in the plan."""
_FALLBACKS = ("cautious plan", "empty density window", "open hazard", "other way of building")
"""The kinds of fallback, in the order in which they are wanted."""


def questions(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return what to ask the owner, with room for the answer."""
    lines = ((index, (gap.need, gap.question, gap.why, "")) for index, shaft in enumerate(plan.shafts) for gap in shaft.gaps)
    columns = _columns(("shafts", 24), ("what is not known", 34), ("question", 70), ("why it matters", 70), ("answer", 30))
    return Worksheet("questions", QUESTIONS, columns, _shared(plan, lines, numbers))


def assumptions(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return what is assumption as normal, where and by whose word."""
    lines = (
        (index, (assumption.id, plain_name(assumption.fact), assumption.where, assumption.assumed, assumption.why, assumption.source))
        for index, shaft in enumerate(plan.shafts)
        for assumption in shaft.assumptions
    )
    columns = _columns(("shafts", 24), ("assumption", 22), ("of", 22), ("where", 34), ("assumed", 24), ("why", 70), ("source", 20))
    return Worksheet("assumptions", "Assumption register", columns, _shared(plan, lines, numbers))


def cautions(plan: Plan, numbers: SheetNumbers, reader_doubts: tuple[str, ...]) -> Worksheet:
    """Return dangers, cautions and notes, the doubts of the logs and of the reader; who decides stands first."""
    lines: list[_Line] = [
        (index, (severity, caution.text, caution.where, caution.rule, caution_sources(caution)))
        for severity in SEVERITIES
        for index, shaft in enumerate(plan.shafts)
        for caution in shaft.cautions
        if caution.severity == severity
    ]
    lines += [(index, ("doubt of the log", doubt.words, "", "", "")) for index, shaft in enumerate(plan.shafts) for doubt in shaft.doubts]
    rows = (
        ("all", "first of all", CLOSING, "", "", ""),
        *_shared(plan, lines, numbers),
        *(("", "doubt of the reader", numbers.text(text), "", "", "") for text in reader_doubts),
    )
    columns = _columns(("shafts", 24), ("kind", 16), ("caution", 100), ("where", 24), ("rule", 28), ("source", 34))
    return Worksheet("cautions", "Cautions", columns, rows)


def fallbacks(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return what to do when things go otherwise: the sign, the next step, the plan behind it, what would settle it now."""
    lines = [(index, line) for index, shaft in enumerate(plan.shafts) for line in _fallbacks(shaft)]
    lines.sort(key=lambda line: _FALLBACKS.index(line[1][0]))
    columns = _columns(("shafts", 24), ("kind", 20), ("trigger", 60), ("then", 70), ("hangs on", 70), ("settled by", 50), ("rule", 28))
    return Worksheet("fallbacks", "Fallbacks and their triggers", columns, _shared(plan, lines, numbers))


def _fallbacks(shaft: ShaftPlan) -> Iterator[tuple[str, ...]]:
    cautious = shaft.cautious
    if cautious is not None:
        stages = " ".join(f"{stage.no}. {stage.text}" for stage in cautious.stages)
        yield "cautious plan", cautious.trigger, stages, cautious.differs_because, cautious.settles, ""
    for hazard in shaft.open_hazards:
        sign = f"Any sign of it ({STATE_NAMES.get(hazard.state, hazard.state)}): stop and make safe."
        yield "open hazard", sign, hazard.treatment, hazard.text, "", hazard.rule
    for slurry in shaft.slurries:
        yield from (("empty density window", slurry.governed_by, remedy.text, "", "", "") for remedy in slurry.remedies)
    for other in shaft.alternates:
        yield "other way of building", "If the planned method cannot be had.", other.family, other.why_not, "", ""


def reliance(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return what the sheets rest on."""
    plan, book = takeoff.site.plan, takeoff.site.plan.rulebook
    rows = [
        ("tool", "methodpick", plan.tool_version),
        ("format", "plan", plan.format),
        ("format", "takeoff", takeoff.format),
        ("input", plan.input.path, plan.input.digest),
        ("rulebook", "digest", book.digest),
        ("rulebook", "overlays", ", ".join(book.overlays) or "none"),
        ("sheets", "units", numbers.units),
        *(("value set by an overlay", plain_name(limit.name), set_by_overlay(limit)) for limit in book.set_by_overlays),
        *(("boring of a shaft", assigned.shaft, f"{assigned.boring}: {assigned.said}") for assigned in takeoff.site.assignments),
        *(("note", "takeoff", note) for note in takeoff.notes),
        *(("source", key, text) for key, text in sorted(plan.sources.items())),
    ]
    columns = _columns(("kind", 24), ("what", 30), ("which", 110))
    return Worksheet("reliance", "Record of reliance", columns, tuple(tuple(map(numbers.text, row)) for row in rows))


def _columns(*columns: tuple[str, int]) -> tuple[SheetColumn, ...]:
    return tuple(SheetColumn(name, width=width) for name, width in columns)


def _shared(plan: Plan, lines: Iterable[_Line], numbers: SheetNumbers) -> tuple[SheetRow, ...]:
    """Return the rows of a register, each once with the shafts that it is of."""
    shafts = [numbers.text(shaft.id) for shaft in plan.shafts]
    return gathered(shafts, ((index, list(map(numbers.text, line))) for index, line in lines))


# ---- Hold points: where the work stops until something is shown and signed for, taken from the stages and what the plan knows of each


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
    for shaft, quantities in zip(takeoff.site.plan.with_method, takeoff.shafts, strict=True):
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
        if shaft.planned_placement.state == "wet" and programme is not None and programme.times:
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
    concrete = shaft.planned_concrete
    order, most = mark(concrete.expected_m3, "m3"), mark(concrete.expected_high_m3, "m3")
    slump = f"{mark(concrete.slump_min_m, 'size')} to {mark(concrete.slump_max_m, 'size')}"
    yield f"{order} ordered (up to {most} counted with), and a second supply named."
    yield f"Slump {slump} shown, workable for {mark(concrete.workable_needed_h, 'h')}."
    if concrete.tremie is not None:
        yield f"{mark(concrete.tremie.charge_m3, 'm3')} at hand for the first charge."


def _pull(stage: Stage, shaft: ShaftPlan) -> Iterator[str]:
    casings = _casings(stage, shaft)
    for pull in shaft.planned_concrete.pulls:
        if pull.casing_no in casings and pull.level_least_m is not None:
            unsafe = "" if pull.safe else " NOT SAFE as planned: see the table of pulls."
            yield f"Lift {pull.lift_no}: concrete sounded at {mark(pull.level_least_m, 'm')} (depth) or higher.{unsafe}"
