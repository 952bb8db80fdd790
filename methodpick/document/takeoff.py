"""The takeoff of a site: every line, the sums, whether cages fit, casing strings, hours, cost, bid items and notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from methodpick.document.calendar import calendar_drawn, calendar_in_short
from methodpick.document.casings_and_concrete import outside_and_wall
from methodpick.document.cost_and_bid import bid_items, cost
from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.document.site import first_names
from methodpick.plan.result import ShaftPlan
from methodpick.site.cost import SAME_H, shifts_that_hold
from methodpick.site.estimate import FOR_THE_LOSS, FOR_THE_STOCK, NOTES_OF_EVERY_TAKEOFF, NOTHING, RID_OF, Estimate, HoursRow
from methodpick.site.result import ShaftTakeoff, Takeoff, TakeoffLine, TotalLine, Yard, YardString
from methodpick.terms import SUPPORT_NAMES
from methodpick.unit_markup import SAME_LENGTH_M, bare_number, how_many, number

_STRING_HEADS = ("", "outside x wall", "length", "needed", "uses", "made of", "joints", "to get")
HOURS_TITLE = "Hours of each shaft, likely"
_LEAST_M3 = 0.05
"""Less than this of a volume would be written as nothing."""
_HOUR_HEADS = ("shaft", "drill", "case", "fluid", "cage", "pour", "move", "all", "range")

SUMS, STRINGS = "Sums over the site", "Casing strings and the yard"
"""Titles of sections."""


def lines_of_shaft(shaft: ShaftTakeoff) -> Section:
    """Return every line of the takeoff of a shaft, with its formula; who pays stands beside it where the site file says it of any."""
    paid = any(line.pay != "unknown" for line in shaft.lines)
    heads = ("item", "quantity", *(("pay",) if paid else ()), "from")
    rows = tuple((line.item, _amount(line.amount, line.unit), *((line.pay,) if paid else ()), line.formula) for line in shaft.lines)
    many = f", {shaft.count} alike, each" if shaft.count > 1 else ""
    size = f"{number(shaft.diameter_m, 'size')} diameter, tip {number(shaft.tip_m, 'm')}"
    return section(
        f"Shaft {shaft.shaft}{many}",
        Paragraph(f"{size}, boring {shaft.boring}, method {SUPPORT_NAMES[shaft.method]}."),
        TextTable(heads, rows),
    )


def _amount(amount: Estimate, unit: str) -> str:
    return number(amount.likely, unit) + ("" if amount.certain else f" ({_ends(amount, unit)})")


def _ends(amount: Estimate, unit: str) -> str:
    """Return the ends of a range without their unit, nothing where it is certain."""
    return "" if amount.certain else f"{bare_number(amount.low, unit)} to {bare_number(amount.high, unit)}"


def taken_off(takeoff: Takeoff, *, short: bool = False, hours_by_shaft: bool = True, drawn: bool = False) -> list[Section]:
    """Return the sections over the whole site: sums, clearances, strings, hours, calendar, cost, bid items, notes.

    In short the sums, strings and cost stand without how they come about, casing and products of fluid on a line each, of the cages that
    fit how many do, and no note that holds of every site. Hours stand in all, or of each shaft too; the calendar in words, or drawn too.
    """
    if not takeoff.shafts:
        return not_counted(takeoff.site.plan.shafts)
    sections = [
        *not_counted(takeoff.site.plan.shafts),
        sums(together(takeoff.totals), (), pay_apart=True) if short else sums(takeoff.totals, takeoff.site_lines),
        clearances(takeoff.shafts, short=short),
        strings(takeoff.yard, permanent_words(takeoff.totals), short=short),
        hours(takeoff) if hours_by_shaft else section(HOURS_TITLE, *map(Paragraph, hours_in_all(takeoff))),
        calendar_drawn(takeoff) if drawn else calendar_in_short(takeoff.calendar),
    ]
    if takeoff.cost is not None:
        sections.append(cost(takeoff.cost, short=short))
    if takeoff.bid is not None:
        sections.append(bid_items(takeoff.bid))
    notes = [note for note in takeoff.notes if not (short and note in NOTES_OF_EVERY_TAKEOFF)]
    return [*sections, section("Notes on the takeoff", Items(tuple(notes)))]


def not_counted(shafts: Sequence[ShaftPlan]) -> list[Section]:
    """Return the shafts on which nothing is decided, which are in no sum; no section where there are none."""
    names = [f"{shaft.id} ({shaft.count})" for shaft in shafts if not shaft.has_method]
    words = (
        f"{first_names(names)}: no way of building is left, or the log says nothing there. No quantity, hour, cost and day below is of "
        "such a shaft; nothing is to be bid for it."
    )
    return [section("Shafts without a method", Paragraph(words, "danger"), tone="danger")] if names else []


def sums(totals: Sequence[TotalLine], site_lines: Sequence[TakeoffLine], *, pay_apart: bool = False) -> Section:
    """Return the sums over the site, and how the lines of the site as a whole come about.

    Who pays stands beside each line, or ``pay_apart`` below the table, where that is said of any line.
    """
    told = [line for line in totals if line.amount.high > _least(line.unit)]
    paid = any(line.pay != "unknown" for line in told)
    beside = paid and not pay_apart
    heads = ("item", "likely", "low to high", *(("pay",) if beside else ()))
    rows = tuple((line.item, number(line.amount.likely, line.unit), _ends(line.amount, line.unit), line.pay)[: len(heads)] for line in told)
    about = tuple(f"{line.item}: {line.formula} ({line.source})." for line in site_lines if line.source)
    who = "" if beside else _who_pays(told) if paid else "What is paid for by itself is not known: say it under 'pay:'."
    return section(SUMS, TextTable(heads, rows, (1, 2)), Paragraph(who), Items(about))


def together(totals: Sequence[TotalLine]) -> tuple[TotalLine, ...]:
    """Return the sums with one line for a size of casing, and one for a product of fluid, whatever it is for."""
    of = {line.item: line for line in totals}
    found: dict[str, TotalLine] = {}
    for line in totals:
        item, _, what = line.item.rpartition(", ")
        if line.group == "casing" and what == "length":
            mass, splices = of[f"{item}, mass"].amount.likely, of[f"{item}, splices"].amount.likely
            joints = f", {how_many(int(splices), 'splice')}" if splices else ""
            found[item] = replace(line, item=f"{item}, {number(mass, 'kg')}{joints}")
        elif line.group == "fluid" and what in (FOR_THE_LOSS, FOR_THE_STOCK):
            before = found.get(item, replace(line, amount=NOTHING))
            found[item] = replace(line, item=item, amount=before.amount.plus(line.amount))
        elif line.group != "casing" and not (line.group == "fluid" and what == RID_OF):
            found[line.item] = line
    return tuple(found.values())


def _who_pays(lines: Sequence[TotalLine]) -> str:
    """Return which lines are paid in which way: those of the most common way are all others."""
    by_pay: dict[str, list[str]] = {}
    for line in lines:
        by_pay.setdefault(line.pay, []).append(line.item)
    *few, (most, _) = sorted(by_pay.items(), key=lambda each: len(each[1]))
    told = "".join(f"{'pay ' if not at else ''}{pay}: {', '.join(items)}; " for at, (pay, items) in enumerate(few))
    return f"{told[:1].upper()}{told[1:]}all others {most}." if few else f"All: pay {most}."


def _least(unit: str) -> float:
    """Return what in a unit would be written as nothing."""
    return _LEAST_M3 if unit == "m3" else SAME_LENGTH_M if unit == "m" else 0.0


def clearances(shafts: Sequence[ShaftTakeoff], *, short: bool = False) -> Section:
    """Return whether the cages fit, the same checks together; what does not fit for certain stands first and apart.

    In short those that fit are named by their place alone.
    """
    found: dict[tuple[str, str, bool | None, str], list[str]] = {}
    for shaft in shafts:
        for check in shaft.checks:
            found.setdefault((check.item, check.text, check.fits, check.source), []).append(shaft.shaft)
    fitting: list[str] = []
    others: list[str] = []
    for (item, text, fits, source), names in found.items():
        verdict = "not known" if fits is None else "fits" if fits else "DOES NOT FIT"
        (fitting if fits else others).append(f"{item}, {verdict}: {text} ({source}; {first_names(names)})")
    places = dict.fromkeys(item for item, _, fits, _ in found if fits)
    told = (f"Fits everywhere else: {', '.join(places)}." if others else f"Fits: {', '.join(places)}.",) if short and places else fitting
    return section("Clearance of cages", Items(tuple(others), tone="danger"), Items(tuple(told)))


def permanent_words(totals: Sequence[TotalLine]) -> str:
    """Describe the casing that stays in the ground, which every shaft takes anew; nothing without."""
    by_item = {line.item: line.amount.likely for line in totals}
    told = [
        f"{item.removesuffix(', length')}: {number(length_m, 'm')}, {number(by_item[item.removesuffix('length') + 'mass'], 'kg')}"
        for item, length_m in by_item.items()
        if item.startswith("permanent casing") and item.endswith(", length")
    ]
    return f"To buy and lost in the ground, {'; '.join(told)}." if told else ""


def strings(yard: Yard, lost: str = "", *, short: bool = False) -> Section:
    """Return the casing strings to have, what rounding and uniformity cost, and which casing is ``lost`` in the ground.

    In short without how the sizes were chosen.
    """
    rows = tuple(
        (
            string.name,
            outside_and_wall(string),
            number(string.length_m, "m"),
            number(string.needed_m, "m"),
            str(string.uses),
            _made_of(string),
            str(string.splices),
            number(string.to_get_m, "m") if string.to_get_m > 0 else "-",
        )
        for string in yard.strings
    )
    return section(STRINGS, TextTable(_STRING_HEADS, rows, (2, 3, 4, 6, 7)), *map(Paragraph, (*_yard_words(yard, short=short), lost)))


def _made_of(string: YardString) -> str:
    pieces = " + ".join(number(piece, "m") for piece in string.pieces_m)
    return {"yard": f"yard {pieces}", "yard and new": f"yard and new, {pieces}", "new": "new"}[string.origin]


def _yard_words(yard: Yard, *, short: bool) -> list[str]:
    """Describe what is to be got, what rounding and uniformity cost, and how long a string stays in the ground."""
    if not yard.strings:
        return ["No temporary casing is needed."]
    had = (
        f"{how_many(yard.sizes, 'size')} and {number(yard.metres_m, 'm')} of strings; {least_sizes(yard)}, and with so many at least "
        f"{number(yard.least_m, 'm')} stand at once. To buy or rent: {number(yard.to_get_m, 'm')}, {number(yard.to_get_kg, 'kg')}."
    )
    longest = f"The longest time of a string in the ground is {number(yard.longest_residence_h, 'h')}, nights included."
    return [had, *_rounding_words(yard), longest, *_cut_words(yard), *(() if short else yard.said)]


def _rounding_words(yard: Yard) -> list[str]:
    """Describe what rounding up and fewer sizes cost; nothing of what would be written as nothing."""
    found = []
    if yard.rounding_m >= SAME_LENGTH_M:
        cost = f"{number(yard.rounding_m, 'm')} of casing, {number(yard.rounding_kg, 'kg')}"
        found.append(f"Rounding up to trade and stock lengths costs {cost}.")
    if yard.larger_m3 >= _LEAST_M3:
        larger = f"{number(yard.larger_m3, 'm3')} in all, against sizes for each shaft alone"
        found.append(f"Choosing sizes for the whole site makes holes larger by {larger}; the sums have it.")
    return found


def _cut_words(yard: Yard) -> list[str]:
    """Describe which pieces of the yard are cut for which strings; nothing where all stay whole."""
    cuts = [(part, string.name) for string in yard.strings for part in string.cuts]
    if not cuts:
        return []
    words = [f"{number(part.length_m, 'm')} of a piece of {number(part.of_m, 'm')} for {name}" for part, name in cuts]
    return [f"Cut in the yard: {'; '.join(words)}. What is cut off and serves no string stays in the yard."]


def least_sizes(yard: Yard) -> str:
    """Return the least number of sizes with which the shafts can be built."""
    return f"no choice has fewer than {yard.least_sizes}"


def hours(takeoff: Takeoff) -> Section:
    """Return the hours of each shaft, neighbours that are the same in one row, and their sum; nothing where no shaft is built."""
    rows = takeoff.hours
    if not rows:
        return section("")
    return section(
        HOURS_TITLE,
        TextTable(_HOUR_HEADS, tuple(_hour_rows(rows)), tuple(range(1, 9))),
        Paragraph("Cage: with cleaning the base. Pour: with pulling the casing."),
        *map(Paragraph, hours_in_all(takeoff)),
    )


def hours_in_all(takeoff: Takeoff) -> Iterator[str]:
    """Describe the hours over all shafts, by whose rates, and why they are more than those of the shifts where they are."""
    rows, shifts_h = takeoff.hours, takeoff.calendar.on_site_h.likely
    total = sum(row.total.likely * row.count for row in rows)
    overlap = f"; {shifts_that_hold(shifts_h)}" if total > shifts_h + SAME_H else ""
    priced = " All of them are priced." if overlap and takeoff.cost is not None else ""
    yield f"{total:,.0f} h over all shafts, {_by_whose_rates(rows)}{overlap}.{priced}"
    yield hours_without_rate(rows)


def _by_whose_rates(rows: Sequence[HoursRow]) -> str:
    if not all(row.by_rates for row in rows):
        return "planning hours of this tool's own; give 'rates:' for yours"
    return "in part by your rates, in part by planning hours" if any(row.lacking for row in rows) else "by your rates"


def hours_without_rate(rows: Sequence[HoursRow]) -> str:
    """Describe the work whose hours are planning hours for want of a rate, nothing where each has one."""
    lacking = dict.fromkeys(name for row in rows for name in row.lacking)
    return f"Planning hours of this tool's own stand in for these rates: {'; '.join(lacking)}." if lacking else ""


def _hour_rows(rows: Sequence[HoursRow]) -> list[tuple[str, ...]]:
    cells = [
        (
            _likely_hours(row.drill),
            _likely_hours(row.casing),
            _likely_hours(row.fluid),
            _likely_hours(row.clean, row.cage),
            _likely_hours(row.pour, row.pull),
            _likely_hours(row.move),
            f"{row.total.likely:.1f}",
            "-" if row.total.certain else " to ".join(dict.fromkeys(f"{end:.0f}" for end in (row.total.low, row.total.high))),
        )
        for row in rows
    ]
    table: list[tuple[str, ...]] = []
    first = 0
    for index, row in enumerate(cells):
        if index + 1 == len(cells) or cells[index + 1] != row:
            table.append((rows[first].shaft + (f" to {rows[index].shaft}" if index > first else ""), *row))
            first = index + 1
    return table


def _likely_hours(*amounts: Estimate) -> str:
    return f"{sum(amount.likely for amount in amounts):.1f}"
