"""What is handed out of a whole site: frozen records in SI, texts with marked numbers, as in the format ``methodpick-takeoff/1``."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal

from methodpick.ground.rates import PayWord
from methodpick.plan.result import Citation, Plan
from methodpick.records import record
from methodpick.site.calendar_result import Calendar
from methodpick.site.estimate import NOTHING, Estimate
from methodpick.site.yard_result import CasingChoice, Yard
from methodpick.vocabulary.pay_items import PayMeasure


@record
class BidItem:
    """An item of the bid.

    ``quantity`` is None where the bid schedule says it and the site file does not. ``cost`` is what the item carries by the user's rates
    and ``amount`` that with overhead and margin; ``price`` is the amount of one unit. They are None without rates. ``lacking`` names the
    work in it that has no rate, without which its money is incomplete. ``covers`` names the lines of cost that it carries; ``shares`` holds
    the share of each line that it carries, by the line's place among all lines of the cost.
    """

    measure: PayMeasure
    name: str
    unit: str
    quantity: float | None
    formula: str
    cost: Estimate | None
    amount: Estimate | None
    price: Estimate | None
    lacking: tuple[str, ...]
    covers: tuple[str, ...]
    shares: tuple[tuple[int, float], ...] = ()
    provisional: bool = False


@record
class BidSheet:
    """The bid of a site: its items, where lengths are measured from, after which source, and the sum.

    ``cost`` is the sum of what the items carry, ``amount`` that with overhead and margin; what has no rate is in neither and is named in
    ``lacking``. ``incidental`` names the work that no item measures, with the items that carry it.
    """

    currency: str
    items: tuple[BidItem, ...]
    measured_from: str
    source: str
    confidence: str
    origin: str
    overhead_percent: float | None
    margin_percent: float | None
    cost: Estimate | None
    amount: Estimate | None
    lacking: tuple[str, ...]
    incidental: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


AssignedBy = Literal["named", "only", "nearest", "substructure", "envelope", "first"]
"""How the boring of a shaft was chosen."""


@record
class Flag:
    """What speaks against planning a shaft with its boring, and how serious it is."""

    kind: Literal["method", "short", "far", "level", "position", "worse"]
    severity: Literal["note", "caution"]
    text: str
    source: Citation


@record
class Weighed:
    """A boring that was considered for a shaft.

    ``level_m`` is how far the ground at the shaft lies above that at the boring, None where a level is not known.
    ``score`` is the ordering tuple of the expected plan (undecided, unlikely, unknown and doubtful length in m, relative
    cost, changes of method); None where the boring was not planned with.
    """

    boring: str
    distance_m: float | None
    level_m: float | None
    same_substructure: bool
    reaches_tip: bool
    method: str | None
    score: tuple[float, ...] | None


@record
class Assignment:
    """The boring that a shaft is planned with, how it was chosen, the others that were considered and what is flagged.

    ``way`` names how it was chosen and ``said`` puts it in words. ``shifted`` tells that both ground levels are known, so that
    depths of the boring became depths of the shaft by elevation.
    """

    shaft: str
    way: AssignedBy
    boring: str
    distance_m: float | None
    level_m: float | None
    shifted: bool
    said: str
    weighed: tuple[Weighed, ...]
    flags: tuple[Flag, ...]


FORMAT = "methodpick-takeoff/1"
LineGroup = Literal["drilling", "casing", "fluid", "concrete", "spoil", "steel", "testing", "delivery"]


DRILLED_IN_ALL = "drilled, all materials"
BY_DRAWING = "concrete, by the drawing"
OVERSIZE = "concrete, casing oversize (method overrun)"
OVERBREAK = "concrete, ground overbreak"
OVER_POUR = "concrete, over-pour to trim"
TO_ORDER = "concrete, to order"
TRUCKS = "trucks of concrete"
SPOIL_BANK = "spoil, bank"
SPOIL_LOOSE = "spoil, loose"
PAD_BANK = "spoil of the working pad, bank"
PAD_LOOSE = "spoil of the working pad, loose"
FREE_FLUID = "free fluid on the spoil"
TUBES = "integrity tubes"
TUBE_LENGTH = "integrity tubes, length"
STANDING = "rig and crew, standing"
"""Items of the takeoff and of the cost that a sheet works out from one another."""


@record
class TakeoffLine:
    """A line of one shaft (or of the site as a whole): SI, the formula with its numbers in marks, and who pays.

    ``pay_key`` is the key under ``pay:`` that decides. ``sum_of`` names the items that this line adds up, so that nothing
    is counted twice where lines are added.
    """

    group: LineGroup
    item: str
    unit: str
    amount: Estimate
    formula: str
    pay_key: str
    pay: PayWord
    source: str = ""
    sum_of: tuple[str, ...] = ()


@record
class FitCheck:
    """A clearance that is checked: what there is, what is wanted, and whether it is enough (None: not known)."""

    item: str
    there_m: float | None
    wanted_m: float | None
    fits: bool | None
    text: str
    source: str


@record
class ShaftTakeoff:
    """The takeoff of one shaft; ``count`` is the number of equal shafts that it stands for."""

    shaft: str
    boring: str
    substructure: str
    diameter_m: float
    tip_m: float
    method: str
    count: int
    lines: tuple[TakeoffLine, ...]
    checks: tuple[FitCheck, ...]

    def sum_of(self, items: Collection[str]) -> Estimate:
        """Return what some items come to, nothing for those that the shaft does not have."""
        total = NOTHING
        for line in self.lines:
            total = total.plus(line.amount) if line.item in items else total
        return total


@record
class TotalLine:
    """A line summed over all shafts and the site."""

    group: LineGroup
    item: str
    unit: str
    amount: Estimate
    shafts: int
    formula: str
    pay_key: str
    pay: PayWord


@record
class HoursRow:
    """The hours of one shaft by kind of work.

    ``by_rates`` tells whether they come from the user's rates; else they are the planning hours of the plan's stages. ``lacking``
    names the rates that are wanting; planning hours stand in for them.
    """

    shaft: str
    count: int
    drill: Estimate
    casing: Estimate
    fluid: Estimate
    clean: Estimate
    cage: Estimate
    pour: Estimate
    pull: Estimate
    move: Estimate
    total: Estimate
    by_rates: bool
    lacking: tuple[str, ...]


@record
class CostLine:
    """A line of cost over all shafts, with its formula.

    ``amount`` is ``quantity`` in ``unit`` times ``price``, end by end; ``of`` names the items of the takeoff's sums that the
    quantity adds up, and is empty where it is none of them.
    """

    item: str
    amount: Estimate
    formula: str
    quantity: Estimate
    unit: str
    price: Estimate
    shafts: tuple[tuple[str, Estimate], ...] = ()
    of: tuple[str, ...] = ()


@record
class UnpricedLine:
    """Work that no rate of the user's prices: ``quantity`` in ``unit``, and ``rate``, the key of the site file that would price it."""

    item: str
    quantity: Estimate
    unit: str
    rate: str
    of: tuple[str, ...] = ()


