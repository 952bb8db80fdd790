"""The sheets of a comparison: a row for each way to build the site, or for each kind of shaft that changed."""

from __future__ import annotations

from collections.abc import Callable

from methodpick.compare.result import ComparedRevisions, ComparedWays, KindChange, ShaftState, SiteWay
from methodpick.document.comparison import OUTCOMES, amount_rows
from methodpick.tables.cells import Cell, MissingCell, NumberCell, SheetColumn, SheetNumbers, Worksheet
from methodpick.terms import SUPPORT_NAMES


def ways_table(compared: ComparedWays, numbers: SheetNumbers) -> Worksheet:
    """Return the ways side by side as typed cells; a total that lacks a price is an empty cell, marked."""
    rows = amount_rows([way.amounts for way in compared.ways if way.amounts is not None])
    money = next((way.amounts.money for way in compared.ways if way.amounts is not None and way.amounts.money is not None), None)
    columns = [
        SheetColumn("way", width=20),
        SheetColumn("outcome", width=16),
        SheetColumn("shafts built otherwise", width=10),
        *(numbers.column(row.name, row.unit or "1", 12) for row in rows),
        SheetColumn("relative cost (own)", width=10),
    ]
    if money is not None:
        columns += [SheetColumn(f"{end} cost", money.currency, 12) for end in ("low", "likely", "high")]
        columns.append(SheetColumn("without a rate", width=30))
    columns.append(SheetColumn("notes", width=60))

    def cells(way: SiteWay) -> tuple[Cell, ...]:
        of = way.amounts
        found: list[Cell] = [way.title, OUTCOMES[way.outcome], way.changed]
        for row in rows:
            value = None if of is None else row.value(of)
            found.append(numbers.cell(value, row.unit) if row.unit else None if value is None else NumberCell(value, 0))
        found.append(None if of is None else NumberCell(of.relative_cost, 2))
        if money is not None:
            found += _money(way)
        return (*found, numbers.text(" ".join(way.notes)))

    return Worksheet("comparison", "Ways to build the site, side by side", tuple(columns), tuple(map(cells, compared.ways)))


def _money(way: SiteWay) -> list[Cell]:
    """Return the cost of a way: low, likely, high, and what has no rate."""
    sheet = way.amounts.money if way.amounts is not None else None
    if sheet is None:
        return [None] * 4
    if sheet.lacking:
        return [MissingCell()] * 3 + ["; ".join(sheet.lacking)]
    return [*(NumberCell(value, 0) for value in (sheet.total.low, sheet.total.likely, sheet.total.high)), ""]


def changes_table(compared: ComparedRevisions, numbers: SheetNumbers) -> Worksheet:
    """Return a row for each kind of shaft that changed: before, after, and because of which input."""
    columns = (
        SheetColumn("shafts", width=30),
        SheetColumn("count", width=6),
        *(SheetColumn(f"method {when}", width=16) for when in ("before", "after")),
        *(SheetColumn(f"decision {when}", width=60) for when in ("before", "after")),
        *(numbers.column(f"{name} {when}", unit, 10) for name, unit, _ in _OF_STATE for when in ("before", "after")),
        SheetColumn("what differs", width=30),
        SheetColumn("because", width=60),
    )
    return Worksheet("changes", "What changed", columns, tuple(_changed_row(change, numbers) for change in compared.changes))


_OF_STATE: tuple[tuple[str, str, Callable[[ShaftState], float]], ...] = (
    ("concrete to order", "m3", lambda state: state.concrete_m3.likely),
    ("hours", "h", lambda state: state.hours.likely),
    ("length not firm", "m", lambda state: state.not_firm_m),
)
"""Amounts of a shaft that are set beside one another: name, unit, value."""


def _changed_row(change: KindChange, numbers: SheetNumbers) -> tuple[Cell, ...]:
    sides = (change.before, change.after)
    return (
        ", ".join(change.shafts),
        change.count,
        *("" if state is None else SUPPORT_NAMES[state.method] for state in sides),
        *("" if state is None else numbers.text(state.decision) for state in sides),
        *(None if state is None else numbers.cell(value(state), unit) for _, unit, value in _OF_STATE for state in sides),
        ", ".join(change.differs),
        numbers.text(change.said),
    )
