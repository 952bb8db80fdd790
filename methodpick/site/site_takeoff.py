"""The takeoff of a planned site: lines of every shaft, sums over the site, casing strings and hours, with its cost.

What is taken off a shaft is counted once for equal plans that differ in name, number and place alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields, replace
from math import ceil
from operator import attrgetter

from methodpick.collector import collector_paused
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.site import NOT_BUILT, Shaft, Site
from methodpick.mechanics.casing import mass_per_metre
from methodpick.plan.result import Casing, ShaftPlan
from methodpick.plan.result.shaft_plan import Design
from methodpick.records import record
from methodpick.site.bid_items import Measured, bid_sheet
from methodpick.site.calendar import make_schedule
from methodpick.site.cost import Quantities, cost_sheet
from methodpick.site.estimate import NOTES_OF_EVERY_TAKEOFF, NOTHING, CostSheet, Estimate, HoursRow
from methodpick.site.job import Job, PayItem, hours_row
from methodpick.site.result import DRILLED_IN, TUBE_LENGTH, TUBES, FitCheck, ShaftTakeoff, SitePlan, Takeoff, TakeoffLine, TotalLine
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
from methodpick.terms import STARTER
from methodpick.unit_markup import how_many, mark

# ---- steel: length, mass and splices of casings, the fit of the cage, the tubes to test the shaft by


TOLERANCE_M = 5e-4
"""A clearance this little short still fits: diameters are given to the millimetre."""


def casing_lines(job: Job) -> list[TakeoffLine]:
    """Return length, mass and splices of every casing; casings of one size are told apart by their kind only."""
    return [line for casing in job.plan.casings for line in _lines_of(job, casing)]


def _lines_of(job: Job, casing: Casing) -> list[TakeoffLine]:
    name = f"{casing.kind} casing {mark(casing.outside_diameter_m, 'size')} x {mark(casing.wall_m, 'wall')}"
    pay_key = "permanent_casing" if casing.kind == "permanent" else "temporary_casing"
    mass_kg_m = mass_per_metre(casing.outside_diameter_m, casing.wall_m)
    return [
        job.line(
            PayItem("casing", f"{name}, length", "m", pay_key),
            casing.length_m,
            f"base {mark(casing.base_m, 'm')} - top {mark(casing.top_m, 'm')}",
        ),
        job.line(
            PayItem("casing", f"{name}, mass", "kg", pay_key),
            mass_kg_m * casing.length_m,
            f"pi (D - t) t x steel = {mark(mass_kg_m, 'kg/m')} x {mark(casing.length_m, 'm')}",
            source="geometry, steel of 7850 kg/m3",
        ),
        job.line(
            PayItem("casing", f"{name}, splices", "1", pay_key),
            float(casing.joints),
            "joints between " + " + ".join(mark(section, "m") for section in casing.sections_m or (casing.length_m,)),
            source=job.cite("splice_length_m"),
        ),
    ]


def cage_checks(job: Job) -> list[FitCheck]:
    """Return the clearance of the cage in the hole and in every temporary casing that is pulled over it."""
    shaft = job.shaft
    cage_m = shaft.cage_diameter_m
    cover_m, source = _cover(job)
    if cage_m is None:
        return [FitCheck("cage in the hole", None, cover_m, None, "The cage diameter is not given.", source)]
    narrow_m = min(shaft.diameter_m, shaft.socket_diameter_m or shaft.diameter_m)
    room_m = (narrow_m - cage_m) / 2
    in_hole = FitCheck(
        item="cage in the hole",
        there_m=room_m,
        wanted_m=cover_m,
        fits=room_m >= cover_m - TOLERANCE_M,
        text=f"({mark(narrow_m, 'size')} - cage {mark(cage_m, 'size')}) / 2 = {mark(room_m, 'size')}, wanted {mark(cover_m, 'size')}.",
        source=source,
    )
    return [in_hole, *(_cage_in(casing, cage_m, job) for casing in job.plan.casings if casing.kind != STARTER)]


def _cage_in(casing: Casing, cage_m: float, job: Job) -> FitCheck:
    least_m = job.limit("cover_least_m")
    inside_m = casing.outside_diameter_m - 2 * casing.wall_m
    room_m = (inside_m - cage_m) / 2
    return FitCheck(
        item=f"cage in the {casing.kind} casing {mark(casing.outside_diameter_m, 'size')}",
        there_m=room_m,
        wanted_m=least_m,
        fits=room_m >= least_m - TOLERANCE_M,
        text=f"(inside {mark(inside_m, 'size')} - cage {mark(cage_m, 'size')}) / 2 = {mark(room_m, 'size')}, wanted {mark(least_m, 'size')}"
        " so that concrete flows between them and spacers pass.",
        source=job.cite("cover_least_m"),
    )


def _cover(job: Job) -> tuple[float, str]:
    """Return the cover that is wanted: the drawing's, else by the diameter; and where it comes from."""
    if job.shaft.cover_m is not None:
        return job.shaft.cover_m, "the drawing"
    if job.shaft.diameter_m >= job.limit("cover_large_diameter_m"):
        name = "cover_large_m"
    elif job.shaft.diameter_m >= job.limit("cover_small_diameter_m"):
        name = "cover_medium_m"
    else:
        name = "cover_least_m"
    return job.limit(name), job.cite(name)


