"""How a site is told on any page: its borings, sums, clearances, strings, hours and cost, as sentences and rows of tables."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.fluid_window import Writer
from methodpick.plan.result import SUPPORT_SAID
from methodpick.site.result import (
    Assignment,
    CostSheet,
    Estimate,
    HoursRow,
    ShaftTakeoff,
    SitePlan,
    TakeoffLine,
    TotalLine,
    Yard,
    YardString,
)

MOST_NAMES = 6
BORING_HEADS = ("shaft", "boring", "away", "ground", "method", "other borings")
BORING_KEY = (
    "Ground: how far the ground at the shaft lies above (+) or below (-) that at the boring; where both levels are known, "
    "layers and water are set over by elevation."
)
TOTAL_HEADS = ("item", "likely", "low to high", "pay")
YARD_HEADS = ("", "outside x wall", "length", "needed", "uses", "made of", "joints", "to get")
HOURS_HEADS = ("shaft", "drill", "case", "fluid", "cage", "pour", "move", "all", "range")
HOURS_KEY = "Cage: with cleaning the base. Pour: with pulling the casing."
COST_HEADS = ("", "low", "likely", "high", "from")


def some(names: Sequence[str]) -> str:
    """Write names, the first few and how many more.

    >>> some(["A", "B"]), some(list("ABCDEFGH"))
    ('A, B', 'A, B, C, D, E, F and 2 more')
    """
    return ", ".join(names[:MOST_NAMES]) + (f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else "")


def boring_rows(planned: SitePlan, pen: Writer) -> list[tuple[str, ...]]:
    """Return which boring decided for each shaft, for :data:`BORING_HEADS`."""
    methods = {one.id: one.method for one in planned.plan.shafts}
    return [
        (one.shaft, one.boring, pen.n(one.distance_m, "m"), _level(one, pen), SUPPORT_SAID[methods[one.shaft]], _others(one, pen))
        for one in planned.assignments
    ]


def _level(one: Assignment, pen: Writer) -> str:
    if one.level_m is None:
        return "-"
    return ("+" if one.level_m > 0 else "") + pen.n(one.level_m, "m")


def _others(one: Assignment, pen: Writer) -> str:
    return ", ".join(
        f"{other.boring} {SUPPORT_SAID[other.method]}, {pen.n(other.distance_m, 'm')}"
        for other in one.weighed
        if other.boring != one.boring and other.method
    )


def ways(planned: SitePlan) -> list[str]:
    """Describe how the borings were chosen, and for which shafts."""
    return [
        f"By {way}: {some([one.shaft for one in planned.assignments if one.said == way])}."
        for way in dict.fromkeys(one.said for one in planned.assignments)
    ]


def flags(planned: SitePlan) -> list[str]:
    """Describe what speaks against the boring of a shaft, alike flags together."""
    found: dict[str, list[str]] = {}
    for one in planned.assignments:
        for flag in one.flags:
            if flag.severity == "caution":
                found.setdefault(flag.text, []).append(one.shaft)
    return [f"{some(shafts)}: {text}" for text, shafts in found.items()]


def total_rows(totals: Sequence[TotalLine], pen: Writer) -> list[tuple[str, ...]]:
    """Return the sums over the site, for :data:`TOTAL_HEADS`."""
    return [(one.item, pen.n(one.amount.likely, one.unit), ends(one.amount, one.unit, pen), one.pay) for one in totals]


def ends(amount: Estimate, unit: str, pen: Writer) -> str:
    """Write the ends of a range without their unit, nothing where it is certain."""
    if amount.certain:
        return ""
    return f"{pen.n(amount.low, unit).split(' ')[0]} to {pen.n(amount.high, unit).split(' ')[0]}"


def site_words(lines: Sequence[TakeoffLine]) -> list[str]:
    """Describe how the lines of the site as a whole come about."""
    return [f"{line.item}: {line.formula} ({line.source})." for line in lines if line.source]


def clearances(shafts: Sequence[ShaftTakeoff]) -> list[tuple[bool, str]]:
    """Return whether the cages fit, alike checks together; the first of each pair tells whether it does for certain."""
    found: dict[tuple[str, str, bool | None, str], list[str]] = {}
    for shaft in shafts:
        for check in shaft.checks:
            found.setdefault((check.item, check.text, check.fits, check.source), []).append(shaft.shaft)
    said = []
    for (item, text, fits, source), names in found.items():
        word = "not known" if fits is None else "fits" if fits else "DOES NOT FIT"
        said.append((bool(fits), f"{item}, {word}: {text} ({source}; {some(names)})"))
    return said


def yard_rows(one: Yard, pen: Writer) -> list[tuple[str, ...]]:
    """Return the strings to have, for :data:`YARD_HEADS`."""
    return [
        (
            string.name,
            f"{pen.n(string.outside_diameter_m, 'size')} x {pen.n(string.wall_m, 'wall')}",
            pen.n(string.length_m, "m"),
            pen.n(string.needed_m, "m"),
            str(string.uses),
            _made(string, pen),
            str(string.splices),
            pen.n(string.to_get_m, "m") if string.to_get_m > 0 else "-",
        )
        for string in one.strings
    ]


def _made(string: YardString, pen: Writer) -> str:
    pieces = " + ".join(pen.n(piece, "m") for piece in string.pieces_m)
    return {"yard": f"yard {pieces}", "yard and new": f"yard and new, {pieces}", "new": "new"}[string.origin]


def yard_words(one: Yard, pen: Writer) -> list[str]:
    """Describe what rounding and uniformity cost, and the beat of the work."""
    if not one.strings:
        return ["No temporary casing is needed."]
    had = (
        f"{one.sizes} sizes and {pen.n(one.metres_m, 'm')} of strings; no choice has fewer than {one.least_sizes} sizes, and with so "
        f"many at least {pen.n(one.least_m, 'm')} stand at once. To buy or rent: {pen.n(one.to_get_m, 'm')}, "
        f"{pen.n(one.to_get_kg, 'kg')}."
    )
    rounded = (
        f"Rounding up to trade and stock lengths costs {pen.n(one.rounding_m, 'm')} of casing, {pen.n(one.rounding_kg, 'kg')}; "
        f"using fewer sizes than planned makes holes larger by {pen.n(one.larger_m3, 'm3')} in all, to dig and to fill."
    )
    beat = f"A shaft every {one.interval_h:.1f} h of work; the longest time of a string in the ground is {one.longest_residence_h:.1f} h."
    return [had, rounded, beat, *one.said]


def hours_rows(rows: Sequence[HoursRow]) -> list[tuple[str, ...]]:
    """Return the hours of each shaft, neighbours that are alike in one row, for :data:`HOURS_HEADS`."""
    cells = [
        (
            _short(one.drill),
            _short(one.casing),
            _short(one.fluid),
            _short(one.clean, one.cage),
            _short(one.pour, one.pull),
            _short(one.move),
            f"{one.total.likely:.1f}",
            f"{one.total.low:.0f} to {one.total.high:.0f}",
        )
        for one in rows
    ]
    table: list[tuple[str, ...]] = []
    first = 0
    for index, row in enumerate(cells):
        if index + 1 == len(cells) or cells[index + 1] != row:
            table.append((rows[first].shaft + (f" to {rows[index].shaft}" if index > first else ""), *row))
            first = index + 1
    return table


def _short(*amounts: Estimate | None) -> str:
    known = [one.likely for one in amounts if one is not None]
    return f"{sum(known):.1f}" + ("" if len(known) == len(amounts) else "?") if known else "?"


def hours_sum(rows: Sequence[HoursRow]) -> str:
    """State the hours over all shafts, and by whose rates."""
    total = sum(one.total.likely * one.count for one in rows)
    by = "by your rates" if all(one.by_rates for one in rows) else "planning hours of this tool's own; give 'rates:' for yours"
    return f"{total:,.0f} h over all shafts, {by}."


def cost_title(sheet: CostSheet) -> str:
    """Name the cost with its currency."""
    return f"Cost, {sheet.currency}" if sheet.currency else "Cost, in the currency of your rates"


def cost_rows(sheet: CostSheet) -> list[tuple[str, ...]]:
    """Return the lines of cost and their sum, for :data:`COST_HEADS`."""
    return [*((one.item, *_money(one.amount), one.formula) for one in sheet.lines), ("all that is priced", *_money(sheet.total), "")]


def _money(amount: Estimate) -> tuple[str, str, str]:
    return f"{amount.low:,.0f}", f"{amount.likely:,.0f}", f"{amount.high:,.0f}"


def not_priced(sheet: CostSheet) -> str:
    """Describe what has no rate, nothing where all has."""
    return f"Not priced, for want of a rate: {'; '.join(sheet.lacking)}." if sheet.lacking else ""
