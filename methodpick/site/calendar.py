"""The calendar of a site: which rig builds which shaft when, from the hours, rigs and crews, with nights and fresh neighbours.

A rig moves, drills and cleans; a crew with a crane then sets the cage, pours and pulls. From the last cleaning to the last pull there is
no night: what does not fit into the rest of a shift begins the next morning, and what is longer than a shift goes on into the night. A
hole that may not stand open overnight is finished in its shift; one that takes longer stands as few nights as can be. Rigs take the
shafts in the order of the file, passing over one whose neighbour is too fresh. Fewer rigs than there are, are among the choices.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from typing import Literal

from methodpick.ground.position import apart_m
from methodpick.ground.site import Site
from methodpick.records import record
from methodpick.site.estimate import DAY_H, SAME_H, WEEK, Estimate, HoursRow, WorkClock
from methodpick.site.job import Job
from methodpick.site.result import Calendar, CalendarShaft, Relief, on_site_hours
from methodpick.unit_markup import how_many, mark

End = Literal["low", "likely", "high"]
ENDS: tuple[End, ...] = ("low", "likely", "high")


@record(guarded=False)
class ShaftWork:
    """The hours of one shaft: to move to it, to make its hole, to clean it, and to finish it; ``job`` is the place of its plan."""

    job: int
    move_h: float
    hole_h: float
    clean_h: float
    finish_h: float

    @property
    def in_all_h(self) -> float:
        """Return the hours without the move."""
        return self.hole_h + self.clean_h + self.finish_h


@record(guarded=False)
class PlacedShaft:
    """A shaft in the calendar: its place in the list of works, rig and crew, and when each part of its work begins and ends."""

    work: int
    rig: int
    crew: int
    begun_h: float
    opened_h: float
    cleaned_h: float
    left_h: float
    end_h: float


@record
class CalendarRules:
    """What a calendar keeps to.

    ``near`` lists for every shaft those too near to be drilled before its concrete is ``age_h`` old; ``pace_h`` are the working hours
    from the beginning of one shaft to the next at least; ``closed_overnight`` says that a hole is finished in its shift.
    """

    clock: WorkClock
    near: tuple[tuple[int, ...], ...]
    age_h: float
    pace_h: float
    closed_overnight: bool


class _Making:
    """A calendar in the making: when rigs and crews are free, before when no shaft may be opened, and what is placed."""

    def __init__(self, rules: CalendarRules, works: Sequence[ShaftWork], rigs: int, crews: int) -> None:
        self.rules, self.works = rules, works
        self.rig_free, self.crew_free = [0.0] * rigs, [0.0] * crews
        self.not_before = [0.0] * len(works)
        self.pace_from = 0.0
        self.placed: list[PlacedShaft] = []

    def arrival(self, work: int, rig: int) -> float:
        """Return when a rig has moved to a shaft."""
        clock = self.rules.clock
        return clock.after(clock.next_hour(max(self.rig_free[rig], self.pace_from)), self.works[work].move_h)

    def place(self, work: int, rig: int, crew: int) -> None:
        """Let a rig and a crew build a shaft as soon as they can."""
        rules, hours = self.rules, self.works[work]
        clock = rules.clock
        begun = clock.next_hour(max(self.rig_free[rig], self.pace_from))
        open_from = max(self.arrival(work, rig), self.not_before[work])
        opened, cleaned = self._hole(hours, open_from, self.crew_free[crew])
        left = cleaned + hours.clean_h
        end = left + hours.finish_h
        self.rig_free[rig], self.crew_free[crew] = left, end
        self.pace_from = clock.after(begun, rules.pace_h)
        for other in rules.near[work]:
            self.not_before[other] = max(self.not_before[other], end + rules.age_h)
        self.placed.append(PlacedShaft(work, rig, crew, begun, opened, cleaned, left, end))

    def _hole(self, hours: ShaftWork, open_from: float, crew_free: float) -> tuple[float, float]:
        """Return when a hole is opened and when its last cleaning begins, so that the crew is free when the rig leaves."""
        clock = self.rules.clock
        if self.rules.closed_overnight and hours.in_all_h <= clock.shift_h + SAME_H:
            opened = clock.unparted(max(open_from, crew_free - hours.hole_h - hours.clean_h), hours.in_all_h)
            return opened, opened + hours.hole_h
        opened = clock.next_hour(open_from)
        if self.rules.closed_overnight:
            morning = clock.morning_after(clock.day_of(opened))
            opened = opened if self._nights(hours, opened) <= self._nights(hours, morning) else morning
        drilled = clock.after(opened, hours.hole_h)
        return opened, clock.unparted(max(drilled, crew_free - hours.clean_h), hours.clean_h + hours.finish_h)

    def _nights(self, hours: ShaftWork, opened: float) -> int:
        """Return how many nights a hole that is opened at an hour stands until it is finished."""
        clock, last_h = self.rules.clock, hours.clean_h + hours.finish_h
        end = clock.unparted(clock.after(opened, hours.hole_h), last_h) + last_h
        return clock.day_of(end - 2 * SAME_H) - clock.day_of(opened)


def place_all(rules: CalendarRules, works: Sequence[ShaftWork], rigs: int, crews: int) -> list[PlacedShaft]:
    """Place every shaft: the rig that is free first takes the first that need not wait for a neighbour, else the one that waits least."""
    making = _Making(rules, works, rigs, crews)
    left = list(range(len(works)))
    while left:
        rig = min(range(rigs), key=making.rig_free.__getitem__)
        crew = min(range(crews), key=making.crew_free.__getitem__)
        ready = (work for work in left if making.not_before[work] <= making.arrival(work, rig) + SAME_H)
        work = next(ready, None)
        if work is None:
            work = min(left, key=making.not_before.__getitem__)
        left.remove(work)
        making.place(work, rig, crew)
    return making.placed


def replay(rules: CalendarRules, works: Sequence[ShaftWork], placed: Sequence[PlacedShaft]) -> list[PlacedShaft]:
    """Place shafts with other hours, in the same order by the same rigs and crews."""
    rigs, crews = (1 + max((getattr(each, name) for each in placed), default=0) for name in ("rig", "crew"))
    making = _Making(rules, works, rigs, crews)
    for each in placed:
        making.place(each.work, each.rig, each.crew)
    return making.placed


def days_of(clock: WorkClock, placed: Sequence[PlacedShaft]) -> int:
    """Return the working days until the last casing of all shafts is out; an end with the shift belongs to its day."""
    return max((clock.day_of(each.end_h - 2 * SAME_H) + 1 for each in placed), default=0)


# ---- From the hours of a site to its calendar


@record(caches=True)
class SiteSchedule:
    """When each shaft of a site is built, from which strings, days and cost are found; its calendar is written when it is asked for.

    ``works`` and ``placed`` are the works and where they are placed at low, likely and high hours, ``days`` the working days of the whole.
    """

    site: Site
    jobs: Sequence[Job]
    rows: Sequence[HoursRow]
    rules: CalendarRules
    works: dict[End, tuple[ShaftWork, ...]]
    placed: dict[End, tuple[PlacedShaft, ...]]
    days: Estimate

    @property
    def clock(self) -> WorkClock:
        """Return the clock of working hours."""
        return self.rules.clock

    @property
    def rigs_used(self) -> int:
        """Return how many of the rigs at hand work."""
        return 1 + max((each.rig for each in self.placed["likely"]), default=0)

    @property
    def on_site_h(self) -> Estimate:
        """Return the hours of all shifts of the rigs that are on site."""
        return on_site_hours(self.days, self.rigs_used, self.clock.shift_h)

    def hour_of(self, end: End, place: int, work_h: float) -> float:
        """Return when so many hours of work at a shaft are done, from the opening of its hole on; ``place`` is its place in the order."""
        each = self.placed[end][place]
        hole_h = self.works[end][each.work].hole_h
        return self.clock.after(each.opened_h, work_h) if work_h <= hole_h else each.cleaned_h + work_h - hole_h

    @cached_property
    def calendar(self) -> Calendar:
        """Return the calendar, with what binds: for that all shafts are placed again with more rigs and without what holds them up."""
        schedule, works, clock = self.site.site.schedule, self.works["likely"], self.clock
        rigs, fixed_crews = schedule.rigs or 1, schedule.crews
        reliefs = _reliefs(self.rules, works, rigs, fixed_crews, int(self.days.likely))
        return Calendar(
            days=self.days,
            rigs=rigs,
            rigs_used=self.rigs_used,
            crews=fixed_crews or rigs,
            shift_h=clock.shift_h,
            days_a_week=clock.days_a_week,
            start=schedule.start or "",
            shafts=tuple(_calendar_shafts(self.jobs, clock, works, self.placed["likely"])),
            binding=_binding(reliefs, self.days.likely),
            reliefs=reliefs,
            said=tuple(_notes(self.site, self.jobs, self.rows, self.days)),
        )


def make_schedule(site: Site, jobs: Sequence[Job], rows: Sequence[HoursRow]) -> SiteSchedule:
    """Return when the shafts of a site are built: by one rig up to all that are at hand, the count that is done first."""
    works = {end: _works(rows, end) for end in ENDS}
    rules = _rules(site, jobs, works["likely"])
    fixed_crews = site.site.schedule.crews
    choices = [place_all(rules, works["likely"], count, fixed_crews or count) for count in range(1, (site.site.schedule.rigs or 1) + 1)]
    best = min(choices, key=lambda placed: (days_of(rules.clock, placed), max((each.end_h for each in placed), default=0.0)))
    ends: tuple[End, End] = ("low", "high")
    replayed = {end: [replay(rules, works[end], choice) for choice in choices] for end in ends}
    at, likely = choices.index(best), days_of(rules.clock, best)
    least = {end: min(days_of(rules.clock, choice) for choice in replayed[end]) for end in ends}
    days = Estimate(float(min(least["low"], likely)), float(likely), float(max(least["high"], likely)))
    placed = {end: tuple(best if end == "likely" else replayed[end][at]) for end in ENDS}
    return SiteSchedule(site, jobs, rows, rules, works, placed, days)


def _works(rows: Sequence[HoursRow], end: End) -> tuple[ShaftWork, ...]:
    def hours(*parts: Estimate) -> float:
        return sum(float(getattr(part, end)) for part in parts)

    return tuple(
        ShaftWork(
            job=job,
            move_h=hours(row.move),
            hole_h=hours(row.drill, row.casing, row.fluid),
            clean_h=hours(row.clean),
            finish_h=hours(row.cage, row.pour, row.pull),
        )
        for job, row in enumerate(rows)
        for _ in range(row.count)
    )


def _rules(site: Site, jobs: Sequence[Job], works: Sequence[ShaftWork]) -> CalendarRules:
    schedule = site.site.schedule
    shift_h = schedule.shift_hours or (jobs[0].limit("shift_h") if jobs else DAY_H)
    return CalendarRules(
        clock=WorkClock(shift_h, schedule.days_a_week or WEEK),
        near=_near(jobs, works),
        age_h=jobs[0].limit("neighbour_age_h") if jobs else 0.0,
        pace_h=shift_h / schedule.shafts_a_day if schedule.shafts_a_day else 0.0,
        closed_overnight=not schedule.overnight_allowed,
    )


def _near(jobs: Sequence[Job], works: Sequence[ShaftWork]) -> tuple[tuple[int, ...], ...]:
    """Return for every shaft those within the diameters that fresh concrete asks for; a shaft whose place is not known has none."""
    placed = [
        (index, job.shaft.position, job.shaft.diameter_m)
        for index, job in ((index, jobs[work.job]) for index, work in enumerate(works))
        if job.shaft.position is not None and job.shaft.count == 1
    ]
    found: list[list[int]] = [[] for _ in works]
    for order, (index, place, wide_m) in enumerate(placed):
        for other, there, other_wide_m in placed[order + 1 :]:
            least_m = jobs[0].limit("adjacent_diameters") * max(wide_m, other_wide_m)
            away_m = apart_m(place, there)
            if away_m is not None and away_m < least_m - 1e-6:
                found[index].append(other)
                found[other].append(index)
    return tuple(map(tuple, found))


def _calendar_shafts(
    jobs: Sequence[Job], clock: WorkClock, works: Sequence[ShaftWork], placed: Sequence[PlacedShaft]
) -> list[CalendarShaft]:
    """Return the shafts in the order of their beginning, alike ones numbered as they are built."""
    numbers: dict[int, int] = {}
    shafts = []
    for each in sorted(placed, key=lambda each: (each.begun_h, each.rig)):
        job = works[each.work].job
        numbers[job] = numbers.get(job, 0) + 1
        shafts.append(
            CalendarShaft(
                shaft=jobs[job].shaft.id,
                number=numbers[job] if jobs[job].shaft.count > 1 else 0,
                rig=each.rig + 1,
                begun_h=round(each.begun_h, 4),
                opened_h=round(each.opened_h, 4),
                cleaned_h=round(each.cleaned_h, 4),
                left_h=round(each.left_h, 4),
                end_h=round(each.end_h, 4),
                first_day=clock.day_of(each.begun_h) + 1,
                last_day=clock.day_of(each.end_h - 2 * SAME_H) + 1,
            )
        )
    return shafts


# ---- What binds, and what is said


def _reliefs(rules: CalendarRules, works: Sequence[ShaftWork], rigs: int, fixed_crews: int | None, as_it_is: int) -> tuple[Relief, ...]:
    """Return the working days with one rig or crew more, without waiting for neighbours, and without the pace of the file."""

    def days(changed: CalendarRules, most_rigs: int, crews: int | None) -> int:
        return min(days_of(changed.clock, place_all(changed, works, count, crews or count)) for count in range(1, most_rigs + 1))

    reliefs = [Relief("one more rig", days(rules, rigs + 1, fixed_crews))]
    if fixed_crews is not None:
        reliefs.append(Relief("one more crew", days(rules, rigs, fixed_crews + 1)))
    if any(rules.near):
        reliefs.append(Relief("no wait for fresh neighbours", days(replace(rules, near=tuple(() for _ in works)), rigs, fixed_crews)))
    if rules.pace_h:
        reliefs.append(Relief("no limit of shafts a day", days(replace(rules, pace_h=0.0), rigs, fixed_crews)))
    return tuple(replace(relief, days=min(relief.days, as_it_is)) for relief in reliefs)


_BINDING = {
    "one more rig": "the rigs",
    "one more crew": "the crews",
    "no wait for fresh neighbours": "the concrete of neighbours",
    "no limit of shafts a day": "'schedule: shafts_a_day'",
}


def _binding(reliefs: Sequence[Relief], days: float) -> str:
    """Return what shortens the work most where there is more of it, or less; the work of a shaft where nothing does."""
    best = min(reliefs, key=lambda relief: relief.days)
    return _BINDING[best.what] if best.days < days else "the work of a single shaft"


def rig_hours(row: HoursRow) -> float:
    """Return the hours that the rig is at a shaft: drilling, casing, fluid, cleaning and the move; a crew with a crane does the rest."""
    return sum(part.likely for part in (row.drill, row.casing, row.fluid, row.clean, row.move))


def _notes(site: Site, jobs: Sequence[Job], rows: Sequence[HoursRow], days: Estimate) -> list[str]:
    schedule, shafts = site.site.schedule, sum(row.count for row in rows)
    if not shafts:
        return []
    notes = []
    shift_h, rigs = schedule.shift_hours or jobs[0].limit("shift_h"), schedule.rigs or 1
    rig_h = sum(rig_hours(row) * row.count for row in rows) / shafts
    if schedule.shafts_a_day and rig_h * schedule.shafts_a_day > shift_h * rigs * (1 + 1e-9):
        notes.append(
            f"'schedule: shafts_a_day' of {schedule.shafts_a_day:g} takes more than {how_many(rigs, 'rig')}: a shaft holds a rig for "
            f"{rig_h:.1f} h, and a shift has {shift_h:g} h. The calendar and the days of rent follow the hours, {days.likely:.0f} working "
            "days."
        )
    return [*notes, *_clock_notes(site, jobs, rows, shift_h)]


def _clock_notes(site: Site, jobs: Sequence[Job], rows: Sequence[HoursRow], shift_h: float) -> list[str]:
    notes = []
    unplaced = sum(row.count for job, row in zip(jobs, rows, strict=True) if job.shaft.position is None or job.shaft.count > 1)
    if unplaced and sum(row.count for row in rows) > 1:
        near, age_h = jobs[0].limit("adjacent_diameters"), jobs[0].limit("neighbour_age_h")
        notes.append(
            f"The site file does not tell the place of each of {how_many(unplaced, 'shaft')}: no wait is counted for concrete younger than "
            f"{mark(age_h, 'h')} within {near:g} diameters of them."
        )
    long = [row.shaft for row in rows if row.clean.likely + row.cage.likely + row.pour.likely + row.pull.likely > shift_h]
    if long:
        names = ", ".join(long[:6]) + (f" and {len(long) - 6} more" if len(long) > 6 else "")
        take = "takes" if len(long) == 1 else "take"
        notes.append(f"From the last cleaning to the last pull {names} {take} more than a shift: crews take turns into the night.")
    if site.site.schedule.start and site.site.schedule.days_a_week is None:
        notes.append("'schedule: days_a_week' is not given: every day from the start on counts as a working day.")
    return notes
