"""The bid items of a taken-off site: what the specification measures, each with what it costs; all other work is carried by an item.

Every line of cost goes to one item, or is parted over shafts by what each takes of it, so that the items add up to the cost. No item is
loaded for another.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import TypeVar

from methodpick.ground.pay import Pay
from methodpick.mechanics.casing import mass_per_metre
from methodpick.records import record
from methodpick.site.estimate import NOTHING, BidItem, BidSheet, CostLine, CostSheet, Estimate, HoursRow, UnpricedLine
from methodpick.site.job import Job, estimate_of
from methodpick.site.result import BY_DRAWING, TUBE_LENGTH, ShaftTakeoff, TotalLine
from methodpick.unit_markup import mark
from methodpick.vocabulary.pay_items import PayGrouping, PayMeasure

NAMES: Mapping[PayMeasure, str] = {
    "mobilisation": "mobilisation",
    "shaft": "drilled shaft",
    "socket": "rock socket",
    "excavation": "shaft excavation",
    "permanent_casing": "permanent casing",
    "temporary_casing": "temporary casing",
    "concrete": "concrete by the drawing",
    "obstruction_hours": "obstructions",
    "trial_shaft": "trial shaft",
    "tubes": "integrity tubes",
}
UNITS: Mapping[PayMeasure, str] = {"mobilisation": "1", "concrete": "m3", "obstruction_hours": "h", "trial_shaft": "1"}
"""The unit of an item that is not measured by length."""
PAY_KEYS: Mapping[PayMeasure, str] = {
    "permanent_casing": "permanent_casing",
    "temporary_casing": "temporary_casing",
    "concrete": "concrete",
    "tubes": "tubes",
}
"""The keys under ``pay:`` whose word adds an item or takes it out."""
FILLS = frozenset({"concrete", "reinforcement cages"})
"""Lines of cost that fill the hole; all others of a shaft make it."""
AT_COST = "Prices are at cost: give 'overhead' and 'margin' under 'rates:' to put them on top."
NO_QUANTITY = "quantity of the bid schedule"
SharedBy = TypeVar("SharedBy")
_Key = tuple[PayMeasure, float]
"""An item by what it measures and its diameter in m, 0 where it has none."""


@record(frozen=False)
class _Carried:
    """What an item carries: its quantity with the parts of it, its cost, and the lines of cost in it."""

    quantity: float = 0.0
    parts: list[str] = field(default_factory=list)
    cost: Estimate = NOTHING
    covers: dict[str, None] = field(default_factory=dict)
    shares: dict[int, float] = field(default_factory=dict)
    lacking: dict[str, None] = field(default_factory=dict)


@record
class Measured:
    """What a bid is made from: the takeoff of all shafts, their sums and hours, and the cost."""

    jobs: Sequence[Job]
    shafts: Sequence[ShaftTakeoff]
    totals: Sequence[TotalLine]
    hours: Sequence[HoursRow]
    cost: CostSheet | None


def bid_sheet(measured: Measured) -> BidSheet | None:
    """Return the bid items of a site; None where there is no shaft, or the rulebook does not say how shafts are paid."""
    grouping = measured.jobs[0].book.pay_items if measured.jobs else None
    if grouping is None:
        return None
    bid = _Bid(measured, grouping)
    bid.measure()
    if measured.cost is not None:
        for place, line in enumerate(measured.cost.all_lines):
            bid.carry(place, line)
    return bid.sheet()


def paid_items(pay: Pay, grouping: PayGrouping) -> tuple[PayMeasure, ...]:
    """Return what is measured: the items of the grouping, with those that the site file calls paid, without those it calls incidental."""
    words = {measure: pay.of(key) for measure, key in PAY_KEYS.items()}
    kept = [item for item in grouping.items if words.get(item) != "incidental"]
    return (*kept, *(item for item, word in words.items() if word == "paid" and item not in kept))


class _Bid:
    """A bid in the making."""

    def __init__(self, measured: Measured, grouping: PayGrouping) -> None:
        self.measured, self.grouping, self.jobs = measured, grouping, measured.jobs
        self.site = measured.jobs[0].site
        self.measured_from = self.site.pay.measured_from or grouping.measured_from
        self.items = paid_items(self.site.pay, grouping)
        self.carried: dict[_Key, _Carried] = {}

    # ---- quantities

    def measure(self) -> None:
        """Measure every item over all shafts."""
        if "mobilisation" in self.items:
            self._add(("mobilisation", 0.0), 1.0, "once")
        for job in self.jobs:
            self._measure_shaft(job)
        for measure, item in (("concrete", BY_DRAWING), ("tubes", TUBE_LENGTH)):
            total = next((line for line in self.measured.totals if line.item == item), None)
            if measure in self.items and total is not None:
                self._add((measure, 0.0), total.amount.likely, "sum over all shafts")

    def _measure_shaft(self, job: Job) -> None:
        shaft, count = job.shaft, job.shaft.count
        start_m = {"ground": 0.0, "drilling_grade": job.drilled_from_m, "cutoff": shaft.cutoff_m}[self.measured_from]
        socket_m = self._socket_m(job)
        for measure, length_m, wide_m in (
            ("shaft", shaft.tip_m - socket_m - start_m, shaft.diameter_m),
            ("socket", socket_m, shaft.socket_diameter_m or shaft.diameter_m),
            ("excavation", shaft.tip_m - job.drilled_from_m, shaft.diameter_m),
        ):
            if measure in self.items and length_m > 0:
                self._add((measure, round(wide_m, 4)), length_m * count, f"{count} x {mark(length_m, 'm')}")
        for casing in job.plan.casings:
            kind: PayMeasure = "permanent_casing" if casing.kind == "permanent" else "temporary_casing"
            if kind in self.items:
                key = (kind, round(casing.outside_diameter_m, 4))
                self._add(key, casing.length_m * count, f"{count} x {mark(casing.length_m, 'm')}")

    def _socket_m(self, job: Job) -> float:
        """Return the length that the socket's item measures, none where it is no item of its own."""
        top_m = job.shaft.socket_top_m
        return job.shaft.tip_m - top_m if "socket" in self.items and top_m is not None else 0.0

    def _add(self, key: _Key, quantity: float, part: str) -> None:
        carried = self.carried.setdefault(key, _Carried())
        carried.quantity += quantity
        carried.parts.append(part)

    # ---- cost

    def carry(self, place: int, line: CostLine | UnpricedLine) -> None:
        """Let the items carry a line of cost, each its share; a line without a rate is named where it would be carried."""
        amount = line.amount if isinstance(line, CostLine) else NOTHING
        for key, share in self._shares(line).items():
            carried = self.carried[key]
            carried.cost = carried.cost.plus(amount.times(share))
            carried.shares[place] = share
            if isinstance(line, CostLine):
                carried.covers[line.item] = None
            else:
                carried.lacking[f"{line.item} (rate '{line.rate}')"] = None

    def _shares(self, line: CostLine | UnpricedLine) -> dict[_Key, float]:
        """Return the share of every item in a line; they add up to one."""
        own = {"integrity tubes": "tubes", "mobilisation": "mobilisation", "concrete": "concrete"}.get(line.item, "")
        for key in self.carried:
            if key[0] == own:
                return {key: 1.0}
        if line.item == "permanent casing" and "permanent_casing" in self.items:
            return self._casing_shares("permanent_casing")
        if line.item.startswith("temporary casing") and "temporary_casing" in self.items:
            return self._casing_shares("temporary_casing")
        shares: dict[_Key, float] = {}
        for job, weight in zip(self.jobs, self._weights(line), strict=True):
            for key, part in self._parts(job, fills=line.item in FILLS).items():
                shares[key] = shares.get(key, 0.0) + weight * part
        return shares

    def _casing_shares(self, measure: PayMeasure) -> dict[_Key, float]:
        """Return the shares of casing by its mass."""
        masses: dict[_Key, float] = {}
        for job in self.jobs:
            for casing in job.plan.casings:
                if (casing.kind == "permanent") == (measure == "permanent_casing"):
                    key = (measure, round(casing.outside_diameter_m, 4))
                    kg = mass_per_metre(casing.outside_diameter_m, casing.wall_m) * casing.length_m * job.shaft.count
                    masses[key] = masses.get(key, 0.0) + kg
        return _normal(masses)

    def _weights(self, line: CostLine | UnpricedLine) -> list[float]:
        """Return what each job takes of a line: by its part of the cost where that is known, else cages by the piece, the rest by hours."""
        of_shafts = {name: amount.likely for name, amount in line.shafts} if isinstance(line, CostLine) else {}
        if of_shafts:
            weights = [of_shafts[job.shaft.id] * job.shaft.count for job in self.jobs]
        elif line.item == "reinforcement cages":
            weights = [float(job.shaft.count) for job in self.jobs]
        else:
            weights = [row.total.likely * row.count for row in self.measured.hours]
        return list(_normal(dict(enumerate(weights))).values())

    def _parts(self, job: Job, *, fills: bool) -> dict[_Key, float]:
        """Return the items of a shaft with their shares: in what makes the hole by hours of drilling, in what fills it by length."""
        shaft = job.shaft
        socket_m = self._socket_m(job)
        measure: PayMeasure = "excavation" if "excavation" in self.items and not fills else "shaft"
        if measure not in self.items:
            measure = "excavation" if "excavation" in self.items else "concrete"
        main = (measure, 0.0 if measure == "concrete" else round(shaft.diameter_m, 4))
        if socket_m <= 0 or measure == "excavation":
            return {main: 1.0}
        share = socket_m / (shaft.tip_m - shaft.cutoff_m) if fills else _drilled_share(job, shaft.tip_m - socket_m)
        return {main: 1.0 - share, ("socket", round(shaft.socket_diameter_m or shaft.diameter_m, 4)): share}

    # ---- the sheet

    def sheet(self) -> BidSheet:
        """Return the bid."""
        rates = self.site.rates
        keys = sorted(self.carried, key=lambda key: (self.items.index(key[0]), key[1]))
        items = [self._item(key, self.carried[key]) for key in keys]
        items += [self._provisional(measure) for measure in self.items if measure in {"obstruction_hours", "trial_shaft"}]
        items.sort(key=lambda item: self.items.index(item.measure))
        priced = self.measured.cost is not None
        lacking = tuple(dict.fromkeys(name for item in items for name in item.lacking))
        return BidSheet(
            currency=rates.currency if rates else "",
            items=tuple(items),
            measured_from=self.measured_from,
            source=f"{self.grouping.source}, {self.grouping.where}".rstrip(", "),
            confidence=self.grouping.confidence,
            origin=self.grouping.origin,
            overhead_percent=rates.overhead_percent if rates else None,
            margin_percent=rates.margin_percent if rates else None,
            cost=_sum([item.cost for item in items]) if priced else None,
            amount=_sum([item.amount for item in items]) if priced else None,
            lacking=lacking if priced else (),
            incidental=self._incidental(),
            notes=self._notes(),
        )

    def _item(self, key: _Key, carried: _Carried) -> BidItem:
        measure, wide_m = key
        priced = self.measured.cost is not None
        amount = carried.cost.times(self._markup) if priced else None
        return BidItem(
            measure=measure,
            name=NAMES[measure] + (f", {mark(wide_m, 'size')}" if wide_m else ""),
            unit=UNITS.get(measure, "m"),
            quantity=carried.quantity,
            formula=" + ".join(_counted(carried.parts)),
            cost=carried.cost if priced else None,
            amount=amount,
            price=amount.times(1 / carried.quantity) if amount is not None and carried.quantity > 0 else None,
            lacking=tuple(carried.lacking),
            covers=tuple(carried.covers),
            shares=tuple(carried.shares.items()),
        )

    def _provisional(self, measure: PayMeasure) -> BidItem:
        """Return an item whose quantity nobody can take off: hours at the rig's rate, trial shafts at their own."""
        rates, pay = self.site.rates, self.site.pay
        of_hours = measure == "obstruction_hours"
        quantity = pay.obstruction_hours if of_hours else None if pay.trial_shafts is None else float(pay.trial_shafts)
        band = None if rates is None else rates.rig_per_h if of_hours else rates.trial_shaft_each
        each = None if band is None or self.measured.cost is None else estimate_of(band)
        rate = "rig" if of_hours else "trial_shaft"
        missing = self.measured.cost is not None and each is None and bool(quantity)
        return BidItem(
            measure=measure,
            name=NAMES[measure],
            unit=UNITS[measure],
            quantity=quantity,
            formula="pay: " + ("obstruction_hours" if of_hours else "trial_shafts") if quantity is not None else NO_QUANTITY,
            cost=None if each is None or quantity is None else each.times(quantity),
            amount=None if each is None or quantity is None else each.times(quantity * self._markup),
            price=None if each is None else each.times(self._markup),
            lacking=(f"{NAMES[measure]} (rate '{rate}')",) if missing else (),
            covers=(),
            provisional=True,
        )

    @property
    def _markup(self) -> float:
        rates = self.site.rates
        if rates is None:
            return 1.0
        return (1 + (rates.overhead_percent or 0.0) / 100) * (1 + (rates.margin_percent or 0.0) / 100)

    def _incidental(self) -> tuple[tuple[str, str], ...]:
        """Return the work that no item measures, each with the items that carry it."""
        hole = NAMES["excavation" if "excavation" in self.items else "shaft" if "shaft" in self.items else "concrete"]
        filled = NAMES["shaft" if "shaft" in self.items else "concrete"]
        work = [
            ("the drilled length above the measured one", hole, True),
            ("temporary casing", hole, "temporary_casing" not in self.items),
            ("permanent casing", hole, "permanent_casing" not in self.items),
            ("support fluid and what becomes of it", hole, True),
            ("spoil", hole, True),
            ("concrete", filled, "concrete" not in self.items),
            ("concrete over the drawing", filled, True),
            ("cages", filled, True),
            ("integrity tubes", filled, "tubes" not in self.items),
            ("mobilisation", hole, "mobilisation" not in self.items),
        ]
        return tuple((what, where) for what, where, is_in in work if is_in)

    def _notes(self) -> tuple[str, ...]:
        rates = self.site.rates
        notes = []
        if self.measured.cost is not None and rates is not None and rates.overhead_percent is None and rates.margin_percent is None:
            notes.append(AT_COST)
        if self.grouping.origin == "base" and self.site.pay.measured_from is None:
            notes.append("The items are usual ones, not those of a contract: name the agency, or say under 'pay:' what it pays.")
        return tuple(notes)


