"""The takeoff of a planned site: lines of every shaft, sums over the site, casing strings and hours; and its cost from the user's rates."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace

from methodpick.collector import collector_paused
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.quantity import Band
from methodpick.ground.rates import Rates
from methodpick.ground.site import Site
from methodpick.mechanics.casing import mass_per_metre
from methodpick.records import record
from methodpick.site.bid_items import Measured, bid_sheet
from methodpick.site.calendar import make_schedule
from methodpick.site.estimate import NOTHING, Estimate
from methodpick.site.job import Job, drilled_pieces, drilling_rate, estimate_of, hours_row
from methodpick.site.result import (
    PAD_LOOSE,
    SPOIL_LOOSE,
    TO_ORDER,
    TUBE_LENGTH,
    CostLine,
    CostSheet,
    HoursRow,
    ShaftTakeoff,
    SitePlan,
    Takeoff,
    TakeoffLine,
    TotalLine,
    UnpricedLine,
)
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
from methodpick.site.yard_result import Yard
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
    cost = cost_sheet(Quantities(jobs, shafts, totals, hours, yard))
    return Takeoff(
        site=planned,
        shafts=tuple(shafts),
        site_lines=stock,
        totals=totals,
        yard=yard,
        hours=tuple(hours),
        calendar=schedule.calendar,
        cost=cost,
        bid=bid_sheet(Measured(jobs, shafts, totals, hours, cost)),
        notes=(*_notes(site), *_platform_note(jobs), *two_fluids_note(jobs, stock)),
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


def _platform_note(jobs: Sequence[Job]) -> Iterator[str]:
    """Return what is not counted of the platforms that the plan raises."""
    raised = [
        f"{job.shaft.id} by {mark(job.plan.levels.raised_m, 'm')}" for job in jobs if job.plan.levels and job.plan.levels.raised_m > 0
    ]
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


# ---- Cost of the work from the user's rates: drilling time, wear, casing, fluid, concrete, spoil; what has no rate is told, not priced


_ONCE = Estimate.exactly(1.0)


@record
class Quantities:
    """What a site's cost is priced from: the takeoff of its shafts, their sums, the hours and the casing strings."""

    jobs: Sequence[Job]
    shafts: Sequence[ShaftTakeoff]
    totals: Sequence[TotalLine]
    hours: Sequence[HoursRow]
    yard: Yard


@record(frozen=False)
class _Pricing:
    """The user's rates, and the work that has none."""

    rates: Rates
    unpriced: list[UnpricedLine] = field(default_factory=list)

    def priced(self, item: str, lines: Sequence[TotalLine], band: Band | None, name: str) -> list[CostLine]:
        """Return the cost of lines of one unit at a rate; no line where there is nothing, or no rate, which is then noted."""
        amount = NOTHING
        for line in lines:
            amount = amount.plus(line.amount)
        if amount.high <= 0:
            return []
        return self.line(item, (amount, lines[0].unit), band, name, of=tuple(line.item for line in lines))

    def line(self, item: str, quantity: tuple[Estimate, str], band: Band | None, name: str, *, of: tuple[str, ...] = ()) -> list[CostLine]:
        """Return the cost of a quantity in its unit at a rate; no line where there is no rate, which is then noted by its name."""
        amount, unit = quantity
        if band is None:
            self.unpriced.append(UnpricedLine(item, amount, unit, name, of))
            return []
        price = estimate_of(band)
        return [
            CostLine(
                item=item,
                amount=amount.product(price),
                formula="once" if unit == "1" and amount == _ONCE else f"{_amount_text(amount, unit)} x {_price_text(price, unit)}",
                quantity=amount,
                unit=unit,
                price=price,
                of=of,
            )
        ]


def cost_sheet(quantities: Quantities) -> CostSheet | None:
    """Price a takeoff by the user's rates; None where there are none."""
    rates = quantities.jobs[0].site.rates if quantities.jobs else None
    if rates is None or not rates.priced:
        return None
    pricing = _Pricing(rates)
    lines = [
        *pricing.line("mobilisation", (_ONCE, "1"), rates.mobilisation, "mobilisation"),
        *_rig(pricing, quantities.hours),
        *_wear(pricing, quantities.jobs),
        *_permanent_casing(pricing, quantities.jobs),
        *_temporary_casing(pricing, quantities),
        *_fluid(pricing, quantities.totals),
        *_concrete_and_spoil(pricing, quantities),
        *_cages_and_tubes(pricing, quantities),
    ]
    total = NOTHING
    for line in lines:
        total = total.plus(line.amount)
    return CostSheet(rates.currency, tuple(lines), total, tuple(pricing.unpriced))


