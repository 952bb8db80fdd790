"""The job of one shaft: its plan, the site it stands on and the rulebook, from which its takeoff is made; and the hours of its work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.pay import PayWord
from methodpick.ground.quantity import Band
from methodpick.ground.site import Shaft, Site
from methodpick.plan.concrete.hole import Bore, bores, socket_of
from methodpick.plan.hours import splice_hours
from methodpick.plan.proving.ground_facts import TOUCH_M
from methodpick.plan.result import Casing, Interval, ShaftPlan, Stage
from methodpick.records import record
from methodpick.site.estimate import NOTHING, Estimate, HoursRow
from methodpick.site.result import (
    DRILLED_IN,
    DRILLED_IN_ALL,
    EMPTY_BORE,
    MASS,
    SPLICES,
    SPOIL_LOOSE,
    TO_ORDER,
    TRUCKS,
    TUBES,
    LineGroup,
    TakeoffLine,
)
from methodpick.terms import FLUIDS

if TYPE_CHECKING:
    from methodpick.ground.rates import DrillingRate, Rates

FULL_STATES = frozenset({*FLUIDS, "cased_balanced", "cased_plug"})
"""States in which the hole stands full while it is drilled."""


@record
class PayItem:
    """A kind of work that is measured: the group it is listed in, its name and SI unit, and the key under ``pay:`` that decides."""

    group: LineGroup
    name: str
    unit: str
    pay_key: str


@record
class Job:
    """One shaft to be taken off. ``grade_m`` is the depth of the drilling grade, negative above the ground."""

    site: Site
    shaft: Shaft
    plan: ShaftPlan
    grade_m: float
    book: Rulebook

    def limit(self, name: str) -> float:
        """Return the value of a limit."""
        return self.book.values[name]

    def joint_hours(self, casing: Casing) -> float:
        """Return the planning hours of the joints of a casing."""
        return splice_hours(casing, self.book.values)

    def cite(self, *names: str) -> str:
        """Return where limits come from, in one text."""
        limits = (self.book.limits[name] for name in names)
        cited = [f"{limit.source}, {limit.where} ({limit.confidence})" for limit in limits]
        return "; ".join(dict.fromkeys(cited))

    def line(self, item: PayItem, amount: Estimate | float, formula: str, *, source: str = "", sum_of: tuple[str, ...] = ()) -> TakeoffLine:
        """Return the line of a pay item, with who pays for it; ``sum_of`` names the items that it adds up."""
        return TakeoffLine(
            group=item.group,
            item=item.name,
            unit=item.unit,
            amount=amount if isinstance(amount, Estimate) else Estimate.exactly(amount),
            formula=formula,
            pay_key=item.pay_key,
            pay=self._pay_of(item),
            source=source,
            sum_of=sum_of,
        )

    def _pay_of(self, item: PayItem) -> PayWord:
        """Return who pays for a line. Of lines that say the same work in several ways only the measured one is called paid."""
        word = self.site.pay.of(item.pay_key)
        return "incidental" if word == "paid" and not self._is_measured(item.name) else word

    def _is_measured(self, name: str) -> bool:
        """Return whether a line is what the contract measures of its work: lengths once, concrete by its parts, spoil in the bank."""
        by_length = self.site.pay.measured_from is not None
        if name == DRILLED_IN_ALL:
            return not by_length
        if name.startswith((DRILLED_IN, EMPTY_BORE)) or name.endswith((MASS, SPLICES)):
            return False
        return name not in {TO_ORDER, TRUCKS, SPOIL_LOOSE, TUBES}

    @property
    def hole(self) -> tuple[Bore, ...]:
        """Return the hole as drilled."""
        return bores(self.shaft.diameter_m, socket_of(self.shaft), self.shaft.tip_m, self.plan.casings)

    @property
    def on_land(self) -> bool:
        """Return whether the shaft stands on land."""
        return self.site.site.setting == "land"

    @property
    def drilled_from_m(self) -> float:
        """Return the depth from which ground is drilled: on land the grade, below the ground too; over water the mudline."""
        return self.grade_m if self.on_land else 0.0

    @property
    def truck_m3(self) -> float:
        """Return the load of a truck: the user's, else the rulebook's."""
        given = self.site.rates.pour.truck_m3 if self.site.rates else None
        return given if given is not None else self.limit("truck_m3")


# ---- Hours of one shaft by kind of work: from the user's rates, and planning hours where a rate is wanting, which the row then tells


KIND_OF_WORK = {
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
"""The kind of work of every stage's action."""
KINDS = ("drill", "casing", "fluid", "clean", "cage", "pour", "pull", "move")


