"""One shaft to be taken off: its plan, the site it stands on, the rulebook's numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.plan.concrete.hole import Bore, bores, socket_of
from methodpick.plan.result import ShaftPlan
from methodpick.site.result import Range, TakeoffLine
from methodpick.site.result.takeoff import Group
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.tables import Table

WET = ("water", "polymer", "mineral", "cased_balanced", "cased_plug")
"""States in which the hole stands full while it is drilled."""


@dataclass(frozen=True, slots=True)
class Job:
    """What every group of lines is made from. ``grade_m`` is the depth of the drilling grade, negative above the ground."""

    site: Site
    shaft: Shaft
    plan: ShaftPlan
    grade_m: float
    limits: Mapping[str, Limit]
    tables: Mapping[str, Table]

    def limit(self, name: str) -> float:
        """Return the value of a limit."""
        return self.limits[name].value

    def cite(self, *names: str) -> str:
        """Return where limits come from, in one text."""
        said = [f"{self.limits[name].source}, {self.limits[name].where} ({self.limits[name].confidence})" for name in names]
        return "; ".join(dict.fromkeys(said))

    def line(
        self,
        group: Group,
        item: str,
        unit: str,
        amount: Range | float,
        formula: str,
        pay: str,
        *,
        source: str = "",
        sum_of: tuple[str, ...] = (),
    ) -> TakeoffLine:
        """Return a line, with who pays for it."""
        whole = amount if isinstance(amount, Range) else Range(amount, amount, amount)
        return TakeoffLine(group, item, unit, whole, formula, pay, self.site.pay.of(pay), source, sum_of)

    @property
    def hole(self) -> tuple[Bore, ...]:
        """Return the hole as drilled."""
        return bores(self.shaft.diameter_m, socket_of(self.shaft), self.shaft.tip_m, self.plan.casings)

    @property
    def truck_m3(self) -> float:
        """Return the load of a truck: the user's, else the rulebook's."""
        own = self.site.rates.pour.truck_m3 if self.site.rates else None
        return own if own is not None else self.limit("truck_m3")


def between(low: float, high: float) -> Range:
    """Return a range whose likely value is its middle.

    >>> between(0.1, 0.3)
    Range(low=0.1, likely=0.2, high=0.3)
    """
    return Range(low, (low + high) / 2, high)


def product(first: Range, second: Range) -> Range:
    """Return the product of two ranges that are not negative, end by end.

    >>> product(Range(1, 2, 3), Range(2, 2, 2))
    Range(low=2, likely=4, high=6)
    """
    return Range(first.low * second.low, first.likely * second.likely, first.high * second.high)