def _rig(pricing: _Pricing, rows: Sequence[HoursRow]) -> list[CostLine]:
    hours = NOTHING
    for row in rows:
        hours = hours.plus(row.total.times(row.count))
    if pricing.rates.rig_per_h is None:
        return pricing.line("rig and crew", (hours, "h"), None, "rig")
    price = estimate_of(pricing.rates.rig_per_h)
    return [
        CostLine(
            item="rig and crew",
            amount=hours.product(price),
            formula=f"{_amount_text(hours, 'h')} x {_money_text(price)} an hour",
            quantity=hours,
            unit="h",
            price=price,
            shafts=tuple((row.shaft, row.total.product(price)) for row in rows),
        )
    ]


def _wear(pricing: _Pricing, jobs: Sequence[Job]) -> list[CostLine]:
    """Price what drilling wears off the tools, by tool and material; where some wear is priced, wear without a rate is noted."""
    rates = pricing.rates
    lengths_m: dict[int, float] = {}
    without_m: dict[str, float] = {}
    for job in jobs:
        for length_m, interval in drilled_pieces(job):
            rate = drilling_rate(rates, interval)
            if rate is not None and rate.wear_per_m is not None:
                place = rates.drilling.index(rate)
                lengths_m[place] = lengths_m.get(place, 0.0) + length_m * job.shaft.count
            else:
                without_m[interval.soil_class] = without_m.get(interval.soil_class, 0.0) + length_m * job.shaft.count
    for soil, length_m in without_m.items() if lengths_m else ():
        pricing.line(f"wear in {soil.replace('_', ' ')}", (Estimate.exactly(length_m), "m"), None, f"drilling: wear in {soil}")
    lines: list[CostLine] = []
    for place, length_m in sorted(lengths_m.items()):
        rate = rates.drilling[place]
        hole = "" if rate.hole == "any" else f", {rate.hole} hole"
        item = f"wear, {rate.tool} in {rate.material.replace('_', ' ')}{hole}"
        lines += pricing.line(item, (Estimate.exactly(length_m), "m"), rate.wear_per_m, "drilling: wear")
    return lines


def _permanent_casing(pricing: _Pricing, jobs: Sequence[Job]) -> list[CostLine]:
    """Price permanent casing by its mass."""
    mass_kg = sum(
        mass_per_metre(casing.outside_diameter_m, casing.wall_m) * casing.length_m * job.shaft.count
        for job in jobs
        for casing in job.plan.casings
        if casing.kind == "permanent"
    )
    if mass_kg <= 0:
        return []
    return pricing.line("permanent casing", (Estimate.exactly(mass_kg), "kg"), pricing.rates.casing.buy_per_kg, "casing: buy")


def _temporary_casing(pricing: _Pricing, quantities: Quantities) -> list[CostLine]:
    """Price the temporary casing: the days of that from the yard; what must be got is bought or rented, whichever is likely less."""
    owned = {string.name: string.from_yard_m for string in quantities.yard.strings if string.from_yard_m > 0}
    lines = _by_the_day(
        "temporary casing, from the yard", owned, quantities.yard, (pricing, pricing.rates.casing.own_per_m_day, "own_a_day")
    )
    return [*lines, *_casing_to_get(pricing, quantities)]


def _by_the_day(item: str, lengths_m: Mapping[str, float], yard: Yard, priced_by: tuple[_Pricing, Band | None, str]) -> list[CostLine]:
    """Price lengths of strings, by their names, for the working days from where each first goes in until it is last out."""
    pricing, band, key = priced_by
    days_m, used = NOTHING, [string for string in yard.strings if string.name in lengths_m]
    for string in used:
        days_m = days_m.plus(string.days.times(lengths_m[string.name]))
    if days_m.high <= 0:
        return []
    words = ", ".join(f"{string.name} {mark(lengths_m[string.name], 'm')} x {string.days.likely:.0f} d" for string in used)
    return [
        replace(line, formula=f"working days in use: {words}; x {_price_text(line.price, 'm')} a day")
        for line in pricing.line(item, (days_m, "m d"), band, f"casing: {key}")
    ]


