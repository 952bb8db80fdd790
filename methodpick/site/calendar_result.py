"""The clock of working hours, and the records of a calendar: when a shaft is built, by which rig, how long it takes, what shortens it."""

from __future__ import annotations

from datetime import date, timedelta
from math import inf

from methodpick.records import record
from methodpick.site.estimate import Estimate

SAME_H = 1e-9
"""Hours closer than this are equal."""
DAY_H, WEEK = 24.0, 7
"""Hours of a day and days of a week."""


@record
class WorkClock:
    """Working hours on a clock that starts with the first working day: shifts from its beginning, on the first days of every week."""

    shift_h: float
    days_a_week: int = WEEK

    def morning(self, day: int) -> float:
        """Return when a working day begins, counted from 0.

        >>> WorkClock(10, 5).morning(4), WorkClock(10, 5).morning(5)
        (96.0, 168.0)
        """
        weeks, weekday = divmod(day, self.days_a_week)
        return DAY_H * (WEEK * weeks + weekday)

    def day_of(self, hour: float) -> int:
        """Return the working day of an hour; a night and a weekend belong to the day before them.

        >>> WorkClock(10, 5).day_of(23), WorkClock(10, 5).day_of(130), WorkClock(10, 5).day_of(168)
        (0, 4, 5)
        """
        weeks, rest_h = divmod(hour + SAME_H, DAY_H * WEEK)
        return int(weeks) * self.days_a_week + min(int(rest_h // DAY_H), self.days_a_week - 1)

    def evening(self, day: int) -> float:
        """Return when the shift of a working day ends; shifts of a whole day end with the week, never where every day is worked.

        >>> WorkClock(10, 5).evening(1), WorkClock(24, 5).evening(1), WorkClock(24).evening(1)
        (34.0, 120.0, inf)
        """
        if self.shift_h < DAY_H:
            return self.morning(day) + self.shift_h
        return inf if self.days_a_week == WEEK else self.morning(day - day % self.days_a_week) + DAY_H * self.days_a_week

    def morning_after(self, day: int) -> float:
        """Return when work begins after the evening of a working day."""
        whole_days = self.shift_h >= DAY_H and self.days_a_week < WEEK
        return self.morning(day - day % self.days_a_week + self.days_a_week if whole_days else day + 1)

    def next_hour(self, hour: float) -> float:
        """Return the first working hour from an hour on."""
        day = self.day_of(hour)
        return hour if hour < self.evening(day) - SAME_H else self.morning_after(day)

    def after(self, hour: float, work_h: float) -> float:
        """Return when work that nights may part is done.

        >>> WorkClock(10).after(8, 5)
        27.0
        """
        if work_h <= SAME_H:
            return hour
        hour = self.next_hour(hour)
        while hour + work_h > (evening := self.evening(day := self.day_of(hour))) + SAME_H:
            work_h, hour = work_h - (evening - hour), self.morning_after(day)
        return hour + work_h

    def unparted(self, hour: float, work_h: float) -> float:
        """Return when work without a night begins: at once where the shift is long enough for it, else in the morning.

        >>> WorkClock(10).unparted(4, 6), WorkClock(10).unparted(5, 6), WorkClock(10).unparted(24, 12)
        (4, 24.0, 24)
        """
        hour = self.next_hour(hour)
        day = self.day_of(hour)
        fits = hour + work_h <= self.evening(day) + SAME_H or hour <= self.morning(day) + SAME_H
        return hour if fits else self.morning_after(day)

    def days_before(self, hour: float) -> float:
        """Return the working days, and the share of a shift, that are over at an hour; a night is the end of its day.

        >>> WorkClock(10, 5).days_before(29), WorkClock(10, 5).days_before(40), WorkClock(10, 5).days_before(130)
        (1.5, 2.0, 5.0)
        """
        weeks, rest_h = divmod(hour + SAME_H, DAY_H * WEEK)
        weekday, in_day_h = divmod(rest_h - SAME_H, DAY_H)
        over = min(1.0, in_day_h / self.shift_h) if weekday < self.days_a_week else 0.0
        return weeks * self.days_a_week + min(weekday, float(self.days_a_week)) + over


def on_site_hours(days: Estimate, rigs: int, shift_h: float) -> Estimate:
    """Return the hours of all shifts of so many rigs over working days.

    >>> on_site_hours(Estimate(2.0, 3.0, 3.0), 2, 10.0)
    Estimate(low=40.0, likely=60.0, high=60.0)
    """
    return days.times(rigs * shift_h)


@record
class CalendarShaft:
    """A shaft in the calendar, at likely hours.

    ``number`` counts alike shafts, 0 where it stands alone. Hours run on the clock from the morning of the first day: the rig comes at
    ``begun_h``, opens the hole at ``opened_h``, cleans its base from ``cleaned_h`` and leaves at ``left_h``; the last casing is out at
    ``end_h``. Working days are counted from 1.
    """

    shaft: str
    number: int
    rig: int
    begun_h: float
    opened_h: float
    cleaned_h: float
    left_h: float
    end_h: float
    first_day: int
    last_day: int

    @property
    def name(self) -> str:
        """Return the name of the shaft, with its number among alike ones."""
        return f"{self.shaft} ({self.number})" if self.number else self.shaft


@record
class Relief:
    """What would shorten the work: its words, and the likely working days with it."""

    what: str
    days: int


@record
class Calendar:
    """The calendar of a site: working days with their spread, the shafts in the order of their beginning, what binds, and notes.

    Of ``rigs`` at hand ``rigs_used`` work. ``start`` is the date of the first day, "" where it is not given, ``days_a_week`` 7 where
    every day is a working day.
    """

    days: Estimate
    rigs: int
    rigs_used: int
    crews: int
    shift_h: float
    days_a_week: int
    start: str
    shafts: tuple[CalendarShaft, ...]
    binding: str
    reliefs: tuple[Relief, ...]
    said: tuple[str, ...]

    def days_before(self, hour: float) -> float:
        """Return the working days, and the share of a shift, that are over at an hour on the clock; a night is the end of its day."""
        return WorkClock(self.shift_h, self.days_a_week).days_before(hour)

    def date_of(self, day: int) -> str:
        """Return the date of a working day, counted from 1; "" where the start is not given."""
        if not self.start:
            return ""
        weeks, weekday = divmod(day - 1, self.days_a_week)
        return (date.fromisoformat(self.start) + timedelta(days=WEEK * weeks + weekday)).isoformat()

    @property
    def on_site_h(self) -> Estimate:
        """Return the hours of all shifts of the rigs that are on site."""
        return on_site_hours(self.days, self.rigs_used, self.shift_h)

    @property
    def shafts_a_day(self) -> float:
        """Return how many shafts are built in a working day."""
        return len(self.shafts) / self.days.likely if self.days.likely else 0.0
