"""The plan of a site with its assignments, and the takeoff of it."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.plan.result import Plan
from methodpick.site.result.assign import Assignment
from methodpick.site.result.cost import CostSheet, HoursRow
from methodpick.site.result.takeoff import ShaftTakeoff, TakeoffLine, TotalLine
from methodpick.site.result.yard import Yard

FORMAT = "methodpick-takeoff/1"


@dataclass(frozen=True, slots=True)
class SitePlan:
    """The plans of all shafts, the boring that decided for each, and how many plans were made for them."""

    plan: Plan
    assignments: tuple[Assignment, ...]
    planned: int


@dataclass(frozen=True, slots=True)
class Takeoff:
    """Quantities, strings, hours and cost of a site. ``site_lines`` belong to no single shaft (the stock of fluid).

    ``truck_m3`` is the load that the trucks were counted with, None where no shaft is taken off.
    """

    site: SitePlan
    shafts: tuple[ShaftTakeoff, ...]
    site_lines: tuple[TakeoffLine, ...]
    totals: tuple[TotalLine, ...]
    yard: Yard
    hours: tuple[HoursRow, ...]
    cost: CostSheet | None
    notes: tuple[str, ...]
    format: str = FORMAT
    truck_m3: float | None = None
