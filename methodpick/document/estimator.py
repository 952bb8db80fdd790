"""The estimator's page of a site: what is bought, placed and done, what has no price yet, and what it takes if the ground disagrees."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document import takeoff as taking_off
from methodpick.document.grouping import ShaftGroup
from methodpick.document.model import Items, Page, Paragraph, page_with, section
from methodpick.document.other_ways import rung_words
from methodpick.plan.result import Plan
from methodpick.site.result import Takeoff
from methodpick.unit_markup import how_many, number


def estimator_page(takeoff: Takeoff, groups: Sequence[ShaftGroup]) -> Page:
    """Return the page; the lines of a shaft with their formulas are in the takeoff itself."""
    plan = takeoff.site.plan
    return page_with(
        _title(plan, groups),
        (),
        section("Concrete, net and ordered", Items(tuple(_concrete(groups)))),
        *taking_off.taken_off(takeoff),
        section("Not priced yet", Items(tuple(_missing(takeoff)))),
        section("If the ground disagrees, each shaft", Items(tuple(_risks(groups)))),
        section("", Paragraph("Every line of a shaft with its formula: methodpick takeoff FILE --shaft ID, or --csv for all.")),
    )


def _title(plan: Plan, groups: Sequence[ShaftGroup]) -> str:
    return f"For the estimator: {plan.site_name or plan.input.path}, {how_many(sum(group.count for group in groups), 'shaft')}"


def _concrete(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    for group in groups:
        concrete = group.first.concrete
        yield (
            f"{group.title}: {number(concrete.theoretical_m3, 'm3')} by the drawing, {number(concrete.expected_m3, 'm3')} to order "
            f"({number(concrete.expected_low_m3, 'm3')} to {number(concrete.expected_high_m3, 'm3')}), {concrete.trucks} to "
            f"{concrete.trucks_high} trucks of {number(concrete.truck_m3, 'm3')}."
        )


def _missing(takeoff: Takeoff) -> Iterator[str]:
    """Return what has no rate of the reader's, for hours and for money."""
    if wanting := taking_off.hours_without_rate(takeoff.hours):
        yield wanting
    if takeoff.cost is None:
        yield "No money: the site file gives no rates ('rates:', see methodpick new)."
    elif takeoff.cost.unpriced:
        yield taking_off.not_priced(takeoff.cost)


def _risks(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    for group in groups:
        for rung in group.first.ladder[1:]:
            yield f"{group.first.id}: {rung_words(rung, group.first.relative_cost)}"
