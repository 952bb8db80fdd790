"""The sheet of bid items: quantity, cost, price and amount of each, and what it carries."""

from __future__ import annotations

from methodpick.site.bid_result import BidItem, BidSheet
from methodpick.site.estimate import Estimate
from methodpick.tables.cells import Cell, MissingCell, NumberCell, SheetColumn, SheetNumbers, Worksheet


def bid_table(bid: BidSheet, numbers: SheetNumbers) -> Worksheet:
    """Return the bid items as typed cells, their sum in the last row; money that lacks a rate is an empty cell, marked."""
    columns = (
        SheetColumn("item", width=34),
        SheetColumn("unit", width=8),
        SheetColumn("quantity", width=12),
        SheetColumn("unit price", bid.currency, 14),
        *(SheetColumn(f"{end} amount", bid.currency, 14) for end in ("low", "likely", "high")),
        SheetColumn("likely cost", bid.currency, 14),
        SheetColumn("without a rate", width=30),
        SheetColumn("carries", width=50),
        SheetColumn("from", width=40),
    )
    rows = [_row(item, bid, numbers) for item in bid.items]
    if bid.amount is not None and bid.cost is not None:
        ends = tuple(NumberCell(value, 0) for value in (bid.amount.low, bid.amount.likely, bid.amount.high))
        name = "sum, incomplete" if bid.lacking else "sum"
        rows.append((name, "", None, None, *ends, NumberCell(bid.cost.likely, 0), "; ".join(bid.lacking), "", ""))
    notes = (f"Items and where lengths begin: {bid.source} ({bid.confidence}, {bid.origin}).", *bid.notes)
    carried = tuple(f"Not paid by itself: {what}, in the {where}." for what, where in bid.incidental)
    return Worksheet("bid_items", "Bid items", columns, tuple(rows), (*notes, *carried))


def _row(item: BidItem, bid: BidSheet, numbers: SheetNumbers) -> tuple[Cell, ...]:
    unit = item.unit
    quantity = None if item.quantity is None else numbers.cell(item.quantity, unit) if unit != "1" else NumberCell(item.quantity, 0)
    price: Cell = None
    if bid.amount is not None:
        price = MissingCell() if item.price is None or item.lacking else NumberCell(item.price.likely * numbers.cell_factor(unit), 2)
    return (
        numbers.text(item.name),
        numbers.cell_unit(unit) or "1",
        quantity if quantity is not None or bid.amount is None else MissingCell(),
        price,
        *_ends(item.amount, missing=bool(item.lacking)),
        None if item.cost is None else NumberCell(item.cost.likely, 0),
        "; ".join(item.lacking),
        "; ".join(item.covers),
        numbers.text(item.formula),
    )


def _ends(amount: Estimate | None, *, missing: bool) -> tuple[Cell, Cell, Cell]:
    if missing:
        return MissingCell(), MissingCell(), MissingCell()
    if amount is None:
        return None, None, None
    return NumberCell(amount.low, 0), NumberCell(amount.likely, 0), NumberCell(amount.high, 0)
