"""The sheet of bid items: quantity, cost, price and amount of each, worked out from the sheet of cost, with overhead and margin to set."""

from __future__ import annotations

from methodpick.site.bid_result import BidItem, BidSheet
from methodpick.site.estimate import NOTHING, Estimate
from methodpick.tables.cells import (
    Cell,
    CellRange,
    CellRef,
    FormulaCell,
    MissingCell,
    NumberCell,
    SheetColumn,
    SheetNumbers,
    SheetRow,
    Worksheet,
)
from methodpick.tables.cost import COST_AMOUNT, COST_NAME

BID_NAME = "bid_items"
_QUANTITY, _PRICE, _AMOUNT, _COST = 2, 3, 4, 7
"""Columns of the quantity and the unit price, and the first of three of amount and cost: low, likely, high."""
LIVE = "Amounts follow the sheet of cost, and so every factor; the share of each line of cost that an item carries stays as it is here."


def bid_table(bid: BidSheet, numbers: SheetNumbers) -> Worksheet:
    """Return the bid items, their sum, and overhead and margin; an item in which a rate is missing says so in its name."""
    ends = ("low", "likely", "high")
    columns = (
        SheetColumn("item", width=40),
        SheetColumn("unit", width=8),
        SheetColumn("quantity", width=12),
        SheetColumn("unit price", bid.currency, 14),
        *(SheetColumn(f"{end} amount", bid.currency, 14) for end in ends),
        *(SheetColumn(f"{end} cost", bid.currency, 14) for end in ends),
        SheetColumn("without a rate", width=30),
        SheetColumn("carries", width=50),
        SheetColumn("from", width=40),
    )
    rows = [_row(row, item, bid, numbers) for row, item in enumerate(bid.items)]
    if bid.amount is not None and bid.cost is not None:
        rows += [_sum(bid, bid.amount, bid.cost), *_on_top(bid)]
    notes = (f"Items and where lengths begin: {bid.source} ({bid.confidence}, {bid.origin}).", *bid.notes)
    carried = tuple(f"Not paid by itself: {what}, in the {where}." for what, where in bid.incidental)
    return Worksheet(BID_NAME, "Bid items", columns, tuple(rows), (*notes, *carried, *((LIVE,) if bid.amount is not None else ())))


def _row(row: int, item: BidItem, bid: BidSheet, numbers: SheetNumbers) -> SheetRow:
    unit, priced = item.unit, bid.amount is not None
    quantity: Cell = MissingCell() if priced else None
    if item.quantity is not None:
        quantity = numbers.cell(item.quantity, unit) if unit != "1" else NumberCell(item.quantity, 0)
    name = f"{item.name}, incomplete" if item.lacking else item.name
    return (
        numbers.text(name),
        numbers.cell_unit(unit) or "1",
        quantity,
        _price(row, item, numbers) if priced else None,
        *(_amounts(row, item, bid) if priced else (None,) * 3),
        *(_costs(item) if priced else (None,) * 3),
        "; ".join(item.lacking),
        "; ".join(item.covers),
        numbers.text(item.formula),
    )


def _price(row: int, item: BidItem, numbers: SheetNumbers) -> Cell:
    """Return the price of one unit: of an item that nobody can take off its own, else its amount by its quantity."""
    if item.price is None:
        return MissingCell()
    value = item.price.likely * numbers.cell_factor(item.unit)
    if item.provisional:
        return NumberCell(value, 2)
    return FormulaCell(value, (CellRef(BID_NAME, row, _AMOUNT + 1), "/", CellRef(BID_NAME, row, _QUANTITY)), 2)


def _amounts(row: int, item: BidItem, bid: BidSheet) -> tuple[Cell, ...]:
    """Return low, likely and high: the cost with overhead and margin on top, a provisional item its quantity at its price."""
    if item.provisional:
        if item.price is None:
            return (MissingCell(),) * 3
        price, quantity = item.price, CellRef(BID_NAME, row, _QUANTITY)
        factors = (price.low / price.likely, 1.0, price.high / price.likely) if price.likely > 0 else (0.0, 1.0, 0.0)
        return tuple(
            FormulaCell(value, (quantity, "*", CellRef(BID_NAME, row, _PRICE), f"*{factor!r}"), 0)
            for factor, value in zip(factors, _ends(item.amount or NOTHING), strict=True)
        )
    top = len(bid.items) + 1
    overhead, margin = CellRef(BID_NAME, top, _QUANTITY), CellRef(BID_NAME, top + 1, _QUANTITY)
    return tuple(
        FormulaCell(value, (CellRef(BID_NAME, row, _COST + end), "*(1+", overhead, "/100)*(1+", margin, "/100)"), 0)
        for end, value in enumerate(_ends(item.amount or NOTHING))
    )


def _costs(item: BidItem) -> tuple[Cell, ...]:
    """Return the cost that an item carries: its shares in the lines of cost."""
    if item.provisional:
        return (None,) * 3 if item.cost is None else tuple(NumberCell(value, 0) for value in _ends(item.cost))
    made: list[Cell] = []
    for end, value in enumerate(_ends(item.cost or NOTHING)):
        pieces: list[str | CellRef | CellRange] = []
        for place, share in item.shares:
            pieces += ["+" if pieces else "", f"{share!r}*", CellRef(COST_NAME, place, COST_AMOUNT + end)]
        made.append(FormulaCell(value, tuple(piece for piece in pieces if piece != "") or ("0",), 0))
    return tuple(made)


def _sum(bid: BidSheet, amount: Estimate, cost: Estimate) -> SheetRow:
    last = len(bid.items) - 1
    name = "sum, incomplete" if bid.lacking else "sum"
    amounts = (FormulaCell(value, ("SUM(", CellRange(BID_NAME, 0, last, _AMOUNT + end), ")"), 0) for end, value in enumerate(_ends(amount)))
    costs = (FormulaCell(value, ("SUM(", CellRange(BID_NAME, 0, last, _COST + end), ")"), 0) for end, value in enumerate(_ends(cost)))
    return (name, "", None, None, *amounts, *costs, "; ".join(bid.lacking), "", "")


def _on_top(bid: BidSheet) -> tuple[SheetRow, SheetRow]:
    """Return the rows of overhead and margin, which the reader may set."""
    return (
        ("overhead, on the cost", "%", NumberCell(bid.overhead_percent or 0.0, 2, given=True), *(None,) * 7, "", "", ""),
        ("margin, on cost and overhead", "%", NumberCell(bid.margin_percent or 0.0, 2, given=True), *(None,) * 7, "", "", ""),
    )


def _ends(amount: Estimate) -> tuple[float, float, float]:
    return amount.low, amount.likely, amount.high
