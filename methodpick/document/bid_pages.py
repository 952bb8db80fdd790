"""What goes with a bid: the estimator's page, and the letter with the method, what is in the price and what is not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document import takeoff as taking_off
from methodpick.document.built_with import casings_and_fluids, why_placed_so
from methodpick.document.casings_and_concrete import to_order_m3
from methodpick.document.checks import TRIALS_ENDED, what_is_short
from methodpick.document.decision import head_lines
from methodpick.document.model import Blanks, Document, Items, Page, Paragraph, TextTable, page_with, section
from methodpick.document.pages import ShaftGroup, group_shafts, over_shafts
from methodpick.document.reasons import RUNGS_KEY, rungs_table, rungs_together
from methodpick.document.record import CLOSING, marked_loosened, stamp
from methodpick.document.shaft import relied_on
from methodpick.document.site import water_is_read
from methodpick.plan.result import Plan, ShaftPlan
from methodpick.site.result import Takeoff
from methodpick.terms import STARTER
from methodpick.unit_markup import all_of, bare_number, how_many, lowered, number, unit_name

# ---- estimator: what is bought, placed and done, what has no price yet, what it takes if the ground disagrees


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


# ---- bid letter: method, ground and water relied on, what is in, what is out, rates to fill in


BEFORE_IT_IS_SENT = (
    "Not for the letter: where the owner is public a qualified bid can be rejected; there, ask before bid, and send the method after "
    "award. (common practice, no source)"
)
DEPTHS = "Depths run down from the ground at each shaft, over water from the mudline; negative ones lie above it."
_SEEN = ("drawings, specification and addenda seen", "schedule of shafts, revision and date")
_BY_OTHERS = "working platform, water and power, place for spoil, survey, lights and traffic"
_RATES = (
    f"extra depth, per {unit_name('m')}",
    f"less depth, per {unit_name('m')}",
    "obstruction, per hour",
    f"casing left in the ground, per {unit_name('m')}",
    f"concrete beyond the quantity expected, per {unit_name('m3')}",
    "standby of the rig, per hour",
    "price holds until",
)


def bid_letter(plan: Plan) -> Document:
    """Return the letter as a document of one page."""
    groups = group_shafts(plan.shafts)
    offered = [group for group in groups if group.first.has_method]
    sections = (
        section("Based on", Blanks(_SEEN), Paragraph(DEPTHS)),
        *(section(group.title, *_method(group)) for group in groups),
        section("In the price", Paragraph(_included(offered))) if offered else section("", Paragraph("")),
        section("Not in the price", Items(tuple(_excluded([group.first for group in offered])))),
        section("By others", Paragraph(f"{_BY_OTHERS.capitalize()}.")),
        section("Rates for what changes", Blanks(_RATES)),
        section("Before it is sent", Paragraph(BEFORE_IT_IS_SENT)),
    )
    title = f"Method statement for the bid: {plan.site_name or plan.input.path}"
    return marked_loosened(Document(title, (Page(title, (stamp(plan),), sections),), CLOSING), plan)


def _method(group: ShaftGroup) -> Iterator[Paragraph | Items]:
    shaft = group.first
    yield Paragraph(" ".join(f"{line.rstrip('.')}." for line in head_lines(group)))
    offered = shaft.has_method and shaft.proven
    yield Paragraph(f"{'We offer to ' if offered else 'Not yet offered: '}{lowered(shaft.decision)}", "strong")
    if not shaft.has_method:
        yield Paragraph("No method and no price are offered for it.", "danger")
        return
    if not shaft.proven:
        yield Paragraph(f"To be settled before it is built: {what_is_short(shaft) or lowered(TRIALS_ENDED)}", "danger")
    placed = (f"Concrete, {shaft.planned_placement.state}: {why}",) if (why := why_placed_so(shaft)) else ()
    yield Items((*casings_and_fluids(shaft), *placed, relied_on(shaft)))


def _included(groups: Sequence[ShaftGroup]) -> str:
    shafts = [group.first for group in groups]
    cased, under_fluid = any(shaft.casings for shaft in shafts), any(shaft.slurries for shaft in shafts)
    standing = (["casings"] if cased else []) + (["fluid"] if under_fluid else [])
    named = [f"the {all_of(standing)} named above"] if standing else []
    likely = over_shafts(groups, lambda shaft: to_order_m3(shaft.planned_concrete)[0])
    theoretical = over_shafts(groups, lambda shaft: shaft.planned_concrete.theoretical_m3)
    return (
        f"{', '.join(['Drilling', *named, 'cleaning the base, setting the cage'])}, and {number(likely, 'm3')} of concrete, of which "
        f"{number(theoretical, 'm3')} are by the drawings."
    )


def _excluded(shafts: Sequence[ShaftPlan]) -> Iterator[str]:
    """Return what these plans do not count on; nothing is said of a method that none of them uses."""
    kinds = {casing.kind for shaft in shafts for casing in shaft.casings}
    yield "Obstructions, boulders, and rock or ground harder than logged."
    for_it = "and the change of method that it asks for"
    if any(water_is_read(shaft) for shaft in shafts):
        yield f"Water higher than the range named, {for_it}."
    if not all(water_is_read(shaft) for shaft in shafts):
        yield f"Water where no level was read, {for_it}."
    if "temporary" in kinds:
        yield "Temporary casing that has to stay, or is ordered to stay."
    if kinds - {STARTER, "temporary"}:
        yield "Coating, corrosion allowance and splices of permanent casing beyond those shown."
    if any(shaft.slurries for shaft in shafts):
        yield "Loss of fluid beyond the reserve, and disposal of fluid or spoil that is contaminated."
    yield "Integrity and load tests, and mending what they show where the method was followed."
    yield "Night work, standby that others cause, and mobilising again."
