"""The records of a calendar: when each shaft is built, by which rig, how long the site takes, and what would shorten it."""

from __future__ import annotations

from datetime import date, timedelta

from methodpick.records import record
from methodpick.site.estimate import Estimate
from methodpick.site.work_clock import WEEK, WorkClock


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
        return self.days.times(self.rigs_used * self.shift_h)

    @property
    def shafts_a_day(self) -> float:
        """Return how many shafts are built in a working day."""
        return len(self.shafts) / self.days.likely if self.days.likely else 0.0
