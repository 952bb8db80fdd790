"""Cost of the work from the user's rates: drilling time, wear, casing, fluid, concrete, spoil; nothing without a rate is priced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from methodpick.ground.quantity import Band
from methodpick.ground.rates import Rates
from methodpick.mechanics.casing import mass_per_metre
from methodpick.site.hours import NONE, pieces, rate_for, spread
from methodpick.site.job import Job, product
from methodpick.site.result import CostLine, CostSheet, Estimate, HoursRow, ShaftTakeoff, TotalLine, Yard
from methodpick.unit_markup import mark


def cost_sheet(
    jobs: Sequence[Job], shafts: Sequence[ShaftTakeoff], totals: Sequence[TotalLine], rows: Sequence[HoursRow], yard: Yard
) -> CostSheet | None:
    """Price a takeoff by the user's rates; None where there are none."""
    rates = jobs[0].site.rates if jobs else None
    if rates is None or not rates.priced:
        return None
    lacking: list[str] = []
    lines = [
        *_rig(rates, rows, lacking),
        *_wear(rates, jobs),
        *_casing(rates, jobs, yard, lacking),
        *_fluid(rates, totals, lacking),
        *_amounts(rates, shafts, totals, lacking),
    ]
    total = NONE
    for line in lines:
        total = total.plus(line.amount)
    return CostSheet(rates.currency, tuple(lines), total, tuple(dict.fromkeys([*lacking, *(name for row in rows for name in row.lacking)])))


def _rig(rates: Rates, rows: Sequence[HoursRow], lacking: list[str]) -> list[CostLine]:
    if rates.rig_per_h is None:
        lacking.append("rig")
        return []
    price = spread(rates.rig_per_h)
    hours, own = NONE, []
    for row in rows:
        hours = hours.plus(row.total.times(row.count))
        own.append((row.shaft, product(row.total, price)))
    return [
        CostLine("rig and crew", product(hours, price), f"{_three(hours, 'h')} x {_money(price)} an hour", hours, "h", price, tuple(own))
    ]


def _wear(rates: Rates, jobs: Sequence[Job]) -> list[CostLine]:
    """Price what drilling wears off the tools, by tool and material."""
    lengths: dict[int, float] = {}
    for job in jobs:
        for length, one in pieces(job):
            rate = rate_for(rates, one)
            if rate is not None and rate.wear_per_m is not None:
                place = rates.drilling.index(rate)
                lengths[place] = lengths.get(place, 0.0) + length * job.shaft.count
    lines = []
    for place, length in sorted(lengths.items()):
        rate = rates.drilling[place]
        price = spread(rate.wear_per_m) if rate.wear_per_m is not None else NONE
        hole = "" if rate.hole == "any" else f", {rate.hole} hole"
        lines.append(
            CostLine(
                f"wear, {rate.tool} in {rate.material.replace('_', ' ')}{hole}",
                price.times(length),
                f"{mark(length, 'm')} x {_per(price, 'm')}",
                _sure(length),
                "m",
                price,
            )
        )
    return lines


def _casing(rates: Rates, jobs: Sequence[Job], yard: Yard, lacking: list[str]) -> list[CostLine]:
    """Price permanent casing by mass, and what of the temporary must be got: bought or rented, whichever is likely less."""
    own = rates.casing
    kept = sum(
        mass_per_metre(one.outside_diameter_m, one.wall_m) * one.length_m * job.shaft.count
        for job in jobs
        for one in job.plan.casings
        if one.kind == "permanent"
    )
    lines = []
    if kept > 0 and own.buy_per_kg is not None:
        price = spread(own.buy_per_kg)
        lines.append(CostLine("permanent casing", price.times(kept), f"{mark(kept, 'kg')} x {_per(price, 'kg')}", _sure(kept), "kg", price))
    elif kept > 0:
        lacking.append("casing: buy")
    if yard.to_get_m <= 0:
        return lines
    days = _days(jobs, yard)
    ways = []
    if own.buy_per_kg is not None:
        price = spread(own.buy_per_kg)
        ways.append(
            CostLine(
                "temporary casing, bought",
                price.times(yard.to_get_kg),
                f"{mark(yard.to_get_kg, 'kg')} x {_per(price, 'kg')}",
                _sure(yard.to_get_kg),
                "kg",
                price,
            )
        )
    if own.rent_per_m_day is not None:
        price = spread(own.rent_per_m_day)
        ways.append(
            CostLine(
                "temporary casing, rented",
                price.times(yard.to_get_m * days),
                f"{mark(yard.to_get_m, 'm')} x {days:.0f} working days x {_per(price, 'm')} a day",
                _sure(yard.to_get_m * days),
                "m d",
                price,
            )
        )
    if not ways:
        lacking.append("casing: buy or rent_a_day")
        return lines
    ways.sort(key=lambda one: one.amount.likely)
    said = f"; {ways[1].item.split(', ')[1]} it would be {_money(ways[1].amount)}" if len(ways) > 1 else ""
    first = ways[0]
    return [*lines, replace(first, formula=first.formula + said)]


