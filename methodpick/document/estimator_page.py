"""The estimator's page: what is bought, placed and done, what has no price yet, what it takes if the ground disagrees."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document import takeoff as taking_off
from methodpick.document.casings_and_concrete import to_order_m3
from methodpick.document.cost_and_bid import not_priced
from methodpick.document.model import Items, Page, Paragraph, Section, TextTable, page_with, section
from methodpick.document.pages import ShaftGroup
from methodpick.document.reasons import RUNGS_KEY, rungs_table, rungs_together
from methodpick.document.ways_of_working import ways_of_working
from methodpick.plan.result import Plan
from methodpick.site.estimate import HoursRow
from methodpick.site.result import Takeoff
from methodpick.unit_markup import bare_number, how_many, number, unit_name

MORE_FOR_THE_ESTIMATOR = (
    "How sums and costs come about, where each cage fits and what is built if the ground disagrees: --for estimator --full. Every line of "
    "a shaft with its formula: methodpick takeoff FILE --shaft ID, or --csv for all."
)


def estimator_page(takeoff: Takeoff, groups: Sequence[ShaftGroup], *, full: bool = False) -> Page:
    """Return the page; ``full`` with how its numbers come about. The lines of a shaft with their formulas are in the takeoff itself.

    The kinds of a site that has many share a row where they are built in the same way; with ``full`` each has its own.
    """
    plan, many = takeoff.site.plan, len(groups) > MANY_KINDS and not full
    last = MORE_FOR_THE_ESTIMATOR.partition("--full. ")[2] if full else MORE_FOR_THE_ESTIMATOR
    rows = [way.groups for way in ways_of_working(groups)] if many else [(group,) for group in groups]
    return page_with(
        _title(plan, groups),
        (),
        section("Concrete, net and ordered", _concrete_by_way(rows, takeoff.hours) if many else _concrete_quantities(groups)),
        *taking_off.taken_off(takeoff, short=not full, hours_by_shaft=not many),
        section("Not priced yet", Items(tuple(_missing(takeoff)))),
        _disagrees(rows, groups, full=full),
        section("", Paragraph(last)),
    )


MANY_KINDS = 8
"""With more kinds than these, those that are built in the same way share a row."""


def _disagrees(rows: Sequence[Sequence[ShaftGroup]], groups: Sequence[ShaftGroup], *, full: bool) -> Section | None:
    """Return what it takes if the ground disagrees: in words, or as a table with a row for kinds that are built alike."""
    if not any(len(group.first.ladder) > 1 for group in groups):
        return None
    if full:
        return section(_DISAGREES, Items(tuple(_risks(groups))))
    named = [(_named(row), [group.first for group in row]) for row in rows]
    most = "Where a row is of several kinds, the most that one shaft of them takes." if len(rows) < len(groups) else ""
    return section(_DISAGREES, rungs_table(named), Paragraph(RUNGS_KEY), Paragraph(most))


def _named(row: Sequence[ShaftGroup]) -> str:
    """Return the first shaft of a row and how many more entries of the schedule are in it."""
    more = sum(len(group.shafts) for group in row) - 1
    return row[0].first.id + (f" +{more}" if more else "")


_DISAGREES = "If the ground disagrees, each shaft"


def _title(plan: Plan, groups: Sequence[ShaftGroup]) -> str:
    return f"For the estimator: {plan.site_name or plan.input.path}, {how_many(sum(group.count for group in groups), 'shaft')}"


_CONCRETE_HEADS = ("shaft", "n", "one by the drawing", "to order", "low to high")


def _concrete_quantities(groups: Sequence[ShaftGroup]) -> TextTable:
    """Return the concrete of one shaft of each kind: by the drawing, to order, and in how many trucks."""
    rows, truck_m3 = [], None
    for group in groups:
        if (concrete := group.first.concrete) is not None:
            likely, low, high = to_order_m3(concrete)
            volumes = number(concrete.theoretical_m3, "m3"), number(likely, "m3"), f"{bare_number(low, 'm3')} to {bare_number(high, 'm3')}"
            trucks = " to ".join(dict.fromkeys((str(concrete.trucks), str(concrete.trucks_high))))
            rows.append((_named((group,)), str(group.count), *volumes, trucks))
            truck_m3 = concrete.truck_m3
    return TextTable((*_CONCRETE_HEADS, f"trucks of {number(truck_m3, 'm3')}"), tuple(rows), (1, 2, 3, 4, 5))


def _concrete_by_way(rows: Sequence[Sequence[ShaftGroup]], hours: Sequence[HoursRow]) -> TextTable:
    """Return the concrete of one shaft of each way of building, from its least kind to its most, in how many trucks, and its hours."""
    hours_of = {row.shaft: row.total.likely for row in hours}
    found = []
    for row in rows:
        built = [(group.first.concrete, hours_of[group.first.id]) for group in row if group.first.concrete is not None]
        if not built:
            continue
        ordered = [to_order_m3(concrete) for concrete, _ in built]
        net, likely, spread = (
            _volumes(values)
            for values in (
                [concrete.theoretical_m3 for concrete, _ in built],
                [each[0] for each in ordered],
                [value for each in ordered for value in each[1:]],
            )
        )
        trucks = _from_to([f"{count}" for concrete, _ in built for count in (concrete.trucks, concrete.trucks_high)])
        worked = _from_to([f"{hours_h:.1f}" for _, hours_h in built])
        found.append((_named(row), str(sum(group.count for group in row)), net, likely, spread, trucks, worked))
    unit = unit_name("m3")
    heads = ("shaft", "n", f"one drawn, {unit}", f"to order, {unit}", "low to high", "trucks", "hours")
    return TextTable(heads, tuple(found), (1, 2, 3, 4, 5, 6))


def _volumes(values_m3: Sequence[float]) -> str:
    """Return the least and the most of some volumes without their unit, one where they are the same."""
    low, high = min(values_m3), max(values_m3)
    return bare_number(high, "m3") if high - low < SAME_M3 else f"{bare_number(low, 'm3')} to {bare_number(high, 'm3')}"


SAME_M3 = 0.05
"""Volumes that differ by less are written alike."""


def _from_to(written: Sequence[str]) -> str:
    """Return the least and the most of some numbers as they are written, one where they are the same.

    >>> _from_to(["8.1", "10.0", "9.5"]), _from_to(["4", "4"])
    ('8.1 to 10.0', '4')
    """
    return " to ".join(dict.fromkeys((min(written, key=float), max(written, key=float))))


def _missing(takeoff: Takeoff) -> Iterator[str]:
    """Return what has no rate of the reader's, for hours and for money."""
    if wanting := taking_off.hours_without_rate(takeoff.hours):
        yield wanting
    if takeoff.cost is None:
        yield "No money: the site file gives no rates ('rates:', see methodpick new)."
    elif takeoff.cost.unpriced:
        yield not_priced(takeoff.cost)


def _risks(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    shafts = [group.first for group in groups]
    for place in range(1, max((len(shaft.ladder) for shaft in shafts), default=0)):
        yield from rungs_together([(shaft.id, shaft.ladder[place], shaft) for shaft in shafts if place < len(shaft.ladder)])
