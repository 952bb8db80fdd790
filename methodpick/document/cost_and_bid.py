"""Cost by the reader's rates, and bid items with their prices: what has no rate is named, and is no price of nothing."""

from __future__ import annotations

from functools import reduce

from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.site.estimate import BidItem, BidSheet, CostSheet, Estimate, UnpricedLine
from methodpick.terms import CONFIDENCE_WORDS
from methodpick.unit_markup import bare_number, number, unit_name


def cost(sheet: CostSheet, *, short: bool = False) -> Section:
    """Return the lines of cost and their sum, and what has no rate; in short without how they come about, and what is small together."""
    small = [line for line in sheet.lines if short and line.amount.high < SMALL_SHARE * sheet.total.likely]
    small = small if len(small) > FEW_LINES else []
    rows = [(line.item, *_money(line.amount), line.formula) for line in sheet.lines if line not in small]
    if small:
        rest = reduce(Estimate.plus, (line.amount for line in small))
        rows.append((f"{len(small)} lines of less than {SMALL_SHARE:.0%} each", *_money(rest), ""))
    rows += [(line.item, "?", "?", "?", f"{quantity_words(line)}, no rate '{line.rate}'") for line in sheet.unpriced]
    rows.append((total_name(sheet), *_money(sheet.total), ""))
    heads = ("", "low", "likely", "high", *(() if short else ("from",)))
    return section(
        f"Cost, {sheet.currency}" if sheet.currency else "Cost, in the currency of your rates",
        TextTable(heads, tuple(row[: len(heads)] for row in rows), (1, 2, 3)),
        Paragraph(not_priced(sheet)),
    )


SMALL_SHARE, FEW_LINES = 0.01, 3
"""Share of the likely total below which lines of cost stand together on the short page, where there are more than so few."""


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
