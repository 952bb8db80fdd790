"""The whole report: the site first, a page for each shaft, and the record of what was relied on."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.facts import WEAK, cited, plain_name
from methodpick.document.grouping import Group, groups
from methodpick.document.model import Page, Pen, Report, Section
from methodpick.document.shaft import shaft_page
from methodpick.document.site import site_page
from methodpick.plan.result import Plan
from methodpick.site.result import Takeoff
from methodpick.unit_markup import System, mark_plainly

CLOSING = (
    "This plan supports judgement and does not replace it: the licensed engineer in charge and the governing specification "
    "decide. Local safety codes govern all work at and around the open hole. Nobody enters the hole."
)


def make_report(plan: Plan, units: System | None = None, reader_doubts: tuple[str, ...] = (), takeoff: Takeoff | None = None) -> Report:
    """Return the report of a plan in the reader's units, else those of the input; a takeoff of the same plan goes into its summary."""
    pen = Pen(units or plan.units)
    title = pen.t(f"{plan.site_name or plan.input.path}: construction method of drilled shafts")
    sheets = groups(plan.shafts)
    pages = [
        site_page(plan, sheets, pen, CLOSING, reader_doubts, takeoff),
        *(shaft_page(group, pen, f"p{number}") for number, group in enumerate(sheets, 1)),
        _reliance(plan, sheets, pen),
    ]
    return Report(title, "us-letter" if pen.units == "us" else "a4", tuple(pages), CLOSING)


def _reliance(plan: Plan, sheets: Sequence[Group], pen: Pen) -> Page:
    """Return the record of what the report rests on, so that it can be made again and checked."""
    book = plan.rulebook
    rows = [
        ("tool", f"methodpick {plan.tool_version}"),
        ("plan format", plan.format),
        ("input", plan.input.path),
        ("digest of the input", plan.input.digest),
        ("digest of the rulebook", book.digest),
        ("overlays", ", ".join(book.overlays) or "none"),
        ("units of this report", pen.units),
        *((f"boring of {one.names}", f"{one.first.boring}, ends at {pen.n(one.first.ground.end_m, 'm')}") for one in sheets),
    ]
    sections = [Section("What this report rests on", (pen.table(("what", "which"), rows),))]
    if book.set_by_overlays:
        said = [
            f"{plain_name(one.name)}: {mark_plainly(one.value, one.unit)}, by {one.overlay} ({cited((one.source,))}; "
            f"{WEAK.get(one.confidence, 'read in print')})"
            for one in book.set_by_overlays
        ]
        sections.append(Section("Values set by overlays", (pen.items(said),)))
    if plan.sources:
        sections.append(Section("Sources", (pen.items([f"{key}: {text}" for key, text in plan.sources.items()]),)))
    return Page("Record of reliance", (CLOSING,), tuple(sections))