def _drilled_share(job: Job, below_m: float) -> float:
    """Return the share of a shaft's drilling hours that lies below a depth, by its plan; by length where it has none."""
    hours = below_h = 0.0
    for interval in job.plan.intervals:
        length_m = interval.base_m - interval.top_m
        below = max(0.0, interval.base_m - max(interval.top_m, below_m)) / length_m if length_m > 0 else 0.0
        hours, below_h = hours + interval.drilling_h, below_h + interval.drilling_h * below
    return below_h / hours if hours > 0 else (job.shaft.tip_m - below_m) / job.shaft.tip_m


def _normal(weights: Mapping[SharedBy, float]) -> dict[SharedBy, float]:
    """Return weights that add up to one; equal ones where there is nothing to weigh by."""
    total = sum(weights.values())
    return {key: weight / total if total > 0 else 1 / len(weights) for key, weight in weights.items()}


def _sum(amounts: Sequence[Estimate | None]) -> Estimate:
    total = NOTHING
    for amount in amounts:
        total = total.plus(amount or NOTHING)
    return total


def _counted(parts: Sequence[str]) -> list[str]:
    """Return the parts of a quantity, those that are alike counted.

    >>> _counted(["1 x 2 m", "1 x 2 m", "4 x 3 m"])
    ['2 x 2 m', '4 x 3 m']
    """
    counts: dict[str, int] = {}
    for part in parts:
        count, cross, length = part.partition(" x ")
        key = length if cross else part
        counts[key] = counts.get(key, 0) + (int(count) if cross else 0)
    return [f"{count} x {key}" if count else key for key, count in counts.items()]
