"""Values of cells as a site file writes them: numbers with the unit of their column, ranges, lists, texts."""

from __future__ import annotations

import re
from typing import Any

from methodpick.imports.table_headers import TableHeading

BLANK = frozenset({"", "-", "--", "n/a", "na", "null", "tbd", "?", "nr", "n.r."})
NO_NUMBER = frozenset({"nil", "none"})
NO_WATER = frozenset({"dry", "none", "none met", "not met", "not encountered", "ne", "none encountered", "nil"})
_RANGE = re.compile(r"([-+]?\d+(?:\.\d+)?)\s*(?:-|to|\N{EN DASH})\s*(\d+(?:\.\d+)?)\s*(\D*)")
_THREE = re.compile(r"([-+]?\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)\s*(\D*)")
_LEVEL = re.compile(r"^\s*(?:el\.?|elev\.?|rl)\s*[:=]?\s*", re.IGNORECASE)
_SIZE = re.compile(
    r"^\s*(?:[\N{DIAMETER SIGN}\N{LATIN CAPITAL LETTER O WITH STROKE}\N{LATIN SMALL LETTER O WITH STROKE}]|dia\.?)\s*", re.IGNORECASE
)
_APOSTROPHES = str.maketrans({"\u2019": "'", "\u2018": "'", "\u201d": '"', "\u201c": '"', "\u2212": "-", "\u00a0": " "})


def is_blank(cell: Any, words: bool = True) -> bool:
    """Return whether a cell says nothing; "none" says something where words may stand."""
    return cell is None or (isinstance(cell, str) and cell.strip().lower() in (BLANK if words else BLANK | NO_NUMBER))


def cell_value(cell: Any, heading: TableHeading) -> Any:
    """Return the value of a cell for its column, as a site file would hold it; what does not fit stays as it stands."""
    column = heading.column
    if column is None:
        return None
    text = " ".join(str(cell).translate(_APOSTROPHES).split()) if isinstance(cell, str) else cell
    kind = column.shape.kind
    if kind == "quantity":
        return _quantity(text, heading)
    if kind == "text":
        return _text(text)
    if column.name == "n":
        return _counts(text) if kind == "list" else plain_number(text)
    if kind == "list":
        item = column.shape.item
        parts = re.split(r"[;,]" if item is not None and item.kind in ("choice", "text") else r"[-/;,\s]+", str(text))
        return [plain_number(part.strip()) for part in parts if part.strip()]
    if kind == "choice" and isinstance(text, str):
        return re.sub(r"[\s-]+", "_", text.strip().lower()) if column.name != "symbol" else text
    if kind == "truth" and isinstance(text, str):
        return {"yes": True, "y": True, "x": True, "true": True, "no": False, "n": False, "false": False}.get(text.lower(), text)
    return plain_number(text)


def _text(value: Any) -> Any:
    """Return a text; an id that is a number is written as one."""
    return str(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else value


def plain_number(value: Any) -> Any:
    """Return a number where a text is one."""
    if isinstance(value, str) and re.fullmatch(r"[-+]?\d{1,15}", value):
        return int(value)
    if isinstance(value, str) and re.fullmatch(r"[-+]?(?:\d+\.\d*|\.\d+)", value):
        return float(value)
    return value


def _counts(value: Any) -> Any:
    parts = re.split(r"[;,]\s*", value) if isinstance(value, str) else [value]
    return [plain_number(part.strip()) if isinstance(part, str) else part for part in parts if part != ""]


def _quantity(value: Any, heading: TableHeading) -> Any:
    """Return a number with the unit of its column; of a column that may hold a range also 500-800 and 500/600/800, low, likely, high."""
    column, unit = heading.column, heading.unit
    if column is None:
        return value
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return f"{value!r} {unit}" if unit else value
    if not isinstance(value, str):
        return value
    text = _SIZE.sub("", _LEVEL.sub("", value))
    if column.shape.form == "band" and (three := _THREE.fullmatch(text)):
        own = three[4].strip() or unit
        return {
            word: f"{three[at]} {own}".strip() if own else plain_number(three[at]) for at, word in enumerate(("low", "likely", "high"), 1)
        }
    if column.shape.form == "band" and (ends := _RANGE.fullmatch(text)):
        own = ends[3].strip() or unit
        return [f"{end} {own}".strip() if own else plain_number(end) for end in (ends[1], ends[2])]
    plain = plain_number(text.removesuffix("%").strip() if text.endswith("%") and not column.needs_unit else text)
    if isinstance(plain, (int, float)):
        return f"{plain!r} {unit}" if unit else plain
    return text


def has_own_unit(value: Any) -> bool:
    """Return whether a value of a quantity names its unit: a text does where it is more than a number."""
    values = value if isinstance(value, list) else list(value.values()) if isinstance(value, dict) else [value]
    return all(isinstance(each, str) for each in values)
