"""What casing the shafts of a site need: temporary strings with their hours in the calendar, and what each asks of a size."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import ceil

from methodpick.plan.judging.planning_input import is_casing_outside
from methodpick.plan.result import Casing, ShaftPlan
from methodpick.records import record
from methodpick.site.calendar import ENDS, End, SiteSchedule
from methodpick.site.job import Job
from methodpick.site.result import HoursRow
from methodpick.site.work_clock import SAME_H
from methodpick.site.yard_result import StringNeed
from methodpick.site.yard_sizes import SizeNeed, YardSize
from methodpick.site.yard_strings import TimedLength
from methodpick.terms import STARTER

MOST_SHAFTS = 100
"""Equal shafts of one entry whose strings are looked at; more of them run at once no more than these."""


@record
class SizedNeed:
    """A string that a shaft needs, with what it asks of a size.

    ``narrow`` is what it asks where no casing is wider than planned: around another it need be no wider inside than that passes.
    ``place`` are the places of its shaft among the plans and of its casing in the plan; ``days`` its first and last working day.
    """

    record: StringNeed
    size: SizeNeed
    narrow: SizeNeed
    place: tuple[int, int] = (0, 0)
    days: Mapping[End, tuple[int, int]] | None = None

    @property
    def planned(self) -> YardSize:
        """Return the size that the plan has."""
        return YardSize(self.record.outside_diameter_m, self.record.wall_m)


@record
class TradeLengths:
    """The steps in which casing is traded, how much longer a string may be than needed, and the lengths as delivered, in m."""

    step_m: float
    longer_m: float
    delivered_m: float


def trade_lengths(jobs: Sequence[Job]) -> TradeLengths:
    """Return how casing is traded and cut, as the limits say."""
    if not jobs:
        return TradeLengths(1.0, 0.0, 1.0)
    return TradeLengths(
        step_m=jobs[0].limit("trade_length_m"), longer_m=jobs[0].limit("string_longer_most_m"), delivered_m=jobs[0].limit("splice_length_m")
    )


def timed_lengths(needs: Sequence[SizedNeed], trade: TradeLengths) -> list[TimedLength]:
    """Return the lengths that needs ask for in the steps of the trade, with their hours."""
    return [
        TimedLength(round(ceil(round(need.record.length_m / trade.step_m, 6)) * trade.step_m, 4), need.record.from_h, need.record.until_h)
        for need in needs
    ]


def casing_needs(jobs: Sequence[Job], rows: Sequence[HoursRow], schedule: SiteSchedule) -> list[SizedNeed]:
    """Return every temporary string of the plans with its hours in the calendar, shafts in the order in which they are begun."""
    needs: list[SizedNeed] = []
    seen: dict[int, int] = {}
    for place, each in enumerate(schedule.placed["likely"]):
        index = schedule.works["likely"][each.work].job
        seen[index] = seen.get(index, 0) + 1
        if seen[index] > MOST_SHAFTS:
            continue
        job = jobs[index]
        for no, casing in enumerate(job.plan.casings):
            if casing.kind != "permanent":
                spans = {end: _span(job, rows[index], casing, (schedule, place), end) for end in ENDS}
                needs.append(
                    SizedNeed(
                        record=_string_need(job, casing, spans["likely"], schedule),
                        size=size_need(job, no),
                        narrow=_narrow_need(job, no),
                        place=(index, no),
                        days={end: _days(schedule, span) for end, span in spans.items()},
                    )
                )
    return needs


def _span(job: Job, row: HoursRow, casing: Casing, at: tuple[SiteSchedule, int], end: End) -> tuple[float, float]:
    """Return the hours on the clock at which a casing of a shaft goes in and is out again."""
    schedule, place = at
    scale = _hours_scale(job.plan, row, end)
    start_h, end_h = residence(job.plan, casing)
    return schedule.hour_of(end, place, start_h * scale), schedule.hour_of(end, place, end_h * scale)


def _days(schedule: SiteSchedule, span: tuple[float, float]) -> tuple[int, int]:
    """Return the first and the last working day of a time, from 1."""
    return schedule.clock.day_of(span[0]) + 1, schedule.clock.day_of(span[1] - 2 * SAME_H) + 1


def _string_need(job: Job, casing: Casing, span: tuple[float, float], schedule: SiteSchedule) -> StringNeed:
    first_day, last_day = _days(schedule, span)
    return StringNeed(
        shaft=job.shaft.id,
        kind=casing.kind,
        outside_diameter_m=casing.outside_diameter_m,
        wall_m=casing.wall_m,
        length_m=casing.length_m,
        from_h=round(span[0], 4),
        until_h=round(span[1], 4),
        first_day=first_day,
        last_day=last_day,
    )


def size_need(job: Job, index: int) -> SizeNeed:
    """Return what a casing of a plan asks of a size that takes its place.

    The innermost lets the shaft's tool pass; one around another keeps its planned inside; one inside another grows no wider
    than the planned one around it lets pass, and none wider than the size rule and the plant allow. The wall is what its way down and
    the pressure on it ask for; a starter is neither driven nor emptied.
    """
    casings = job.plan.casings
    casing = casings[index]
    inside_m = casing.outside_diameter_m - 2 * casing.wall_m
    innermost = index == len(casings) - 1
    tool_m = job.shaft.diameter_m if innermost and not is_casing_outside(job.shaft, job.book.values) else inside_m
    wall = casing.wall_by
    needed_m = casing.wall_m if wall is None else max(wall.driving_m or 0.0, wall.pressure_m or 0.0)
    return SizeNeed(
        inside_m=min(tool_m, inside_m),
        outside_most_m=round(_widest_m(job, index), 6),
        wall_ratio=needed_m / casing.outside_diameter_m,
        planned_m=casing.outside_diameter_m,
        in_ground_m=max(0.0, casing.base_m),
    )


def _narrow_need(job: Job, index: int) -> SizeNeed:
    """Return what a casing asks of a size where none is wider than planned, and one around another passes that and no more."""
    need, casings = size_need(job, index), job.plan.casings
    if index > 0:
        need = replace(need, outside_most_m=min(need.outside_most_m, round(casings[index].outside_diameter_m, 6)))
    if index < len(casings) - 1:
        passing_m = casings[index + 1].outside_diameter_m + job.limit("tool_clear_m")
        need = replace(need, inside_m=min(need.inside_m, round(passing_m, 6)))
    return need


def _widest_m(job: Job, index: int) -> float:
    """Return how wide outside a casing may be in place of a planned one."""
    casing = job.plan.casings[index]
    widest_m = casing.outside_diameter_m + job.limit("casing_oversize_m")
    if index > 0:
        around = job.plan.casings[index - 1]
        widest_m = min(widest_m, around.outside_diameter_m - 2 * around.wall_m - job.limit("tool_clear_m"))
    plant_m = job.site.site.equipment.max_casing_m
    return max(casing.outside_diameter_m, min(widest_m, plant_m) if plant_m is not None else widest_m)


def residence(plan: ShaftPlan, casing: Casing) -> tuple[float, float]:
    """Return the hours, from the first stage of a shaft on, at which a casing goes in and at which it is out again."""
    now, start, end = 0.0, None, None
    above = max((other.base_m for other in plan.casings if other.base_m < casing.base_m - 2e-3), default=0.0)
    for stage in plan.stages:
        goes_in = (
            stage.action == "set_starter"
            if casing.kind == STARTER
            else (stage.action in {"set_casing", "advance_casing"} and above + 1e-3 < stage.base_m < casing.base_m + 2e-3)
        )
        if goes_in and start is None:
            start = now
        now += stage.hours or 0.0
        comes_out = "remove_starter" if casing.kind == STARTER else "pull"
        if stage.action == comes_out and abs(stage.base_m - casing.base_m) < 2e-3:
            end = now
    return start or 0.0, end if end is not None else now


def _hours_scale(plan: ShaftPlan, row: HoursRow, end: End) -> float:
    """Return by how much the user's hours, at one end of their range, differ from the planning hours of the stages."""
    planned = sum(stage.hours or 0.0 for stage in plan.stages)
    at_shaft = float(getattr(row.total, end) - getattr(row.move, end))
    return at_shaft / planned if row.by_rates and planned > 0 and at_shaft > 0 else 1.0