def _days(jobs: Sequence[Job], yard: Yard) -> float:
    """Return the working days from the first string in to the last out."""
    shift = jobs[0].site.site.schedule.shift_hours or jobs[0].limit("shift_h")
    end = max((one.until_h for one in yard.needs), default=0.0)
    return float(-(-end // shift))


def _fluid(rates: Rates, totals: Sequence[TotalLine], lacking: list[str]) -> list[CostLine]:
    own, lines = rates.fluid, []
    used = [one for one in totals if one.group == "fluid"]
    if not used:
        return []
    if own.plant is not None:
        lines.append(CostLine("fluid plant", spread(own.plant), "once", _sure(1.0), "1", spread(own.plant)))
    else:
        lacking.append("fluid: plant")
    for word, band, name in (
        ("bentonite, dry", own.mineral_per_kg, "bentonite"),
        ("polymer, dry", own.polymer_per_kg, "polymer"),
        ("soda ash", own.soda_ash_per_kg, "soda_ash"),
        ("mixing water", own.water_per_m3, "water"),
    ):
        lines += _priced(word, [one for one in used if one.item.startswith(word)], band, f"fluid: {name}", lacking)
    away = [one for one in totals if one.pay_key == "disposal"]
    return [*lines, *_priced("disposal of fluid", away, own.disposal_per_m3, "fluid: disposal", lacking)]


def _amounts(rates: Rates, shafts: Sequence[ShaftTakeoff], totals: Sequence[TotalLine], lacking: list[str]) -> list[CostLine]:
    """Price concrete and spoil, with what each shaft takes of them."""
    found = []
    for word, item, band, name in (
        ("concrete", "concrete, to order", rates.pour.concrete_per_m3, "pour: concrete"),
        ("spoil", "spoil, loose", rates.spoil_per_m3, "spoil"),
    ):
        for line in _priced(word, [one for one in totals if one.item == item], band, name, lacking):
            own = tuple(
                (shaft.shaft, product(one.amount, spread(band)))
                for shaft in shafts
                for one in shaft.lines
                if one.item == item and band is not None
            )
            found.append(replace(line, shafts=own))
    return found


def _priced(word: str, lines: Sequence[TotalLine], band: Band | None, name: str, lacking: list[str]) -> list[CostLine]:
    amount = NONE
    for one in lines:
        amount = amount.plus(one.amount)
    if amount.high <= 0:
        return []
    if band is None:
        lacking.append(name)
        return []
    price, unit = spread(band), lines[0].unit
    return [
        CostLine(
            word,
            product(amount, price),
            f"{_three(amount, unit)} x {_per(price, unit)}",
            amount,
            unit,
            price,
            of=tuple(one.item for one in lines),
        )
    ]


def _sure(value: float) -> Estimate:
    return Estimate(value, value, value)


def _three(amount: Estimate, unit: str) -> str:
    if amount.certain:
        return mark(amount.likely, unit)
    return f"{mark(amount.low, unit)} / {mark(amount.likely, unit)} / {mark(amount.high, unit)}"


def _money(price: Estimate) -> str:
    return _plain(price.likely) if price.certain else f"{_plain(price.low)} / {_plain(price.likely)} / {_plain(price.high)}"


def _plain(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:.4g}"


def _per(price: Estimate, unit: str) -> str:
    """Write a price of a unit, with a mark for each number so that it is read in the reader's own unit."""
    if price.certain:
        return mark(price.likely, f"/{unit}")
    return f"{mark(price.low, f'/{unit}')} / {mark(price.likely, f'/{unit}')} / {mark(price.high, f'/{unit}')}"
