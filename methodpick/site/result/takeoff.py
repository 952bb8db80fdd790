"""Quantities of a shaft and of the site, every line with its formula and who pays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

PayWord = Literal["paid", "incidental", "unknown"]
Group = Literal["drilling", "casing", "fluid", "concrete", "spoil", "steel", "testing", "delivery"]


@dataclass(frozen=True, slots=True)
class Range:
    """A number as an estimator takes it: low, likely, high; all three alike where it is certain."""

    low: float
    likely: float
    high: float

    def times(self, factor: float) -> Range:
        """Return the range multiplied by a number that is not negative.

        >>> Range(1, 2, 3).times(2)
        Range(low=2, likely=4, high=6)
        """
        return Range(self.low * factor, self.likely * factor, self.high * factor)

    def plus(self, other: Range) -> Range:
        """Return the sum, end by end: the low of a sum is the sum of the lows.

        >>> Range(1, 2, 3).plus(Range(1, 1, 1))
        Range(low=2, likely=3, high=4)
        """
        return Range(self.low + other.low, self.likely + other.likely, self.high + other.high)

    @property
    def certain(self) -> bool:
        """Return whether the three numbers are one."""
        return self.low == self.high


@dataclass(frozen=True, slots=True)
class TakeoffLine:
    """A line of one shaft (or of the site as a whole): SI, the formula with its numbers in marks, and who pays.

    ``pay_key`` is the key under ``pay:`` that decides. ``sum_of`` names the items that this line adds up, so that nothing
    is counted twice where lines are added.
    """

    group: Group
    item: str
    unit: str
    amount: Range
    formula: str
    pay_key: str
    pay: PayWord
    source: str = ""
    sum_of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FitCheck:
    """A clearance that is looked at: what there is, what is wanted, and whether it is enough (None: not known)."""

    item: str
    there_m: float | None
    wanted_m: float | None
    fits: bool | None
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class ShaftTakeoff:
    """The takeoff of one shaft; ``count`` alike shafts stand behind it."""

    shaft: str
    boring: str
    substructure: str
    diameter_m: float
    tip_m: float
    method: str
    count: int
    lines: tuple[TakeoffLine, ...]
    checks: tuple[FitCheck, ...]


@dataclass(frozen=True, slots=True)
class TotalLine:
    """A line summed over all shafts and the site."""

    group: Group
    item: str
    unit: str
    amount: Range
    shafts: int
    formula: str
    pay_key: str
    pay: PayWord
