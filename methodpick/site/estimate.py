"""A number as an estimator takes it: low, likely and high."""

from __future__ import annotations

from methodpick.records import record


@record
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
