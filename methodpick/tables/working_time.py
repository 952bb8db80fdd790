"""The sheets of time: the hours of each shaft, which follow the concrete to order, and the calendar."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

from methodpick.document.calendar import calendar_words, strings_of_shafts
from methodpick.site.calendar_result import CalendarShaft
from methodpick.site.estimate import Estimate
from methodpick.site.result import TO_ORDER, HoursRow, Takeoff
from methodpick.tables.cells import Cell, CellRef, Field, FormulaCell, NumberCell, SheetColumn, SheetNumbers, Worksheet, counted, fill
from methodpick.tables.takeoff import LOW, NAME


class _ShaftHours(NamedTuple):
    """The hours of a shaft, with its concrete to order and the row of that in the sheet of the takeoff."""

    row: HoursRow
    order: Estimate
    order_row: int


_KINDS_OF_WORK: tuple[tuple[str, Callable[[HoursRow], Estimate]], ...] = (
    ("drill", lambda row: row.drill),
    ("casing", lambda row: row.casing),
    ("fluid", lambda row: row.fluid),
    ("clean", lambda row: row.clean),
    ("cage", lambda row: row.cage),
    ("pour", lambda row: row.pour),
    ("pull", lambda row: row.pull),
    ("move", lambda row: row.move),
)
LIKELY = 1
"""The place of the likely value between low and high."""


def hours(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return the hours of each shaft by kind of work, likely, and in all; what is poured at a rate follows the concrete to order."""
    fields: tuple[Field[_ShaftHours], ...] = (
        numbers.worded("shaft", lambda shaft: shaft.row.shaft),
        counted("alike", lambda shaft: shaft.row.count),
        *(_hours_of(name, part, numbers) for name, part in _KINDS_OF_WORK),
        Field(SheetColumn("all, low", "h"), partial(_hours_in_all, end=0, numbers=numbers)),
        Field(SheetColumn("all, likely", "h"), partial(_hours_in_all, end=LIKELY, numbers=numbers)),
        Field(SheetColumn("all, high", "h"), partial(_hours_in_all, end=2, numbers=numbers)),
        numbers.worded("by", lambda shaft: "your rates" if shaft.row.by_rates else "planning hours of this tool's own", 40),
    )
    return fill("hours", "Hours of each shaft", fields, _with_orders(takeoff))


def _with_orders(takeoff: Takeoff) -> list[_ShaftHours]:
    """Return the hours of every shaft with the row in which its concrete stands; sums and lines of the site come before."""
    found, row = [], len(takeoff.totals) + len(takeoff.site_lines)
    for shaft, hours_row in zip(takeoff.shafts, takeoff.hours, strict=True):
        place = next(place for place, line in enumerate(shaft.lines) if line.item == TO_ORDER)
        found.append(_ShaftHours(hours_row, shaft.lines[place].amount, row + place))
        row += len(shaft.lines)
    return found


def _hours_of(name: str, part: Callable[[HoursRow], Estimate], numbers: SheetNumbers) -> Field[_ShaftHours]:
    if name == "pour":
        return Field(SheetColumn(name, "h"), lambda shaft: _with_pour(shaft, LIKELY, 0.0, numbers))
    return numbers.measured(name, "h", lambda shaft: part(shaft.row).likely)


def _hours_in_all(shaft: _ShaftHours, *, end: int, numbers: SheetNumbers) -> Cell:
    total, pour = _ends(shaft.row.total), _ends(shaft.row.pour)
    return _with_pour(shaft, end, total[end] - pour[end], numbers)


def _with_pour(shaft: _ShaftHours, end: int, other_h: float, numbers: SheetNumbers) -> Cell:
    """Return the hours of the pour and of other work; the pour follows the order where it goes by a speed of the user's."""
    pour_h, order_m3 = _ends(shaft.row.pour)[end], _ends(shaft.order)[end]
    if not shaft.row.by_rates or "pour: speed" in shaft.row.lacking or order_m3 <= 0:
        return NumberCell(other_h + pour_h, 2)
    each_h = pour_h / numbers.cell_value(order_m3, "m3")
    return FormulaCell(other_h + pour_h, (f"{other_h:.12g}+{each_h:.12g}*", CellRef(NAME, shaft.order_row, LOW + end)), 2)


def _ends(amount: Estimate) -> tuple[float, float, float]:
    return amount.low, amount.likely, amount.high


def calendar(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return when each shaft is built, by which rig and with which casing strings, at likely hours."""
    plan, of_shaft = takeoff.calendar, strings_of_shafts(takeoff)
    fields: tuple[Field[CalendarShaft], ...] = (
        numbers.worded("shaft", lambda shaft: shaft.shaft),
        counted("no.", lambda shaft: max(1, shaft.number)),
        counted("rig", lambda shaft: shaft.rig),
        counted("first day", lambda shaft: shaft.first_day),
        counted("last day", lambda shaft: shaft.last_day),
        numbers.worded("begun on", lambda shaft: plan.date_of(shaft.first_day), 12),
        numbers.measured("rig comes", "h", lambda shaft: shaft.begun_h),
        numbers.measured("hole opened", "h", lambda shaft: shaft.opened_h),
        numbers.measured("last cleaning", "h", lambda shaft: shaft.cleaned_h),
        numbers.measured("rig leaves", "h", lambda shaft: shaft.left_h),
        numbers.measured("finished", "h", lambda shaft: shaft.end_h),
        numbers.worded("strings", lambda shaft: ", ".join(of_shaft.get((shaft.shaft, shaft.number), ())), 20),
    )
    notes = ("Hours run on the clock from the morning of the first working day; days are working days.", *calendar_words(plan))
    return fill("calendar", "Calendar", fields, plan.shafts, map(numbers.text, notes))
