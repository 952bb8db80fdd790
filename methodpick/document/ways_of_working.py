"""A site of many kinds of shaft, by its ways of working: kinds whose work differs in numbers only share a page and its tables.

Decision, casings and fluids stand once, a letter where kinds differ, as in a schedule of piles; the numbers stand in a table with a row a
kind. Every open hazard has its row for every kind, and every danger names the kinds that it is of.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from methodpick.document.built_with import built_with
from methodpick.document.cautions import EVERYWHERE, dangers_of_place, hazards_in_short, named_dangers
from methodpick.document.checks import not_proven, worst_margins
from methodpick.document.decision import stage_hours, stage_table
from methodpick.document.model import Block, Items, Page, Paragraph, Section, TextTable, page_with, section
from methodpick.document.pages import ShaftGroup
from methodpick.document.schedule import KindSchedule
from methodpick.document.shaft import HANGS_ON, answer_page, drilling_grade, left_out, next_best, taken_as_likely, what_decides
from methodpick.document.site import first_names, water_levels
from methodpick.document.strip import strip_section
from methodpick.patterns import pattern_of
from methodpick.plan.result import ShaftPlan
from methodpick.records import record
from methodpick.terms import SUPPORT_NAMES
from methodpick.unit_markup import bare_number, marks_of, number, spell, unit_name

_COST = pattern_of(r"(?<=about )\d+\.\d+(?= times)")


@record
class WayOfWorking:
    """The kinds of shaft that are built by the same steps with the same kinds of casing and fluid."""

    groups: tuple[ShaftGroup, ...]

    @property
    def count(self) -> int:
        """Count the shafts."""
        return sum(group.count for group in self.groups)

    @property
    def shafts(self) -> tuple[ShaftPlan, ...]:
        """Return the shaft that stands for each kind."""
        return tuple(group.first for group in self.groups)


def ways_of_working(groups: Sequence[ShaftGroup]) -> list[WayOfWorking]:
    """Gather the kinds that are built in the same way, in the order of the first of each."""
    found: dict[object, list[ShaftGroup]] = {}
    for group in groups:
        shaft = group.first
        steps = (marks_of(shaft.decision)[0], [casing.kind for casing in shaft.casings], [slurry.fluid for slurry in shaft.slurries])
        found.setdefault(repr(steps) if shaft.has_method else shaft.id, []).append(group)
    return [WayOfWorking(tuple(members)) for members in found.values()]


def way_page(way: WayOfWorking) -> Page:
    """Return the page of a way of working: of a single kind its answer, else the decision with letters and the kinds side by side."""
    if len(way.groups) == 1:
        return answer_page(way.groups[0])
    first, schedule = way.shafts[0], KindSchedule(way.shafts)
    decision, stages = tuple(_decision(way, schedule)), _stages(way, schedule)
    return page_with(
        f"{SUPPORT_NAMES[first.method].capitalize()}: {way.count} shafts of {len(way.groups)} kinds, {first.id} to {way.shafts[-1].id}",
        (),
        section("Decision", *decision, tone="decision"),
        section("Kinds", _kinds(way), *schedule.tables()),
        _strip(first),
        stages,
        section(HANGS_ON, Items(tuple(_hangs_on(way)))),
        _dangers(way),
    )


# ---- one sentence for all kinds, a letter where their numbers differ


def _decision(way: WayOfWorking, schedule: KindSchedule) -> Iterator[Block]:
    """Return the decision and what it is built with, each once, and which kinds are not proven."""
    yield Paragraph(" ".join(schedule.merged([shaft.decision for shaft in way.shafts])), "strong")
    yield Items(tuple(f"{shaft.id}: {not_proven(shaft)}" for shaft in way.shafts if not_proven(shaft)), tone="danger")
    by_depth = len({tuple(marks_of(line)[0] for line in built_with(shaft)) for shaft in way.shafts}) > 1
    built = zip_longest(*(built_with(shaft, by_depth=by_depth) for shaft in way.shafts), fillvalue="")
    grounds = [f"Relied on: water {water_by_its_swing(shaft)}, grade {drilling_grade(shaft)}. {left_out(shaft)}" for shaft in way.shafts]
    yield Items(tuple(line for texts in (*built, grounds) for line in schedule.merged(texts)))


def water_by_its_swing(shaft: ShaftPlan) -> str:
    """Return the likely level of the only water read below the ground, by how much it may stand higher or lower; else all levels."""
    read = [water for water in shaft.ground.water if water.kind != "unread"]
    likely_m = read[0].likely_m if len(read) == 1 else None
    if likely_m is None or read[0].low_m < 0 or read[0].none_met:
        return water_levels(shaft)
    higher, lower = number(likely_m - read[0].high_m, "m"), number(read[0].low_m - likely_m, "m")
    same = all(spell(higher, units) == spell(lower, units) for units in ("us", "si"))
    return f"{number(likely_m, 'm')} ({f'{higher} higher or lower' if same else f'{higher} higher to {lower} lower'})"


def _once(way: WayOfWorking, texts: Sequence[str]) -> list[str]:
    """Return texts of the kinds, those that differ in numbers only once: in the words of the first, with the others named."""
    found: dict[str, list[tuple[str, str]]] = {}
    for shaft, text in zip(way.shafts, texts, strict=True):
        if text:
            found.setdefault(_template(text), []).append((shaft.id, text))
    return [_with_names(members, len(way.shafts)) for members in found.values()]


def _template(text: str) -> str:
    return "".join("#" if letter.isdigit() else letter for letter in marks_of(text)[0])


def _with_names(members: Sequence[tuple[str, str]], kinds: int) -> str:
    (first, text), names = members[0], [name for name, _ in members]
    if len({spell(each, "si") for _, each in members}) == 1:
        return text if len(names) == kinds else f"{first_names(names)}: {text}"
    return f"{first}: {text} Alike, with other numbers: {first_names(names[1:])}."


def _kinds(way: WayOfWorking) -> TextTable:
    """Return the kinds: their shafts, size, boring, hours, and the length that is not firm."""
    rows = (
        (
            group.names,
            number(shaft.diameter_m, "size"),
            number(shaft.tip_depth_m, "m"),
            shaft.boring,
            f"{stage_hours(shaft):.0f}",
            bare_number(shaft.not_firm_m, "m") if shaft.not_firm_m else "-",
        )
        for group, shaft in zip(way.groups, way.shafts, strict=True)
    )
    return TextTable(("shafts", "size", "tip", "log", "h", f"not firm, {unit_name('m')}"), tuple(rows), (1, 2, 4, 5))


def _strip(shaft: ShaftPlan) -> Section:
    strip = strip_section(shaft)
    return Section(f"Strip of {shaft.id}", strip.blocks)


def _stages(way: WayOfWorking, schedule: KindSchedule) -> Section:
    """Return the stages of all kinds as one table; those of the first kind where the kinds do not take the same stages."""
    tables = [stage_table(shaft) for shaft in way.shafts]
    steps = {tuple((row[0], marks_of(row[2])[0], marks_of(row[3])[0]) for row in table.rows) for table in tables}
    same = len(steps) == 1
    rows = tuple(_stage_row(rows, schedule) for rows in zip(*(table.rows for table in tables), strict=True)) if same else tables[0].rows
    return section("Stages" if same else f"Stages of {way.shafts[0].id}", TextTable(tables[0].heads, rows, tables[0].right))


def _stage_row(rows: Sequence[tuple[str, ...]], schedule: KindSchedule) -> tuple[str, ...]:
    """Return a row of the stages of all kinds as one, its hours from the least to the most."""
    numbers, hours, what, tool = zip(*rows, strict=True)
    known = sorted({float(each) for each in hours if each})
    in_all = "-".join(dict.fromkeys(f"{each:.1f}" for each in (*known[:1], *known[-1:])))
    return numbers[0], in_all, "".join(schedule.merged(what)), "".join(schedule.merged(tool))


def _hangs_on(way: WayOfWorking) -> Iterator[str]:
    """Return each smallest margin where it is least, what is taken as likely, and the next best way."""
    for text, worst, names in worst_margins(way.shafts):
        others = [name for name in names if name != worst]
        alone = f" Elsewhere: {first_names(others)}." if others else f" Only {worst} hangs on it."
        yield f"Least at {worst}: {text}" + ("" if len(names) == len(way.shafts) else alone)
    yield from _once(way, [" ".join(taken_as_likely(shaft)) for shaft in way.shafts])
    yield from _next_best(way)
    yield from _once(way, list(map(what_decides, way.shafts)))


def _next_best(way: WayOfWorking) -> Iterator[str]:
    """Return the next best way, of kinds that have the same in their own words but for the relative cost, with the least and the most."""
    found: dict[tuple[str, ...], list[tuple[ShaftPlan, str]]] = {}
    for shaft in way.shafts:
        words = next_best(shaft)
        found.setdefault(tuple(_COST.split(words)), []).append((shaft, words))
    for parts, members in found.items():
        costs = sorted({cost for _, words in members for cost in _COST.findall(words)}, key=float)
        names = "" if len(members) == len(way.shafts) else f"{first_names([shaft.id for shaft, _ in members])}: "
        yield names + " to ".join(dict.fromkeys((*costs[:1], *costs[-1:]))).join(parts)


# ---- what is dangerous: a row for every kind in which a hazard is open


def _dangers(way: WayOfWorking) -> Section:
    """Return every open hazard with the kinds that it is open at, and the dangers of place and method with their kinds."""
    places = [dangers_of_place(shaft) for shaft in way.shafts]
    said = [line for place in range(max(map(len, places))) for line in _once(way, [_at(texts, place) for texts in places])]
    minded = _once(way, [f"Keep in mind: {words}." if (words := named_dangers(shaft)) else "" for shaft in way.shafts])
    entries = (*hazards_in_short(way.shafts), *dict.fromkeys(said), *minded)
    return section("Dangerous here", Items(entries), Paragraph(EVERYWHERE), tone="danger")


def _at(texts: Sequence[str], place: int) -> str:
    return texts[place] if place < len(texts) else ""
