"""The takeoff of a site: every line, the sums, whether cages fit, casing strings, hours, cost, bid items and notes."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.calendar import calendar_in_short
from methodpick.document.casings_and_concrete import outside_and_wall
from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.document.site import first_names
from methodpick.plan.result import ShaftPlan
from methodpick.site.estimate import BidItem, BidSheet, CostSheet, Estimate, HoursRow, UnpricedLine
from methodpick.site.result import ShaftTakeoff, Takeoff, TakeoffLine, TotalLine, Yard, YardString
from methodpick.terms import CONFIDENCE_WORDS, SUPPORT_NAMES
from methodpick.unit_markup import SAME_LENGTH_M, bare_number, how_many, number, unit_name

_STRING_HEADS = ("", "outside x wall", "length", "needed", "uses", "made of", "joints", "to get")
_LEAST_M3 = 0.05
"""Less than this of a volume would be written as nothing."""
_HOUR_HEADS = ("shaft", "drill", "case", "fluid", "cage", "pour", "move", "all", "range")

SUMS, STRINGS, HOURS = "Sums over the site", "Casing strings and the yard", "Hours of each shaft, likely"
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


def taken_off(takeoff: Takeoff, *, short: bool = False) -> list[Section]:
    """Return the sections over the whole site: sums, clearances, strings, hours, calendar, cost, bid items, notes.

    In short the sums and the cost stand without how they come about, and of the cages that fit how many do.
    """
    sections = [
        *not_counted(takeoff.site.plan.shafts),
        sums(takeoff.totals, () if short else takeoff.site_lines, pay_apart=short),
        clearances(takeoff.shafts, short=short),
        strings(takeoff.yard),
        hours(takeoff.hours),
        calendar_in_short(takeoff.calendar),
    ]
    if takeoff.cost is not None:
        sections.append(cost(takeoff.cost, short=short))
    if takeoff.bid is not None:
        sections.append(bid_items(takeoff.bid))
    return [*sections, section("Notes on the takeoff", Items(takeoff.notes))]


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


def strings(yard: Yard) -> Section:
    """Return the casing strings to have, and what rounding and uniformity cost."""
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
    return section(STRINGS, TextTable(_STRING_HEADS, rows, (2, 3, 4, 6, 7)), *map(Paragraph, _yard_words(yard)))


def _made_of(string: YardString) -> str:
    pieces = " + ".join(number(piece, "m") for piece in string.pieces_m)
    return {"yard": f"yard {pieces}", "yard and new": f"yard and new, {pieces}", "new": "new"}[string.origin]


def _yard_words(yard: Yard) -> list[str]:
    """Describe what is to be got, what rounding and uniformity cost, and how long a string stays in the ground."""
    if not yard.strings:
        return ["No temporary casing is needed."]
    had = (
        f"{how_many(yard.sizes, 'size')} and {number(yard.metres_m, 'm')} of strings; {least_sizes(yard)}, and with so many at least "
        f"{number(yard.least_m, 'm')} stand at once. To buy or rent: {number(yard.to_get_m, 'm')}, {number(yard.to_get_kg, 'kg')}."
    )
    longest = f"The longest time of a string in the ground is {number(yard.longest_residence_h, 'h')}, nights included."
    return [had, *_rounding_words(yard), longest, *_cut_words(yard), *yard.said]


def _rounding_words(yard: Yard) -> list[str]:
    """Describe what rounding up and fewer sizes cost; nothing of what would be written as nothing."""
    found = []
    if yard.rounding_m >= SAME_LENGTH_M:
        cost = f"{number(yard.rounding_m, 'm')} of casing, {number(yard.rounding_kg, 'kg')}"
        found.append(f"Rounding up to trade and stock lengths costs {cost}.")
    if yard.larger_m3 >= _LEAST_M3:
        found.append(f"Using fewer sizes than planned makes holes larger by {number(yard.larger_m3, 'm3')} in all, to dig and to fill.")
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


def hours(rows: Sequence[HoursRow]) -> Section:
    """Return the hours of each shaft, neighbours that are the same in one row, and their sum; nothing where no shaft is built."""
    if not rows:
        return section("")
    total = sum(row.total.likely * row.count for row in rows)
    return section(
        HOURS,
        TextTable(_HOUR_HEADS, tuple(_hour_rows(rows)), tuple(range(1, 9))),
        Paragraph("Cage: with cleaning the base. Pour: with pulling the casing."),
        Paragraph(f"{total:,.0f} h over all shafts, {_by_whose_rates(rows)}."),
        Paragraph(hours_without_rate(rows)),
    )


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


def cost(sheet: CostSheet, *, short: bool = False) -> Section:
    """Return the lines of cost and their sum, and what has no rate; in short without how they come about."""
    rows = [(line.item, *_money(line.amount), line.formula) for line in sheet.lines]
    rows += [(line.item, "?", "?", "?", f"{quantity_words(line)}, no rate '{line.rate}'") for line in sheet.unpriced]
    rows.append((total_name(sheet), *_money(sheet.total), ""))
    heads = ("", "low", "likely", "high", *(() if short else ("from",)))
    return section(
        f"Cost, {sheet.currency}" if sheet.currency else "Cost, in the currency of your rates",
        TextTable(heads, tuple(row[: len(heads)] for row in rows), (1, 2, 3)),
        Paragraph(not_priced(sheet)),
    )


def _money(amount: Estimate) -> tuple[str, str, str]:
    return f"{amount.low:,.0f}", f"{amount.likely:,.0f}", f"{amount.high:,.0f}"


def total_name(sheet: CostSheet) -> str:
    """Return the name of the sum of a cost, which says whether anything is missing in it."""
    return "total, incomplete" if sheet.unpriced else "total"


def quantity_words(line: UnpricedLine) -> str:
    """Return the quantity of a line without a price, its likely value."""
    if line.unit == "m d":
        return f"{number(line.quantity.likely, 'm')} for a day"
    return number(line.quantity.likely, line.unit) if line.unit != "1" else f"{line.quantity.likely:.0f}"


def not_priced(sheet: CostSheet) -> str:
    """Describe what is missing in the total for want of a rate, nothing where all is priced."""
    if not sheet.unpriced:
        return ""
    wanted = dict.fromkeys(f"{line.item} (rate '{line.rate}')" for line in sheet.unpriced)
    return f"The total is incomplete, without: {'; '.join(wanted)}."


FROM_WORDS = {"ground": "the ground", "drilling_grade": "the drilling grade", "cutoff": "the cut-off"}


def bid_items(bid: BidSheet) -> Section:
    """Return the items with quantity, unit price and amount; an amount that lacks a rate has a plus behind it."""
    priced = bid.amount is not None
    heads = ("item", "quantity", "unit price", "amount", "low to high") if priced else ("item", "quantity", "from")
    rows = [_row(item, priced=priced) for item in bid.items]
    if bid.amount is not None:
        rows.append(("sum" + (", incomplete" if bid.lacking else ""), "", "", f"{bid.amount.likely:,.0f}", _span(bid.amount)))
    return section(
        f"Bid items, {bid.currency}" if priced and bid.currency else "Bid items",
        TextTable(heads, tuple(rows), (1, 2, 3, 4) if priced else (1,)),
        Paragraph(_basis(bid)),
        Paragraph(_markup_words(bid)),
        Paragraph(f"The sum is incomplete, without: {'; '.join(bid.lacking)}." if bid.lacking else ""),
        Paragraph(incidental(bid)),
        Items(bid.notes),
    )


def _row(item: BidItem, *, priced: bool) -> tuple[str, ...]:
    quantity = "as bid" if item.quantity is None else number(item.quantity, item.unit) if item.unit != "1" else f"{item.quantity:g}"
    if not priced:
        return item.name, quantity, item.formula
    name = f"{item.name} (provisional)" if item.provisional else item.name
    more = " +" if item.lacking else ""
    unpriced = bool(item.lacking) and (item.amount is None or item.amount.high <= 0)
    price = "?" if item.price is None or unpriced else _price(item.price.likely, item.unit) + more
    if item.amount is None or unpriced:
        return name, quantity, price, "-" if item.quantity is None else "?", ""
    return name, quantity, price, f"{item.amount.likely:,.0f}{more}", _span(item.amount)


def _price(value: float, unit: str) -> str:
    """Return the price of a unit; in the reader's own where that is a length or a volume."""
    if unit in {"m", "m3"}:
        return f"{bare_number(value, f'/{unit}')} /{unit_name(unit)}"
    return f"{value:,.2f}" + ("" if unit == "1" else f" /{unit}")


def _span(amount: Estimate) -> str:
    return "" if amount.certain else f"{amount.low:,.0f} to {amount.high:,.0f}"


def _basis(bid: BidSheet) -> str:
    by = "usual items" if bid.origin == "base" else f"items of {bid.origin}"
    return f"Lengths are measured from {FROM_WORDS[bid.measured_from]} to the tip; {by} ({bid.source}; {CONFIDENCE_WORDS[bid.confidence]})."


def _markup_words(bid: BidSheet) -> str:
    """Describe what stands on top of the cost, nothing where nothing does."""
    if bid.cost is None or (bid.overhead_percent is None and bid.margin_percent is None):
        return ""
    return (
        f"Cost {bid.cost.likely:,.0f}, overhead {bid.overhead_percent or 0:g} % of it, margin {bid.margin_percent or 0:g} % of both. Every "
        "item carries its own cost; none is loaded for another."
    )


def incidental(bid: BidSheet) -> str:
    """Describe what no item measures, by the item that carries it; nothing where all is measured."""
    carried: dict[str, list[str]] = {}
    for what, where in bid.incidental:
        carried.setdefault(where, []).append(what)
    return " ".join(f"In the {where}, and not paid by itself: {', '.join(what)}." for where, what in carried.items())
