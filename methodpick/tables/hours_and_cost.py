"""The sheets of hours and cost: hours, which follow the concrete to order, calendar, cost by prices and factors, and the bid items.

The cost has its quantities from the takeoff and its prices from the factors, and the bid items have their money from the cost, with
overhead and margin to set: all of it live.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from methodpick.document.calendar import calendar_words, strings_of_shafts
from methodpick.document.cost_and_bid import incidental, not_priced, total_name
from methodpick.site.estimate import NOTHING, BidItem, BidSheet, CostLine, CostSheet, Estimate, HoursRow, UnpricedLine
from methodpick.site.result import STANDING, TO_ORDER, CalendarShaft, Takeoff
from methodpick.tables.cells import (
    Cell,
    CellRange,
    CellRef,
    Field,
    FormulaCell,
    MissingCell,
    NumberCell,
    SheetColumn,
    SheetNumbers,
    SheetRow,
    WordsCell,
    Worksheet,
    counted,
    fill,
)
from methodpick.tables.factors import EstimatorFactors, choice
from methodpick.tables.takeoff import LOW, NAME, TAKEN


class _ShaftHours(NamedTuple):
    """The hours of a shaft, with its concrete to order and the row of that in the sheet of the takeoff."""

    row: HoursRow
    order: Estimate
    order_row: int


_KINDS_OF_WORK: tuple[tuple[str, Callable[[HoursRow], Estimate]], ...] = (
    ("drill", lambda row: row.drill),
    ("casing", lambda row: row.casing),
    ("fluid", lambda row: row.fluid),
    ("clean", lambda row: row.clean),
    ("cage", lambda row: row.cage),
    ("pour", lambda row: row.pour),
    ("pull", lambda row: row.pull),
    ("move", lambda row: row.move),
)
LIKELY = 1
"""The place of the likely value between low and high."""


def hours(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return the hours of each shaft by kind of work, likely, and in all; what is poured at a rate follows the concrete to order."""
    fields: tuple[Field[_ShaftHours], ...] = (
        numbers.worded("shaft", lambda shaft: shaft.row.shaft),
        counted("alike", lambda shaft: shaft.row.count),
        *(_hours_of(name, part, numbers) for name, part in _KINDS_OF_WORK),
        Field(SheetColumn("all, low", "h"), partial(_hours_in_all, end=0, numbers=numbers)),
        Field(SheetColumn("all, likely", "h"), partial(_hours_in_all, end=LIKELY, numbers=numbers)),
        Field(SheetColumn("all, high", "h"), partial(_hours_in_all, end=2, numbers=numbers)),
        numbers.worded("by", lambda shaft: "your rates" if shaft.row.by_rates else "planning hours of this tool's own", 40),
    )
    return fill("hours", "Hours of each shaft", fields, _with_orders(takeoff))


def _with_orders(takeoff: Takeoff) -> list[_ShaftHours]:
    """Return the hours of every shaft with the row in which its concrete stands; sums and lines of the site come before."""
    found, row = [], len(takeoff.totals) + len(takeoff.site_lines)
    for shaft, hours_row in zip(takeoff.shafts, takeoff.hours, strict=True):
        place = next(place for place, line in enumerate(shaft.lines) if line.item == TO_ORDER)
        found.append(_ShaftHours(hours_row, shaft.lines[place].amount, row + place))
        row += len(shaft.lines)
    return found


def _hours_of(name: str, part: Callable[[HoursRow], Estimate], numbers: SheetNumbers) -> Field[_ShaftHours]:
    if name == "pour":
        return Field(SheetColumn(name, "h"), lambda shaft: _with_pour(shaft, LIKELY, 0.0, numbers))
    return numbers.measured(name, "h", lambda shaft: part(shaft.row).likely)


def _hours_in_all(shaft: _ShaftHours, *, end: int, numbers: SheetNumbers) -> Cell:
    total, pour = shaft.row.total.ends, shaft.row.pour.ends
    return _with_pour(shaft, end, total[end] - pour[end], numbers)


def _with_pour(shaft: _ShaftHours, end: int, other_h: float, numbers: SheetNumbers) -> Cell:
    """Return the hours of the pour and of other work; the pour follows the order where it goes by a speed of the user's."""
    pour_h, order_m3 = shaft.row.pour.ends[end], shaft.order.ends[end]
    if not shaft.row.by_rates or "pour: speed" in shaft.row.lacking or order_m3 <= 0:
        return NumberCell(other_h + pour_h, 2)
    each_h = pour_h / numbers.cell_value(order_m3, "m3")
    return FormulaCell(other_h + pour_h, (f"{other_h:.12g}+{each_h:.12g}*", CellRef(NAME, shaft.order_row, LOW + end)), 2)


