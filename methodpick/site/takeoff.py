"""The takeoff of a planned site: lines of every shaft, sums over the site, strings and the yard, hours and cost."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.site import Site
from methodpick.plan.fluid.levels import drilling_grade
from methodpick.plan.judging.boring_choice import set_over
from methodpick.site.cost import cost_sheet
from methodpick.site.hours import hours_row
from methodpick.site.lines.casing import casing_lines
from methodpick.site.lines.concrete import concrete_lines, truck_lines
from methodpick.site.lines.drilling import drilling_lines
from methodpick.site.lines.fluid import fluid_lines, stock_lines
from methodpick.site.lines.job import Job
from methodpick.site.lines.spoil import spoil_lines
from methodpick.site.lines.steel import cage_checks, tube_lines
from methodpick.site.result import HoursRow, Range, ShaftTakeoff, SitePlan, Takeoff, TakeoffLine, TotalLine
from methodpick.site.yard import make_yard

GROUPS = ("drilling", "casing", "fluid", "concrete", "delivery", "spoil", "steel", "testing")


def take_off(site: Site, planned: SitePlan, book: Rulebook) -> Takeoff:
    """Take off every shaft of a planned site and add them up; the same plan gives the same bytes."""
    jobs = _jobs(site, planned, book)
    taken, rows = [], []
    for job in jobs:
        concrete = concrete_lines(job)
        order = concrete[-1]
        lines = (
            *drilling_lines(job),
            *casing_lines(job),
            *fluid_lines(job),
            *concrete,
            *truck_lines(job, order.amount),
            *spoil_lines(job),
            *tube_lines(job),
        )
        shaft = job.shaft
        taken.append(
            ShaftTakeoff(
                shaft.id,
                job.plan.boring,
                shaft.substructure or "",
                shaft.diameter_m,
                shaft.tip_m,
                job.plan.method,
                shaft.count,
                lines,
                tuple(cage_checks(job)),
            )
        )
        rows.append(hours_row(job, order))
    stock = tuple(stock_lines(jobs))
    sums = totals(taken, stock)
    yard = make_yard(site, jobs, rows)
    return Takeoff(
        planned,
        tuple(taken),
        stock,
        sums,
        yard,
        tuple(rows),
        cost_sheet(jobs, taken, sums, rows, yard),
        _notes(site, rows),
        truck_m3=jobs[0].truck_m3 if jobs else None,
    )


def _jobs(site: Site, planned: SitePlan, book: Rulebook) -> list[Job]:
    shafts = {one.id: one for one in site.shafts}
    jobs = []
    for plan in planned.plan.shafts:
        shaft = shafts[plan.id]
        boring = set_over(site, shaft, site.boring(plan.boring), book.values)
        jobs.append(Job(site, shaft, plan, drilling_grade(site.site, boring, book.values), book.limits, book.tables))
    return jobs


def totals(shafts: Sequence[ShaftTakeoff], site_lines: Sequence[TakeoffLine]) -> tuple[TotalLine, ...]:
    """Add the lines of all shafts, as many as stand behind each, and those of the site, item by item."""
    sums: dict[tuple[str, str], tuple[TakeoffLine, Range, int]] = {}
    for shaft in shafts:
        for line in shaft.lines:
            _add(sums, line, shaft.count)
    for line in site_lines:
        _add(sums, line, 0)
    order = {name: index for index, name in enumerate(GROUPS)}
    found = [
        TotalLine(
            line.group, line.item, line.unit, amount, count, f"sum over {count} shafts" if count else line.formula, line.pay_key, line.pay
        )
        for line, amount, count in sums.values()
    ]
    return tuple(sorted(found, key=lambda one: (order[one.group], one.group == "drilling" and not one.item.startswith("drilled in "))))


def _add(sums: dict[tuple[str, str], tuple[TakeoffLine, Range, int]], line: TakeoffLine, count: int) -> None:
    key = (line.group, line.item)
    more = line.amount.times(max(count, 1))
    first, amount, shafts = sums.get(key, (line, Range(0.0, 0.0, 0.0), 0))
    sums[key] = (first, amount.plus(more), shafts + count)


def _notes(site: Site, rows: Sequence[HoursRow]) -> tuple[str, ...]:
    found = [
        "Low and high of a sum are the sums of lows and highs: all shafts at their low or high together, wider than chance has it.",
        "Method overrun is geometry and certain; ground overbreak is experience and a range. They are never one line.",
    ]
    if site.rates is None or not site.rates.priced:
        found.append("No rates are given, so nothing is priced; hours are planning hours of this tool's own.")
    lacking = sorted({name for row in rows for name in row.lacking})
    if lacking:
        found.append("No rate is given for: " + "; ".join(lacking) + ".")
    if site.pay.measured_from is None:
        found.append("'pay: measured_from' is not given: the paid length is not known.")
    return tuple(found)
