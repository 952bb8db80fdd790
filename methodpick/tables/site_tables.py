"""All sheets of a site, in the order in which they are read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from methodpick.document.model import Document, Page, Paragraph, Section, TextTable, section
from methodpick.document.record import CLOSING, loosened_lines
from methodpick.site.result import Takeoff
from methodpick.tables import registers, schedules, wet_work
from methodpick.tables.cells import FormulaCell, NumberCell, SheetNumbers, Worksheet, plain
from methodpick.tables.factors import factors_table, make_factors
from methodpick.tables.takeoff import cost_table, takeoff_table
from methodpick.terms import UnitSystem


def make_tables(takeoff: Takeoff, units: UnitSystem | None = None, reader_doubts: tuple[str, ...] = ()) -> tuple[Worksheet, ...]:
    """Return every sheet of a taken-off site in the reader's units; the same takeoff gives the same sheets."""
    site = takeoff.site
    plan, numbers = site.plan, SheetNumbers(units or site.plan.units)
    factors = make_factors(takeoff, numbers)
    cost = cost_table(takeoff, factors, numbers)
    tables = (
        registers.cautions(plan, numbers, reader_doubts),
        schedules.method_schedule(takeoff, numbers),
        schedules.supports(site, numbers),
        schedules.stages(site, numbers),
        schedules.casing_schedule(site, numbers),
        schedules.strings(takeoff, numbers),
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
        schedules.hours(takeoff, numbers),
        schedules.calendar(takeoff, numbers),
        *((cost,) if cost is not None else ()),
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
