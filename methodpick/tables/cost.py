"""The cost as a sheet: quantities from the takeoff, prices from the factors, all live."""

from __future__ import annotations

from methodpick.document.takeoff import not_priced, total_name
from methodpick.site.estimate import NOTHING
from methodpick.site.result import STANDING, CostLine, Takeoff, UnpricedLine
from methodpick.tables.cells import Cell, CellRange, CellRef, FormulaCell, NumberCell, SheetColumn, SheetNumbers, Worksheet
from methodpick.tables.factors import EstimatorFactors, choice
from methodpick.tables.takeoff import LOW, NAME, TAKEN

COST_NAME = "cost"
HOURS_ALIKE, HOURS_LOW = 1, 10
"""Columns of the sheet of hours."""
_ENDS = ("low", "likely", "high")
COST_AMOUNT, _QUANTITY, _PRICE, _TAKEN = 1, 5, 8, 12


def cost_table(takeoff: Takeoff, factors: EstimatorFactors, numbers: SheetNumbers) -> Worksheet | None:
    """Return the cost of what the user's rates price, and of what they do not with cells to fill; None where there are no rates."""
    sheet = takeoff.cost
    if sheet is None:
        return None
    rows: list[tuple[Cell, ...]] = [_line(takeoff, row, line, factors, numbers) for row, line in enumerate(sheet.all_lines)]
    ends = (sheet.total.low, sheet.total.likely, sheet.total.high)
    last = len(rows) - 1
    total: list[Cell] = [
        FormulaCell(value, ("SUM(", CellRange(COST_NAME, 0, last, COST_AMOUNT + end), ")"), 2) for end, value in enumerate(ends)
    ]
    taken = FormulaCell(ends[1], ("SUM(", CellRange(COST_NAME, 0, last, _TAKEN), ")"), 2)
    rows.append((total_name(sheet), *total, "", *(None,) * 6, "", taken))
    columns = (
        SheetColumn("item", width=40),
        *(SheetColumn(end, width=14) for end in _ENDS),
        SheetColumn("unit", width=8),
        *(SheetColumn(f"quantity, {end}", width=14) for end in _ENDS),
        *(SheetColumn(f"price, {end}", width=12) for end in _ENDS),
        SheetColumn("from", width=70),
        SheetColumn("taken", width=14, live=True),
    )
    notes = (numbers.text(not_priced(sheet)),) if sheet.unpriced else ()
    return Worksheet(COST_NAME, f"Cost, {numbers.text(sheet.currency or 'currency of the rates')}", columns, tuple(rows), notes)


def _line(takeoff: Takeoff, row: int, line: CostLine | UnpricedLine, factors: EstimatorFactors, numbers: SheetNumbers) -> tuple[Cell, ...]:
    amount = line.amount if isinstance(line, CostLine) else NOTHING
    amounts = (amount.low, amount.likely, amount.high)
    made: list[Cell] = [
        FormulaCell(value, (CellRef(COST_NAME, row, _QUANTITY + end), "*", CellRef(COST_NAME, row, _PRICE + end)), 2)
        for end, value in enumerate(amounts)
    ]
    values = (numbers.cell_value(value, line.unit) for value in (line.quantity.low, line.quantity.likely, line.quantity.high))
    quantities = [_quantity(takeoff, line, end, value) for end, value in enumerate(values)]
    prices = [FormulaCell(factors.value(f"rate {row}", end), (factors.cell(f"rate {row}", end),), 4) for end in range(3)]
    taken = FormulaCell(amounts[1], (*_quantity_taken(takeoff, line, row), "*", *_chosen("rates", row, _PRICE)), 2)
    unit = numbers.cell_unit(line.unit)
    words = line.formula if isinstance(line, CostLine) else f"no rate '{line.rate}': fill it in on the sheet 'factors'"
    return (numbers.text(line.item), *made, unit, *quantities, *prices, numbers.text(words), taken)


def _sums_of(takeoff: Takeoff, line: CostLine | UnpricedLine) -> list[int]:
    """Return the rows of the takeoff's sums that a line of cost adds up."""
    return [row for row, total in enumerate(takeoff.totals) if total.item in line.of]


def _quantity(takeoff: Takeoff, line: CostLine | UnpricedLine, end: int, value: float) -> Cell:
    if found := _sums_of(takeoff, line):
        return FormulaCell(value, _plus([CellRef(NAME, row, LOW + end) for row in found]))
    if line.item == STANDING:
        standing = (piece for each in range(3) for piece in (",", *_standing(takeoff, each)))
        worst = ("MIN(", "", "MAX(")[end]
        return FormulaCell(value, (worst, *list(standing)[1:], ")") if worst else _standing(takeoff, end))
    if line.unit == "h" and takeoff.hours:
        return FormulaCell(value, _hours_at(takeoff, end))
    return NumberCell(value)


def _hours_at(takeoff: Takeoff, end: int) -> tuple[str | CellRange, ...]:
    last = len(takeoff.hours) - 1
    return "SUMPRODUCT(", CellRange("hours", 0, last, HOURS_ALIKE), "*", CellRange("hours", 0, last, HOURS_LOW + end), ")"


def _standing(takeoff: Takeoff, end: int) -> tuple[str | CellRange, ...]:
    """Return the hours on site by the calendar, which no formula makes anew, less those of the work."""
    on_site = takeoff.calendar.on_site_h
    return f"MAX(0,{(on_site.low, on_site.likely, on_site.high)[end]:.12g}-", *_hours_at(takeoff, end), ")"


def _quantity_taken(takeoff: Takeoff, line: CostLine | UnpricedLine, row: int) -> tuple[str | CellRef | CellRange, ...]:
    """Return the quantity at the end that the estimator takes."""
    if found := _sums_of(takeoff, line):
        return "(", *_plus([CellRef(NAME, total, TAKEN) for total in found]), ")"
    return _chosen("hours", row, _QUANTITY)


def _chosen(key: str, row: int, first: int) -> tuple[str | CellRef, ...]:
    """Return the one of three cells beside each other that a choice of the estimator names."""
    low, likely, high = (CellRef(COST_NAME, row, first + end) for end in range(3))
    return "CHOOSE(", choice(key), ",", low, ",", likely, ",", high, ")"


def _plus(cells: list[CellRef]) -> tuple[str | CellRef, ...]:
    pieces: list[str | CellRef] = []
    for cell in cells:
        pieces += ["+", cell] if pieces else [cell]
    return tuple(pieces)
