"""The sheets of a comparison: the ways to build a site and each kind of shaft in them; or what changed, the inputs, and the sums."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from methodpick.compare.result import ChangedInput, ComparedRevisions, ComparedWays, KindChange, KindState, ShaftState, SiteWay
from methodpick.document.comparison import OUTCOMES, amount_rows, casing_words
from methodpick.tables.cells import Cell, Field, MissingCell, NumberCell, SheetColumn, SheetNumbers, Worksheet, counted, fill
from methodpick.terms import SUPPORT_NAMES


def comparison_sheets(compared: ComparedWays | ComparedRevisions, numbers: SheetNumbers) -> tuple[Worksheet, ...]:
    """Return the sheets of a comparison, the one that CSV has first."""
    if isinstance(compared, ComparedWays):
        return ways_table(compared, numbers), _kinds_table(compared, numbers)
    return changes_table(compared, numbers), _inputs_table(compared, numbers), _sides_table(compared, numbers)


def _kinds_table(compared: ComparedWays, numbers: SheetNumbers) -> Worksheet:
    """Return every kind of shaft in every way that can be built."""
    fields: tuple[Field[tuple[SiteWay, KindState]], ...] = (
        numbers.worded("way", lambda each: each[0].title, 20),
        numbers.worded("shafts", lambda each: ", ".join(each[1].shafts), 30),
        counted("count", lambda each: each[1].count),
        numbers.measured("diameter", "size", lambda each: each[1].diameter_m),
        numbers.worded("method", lambda each: SUPPORT_NAMES[each[1].state.method], 16),
        numbers.worded("decision", lambda each: each[1].state.decision, 70),
        numbers.worded("casing", lambda each: casing_words(each[1].state.casings), 50),
        numbers.worded("concrete", lambda each: each[1].state.placement),
        *(numbers.measured(name, unit, partial(_of_kind, value=value)) for name, unit, value in _OF_STATE),
        counted("checks open", lambda each: len(each[1].state.open_proofs)),
        numbers.worded("proven", lambda each: "yes" if each[1].state.proven else "no"),
    )
    return fill("kinds", "Each kind of shaft in every way", fields, ((way, kind) for way in compared.ways for kind in way.kinds))


def _of_kind(each: tuple[SiteWay, KindState], *, value: Callable[[ShaftState], float]) -> float:
    return value(each[1].state)


def _inputs_table(compared: ComparedRevisions, numbers: SheetNumbers) -> Worksheet:
    """Return the inputs that differ."""
    fields: tuple[Field[ChangedInput], ...] = (
        numbers.worded("input", lambda each: each.path, 50),
        numbers.worded("before", lambda each: each.before, 40),
        numbers.worded("after", lambda each: each.after, 40),
        numbers.worded("shafts", lambda each: ", ".join(each.shafts), 30),
    )
    return fill("inputs", "Inputs that differ", fields, compared.inputs)


def _sides_table(compared: ComparedRevisions, numbers: SheetNumbers) -> Worksheet:
    """Return what the whole site takes before and after."""
    sides = (compared.before.amounts, compared.after.amounts)
    columns = (
        SheetColumn("amount", width=30),
        SheetColumn("unit", width=8),
        *(SheetColumn(name, width=14) for name in ("before", "after")),
    )
    rows = tuple(
        (row.name, numbers.cell_unit(row.unit) if row.unit else "", *(_cell(row.value(of), row.unit, numbers) for of in sides))
        for row in amount_rows(sides)
    )
    return Worksheet("site", "The whole site", columns, rows)


def _cell(value: float | None, unit: str, numbers: SheetNumbers) -> Cell:
    return numbers.cell(value, unit) if unit else None if value is None else NumberCell(value, 0)


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

    plan_amounts = compared.ways[0].amounts
    plan_cost = plan_amounts.relative_cost if plan_amounts is not None else 0.0

    def cells(way: SiteWay) -> tuple[Cell, ...]:
        of = way.amounts
        found: list[Cell] = [way.title, OUTCOMES[way.outcome], way.changed]
        found += [None if of is None else _cell(row.value(of), row.unit, numbers) for row in rows]
        found.append(NumberCell(of.relative_cost / plan_cost, 2) if of is not None and plan_cost > 0 else None)
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