def calendar(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return when each shaft is built, by which rig and with which casing strings, at likely hours."""
    plan, of_shaft = takeoff.calendar, strings_of_shafts(takeoff)
    fields: tuple[Field[CalendarShaft], ...] = (
        numbers.worded("shaft", lambda shaft: shaft.shaft),
        counted("no.", lambda shaft: max(1, shaft.number)),
        counted("rig", lambda shaft: shaft.rig),
        counted("first day", lambda shaft: shaft.first_day),
        counted("last day", lambda shaft: shaft.last_day),
        numbers.worded("begun on", lambda shaft: plan.date_of(shaft.first_day), 12),
        numbers.measured("rig comes", "h", lambda shaft: shaft.begun_h),
        numbers.measured("hole opened", "h", lambda shaft: shaft.opened_h),
        numbers.measured("last cleaning", "h", lambda shaft: shaft.cleaned_h),
        numbers.measured("rig leaves", "h", lambda shaft: shaft.left_h),
        numbers.measured("finished", "h", lambda shaft: shaft.end_h),
        numbers.worded("strings", lambda shaft: ", ".join(of_shaft.get((shaft.shaft, shaft.number), ())), 20),
    )
    notes = ("Hours run on the clock from the morning of the first working day; days are working days.", *calendar_words(plan))
    return fill("calendar", "Calendar", fields, plan.shafts, map(numbers.text, notes))


COST_NAME = "cost"
WITHOUT_RATES = "As written: {words} Fill them in on the sheet 'factors': all that hangs on them follows."
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
        FormulaCell(value, ("SUM(", CellRange(COST_NAME, 0, last, COST_AMOUNT + end), ")"), 2, shown=0) for end, value in enumerate(ends)
    ]
    taken = FormulaCell(ends[1], ("SUM(", CellRange(COST_NAME, 0, last, _TAKEN), ")"), 2)
    name = _until_priced(total_name(replace(sheet, unpriced=())), total_name(sheet), _prices_at(range(len(sheet.lines), last + 1)))
    rows.append((name, *total, "", *(None,) * 6, "", taken))
    columns = (
        SheetColumn("item", width=40),
        *(SheetColumn(end, width=14) for end in _ENDS),
        SheetColumn("unit", width=8),
        *(SheetColumn(f"quantity, {end}", width=14) for end in _ENDS),
        *(SheetColumn(f"price, {end}", width=12) for end in _ENDS),
        SheetColumn("from", width=70),
        SheetColumn("taken", width=14, live=True),
    )
    notes = (numbers.text(WITHOUT_RATES.format(words=not_priced(sheet))),) if sheet.unpriced else ()
    return Worksheet(COST_NAME, f"Cost, {numbers.text(sheet.currency or 'currency of the rates')}", columns, tuple(rows), notes)


def _prices_at(rows: Iterable[int]) -> list[CellRef]:
    """Return the cells of the prices, low, likely and high, in some rows of the cost."""
    return [CellRef(COST_NAME, row, _PRICE + end) for row in rows for end in range(3)]


def _until_priced(done: str, lacking: str, prices: Sequence[CellRef]) -> Cell:
    """Return words that change once every one of some prices is filled in; the first words where there are no such prices."""
    if not prices:
        return done
    quoted = (words.replace('"', '""') for words in (done, lacking))
    pieces = [piece for cell in prices for piece in (",", cell)][1:]
    return WordsCell(lacking, ("IF(MIN(", *pieces, ')>0,"{}","{}")'.format(*quoted)))


def _line(takeoff: Takeoff, row: int, line: CostLine | UnpricedLine, factors: EstimatorFactors, numbers: SheetNumbers) -> tuple[Cell, ...]:
    amount, unknown = (line.amount, False) if isinstance(line, CostLine) else (NOTHING, True)
    amounts = (amount.low, amount.likely, amount.high)
    made: list[Cell] = [
        FormulaCell(value, (CellRef(COST_NAME, row, _QUANTITY + end), "*", CellRef(COST_NAME, row, _PRICE + end)), 2, unknown, shown=0)
        for end, value in enumerate(amounts)
    ]
    values = (numbers.cell_value(value, line.unit) for value in (line.quantity.low, line.quantity.likely, line.quantity.high))
    shown = numbers.shown_digits(line.unit)
    quantities = [replace(_quantity(takeoff, line, end, value), shown=shown) for end, value in enumerate(values)]
    prices = [FormulaCell(factors.value(f"rate {row}", end), (factors.cell(f"rate {row}", end),), 4, unknown) for end in range(3)]
    taken = FormulaCell(amounts[1], (*_quantity_taken(takeoff, line, row), "*", *_chosen("rates", row, _PRICE)), 2, unknown)
    unit = numbers.cell_unit(line.unit)
    words = line.formula if isinstance(line, CostLine) else f"no rate '{line.rate}': fill it in on the sheet 'factors'"
    return (numbers.text(line.item), *made, unit, *quantities, *prices, numbers.text(words), taken)


def _sums_of(takeoff: Takeoff, line: CostLine | UnpricedLine) -> list[int]:
    """Return the rows of the takeoff's sums that a line of cost adds up."""
    return [row for row, total in enumerate(takeoff.totals) if total.item in line.of]


def _quantity(takeoff: Takeoff, line: CostLine | UnpricedLine, end: int, value: float) -> FormulaCell | NumberCell:
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


BID_NAME = "bid_items"
_BID_QUANTITY, _BID_PRICE, _BID_AMOUNT, _BID_COST = 2, 3, 4, 7
"""Columns of the quantity and the unit price, and the first of three of amount and cost: low, likely, high."""
LIVE = "Amounts follow the sheet of cost, and so every factor; the share of each line of cost that an item carries stays as it is here."


def bid_table(bid: BidSheet, numbers: SheetNumbers, cost: CostSheet | None = None) -> Worksheet:
    """Return the bid items, their sum, and overhead and margin; an item in which a rate is missing says so in its name.

    Beside a sheet of ``cost`` it says so until the rate is filled in there.
    """
    ends = ("low", "likely", "high")
    columns = (
        SheetColumn("item", width=40),
        SheetColumn("unit", width=8),
        SheetColumn("quantity", width=12),
        SheetColumn("unit price", bid.currency, 14),
        *(SheetColumn(f"{end} amount", bid.currency, 14) for end in ends),
        *(SheetColumn(f"{end} cost", bid.currency, 14) for end in ends),
        SheetColumn("without a rate of yours", width=30),
        SheetColumn("carries", width=50),
        SheetColumn("from", width=40),
    )
    unpriced = () if cost is None else tuple(range(len(cost.lines), len(cost.all_lines)))
    rows = [_row(row, item, bid, numbers, unpriced) for row, item in enumerate(bid.items)]
    if bid.amount is not None and bid.cost is not None:
        rows += [_sum(bid, bid.amount, bid.cost, unpriced), *_on_top(bid)]
    notes = (f"Items and where lengths begin: {bid.source} ({bid.confidence}, {bid.origin}).", *bid.notes)
    carried = tuple(filter(None, [incidental(bid)]))
    told = (*notes, *carried, *((LIVE,) if bid.amount is not None else ()))
    return Worksheet(BID_NAME, "Bid items", columns, tuple(rows), tuple(map(numbers.text, told)))


def _row(row: int, item: BidItem, bid: BidSheet, numbers: SheetNumbers, unpriced: Sequence[int]) -> SheetRow:
    unit, priced = item.unit, bid.amount is not None
    quantity: Cell = MissingCell() if priced else None
    if item.quantity is not None:
        quantity = numbers.cell(item.quantity, unit) if unit != "1" else NumberCell(item.quantity, 0)
    return (
        _named(numbers.text(item.name), item, _to_fill(row, item, unpriced)),
        numbers.cell_unit(unit) or "1",
        quantity,
        _price(row, item, bid, numbers) if priced else None,
        *(_amounts(row, item, bid) if priced else (None,) * 3),
        *(_costs(row, item, bid) if priced else (None,) * 3),
        "; ".join(item.lacking),
        "; ".join(item.covers),
        numbers.text(item.formula),
    )


def _to_fill(row: int, item: BidItem, unpriced: Sequence[int]) -> list[CellRef]:
    """Return the prices to fill in that an item lacks: of lines of cost that it carries, or its own."""
    if not item.lacking:
        return []
    own = [CellRef(BID_NAME, row, _BID_PRICE)] if item.provisional else []
    return [*_prices_at(place for place, _ in item.shares if place in unpriced), *own]


def _named(name: str, item: BidItem, prices: Sequence[CellRef]) -> Cell:
    lacking = f"{name}, incomplete"
    return name if not item.lacking else _until_priced(name, lacking, prices) if prices else lacking


def _price(row: int, item: BidItem, bid: BidSheet, numbers: SheetNumbers) -> Cell:
    """Return the price of one unit: of a provisional item its own with overhead and margin on top, else its amount by its quantity."""
    if item.price is None:
        return MissingCell()
    value = item.price.likely * numbers.cell_factor(item.unit)
    if item.provisional:
        return FormulaCell(value, (f"{value / _times_on_top(bid)!r}", *_on_top_of(bid)), 2)
    return FormulaCell(value, (CellRef(BID_NAME, row, _BID_AMOUNT + 1), "/", CellRef(BID_NAME, row, _BID_QUANTITY)), 2, _is_unpriced(item))


def _on_top_of(bid: BidSheet) -> tuple[str | CellRef, ...]:
    """Return what overhead and margin, which the reader may set, put on top of a cost."""
    top = len(bid.items) + 1
    overhead, margin = CellRef(BID_NAME, top, _BID_QUANTITY), CellRef(BID_NAME, top + 1, _BID_QUANTITY)
    return "*(1+", overhead, "/100)*(1+", margin, "/100)"


def _times_on_top(bid: BidSheet) -> float:
    return (1 + (bid.overhead_percent or 0.0) / 100) * (1 + (bid.margin_percent or 0.0) / 100)


def _is_unpriced(item: BidItem) -> bool:
    """Return whether no rate prices anything of an item that work is taken off for."""
    return bool(item.lacking) and not (item.cost or NOTHING).high


def _amounts(row: int, item: BidItem, bid: BidSheet) -> tuple[Cell, ...]:
    """Return low, likely and high: the cost with overhead and margin on top, a provisional item its quantity at its price."""
    if item.provisional:
        price, quantity = item.price or NOTHING, CellRef(BID_NAME, row, _BID_QUANTITY)
        factors = (price.low / price.likely, 1.0, price.high / price.likely) if price.likely > 0 else (1.0, 1.0, 1.0)
        return tuple(
            FormulaCell(value, (quantity, "*", CellRef(BID_NAME, row, _BID_PRICE), f"*{factor!r}"), 0, item.price is None)
            for factor, value in zip(factors, (item.amount or NOTHING).ends, strict=True)
        )
    return tuple(
        FormulaCell(value, (CellRef(BID_NAME, row, _BID_COST + end), *_on_top_of(bid)), 0, _is_unpriced(item))
        for end, value in enumerate((item.amount or NOTHING).ends)
    )


def _costs(row: int, item: BidItem, bid: BidSheet) -> tuple[Cell, ...]:
    """Return the cost that an item carries: its shares in the lines of cost; of a provisional one its quantity at its cost of one."""
    if item.provisional:
        if item.price is None:
            return (None,) * 3
        each, quantity = item.price.times(1 / _times_on_top(bid)).ends, CellRef(BID_NAME, row, _BID_QUANTITY)
        costs = zip((item.cost or NOTHING).ends, each, strict=True)
        return tuple(FormulaCell(value, (quantity, f"*{price!r}"), 0, item.cost is None) for value, price in costs)
    made: list[Cell] = []
    for end, value in enumerate((item.cost or NOTHING).ends):
        pieces: list[str | CellRef | CellRange] = []
        for place, share in item.shares:
            pieces += ["+" if pieces else "", f"{share!r}*", CellRef(COST_NAME, place, COST_AMOUNT + end)]
        made.append(FormulaCell(value, tuple(piece for piece in pieces if piece != "") or ("0",), 0, _is_unpriced(item)))
    return tuple(made)


def _sum(bid: BidSheet, amount: Estimate, cost: Estimate, unpriced: Sequence[int]) -> SheetRow:
    last = len(bid.items) - 1
    to_fill = [_to_fill(row, item, unpriced) for row, item in enumerate(bid.items) if item.lacking]
    name: Cell = "sum" if not bid.lacking else "sum, incomplete"
    if bid.lacking and all(to_fill):
        name = _until_priced("sum", "sum, incomplete", [cell for cells in to_fill for cell in cells])
    amounts = (
        FormulaCell(value, ("SUM(", CellRange(BID_NAME, 0, last, _BID_AMOUNT + end), ")"), 0) for end, value in enumerate(amount.ends)
    )
    costs = (FormulaCell(value, ("SUM(", CellRange(BID_NAME, 0, last, _BID_COST + end), ")"), 0) for end, value in enumerate(cost.ends))
    return (name, "", None, None, *amounts, *costs, "; ".join(bid.lacking), "", "")


def _on_top(bid: BidSheet) -> tuple[SheetRow, SheetRow]:
    """Return the rows of overhead and margin, which the reader may set."""
    return (
        ("overhead, on the cost", "%", NumberCell(bid.overhead_percent or 0.0, 2, given=True), *(None,) * 7, "", "", ""),
        ("margin, on cost and overhead", "%", NumberCell(bid.margin_percent or 0.0, 2, given=True), *(None,) * 7, "", "", ""),
    )
