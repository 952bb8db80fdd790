"""What is handed out of a whole site: frozen records in SI, texts with marked numbers, as in the format ``methodpick-takeoff/1``."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, timedelta
from typing import Literal

from methodpick.ground.pay import PayWord
from methodpick.plan.result import Plan
from methodpick.records import record
from methodpick.site.assignment import Assignment
from methodpick.site.estimate import NOTHING, WEEK, BidSheet, CostSheet, Estimate, HoursRow, WorkClock

# ---- quantities


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
EMPTY_BORE = "empty bore, of the drilled length"
MEASURED = "shaft, length measured for payment"
"""Items of the takeoff and of the cost that a sheet works out from one another."""
DRILLED_IN = "drilled in "
"""How the item of a drilled length begins, before its material."""
DRILLED_IN_PAD = f"{DRILLED_IN}the working pad"
HOLE, LOST, STOCK = ", hole volume", ", lost", ", stock"
MASS, SPLICES = ", mass", ", splices"
"""How the items of a fluid and of a casing end, behind its name."""


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


# ---- casing: what the shafts need, the strings that serve them, and the choice of sizes and stock for the whole site


@record
class StringNeed:
    """A temporary string that a shaft needs, from the hour on the clock at which it goes in until it is out again.

    Hours run from the morning of the first working day, which is day 1, nights included. ``string`` names what serves it.
    """

    shaft: str
    kind: str
    outside_diameter_m: float
    wall_m: float
    length_m: float
    from_h: float
    until_h: float
    first_day: int = 0
    last_day: int = 0
    string: str = ""


@record
class CutPart:
    """A part of a string from the yard, and the length of the piece that it is, or is cut from; the rest of that stays in the yard."""

    length_m: float
    of_m: float


@record
class YardString:
    """A string to have: its size and length, the pieces it is made of, and the shafts that it serves.

    Of its length ``needed_m`` is needed, the rest is rounding up; ``from_yard_m`` is at hand (whole pieces, cut or spliced), and
    ``to_get_m`` must be bought or rented. ``cuts`` are the parts that are cut from a longer piece; ``days`` are the working days from
    where it first goes in until it is last out, at low, likely and high hours.
    """

    name: str
    outside_diameter_m: float
    wall_m: float
    length_m: float
    needed_m: float
    mass_kg: float
    origin: Literal["yard", "yard and new", "new"]
    pieces_m: tuple[float, ...]
    cuts: tuple[CutPart, ...]
    splices: int
    from_yard_m: float
    to_get_m: float
    uses: int
    shafts: tuple[str, ...]
    days: Estimate = NOTHING


@record
class StockPieces:
    """Pieces of casing in the yard."""

    outside_diameter_m: float
    wall_m: float
    length_m: float
    count: int


@record
class CasingCandidate:
    """A way of choosing all casing of a site, by what it takes from the yard; its likely cost where every line of it has a rate."""

    yard: str
    sizes: int
    to_get_m: float
    cost: float | None


@record
class CasingChoice:
    """The casing that was chosen for the site as a whole, out of ``candidates``, the chosen one first; ``stock`` is what it may take.

    No choice has fewer than ``least_sizes`` sizes, and none with as few sizes has fewer than ``least_m`` metres; ``exact`` tells that all
    ways of giving sizes to kinds of need were tried. Holes are larger by ``larger_m3`` than each shaft would want by itself.
    """

    candidates: tuple[CasingCandidate, ...]
    stock: tuple[StockPieces, ...]
    least_sizes: int
    least_m: float
    larger_m3: float
    exact: bool
    by_cost: bool


@record
class Yard:
    """The casing strings that serve all shafts in sequence, of the sizes that the plans have.

    No choice of sizes has fewer than ``least_sizes``, and none with as few has fewer than ``least_m`` metres; ``exact`` tells that all
    ways of giving sizes to kinds of need were tried.
    """

    strings: tuple[YardString, ...]
    sizes: int
    least_sizes: int
    metres_m: float
    least_m: float
    exact: bool
    to_get_m: float
    to_get_kg: float
    rounding_m: float
    rounding_kg: float
    larger_m3: float
    longest_residence_h: float
    needs: tuple[StringNeed, ...]
    said: tuple[str, ...]


# ---- the calendar: when a shaft is built, by which rig, how long it takes, what shortens it


@record
class CalendarShaft:
    """A shaft in the calendar, at likely hours.

    ``number`` counts alike shafts, 0 where it stands alone. Hours run on the clock from the morning of the first day: the rig comes at
    ``begun_h``, opens the hole at ``opened_h``, cleans its base from ``cleaned_h`` and leaves at ``left_h``; the last casing is out at
    ``end_h``. Working days are counted from 1.
    """

    shaft: str
    number: int
    rig: int
    begun_h: float
    opened_h: float
    cleaned_h: float
    left_h: float
    end_h: float
    first_day: int
    last_day: int

    @property
    def name(self) -> str:
        """Return the name of the shaft, with its number among alike ones."""
        return f"{self.shaft} ({self.number})" if self.number else self.shaft


@record
class Relief:
    """What would shorten the work: its words, and the likely working days with it."""

    what: str
    days: int


def on_site_hours(days: Estimate, rigs: int, shift_h: float) -> Estimate:
    """Return the hours of all shifts of so many rigs over working days.

    >>> on_site_hours(Estimate(2.0, 3.0, 3.0), 2, 10.0)
    Estimate(low=40.0, likely=60.0, high=60.0)
    """
    return days.times(rigs * shift_h)


@record
class Calendar:
    """The calendar of a site: working days with their spread, the shafts in the order of their beginning, what binds, and notes.

    Of ``rigs`` at hand ``rigs_used`` work. ``start`` is the date of the first day, "" where it is not given, ``days_a_week`` 7 where
    every day is a working day.
    """

    days: Estimate
    rigs: int
    rigs_used: int
    crews: int
    shift_h: float
    days_a_week: int
    start: str
    shafts: tuple[CalendarShaft, ...]
    binding: str
    reliefs: tuple[Relief, ...]
    said: tuple[str, ...]

    def days_before(self, hour: float) -> float:
        """Return the working days, and the share of a shift, that are over at an hour on the clock; a night is the end of its day."""
        return WorkClock(self.shift_h, self.days_a_week).days_before(hour)

    def date_of(self, day: int) -> str:
        """Return the date of a working day, counted from 1; "" where the start is not given."""
        if not self.start:
            return ""
        weeks, weekday = divmod(day - 1, self.days_a_week)
        return (date.fromisoformat(self.start) + timedelta(days=WEEK * weeks + weekday)).isoformat()

    @property
    def on_site_h(self) -> Estimate:
        """Return the hours of all shifts of the rigs that are on site."""
        return on_site_hours(self.days, self.rigs_used, self.shift_h)

    @property
    def shafts_a_day(self) -> float:
        """Return how many shafts are built in a working day."""
        return len(self.shafts) / self.days.likely if self.days.likely else 0.0


# ---- the whole site


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
