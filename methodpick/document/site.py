"""The summary of a site: the schedule of methods, the section, the casings; then borings, sums, strings, hours and cost."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document import site_text as told
from methodpick.document.grouping import Group
from methodpick.document.model import Page, Part, Pen, Section
from methodpick.drawings.site_section import draw_section, even, in_line
from methodpick.plan.result import SUPPORT_SAID, Plan, ShaftPlan
from methodpick.site.result import Takeoff

A_PICTURE = 16
"""So many shafts stand in one picture of the section: two rows, which fit on a sheet."""


def site_page(plan: Plan, sheets: Sequence[Group], pen: Pen, closing: str, doubts: tuple[str, ...], takeoff: Takeoff | None) -> Page:
    """Return the page; without a takeoff it ends with the casings."""
    many = len(sheets) < len(plan.shafts)
    sections = [
        Section("Shafts", (_schedule(sheets, pen), *_decisions(sheets, pen))),
        Section("Section through the site", tuple(_section(sheets, pen, many=many))),
        Section("Casing schedule", (_casings(sheets, pen),)),
        *([] if takeoff is None else taken_off(takeoff, pen)),
    ]
    if doubts:
        sections.append(Section("Doubts of the reader", (pen.items(list(doubts)),)))
    kinds = f"{len(sheets)} kinds of shaft" if len(sheets) != 1 else "One kind of shaft"
    lines = [f"{kinds}, {sum(one.count for one in plan.shafts)} shafts in all, read from {plan.input.path}"]
    if many:
        lines.append("Shafts whose plan is the same word for word share a sheet, and a row of the tables here.")
    return Page(pen.t(plan.site_name or plan.input.path), (*map(pen.t, lines), closing), tuple(sections))


def _schedule(sheets: Sequence[Group], pen: Pen) -> Part:
    rows = [
        (
            group.names,
            str(group.count),
            pen.n(one.diameter_m, "size"),
            pen.n(one.cutoff_m, "m"),
            pen.n(one.tip_depth_m, "m"),
            one.boring + (f", {away} away" if (away := group.away(pen)) else ""),
            _water(one, pen),
            SUPPORT_SAID[one.method],
            one.placement.state,
            _surest(one),
        )
        for group in sheets
        for one in (group.first,)
    ]
    heads = ("shaft", "count", "diameter", "cut-off", "tip", "boring", "water, likely (range)", "method", "concrete", "confidence")
    return pen.table(heads, rows, (1, 2, 3, 4))


def _decisions(sheets: Sequence[Group], pen: Pen) -> list[Part]:
    """Return each decision once, with the sheets that it is of."""
    found: dict[str, list[str]] = {}
    for group in sheets:
        found.setdefault(pen.t(group.first.decision), []).append(group.names)
    return [pen.items([f"{'; '.join(names)}: {decision}" for decision, names in found.items()])]


def _water(shaft: ShaftPlan, pen: Pen) -> str:
    read = [one for one in shaft.ground.water if one.kind != "unread"]
    return "; ".join(f"{pen.n(one.likely_m, 'm')} ({pen.n(one.high_m, 'm')} to {pen.n(one.low_m, 'm')})" for one in read) or "not read"


def _surest(shaft: ShaftPlan) -> str:
    """Return the least confidence of a shaft's intervals."""
    held = {one.confidence for one in shaft.intervals}
    return next((word for word in ("undecided", "conditional") if word in held), "firm")


def _section(sheets: Sequence[Group], pen: Pen, *, many: bool) -> list[Part]:
    """Draw one shaft of each sheet, over as many pictures as it takes."""
    ordered = in_line([group.first for group in sheets])
    said = "The first shaft of each sheet is drawn." if many else ""
    return [pen.picture(draw_section(some, pen.units, f"site{number}"), said) for number, some in enumerate(even(ordered, A_PICTURE), 1)]


def _casings(sheets: Sequence[Group], pen: Pen) -> Part:
    rows = [
        (
            group.names,
            one.kind,
            f"{pen.n(one.outside_diameter_m, 'size')} x {pen.n(one.wall_m, 'wall')}",
            pen.n(one.top_m, "m"),
            pen.n(one.base_m, "m"),
            pen.n(one.length_m, "m"),
            pen.n(one.mass_kg, "kg"),
            "-" if one.kind == "starter" else one.sealed,
            str(group.count),
        )
        for group in sheets
        for one in group.first.casings
    ]
    if not rows:
        return pen.text("No casing.")
    return pen.table(("shaft", "kind", "outside x wall", "top", "base", "length", "mass", "sealed", "shafts"), rows, (3, 4, 5, 6, 8))


def taken_off(takeoff: Takeoff, pen: Pen) -> list[Section]:
    """Return the sections of a takeoff: borings, sums, clearances, strings, hours, cost, notes."""
    planned, yard = takeoff.site, takeoff.yard
    strings = [pen.table(told.YARD_HEADS, told.yard_rows(yard, pen), (2, 3, 4, 6, 7))] if yard.strings else []
    sections = [
        Section(
            "Borings of the shafts",
            tuple(
                _filled(
                    pen.table(told.BORING_HEADS, told.boring_rows(planned, pen), (2, 3)),
                    pen.text(told.BORING_KEY),
                    *map(pen.text, told.ways(planned)),
                    pen.items(told.flags(planned)),
                )
            ),
        ),
        Section(
            "Sums over the site",
            tuple(
                _filled(
                    pen.table(told.TOTAL_HEADS, told.total_rows(takeoff.totals, pen), (1, 2)),
                    pen.items(told.site_words(takeoff.site_lines)),
                )
            ),
        ),
        Section("Clearance of cages", tuple(_filled(pen.items([text for _, text in told.clearances(takeoff.shafts)])))),
        Section("Casing strings and the yard", (*strings, *map(pen.text, told.yard_words(yard, pen)))),
        Section(
            "Hours of each shaft, likely",
            (
                pen.table(told.HOURS_HEADS, told.hours_rows(takeoff.hours), tuple(range(1, 9))),
                pen.text(told.HOURS_KEY),
                pen.text(told.hours_sum(takeoff.hours)),
            ),
        ),
    ]
    if takeoff.cost is not None:
        rows = pen.table(told.COST_HEADS, told.cost_rows(takeoff.cost), (1, 2, 3))
        sections.append(Section(pen.t(told.cost_title(takeoff.cost)), tuple(_filled(rows, pen.text(told.not_priced(takeoff.cost))))))
    sections.append(Section("Notes on the takeoff", (pen.items(list(takeoff.notes)),)))
    return [one for one in sections if one.parts]


def _filled(*parts: Part) -> list[Part]:
    return [part for part in parts if part.text or part.entries or part.rows]
