"""The estimator's page: what is bought, placed and done, what has no price yet, what it takes if the ground disagrees."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document import takeoff as taking_off
from methodpick.document.casings_and_concrete import to_order_m3
from methodpick.document.model import Items, Page, Paragraph, TextTable, page_with, section
from methodpick.document.pages import ShaftGroup
from methodpick.document.reasons import RUNGS_KEY, rungs_table, rungs_together
from methodpick.plan.result import Plan
from methodpick.site.result import Takeoff
from methodpick.unit_markup import bare_number, how_many, number

MORE_FOR_THE_ESTIMATOR = (
    "How sums and costs come about, where each cage fits and what is built if the ground disagrees: --for estimator --full. Every line of "
    "a shaft with its formula: methodpick takeoff FILE --shaft ID, or --csv for all."
)


def estimator_page(takeoff: Takeoff, groups: Sequence[ShaftGroup], *, full: bool = False) -> Page:
    """Return the page; ``full`` with how its numbers come about. The lines of a shaft with their formulas are in the takeoff itself."""
    plan = takeoff.site.plan
    shafts = [group.first for group in groups]
    risks = section(_DISAGREES, Items(tuple(_risks(groups)))) if full else section(_DISAGREES, rungs_table(shafts), Paragraph(RUNGS_KEY))
    last = MORE_FOR_THE_ESTIMATOR.partition("--full. ")[2] if full else MORE_FOR_THE_ESTIMATOR
    return page_with(
        _title(plan, groups),
        (),
        section("Concrete, net and ordered", _concrete_quantities(groups)),
        *taking_off.taken_off(takeoff, short=not full),
        section("Not priced yet", Items(tuple(_missing(takeoff)))),
        risks if any(len(shaft.ladder) > 1 for shaft in shafts) else None,
        section("", Paragraph(last)),
    )


_DISAGREES = "If the ground disagrees, each shaft"


def _title(plan: Plan, groups: Sequence[ShaftGroup]) -> str:
    return f"For the estimator: {plan.site_name or plan.input.path}, {how_many(sum(group.count for group in groups), 'shaft')}"


_CONCRETE_HEADS = ("shaft", "n", "one by the drawing", "to order", "low to high")


def _concrete_quantities(groups: Sequence[ShaftGroup]) -> TextTable:
    """Return the concrete of one shaft of each kind: by the drawing, to order, and in how many trucks."""
    rows, truck_m3 = [], None
    for group in groups:
        if (concrete := group.first.concrete) is not None:
            likely, low, high = to_order_m3(concrete)
            more = f" +{len(group.shafts) - 1}" if len(group.shafts) > 1 else ""
            volumes = number(concrete.theoretical_m3, "m3"), number(likely, "m3"), f"{bare_number(low, 'm3')} to {bare_number(high, 'm3')}"
            trucks = " to ".join(dict.fromkeys((str(concrete.trucks), str(concrete.trucks_high))))
            rows.append((group.first.id + more, str(group.count), *volumes, trucks))
            truck_m3 = concrete.truck_m3
    return TextTable((*_CONCRETE_HEADS, f"trucks of {number(truck_m3, 'm3')}"), tuple(rows), (1, 2, 3, 4, 5))


def _missing(takeoff: Takeoff) -> Iterator[str]:
    """Return what has no rate of the reader's, for hours and for money."""
    if wanting := taking_off.hours_without_rate(takeoff.hours):
        yield wanting
    if takeoff.cost is None:
        yield "No money: the site file gives no rates ('rates:', see methodpick new)."
    elif takeoff.cost.unpriced:
        yield taking_off.not_priced(takeoff.cost)


def _risks(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    shafts = [group.first for group in groups]
    for place in range(1, max((len(shaft.ladder) for shaft in shafts), default=0)):
        yield from rungs_together([(shaft.id, shaft.ladder[place], shaft) for shaft in shafts if place < len(shaft.ladder)])
