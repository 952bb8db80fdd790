"""All sheets of a site in the order in which they are read; and its schedules: method, supports, stages, casings, strings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from methodpick.collector import collector_paused
from methodpick.document.decision import least_confidence, support_runs
from methodpick.document.model import Document, Page, Paragraph, Section, TextTable, section
from methodpick.document.record import CLOSING, loosened_lines
from methodpick.document.takeoff import least_sizes
from methodpick.plan.result import Casing, Interval, LogWater, ShaftPlan, Stage
from methodpick.site.result import SitePlan, Takeoff, YardString
from methodpick.tables import hours_and_cost, registers, wet_work
from methodpick.tables.cells import Field, FormulaCell, NumberCell, SheetNumbers, Worksheet, counted, fill, plain
from methodpick.tables.factors import factors_table, make_factors
from methodpick.tables.hours_and_cost import bid_table, cost_table
from methodpick.tables.takeoff import takeoff_table
from methodpick.terms import STARTER, STATE_NAMES, SUPPORT_NAMES, UnitSystem


@collector_paused()
def make_tables(takeoff: Takeoff, units: UnitSystem | None = None, reader_doubts: tuple[str, ...] = ()) -> tuple[Worksheet, ...]:
    """Return every sheet of a taken-off site in the reader's units; the same takeoff gives the same sheets."""
    site = takeoff.site
    plan, numbers = site.plan, SheetNumbers(units or site.plan.units)
    factors = make_factors(takeoff, numbers)
    cost = cost_table(takeoff, factors, numbers)
    tables = (
        registers.cautions(plan, numbers, reader_doubts),
        method_schedule(takeoff, numbers),
        supports(site, numbers),
        stages(site, numbers),
        casing_schedule(site, numbers),
        strings(takeoff, numbers),
        wet_work.slurry_control(plan, numbers),
        wet_work.slurry_window(plan, numbers),
        wet_work.concrete_plan(plan, numbers),
        wet_work.depth_volume(plan, numbers),
        wet_work.pulls(plan, numbers),
        registers.hold_points(takeoff, numbers),
        registers.fallbacks(plan, numbers),
        registers.questions(plan, numbers),
        registers.assumptions(plan, numbers),
        factors_table(factors, numbers),
        takeoff_table(takeoff, factors, numbers),
        hours_and_cost.hours(takeoff, numbers),
        hours_and_cost.calendar(takeoff, numbers),
        *((cost,) if cost is not None else ()),
        *((bid_table(takeoff.bid, numbers),) if takeoff.bid is not None else ()),
        registers.reliance(takeoff, numbers),
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


# ---- The schedules: method of every shaft, supports by depth, stages, casings, strings, hours


class _ScheduledShaft(NamedTuple):
    """A shaft with what the takeoff, its boring and the water say of it."""

    plan: ShaftPlan
    substructure: str
    water: LogWater | None
    flags: str


def method_schedule(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return a row for each shaft: what it is, which boring decides, how it is built."""
    fields: tuple[Field[_ScheduledShaft], ...] = (
        numbers.worded("shaft", lambda shaft: shaft.plan.id),
        counted("alike", lambda shaft: shaft.plan.count),
        numbers.worded("substructure", lambda shaft: shaft.substructure, 14),
        numbers.measured("diameter", "size", lambda shaft: shaft.plan.diameter_m),
        numbers.measured("cut-off", "m", lambda shaft: shaft.plan.cutoff_m),
        numbers.measured("tip", "m", lambda shaft: shaft.plan.tip_depth_m),
        numbers.worded("boring", lambda shaft: shaft.plan.boring),
        numbers.measured("boring away", "m", lambda shaft: shaft.plan.boring_distance_m),
        numbers.measured("water, highest", "m", lambda shaft: shaft.water.high_m if shaft.water else None),
        numbers.measured("water, likely", "m", lambda shaft: shaft.water.likely_m if shaft.water else None),
        numbers.measured("water, lowest", "m", lambda shaft: shaft.water.low_m if shaft.water else None),
        numbers.worded("method", lambda shaft: SUPPORT_NAMES[shaft.plan.method], 18),
        numbers.worded("concrete", lambda shaft: "" if shaft.plan.placement is None else shaft.plan.placement.state),
        numbers.worded("confidence", lambda shaft: least_confidence(shaft.plan), 12),
        numbers.measured("fluid level", "m", lambda shaft: shaft.plan.fluid_level_m),
        numbers.worded("decision", lambda shaft: shaft.plan.decision, 90),
        numbers.worded("flags of the boring", lambda shaft: shaft.flags, 60),
    )
    notes = ("Depths run down from the ground at the shaft; water is the highest one read.",)
    return fill("method_schedule", "Method schedule", fields, _scheduled(takeoff), notes)


def _scheduled(takeoff: Takeoff) -> list[_ScheduledShaft]:
    substructures = {shaft.shaft: shaft.substructure for shaft in takeoff.shafts}
    flags = {assigned.shaft: "; ".join(flag.text for flag in assigned.flags) for assigned in takeoff.site.assignments}
    return [
        _ScheduledShaft(shaft, substructures.get(shaft.id, ""), _highest_water(shaft), flags.get(shaft.id, ""))
        for shaft in takeoff.site.plan.shafts
    ]


def _highest_water(shaft: ShaftPlan) -> LogWater | None:
    return min((water for water in shaft.ground.water if water.kind != "unread"), key=lambda water: water.high_m, default=None)


class _Support(NamedTuple):
    """What holds a length of a shaft."""

    shaft: ShaftPlan
    interval: Interval
    base_m: float


def supports(site: SitePlan, numbers: SheetNumbers) -> Worksheet:
    """Return what holds the wall over every length."""
    fields: tuple[Field[_Support], ...] = (
        numbers.worded("shaft", lambda support: support.shaft.id),
        counted("alike", lambda support: support.shaft.count),
        numbers.measured("top", "m", lambda support: support.interval.top_m),
        numbers.measured("base", "m", lambda support: support.base_m),
        numbers.worded("ground", lambda support: support.interval.ground, 16),
        numbers.worded("held by", lambda support: SUPPORT_NAMES[support.interval.support], 18),
        numbers.worded("fluid", lambda support: support.interval.fluid or ""),
        numbers.worded("drilled", lambda support: STATE_NAMES.get(support.interval.drilled_in or "", ""), 24),
        numbers.worded("confidence", lambda support: support.interval.confidence, 12),
    )
    held = (_Support(shaft, interval, base_m) for shaft in site.plan.shafts for interval, base_m in support_runs(shaft))
    return fill("supports", "Support by depth, when the tip is reached", fields, held)


class _Step(NamedTuple):
    """A stage of a shaft."""

    shaft: ShaftPlan
    stage: Stage


def stages(site: SitePlan, numbers: SheetNumbers) -> Worksheet:
    """Return the steps of the work, in order."""
    fields: tuple[Field[_Step], ...] = (
        numbers.worded("shaft", lambda step: step.shaft.id),
        counted("no.", lambda step: step.stage.no),
        numbers.worded("step", lambda step: step.stage.action.replace("_", " "), 16),
        numbers.measured("from", "m", lambda step: step.stage.top_m),
        numbers.measured("to", "m", lambda step: step.stage.base_m),
        numbers.measured("planning time", "h", lambda step: step.stage.hours),
        numbers.worded("work", lambda step: step.stage.text, 110),
    )
    return fill("stages", "Stages", fields, (_Step(shaft, stage) for shaft in site.plan.shafts for stage in shaft.stages))


class _NumberedCasing(NamedTuple):
    """A casing of a shaft with its number."""

    shaft: ShaftPlan
    number: int
    casing: Casing

    @property
    def base_elevation_m(self) -> float | None:
        """Return the elevation of its shoe, where the ground level is known."""
        ground = self.shaft.ground.ground_elevation_m
        return None if ground is None else ground - self.casing.base_m

    @property
    def why(self) -> str:
        """Describe why it is as long, as thick and as high as it is."""
        wall = self.casing.wall_by.why if self.casing.wall_by else ""
        return " ".join(part for part in (self.casing.why, wall, self.casing.stick_up_why) if part)


def casing_schedule(site: SitePlan, numbers: SheetNumbers) -> Worksheet:
    """Return every casing of every shaft."""
    fields: tuple[Field[_NumberedCasing], ...] = (
        numbers.worded("shaft", lambda at: at.shaft.id),
        counted("alike", lambda at: at.shaft.count),
        counted("no.", lambda at: at.number),
        numbers.worded("kind", lambda at: at.casing.kind, 12),
        numbers.measured("outside", "size", lambda at: at.casing.outside_diameter_m),
        numbers.measured("wall", "wall", lambda at: at.casing.wall_m),
        numbers.measured("top", "m", lambda at: at.casing.top_m),
        numbers.measured("base", "m", lambda at: at.casing.base_m),
        numbers.measured("base elevation", "m", lambda at: at.base_elevation_m, 14),
        numbers.measured("length", "m", lambda at: at.casing.length_m),
        numbers.measured("mass", "kg", lambda at: at.casing.mass_kg, 12),
        numbers.worded("pieces from the shoe up", lambda at: _pieces(at.casing.sections_m or (at.casing.length_m,), numbers), 22),
        numbers.worded("put in by", lambda at: at.casing.installed_by, 30),
        numbers.worded("sealed", lambda at: "" if at.casing.kind == STARTER else at.casing.sealed),
        numbers.worded("seat", lambda at: at.casing.seat_layer, 24),
        numbers.measured("into the seat", "m", lambda at: at.casing.embedment.given_m if at.casing.embedment else None, 12),
        numbers.measured("needed in the seat", "m", lambda at: at.casing.embedment.needed_m if at.casing.embedment else None, 12),
        numbers.measured("stick-up", "m", lambda at: at.casing.stick_up_m),
        numbers.worded("from the yard", lambda at: "yes" if at.casing.from_yard else "no"),
        numbers.worded("why", lambda at: at.why, 90),
    )
    casings = (_NumberedCasing(shaft, no, casing) for shaft in site.plan.shafts for no, casing in enumerate(shaft.casings, 1))
    return fill("casing_schedule", "Casing schedule", fields, casings, ("A top that is negative stands above the ground.",))


def _pieces(lengths_m: tuple[float, ...], numbers: SheetNumbers) -> str:
    return " + ".join(f"{numbers.cell_value(length, 'm'):.2f}" for length in lengths_m)


def strings(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return the strings that serve all shafts in sequence, what is at hand of them and what is to be got."""
    yard = takeoff.yard
    fields: tuple[Field[YardString], ...] = (
        numbers.worded("string", lambda string: string.name),
        numbers.measured("outside", "size", lambda string: string.outside_diameter_m),
        numbers.measured("wall", "wall", lambda string: string.wall_m),
        numbers.measured("length", "m", lambda string: string.length_m),
        numbers.measured("needed", "m", lambda string: string.needed_m),
        numbers.measured("mass", "kg", lambda string: string.mass_kg, 12),
        numbers.worded("origin", lambda string: string.origin, 14),
        numbers.worded("pieces", lambda string: _pieces(string.pieces_m, numbers), 22),
        counted("joints", lambda string: string.splices, 8),
        numbers.measured("from the yard", "m", lambda string: string.from_yard_m, 12),
        numbers.measured("to get", "m", lambda string: string.to_get_m),
        counted("uses", lambda string: string.uses),
        counted("working days", lambda string: round(string.days.likely), 8),
        numbers.worded("shafts", lambda string: ", ".join(string.shafts), 80),
    )
    notes = (f"{yard.sizes} sizes; {least_sizes(yard)}.", *yard.said) if yard.strings else ("No temporary casing.",)
    return fill("strings", "Casing strings", fields, yard.strings, map(numbers.text, notes))
