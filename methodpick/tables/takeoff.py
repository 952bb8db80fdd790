"""The takeoff as a sheet.

It has sums first, then the lines of the site and of every shaft, each amount a formula where it hangs on a factor. A formula is
set only where it gives the amount of the takeoff to a millionth; else the amount stands as it is.
"""

from __future__ import annotations

from dataclasses import field
from math import ceil, isclose

from methodpick.records import record
from methodpick.site.estimate import Estimate
from methodpick.site.result import (
    BY_DRAWING,
    FREE_FLUID,
    HOLE,
    LOST,
    MASS,
    OVERBREAK,
    OVERSIZE,
    PAD_BANK,
    PAD_LOOSE,
    SPOIL_BANK,
    SPOIL_LOOSE,
    STOCK,
    TO_ORDER,
    TRUCKS,
    ShaftTakeoff,
    Takeoff,
    TakeoffLine,
)
from methodpick.tables.cells import Cell, CellRange, CellRef, FormulaCell, NumberCell, SheetColumn, SheetNumbers, SheetRow, Worksheet
from methodpick.tables.factors import EstimatorFactors, choice, stocked_holes

NAME = "takeoff"
HEAD = ("scope", "shaft", "alike", "group", "item", "low", "likely", "high", "unit", "pay", "formula", "source")
LOW, BASIS, EACH, TAKEN, SUM_NO, TIMES = 5, 12, 13, 16, 17, 18
"""Columns: the three amounts, what a factor is applied to, by how much at each end, the amount taken, the sum it belongs to."""
ENDS = (0, 1, 2)
FormulaPiece = str | CellRef | CellRange


@record(frozen=False)
class _TakeoffSheet:
    """The sheet in the making: where the lines of the shaft at hand stand, and the holes that ask for a stock."""

    numbers: SheetNumbers
    factors: EstimatorFactors
    sums: dict[tuple[str, str], int]
    first: int
    holes: dict[str, int]
    rows: list[SheetRow] = field(default_factory=list)
    here: dict[str, list[tuple[int, TakeoffLine]]] = field(default_factory=dict)
    fluid: str = ""

    def line(self, scope: str, shaft: str, alike: int | None, line: TakeoffLine) -> None:
        """Add a line."""
        row = self.first + len(self.rows)
        self.here.setdefault(line.item, []).append((row, line))
        basis, each, formulas = _formula(self, line)
        values = _ends(line.amount, line.unit, self.numbers)
        shown = self.numbers.shown_digits(line.unit)
        amounts: list[Cell] = [
            FormulaCell(value, pieces, shown=shown) if pieces is not None else NumberCell(value, shown=shown)
            for value, pieces in zip(values, formulas, strict=True)
        ]
        taken = _taken(self, line, row, values)
        self.rows.append(
            (
                *map(self.numbers.text, (scope, shaft)),
                alike,
                line.group,
                self.numbers.text(line.item),
                *amounts,
                self.numbers.cell_unit(line.unit),
                line.pay,
                self.numbers.text(line.formula),
                self.numbers.text(line.source),
                basis,
                *each,
                taken,
                self.sums[line.group, line.item] + 1,
                1 if alike is None else alike,
            )
        )

    def at(self, item: str) -> tuple[int, TakeoffLine] | None:
        """Return the last line of an item in the shaft at hand."""
        found = self.here.get(item)
        return found[-1] if found else None


def takeoff_table(takeoff: Takeoff, factors: EstimatorFactors, numbers: SheetNumbers) -> Worksheet:
    """Return all sums, then the lines of the site (the stock of fluid) and of every shaft with how many stand behind it."""
    sums: dict[tuple[str, str], int] = {(total.group, total.item): row for row, total in enumerate(takeoff.totals)}
    sheet = _TakeoffSheet(numbers, factors, sums, len(sums), _rows_of_stocked_holes(takeoff))
    for line in takeoff.site_lines:
        sheet.line("site", "", None, line)
    for shaft in takeoff.shafts:
        _shaft(sheet, shaft)
    columns = (
        *(SheetColumn(name, width=width) for name, width in zip(HEAD, (7, 10, 6, 10, 48, 12, 12, 12, 6, 11, 60, 40), strict=True)),
        *(
            SheetColumn(name, width=12, live=True)
            for name in ("basis", "times, low", "times, likely", "times, high", "taken", "sum no.", "counted")
        ),
    )
    notes = tuple(map(numbers.text, takeoff.notes))
    return Worksheet(NAME, "Takeoff", columns, (*_sums(takeoff, numbers, len(sums) + len(sheet.rows)), *sheet.rows), notes)


def _rows_of_stocked_holes(takeoff: Takeoff) -> dict[str, int]:
    """Return for each fluid the row where the volume of the hole will stand that asks for its stock."""
    stocked = stocked_holes(takeoff)
    first = len(takeoff.totals) + len(takeoff.site_lines)
    found: dict[str, int] = {}
    lines = ((shaft.shaft, line.item) for shaft in takeoff.shafts for line in shaft.lines)
    for row, (shaft, item) in enumerate(lines, first):
        fluid = item.removesuffix(HOLE)
        if item.endswith(HOLE) and fluid in stocked and stocked[fluid][0] == shaft:
            found.setdefault(fluid, row)
    return found


