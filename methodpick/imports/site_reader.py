"""The reader of a site file: the document and the places in it, its units, its numbers, and every problem met on the way."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from methodpick import units
from methodpick.errors import Place, Problem, Problems, did_you_mean, one_of
from methodpick.ground.doubt import Doubt, Subject
from methodpick.ground.position import degrees_in
from methodpick.ground.profile import Profile
from methodpick.ground.quantity import LATITUDE, LENGTH, LONGITUDE, PERCENT, SIZE, QuantityKind, band_disorder
from methodpick.ground.site import Site
from methodpick.imports.site_keys import Shape
from methodpick.strict_yaml import KeyPath
from methodpick.terms import UnitSystem

# ---- places: the line of a boring, layer, reading, test or shaft


_NEAR_M = 1e-3
_LISTS = ("layers", "spt", "cores", "cone", "water", "remarks")


class PlacedDocument(Protocol):
    """A file as a tree of plain values that knows where each of them stands: a YAML file, a workbook."""

    @property
    def value(self) -> Any:
        """Return the tree of the file."""

    @property
    def to_add(self) -> str:
        """Return what to do about a key that lacks, with ``{}`` for its word."""

    @property
    def problems(self) -> Problems:
        """Return what was wrong with the file before its values were looked at."""

    @property
    def digest(self) -> str:
        """Return the SHA-256 digest of what was read."""

    def place(self, path: KeyPath, key: bool = False) -> Place:
        """Return the place of the value (or of the key) at a path; of its nearest ancestor where it is not there."""


class DoubtPlaces:
    """Finds the places in a file that doubts about its site are about."""

    def __init__(self, document: PlacedDocument, site: Site) -> None:
        self._document, self._site = document, site
        self._paths: dict[Subject, KeyPath] = {Subject("shaft", shaft.id): ("shafts", index) for index, shaft in enumerate(site.shafts)}
        self._borings = {Subject("boring", boring.id): index for index, boring in enumerate(site.borings)}

    def __call__(self, doubt: Doubt) -> Place:
        """Return the place of a doubt; the beginning of the file where it is about the whole of it."""
        index = self._borings.get(doubt.subject)
        if index is None:
            return self._document.place(self._paths.get(doubt.subject, ("site",)))
        return self._document.place(("borings", index, *_entry(self._site.borings[index], doubt)))


def _entry(boring: Profile, doubt: Doubt) -> KeyPath:
    """Return the way from a boring to the entry with the depth of a doubt, else to the layer around it; nothing without a depth."""
    depth = doubt.depth_m
    if depth is None:
        return ()
    lists = ("water", *_LISTS) if doubt.of_water else _LISTS
    for word in lists:
        for index, entry in enumerate(getattr(boring, word)):
            depths = [value for name, value in entry if name.endswith("_m") and name != "base_m" and isinstance(value, float)]
            if any(abs(value - depth) < _NEAR_M for value in depths):
                return (word, index)
    around = next((index for index, layer in enumerate(boring.layers) if layer.top_m <= depth < layer.base_m), None)
    return () if around is None else ("layers", around)


# ---- the document, its units, how messages name things


MOST_COMPARED = 500


class Missing:
    """Stands for a value that could not be read, whose problem is noted already."""


MISSING = Missing()


@dataclass(slots=True)
class SiteReader:
    """Collects the problems of a site file while its keys are read, each with its place."""

    document: PlacedDocument
    units: UnitSystem
    problems: Problems = field(init=False)

    def __post_init__(self) -> None:
        """Start with the problems that the YAML has."""
        self.problems = self.document.problems.after()

    def complain(self, path: KeyPath, message: str, expected: str = "", hint: str = "", key: bool = False) -> Missing:
        """Note a problem at a place of the file and give :data:`MISSING`."""
        self.problems.note(lambda: Problem(message, self.document.place(path, key=key), expected, hint))
        return MISSING

    def near(self, word: str, words: Iterable[str]) -> str:
        """Return the hint for a misspelt word, whatever the case; none where the problem will only be counted.

        Nor among more than ``MOST_COMPARED`` words: of thousands of borings many are alike, and comparing takes long.
        """
        known = tuple(words)
        return "" if self.problems.full or len(known) > MOST_COMPARED else did_you_mean(word, known)

    def choose(self, path: KeyPath, value: Any, words: Iterable[str], what: str, hint: str = "") -> Any:
        """Return the word of a closed list that the file names, or complain with the hint, else with the likeliest one."""
        known = tuple(words)
        if isinstance(value, str) and value in known:
            return value
        if isinstance(value, str) and (plain := value.strip().casefold().replace(" ", "_").replace("-", "_")) in known:
            return plain
        if not hint and isinstance(value, str):
            hint = self.near(value, known)
        return self.complain(path, f"{shown(value)} is not a {what}", one_of(known), hint)

    def written(self, path: KeyPath) -> str:
        """Return an unquoted value as it stands in the file, so that the id 007 stays 007."""
        place = self.document.place(path)
        return place.text[place.column - 1 : place.column - 1 + place.width].strip()


def shown(value: Any) -> str:
    """Write a value of the file as a message names it.

    >>> shown([1, 2]), shown(None), shown("gravle")
    ('a list', 'nothing', "'gravle'")
    """
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a map"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{value}'" if len(value) <= 60 else f"'{value[:57]}...'"
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def naming(path: KeyPath) -> str:
    """Write a path in words, for a message: its last key, or the entry of a list.

    >>> naming(("borings", 0, "layers", 2, "base"))
    'base'
    >>> naming(("borings", 0, "layers", 2))
    'layers, entry 3'
    """
    if not path:
        return "the file"
    last = path[-1]
    if isinstance(last, int):
        return f"{path[-2]}, entry {last + 1}" if len(path) > 1 else f"entry {last + 1}"
    return last


# ---- numbers, from the user's units to those kept inside


_DECIMALS_M = {LENGTH.name: 3, SIZE.name: 4}
"""Decimals of a metre that lengths (1 mm) and sizes (0.1 mm) keep, by their name, so that feet and metres of one site agree."""


ON_GLOBE = {LATITUDE: "NS", LONGITUDE: "EW"}
"""Angles on the globe, which may be written with minutes and seconds, and the letters that stand for plus and minus."""
_FULL = {"deg": "degrees", "in": "inches", "ft": "feet", "m": "metres", "mm": "millimetres"}


def bare_unit(quantity: QuantityKind, system: str) -> str:
    """Return the unit of a number that names none."""
    return quantity.us if system == "us" else quantity.si


def read_quantity(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    """Read one value, a range or a map of low, likely and high, as the shape allows; gives numbers inside."""
    if shape.form == "pair":
        return _pair(reader, path, value, shape)
    if shape.form == "band" and isinstance(value, (list, dict)):
        return _band(reader, path, value, shape)
    return read_number(reader, path, value, shape)


def read_number(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> float | Missing:
    """Read one number, bare or with its unit, and hold it against the ends of its shape."""
    quantity = shape.measure
    unit = bare_unit(quantity, reader.units)
    if isinstance(value, str):
        try:
            size, unit = (degrees_in(value, ON_GLOBE[quantity]), unit) if quantity in ON_GLOBE else units.split(value, unit)
            unit = units.name_of(unit, quantity.inside)
        except ValueError:
            return reader.complain(
                path,
                f"{naming(path)}: {shown(value)} is not a {quantity.name}",
                expectation(shape, reader.units),
                _hint_for_text(value, quantity),
            )
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        size = float(value) if abs(value) < 1e308 else math.copysign(math.inf, value)
    else:
        return reader.complain(path, f"{naming(path)}: {shown(value)} is not a {quantity.name}", expectation(shape, reader.units))
    inside = size * units.FACTORS[quantity.inside][unit]
    decimals = _DECIMALS_M.get(quantity.name)
    if decimals is not None and math.isfinite(inside):
        inside = round(inside, decimals) + 0.0
    return inside if _fits(inside, shape) else _complain_of_ends(reader, path, size, unit, shape)


def expectation(shape: Shape, system: str) -> str:
    """Describe what may stand at a key, in the user's units.

    >>> from methodpick.ground.site import Shaft
    >>> from methodpick.imports.site_keys import keys_of
    >>> expectation(keys_of(Shaft)["cover"].shape, "us")
    'a size in inches, or one that names its unit (m, mm, cm, ft, in)'
    """
    quantity = shape.measure
    unit = bare_unit(quantity, system)
    words = "an" if quantity.name[0] in "aeiou" else "a"
    names = [name for name in units.FACTORS[quantity.inside] if name not in ("yd", "km", "percent")]
    other = f", or one that names its unit ({', '.join(names)})" if len(names) > 1 else ""
    if quantity in ON_GLOBE:
        other = f", with minutes and seconds where it has them, such as 51 28 38.5{ON_GLOBE[quantity][0]}"
    text = f"{words} {quantity.name} in {_FULL.get(unit, unit)}{other}"
    if shape.form == "band":
        text += ", a range [low, high], or {low, likely, high}"
    return f"two of them, [top, base]: {text}" if shape.form == "pair" else text


def _short(number: float) -> str:
    """Write an end of a range with four figures, large ones in full."""
    return f"{number:,.0f}" if abs(number) >= 1000 else f"{number:.4g}"


def _fits(value: float, shape: Shape) -> bool:
    if not math.isfinite(value) or value > shape.most:
        return False
    return value > shape.least if shape.open_ended else value >= shape.least


def _complain_of_ends(reader: SiteReader, path: KeyPath, size: float, unit: str, shape: Shape) -> Missing:
    quantity = shape.measure
    written = f"{size:.6g} {unit}".removesuffix(" 1")
    if not math.isfinite(size) or abs(size) >= 1e15:
        return reader.complain(
            path, f"{naming(path)}: {size:.6g} is not a number that can be true", expectation(shape, reader.units), "correct the number"
        )
    least, most = (_short(units.restore(end, unit, quantity.inside)) for end in (shape.least, shape.most))
    low = f"above {least}" if shape.open_ended else f"from {least}"
    return reader.complain(
        path, f"{naming(path)} {written} cannot be", f"{low} to {most} {unit}", _other_unit(size, unit, shape, reader.units)
    )


def _other_unit(size: float, unit: str, shape: Shape, system: str) -> str:
    """Look for a unit under which the number would be right."""
    quantity = shape.measure
    if size == 0:
        return "correct the number"
    for other in dict.fromkeys((bare_unit(quantity, system), quantity.us, quantity.si, "ft", "m", "in", "mm")):
        if other != unit and other in units.FACTORS[quantity.inside]:
            inside = size * units.FACTORS[quantity.inside][other]
            if _fits(inside, shape):
                bare = unit == bare_unit(quantity, system)
                read_in = _FULL.get(unit, unit)
                why = f" With 'units: {system}' a bare {quantity.name} is read in {read_in}." if bare else ""
                return f"did you mean {size:.6g} {other}?{why}"
    return "correct the number"


def _hint_for_text(value: str, quantity: QuantityKind) -> str:
    plain = value.strip().casefold()
    if re.fullmatch(r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}/\d{1,2}/\d{2,4}", plain):
        return "this is a date; write it under 'date:'"
    if length := re.fullmatch(r"([-\d.]+)\s*(?:-|to)\s*([\d.]+)", plain):
        return f"write a range as [{length[1]}, {length[2]}]"
    if re.fullmatch(r"[-+]?\d+,\d+", plain):
        return f"write the number with a point: {plain.replace(',', '.')}"
    if plain in ("nan", ".nan", "inf", ".inf", "-inf", "-.inf"):
        return "leave the key out where the value is not known"
    if plain in ("", "?", "-", "n/a", "na", "unknown", "none", "tbd", "nt", "np"):
        return "leave the key out where the value is not known" + (
            "; write 0 for non-plastic soil" if plain == "np" and quantity is PERCENT else ""
        )
    if plain[0] in "<>~":
        return "write what is known as a range, for example [0, 5]"
    if "," in plain:
        return _hint_for_comma(plain)
    return f"write the number first, then one of the units {', '.join(units.FACTORS[quantity.inside])}"


def _hint_for_comma(text: str) -> str:
    """Return a hint that never turns 2,5 into 25: a comma may part decimals or thousands.

    >>> _hint_for_comma("2,5 m"), _hint_for_comma("1,200"), _hint_for_comma("1,200,000")
    ('write decimals after a point: 2.5', 'write 1.2 or 1200, whichever is meant', 'write it without commas: 1200000')
    """
    number = re.match(r"[+-]?[\d,]+(?:\.\d+)?", text)
    written = number[0].strip(",") if number else ""
    whole, _, decimals = written.partition(",")
    if "," in decimals or "." in decimals:
        return f"write it without commas: {written.replace(',', '')}"
    if len(decimals) == 3 and whole.lstrip("+-").strip("0"):
        return f"write {float(f'{whole}.{decimals}'):g} or {whole}{decimals}, whichever is meant"
    return f"write decimals after a point: {whole}.{decimals}" if whole and decimals else "write decimals after a point"


def _pair(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    if not isinstance(value, list) or len(value) != 2:
        return reader.complain(path, f"{naming(path)}: {shown(value)} is not a pair of depths", expectation(shape, reader.units))
    ends = [read_number(reader, (*path, index), end, shape) for index, end in enumerate(value)]
    low, high = ends
    if isinstance(low, Missing) or isinstance(high, Missing):
        return MISSING
    if low > high:
        return reader.complain(path, f"{naming(path)}: the top is below the base", hint="swap the two numbers")
    return ends


def _band(reader: SiteReader, path: KeyPath, value: list[Any] | dict[str, Any], shape: Shape) -> Any:
    if isinstance(value, list):
        if len(value) != 2:
            return reader.complain(
                path, f"{naming(path)}: a range has two ends, this one has {len(value)}", expectation(shape, reader.units)
            )
        low, high = (read_number(reader, (*path, index), end, shape) for index, end in enumerate(value))
        return _ordered(reader, path, {"low": low, "high": high}, {"low": value[0], "high": value[1]})
    strange = next((word for word in value if word not in ("low", "likely", "high")), None)
    lacking = next((word for word in ("low", "high") if value.get(word) is None), None)
    if strange or lacking:
        what = f"'{strange}' does not belong here" if strange else f"'{lacking}' is missing"
        return reader.complain((*path, strange) if strange else path, f"{naming(path)}: {what}", expectation(shape, reader.units), key=True)
    ends = {word: read_number(reader, (*path, word), end, shape) for word, end in value.items() if end is not None}
    return _ordered(reader, path, ends, value)


def _ordered(reader: SiteReader, path: KeyPath, ends: Mapping[str, float | Missing], raw: Mapping[str, Any]) -> Any:
    """Return the ends of a band that are in order; ``raw`` holds them as they stand in the file."""
    values = {word: end for word, end in ends.items() if not isinstance(end, Missing)}
    if len(values) < len(ends):
        return MISSING
    wrong = band_disorder(values, {word: shown(raw[word]) for word in values})
    if not wrong:
        return values
    if values["low"] > values["high"]:
        return reader.complain(path, f"{naming(path)}: {wrong}", hint="swap the two numbers")
    return reader.complain((*path, "likely"), f"{naming(path)}: {wrong}", hint="correct one of them")
