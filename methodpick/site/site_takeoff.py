"""The takeoff of a planned site: lines of every shaft, sums over the site, casing strings, hours and cost."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.site import Site
from methodpick.plan.fluid.levels import drilling_grade
from methodpick.plan.judging.planning_input import boring_at_shaft
from methodpick.site.cost import Quantities, cost_sheet
from methodpick.site.hours import hours_row
from methodpick.site.job import Job
from methodpick.site.result import NOTHING, Estimate, ShaftTakeoff, SitePlan, Takeoff, TakeoffLine, TotalLine
from methodpick.site.steel_lines import cage_checks, casing_lines, tube_lines
from methodpick.site.takeoff_lines import concrete_lines, drilling_lines, fluid_lines, spoil_lines, stock_lines, truck_lines
from methodpick.site.yard import make_yard
from methodpick.unit_markup import how_many

GROUPS = ("drilling", "casing", "fluid", "concrete", "delivery", "spoil", "steel", "testing")
"""Groups of lines in the order in which they are listed."""


def take_off(site: Site, planned: SitePlan, book: Rulebook) -> Takeoff:
    """Take off every shaft of a planned site and add them up; the same plan gives the same bytes."""
    jobs = _jobs(site, planned, book)
    shafts, hours = [], []
    for job in jobs:
        concrete = concrete_lines(job)
        order = concrete[-1]
        shafts.append(_shaft_takeoff(job, concrete, order))
        hours.append(hours_row(job, order))
    stock = tuple(stock_lines(jobs))
    totals = add_up(shafts, stock)
    yard = make_yard(site, jobs, hours)
    return Takeoff(
        site=planned,
        shafts=tuple(shafts),
        site_lines=stock,
        totals=totals,
        yard=yard,
        hours=tuple(hours),
        cost=cost_sheet(Quantities(jobs, shafts, totals, hours, yard)),
        notes=_notes(site),
        truck_m3=jobs[0].truck_m3 if jobs else None,
    )


def _jobs(site: Site, planned: SitePlan, book: Rulebook) -> list[Job]:
    shafts = {shaft.id: shaft for shaft in site.shafts}
    jobs = []
    for plan in planned.plan.shafts:
        shaft = shafts[plan.id]
        boring = boring_at_shaft(site, shaft, site.boring(plan.boring), book.values)
        grade_m = drilling_grade(site.site, boring, book.values)
        jobs.append(Job(site=site, shaft=shaft, plan=plan, grade_m=grade_m, book=book))
    return jobs


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


def _notes(site: Site) -> tuple[str, ...]:
    notes = [
        "Low and high of a sum are the sums of lows and highs: all shafts at their low or high together, wider than chance has it.",
        "Method overrun is geometry and certain; ground overbreak is experience and a range. They are never one line.",
    ]
    if site.rates is None or not site.rates.priced:
        notes.append("No rates are given, so nothing is priced; hours are planning hours of this tool's own.")
    if site.pay.measured_from is None:
        notes.append("'pay: measured_from' is not given: the paid length is not known.")
    return tuple(notes)
