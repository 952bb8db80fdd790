"""Casing strings, hours and cost on the page."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.report.voice import Voice
from methodpick.site.result import CostSheet, HoursRow, Range, Yard, YardString


def yard(one: Yard, voice: Voice) -> None:
    """Write the strings to have, what is at hand, and what rounding and uniformity cost."""
    voice.head("Casing strings and the yard")
    if not one.strings:
        voice.say("No temporary casing is needed.")
        return
    rows = [(string.name, f"{voice.n(string.outside_diameter_m, 'size')} x {voice.n(string.wall_m, 'wall')}", voice.n(string.length_m, "m"),
             voice.n(string.needed_m, "m"), str(string.uses), _made(string, voice), str(string.splices),
             voice.n(string.to_get_m, "m") if string.to_get_m > 0 else "-") for string in one.strings]
    voice.table(("", "outside x wall", "length", "needed", "uses", "made of", "joints", "to get"), rows, right=(2, 3, 4, 6, 7))
    voice.say(f"{one.sizes} sizes and {voice.n(one.metres_m, 'm')} of strings; no choice has fewer than {one.least_sizes} sizes, "
              f"and with so many at least {voice.n(one.least_m, 'm')} stand at once. To buy or rent: {voice.n(one.to_get_m, 'm')}, "
              f"{voice.n(one.to_get_kg, 'kg')}.")
    voice.say(f"Rounding up to trade and stock lengths costs {voice.n(one.rounding_m, 'm')} of casing, {voice.n(one.rounding_kg, 'kg')}; "
              f"using fewer sizes than planned makes holes larger by {voice.n(one.larger_m3, 'm3')} in all, to dig and to fill.")
    voice.say(f"A shaft every {one.interval_h:.1f} h of work; the longest time of a string in the ground is "
              f"{one.longest_residence_h:.1f} h.")
    for text in one.said:
        voice.say(text)


def _made(string: YardString, voice: Voice) -> str:
    pieces = " + ".join(voice.n(piece, "m") for piece in string.pieces_m)
    return {"yard": f"yard {pieces}", "yard and new": f"yard and new, {pieces}", "new": "new"}[string.origin]


def hours(rows: Sequence[HoursRow], voice: Voice) -> None:
    """Write the hours of each shaft, likely, and their sum as a range; neighbours that are alike stand in one row."""
    voice.head("Hours of each shaft, likely")
    cells = [(_short(one.drill), _short(one.casing), _short(one.fluid), _short(one.clean, one.cage), _short(one.pour, one.pull),
              _short(one.move), f"{one.total.likely:.1f}", f"{one.total.low:.0f} to {one.total.high:.0f}") for one in rows]
    table: list[tuple[str, ...]] = []
    first = 0
    for index, row in enumerate(cells):
        if index + 1 == len(cells) or cells[index + 1] != row:
            name = rows[first].shaft + (f" to {rows[index].shaft}" if index > first else "")
            table.append((name, *row))
            first = index + 1
    voice.table(("shaft", "drill", "case", "fluid", "cage", "pour", "move", "all", "range"), table, right=range(1, 9))
    voice.say("Cage: with cleaning the base. Pour: with pulling the casing.")
    total = sum(one.total.likely * one.count for one in rows)
    by = "by your rates" if all(one.by_rates for one in rows) else "planning hours of this tool's own; give 'rates:' for yours"
    voice.say(f"{total:,.0f} h over all shafts, {by}.")


def _short(*amounts: Range | None) -> str:
    known = [one.likely for one in amounts if one is not None]
    return f"{sum(known):.1f}" + ("" if len(known) == len(amounts) else "?") if known else "?"


def _money(amount: Range) -> tuple[str, str, str]:
    return f"{amount.low:,.0f}", f"{amount.likely:,.0f}", f"{amount.high:,.0f}"


def cost(sheet: CostSheet | None, voice: Voice) -> None:
    """Write the cost, where rates are given."""
    if sheet is None:
        return
    voice.head(f"Cost, {sheet.currency}" if sheet.currency else "Cost, in the currency of your rates")
    rows = [(one.item, *_money(one.amount), one.formula) for one in sheet.lines]
    rows.append(("all that is priced", *_money(sheet.total), ""))
    voice.table(("", "low", "likely", "high", "from"), rows, right=(1, 2, 3))
    if sheet.lacking:
        voice.say(f"Not priced, for want of a rate: {'; '.join(sheet.lacking)}.")
