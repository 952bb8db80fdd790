"""What an estimator reads of a site: numbers as low, likely and high, the clock of working hours, hours, cost and bid."""

from __future__ import annotations

from math import inf

from methodpick.records import record
from methodpick.vocabulary.pay_items import PayMeasure

# ---- numbers


@record(guarded=False)
class Estimate:
    """A number as an estimator takes it: low, likely and high; the three are equal where it is certain."""

    low: float
    likely: float
    high: float

    @staticmethod
    def exactly(value: float) -> Estimate:
        """Return a number that is certain.

        >>> Estimate.exactly(2.0)
        Estimate(low=2.0, likely=2.0, high=2.0)
        """
        return Estimate(value, value, value)

    @staticmethod
    def between(low: float, high: float) -> Estimate:
        """Return an estimate whose likely value is its middle.

        >>> Estimate.between(0.1, 0.3)
        Estimate(low=0.1, likely=0.2, high=0.3)
        """
        return Estimate(low, (low + high) / 2, high)

    def times(self, factor: float) -> Estimate:
        """Return the estimate multiplied by a number that is not negative.

        >>> Estimate(1, 2, 3).times(2)
        Estimate(low=2, likely=4, high=6)
        """
        return Estimate(self.low * factor, self.likely * factor, self.high * factor)

    def plus(self, other: Estimate) -> Estimate:
        """Return the sum, end by end: the low of a sum is the sum of the lows.

        >>> Estimate(1, 2, 3).plus(Estimate(1, 1, 1))
        Estimate(low=2, likely=3, high=4)
        """
        return Estimate(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def product(self, other: Estimate) -> Estimate:
        """Return the product of two estimates that are not negative, end by end.

        >>> Estimate(1, 2, 3).product(Estimate(2, 2, 2))
        Estimate(low=2, likely=4, high=6)
        """
        return Estimate(self.low * other.low, self.likely * other.likely, self.high * other.high)

    def at_speed(self, speed: Estimate) -> Estimate:
        """Return the time that an amount takes at a speed above zero: the least at the high speed.

        >>> Estimate(6, 6, 6).at_speed(Estimate(1, 2, 3))
        Estimate(low=2.0, likely=3.0, high=6.0)
        """
        return Estimate(self.low / speed.high, self.likely / speed.likely, self.high / speed.low)

    @property
    def ends(self) -> tuple[float, float, float]:
        """Return the low, the likely and the high value."""
        return self.low, self.likely, self.high

    @property
    def certain(self) -> bool:
        """Return whether the three numbers are equal."""
        return self.low == self.high


NOTHING = Estimate(0.0, 0.0, 0.0)


# ---- the clock


SAME_H = 1e-9
"""Hours closer than this are equal."""
DAY_H, WEEK = 24.0, 7
"""Hours of a day and days of a week."""


@record
class WorkClock:
    """Working hours on a clock that starts with the first working day: shifts from its beginning, on the first days of every week."""

    shift_h: float
    days_a_week: int = WEEK

    def morning(self, day: int) -> float:
        """Return when a working day begins, counted from 0.

        >>> WorkClock(10, 5).morning(4), WorkClock(10, 5).morning(5)
        (96.0, 168.0)
        """
        weeks, weekday = divmod(day, self.days_a_week)
        return DAY_H * (WEEK * weeks + weekday)

    def day_of(self, hour: float) -> int:
        """Return the working day of an hour; a night and a weekend belong to the day before them.

        >>> WorkClock(10, 5).day_of(23), WorkClock(10, 5).day_of(130), WorkClock(10, 5).day_of(168)
        (0, 4, 5)
        """
        weeks, rest_h = divmod(hour + SAME_H, DAY_H * WEEK)
        return int(weeks) * self.days_a_week + min(int(rest_h // DAY_H), self.days_a_week - 1)

    def evening(self, day: int) -> float:
        """Return when the shift of a working day ends; shifts of a whole day end with the week, never where every day is worked.

        >>> WorkClock(10, 5).evening(1), WorkClock(24, 5).evening(1), WorkClock(24).evening(1)
        (34.0, 120.0, inf)
        """
        if self.shift_h < DAY_H:
            return self.morning(day) + self.shift_h
        return inf if self.days_a_week == WEEK else self.morning(day - day % self.days_a_week) + DAY_H * self.days_a_week

    def morning_after(self, day: int) -> float:
        """Return when work begins after the evening of a working day."""
        whole_days = self.shift_h >= DAY_H and self.days_a_week < WEEK
        return self.morning(day - day % self.days_a_week + self.days_a_week if whole_days else day + 1)

    def next_hour(self, hour: float) -> float:
        """Return the first working hour from an hour on."""
        day = self.day_of(hour)
        return hour if hour < self.evening(day) - SAME_H else self.morning_after(day)

    def after(self, hour: float, work_h: float) -> float:
        """Return when work that nights may part is done.

        >>> WorkClock(10).after(8, 5)
        27.0
        """
        if work_h <= SAME_H:
            return hour
        hour = self.next_hour(hour)
        while hour + work_h > (evening := self.evening(day := self.day_of(hour))) + SAME_H:
            work_h, hour = work_h - (evening - hour), self.morning_after(day)
        return hour + work_h

    def unparted(self, hour: float, work_h: float) -> float:
        """Return when work without a night begins: at once where the shift is long enough for it, else in the morning.

        >>> WorkClock(10).unparted(4, 6), WorkClock(10).unparted(5, 6), WorkClock(10).unparted(24, 12)
        (4, 24.0, 24)
        """
        hour = self.next_hour(hour)
        day = self.day_of(hour)
        fits = hour + work_h <= self.evening(day) + SAME_H or hour <= self.morning(day) + SAME_H
        return hour if fits else self.morning_after(day)

    def days_before(self, hour: float) -> float:
        """Return the working days, and the share of a shift, that are over at an hour; a night is the end of its day.

        >>> WorkClock(10, 5).days_before(29), WorkClock(10, 5).days_before(40), WorkClock(10, 5).days_before(130)
        (1.5, 2.0, 5.0)
        """
        weeks, rest_h = divmod(hour + SAME_H, DAY_H * WEEK)
        weekday, in_day_h = divmod(rest_h - SAME_H, DAY_H)
        over = min(1.0, in_day_h / self.shift_h) if weekday < self.days_a_week else 0.0
        return weeks * self.days_a_week + min(weekday, float(self.days_a_week)) + over


# ---- hours, cost and bid


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


NOTES_OF_EVERY_TAKEOFF = (
    "Low and high of a sum are the sums of lows and highs: all shafts at their low or high together, wider than chance has it.",
    "Method overrun is geometry and certain; ground overbreak is experience and a range. They are never one line.",
)
"""How the amounts of any takeoff are meant."""
FOR_THE_LOSS, FOR_THE_STOCK, RID_OF = "to make the loss good", "for the stock", "to be rid of at the end"
"""What a product of fluid is taken for, and what becomes of the stock, as the lines of a takeoff end."""
