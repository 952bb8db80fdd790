"""Cost of the work from the user's rates: drilling time, wear, casing, fluid, concrete, spoil; what has no rate is told, not priced."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from typing import TYPE_CHECKING

from methodpick.ground.quantity import Band
from methodpick.mechanics.casing import mass_per_metre
from methodpick.records import record
from methodpick.site.calendar import SiteSchedule
from methodpick.site.estimate import NOTHING, CostLine, CostSheet, Estimate, HoursRow, UnpricedLine
from methodpick.site.job import Job, drilled_pieces, drilling_rate, estimate_of
from methodpick.site.result import PAD_LOOSE, SPOIL_LOOSE, STANDING, TO_ORDER, TUBE_LENGTH, ShaftTakeoff, TotalLine, Yard
from methodpick.unit_markup import how_many, mark

if TYPE_CHECKING:
    from methodpick.ground.rates import Rates

_ONCE = Estimate.exactly(1.0)


@record
class Quantities:
    """What a site's cost is priced from: the takeoff of its shafts, their sums, the hours, the casing strings and when it is built."""

    jobs: Sequence[Job]
    shafts: Sequence[ShaftTakeoff]
    totals: Sequence[TotalLine]
    hours: Sequence[HoursRow]
    yard: Yard
    schedule: SiteSchedule


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
        *_rig(pricing, quantities),
        *_rig_standing(pricing, quantities),
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


def _hours_of_all(rows: Sequence[HoursRow]) -> Estimate:
    hours = NOTHING
    for row in rows:
        hours = hours.plus(row.total.times(row.count))
    return hours


SAME_H = 0.5
"""Hours of work over those of the shifts from which on it is said that shafts overlap."""


def shifts_that_hold(shifts_h: float) -> str:
    """Describe why the shifts have fewer hours than the work that is priced.

    >>> shifts_that_hold(60.2)
    '60 h of shifts hold them, as the crew finishes one shaft while the rig begins the next'
    """
    return f"{shifts_h:,.0f} h of shifts hold them, as the crew finishes one shaft while the rig begins the next"


def _rig(pricing: _Pricing, quantities: Quantities) -> list[CostLine]:
    """Price the hours of every shaft by itself, and say where the shifts of the calendar have fewer, since shafts overlap."""
    rows, here_h = quantities.hours, quantities.schedule.on_site_h.likely
    hours = _hours_of_all(rows)
    in_shifts = f"; {shifts_that_hold(here_h)}" if hours.likely > here_h + SAME_H else ""
    if pricing.rates.rig_per_h is None:
        return pricing.line("rig and crew", (hours, "h"), None, "rig")
    price = estimate_of(pricing.rates.rig_per_h)
    return [
        CostLine(
            item="rig and crew",
            amount=hours.product(price),
            formula=f"{_amount_text(hours, 'h')} x {_money_text(price)} an hour{in_shifts}",
            quantity=hours,
            unit="h",
            price=price,
            shafts=tuple((row.shaft, row.total.product(price)) for row in rows),
        )
    ]


def _rig_standing(pricing: _Pricing, quantities: Quantities) -> list[CostLine]:
    """Price the hours in which the rigs of the calendar are on site and build nothing; no line where they are always at work."""
    schedule, rates = quantities.schedule, pricing.rates
    worked = _hours_of_all(quantities.hours)
    idle = [max(0.0, here - work) for here, work in zip(schedule.on_site_h.ends, worked.ends, strict=True)]
    if max(idle) <= 0:
        return []
    hours = Estimate(min(idle), idle[1], max(idle))
    own = rates.rig_standing_per_h
    priced_by = (own, "rig_standing") if own is not None else (rates.rig_per_h, "rig")
    rigs, shift_h = how_many(schedule.rigs_used, "rig"), schedule.clock.shift_h
    words = f"{rigs} in shifts of {shift_h:g} h over {schedule.days.likely:.0f} days, less their work: "
    as_working = "" if own is not None else ", as one that works"
    return [
        replace(line, formula=f"{words}{_amount_text(hours, 'h')} x {_money_text(line.price)} an hour{as_working}")
        for line in pricing.line(STANDING, (hours, "h"), *priced_by)
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