@record
class CostSheet:
    """The cost of the work that the user's rates price, and what they do not; the total is of what is priced."""

    currency: str
    lines: tuple[CostLine, ...]
    total: Estimate
    unpriced: tuple[UnpricedLine, ...]

    @property
    def all_lines(self) -> tuple[CostLine | UnpricedLine, ...]:
        """Return all lines, those that are priced first."""
        return (*self.lines, *self.unpriced)


@record
class SitePlan:
    """The plans of all shafts, the boring that each is planned with, how many different plans were made, and the choice of casing.

    ``casing`` is None where no temporary casing is planned, or none was chosen for the site as a whole.
    """

    plan: Plan
    assignments: tuple[Assignment, ...]
    planned: int
    casing: CasingChoice | None = None


@record
class Takeoff:
    """Quantities, strings, hours, calendar and cost of a site. ``site_lines`` belong to no single shaft (the stock of fluid).

    ``truck_m3`` is the load that the trucks were counted with, None where no shaft is taken off; ``bid`` holds the items that are paid.
    """

    site: SitePlan
    shafts: tuple[ShaftTakeoff, ...]
    site_lines: tuple[TakeoffLine, ...]
    totals: tuple[TotalLine, ...]
    yard: Yard
    hours: tuple[HoursRow, ...]
    calendar: Calendar
    cost: CostSheet | None
    notes: tuple[str, ...]
    format: str = FORMAT
    truck_m3: float | None = None
    bid: BidSheet | None = None
