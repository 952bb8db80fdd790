"""The cost as a sheet: quantities from the takeoff, prices from the factors, all live."""

from __future__ import annotations

from methodpick.document.takeoff import TOTAL_PRICED, not_priced
from methodpick.site.result import CostLine, Takeoff
from methodpick.tables import takeoff as lines
from methodpick.tables.cells import Cell, CellRange, CellRef, Column, LiveNumber, Number, Sheet, SheetNumbers
from methodpick.tables.factors import Factors, choice

NAME = "cost"
HOURS_ALIKE, HOURS_LOW = 1, 10
"""Columns of the sheet of hours."""
_AMOUNT, _QUANTITY, _PRICE, _TAKEN = 1, 5, 8, 12


def cost_table(takeoff: Takeoff, factors: Factors, numbers: SheetNumbers) -> Sheet | None:
    """Return the cost of what the user's rates price; None where there are none."""
    sheet = takeoff.cost
    if sheet is None:
        return None
    rows: list[tuple[Cell, ...]] = [_line(takeoff, number, one, factors, numbers) for number, one in enumerate(sheet.lines)]
    ends = (sheet.total.low, sheet.total.likely, sheet.total.high)
    total: list[Cell] = [
        LiveNumber(value, ("SUM(", CellRange(NAME, 0, len(rows) - 1, _AMOUNT + end), ")"), 2) for end, value in enumerate(ends)
    ]
    taken = LiveNumber(ends[1], ("SUM(", CellRange(NAME, 0, len(rows) - 1, _TAKEN), ")"), 2)
    rows.append((TOTAL_PRICED, *total, "", *(None,) * 6, "", taken))
    money = sheet.currency or "currency of the rates"
    lacking = (not_priced(sheet),) if sheet.lacking else ()
    ends_said = ("low", "likely", "high")
    return Sheet(
        NAME,
        f"Cost, {numbers.text(money)}",
        (
            Column("item", width=40),
            *(Column(end, width=14) for end in ends_said),
            Column("unit", width=8),
            *(Column(f"quantity, {end}", width=14) for end in ends_said),
            *(Column(f"price, {end}", width=12) for end in ends_said),
            Column("from", width=70),
            Column("taken", width=14, live=True),
        ),
        tuple(rows),
        tuple(map(numbers.text, lacking)),
    )


def _line(takeoff: Takeoff, row: int, one: CostLine, factors: Factors, numbers: SheetNumbers) -> tuple[Cell, ...]:
    amounts = (one.amount.low, one.amount.likely, one.amount.high)
    made: list[Cell] = [
        LiveNumber(value, (CellRef(NAME, row, _QUANTITY + end), "*", CellRef(NAME, row, _PRICE + end)), 2)
        for end, value in enumerate(amounts)
    ]
    quantities = tuple(numbers.cell_value(value, one.unit) for value in (one.quantity.low, one.quantity.likely, one.quantity.high))
    how = [_quantity(takeoff, one, end, value) for end, value in enumerate(quantities)]
    prices = [LiveNumber(factors.value(f"rate {row}", end), (factors.cell(f"rate {row}", end),), 4) for end in range(3)]
    taken = LiveNumber(
        amounts[1],
        (
            *_taken(takeoff, one, row),
            "*CHOOSE(",
            choice("rates"),
            ",",
            CellRef(NAME, row, _PRICE),
            ",",
            CellRef(NAME, row, _PRICE + 1),
            ",",
            CellRef(NAME, row, _PRICE + 2),
            ")",
        ),
        2,
    )
    return (numbers.text(one.item), *made, numbers.cell_unit(one.unit), *how, *prices, numbers.text(one.formula), taken)


def _sums_of(takeoff: Takeoff, one: CostLine) -> list[int]:
    """Return the rows of the takeoff's sums that a line of cost adds up."""
    return [row for row, total in enumerate(takeoff.totals) if total.item in one.of]


def _quantity(takeoff: Takeoff, one: CostLine, end: int, value: float) -> Cell:
    if found := _sums_of(takeoff, one):
        return LiveNumber(value, _plus([CellRef(lines.NAME, row, lines.LOW + end) for row in found]))
    if one.unit == "h" and takeoff.hours:
        last = len(takeoff.hours) - 1
        return LiveNumber(
            value, ("SUMPRODUCT(", CellRange("hours", 0, last, HOURS_ALIKE), "*", CellRange("hours", 0, last, HOURS_LOW + end), ")")
        )
    return Number(value)


def _taken(takeoff: Takeoff, one: CostLine, row: int) -> tuple[str | CellRef | CellRange, ...]:
    if found := _sums_of(takeoff, one):
        return "(", *_plus([CellRef(lines.NAME, total, lines.TAKEN) for total in found]), ")"
    return (
        "CHOOSE(",
        choice("hours"),
        ",",
        CellRef(NAME, row, _QUANTITY),
        ",",
        CellRef(NAME, row, _QUANTITY + 1),
        ",",
        CellRef(NAME, row, _QUANTITY + 2),
        ")",
    )


def _plus(cells: list[CellRef]) -> tuple[str | CellRef, ...]:
    pieces: list[str | CellRef] = []
    for cell in cells:
        pieces += ["+", cell] if pieces else [cell]
    return tuple(pieces)
