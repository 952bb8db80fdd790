"""The walk through the tree of a site file, guided by the keys of the models; it notes every problem and goes on."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from methodpick.imports.reading import Missing, Path, Reading, naming, shown
from methodpick.imports.site_keys import Key, Shape, keys_of
from methodpick.imports.site_own import FINISHERS, READERS
from methodpick.imports.site_values import bare_unit, expectation, read_quantity


def read_map(reading: Reading, path: Path, value: Any, model: type[BaseModel]) -> dict[str, Any] | Missing:
    """Read a map into the attributes of its model; what could not be read is left out, its problem noted."""
    keys = keys_of(model)
    if not isinstance(value, dict):
        what = "one of several entries, each a map" if path and isinstance(path[-1], int) else "a map"
        return reading.complain(
            path,
            f"{naming(path)}: {shown(value)} where a map belongs",
            f"{what} with the keys {_list_of(keys)}",
            _hint_for_map(path, value),
        )
    tree: dict[str, Any] = {}
    for word, entry in value.items():
        key = keys.get(word)
        if key is None:
            _complain_of_key(reading, (*path, word), keys)
        elif entry is not None or key.required:
            read = READERS.get((model, word), read_shape)(reading, (*path, word), entry, key.shape)
            if not isinstance(read, Missing):
                tree[key.attribute] = read
    for key in keys.values():
        if key.required and key.word not in value:
            reading.complain(path, f"{naming(path)} has no '{key.word}'", _what(key.shape, reading), f"add '{key.word}:'")
    finish = FINISHERS.get(model)
    return finish(reading, path, value, tree) if finish else tree


def read_shape(reading: Reading, path: Path, value: Any, shape: Shape) -> Any:
    """Read what stands at a key by its shape."""
    if shape.kind == "quantity":
        return read_quantity(reading, path, value, shape)
    if shape.kind == "list":
        return _list(reading, path, value, shape)
    if shape.kind == "model" and shape.model is not None:
        return read_map(reading, path, value, shape.model)
    if shape.kind == "choice":
        return reading.choose(path, value, shape.choices, f"known value of '{naming(path)}'")
    if shape.kind in ("number", "whole"):
        return _number(reading, path, value, shape)
    if shape.kind == "truth":
        return _truth(reading, path, value)
    if shape.kind == "text":
        return _text(reading, path, value, shape)
    if shape.kind == "map" and not isinstance(value, dict):
        return reading.complain(path, f"{naming(path)}: {shown(value)} where a map belongs", "a map of names and values")
    return value


def _list(reading: Reading, path: Path, value: Any, shape: Shape) -> Any:
    if shape.item is None:
        return value
    if not isinstance(value, list):
        return reading.complain(
            path,
            f"{naming(path)}: {shown(value)} where a list belongs",
            f"a list, each entry {_what(shape.item, reading)}",
            "start every entry with '- ', or write [a, b]",
        )
    if shape.longest is not None and len(value) > shape.longest:
        return reading.complain(
            path, f"{naming(path)}: {len(value)} entries are too many", f"at most {shape.longest}", "join what is alike, or split the file"
        )
    if len(value) < shape.shortest:
        return reading.complain(path, f"{naming(path)}: the list is empty", f"at least {shape.shortest} entry")
    entries = [read_shape(reading, (*path, index), entry, shape.item) for index, entry in enumerate(value)]
    return [entry for entry in entries if not isinstance(entry, Missing)]


def _number(reading: Reading, path: Path, value: Any, shape: Shape) -> Any:
    whole = shape.kind == "whole"
    what = "a whole number" if whole else "a number"
    is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if not is_number or (whole and value != value // 1):
        return reading.complain(path, f"{naming(path)}: {shown(value)} is not {what}", what, "correct the number")
    if not shape.least <= value <= shape.most:
        return reading.complain(
            path, f"{naming(path)} {shown(value)} cannot be", f"{what} from {shape.least:g} to {shape.most:g}", "correct the number"
        )
    return int(value) if whole else float(value)


def _truth(reading: Reading, path: Path, value: Any) -> Any:
    if isinstance(value, bool):
        return value
    plain = value.strip().casefold() if isinstance(value, str) else ""
    if plain in ("yes", "true", "no", "false"):
        return plain in ("yes", "true")
    return reading.complain(
        path, f"{naming(path)}: {shown(value)} is neither true nor false", "true or false", "leave the key out where it is not known"
    )


def _text(reading: Reading, path: Path, value: Any, shape: Shape) -> Any:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return reading.written(path)
    if isinstance(value, bool):
        return reading.complain(path, f"{naming(path)}: {shown(value)} is not a text", "a text", "put it in quotes")
    if not isinstance(value, str):
        return reading.complain(path, f"{naming(path)}: {shown(value)} where a text belongs", "a text")
    if len(value.strip()) < shape.shortest:
        return reading.complain(path, f"{naming(path)} is empty", "a text", "give it a name")
    return value


def _complain_of_key(reading: Reading, path: Path, keys: dict[str, Key]) -> None:
    word = str(path[-1])
    plain = word.casefold().replace(" ", "_").replace("-", "_")
    reading.complain(path, f"unknown key {shown(word)}", f"one of {_list_of(keys)}", reading.near(plain, keys) or "remove it", key=True)


def _list_of(keys: dict[str, Key]) -> str:
    return ", ".join(keys)


def _hint_for_map(path: Path, value: Any) -> str:
    if isinstance(value, list):
        return f"write the keys of '{naming(path)}' without '- ' before them"
    return "write 'key: value' lines, indented" if path else ""


def _what(shape: Shape, reading: Reading) -> str:
    """Describe in a few words what belongs at a key."""
    if shape.kind == "quantity":
        return (
            expectation(shape, reading.units)
            if shape.form != "one"
            else (f"a {shape.measure.name} in {bare_unit(shape.measure, reading.units)} or with its own unit")
        )
    if shape.kind == "choice":
        return f"one of {', '.join(shape.choices)}"
    if shape.kind == "model" and shape.model is not None:
        return f"a map with the keys {_list_of(keys_of(shape.model))}"
    names = {"list": "a list", "whole": "a whole number", "number": "a number", "truth": "true or false", "text": "a text"}
    return names.get(shape.kind, "a value")