def hours_row(job: Job, order: TakeoffLine) -> HoursRow:
    """Return the hours of a shaft by kind of work: by the user's rates, and by planning hours where a rate is wanting.

    ``order`` is the concrete of the shaft. Nothing that is wanting counts as nothing: the row names it in ``lacking``.
    """
    rates = job.site.rates
    planning = _planning_hours(job)
    if rates is None or not rates.priced:
        return _row(job, planning, (), by_rates=False)
    lacking: list[str] = []
    by_rates = {
        "drill": _drilling(job, rates, lacking),
        "casing": _casing(job, rates, lacking),
        "fluid": _fluid(job, rates, lacking),
        "clean": _rate(rates.clean_h, "clean_hours", lacking),
        "cage": _rate(rates.cage_h, "cage_hours", lacking),
        "pour": _pour(order, rates, lacking),
        "pull": _pull(job, rates, lacking),
        "move": _rate(rates.move_h, "move_hours", lacking),
    }
    parts = {kind: planning[kind] if part is None else part for kind, part in by_rates.items()}
    return _row(job, parts, tuple(dict.fromkeys(lacking)), by_rates=True)


def estimate_of(band: Band) -> Estimate:
    """Return a rate as an estimate; without a likely value its middle is taken.

    >>> estimate_of(Band(low=1, high=2))
    Estimate(low=1.0, likely=1.5, high=2.0)
    """
    return Estimate(band.low, band.likely, band.high) if band.likely is not None else Estimate.between(band.low, band.high)


def drilled_pieces(job: Job) -> Iterator[tuple[float, Interval]]:
    """Return every drilled length with its interval; a working pad counts with the ground right under it."""
    for index, interval in enumerate(job.plan.intervals):
        top_m = max(interval.top_m, job.grade_m) if job.on_land else interval.top_m
        pad_m = max(0.0, -job.grade_m) if job.on_land and index == 0 else 0.0
        length_m = interval.base_m - top_m + pad_m
        if length_m > 0:
            yield length_m, interval


def drilling_rate(rates: Rates, interval: Interval) -> DrillingRate | None:
    """Return the first drilling rate that fits a length: its material before any, the hole dry or full as it is drilled."""
    fitting = [rate for rate in rates.drilling if rate.material in (interval.soil_class, "any") and rate.hole in (_hole(interval), "any")]
    of_material = [rate for rate in fitting if rate.material != "any"]
    return next(iter(of_material or fitting), None)


def _hole(interval: Interval) -> str:
    return "full" if interval.drilled_in in FULL_STATES else "dry"


def _drilling(job: Job, rates: Rates, lacking: list[str]) -> Estimate:
    """Return the drilling hours, those of a length without a rate and of a bell by planning hours; what lacks a rate is named."""
    total = NOTHING
    for length_m, interval in drilled_pieces(job):
        rate = drilling_rate(rates, interval)
        if rate is None or rate.speed_m_h.low <= 0:
            lacking.append(f"drilling: {interval.soil_class}, {_hole(interval)} hole")
            hours = Estimate.exactly(interval.drilling_h * length_m / (interval.base_m - interval.top_m))
        else:
            hours = Estimate.exactly(length_m).at_speed(estimate_of(rate.speed_m_h))
        total = total.plus(hours)
    bells = [stage.hours or 0.0 for stage in job.plan.stages if stage.action == "bell"]
    if bells:
        lacking.append("drilling: the bell")
    return total.plus(Estimate.exactly(sum(bells)))


