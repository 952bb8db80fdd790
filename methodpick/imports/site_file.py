"""The site file, format ``methodpick: 1``: from YAML to the models of the ground, every problem at once.

Where another word of the trade was written for a key or a value the message has a hint; a site file itself has one word for each.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from methodpick.errors import InputError, Problem
from methodpick.ground.site import Site
from methodpick.imports.input_formats import BEGINNING_BYTES, FORMATS, SITE_FILE, Imported, beginning_of, foreign
from methodpick.imports.site_keys import Key, Shape, keys_of
from methodpick.imports.site_reader import (
    MISSING,
    DoubtPlaces,
    Missing,
    PlacedDocument,
    SiteReader,
    bare_unit,
    expectation,
    naming,
    read_quantity,
    shown,
)
from methodpick.imports.site_validators import KEY_READERS, MAP_VALIDATORS
from methodpick.strict_yaml import KeyPath, examine

FORMAT = 1


def read_site_file(source: Path | str, name: str | None = None) -> Imported:
    """Read a site file as every input format is read; it leaves no doubts, for what is not clear in it is a problem.

    Raises InputError with all problems of the file, each with its place.
    """
    _refuse_foreign(source, name)
    document = examine(source, name)
    site = site_of(document)
    return Imported(site, (), document.digest, place_of=DoubtPlaces(document, site))


def read_site(source: Path | str, name: str | None = None) -> tuple[Site, str]:
    r"""Read a site from a file (Path) or a text (str); gives the site and the SHA-256 digest of what was read.

    Raises InputError with all problems of the file, each with its place.

    >>> site, digest = read_site("methodpick: 1\nborings: [{id: B-1}]")
    >>> site.borings[0].id, len(digest)
    ('B-1', 64)
    """
    _refuse_foreign(source, name)
    document = examine(source, name)
    return site_of(document), document.digest


def site_of(document: PlacedDocument) -> Site:
    """Return the site that a document describes. Raises InputError with all problems of the document, each with its place."""
    reader = SiteReader(document, _units(document.value))
    value = _body(reader)
    if isinstance(value, Missing):
        raise InputError(reader.problems)
    tree = read_map(reader, (), value, Site)
    if reader.problems or isinstance(tree, Missing):
        raise InputError(reader.problems)
    try:
        return Site.model_validate(tree)
    except ValidationError as error:
        raise InputError(_left_over(reader, error)) from None


def _refuse_foreign(source: Path | str, name: str | None) -> None:
    """Raise an error that names the format of a foreign file, in place of what is wrong with it as YAML."""
    beginning = beginning_of(source) if isinstance(source, Path) else source[:BEGINNING_BYTES]
    if SITE_FILE.matches(beginning):
        return
    what, hint = foreign(beginning)
    other = next((known for known in FORMATS if known.matches(beginning)), None)
    if other is not None:
        what, hint = other.name, f"give it the suffix {' or '.join(other.suffixes)}"
    if what:
        where = name or (str(source) if isinstance(source, Path) else "the text")
        raise InputError(
            Problem(f"{where}: this is {what}, not a site file", expected="a YAML file that starts with 'methodpick: 1'", hint=hint)
        )


def _body(reader: SiteReader) -> dict[str, Any] | Missing:
    """Return the map without its first key, which must be ``methodpick: 1``; nothing where it may be another file."""
    value = reader.document.value
    expected = f"a map whose first key is 'methodpick: {FORMAT}'"
    if not isinstance(value, dict):
        return reader.complain(
            (), f"this is {shown(value)}, not a site file", expected, "'methodpick new' writes a site file to start from"
        )
    first = next(iter(value), "")
    if first != "methodpick":
        stands = "methodpick" in value
        reader.complain(
            (first,),
            f"the first key is '{first}', not 'methodpick'",
            expected,
            "move 'methodpick' to the top" if stands else f"if this is a site file, write 'methodpick: {FORMAT}' above the first line",
            key=True,
        )
        if not stands:
            return MISSING
    if value["methodpick"] != FORMAT or isinstance(value["methodpick"], bool):
        return reader.complain(
            ("methodpick",),
            f"the format {shown(value['methodpick'])} is not known",
            f"methodpick: {FORMAT}",
            "a newer file needs a newer methodpick",
        )
    return {key: entry for key, entry in value.items() if key != "methodpick"}


def _units(value: Any) -> Any:
    site = value.get("site") if isinstance(value, dict) else None
    units = site.get("units") if isinstance(site, dict) else None
    return units if units in ("us", "si") else "us"


def _left_over(reader: SiteReader, error: ValidationError) -> list[Problem]:
    """Return the problems that only the models find; reading the keys should have found them before."""
    problems = []
    for detail in error.errors():
        path = detail["loc"]
        message = detail["msg"].removeprefix("Value error, ")
        problems.append(Problem(f"{naming(path)}: {message}", reader.document.place(path)))
    return problems


def read_map(reader: SiteReader, path: KeyPath, value: Any, model: type[BaseModel]) -> dict[str, Any] | Missing:
    """Read a map into the attributes of its model; what could not be read is left out, its problem noted."""
    keys = keys_of(model)
    if not isinstance(value, dict):
        what = "one of several entries, each a map" if path and isinstance(path[-1], int) else "a map"
        return reader.complain(
            path,
            f"{naming(path)}: {shown(value)} where a map belongs",
            f"{what} with the keys {_list_of(keys)}",
            _hint_for_map(path, value),
        )
    tree: dict[str, Any] = {}
    for word, entry in value.items():
        key = keys.get(word)
        if key is None:
            _complain_of_key(reader, (*path, word), keys, value)
        elif entry is not None or key.required:
            read = KEY_READERS.get((model, word), read_shape)(reader, (*path, word), entry, key.shape)
            if not isinstance(read, Missing):
                tree[key.attribute] = read
    for key in keys.values():
        if key.required and key.word not in value:
            add = reader.document.to_add.format(key.word)
            reader.complain((*path, key.word), f"{naming(path)} has no '{key.word}'", _what(key.shape, reader), add)
    validate = MAP_VALIDATORS.get(model)
    return validate(reader, path, value, tree) if validate else tree


def read_shape(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    """Read what stands at a key by its shape."""
    if shape.kind == "quantity":
        return read_quantity(reader, path, value, shape)
    if shape.kind == "list":
        return _list(reader, path, value, shape)
    if shape.kind == "model" and shape.model is not None:
        return read_map(reader, path, value, shape.model)
    if shape.kind == "choice":
        if value in shape.choices:
            return value
        return reader.choose(path, value, shape.choices, f"known value of '{naming(path)}'", hint_for_value(str(path[-1]), value))
    if shape.kind in ("number", "whole"):
        return _number(reader, path, value, shape)
    if shape.kind == "truth":
        return _truth(reader, path, value)
    if shape.kind == "text":
        return _text(reader, path, value, shape)
    if shape.kind == "map" and not isinstance(value, dict):
        return reader.complain(path, f"{naming(path)}: {shown(value)} where a map belongs", "a map of names and values")
    return value


def _list(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    if shape.item is None:
        return value
    if not isinstance(value, list):
        return reader.complain(
            path,
            f"{naming(path)}: {shown(value)} where a list belongs",
            f"a list, each entry {_what(shape.item, reader)}",
            _hint_for_list(path, value),
        )
    if shape.longest is not None and len(value) > shape.longest:
        return reader.complain(
            path, f"{naming(path)}: {len(value)} entries are too many", f"at most {shape.longest}", "join what is alike, or split the file"
        )
    if len(value) < shape.shortest:
        return reader.complain(path, f"{naming(path)}: the list is empty", f"at least {shape.shortest} entry")
    entries = [read_shape(reader, (*path, index), entry, shape.item) for index, entry in enumerate(value)]
    return [entry for entry in entries if not isinstance(entry, Missing)]


def _number(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    whole = shape.kind == "whole"
    what = "a whole number" if whole else "a number"
    is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if not is_number or (whole and value != value // 1):
        return reader.complain(path, f"{naming(path)}: {shown(value)} is not {what}", what, "correct the number")
    if not shape.least <= value <= shape.most:
        return reader.complain(
            path, f"{naming(path)} {shown(value)} cannot be", f"{what} from {shape.least:g} to {shape.most:g}", "correct the number"
        )
    return int(value) if whole else float(value)


def _truth(reader: SiteReader, path: KeyPath, value: Any) -> Any:
    if isinstance(value, bool):
        return value
    plain = value.strip().casefold() if isinstance(value, str) else ""
    if plain in ("yes", "true", "no", "false"):
        return plain in ("yes", "true")
    return reader.complain(
        path, f"{naming(path)}: {shown(value)} is neither true nor false", "true or false", "leave the key out where it is not known"
    )


def _text(reader: SiteReader, path: KeyPath, value: Any, shape: Shape) -> Any:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return reader.written(path)
    if isinstance(value, bool):
        return reader.complain(path, f"{naming(path)}: {shown(value)} is not a text", "a text", "put it in quotes")
    if not isinstance(value, str):
        return reader.complain(path, f"{naming(path)}: {shown(value)} where a text belongs", "a text")
    if len(value.strip()) < shape.shortest:
        return reader.complain(path, f"{naming(path)} is empty", "a text", "give it a name")
    return value


def _complain_of_key(reader: SiteReader, path: KeyPath, keys: dict[str, Key], value: dict[str, Any]) -> None:
    word = str(path[-1])
    if word.isdecimal() and value[word] is None and (before := _before(value, word)) is not None:
        number = f"{before[1]}.{word}"
        reader.complain(
            path, f"'{before[1]},{word}' is written with a comma", f"{before[0]}: {number}", "write numbers with a point", key=True
        )
        return
    plain = word.casefold().replace(" ", "_").replace("-", "_")
    near = "" if "elev" in plain or plain.endswith("_el") else reader.near(plain, keys)
    hint = near or hint_for_key(path, keys) or reader.near(plain, keys) or _hint_for_text(value, word) or "remove it"
    reader.complain(path, f"unknown key {shown(word)}", f"one of {_list_of(keys)}", hint, key=True)


def _before(value: dict[str, Any], word: str) -> tuple[str, int] | None:
    """Return the key before a word and its whole number, where it has one: a decimal comma in a map cuts its number there."""
    words = list(value)
    at = words.index(word)
    number = value[words[at - 1]] if at else None
    return (words[at - 1], number) if isinstance(number, int) and not isinstance(number, bool) else None


def _hint_for_text(value: dict[str, Any], word: str) -> str:
    """Return the hint for a word that is the rest of the text before it: in brackets a comma ends a text that stands without quotes."""
    words = list(value)
    at = words.index(word)
    before = value[words[at - 1]] if at else None
    if not isinstance(before, str) or not (value[word] is None or " " in word):
        return ""
    return f"put the text of '{words[at - 1]}' in quotes: a comma ends it here"


def _list_of(keys: dict[str, Key]) -> str:
    return ", ".join(keys)


def _hint_for_list(path: KeyPath, value: Any) -> str:
    if naming(path) == "water" and isinstance(value, str):
        return (
            "where the log says that none was met, write '- {reading: none_met, hole_depth: ...}'; leave 'water' out where it says nothing"
        )
    return "start every entry with '- ', or write [a, b]"


def _hint_for_map(path: KeyPath, value: Any) -> str:
    if isinstance(value, list) and path:
        return f"write the keys of '{naming(path)}' without '- ' before them"
    return "write 'key: value' lines, indented" if path else ""


def _what(shape: Shape, reader: SiteReader) -> str:
    """Describe in a few words what belongs at a key."""
    if shape.kind == "quantity":
        return (
            expectation(shape, reader.units)
            if shape.form != "value"
            else (f"a {shape.measure.name} in {bare_unit(shape.measure, reader.units)} or with its own unit")
        )
    if shape.kind == "choice":
        return f"one of {', '.join(shape.choices)}"
    if shape.kind == "model" and shape.model is not None:
        return f"a map with the keys {_list_of(keys_of(shape.model))}"
    names = {"list": "a list", "whole": "a whole number", "number": "a number", "truth": "true or false", "text": "a text"}
    return names.get(shape.kind, "a value")


_OTHER_WORDS: dict[str, dict[str, str]] = {
    "units": {"metric": "si", "m": "si", "imperial": "us", "english": "us", "customary": "us", "ft": "us", "feet": "us"},
    "reading": {
        "static": "settled",
        "standing": "settled",
        "stabilized": "settled",
        "stabilised": "settled",
        "24h": "settled",
        "24_hours": "settled",
        "after_24_hours": "settled",
        "strike": "while_drilling",
        "struck": "while_drilling",
        "encountered": "while_drilling",
        "first_encountered": "while_drilling",
        "atd": "while_drilling",
        "at_time_of_drilling": "while_drilling",
        "during_drilling": "while_drilling",
        "completion": "end_of_drilling",
        "at_completion": "end_of_drilling",
        "eod": "end_of_drilling",
        "dry": "none_met",
        "none": "none_met",
        "not_encountered": "none_met",
        "artesian": "confined",
        "standpipe": "piezometer",
        "well": "piezometer",
    },
    "origin": {
        "glacial": "till",
        "glacial_till": "till",
        "moraine": "till",
        "outwash": "glaciofluvial",
        "made_ground": "fill",
        "colluvium": "colluvial",
        "residuum": "residual",
    },
    "technique": {
        "hsa": "hollow_stem_auger",
        "cfa": "solid_auger",
        "ssa": "solid_auger",
        "solid_stem_auger": "solid_auger",
        "solid_flight_auger": "solid_auger",
        "hollow_stem": "hollow_stem_auger",
        "percussion": "cable_percussion",
        "cp": "cable_percussion",
        "shell_and_auger": "cable_percussion",
        "rotary_wash": "mud_rotary",
        "wash_boring": "wash",
        "diamond_core": "core",
        "dth": "air_rotary",
        "down_the_hole_hammer": "air_rotary",
    },
}
"""By key: the word of a site file for what people write; common practice, no source."""


def hint_for_key(path: KeyPath, keys: object) -> str:
    """Return the hint for an unknown key that is another word for a known one, empty where it is none.

    >>> hint_for_key(("borings", 0, "layers", 2, "bottom"), {"top": 0, "base": 0}), hint_for_key(("shafts", 0, "colour"), {"tip": 0})
    ("write 'base' for 'bottom'", '')
    >>> hint_for_key(("shafts", 0, "tip_elevation"), {"tip": 0})
    "write 'tip', the depth below the ground: its elevation less this one; tables of shafts take elevations"
    """
    word = str(path[-1])
    known = keys if isinstance(keys, dict) else {}
    name, equals, value = word.partition("=")
    if equals and name.strip().lower() in known and value.strip():
        return f"write '{name.strip().lower()}: {value.strip()}'"
    if word.lower() == "thickness" and "base" in known:
        return "write 'base', the depth of the bottom of the layer, for its thickness"
    from methodpick.imports.table_columns import column_named, sheets  # noqa: PLC0415 (for this hint alone; they import archives)

    sheet = sheets().get(str(path[-3])) if len(path) > 2 else None
    column = column_named(sheet, word) if sheet is not None else None
    if column is not None and (depth := column.name.removesuffix("_elevation")) in known and depth != column.name:
        return f"write '{depth}', the depth below the ground: its elevation less this one; tables of {path[-3]} take elevations"
    if column is None or len(column.path) != 1 or column.path[0] not in known:
        return ""
    return f"write '{column.name}' for '{word}'"


def hint_for_value(key: str, value: object) -> str:
    """Return the hint for a value that is another word for a known one, empty where it is none.

    >>> hint_for_value("reading", "Static"), hint_for_value("origin", "glacial"), hint_for_value("units", "cubits")
    ("write 'settled' for 'Static'", "write 'till' for 'glacial'", '')
    """
    plain = str(value).strip().casefold().replace(" ", "_").replace("-", "_")
    meant = _OTHER_WORDS.get(key, {}).get(plain)
    return f"write '{meant}' for '{value}'" if meant else ""
