"""A site as tables: the rows that, read back, give the same site; what no cell can hold is named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from typing import Any

from methodpick.blank_form import FormCell, FormColumn, FormSheet
from methodpick.imports.site_forms import heading, unit_in
from methodpick.imports.table_columns import PAIRS, TableColumn, TableSheet, sheets
from methodpick.imports.table_headings import TableHeading
from methodpick.imports.table_values import NO_WATER, cell_value, is_blank
from methodpick.imports.tables import pair_value
from methodpick.records import record
from methodpick.strict_yaml import KeyPath
from methodpick.terms import UnitSystem


@record(frozen=False)
class FilledTables:
    """The sheets of a site, and how often each of its keys has no cell that would read back as it is."""

    units: UnitSystem
    sheets: list[FormSheet] = field(default_factory=list)
    left_out: Counter[str] = field(default_factory=Counter)

    @property
    def dropped(self) -> tuple[str, ...]:
        """Return what is left out, a line a key."""
        return tuple(f"{key}: {count}" for key, count in sorted(self.left_out.items()))


def filled_tables(site: Mapping[str, Any], units: UnitSystem) -> FilledTables:
    """Return the keys and values of a site file, in its own units, as tables; empty sheets and columns are left away.

    >>> tables = filled_tables({"site": {"units": "us"}, "shafts": [{"id": "P1", "boring": "B-1", "diameter": 48, "tip": 65}]}, "us")
    >>> [column.heading for column in tables.sheets[1].columns], tables.sheets[1].rows
    (['id', 'boring', 'diameter (in)', 'tip (ft)'], (('P1', 'B-1', 48, 65),))
    """
    made = FilledTables(units)
    known = {"methodpick", "borings", *PAIRS, *sheets()}
    for name in PAIRS:
        _add_pairs(made, name, site.get(name) or {})
    for sheet in sheets().values():
        _add_rows(made, sheet, list(_entries(site, sheet)))
    made.left_out.update({key: len(value) if isinstance(value, list) else 1 for key, value in site.items() if key not in known})
    return made


def _add_pairs(made: FilledTables, name: str, whole: Mapping[str, Any]) -> None:
    """Add a sheet of keys and values, a key inside another with a point between them."""
    rows: list[tuple[FormCell, ...]] = []
    for key, value in _dotted(whole):
        cell = _listed(value) if isinstance(value, list) else _plain(value)
        if pair_value(cell) == value and not is_blank(cell):
            rows.append((key, cell))
        elif value != "":
            made.left_out[f"{name}, {key}"] += 1
    if rows:
        made.sheets.append(FormSheet(name, "", (FormColumn("key", ""), FormColumn("value", "")), tuple(rows)))


def _dotted(value: Any, before: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every value inside a map with the keys that lead to it; entries of a list of maps are numbered from 1."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _dotted(inner, f"{before}.{key}" if before else str(key))
    elif isinstance(value, list) and any(isinstance(entry, Mapping) for entry in value):
        for number, inner in enumerate(value, 1):
            yield from _dotted(inner, f"{before}.{number}")
    else:
        yield before, value


def _entries(site: Mapping[str, Any], sheet: TableSheet) -> Iterator[dict[str, Any]]:
    """Yield the entries of a sheet: of the site, or of each boring with its id."""
    if not sheet.owner:
        yield from site.get(sheet.name) or ()
        return
    for boring in site.get("borings") or ():
        yield from ({sheet.owner: boring.get("id"), **entry} for entry in boring.get(sheet.name) or ())


def _add_rows(made: FilledTables, sheet: TableSheet, entries: Sequence[Mapping[str, Any]]) -> None:
    """Add a sheet with a row an entry, with the columns that are filled."""
    columns = [each for each in sheet.columns if _kept(each, sheet) or any(_at(entry, each.path) is not None for entry in entries)]
    lists = set(sheets()) if sheet.name == "borings" else set()
    rows: list[tuple[FormCell, ...]] = []
    for entry in entries:
        cells: list[FormCell] = []
        held: set[KeyPath] = set()
        for column in columns:
            value = _at(entry, column.path)
            cell = None if value is None else _cell(value, column, sheet, made.units)
            cells.append(cell)
            if cell is not None:
                held.add(column.path)
        rows.append(tuple(cells))
        lost = {path for path in _paths(entry, sheet) if path not in held and path[0] not in lists}
        made.left_out.update(f"{sheet.name}, {'.'.join(str(step) for step in path)}" for path in lost)
    if rows:
        made.sheets.append(FormSheet(sheet.name, "", tuple(FormColumn(heading(each, made.units), "") for each in columns), tuple(rows)))


def _kept(column: TableColumn, sheet: TableSheet) -> bool:
    """Return whether a column stands there even where it is blank: headings need two to be known as such."""
    return column.required or (sheet.name == "borings" and column.name == "depth")


def _at(entry: Mapping[str, Any], path: KeyPath) -> Any:
    """Return the value at a path of an entry, None where there is none."""
    value: Any = entry
    for step in path:
        if isinstance(step, int):
            value = value[step] if isinstance(value, list) and step < len(value) else None
        else:
            value = value.get(step) if isinstance(value, Mapping) else None
    return value


def _paths(entry: Mapping[str, Any], sheet: TableSheet) -> Iterator[KeyPath]:
    """Yield the paths at which an entry holds something, as far down as the columns of its sheet go."""
    parted = {column.path[0] for column in sheet.columns if len(column.path) > 1}
    for key, value in entry.items():
        if key in parted:
            yield from ((key, inner) for inner in (value if isinstance(value, Mapping) else range(len(value))))
        elif value is not None:
            yield (key,)


def _cell(value: Any, column: TableColumn, sheet: TableSheet, units: UnitSystem) -> FormCell:
    """Return the cell from which a value reads back, None where no cell does."""
    unit = unit_in(column, units)
    read_as = TableHeading(0, column.name, column, unit)
    cell = _written(value, column)
    words = column.shape.kind in ("text", "choice", "list")
    no_water = sheet.name == "water" and column.name == "depth" and str(cell).strip().lower() in NO_WATER
    if is_blank(cell, words=words) or no_water:
        return None
    wanted = _with_unit(value, unit) if column.shape.kind == "quantity" else value
    return cell if cell_value(cell, read_as) == wanted and cell_value(str(cell), read_as) == wanted else None


def _with_unit(value: Any, unit: str) -> Any:
    """Return a value of a site file with the unit that its bare numbers have there."""
    if isinstance(value, Mapping):
        return {key: _with_unit(inner, unit) for key, inner in value.items()}
    if isinstance(value, list):
        return [_with_unit(inner, unit) for inner in value]
    return f"{value!r} {unit}" if unit and isinstance(value, (int, float)) else value


def _written(value: Any, column: TableColumn) -> FormCell:
    """Write a value as a cell: a range as 500-800, low, likely and high as 500/600/800, a list with semicolons."""
    if column.shape.kind == "quantity" and isinstance(value, list):
        return _together([str(end) for end in value], "-")
    if column.shape.kind == "quantity" and isinstance(value, Mapping):
        return _together([str(value.get(word)) for word in ("low", "likely", "high")], "/")
    return _listed(value) if isinstance(value, list) else _plain(value)


def _together(values: Sequence[str], sign: str) -> str:
    """Write values with a sign between them, a unit that all of them have once at their end."""
    parts = [value.partition(" ") for value in values]
    unit = parts[0][2]
    if unit and all(part[2] == unit for part in parts):
        return f"{sign.join(part[0] for part in parts)} {unit}"
    return sign.join(values)


def _listed(values: Sequence[Any]) -> str:
    return f"{values[0]};" if len(values) == 1 else "; ".join(str(value) for value in values)


def _plain(value: Any) -> FormCell:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, (str, int, float)) else str(value)
