"""What the takeoff of one shaft is made from: its plan, the site it stands on, the rulebook."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.site import Shaft, Site
from methodpick.plan.concrete.hole import Bore, bores, socket_of
from methodpick.plan.result import Casing, ShaftPlan
from methodpick.plan.sequence.search_input import splice_hours
from methodpick.site.result import Estimate, LineGroup, TakeoffLine
from methodpick.terms import FLUIDS

FULL_STATES = frozenset({*FLUIDS, "cased_balanced", "cased_plug"})
"""States in which the hole stands full while it is drilled."""


@dataclass(frozen=True, slots=True)
class PayItem:
    """A kind of work that is measured: the group it is listed in, its name and SI unit, and the key under ``pay:`` that decides."""

    group: LineGroup
    name: str
    unit: str
    pay_key: str


@dataclass(frozen=True, slots=True)
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
            pay=self.site.pay.of(item.pay_key),
            source=source,
            sum_of=sum_of,
        )

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
