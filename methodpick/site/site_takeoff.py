"""The takeoff of a planned site: lines of every shaft, sums over the site, casing strings and hours, with its cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from methodpick.collector import collector_paused
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.site import Site
from methodpick.records import record
from methodpick.site.bid_items import Measured, bid_sheet
from methodpick.site.calendar import make_schedule
from methodpick.site.cost import Quantities, cost_sheet
from methodpick.site.estimate import NOTHING, CostSheet, Estimate, HoursRow
from methodpick.site.job import Job
from methodpick.site.result import ShaftTakeoff, SitePlan, Takeoff, TakeoffLine, TotalLine
from methodpick.site.shaft_counts import ShaftCounts
from methodpick.site.takeoff_lines import stock_lines, two_fluids_note
from methodpick.site.yard import make_yard
from methodpick.unit_markup import how_many, mark

GROUPS = ("drilling", "casing", "fluid", "concrete", "delivery", "spoil", "steel", "testing")
"""Groups of lines in the order in which they are listed."""


@collector_paused()
def take_off(site: Site, planned: SitePlan, book: Rulebook) -> Takeoff:
    """Take off every shaft of a planned site and add them up; the same plan gives the same bytes."""
    jobs = jobs_of(site, planned, book)
    made = _count(site, planned, jobs, ShaftCounts())
    schedule, cost = made.quantities.schedule, cost_sheet(made.quantities)
    bid, unproven = bid_sheet(Measured(jobs, made.shafts, made.totals, made.hours, cost)), tuple(_unproven_note(jobs))
    return Takeoff(
        site=planned,
        shafts=made.shafts,
        site_lines=made.stock,
        totals=made.totals,
        yard=made.quantities.yard,
        hours=made.hours,
        calendar=schedule.calendar,
        cost=cost,
        bid=None if bid is None else replace(bid, notes=(*unproven, *bid.notes)),
        notes=(
            *(unproven if bid is None else ()),
            *_notes(site),
            *_speeds_note(site, jobs),
            *_platform_note(jobs),
            *two_fluids_note(jobs, made.stock),
        ),
        truck_m3=jobs[0].truck_m3 if jobs else None,
    )


def price(site: Site, planned: SitePlan, book: Rulebook, counts: ShaftCounts) -> CostSheet | None:
    """Price a planned site as its takeoff does, without what is written beside the cost; ``counts`` holds the shafts counted before."""
    return cost_sheet(_count(site, planned, jobs_of(site, planned, book), counts).quantities)


@record
class _Counted:
    """A site counted: its shafts, the stock of fluid, the sums, the hours of each shaft, and what is priced from them."""

    shafts: tuple[ShaftTakeoff, ...]
    stock: tuple[TakeoffLine, ...]
    totals: tuple[TotalLine, ...]
    hours: tuple[HoursRow, ...]
    quantities: Quantities


def _count(site: Site, planned: SitePlan, jobs: Sequence[Job], counts: ShaftCounts) -> _Counted:
    counted = [counts.of(job) for job in jobs]
    shafts, hours = tuple(each.takeoff for each in counted), tuple(each.hours for each in counted)
    stock = tuple(stock_lines(jobs))
    totals = add_up(shafts, stock)
    schedule = make_schedule(site, jobs, hours)
    yard = make_yard(site, jobs, hours, schedule, planned.casing)
    return _Counted(shafts, stock, totals, hours, Quantities(jobs, shafts, totals, hours, yard, schedule))


def jobs_of(site: Site, planned: SitePlan, book: Rulebook) -> list[Job]:
    """Return the jobs of the shafts of a planned site that have a method, in the order of the plan."""
    shafts = {shaft.id: shaft for shaft in site.shafts}
    plans = planned.plan.with_method
    return [Job(site=site, shaft=shafts[plan.id], plan=plan, grade_m=plan.design.grade_m, book=book) for plan in plans]


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
    sums[key] = (first, amount.plus(line.amount.times(count) if count > 1 else line.amount), shafts + count)


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
