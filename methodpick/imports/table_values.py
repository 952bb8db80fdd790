"""Values of tables as a site file has them: numbers with the unit of their column, ranges, lists, texts, elevations as depths."""

from __future__ import annotations

import re
from typing import Any, NamedTuple, Protocol

from methodpick import units
from methodpick.errors import Place
from methodpick.imports.table_headings import TableHeading
from methodpick.patterns import pattern_of
from methodpick.strict_yaml import KeyPath

# ---- cells


BLANK = frozenset({"", "-", "--", "n/a", "na", "null", "tbd", "?", "nr", "n.r."})
NO_NUMBER = frozenset({"nil", "none"})
BLANK_NUMBER = BLANK | NO_NUMBER
NO_WATER = frozenset({"dry", "none", "none met", "not met", "not encountered", "ne", "none encountered", "nil"})
_RANGE = pattern_of(r"([-+]?\d+(?:\.\d+)?)\s*(?:-|to|\N{EN DASH})\s*(\d+(?:\.\d+)?)\s*(\D*)")
_THREE = pattern_of(r"([-+]?\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)\s*(\D*)")
_NUMBER = pattern_of(r"[-+]?(?:(\d{1,15})|\d+\.\d*|\.\d+)")
_LEVEL = pattern_of(r"^\s*(?:el\.?|elev\.?|rl)\s*[:=]?\s*", re.IGNORECASE)
_DIAMETER = r"(?:[\N{DIAMETER SIGN}\N{LATIN CAPITAL LETTER O WITH STROKE}\N{LATIN SMALL LETTER O WITH STROKE}]|dia\.?)"
_SIZE = pattern_of(rf"^\s*{_DIAMETER}\s*", re.IGNORECASE)
_AT_END = pattern_of(rf"\s*(?:{_DIAMETER}|\N{{PLUS-MINUS SIGN}}|\+/-)$", re.IGNORECASE)
"""Signs of a size, or of a value that is only about so, behind it."""
_LINEAR_FEET = pattern_of(r"(?<=\d)\s*l\.?f\.?$|(?<=\d)\s*lin\.?\s*f(?:ee)?t\.?$", re.IGNORECASE)
_FRACTION = pattern_of("(\\d?)\\s*([\N{VULGAR FRACTION ONE QUARTER}\N{VULGAR FRACTION ONE HALF}\N{VULGAR FRACTION THREE QUARTERS}])")
_WRITTEN_OUT = {
    "\N{VULGAR FRACTION ONE QUARTER}": "1/4",
    "\N{VULGAR FRACTION ONE HALF}": "1/2",
    "\N{VULGAR FRACTION THREE QUARTERS}": "3/4",
}
_APOSTROPHES = str.maketrans({"\u2019": "'", "\u2018": "'", "\u201d": '"', "\u201c": '"', "\u2212": "-", "\u00a0": " "})


def is_blank(cell: Any, words: bool = True) -> bool:
    """Return whether a cell says nothing; "none" says something where words may stand."""
    return cell is None or (isinstance(cell, str) and cell.strip().lower() in (BLANK if words else BLANK_NUMBER))


def cell_value(cell: Any, heading: TableHeading) -> Any:
    """Return the value of a cell for its column, as a site file would hold it; what does not fit stays as it stands."""
    column = heading.column
    if column is None:
        return None
    text = _plain_text(cell) if isinstance(cell, str) else cell
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


def _plain_text(cell: str) -> str:
    """Return a text with plain quotes, signs and single blanks."""
    if cell.isascii() and cell.isprintable() and "  " not in cell:
        return cell.strip()
    return " ".join(cell.translate(_APOSTROPHES).split())


