"""The paragraph of a bid letter: method, ground and water relied on, what is in, what is out, and rates to fill in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document.answer import casing_in_short, relied_on
from methodpick.document.grouping import ShaftGroup, group_shafts, over_shafts
from methodpick.document.loosened import marked_loosened
from methodpick.document.model import Blanks, Document, Items, Page, Paragraph, section
from methodpick.document.record import CLOSING, stamp
from methodpick.plan.result import Plan, ShaftPlan
from methodpick.terms import STARTER
from methodpick.unit_markup import number

_PUBLIC = (
    "A qualified bid can be rejected where the owner is public: there, ask before bid, and send the method after award. (common "
    "practice, no source)"
)
_BY_OTHERS = "working platform, water and power, place for spoil, survey, lights and traffic"
_RATES = (
    "extra depth, a unit of length",
    "less depth, a unit of length",
    "obstruction, an hour",
    "casing left in the ground, a unit of length",
    "concrete beyond the quantity expected, a unit of volume",
    "standby of the rig, an hour",
    "price holds until",
)


def bid_letter(plan: Plan) -> Document:
    """Return the letter as a document of one page."""
    groups = group_shafts(plan.shafts)
    sections = (
        *(section(group.title, *_method(group)) for group in groups),
        section("In the price", Paragraph(_included(groups))),
        section("Not in the price", Items(tuple(_excluded([group.first for group in groups])))),
        section("By others", Paragraph(f"{_BY_OTHERS.capitalize()}.")),
        section("Rates for what changes", Blanks(_RATES)),
        section("", Paragraph(_PUBLIC)),
    )
    title = f"Method statement for the bid: {plan.site_name or plan.input.path}"
    return marked_loosened(Document(title, (Page(title, (stamp(plan),), sections),), CLOSING), plan)


def _method(group: ShaftGroup) -> Iterator[Paragraph | Items]:
    shaft = group.first
    yield Paragraph(
        f"{group.count} shaft{'s' if group.count > 1 else ''} ({group.names}), {number(shaft.diameter_m, 'size')} diameter, tip "
        f"{number(shaft.tip_depth_m, 'm')}. We shall: {shaft.decision}"
    )
    yield Items((*(casing_in_short(index, casing) for index, casing in enumerate(shaft.casings, 1)), relied_on(shaft)))


def _included(groups: Sequence[ShaftGroup]) -> str:
    likely = over_shafts(groups, lambda shaft: shaft.concrete.expected_m3)
    theoretical = over_shafts(groups, lambda shaft: shaft.concrete.theoretical_m3)
    return (
        f"Drilling, the casings and fluid named above, cleaning, setting the cage, and {number(likely, 'm3')} of concrete in place, of "
        f"which {number(theoretical, 'm3')} are by the drawings."
    )


def _excluded(shafts: Sequence[ShaftPlan]) -> Iterator[str]:
    """Return what these plans do not count on; nothing is said of a method that none of them uses."""
    kinds = {casing.kind for shaft in shafts for casing in shaft.casings}
    yield "Obstructions, boulders, and rock or ground harder than logged."
    yield "Water higher than the range named, and the change of method that it asks for."
    if "temporary" in kinds:
        yield "Temporary casing that has to stay, or is ordered to stay."
    if kinds - {STARTER, "temporary"}:
        yield "Coating, corrosion allowance and splices of permanent casing beyond those shown."
    if any(shaft.slurries for shaft in shafts):
        yield "Loss of fluid beyond the reserve, and disposal of fluid or spoil that is contaminated."
    yield "Integrity and load tests, and mending what they show where the method was followed."
    yield "Nights, standby by others, and mobilising again."