def _casing_to_get(pricing: _Pricing, quantities: Quantities) -> list[CostLine]:
    rates, yard = pricing.rates.casing, quantities.yard
    if yard.to_get_m <= 0:
        return []
    to_get = {string.name: string.to_get_m for string in yard.strings if string.to_get_m > 0}
    rented = []
    if rates.rent_per_m_day is not None:
        rented = _by_the_day("temporary casing, rented", to_get, yard, (pricing, rates.rent_per_m_day, "rent_a_day"))
    bought = (Estimate.exactly(yard.to_get_kg), "kg")
    if rates.buy_per_kg is None and rented:
        return rented
    choices = [*pricing.line("temporary casing, bought", bought, rates.buy_per_kg, "casing: buy or rent_a_day"), *rented]
    if not choices:
        return []
    choices.sort(key=lambda line: line.amount.likely)
    cheapest, *others = choices
    dearer = f"; {others[0].item.split(', ')[1]} it would be {_money_text(others[0].amount)}" if others else ""
    return [replace(cheapest, formula=cheapest.formula + dearer)]


def _fluid(pricing: _Pricing, totals: Sequence[TotalLine]) -> list[CostLine]:
    rates = pricing.rates.fluid
    used = [line for line in totals if line.group == "fluid"]
    if not used:
        return []
    lines = pricing.line("fluid plant", (_ONCE, "1"), rates.plant, "fluid: plant")
    for item, rate, name in (
        ("bentonite, dry", rates.mineral_per_kg, "bentonite"),
        ("polymer, dry", rates.polymer_per_kg, "polymer"),
        ("soda ash", rates.soda_ash_per_kg, "soda_ash"),
        ("mixing water", rates.water_per_m3, "water"),
    ):
        lines += pricing.priced(item, [line for line in used if line.item.startswith(item)], rate, f"fluid: {name}")
    away = [line for line in totals if line.pay_key == "disposal"]
    return [*lines, *pricing.priced("disposal of fluid", away, rates.disposal_per_m3, "fluid: disposal")]


def _concrete_and_spoil(pricing: _Pricing, quantities: Quantities) -> list[CostLine]:
    """Price concrete and spoil, with what each shaft takes of them."""
    rates = pricing.rates
    lines = []
    for name, items, band, rate in (
        ("concrete", (TO_ORDER,), rates.pour.concrete_per_m3, "pour: concrete"),
        ("spoil", (SPOIL_LOOSE, PAD_LOOSE), rates.spoil_per_m3, "spoil"),
    ):
        for line in pricing.priced(name, [total for total in quantities.totals if total.item in items], band, rate):
            of_shafts = tuple((shaft.shaft, shaft.sum_of(items).product(line.price)) for shaft in quantities.shafts)
            lines.append(replace(line, shafts=of_shafts))
    return lines


def _cages_and_tubes(pricing: _Pricing, quantities: Quantities) -> list[CostLine]:
    """Price the reinforcement cages by the piece and the integrity tubes by length."""
    cages = float(sum(job.shaft.count for job in quantities.jobs))
    tubes = [total for total in quantities.totals if total.item == TUBE_LENGTH]
    return [
        *pricing.line("reinforcement cages", (Estimate.exactly(cages), "1"), pricing.rates.cage_each, "cage"),
        *pricing.priced("integrity tubes", tubes, pricing.rates.tubes_per_m, "tubes"),
    ]


def _amount_text(amount: Estimate, unit: str) -> str:
    if amount.certain:
        return mark(amount.likely, unit)
    return f"{mark(amount.low, unit)} / {mark(amount.likely, unit)} / {mark(amount.high, unit)}"


def _money_text(price: Estimate) -> str:
    return _rounded(price.likely) if price.certain else f"{_rounded(price.low)} / {_rounded(price.likely)} / {_rounded(price.high)}"


def _rounded(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:.4g}"


def _price_text(price: Estimate, unit: str) -> str:
    """Write a price of a unit, with a mark for each number so that it is read in the reader's own unit."""
    return f"{_money_text(price)} each" if unit == "1" else _amount_text(price, f"/{unit}")
