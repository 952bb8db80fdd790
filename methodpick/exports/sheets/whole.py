"""The whole report: the site first, a page for each shaft, and the record of what was relied on."""

from __future__ import annotations

from methodpick.exports.sheets.parts import Page, Part, Pen, Report, Section
from methodpick.exports.sheets.shaft_page import shaft_page
from methodpick.exports.svg.section import draw_section
from methodpick.plan.result import SUPPORT_SAID, Plan, ShaftPlan
from methodpick.plan.result.telling import WEAK, cited, plain_name
from methodpick.spoken import System, mark_plainly

CLOSING = ("This plan supports judgement and does not replace it: the licensed engineer in charge and the governing specification "
           "decide. Local safety codes govern all work at and around the open hole. Nobody enters the hole.")


def make_report(plan: Plan, units: System | None = None, reader_doubts: tuple[str, ...] = ()) -> Report:
    """Give the report of a plan in the reader's units, else those of the input."""
    pen = Pen(units or plan.units)
    title = pen.t(f"{plan.site_name or plan.input.path}: construction method of drilled shafts")
    pages = [_site(plan, pen, reader_doubts), *(shaft_page(shaft, pen, f"p{number}") for number, shaft in enumerate(plan.shafts, 1)),
             _reliance(plan, pen)]
    return Report(title, "us-letter" if pen.units == "us" else "a4", tuple(pages), CLOSING)


def _site(plan: Plan, pen: Pen, doubts: tuple[str, ...]) -> Page:
    sections = [
        Section("Shafts", (_schedule(plan, pen), pen.items([f"{one.id}: {one.decision}" for one in plan.shafts]))),
        Section("Section through the site", (pen.picture(draw_section(plan.shafts, pen.units, "site"), ""),)),
        Section("Casing schedule", (_casings(plan, pen),)),
    ]
    if doubts:
        sections.append(Section("Doubts of the reader", (pen.items(list(doubts)),)))
    kinds = f"{len(plan.shafts)} kinds of shaft" if len(plan.shafts) != 1 else "One kind of shaft"
    lines = (pen.t(f"{kinds}, {sum(one.count for one in plan.shafts)} shafts in all, read from {plan.input.path}"),
             CLOSING)
    return Page(pen.t(plan.site_name or plan.input.path), lines, tuple(sections))


def _schedule(plan: Plan, pen: Pen) -> Part:
    rows = [(one.id, str(one.count), pen.n(one.diameter_m, "size"), pen.n(one.cutoff_m, "m"), pen.n(one.tip_depth_m, "m"),
             f"{one.boring}, {pen.n(one.boring_distance_m, 'm')} away" if one.boring_distance_m is not None else one.boring,
             _water(one, pen), SUPPORT_SAID[one.method], one.placement.state, _surest(one)) for one in plan.shafts]
    heads = ("shaft", "count", "diameter", "cut-off", "tip", "boring", "water, likely (range)", "method", "concrete", "confidence")
    return pen.table(heads, rows, (1, 2, 3, 4))


def _water(shaft: ShaftPlan, pen: Pen) -> str:
    read = [one for one in shaft.ground.water if one.kind != "unread"]
    return "; ".join(f"{pen.n(one.likely_m, 'm')} ({pen.n(one.high_m, 'm')} to {pen.n(one.low_m, 'm')})" for one in read) or "not read"


def _surest(shaft: ShaftPlan) -> str:
    """Give the least confidence of a shaft's intervals."""
    held = {one.confidence for one in shaft.intervals}
    return next((word for word in ("undecided", "conditional") if word in held), "firm")


def _casings(plan: Plan, pen: Pen) -> Part:
    rows = [(shaft.id, one.kind, f"{pen.n(one.outside_diameter_m, 'size')} x {pen.n(one.wall_m, 'wall')}", pen.n(one.top_m, "m"),
             pen.n(one.base_m, "m"), pen.n(one.length_m, "m"), pen.n(one.mass_kg, "kg"), "-" if one.kind == "starter" else one.sealed,
             str(shaft.count)) for shaft in plan.shafts for one in shaft.casings]
    if not rows:
        return pen.text("No casing.")
    return pen.table(("shaft", "kind", "outside x wall", "top", "base", "length", "mass", "sealed", "shafts"), rows, (3, 4, 5, 6, 8))


def _reliance(plan: Plan, pen: Pen) -> Page:
    """Give the record of what the report rests on, so that it can be made again and checked."""
    book = plan.rulebook
    rows = [("tool", f"methodpick {plan.tool_version}"), ("plan format", plan.format), ("input", plan.input.path),
            ("digest of the input", plan.input.digest), ("digest of the rulebook", book.digest),
            ("overlays", ", ".join(book.overlays) or "none"), ("units of this report", pen.units),
            *((f"boring of {one.id}", f"{one.boring}, ends at {pen.n(one.ground.end_m, 'm')}") for one in plan.shafts)]
    sections = [Section("What this report rests on", (pen.table(("what", "which"), rows),))]
    if book.set_by_overlays:
        said = [f"{plain_name(one.name)}: {mark_plainly(one.value, one.unit)}, by {one.overlay} ({cited((one.source,))}; "
                f"{WEAK.get(one.confidence, 'read in print')})" for one in book.set_by_overlays]
        sections.append(Section("Values set by overlays", (pen.items(said),)))
    if plan.sources:
        sections.append(Section("Sources", (pen.items([f"{key}: {text}" for key, text in plan.sources.items()]),)))
    return Page("Record of reliance", (CLOSING,), tuple(sections))