def _shaft(sheet: _TakeoffSheet, shaft: ShaftTakeoff) -> None:
    sheet.here.clear()
    for line in shaft.lines:
        sheet.line("shaft", shaft.shaft, shaft.count, line)


def _sums(takeoff: Takeoff, numbers: SheetNumbers, end: int) -> list[SheetRow]:
    """Return the sums: over all lines below that carry the number of the sum, as often as shafts stand behind each."""
    found: list[SheetRow] = []
    first = len(takeoff.totals)

    def over(number: int, column: int) -> tuple[FormulaPiece, ...]:
        sum_numbers, times, amounts = (CellRange(NAME, first, end - 1, each) for each in (SUM_NO, TIMES, column))
        return "SUMPRODUCT((", sum_numbers, f"={number})*", times, "*", amounts, ")"

    for number, total in enumerate(takeoff.totals, 1):
        values = _ends(total.amount, total.unit, numbers)
        found.append(
            (
                "sum",
                "",
                total.shafts or None,
                total.group,
                numbers.text(total.item),
                *(
                    FormulaCell(value, over(number, LOW + end_no), shown=numbers.shown_digits(total.unit))
                    for end_no, value in enumerate(values)
                ),
                numbers.cell_unit(total.unit),
                total.pay,
                numbers.text(total.formula),
                "",
                None,
                None,
                None,
                None,
                FormulaCell(values[1], over(number, TAKEN)),
                None,
                None,
            )
        )
    return found


def _ends(amount: Estimate, unit: str, numbers: SheetNumbers) -> tuple[float, float, float]:
    low, likely, high = (numbers.cell_value(value, unit) + 0.0 for value in (amount.low, amount.likely, amount.high))
    return low, likely, high


_Made = tuple[Cell, tuple[Cell, ...], tuple[tuple[FormulaPiece, ...] | None, ...]]
_NONE: tuple[Cell, ...] = (None, None, None)
_PLAIN: _Made = (None, _NONE, (None, None, None))


def _formula(sheet: _TakeoffSheet, line: TakeoffLine) -> _Made:
    """Return the basis of a line, what it is multiplied by at each end, and the formula of each end."""
    if line.sum_of:
        return None, _NONE, tuple(_added(sheet, line.sum_of, LOW + end) for end in ENDS)
    item = line.item
    if item == OVERBREAK:
        return _multiple(sheet, line, (BY_DRAWING, OVERSIZE), "overbreak")
    if item == FREE_FLUID:
        return _multiple(sheet, line, (SPOIL_BANK,), "free")
    if item in (SPOIL_LOOSE, PAD_LOOSE):
        return _swollen(sheet, line, SPOIL_BANK if item == SPOIL_LOOSE else PAD_BANK)
    if item == TRUCKS:
        return _trucks(sheet, line)
    if line.group == "casing" and item.endswith(MASS):
        return _from(sheet, line, item.removesuffix("mass") + "length")
    return _fluid(sheet, line) if line.group == "fluid" else _PLAIN


def _added(sheet: _TakeoffSheet, items: tuple[str, ...], column: int) -> tuple[FormulaPiece, ...]:
    pieces: list[FormulaPiece] = []
    for item in items:
        for row, _ in sheet.here.get(item, ()):
            pieces += ["+", CellRef(NAME, row, column)] if pieces else [CellRef(NAME, row, column)]
    return tuple(pieces) or ("0",)


def _multiple(sheet: _TakeoffSheet, line: TakeoffLine, bases: tuple[str, ...], factor: str) -> _Made:
    """Return a line that is a share of the sum of others, times a factor."""
    basis = sum(found[1].amount.likely for item in bases if (found := sheet.at(item)) is not None)
    if basis <= 0:
        return _PLAIN
    row = sheet.first + len(sheet.rows)
    each = tuple(NumberCell(value / basis, 4) for value in (line.amount.low, line.amount.likely, line.amount.high))
    live = FormulaCell(sheet.numbers.cell_value(basis, "m3"), _added(sheet, bases, LOW + 1))
    return (
        live,
        each,
        tuple((CellRef(NAME, row, BASIS), "*", CellRef(NAME, row, EACH + end), "*", sheet.factors.cell(factor, end)) for end in ENDS),
    )


def _swollen(sheet: _TakeoffSheet, line: TakeoffLine, of: str) -> _Made:
    bank = sheet.at(of)
    if bank is None or bank[1].amount.likely <= 0:
        return _PLAIN
    row, volume = sheet.first + len(sheet.rows), bank[1].amount.likely
    each = tuple(NumberCell(value / volume - 1, 4) for value in (line.amount.low, line.amount.likely, line.amount.high))
    live = FormulaCell(sheet.numbers.cell_value(volume, "m3"), (CellRef(NAME, bank[0], LOW + 1),))
    return (
        live,
        each,
        tuple(
            (CellRef(NAME, row, BASIS), "*(1+", CellRef(NAME, row, EACH + end), "*", sheet.factors.cell("swell", end), ")") for end in ENDS
        ),
    )


