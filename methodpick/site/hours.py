"""Hours of one shaft by kind of work: from the user's rates, else the planning hours of its stages, said to be such."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from methodpick.ground.quantity import Band
from methodpick.ground.rates import DrillingRate, Rates
from methodpick.plan.result import Interval
from methodpick.site.job import WET, Job
from methodpick.site.lines.steel import joints
from methodpick.site.result import Estimate, HoursRow, TakeoffLine

NONE = Estimate(0.0, 0.0, 0.0)
_KINDS = {
    "set_starter": "casing",
    "set_casing": "casing",
    "advance_casing": "casing",
    "seal_test": "casing",
    "bail": "casing",
    "drill": "drill",
    "bell": "drill",
    "introduce_fluid": "fluid",
    "refill": "fluid",
    "exchange_fluid": "fluid",
    "clean": "clean",
    "cage": "cage",
    "pour": "pour",
    "pull": "pull",
    "remove_starter": "pull",
}
KINDS = ("drill", "casing", "fluid", "clean", "cage", "pour", "pull", "move")


def hours_row(job: Job, order: TakeoffLine) -> HoursRow:
    """Return the hours of a shaft: by the user's rates where any are given, else by its stages."""
    rates = job.site.rates
    if rates is None or not rates.priced:
        return _of_stages(job)
    lacking: list[str] = []
    parts = {
        "drill": drill_hours(job, rates, lacking),
        "casing": _casing(job, rates, lacking),
        "fluid": _fluid(job, rates, lacking),
        "clean": _once(rates.clean_h, "clean_hours", lacking),
        "cage": _once(rates.cage_h, "cage_hours", lacking),
        "pour": _pour(order, rates, lacking),
        "pull": _pull(job, rates, lacking),
        "move": _once(rates.move_h, "move_hours", lacking),
    }
    return _row(job, parts, tuple(dict.fromkeys(lacking)), by_rates=True)


def spread(band: Band) -> Estimate:
    """Return a rate as a range; without a likely value its middle is taken.

    >>> spread(Band(low=1, high=2))
    Estimate(low=1.0, likely=1.5, high=2.0)
    """
    return Estimate(band.low, band.likely if band.likely is not None else (band.low + band.high) / 2, band.high)


def over(amount: Estimate, speed: Estimate) -> Estimate:
    """Return the time that an amount takes at a speed: the least at the high speed.

    >>> over(Estimate(6, 6, 6), Estimate(1, 2, 3))
    Estimate(low=2.0, likely=3.0, high=6.0)
    """
    return Estimate(amount.low / speed.high, amount.likely / speed.likely, amount.high / speed.low)


def drill_hours(job: Job, rates: Rates, lacking: list[str]) -> Estimate | None:
    """Return the drilling hours, None where no material has a rate; what lacks one is named."""
    total, found = NONE, False
    for length, one in pieces(job):
        rate = rate_for(rates, one)
        if rate is None or rate.speed_m_h.low <= 0:
            lacking.append(f"drilling: {one.soil_class}, {'full' if one.drilled_in in WET else 'dry'} hole")
            continue
        total, found = total.plus(over(Estimate(length, length, length), spread(rate.speed_m_h))), True
    return total if found else None


def pieces(job: Job) -> Iterable[tuple[float, Interval]]:
    """Return every drilled length with its interval; a working pad counts with the ground right under it."""
    land = job.site.site.setting == "land"
    for index, one in enumerate(job.plan.intervals):
        top = max(one.top_m, job.grade_m) if land else one.top_m
        length = one.base_m - top + (max(0.0, -job.grade_m) if land and index == 0 else 0.0)
        if length > 0:
            yield length, one


def rate_for(rates: Rates, one: Interval) -> DrillingRate | None:
    """Return the first drilling rate that fits a length: its material or any, the hole dry or full as it is drilled."""
    hole = "full" if one.drilled_in in WET else "dry"
    fitting = [rate for rate in rates.drilling if rate.material in (one.soil_class, "any") and rate.hole in (hole, "any")]
    named = [rate for rate in fitting if rate.material != "any"]
    return next(iter(named or fitting), None)


def _casing(job: Job, rates: Rates, lacking: list[str]) -> Estimate | None:
    casings = job.plan.casings
    if not casings:
        return NONE
    welds = sum(joints(one) for one in casings)
    each = _once(rates.casing.set_h, "casing: set_hours", lacking)
    if each is None:
        return None
    weld = _once(rates.casing.splice_h, "casing: splice_hours", lacking) if welds else NONE
    return each.times(len(casings)).plus((weld or NONE).times(welds))


def _pull(job: Job, rates: Rates, lacking: list[str]) -> Estimate | None:
    pulled = sum(1 for one in job.plan.casings if one.kind != "permanent")
    each = _once(rates.casing.pull_h, "casing: pull_hours", lacking) if pulled else NONE
    return None if each is None else each.times(pulled)


def _fluid(job: Job, rates: Rates, lacking: list[str]) -> Estimate | None:
    fills = sum(1 for one in job.plan.stages if _KINDS.get(one.action) == "fluid")
    each = _once(rates.fluid.fill_h, "fluid: fill_hours", lacking) if fills else NONE
    return None if each is None else each.times(fills)


def _pour(order: TakeoffLine, rates: Rates, lacking: list[str]) -> Estimate | None:
    speed = rates.pour.speed_m3_h
    if speed is None or speed.low <= 0:
        lacking.append("pour: speed")
        return None
    return over(order.amount, spread(speed))


def _once(band: Band | None, name: str, lacking: list[str]) -> Estimate | None:
    if band is None:
        lacking.append(name)
        return None
    return spread(band)


def _sum(parts: Iterable[Estimate | None]) -> Estimate:
    total = NONE
    for part in parts:
        total = total.plus(part or NONE)
    return total


def _of_stages(job: Job) -> HoursRow:
    """Return the planning hours of the stages, which are this project's own, and a move."""
    parts: dict[str, Estimate | None] = {}
    for stage in job.plan.stages:
        kind, hours = _KINDS.get(stage.action, "drill"), stage.hours or 0.0
        parts[kind] = (parts.get(kind) or NONE).plus(Estimate(hours, hours, hours))
    move = job.limit("hours_move")
    parts["move"] = Estimate(move, move, move)
    return _row(job, {**dict.fromkeys(KINDS, NONE), **parts}, (), by_rates=False)


def _row(job: Job, parts: Mapping[str, Estimate | None], lacking: tuple[str, ...], *, by_rates: bool) -> HoursRow:
    return HoursRow(
        job.shaft.id,
        job.shaft.count,
        parts["drill"],
        parts["casing"],
        parts["fluid"],
        parts["clean"],
        parts["cage"],
        parts["pour"],
        parts["pull"],
        parts["move"],
        _sum(parts.values()),
        by_rates,
        lacking,
    )