def tube_lines(job: Job) -> list[TakeoffLine]:
    """Return the integrity tubes: one for each spacing of cage diameter, three at least, from the tip to above the concrete."""
    cage_m, shaft = job.shaft.cage_diameter_m, job.shaft
    wide_m = cage_m if cage_m is not None else shaft.diameter_m - 2 * _cover(job)[0]
    guess = "" if cage_m is not None else ", from the diameter less the cover"
    spacing_m, least, above_m = job.limit("tube_spacing_m"), int(job.limit("tubes_least")), job.limit("tube_above_m")
    count = max(least, ceil(round(wide_m / spacing_m, 6)))
    return [
        job.line(
            PayItem("testing", TUBES, "1", "tubes"),
            float(count),
            f"cage {mark(wide_m, 'size')}{guess} / {mark(spacing_m, 'size')}, rounded up, {least} at least",
            source=job.cite("tube_spacing_m", "tubes_least"),
        ),
        job.line(
            PayItem("testing", TUBE_LENGTH, "m", "tubes"),
            count * (shaft.tip_m - shaft.cutoff_m + above_m),
            f"{count} x (tip {mark(shaft.tip_m, 'm')} - cut-off {mark(shaft.cutoff_m, 'm')} + {mark(above_m, 'm')})",
            source=job.cite("tube_above_m"),
        ),
    ]


# ---- what is taken off each shaft, counted once for all that are built alike


_OWN_OF_PLAN = frozenset({"id", "count", "boring_distance_m", "doubts", "design", "other_ways"})
_of_shaft = attrgetter(*(name for name in Shaft.model_fields if name not in NOT_BUILT))
_of_plan = attrgetter(*(field.name for field in fields(ShaftPlan) if field.name not in _OWN_OF_PLAN))
_Built = tuple[tuple[object, ...], Design, tuple[object, ...]]


@record
class CountedShaft:
    """What one shaft takes: its lines with the checks of its cage, and its hours."""

    takeoff: ShaftTakeoff
    hours: HoursRow


class ShaftCounts:
    """What shafts take, by one rulebook on one site; those that are built alike are counted once."""

    def __init__(self) -> None:
        """Start with nothing counted."""
        self._counted: dict[tuple[str, float], list[tuple[_Built, CountedShaft]]] = {}

    def of(self, job: Job) -> CountedShaft:
        """Return what a shaft takes, under its own name."""
        built: _Built = _of_plan(job.plan), job.plan.design.placed_at(None), _of_shaft(job.shaft)
        alike = self._counted.setdefault((job.plan.boring, job.shaft.tip_m), [])
        found = next((counted for known, counted in alike if known == built), None)
        if found is None:
            found = _counted_shaft(job)
            alike.append((built, found))
        return _under_own_name(found, job.shaft)


def _counted_shaft(job: Job) -> CountedShaft:
    concrete = concrete_lines(job)
    order = concrete[-1]
    return CountedShaft(_takeoff(job, concrete, order), hours_row(job, order))


def _takeoff(job: Job, concrete: list[TakeoffLine], order: TakeoffLine) -> ShaftTakeoff:
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


def _under_own_name(counted: CountedShaft, shaft: Shaft) -> CountedShaft:
    """Return what shafts share that are built alike, under the name and the number of one of them."""
    if counted.takeoff.shaft == shaft.id:
        return counted
    takeoff = replace(counted.takeoff, shaft=shaft.id, substructure=shaft.substructure or "", count=shaft.count)
    return CountedShaft(takeoff, replace(counted.hours, shaft=shaft.id, count=shaft.count))


# ---- the whole site


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
            *_contaminated_note(jobs),
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
    return tuple(sorted(totals, key=lambda line: (order[line.group], line.group == "drilling" and not line.item.startswith(DRILLED_IN))))


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


CONTAMINATED = "contaminated-layer"
"""The rule that says of a length that its ground is contaminated."""


def _contaminated_note(jobs: Sequence[Job]) -> Iterator[str]:
    """Return where spoil is contaminated: no sum parts it, and one rate prices all of it."""
    where: dict[str, list[str]] = {}
    for job in jobs:
        for caution in job.plan.cautions:
            if caution.rule == CONTAMINATED:
                where.setdefault(caution.where or "somewhere", []).append(job.shaft.id)
    if where:
        named = "; ".join(f"{', '.join(names)} ({depths})" for depths, names in where.items())
        yield (
            f"Spoil is contaminated at {named}, and so is the water and fluid that carries it: it is kept apart, tested, and tipped by its "
            "class. The sums do not part it, and one rate of spoil and one of disposal price all: give rates that cover it."
        )


def _notes(site: Site) -> tuple[str, ...]:
    notes = [*NOTES_OF_EVERY_TAKEOFF]
    if site.rates is None or not site.rates.priced:
        notes.append("No rates are given, so nothing is priced; hours are planning hours of this tool's own.")
    if site.pay.measured_from is None:
        notes.append("'pay: measured_from' is not given: the sums have no paid length, and bid items are measured as is usual.")
    return tuple(notes)