def _trucks(sheet: _TakeoffSheet, line: TakeoffLine) -> _Made:
    order = sheet.at(TO_ORDER)
    if order is None or not sheet.factors.has("truck"):
        return _PLAIN
    row, whole = order
    loads = (
        sheet.numbers.cell_value(value, "m3") / sheet.factors.value("truck", 1)
        for value in (whole.amount.low, whole.amount.likely, whole.amount.high)
    )
    if tuple(ceil(round(load, 6)) for load in loads) != (line.amount.low, line.amount.likely, line.amount.high):
        return _PLAIN
    return None, _NONE, tuple(_loads(sheet, CellRef(NAME, row, LOW + end)) for end in ENDS)


def _loads(sheet: _TakeoffSheet, order: CellRef) -> tuple[FormulaPiece, ...]:
    """Return the trucks of an order; the likely load is every order's."""
    return "ROUNDUP(ROUND(", order, "/", sheet.factors.cell("truck", 1), ",6),0)"


def _from(sheet: _TakeoffSheet, line: TakeoffLine, of: str) -> _Made:
    """Return a line that is another times a number of its own at each end."""
    other = sheet.at(of)
    if other is None:
        return _PLAIN
    row, basis = sheet.first + len(sheet.rows), _ends(other[1].amount, other[1].unit, sheet.numbers)
    if min(basis) <= 0:
        return _PLAIN
    values = _ends(line.amount, line.unit, sheet.numbers)
    each = tuple(NumberCell(value / whole, 4) for value, whole in zip(values, basis, strict=True))
    return None, each, tuple((CellRef(NAME, other[0], LOW + end), "*", CellRef(NAME, row, EACH + end)) for end in ENDS)


def _fluid(sheet: _TakeoffSheet, line: TakeoffLine) -> _Made:
    """Return what is lost of a hole, the stock, and what each takes of water and products."""
    item = line.item
    if item.endswith(LOST):
        sheet.fluid = item
        return _share(sheet, line, sheet.at(item.removesuffix(LOST) + HOLE), "lost")
    if item.endswith(STOCK):
        sheet.fluid = item
        fluid = item.removesuffix(STOCK)
        row, factor = sheet.holes.get(fluid), f"stock {fluid}"
        values = _ends(line.amount, "m3", sheet.numbers)
        if row is None or not sheet.factors.has(factor):
            return _PLAIN
        hole = values[1] / sheet.factors.value(factor, 1)
        live = FormulaCell(hole, (CellRef(NAME, row, LOW + 1),))
        return (
            live,
            _NONE,
            tuple((CellRef(NAME, sheet.first + len(sheet.rows), BASIS), "*", sheet.factors.cell(factor, end)) for end in ENDS),
        )
    return _from(sheet, line, sheet.fluid) if item != sheet.fluid and not item.endswith(HOLE) else _PLAIN


def _share(sheet: _TakeoffSheet, line: TakeoffLine, hole: tuple[int, TakeoffLine] | None, factor: str) -> _Made:
    if hole is None or not sheet.factors.has(factor):
        return _PLAIN
    values, whole = (line.amount.low, line.amount.likely, line.amount.high), hole[1].amount.likely
    if not all(isclose(value, whole * sheet.factors.value(factor, end), rel_tol=1e-6, abs_tol=1e-9) for end, value in enumerate(values)):
        return _PLAIN
    row = sheet.first + len(sheet.rows)
    live = FormulaCell(sheet.numbers.cell_value(whole, "m3"), (CellRef(NAME, hole[0], LOW + 1),))
    return live, _NONE, tuple((CellRef(NAME, row, BASIS), "*", sheet.factors.cell(factor, end)) for end in ENDS)


def _taken(sheet: _TakeoffSheet, line: TakeoffLine, row: int, values: tuple[float, ...]) -> FormulaCell:
    """Return the amount at the end that the estimator takes; of a sum the parts taken, of trucks those of the order taken."""
    if line.sum_of:
        return FormulaCell(values[1], _added(sheet, line.sum_of, TAKEN))
    order = sheet.at(TO_ORDER)
    if line.item == TRUCKS and order is not None and sheet.factors.has("truck"):
        return FormulaCell(values[1], _loads(sheet, CellRef(NAME, order[0], TAKEN)))
    key = {"fluid": "fluid", "spoil": "swell"}.get(line.group, "overbreak")
    low, likely, high = (CellRef(NAME, row, LOW + end) for end in ENDS)
    return FormulaCell(values[1], ("CHOOSE(", choice(key), ",", low, ",", likely, ",", high, ")"))
