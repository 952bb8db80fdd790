"""The tables that ``methodpick new --tables`` writes: every sheet that is read, with units, choices and an invented example."""

from __future__ import annotations

from methodpick.blank_form import FormColumn, FormSheet
from methodpick.ground.quantity import QuantityKind
from methodpick.imports.table_columns import TableColumn, TableSheet, sheets
from methodpick.imports.tables import EXPLANATIONS
from methodpick.terms import UnitSystem

_Row = dict[str, str | float]
_EXAMPLES: dict[str, dict[UnitSystem, tuple[_Row, ...]]] = {
    "borings": {
        "us": ({"id": "B-1", "ground_elevation": 412.5, "depth": 80, "technique": "hollow_stem_auger", "hammer_efficiency": 80},),
        "si": ({"id": "B-1", "ground_elevation": 125.7, "depth": 24.5, "technique": "hollow_stem_auger", "hammer_efficiency": 80},),
    },
    "layers": {
        "us": (
            {"boring": "B-1", "top": 0, "base": 6, "description": "brown silty sand, brick fragments", "symbol": "SM", "origin": "fill"},
            {"boring": "B-1", "top": 6, "base": 80, "description": "stiff grey fat clay", "symbol": "CH", "su": "1500-2200", "pi": 45},
        ),
        "si": (
            {"boring": "B-1", "top": 0, "base": 1.8, "description": "brown silty sand, brick fragments", "symbol": "SM", "origin": "fill"},
            {"boring": "B-1", "top": 1.8, "base": 24.5, "description": "stiff grey fat clay", "symbol": "CH", "su": "75-105", "pi": 45},
        ),
    },
    "spt": {
        "us": ({"boring": "B-1", "depth": 12.5, "blows": "3-5-6"}, {"boring": "B-1", "depth": 45, "n": "50/3in"}),
        "si": ({"boring": "B-1", "depth": 3.8, "blows": "3-5-6"}, {"boring": "B-1", "depth": 13.7, "n": "50/75mm"}),
    },
    "water": {
        "us": ({"boring": "B-1", "depth": 11.5, "reading": "settled", "after": 24, "hole_depth": 80},),
        "si": ({"boring": "B-1", "depth": 3.5, "reading": "settled", "after": 24, "hole_depth": 24.5},),
    },
    "cores": {"us": (), "si": ()},
    "remarks": {
        "us": ({"boring": "B-1", "depth": 5, "text": "hole collapsing, water added"},),
        "si": ({"boring": "B-1", "depth": 1.5, "text": "hole collapsing, water added"},),
    },
    "shafts": {
        "us": ({"id": "P1", "boring": "B-1", "diameter": 48, "cutoff": 2, "tip": 58, "count": 1},),
        "si": ({"id": "P1", "boring": "B-1", "diameter": 1200, "cutoff": 0.6, "tip": 17.7, "count": 1},),
    },
    "stock": {
        "us": ({"outside_diameter": 54, "wall": 0.5, "length": 40, "count": 2},),
        "si": ({"outside_diameter": 1370, "wall": 12, "length": 12, "count": 2},),
    },
}
_PAIRS: dict[str, tuple[tuple[str, str, str], ...]] = {
    "site": (
        ("name", "Invented example", "what reports call the site"),
        ("setting", "land", "land or water; over water also water_depth"),
        ("drilling_grade.above_ground", "0", "height of the working platform above the ground"),
        ("allowed", "", "methods left open, with semicolons between them; blank: all"),
        ("contamination", "unknown", "unknown, none, or what is known"),
        ("equipment.oscillator", "", "yes or no; blank: asked for in the plan"),
    ),
    "rates": (("currency", "", "the currency of all rates; further keys as under 'rates' of the site file, such as pour.concrete"),),
}


def table_form(units: UnitSystem) -> tuple[FormSheet, ...]:
    """Return the sheets to fill in, with their headings in a unit system."""
    pairs = [_pairs(name, units) for name in _PAIRS]
    rows = [_sheet(sheet, units) for sheet in sheets().values()]
    return (_explanations([*pairs, *rows]), *pairs, *rows)


def _pairs(name: str, units: UnitSystem) -> FormSheet:
    columns = (FormColumn("key", "a key of the site file; inside a map with a point"), FormColumn("value", ""), FormColumn("meaning", ""))
    declared = [("units", units, "us or si; what a number without a unit means")] if name == "site" else []
    return FormSheet(name, f"key and value, as under '{name}' of the site file", columns, (*declared, *_PAIRS[name]))


def _sheet(sheet: TableSheet, units: UnitSystem) -> FormSheet:
    columns = tuple(FormColumn(heading(column, units), _meaning(column), column.shape.choices) for column in sheet.columns)
    examples = tuple(tuple(row.get(column.name) for column in sheet.columns) for row in _EXAMPLES[sheet.name][units])
    return FormSheet(sheet.name, sheet.explanation, columns, examples)


def heading(column: TableColumn, units: UnitSystem) -> str:
    """Return the heading of a column with its unit.

    >>> heading(sheets()["shafts"].columns[2], "us")
    'diameter (in)'
    """
    unit = _unit(column.shape.quantity, units)
    return f"{column.name} ({unit})" if unit else column.name


def _unit(quantity: QuantityKind | None, units: UnitSystem) -> str:
    found = "" if quantity is None else quantity.us if units == "us" else quantity.si
    return "" if found == "1" else found


def _meaning(column: TableColumn) -> str:
    also = f"; also called {', '.join(column.synonyms[:4])}" if column.synonyms else ""
    return f"{'needed' if column.required else 'may be blank'}{also}"


def _explanations(filled: list[FormSheet]) -> FormSheet:
    columns = (FormColumn("sheet", ""), FormColumn("column", ""), FormColumn("meaning", ""), FormColumn("one of", ""))
    rows: list[tuple[str | float | None, ...]] = [
        ("all", "", "write over the example rows; blank cells are not known, which is never the same as none", ""),
        ("all", "", "a unit in a cell (48 in) goes before that of the heading, the heading before 'units' of the sheet site", ""),
        ("all", "", "a strength or weight may be a range, 500-800, or low/likely/high, 500/600/800", ""),
        ("all", "", "format columns of blows and ids as text, so that 3-5-6 does not become a date", ""),
    ]
    for sheet in filled:
        rows.append((sheet.name, "", sheet.explanation, ""))
        rows += [(sheet.name, column.heading, column.meaning, ", ".join(column.choices)) for column in sheet.columns if column.meaning]
    return FormSheet(EXPLANATIONS, "what the sheets and columns mean", columns, tuple(rows))