def _text(value: Any) -> Any:
    """Return a text; an id that is a number is written as one."""
    return str(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else value


def plain_number(value: Any) -> Any:
    """Return a number where a text is one."""
    if isinstance(value, str) and (number := _NUMBER.fullmatch(value)):
        return int(value) if number[1] else float(value)
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
    text = value if value[:1].isdecimal() else _SIZE.sub("", _LEVEL.sub("", value))
    if not text[-1:].isdecimal():
        text = _without_signs(text)
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


def _without_signs(text: str) -> str:
    """Return a size as it stands on a drawing without the signs behind it, its fraction and its linear feet written out.

    >>> _without_signs('54" dia.'), _without_signs("62.5 LF"), _without_signs('54\N{VULGAR FRACTION ONE HALF}"')
    ('54"', '62.5 ft', '54 1/2"')
    """
    text = _AT_END.sub("", _LINEAR_FEET.sub(" ft", text))
    return _FRACTION.sub(lambda found: f"{found[1]} {_WRITTEN_OUT[found[2]]}".strip(), text)


def has_own_unit(value: Any) -> bool:
    """Return whether a value of a quantity names its unit: a text does where it is more than a number."""
    values = value if isinstance(value, list) else list(value.values()) if isinstance(value, dict) else [value]
    return all(isinstance(each, str) for each in values)


# ---- elevations set over to depths below the ground, by the ground elevation of the boring or of the shaft


_OF_LAYERS = {"top_elevation": "top", "base_elevation": "base"}
_OF_SHAFTS = {"cutoff_elevation": "cutoff", "tip_elevation": "tip"}


class ComplainingTree(Protocol):
    """A tree of tables with the places of its cells."""

    value: dict[str, Any]
    spots: dict[KeyPath, Any]

    def place(self, path: KeyPath, key: bool = False) -> Place:
        """Return the place of the cell at a path."""

    def complain(self, place: Place, message: str, expected: str = "", hint: str = "") -> None:
        """Note a problem of a cell."""


def to_depths(tree: ComplainingTree) -> None:
    """Replace the elevations of layers and shafts by depths; complain where the ground elevation is missing, or a depth is there too."""
    site = tree.value.get("site")
    system = site.get("units") if isinstance(site, dict) else None
    borings = tree.value.get("borings", [])
    told: set[str] = set()
    for index, boring in enumerate(borings):
        for at, layer in enumerate(boring.get("layers", [])):
            ground_m = _metres(boring.get("ground_elevation"), system)
            _set_over(tree, layer, _OF_LAYERS, ("borings", index, "layers", at), ground_m, _Asked("boring", told))
    for index, shaft in enumerate(tree.value.get("shafts", [])):
        ground = shaft.get("ground_elevation")
        if ground is None:
            home = next((boring for boring in borings if str(boring.get("id")) == str(shaft.get("boring"))), None)
            ground = home.get("ground_elevation") if home is not None else None
        _set_over(
            tree, shaft, _OF_SHAFTS, ("shafts", index), _metres(ground, system), _Asked("shaft, or of the boring that it names", told)
        )


class _Asked(NamedTuple):
    """Whose ground elevation is asked for, and of which elevations that was told."""

    whose: str
    told: set[str]


def _set_over(
    tree: ComplainingTree, entry: dict[str, Any], names: dict[str, str], path: KeyPath, ground_m: float | None, asked: _Asked
) -> None:
    """Replace the elevations of an entry by depths below a ground elevation."""
    site = tree.value.get("site")
    system = site.get("units") if isinstance(site, dict) else None
    for elevation, depth in names.items():
        if elevation not in entry:
            continue
        level = _metres(entry.pop(elevation), system)
        place = tree.place((*path, elevation))
        if depth in entry:
            tree.complain(place, f"both {depth} and {elevation} are given", "one of them", "leave one column out")
        elif ground_m is None:
            if elevation not in asked.told:
                expected, hint = f"the ground elevation of the {asked.whose}", "add the column 'ground_elevation'"
                tree.complain(place, f"{elevation} needs a ground elevation", expected, hint)
            asked.told.add(elevation)
            entry[depth] = "0 m" if depth in ("top", "cutoff") else "100 m"  # the file is refused; so its lack is not told again
        elif level is None:
            tree.complain(place, f"{elevation} is not a level", "a number with a unit")
        else:
            entry[depth] = f"{round(ground_m - level, 4)} m"
            tree.spots[*path, depth] = place


def _metres(value: Any, system: str | None) -> float | None:
    """Return a level in metres; None where there is none or it is no length. Numbers without a unit were complained of before."""
    if value is None:
        return None
    try:
        return units.parse(str(value), "ft" if system == "us" else "m", "m")
    except ValueError:
        return None
