"""Validators of single keys and maps of a site file: shorthands, blow counts, and values that must agree with each other."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from pydantic import BaseModel

from methodpick import units
from methodpick.errors import no_such, one_of
from methodpick.ground.descriptions.symbols_and_names import SYMBOLS, read_symbol, symbol_name
from methodpick.ground.descriptions.weathering import DEGREES, chalk_grade_of, degrees_of, written
from methodpick.ground.position import NO_PLACE, Position, half_given
from methodpick.ground.profile import Layer, Profile, Spt, WaterReading
from methodpick.ground.quantity import Order
from methodpick.ground.site import (
    BELL_TOO_NARROW,
    NEEDS,
    SHAFT_ORDERS,
    START_WRONG,
    DrillingGrade,
    OpenWater,
    Schedule,
    Shaft,
    Site,
    SiteConditions,
    is_date,
)
from methodpick.imports.site_keys import Shape
from methodpick.imports.site_reader import MISSING, Missing, SiteReader, naming, shown
from methodpick.patterns import pattern_of
from methodpick.strict_yaml import KeyPath, first_on_line

# ---- blow counts as drillers write them: 11, ``50/3in``, ``50/75mm``, ``WOH``; never scaled to 300 mm


_REFUSAL = pattern_of(r"(\d{1,4})\s*/\s*(\S.*)")
_WEIGHT = pattern_of(r"(?:WOH|WOR|WH|WR|weight of (?:the )?(?:hammer|rods?))(?:\s*/.*)?", re.IGNORECASE)
MOST_BLOWS = 1000
LONGEST_M = 0.6
_EXPECTED = "a count such as 11, blows and penetration such as 50/3in or 50/75mm, or WOH"

Count = dict[str, Any]


def _as_list(value: Any) -> str:
    """Return how blows written with strokes or spaces between them stand in a list; empty where they are no such text."""
    parts = re.split(r"\s*[-/,; ]\s*", value.strip()) if isinstance(value, str) else []
    return f"write [{', '.join(parts)}]" if len(parts) > 1 and all(part.isdecimal() for part in parts) else ""


def read_count(reader: SiteReader, path: KeyPath, value: Any) -> Count | Missing:
    """Read one count into the fields of a penetration test; complains and gives MISSING where it is none."""
    if isinstance(value, int) and not isinstance(value, bool):
        return _whole(reader, path, value)
    if isinstance(value, float) and value.is_integer() and abs(value) <= MOST_BLOWS:
        return _whole(reader, path, int(value))
    text = value.strip() if isinstance(value, str) else ""
    if text.isdecimal():
        return _whole(reader, path, int(text[:9]))
    if _WEIGHT.fullmatch(text):
        return {"n": 0, "weight_of_hammer": True, "text": text}
    if match := _REFUSAL.fullmatch(text):
        return _refusal(reader, path, text, int(match[1]), match[2])
    return reader.complain(path, f"n: {shown(value)} is not a blow count", _EXPECTED, _hint(text))


def _whole(reader: SiteReader, path: KeyPath, count: int) -> Count | Missing:
    if 0 <= count <= MOST_BLOWS:
        return {"n": count}
    hint = "at refusal write the blows and the penetration, for example 50/3in" if count > 0 else "correct the number"
    return reader.complain(path, f"n {count} cannot be", f"from 0 to {MOST_BLOWS}", hint)


def _refusal(reader: SiteReader, path: KeyPath, text: str, blows: int, length: str) -> Count | Missing:
    try:
        size_m = units.parse(length, "in" if reader.units == "us" else "mm", "m")
    except ValueError:
        return reader.complain(path, f"n: the penetration in '{text}' is not a length", _EXPECTED)
    if not 0 < size_m <= LONGEST_M or blows > MOST_BLOWS:
        return reader.complain(
            path,
            f"n: '{text}' cannot be",
            f"up to {MOST_BLOWS} blows over up to 24 in (600 mm)",
            "name the unit of the penetration, for example 50/3in or 50/75mm",
        )
    return {"n": blows, "penetration_m": round(size_m, 4), "text": text}


def _hint(text: str) -> str:
    if text.casefold() in ("refusal", "r", "ref") or text.startswith(">") or text.endswith("+"):
        return "at refusal write the blows and the penetration, for example 50/3in"
    if count := re.fullmatch(r"N\s*[=:]?\s*(\d+)", text, re.IGNORECASE):
        return f"write the number alone: n: {count[1]}"
    if re.fullmatch(r"\d+(?:\s*[-/,+]\s*\d+){2,3}", text):
        return f"write the blows of each interval: blows: [{', '.join(re.findall(r'[0-9]+', text))}]"
    return "leave 'n' out where the test was not made"


def read_blows(reader: SiteReader, path: KeyPath, value: Any) -> tuple[list[int], Count] | Missing:
    """Read the blows of the seating drive and of each interval, the last one perhaps ``50/3in``.

    Gives the whole numbers and the count that follows from them: of three or four intervals of 6 in (150 mm) the sum
    of the second and third (ASTM D1586), at refusal the blows and penetration of the last.
    """
    if not isinstance(value, list):
        return reader.complain(path, f"blows: {shown(value)} is not a list", "a list such as [3, 5, 6]", _as_list(value))
    counts = [read_count(reader, (*path, index), entry) for index, entry in enumerate(value)]
    read = [count for count in counts if not isinstance(count, Missing)]
    if len(read) < len(counts):
        return MISSING
    whole = [int(count["n"]) for count in read]
    refused = next((count for count in read if "penetration_m" in count), None)
    if refused is not None:
        return whole, refused
    return whole, {"n": whole[1] + whole[2]} if len(whole) in (3, 4) else {}


# ---- keys and maps


Tree = dict[str, Any]
MUDLINE = Order("mudline_low", "mudline_high", "the low mudline is above the high one", may_be_equal=True)
OPEN_WATER = Order("low", "high", "the low water stands above the high water", may_be_equal=True)


def _symbol(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    """Read a unified-classification symbol, a pair of them, or one of the other words."""
    del shape
    plain = value.strip() if isinstance(value, str) else ""
    name = symbol_name(plain)
    if plain and read_symbol(plain) is not None:
        return name.lower() if len(name) > 2 and name.isidentifier() else re.sub(r"\s*/\s*", "-", name)
    words = [symbol if "-" in symbol or len(symbol) == 2 else symbol.lower() for symbol in SYMBOLS]
    single = ", ".join(word for word in words if "-" not in word)
    return reader.complain(
        path,
        f"{naming(path)}: {shown(value)} is not a known soil symbol",
        f"one of {single}, or a pair such as SP-SM",
        reader.near(plain, words) or "leave it out and let the description speak",
    )


def _weathering(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    """Read a grade of weathering into its degrees: words, a number or a code."""
    del shape
    degrees = degrees_of(str(value)) if isinstance(value, (str, int)) and not isinstance(value, bool) else None
    if degrees is not None:
        return written(degrees)
    if isinstance(value, str) and (chalk := chalk_grade_of(value)):
        return chalk
    expected = f"{', '.join(DEGREES)}, two of them with 'to', a grade I to VI or W1 to W6, or a code such as HW; of chalk A1 to Dc"
    return reader.complain(path, f"{naming(path)}: {shown(value)} is no grade of weathering", expected, "write it into the description")


def _count(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    del shape
    return read_count(reader, path, value)


def _blows(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    del shape
    return read_blows(reader, path, value)


def _layer_counts(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    entries = value if isinstance(value, list) else [value]
    if shape.longest is not None and len(entries) > shape.longest:
        return reader.complain(
            path,
            f"n: {len(entries)} counts are too many for a layer",
            f"at most {shape.longest}",
            "write them under 'spt' with their depths",
        )
    paths = [(*path, index) if isinstance(value, list) else path for index in range(len(entries))]
    counts = [read_count(reader, place, entry) for place, entry in zip(paths, entries, strict=True)]
    return MISSING if any(isinstance(count, Missing) for count in counts) else counts


KEY_READERS: dict[tuple[type[BaseModel], str], Callable[[SiteReader, KeyPath, Any, Shape], Any]] = {
    (Layer, "symbol"): _symbol,
    (Layer, "n"): _layer_counts,
    (Layer, "weathering"): _weathering,
    (Spt, "n"): _count,
    (Spt, "blows"): _blows,
}
"""Keys that are written otherwise than they are kept."""


def _test(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    blows, from_blows = tree.pop("blows", ([], {}))
    count = tree.pop("n", None) or from_blows
    if not {"n", "blows", "weight_of_hammer"} & set(raw):
        reader.complain(
            path, f"{naming(path)} has no 'n'", "a count, blows and penetration, or WOH", "add 'n:', or leave the whole test out"
        )
    return {"blows": blows, **count, **tree}


def _boring(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    """Leave plain counts with their layer; make tests of refusals, spread evenly over it."""
    del reader, path, raw
    tests = list(tree.get("spt", ()))
    for layer in tree.get("layers", ()):
        counts = layer.pop("n", ())
        layer["n"] = [count["n"] for count in counts if len(count) == 1]
        if "top_m" in layer and "base_m" in layer:
            step = (layer["base_m"] - layer["top_m"]) / max(1, len(counts))
            tests += [
                {"depth_m": round(max(0.0, layer["top_m"] + (index + 0.5) * step), 3), **count}
                for index, count in enumerate(counts)
                if len(count) > 1
            ]
    tree["spt"] = sorted(tests, key=lambda test: float(test.get("depth_m", 0.0)))
    return tree


def _water(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    kind = tree.get("reading")
    levels = [word for word in ("depth", "struck", "rises_to") if raw.get(word) is not None]
    if kind == "none_met" and levels:
        reader.complain(
            (*path, levels[0]),
            f"'none_met' says that there was no water, yet '{levels[0]}' is given",
            "hole_depth: how deep the hole was when no water was met",
            "remove one of the two",
            key=True,
        )
    elif kind not in (None, "none_met") and not levels:
        words = "struck, and rises_to" if kind == "confined" else "depth"
        reader.complain(path, f"a '{kind}' reading needs a level", words, "leave the reading out where the level is not known")
    return tree


def _check_order(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree, order: Order) -> None:
    lesser, greater = order.lesser, order.greater
    if order.broken(tree):
        reader.complain(
            (*path, greater),
            f"{order.wrong}: {lesser} {shown(raw.get(lesser, 0))}, {greater} {shown(raw.get(greater))}",
            f"{lesser} {'at most' if order.may_be_equal else 'less than'} {greater}",
            "correct one of the two",
        )


def _shaft(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    for order in SHAFT_ORDERS:
        _check_order(reader, path, raw, {"cutoff_m": 0.0, **tree}, order)
    diameter, bell = tree.get("diameter_m"), tree.get("bell", {})
    if diameter is not None and bell.get("diameter_m", diameter + 1) <= diameter:
        reader.complain(
            (*path, "bell", "diameter"),
            f"{BELL_TOO_NARROW}: {shown(raw['bell']['diameter'])}, shaft {shown(raw['diameter'])}",
            "more than the diameter of the shaft",
            "leave 'bell' out where there is none",
        )
    return tree


def _conditions(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    _check_order(reader, path, raw, tree, MUDLINE)
    for need in NEEDS:
        if tree.get(need.key) == need.value and need.needed not in raw:
            reader.complain((*path, need.key), need.wrong, need.meaning, f"add '{need.needed}:'")
    return tree


def _open_water(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    _check_order(reader, path, raw, tree, OPEN_WATER)
    return tree


def _grade(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    if len(raw) > 1 and len(tree) > 1:
        reader.complain(path, "the drilling grade is given twice", "either above_ground or elevation", "remove one of the two")
    return tree


def _schedule(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    start = raw.get("start") and tree.get("start")
    if isinstance(start, str) and not is_date(start):
        reader.complain((*path, "start"), f"start: '{start}': {START_WRONG}", "year, month, day, such as 2026-04-13")
        return {name: value for name, value in tree.items() if name != "start"}
    return tree


def _site(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    """Hold the ids against each other."""
    borings = _ids(reader, raw, "borings", "boring")
    _ids(reader, raw, "shafts", "shaft")
    shafts = raw.get("shafts")
    for index, shaft in enumerate(shafts if isinstance(shafts, list) else []):
        named = shaft.get("boring") if isinstance(shaft, dict) else None
        if named is not None and borings and str(named) not in borings:
            reader.complain(
                (*path, "shafts", index, "boring"), no_such("boring", str(named)), one_of(borings), reader.near(str(named), borings)
            )
    return tree


def _ids(reader: SiteReader, raw: Tree, word: str, what: str) -> list[str]:
    """Return the ids of a list, complaining of those that stand twice."""
    seen: dict[str, int] = {}
    entries = raw.get(word)
    for index, entry in enumerate(entries if isinstance(entries, list) else []):
        name = str(entry["id"]) if isinstance(entry, dict) and entry.get("id") is not None else None
        if name is not None and name in seen:
            line = reader.document.place((word, seen[name], "id")).line
            reader.complain((word, index, "id"), f"the {what} '{name}' stands twice", hint=f"{first_on_line(line)}; give each its own id")
        elif name is not None:
            seen[name] = index
    return list(seen)


def _position(reader: SiteReader, path: KeyPath, raw: Tree, tree: Tree) -> Tree:
    given = {word for word, value in raw.items() if value is not None}
    if len(tree) == len(given) and (half_given(given) or not given):
        reader.complain(path, NO_PLACE, "{east: .., north: ..} or {latitude: .., longitude: ..}", "give both numbers of a pair, or none")
        return {"east_m": 0.0, "north_m": 0.0}  # the file is refused; so its lack is not told again
    return tree


MAP_VALIDATORS: dict[type[BaseModel], Callable[[SiteReader, KeyPath, Tree, Tree], Tree]] = {
    Spt: _test,
    Profile: _boring,
    Position: _position,
    WaterReading: _water,
    Shaft: _shaft,
    SiteConditions: _conditions,
    OpenWater: _open_water,
    DrillingGrade: _grade,
    Schedule: _schedule,
    Site: _site,
}
"""Checks of a whole map, run when its values are read."""
