"""Working hours on a clock that starts with the first working day: shifts, nights and weekends."""

from __future__ import annotations

from math import inf

from methodpick.records import record

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
