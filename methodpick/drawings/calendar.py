"""The calendar of a site as a bar chart: shafts down the page, working days across, the casing strings in use below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import floor

from methodpick.drawings.canvas import GREY, INK, PALE, WIDTH, Canvas, shorten, ticks
from methodpick.errors import InputError, Problem
from methodpick.records import record
from methodpick.site.result import Calendar, CalendarShaft, StringNeed

TOP, LEFT, RIGHT = 46.0, 96.0, WIDTH - 14.0
ROW, BAR, LABEL = 12.0, 7.0, 9.0
MOST_ROWS = 90
"""Rows that are drawn; what more there are is said."""


@record
class _Days:
    """The scale of working days, a shift to each: hours on the clock onto the canvas, nights left out."""

    calendar: Calendar
    last: float

    def x(self, hour: float) -> float:
        """Return the place of an hour."""
        days = self.calendar.days_before(hour)
        return LEFT + (RIGHT - LEFT) * min(1.0, days / self.last)


def draw_calendar(
    calendar: Calendar, needs: Sequence[StringNeed], prefix: str = "a", substructures: Mapping[str, str] | None = None
) -> str:
    """Draw when each shaft is built and which casing string is in the ground when, at likely hours, as SVG.

    Shafts of one of ``substructures``, which are named by shaft, share a row. Raises InputError where no shaft is built.
    """
    if not calendar.shafts:
        raise InputError(Problem("no shaft can be built, so there is no calendar to draw", hint="plan says why"))
    days = _Days(calendar, max(1.0, calendar.days.likely))
    rows = _rows(calendar.shafts, substructures or {})
    strings = _by_string(needs)
    shown = rows[:MOST_ROWS]
    base = TOP + ROW * len(shown)
    string_top = base + (26.0 if strings else 0.0)
    end = string_top + ROW * len(strings)
    canvas = Canvas(end, "Calendar of the shafts", prefix)
    canvas.text(4, TOP - 24, "working days", 10.5, font_weight="bold")
    _scale(canvas, days, end)
    for index, (name, shafts) in enumerate(shown):
        _shaft_row(canvas, days, TOP + ROW * index, name, shafts)
    canvas.line((LEFT, TOP), (LEFT, base))
    if strings:
        canvas.text(4, string_top - 6, "casing strings in the ground", 10.5, font_weight="bold")
        for index, (name, here) in enumerate(strings):
            _string_row(canvas, days, string_top + ROW * index, name, here)
        canvas.line((LEFT, string_top), (LEFT, end))
    _key(canvas, calendar, end, len(rows) - len(shown))
    canvas.says = _in_words(days, rows)
    return canvas.svg()


def _in_words(days: _Days, rows: Sequence[tuple[str, list[CalendarShaft]]]) -> str:
    """Describe the bars to those who do not see them: the days of each row."""
    told = [
        f"{name} from day {min(each.first_day for each in here)} to {max(each.last_day for each in here)}"
        for name, here in rows[:MOST_ROWS]
    ]
    return f"{days.last:g} working days: {', '.join(told)}."


def _rows(shafts: Sequence[CalendarShaft], substructures: Mapping[str, str]) -> list[tuple[str, list[CalendarShaft]]]:
    """Return a row for each shaft or substructure, for alike shafts one together where there are many."""
    together = len(shafts) > MOST_ROWS
    found: dict[str, list[CalendarShaft]] = {}
    for shaft in shafts:
        name = shaft.shaft if together else shaft.name
        found.setdefault(substructures.get(shaft.shaft, name), []).append(shaft)
    return list(found.items())


def _by_string(needs: Sequence[StringNeed]) -> list[tuple[str, list[StringNeed]]]:
    found: dict[str, list[StringNeed]] = {}
    for need in needs:
        found.setdefault(need.string, []).append(need)
    return sorted(found.items(), key=lambda item: (len(item[0]), item[0]))


def _scale(canvas: Canvas, days: _Days, end: float) -> None:
    """Draw the days: a line at the evening of every round one."""
    for day in ticks(0.0, days.last, 14):
        if day != floor(day):
            continue
        x = LEFT + (RIGHT - LEFT) * day / days.last
        canvas.line((x, TOP - 4), (x, end), stroke=PALE, stroke_width=0.5)
        canvas.text(x, TOP - 7, f"{day:.0f}", LABEL, text_anchor="middle")


def _shaft_row(canvas: Canvas, days: _Days, top: float, name: str, shafts: Sequence[CalendarShaft]) -> None:
    canvas.text(LEFT - 5, top + BAR + 2, shorten(name, LEFT - 14, LABEL), LABEL, text_anchor="end")
    for shaft in shafts:
        begun, cleaned, end = (days.x(hour) for hour in (shaft.begun_h, shaft.cleaned_h, shaft.end_h))
        canvas.rect(begun, top + 2, cleaned - begun, BAR, fill=canvas.hatch("band"), stroke=INK, stroke_width=0.6)
        canvas.rect(cleaned, top + 2, max(1.0, end - cleaned), BAR, fill=INK)
        if days.calendar.rigs_used > 1 and len(shafts) == 1:
            canvas.text(end + 3, top + BAR + 1.5, str(shaft.rig), 8.0, fill=GREY)


def _string_row(canvas: Canvas, days: _Days, top: float, name: str, needs: Sequence[StringNeed]) -> None:
    canvas.text(LEFT - 5, top + BAR + 2, shorten(name, LEFT - 14, LABEL), LABEL, text_anchor="end")
    first, last = min(need.from_h for need in needs), max(need.until_h for need in needs)
    middle = top + 2 + BAR / 2
    canvas.line((days.x(first), middle), (days.x(last), middle), stroke=GREY, stroke_width=0.8)
    for need in needs:
        left = days.x(need.from_h)
        canvas.rect(left, top + 2, max(1.0, days.x(need.until_h) - left), BAR, fill=GREY)


def _key(canvas: Canvas, calendar: Calendar, end: float, left_out: int) -> None:
    y = end + 18
    canvas.rect(6, y - 8, 26, BAR, fill=canvas.hatch("band"), stroke=INK, stroke_width=0.6)
    canvas.text(38, y - 1, "rig: move, case, drill, fill", 9.5)
    canvas.rect(196, y - 8, 26, BAR, fill=INK)
    canvas.text(228, y - 1, "from the last cleaning to the last pull", 9.5)
    if calendar.rigs_used > 1:
        canvas.text(440, y - 1, "a number: the rig", 9.5)
    more = f" {left_out} more rows are in the sheet 'calendar'." if left_out else ""
    text = f"Likely hours; a shift of {calendar.shift_h:g} h fills a day, nights are left out.{more}"
    canvas.height = canvas.paragraph(y + 2, text) + 10
