"""The letter of a bid: method, ground and water relied on, what is in the price, what is not, and rates to fill in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, zip_longest

from methodpick.document.built_with import casing_in_short, casings_and_fluids, why_placed_so
from methodpick.document.casings_and_concrete import to_order_m3
from methodpick.document.checks import TRIALS_ENDED, what_is_short
from methodpick.document.decision import head_lines
from methodpick.document.model import Blanks, Block, Document, Items, Page, Paragraph, Section, TextTable, section
from methodpick.document.pages import ShaftGroup, group_shafts, over_shafts
from methodpick.document.record import CLOSING, marked_loosened, stamp
from methodpick.document.report import MOST_KINDS
from methodpick.document.schedule import KindSchedule
from methodpick.document.shaft import drilling_grade, relied_on
from methodpick.document.site import water_is_read
from methodpick.document.ways_of_working import WayOfWorking, water_by_its_swing, ways_of_working
from methodpick.ground.profile import DAYS_APART
from methodpick.patterns import pattern_of
from methodpick.plan.result import Plan, ShaftPlan
from methodpick.terms import STARTER, SUPPORT_NAMES
from methodpick.unit_markup import all_of, bare_number, lowered, marks_of, number, unit_name

BEFORE_IT_IS_SENT = (
    "Not for the letter: a public owner can reject a qualified bid; there, ask before bid, and send the method after award. (common "
    "practice, no source)"
)
DEPTHS = "Depths run down from the ground at each shaft, over water from the mudline; negative ones lie above it."
TABLES = (
    f"Each kind of shaft, named by its first, has a row: tip in {unit_name('m')}, its elevation, log, how far away at most and its end, "
    "letters."
)
ON_LAND = "the ground"
_SEEN = ("drawings, specification, addenda and shaft schedule, with dates",)
_BY_OTHERS = "By others: working platform, water and power, place for spoil, survey, lights and traffic."
_RATES = (
    f"extra depth, per {unit_name('m')}: ______; less depth, per {unit_name('m')}",
    "obstruction, per hour: ______; standby of the rig, per hour",
    f"casing left in the ground, per {unit_name('m')}",
    f"concrete beyond the quantity expected, per {unit_name('m3')}",
    "price holds until",
)


_DAY = pattern_of(r"\d{4}-\d\d-\d\d")
_BESIDE_PLACES = 4
"""So many letters stand beside the places of the kinds at 80 columns."""


def bid_letter(plan: Plan) -> Document:
    """Return the letter as a document of one page."""
    groups = group_shafts(plan.shafts)
    offered = [group for group in groups if group.first.has_method]
    levels = {_levels(group.first) for group in groups}
    methods = tuple(_methods(groups, levels_apart=len(levels) > 1))
    any_table = any(isinstance(block, TextTable) for part in methods for block in part.blocks)
    alike = next(iter(levels)) if any_table and len(levels) == 1 else ""
    depths = " ".join(filter(None, (DEPTHS, alike, TABLES if any_table else "")))
    sections = (
        section("Based on", Blanks(_SEEN), *_logs(groups) if any_table else (), Paragraph(depths)),
        *methods,
        section("In the price", Paragraph(_included(offered))) if offered else section("", Paragraph("")),
        section("Not in the price", Paragraph(" ".join((*_excluded([group.first for group in offered]), _BY_OTHERS)))),
        section("Rates for what changes", Blanks(_RATES)),
        section("Before it is sent", Paragraph(BEFORE_IT_IS_SENT)),
    )
    title = f"Method statement for the bid: {plan.site_name or plan.input.path}"
    return marked_loosened(Document(title, (Page(title, (stamp(plan),), sections),), CLOSING), plan)


def _logs(groups: Sequence[ShaftGroup]) -> Iterator[Paragraph]:
    """Return the logs relied on and the days between which they were drilled, once for all shafts; undated where one has no day."""
    logs = {shaft.boring: shaft.ground.date for shaft in (group.first for group in groups)}
    days = sorted({day for date in logs.values() for day in date.split(DAYS_APART)})
    drilled = f", drilled {DAYS_APART.join(dict.fromkeys((days[0], days[-1])))}" if all(map(_DAY.fullmatch, days)) else ""
    yield Paragraph(f"Logs: {', '.join(logs)}{drilled}.")


def _methods(groups: Sequence[ShaftGroup], *, levels_apart: bool) -> Iterator[Section]:
    """Return what is offered: kinds that are built alike together; one that is not offered, or built as no other, alone.

    The order is that of the first kind of each; a site of few kinds has a paragraph for each. ``levels_apart`` tells cut-off and grade with
    each, else they stand once for all.
    """
    offered = [group for group in groups if group.first.has_method and group.first.proven]
    ways = {way.groups[0].first.id: way for way in _built_alike(offered)} if len(groups) > MOST_KINDS else {}
    members = {group.first.id for way in ways.values() for group in way.groups[1:]}
    for group in groups:
        way = ways.get(group.first.id)
        if way is not None and len(way.groups) > 1:
            yield section(f"{SUPPORT_NAMES[group.first.method].capitalize()}: {way.count} shafts", *_way(way, levels_apart=levels_apart))
        elif group.first.id not in members:
            yield section(group.title, *_method(group))


def _built_alike(groups: Sequence[ShaftGroup]) -> list[WayOfWorking]:
    """Return the ways of working; a kind that is built as no other joins kinds of the same method with the same casings."""
    found: list[WayOfWorking] = []
    for way in sorted(ways_of_working(groups), key=lambda way: len(way.groups), reverse=True):
        alike = (place for place, other in enumerate(found) if len(other.groups) > 1 and _cased(other.shafts[0]) == _cased(way.shafts[0]))
        place = next(alike, None) if len(way.groups) == 1 else None
        if place is None:
            found.append(way)
        else:
            found[place] = WayOfWorking((*found[place].groups, *way.groups))
    order = {group.first.id: place for place, group in enumerate(groups)}
    return [WayOfWorking(tuple(sorted(way.groups, key=lambda group: order[group.first.id]))) for way in found]


def _cased(shaft: ShaftPlan) -> object:
    return shaft.method, [(casing.kind, casing.sealed) for casing in shaft.casings]


def _way(way: WayOfWorking, *, levels_apart: bool) -> Iterator[Block]:
    """Return what is offered for all kinds of a way of working in a paragraph, a letter where they differ, and a row a kind."""
    schedule, shafts = KindSchedule(way.shafts), way.shafts
    yield Paragraph(" ".join(schedule.merged([f"We offer to {lowered(shaft.decision)}" for shaft in shafts])), "strong")
    sizes = [f"Diameter {number(shaft.diameter_m, 'size')}." for shaft in shafts]
    levels = [_levels(shaft) if levels_apart else "" for shaft in shafts]
    casings = zip_longest(*(_casings(shaft) for shaft in shafts), fillvalue="")
    lines = {marks_of(line)[0] for shaft in shafts for line in _fluids(shaft)}
    by_depth = len(lines) > len({line.partition(":")[0] for line in lines})
    fluids = zip_longest(*(_fluids(shaft, by_depth=by_depth) for shaft in shafts), fillvalue="")
    starters = [number(next((casing.base_m for casing in shaft.casings if casing.kind == STARTER), None), "m") for shaft in shafts]
    placed = [f"Concrete, {shaft.planned_placement.state}: {why}" if (why := why_placed_so(shaft)) else "" for shaft in shafts]
    told = [line for texts in (sizes, levels, *casings) for line in schedule.told(texts)]
    held = [line for texts in fluids for line in schedule.told(texts, {"the base of the starter": starters})]
    grounds = schedule.merged([f"Relied on: the log, and water {water_by_its_swing(shaft)}." for shaft in shafts])
    yield Paragraph(" ".join((*told, *held, *schedule.spanned(placed), *grounds)))
    yield _kinds(way, schedule)
    yield from schedule.tables(_BESIDE_PLACES)


def _levels(shaft: ShaftPlan) -> str:
    datum = "" if shaft.design.datum == ON_LAND else f", depths from {shaft.design.datum}"
    return f"Cut-off {number(shaft.cutoff_m, 'm')}, grade {drilling_grade(shaft)}{datum}."


def _casings(shaft: ShaftPlan) -> tuple[str, ...]:
    return tuple(casing_in_short(index, casing) for index, casing in enumerate(shaft.casings, 1))


def _fluids(shaft: ShaftPlan, *, by_depth: bool = False) -> tuple[str, ...]:
    """Return the fluids of a shaft; the density of water and polymer is that of what is bought, and no choice of the bid."""
    return casings_and_fluids(shaft, by_depth=by_depth, densities=False)[len(shaft.casings) :]


def _kinds(way: WayOfWorking, schedule: KindSchedule) -> TextTable:
    """Return the kinds by the names of their shafts, each with its tip, its log and the numbers behind the first letters."""
    metre = unit_name("m")
    lettered = ((letter if unit == metre else f"{letter}, {unit}", cells) for letter, unit, cells in schedule.columns())
    columns = [column for column in (*_places(way), *islice(lettered, _BESIDE_PLACES)) if any(cell != "-" for cell in column[1])]
    rows = zip(map(_names, way.groups), *(cells for _, cells in columns), strict=True)
    return TextTable(("shafts", *(head for head, _ in columns)), tuple(rows), tuple(range(1, len(columns) + 1)))


def _names(group: ShaftGroup) -> str:
    return group.names if group.count == len(group.shafts) else f"{group.names}; {group.count} in all"


def _places(way: WayOfWorking) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Return where each kind ends and which log it relies on: head and cells of each column, a dash where nothing is known."""
    yield "tip", tuple(bare_number(shaft.tip_depth_m, "m") for shaft in way.shafts)
    grounds = [(shaft.ground.ground_elevation_m, shaft.tip_depth_m) for shaft in way.shafts]
    yield "el.", tuple(bare_number(None if ground is None else ground - tip, "m") for ground, tip in grounds)
    yield "log", tuple(shaft.boring for shaft in way.shafts)
    away = [[each.boring_distance_m for each in group.shafts if each.boring_distance_m is not None] for group in way.groups]
    yield "away", tuple(bare_number(max(known, default=None), "m") for known in away)
    yield "ends", tuple(bare_number(shaft.ground.end_m, "m") for shaft in way.shafts)


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
