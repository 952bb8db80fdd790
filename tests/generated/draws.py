"""Random choices for one site, rounded as engineers round in its unit system."""

from collections.abc import Sequence
from random import Random
from typing import TypeVar

from file_units import rounded

Range = tuple[float, float]
Thing = TypeVar("Thing")


class Draws:
    """Draws from a random source in the order in which it is asked; numbers are SI, round in the units of the file."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.units = rng.choice(("us", "si"))

    def maybe(self, share: float) -> bool:
        """Tell yes in a share of all cases."""
        return self.rng.random() < share

    def pick(self, things: Sequence[Thing]) -> Thing:
        return self.rng.choice(things)

    def some(self, things: Sequence[Thing], share: float) -> list[Thing]:
        """Give each of the things in a share of all cases."""
        return [thing for thing in things if self.maybe(share)]

    def between(self, ends: Range) -> float:
        return self.rng.uniform(*ends)

    def length(self, low_m: float, high_m: float) -> float:
        return self.round_length(self.rng.uniform(low_m, high_m))

    def round_length(self, value_m: float) -> float:
        return rounded(self.units, "length", value_m)

    def number(self, kind: str | None, value: float) -> float:
        """Round a value of a kind; a share, a grain size or a rating to two figures."""
        return rounded(self.units, kind, value) if kind else float(f"{value:.2g}")

    def band(self, kind: str | None, ends: Range, spread: float) -> object:
        """Give a value as a log does: one number; where tests scatter also a range, or low, likely and high (at most 100 %)."""
        value = self.between(ends)
        form = self.pick(("one", "range", "three")) if spread else "one"
        middle = self.number(kind, max(value, 0.02 * ends[1]))
        low, high = self.number(kind, middle * (1 - spread)), self.number(kind, middle * (1 + spread))
        high = high if kind else min(high, 100.0)
        if form == "one" or not 0 < low < middle < high:
            return middle
        return [low, high] if form == "range" else {"low": low, "likely": middle, "high": high}