def _casing(job: Job, rates: Rates, lacking: list[str]) -> Estimate | None:
    casings = job.plan.casings
    if not casings:
        return NOTHING
    joints = sum(casing.joints for casing in casings)
    setting = _rate(rates.casing.set_h, "casing: set_hours", lacking)
    if setting is None:
        return None
    joint = _rate(rates.casing.splice_h, "casing: splice_hours", lacking) if joints else NOTHING
    spliced = Estimate.exactly(sum(map(job.joint_hours, casings))) if joint is None else joint.times(joints)
    return setting.times(len(casings)).plus(spliced)


def _pull(job: Job, rates: Rates, lacking: list[str]) -> Estimate | None:
    pulled = sum(1 for casing in job.plan.casings if casing.kind != "permanent")
    pulling = _rate(rates.casing.pull_h, "casing: pull_hours", lacking) if pulled else NOTHING
    return None if pulling is None else pulling.times(pulled)


def _fluid(job: Job, rates: Rates, lacking: list[str]) -> Estimate | None:
    fills = sum(1 for stage in job.plan.stages if KIND_OF_WORK.get(stage.action) == "fluid")
    filling = _rate(rates.fluid.fill_h, "fluid: fill_hours", lacking) if fills else NOTHING
    return None if filling is None else filling.times(fills)


def _pour(order: TakeoffLine, rates: Rates, lacking: list[str]) -> Estimate | None:
    speed = rates.pour.speed_m3_h
    if speed is None or speed.low <= 0:
        lacking.append("pour: speed")
        return None
    return order.amount.at_speed(estimate_of(speed))


def _rate(band: Band | None, name: str, lacking: list[str]) -> Estimate | None:
    """Return a rate of the user's as an estimate, None where it is not given; then its name is added to what lacks."""
    if band is None:
        lacking.append(name)
        return None
    return estimate_of(band)


def _planning_hours(job: Job) -> dict[str, Estimate]:
    """Return the planning hours of the stages, which are this project's own, and of a move, by kind of work."""
    hours = dict.fromkeys(KINDS, 0.0)
    for stage in job.plan.stages:
        in_all_h = stage.hours or 0.0
        drilling_h = max(0.0, in_all_h - _casing_alone(job, stage)) if stage.action in {"set_casing", "advance_casing"} else 0.0
        hours["drill"] += drilling_h
        hours[KIND_OF_WORK.get(stage.action, "drill")] += in_all_h - drilling_h
    return {kind: Estimate.exactly(hours[kind]) for kind in KINDS} | {"move": Estimate.exactly(job.limit("hours_move"))}


def _casing_alone(job: Job, stage: Stage) -> float:
    """Return the hours of setting or advancing a casing, its joints among them, without the digging inside it."""
    joints_h = sum(job.joint_hours(casing) for casing in job.plan.casings if abs(casing.base_m - stage.base_m) < TOUCH_M)
    if stage.action == "set_casing":
        return job.limit("hours_casing_set") + joints_h
    return job.limit("hours_advance_m") * (stage.base_m - stage.top_m) + joints_h


def _row(job: Job, parts: Mapping[str, Estimate], lacking: tuple[str, ...], *, by_rates: bool) -> HoursRow:
    return HoursRow(
        shaft=job.shaft.id,
        count=job.shaft.count,
        drill=parts["drill"],
        casing=parts["casing"],
        fluid=parts["fluid"],
        clean=parts["clean"],
        cage=parts["cage"],
        pour=parts["pour"],
        pull=parts["pull"],
        move=parts["move"],
        total=_sum(parts.values()),
        by_rates=by_rates,
        lacking=lacking,
    )


def _sum(parts: Iterable[Estimate]) -> Estimate:
    total = NOTHING
    for part in parts:
        total = total.plus(part)
    return total
