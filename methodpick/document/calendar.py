"""The calendar of a site: how long it takes and what binds, in a paragraph; shaft by shaft as bars in a table, and as a picture."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, floor

from methodpick.document.model import Figure, Items, Paragraph, Section, TextTable, section
from methodpick.drawings.calendar import draw_calendar
from methodpick.site.estimate import Estimate
from methodpick.site.result import Calendar, CalendarShaft, Takeoff
from methodpick.unit_markup import how_many

BAR = 36
"""Characters of the longest bar."""
MANY = 24
"""With more shafts than these their bars share a row in a report, substructure by substructure."""


def calendar_in_short(calendar: Calendar) -> Section:
    """Return how long the site takes, with whom, what binds, and what would shorten it."""
    return section("Calendar", *map(Paragraph, calendar_words(calendar)))


def calendar_words(calendar: Calendar) -> tuple[str, ...]:
    """Describe how long the site takes, with whom, what binds, and what would shorten it."""
    return (_length(calendar), *filter(None, (_what_binds(calendar),)), *calendar.said)


def _length(calendar: Calendar) -> str:
    if not calendar.shafts:
        return "No shaft is built."
    rigs = how_many(calendar.rigs_used, "rig") + (f" of {calendar.rigs}" if calendar.rigs_used < calendar.rigs else "")
    week = f", {calendar.days_a_week} days a week" if calendar.days_a_week < 7 else ""
    dates = f", from {calendar.date_of(1)} to {calendar.date_of(int(calendar.days.likely))}" if calendar.start else ""
    return (
        f"{_days(calendar.days)} for {how_many(len(calendar.shafts), 'shaft')}, {calendar.shafts_a_day:.2g} a day, with {rigs} and "
        f"{how_many(calendar.crews, 'crew')} in shifts of {calendar.shift_h:g} h{week}{dates}."
    )


def _days(days: Estimate) -> str:
    likely = how_many(int(days.likely), "working day")
    return likely if days.certain else f"{likely} ({days.low:.0f} to {days.high:.0f})"


def _what_binds(calendar: Calendar) -> str:
    if not calendar.shafts:
        return ""
    shorter = [relief for relief in calendar.reliefs if relief.days < calendar.days.likely]
    reliefs = "; ".join(f"{relief.what}: {relief.days} days" for relief in shorter)
    return f"What binds: {calendar.binding}. " + (f"With {reliefs}." if shorter else "Neither more plant nor more people make it shorter.")


def calendar_by_shaft(takeoff: Takeoff) -> Section:
    """Return the calendar as bars: a row for each shaft with its rig, its working days and the casing strings that it takes."""
    calendar = takeoff.calendar
    last = max(1.0, calendar.days.likely)
    strings = strings_of_shafts(takeoff)
    rows = tuple(
        (shaft.name, str(shaft.rig), _from_to(shaft), ", ".join(strings.get((shaft.shaft, shaft.number), ())), _bar(calendar, shaft, last))
        for shaft in calendar.shafts
    )
    a_sign = last / BAR
    legend = (
        f"A sign is {a_sign:.2g} days: - the rig, # from the last cleaning to the last pull.",
        "Strings are those of the section on casing; they move from shaft to shaft in this order.",
    )
    return section("Calendar, shaft by shaft", TextTable(("shaft", "rig", "days", "strings", ""), rows, (1,)), Items(legend))


def _from_to(shaft: CalendarShaft) -> str:
    return str(shaft.first_day) if shaft.first_day == shaft.last_day else f"{shaft.first_day} to {shaft.last_day}"


def _bar(calendar: Calendar, shaft: CalendarShaft, last: float) -> str:
    begun, cleaned, end = (calendar.days_before(hour) / last * BAR for hour in (shaft.begun_h, shaft.cleaned_h, shaft.end_h))
    first, middle, after = floor(begun + 1e-9), floor(cleaned + 1e-9), max(floor(begun + 1e-9) + 1, ceil(end - 1e-9))
    return "·" * first + "-" * max(0, min(middle, after - 1) - first) + "#" * (after - max(first, min(middle, after - 1)))


def strings_of_shafts(takeoff: Takeoff) -> dict[tuple[str, int], list[str]]:
    """Return the names of the casing strings of every shaft in the calendar, by its name and number; those of a need go in turn."""
    numbers = {shaft.shaft: shaft.number for shaft in takeoff.calendar.shafts}
    found: dict[tuple[str, int], list[str]] = {}
    seen: dict[tuple[str, str, float], int] = {}
    for need in takeoff.yard.needs:
        key = need.shaft, need.kind, need.length_m
        seen[key] = seen.get(key, 0) + 1
        found.setdefault((need.shaft, seen[key] if numbers[need.shaft] else 0), []).append(need.string)
    return found


def calendar_figure(takeoff: Takeoff, substructures: Mapping[str, str] | None = None) -> Figure:
    """Return the bar chart of the calendar; shafts of one of ``substructures``, which are named by shaft, share a row."""
    return Figure(lambda _, prefix: draw_calendar(takeoff.calendar, takeoff.yard.needs, prefix, substructures))


def calendar_drawn(takeoff: Takeoff) -> Section:
    """Return the calendar in short with its bar chart, a row for each substructure where there are many shafts; no chart of a single."""
    short, many = calendar_in_short(takeoff.calendar), len(takeoff.calendar.shafts) > MANY
    substructures = {shaft.shaft: shaft.substructure for shaft in takeoff.shafts if shaft.substructure} if many else None
    return section(short.title, *short.blocks, calendar_figure(takeoff, substructures) if len(takeoff.calendar.shafts) > 1 else None)
