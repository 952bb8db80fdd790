"""The pages of a site: the summary with its schedule of methods, section and casings, and the roll-up of its shafts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from methodpick.document.casings_and_concrete import outside_and_wall, sealed, to_order_m3
from methodpick.document.cautions import question_words
from methodpick.document.decision import BY_PLANNING_RATES, NOT_PROVEN, least_confidence, stage_hours
from methodpick.document.model import Figure, Items, Page, Paragraph, Section, TextTable, page_with, section
from methodpick.document.pages import ShaftGroup, and_more, over_shafts
from methodpick.drawings.site_section import draw_section
from methodpick.drawings.structure_line import StructureLine
from methodpick.plan.result import Plan, ShaftPlan
from methodpick.site.assignment import Assignment, Flag
from methodpick.terms import STARTER, SUPPORT_NAMES
from methodpick.unit_markup import bare_number, how_many, number, number_span, spell

# ---- summary: methods, section, casings, and which boring decided for each shaft


_IN_A_PICTURE = 14
"""So many shafts stand in one picture of the section: two rows of bents that are not broken, which fit on a sheet as wide as it is."""
_MEANT = {"conditional": "right if what is open or assumed holds", "firm": "whatever of it holds"}
"""What the words of confidence mean to somebody who reads them for the first time."""
_MOST_NAMES = 6
BORINGS = "Borings of the shafts"
ASK_FIRST = "Ask the owner first"
_SHAFTS = "Shafts"
NO_END_M = 1000.0
"""A level that may lie deeper has no lower end that anybody knows."""
_SHAFT_HEADS = ("shaft", "count", "diameter", "cut-off", "tip", "boring", "water, likely (range)", "method", "concrete", "confidence")
_CASING_HEADS = ("shaft", "kind", "outside x wall", "top", "base", "length", "mass", "sealed", "shafts")
_BORING_HEADS = ("shaft", "boring", "away", "ground", "method", "other borings")
_BORING_KEY = (
    "Ground: how far the ground at the shaft lies above (+) or below (-) that at the boring; where both levels are known, "
    "layers and water are set over by elevation."
)


def schedule(groups: Sequence[ShaftGroup]) -> Section:
    """Return the schedule of methods."""
    return section(_SHAFTS, TextTable(_SHAFT_HEADS, tuple(map(_shaft_row, groups)), (1, 2, 3, 4)))


def shafts(groups: Sequence[ShaftGroup]) -> Section:
    """Return the schedule of methods, and each decision once with the shafts that it is of."""
    found: dict[str, tuple[str, list[str]]] = {}
    for group in groups:
        decision = group.first.decision
        found.setdefault(spell(decision, "si"), (decision, []))[1].append(group.names)
    entries = tuple(f"{'; '.join(names)}: {decision}" for decision, names in found.values())
    return section(_SHAFTS, *schedule(groups).blocks, Items(entries))


def _shaft_row(group: ShaftGroup) -> tuple[str, ...]:
    shaft = group.first
    return (
        group.names,
        str(group.count),
        number(shaft.diameter_m, "size"),
        number(shaft.cutoff_m, "m"),
        number(shaft.tip_depth_m, "m"),
        group.boring_without_date,
        water_levels(shaft),
        SUPPORT_NAMES[shaft.method],
        placed(shaft),
        least_confidence(shaft),
    )


def placed(shaft: ShaftPlan) -> str:
    """Return whether the concrete is placed wet or dry; a stroke where nothing is decided."""
    return "-" if shaft.placement is None else shaft.placement.state


def water_is_read(shaft: ShaftPlan) -> bool:
    """Return whether the level of any water is known."""
    return any(water.kind != "unread" for water in shaft.ground.water)


def water_levels(shaft: ShaftPlan) -> str:
    """Return the likely level of each body of water with its range, or that none was met or read; open water stands above the mudline.

    Of several bodies each is told with where the ground that bears it begins.
    """
    read = [water for water in shaft.ground.water if water.kind != "unread"]
    levels = [
        f"none met ({number(water.high_m, 'm')} or deeper)"
        if water.none_met
        else _level(water.high_m, water.likely_m, water.low_m, shaft.design.datum)
        for water in read
    ]
    if len(levels) > 1:
        levels = [f"{level} in the ground from {number(water.aquifer_top_m, 'm')} down" for level, water in zip(levels, read, strict=True)]
    return "; ".join(levels) or "not read"


def _level(high_m: float, likely_m: float | None, low_m: float, datum: str) -> str:
    """Return a level with its range: as depths, or as heights where it stands above the ground whatever the doubt.

    A range that reads as the level alone is not told, and of one without an end only the highest level.
    """
    above = low_m < 0 and likely_m is not None
    likely, ends = (-(likely_m or 0.0), (-low_m, -high_m)) if above else (likely_m, (high_m, low_m))
    words = f"{number(likely, 'm')} above {datum}" if above else number(likely, "m")
    if low_m > NO_END_M:
        return f"{words} ({number(high_m, 'm')} or deeper)"
    span = number_span(*ends, "m")
    if likely is not None and all(spell(span, units) == spell(number(likely, "m"), units) for units in ("us", "si")):
        return words
    return f"{words} ({span})"


def section_through(groups: Sequence[ShaftGroup], caption: str) -> Section:
    """Return the section through the site with one shaft of each group, over as many pictures as it takes."""
    firsts = [group.first for group in groups]
    line = StructureLine.through(firsts)
    parts = line.rows(line.ordered(firsts), _IN_A_PICTURE)
    return section("Section through the site", *(section_figure(part, caption) for part in parts))


def section_figure(shafts: Sequence[ShaftPlan], caption: str = "") -> Figure:
    """Return the section through some shafts. Drawing it raises InputError where there is no shaft."""
    return Figure(lambda units, prefix: draw_section(shafts, units, prefix), caption)


def casings_of_site(groups: Sequence[ShaftGroup]) -> Section:
    """Return the casings of every group."""
    rows = tuple(
        (
            group.names,
            casing.kind,
            outside_and_wall(casing),
            number(casing.top_m, "m"),
            number(casing.base_m, "m"),
            number(casing.length_m, "m"),
            number(casing.mass_kg, "kg"),
            sealed(casing),
            str(group.count),
        )
        for group in groups
        for casing in group.first.casings
    )
    return section("Casing schedule", TextTable(_CASING_HEADS, rows, (3, 4, 5, 6, 8)) if rows else Paragraph("No casing."))


def borings(plan: Plan, assignments: Sequence[Assignment]) -> Section:
    """Return which boring decided for each shaft, how it was chosen, and what speaks against it."""
    methods = {shaft.id: SUPPORT_NAMES[shaft.method] for shaft in plan.shafts}
    rows = tuple(_boring(assigned, methods[assigned.shaft]) for assigned in assignments)
    ways: dict[str, list[str]] = {}
    for assigned in assignments:
        ways.setdefault(assigned.said, []).append(assigned.shaft)
    return section(
        BORINGS,
        TextTable(_BORING_HEADS, rows, (2, 3)),
        Paragraph(_BORING_KEY),
        *(Paragraph(f"{way[0].upper()}{way[1:]}: {first_names(names)}.") for way, names in ways.items()),
        _flags(assignments),
    )


def contested_borings(assignments: Sequence[Assignment]) -> Section:
    """Return what speaks against the borings that decided, without the table."""
    return section(BORINGS, _flags(assignments))


def _flags(assignments: Sequence[Assignment]) -> Items:
    """Return what speaks against the borings that decided, the same flags together."""
    flags: dict[Flag, list[str]] = {}
    for assigned in assignments:
        for flag in assigned.flags:
            if flag.severity == "caution":
                flags.setdefault(flag, []).append(assigned.shaft)
    alike: dict[Flag, list[tuple[str, Flag]]] = {}
    for flag, names in flags.items():
        alike.setdefault(replace(flag, here=""), []).append((first_names(names), flag))
    entries: list[tuple[str, int]] = []
    for claim, members in alike.items():
        if len(members) == 1:
            entries += [(f"{who}: {flag.text}", 0) for who, flag in members]
        else:
            entries += [(claim.text, 0), *((f"{who}: {flag.here}.", 1) for who, flag in members)]
    return Items(tuple(text for text, _ in entries), tone="caution", levels=tuple(level for _, level in entries))


def _boring(assigned: Assignment, method: str) -> tuple[str, ...]:
    sign = "+" if assigned.level_m is not None and assigned.level_m > 0 else ""
    others = ", ".join(
        f"{other.boring} {SUPPORT_NAMES[other.method]}, {number(other.distance_m, 'm')}"
        for other in assigned.weighed
        if other.boring != assigned.boring and other.method
    )
    level = f"{sign}{number(assigned.level_m, 'm')}"
    return assigned.shaft, assigned.boring, number(assigned.distance_m, "m"), level, method, others


def first_names(names: Sequence[str]) -> str:
    """Return names, the first few and how many more.

    >>> first_names(["A", "B"]), first_names(list("ABCDEFGH"))
    ('A, B', 'A, B, C, D, E, F and 2 more')
    """
    return ", ".join(names[:_MOST_NAMES]) + and_more(len(names) - _MOST_NAMES)


# ---- first page: one row a kind of shaft, the totals, and what to ask the owner first


MOST_QUESTIONS = 5
_WHAT_FOLLOWS = "A page for each kind follows; alike shafts are told once."
_MORE = "--shaft ID shows the page of a kind; --for foreman, engineer or estimator and --full show more."
_HEADS = ("shaft", "n", "size", "tip", "method", "casing besides the starter", "pour")


def roll_up(plan: Plan, groups: Sequence[ShaftGroup], ways: int = 0) -> Page:
    """Return the page; a kind of shaft is named by the first of it, its own page names all.

    ``ways`` is the number of ways of working that have a page each, 0 where each kind has its own.
    """
    sections = (
        _shaft_table(groups),
        section("Totals", Items(tuple(_totals(groups)))),
        section(ASK_FIRST, Items(tuple(_questions(groups)), numbered=True)),
        section("", Paragraph(f"A page for each of {how_many(ways, 'way')} of working follows. {_MORE}" if ways else _WHAT_FOLLOWS)),
    )
    return page_with(_title(plan, groups), (), *sections)


def schedule_page(plan: Plan, groups: Sequence[ShaftGroup]) -> Page:
    """Return the first page for a reader of sheets or checks: a row a kind of shaft, without totals and questions to the owner."""
    return page_with(_title(plan, groups), (), _shaft_table(groups))


def _title(plan: Plan, groups: Sequence[ShaftGroup]) -> str:
    alike = f"{len(groups)} kinds" if len(groups) > 1 else "one kind"
    return f"{plan.site_name or plan.input.path}: {how_many(sum(group.count for group in groups), 'shaft')} of {alike}"


def _shaft_table(groups: Sequence[ShaftGroup]) -> Section:
    return section("Shafts", TextTable(_HEADS, tuple(map(_row, groups)), (1, 2, 3)), *map(Paragraph, _confidence(groups)))


def _row(group: ShaftGroup) -> tuple[str, ...]:
    shaft = group.first
    more = f" +{len(group.shafts) - 1}" if len(group.shafts) > 1 else ""
    longest = max((casing for casing in shaft.casings if casing.kind != STARTER), key=lambda casing: casing.base_m, default=None)
    return (
        shaft.id + more,
        str(group.count),
        number(shaft.diameter_m, "size"),
        number(shaft.tip_depth_m, "m"),
        SUPPORT_NAMES[shaft.method],
        "-" if longest is None else f"{longest.kind} to {number(longest.base_m, 'm')}",
        placed(shaft),
    )


def _confidence(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    """Return the kinds of each confidence, the least first; of many kinds those that most have come last, as the others."""
    found: dict[str, list[str]] = {"undecided": [], NOT_PROVEN: [], "conditional": [], "firm": []}
    for group in groups:
        found[least_confidence(group.first)].append(group.first.id)
    most = max(found, key=lambda word: len(found[word]))
    others = len(found[most]) > _MOST_NAMES and len(found[most]) < len(groups)
    for word in sorted(found, key=lambda word: others and word == most):
        if found[word]:
            every = len(found[word]) == len(groups) > _MOST_NAMES
            meant = f" ({_MEANT[word]})" if word in _MEANT else ""
            yield f"{word.capitalize()}{meant}: {'all' if every else 'the others' if others and word == most else ', '.join(found[word])}."


def _totals(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    """Return shaft length, concrete, steel of the longest casing kinds by size, and hours, over all shafts that a way builds."""
    open_ones = [group.first.id for group in groups if not group.first.has_method]
    groups = [group for group in groups if group.first.has_method]
    if open_ones:
        yield f"Not counted, since no way of building is left or the log says nothing there: {first_names(open_ones)}."
    if not groups:
        return
    length = over_shafts(groups, lambda shaft: shaft.tip_depth_m - shaft.cutoff_m)
    yield f"Shaft from cut-off to tip: {number(length, 'm')}."
    theoretical = over_shafts(groups, lambda shaft: shaft.planned_concrete.theoretical_m3)
    likely = over_shafts(groups, lambda shaft: to_order_m3(shaft.planned_concrete)[0])
    low = over_shafts(groups, lambda shaft: to_order_m3(shaft.planned_concrete)[1])
    high = over_shafts(groups, lambda shaft: to_order_m3(shaft.planned_concrete)[2])
    yield (
        f"Concrete: {number(theoretical, 'm3')} by the drawings, {number(likely, 'm3')} to order ({bare_number(low, 'm3')} to "
        f"{number(high, 'm3')})."
    )
    for kind, words in (("permanent", "stays in the ground"), ("temporary", "set and pulled"), (STARTER, "set and pulled")):
        found = _by_size(groups, kind)
        sizes = "; ".join(f"{size} {number(length_m, 'm')}" for size, (length_m, _) in found.items())
        mass = sum(mass_kg for _, mass_kg in found.values())
        if found:
            yield f"Casing, {kind}, {words}: {sizes}; {number(mass, 'kg')} in all, before strings are used again."
    yield f"Hours at the shafts {BY_PLANNING_RATES}, moves not counted: {over_shafts(groups, stage_hours):.0f} h."


def _by_size(groups: Sequence[ShaftGroup], kind: str) -> dict[str, tuple[float, float]]:
    """Return length and mass of the casings of a kind by their size."""
    found: dict[str, tuple[float, float]] = {}
    for group in groups:
        for casing in group.first.casings:
            if casing.kind == kind:
                length_m, mass_kg = found.get(outside_and_wall(casing), (0.0, 0.0))
                found[outside_and_wall(casing)] = (length_m + casing.length_m * group.count, mass_kg + casing.mass_kg * group.count)
    return found


def _questions(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    """Return the questions that stand for most shafts, in their own order among equals, with the kinds that ask them."""
    asked: Counter[str] = Counter()
    by_kind: dict[str, list[str]] = {}
    for group in groups:
        for gap in group.first.gaps:
            asked[question_words(gap)] += group.count
            by_kind.setdefault(question_words(gap), []).append(group.first.id)
    for question, _ in asked.most_common(MOST_QUESTIONS):
        kinds = "" if len(by_kind[question]) == len(groups) else f" ({first_names(by_kind[question])})"
        yield question + kinds
