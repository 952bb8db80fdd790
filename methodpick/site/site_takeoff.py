"""The takeoff of a planned site: lines of every shaft, sums over the site, casing strings and hours, with its cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from methodpick.collector import collector_paused
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.site import Site
from methodpick.site.bid_items import Measured, bid_sheet
from methodpick.site.calendar import make_schedule
from methodpick.site.cost import Quantities, cost_sheet
from methodpick.site.estimate import NOTHING, Estimate
from methodpick.site.job import Job, hours_row
from methodpick.site.result import ShaftTakeoff, SitePlan, Takeoff, TakeoffLine, TotalLine
from methodpick.site.steel_lines import cage_checks, casing_lines, tube_lines
from methodpick.site.takeoff_lines import (
    concrete_lines,
    drilling_lines,
    fluid_lines,
    spoil_lines,
    stock_lines,
    truck_lines,
    two_fluids_note,
)
from methodpick.site.yard import make_yard
from methodpick.unit_markup import how_many, mark

GROUPS = ("drilling", "casing", "fluid", "concrete", "delivery", "spoil", "steel", "testing")
"""Groups of lines in the order in which they are listed."""


@collector_paused()
def take_off(site: Site, planned: SitePlan, book: Rulebook) -> Takeoff:
    """Take off every shaft of a planned site and add them up; the same plan gives the same bytes."""
    jobs = jobs_of(site, planned, book)
    shafts, hours = [], []
    for job in jobs:
        concrete = concrete_lines(job)
        order = concrete[-1]
        shafts.append(_shaft_takeoff(job, concrete, order))
        hours.append(hours_row(job, order))
    stock = tuple(stock_lines(jobs))
    totals = add_up(shafts, stock)
    schedule = make_schedule(site, jobs, hours)
    yard = make_yard(site, jobs, hours, schedule, planned.casing)
    cost = cost_sheet(Quantities(jobs, shafts, totals, hours, yard, schedule.calendar))
    bid, unproven = bid_sheet(Measured(jobs, shafts, totals, hours, cost)), tuple(_unproven_note(jobs))
    return Takeoff(
        site=planned,
        shafts=tuple(shafts),
        site_lines=stock,
        totals=totals,
        yard=yard,
        hours=tuple(hours),
        calendar=schedule.calendar,
        cost=cost,
        bid=None if bid is None else replace(bid, notes=(*unproven, *bid.notes)),
        notes=(
            *(unproven if bid is None else ()),
            *_notes(site),
            *_speeds_note(site, jobs),
            *_platform_note(jobs),
            *two_fluids_note(jobs, stock),
        ),
        truck_m3=jobs[0].truck_m3 if jobs else None,
    )


def jobs_of(site: Site, planned: SitePlan, book: Rulebook) -> list[Job]:
    """Return the jobs of the shafts of a planned site that have a method, in the order of the plan."""
    shafts = {shaft.id: shaft for shaft in site.shafts}
    plans = planned.plan.with_method
    return [Job(site=site, shaft=shafts[plan.id], plan=plan, grade_m=plan.design.grade_m, book=book) for plan in plans]


def _shaft_takeoff(job: Job, concrete: Sequence[TakeoffLine], order: TakeoffLine) -> ShaftTakeoff:
    shaft = job.shaft
    return ShaftTakeoff(
        shaft=shaft.id,
        boring=job.plan.boring,
        substructure=shaft.substructure or "",
        diameter_m=shaft.diameter_m,
        tip_m=shaft.tip_m,
        method=job.plan.method,
        count=shaft.count,
        lines=(
            *drilling_lines(job),
            *casing_lines(job),
            *fluid_lines(job),
            *concrete,
            *truck_lines(job, order.amount),
            *spoil_lines(job),
            *tube_lines(job),
        ),
        checks=tuple(cage_checks(job)),
    )


def add_up(shafts: Sequence[ShaftTakeoff], site_lines: Sequence[TakeoffLine]) -> tuple[TotalLine, ...]:
    """Add the lines of all shafts, each as often as its shaft stands, and those of the site, item by item."""
    sums: dict[tuple[str, str], tuple[TakeoffLine, Estimate, int]] = {}
    for shaft in shafts:
        for line in shaft.lines:
            _add(sums, line, shaft.count)
    for line in site_lines:
        _add(sums, line, 0)
    totals = [_total(line, amount, count) for line, amount, count in sums.values()]
    order = {name: index for index, name in enumerate(GROUPS)}
    return tuple(sorted(totals, key=lambda line: (order[line.group], line.group == "drilling" and not line.item.startswith("drilled in "))))


def _add(sums: dict[tuple[str, str], tuple[TakeoffLine, Estimate, int]], line: TakeoffLine, count: int) -> None:
    key = (line.group, line.item)
    first, amount, shafts = sums.get(key, (line, NOTHING, 0))
    sums[key] = (first, amount.plus(line.amount.times(max(count, 1))), shafts + count)


def _total(line: TakeoffLine, amount: Estimate, count: int) -> TotalLine:
    return TotalLine(
        group=line.group,
        item=line.item,
        unit=line.unit,
        amount=amount,
        shafts=count,
        formula=f"sum over {how_many(count, 'shaft')}" if count else line.formula,
        pay_key=line.pay_key,
        pay=line.pay,
    )


def _unproven_note(jobs: Sequence[Job]) -> Iterator[str]:
    """Return which shafts are counted by a plan that is not proven: no price may hide that."""
    by_check: dict[str, list[str]] = {}
    for job in jobs:
        if not job.plan.proven:
            short = dict.fromkeys(check.id.replace("-", " ") for check in job.plan.checks if check.is_short)
            by_check.setdefault(", ".join(short) or "its trials ended", []).append(job.shaft.id)
    if by_check:
        named = "; ".join(f"{', '.join(names)} ({short})" for short, names in by_check.items())
        yield f"Counted by a plan that is not proven, so that work and price may change: {named}. Settle that before the bid."


def _speeds_note(site: Site, jobs: Sequence[Job]) -> Iterator[str]:
    """Return that given speeds hold for every diameter, where the site has several."""
    diameters = sorted({job.shaft.diameter_m for job in jobs})
    if site.rates is not None and site.rates.drilling and len(diameters) > 1:
        ends = f"{mark(diameters[0], 'size')} to {mark(diameters[-1], 'size')}"
        yield f"The drilling speeds given are used for all diameters, {ends}; a wide hole of the same depth is seldom drilled as fast."


def _platform_note(jobs: Sequence[Job]) -> Iterator[str]:
    """Return what is not counted of the platforms that the plan raises."""
    raised = [f"{job.shaft.id} by {mark(job.plan.raised_m, 'm')}" for job in jobs if job.plan.raised_m > 0]
    if raised:
        yield f"The plan raises the platform at {', '.join(raised)}: the fill, its placing and its removal are not counted."


def _notes(site: Site) -> tuple[str, ...]:
    notes = [
        "Low and high of a sum are the sums of lows and highs: all shafts at their low or high together, wider than chance has it.",
        "Method overrun is geometry and certain; ground overbreak is experience and a range. They are never one line.",
    ]
    if site.rates is None or not site.rates.priced:
        notes.append("No rates are given, so nothing is priced; hours are planning hours of this tool's own.")
    if site.pay.measured_from is None:
        notes.append("'pay: measured_from' is not given: the sums have no paid length, and bid items are measured as is usual.")
    return tuple(notes)
