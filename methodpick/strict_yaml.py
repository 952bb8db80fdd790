"""The one YAML reader: strict, with the place of every value, and all problems of a file at once.

Scalars follow the YAML 1.2 core rules, so that ``no``, ``on``, ``12:30`` and ``2026-03-14`` stay text, ``1e3`` is a
number and ``08`` is eight. Duplicate keys, anchors, aliases, merge keys, tags, several documents, NaN and infinity
are refused.
"""

from __future__ import annotations

import hashlib
import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from methodpick.errors import InputError, Place, Problem

MOST_BYTES = 2_000_000
MOST_DEPTH = 40
MOST_NODES = 200_000
Spot = tuple[str | int, ...]

_INT = re.compile(r"[-+]?[0-9]{1,18}")
_FLOAT = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
_NOT_A_NUMBER = re.compile(r"[-+]?\.(?:inf|nan)|nan|[-+]?inf(?:inity)?", re.IGNORECASE)
_WORDS: dict[str, bool | None] = {"true": True, "True": True, "TRUE": True, "false": False, "False": False,
                                  "FALSE": False, "null": None, "Null": None, "NULL": None, "~": None, "": None}
_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


@dataclass(frozen=True, slots=True)
class Document:
    """A read file: its plain value, and the place of every key and value in it."""

    name: str
    text: str
    value: Any
    digest: str
    _values: dict[Spot, tuple[int, int, int]]
    _keys: dict[Spot, tuple[int, int, int]]

    def place(self, path: Spot, key: bool = False) -> Place:
        """Give the place of the value (or of the key) at a path; of its nearest ancestor where it is not there."""
        spot = tuple(path)
        while True:
            marks = self._keys if key and spot in self._keys else self._values
            if spot in marks:
                line, column, width = marks[spot]
                return Place(self.name, line, column, self.line(line), width)
            if not spot:
                return Place(self.name, 1, 1, self.line(1))
            spot = spot[:-1]

    def line(self, number: int) -> str:
        """Give a line of the text, counted from 1."""
        lines = self.text.split("\n", number)
        return lines[number - 1].rstrip("\r") if 0 < number <= len(lines) else ""


def read(source: Path | str, name: str | None = None) -> Document:
    r"""Read a file (Path) or a text (str).

    Raises InputError with every problem found: the file cannot be read, is empty, too large, not UTF-8, not YAML, or
    uses what this reader refuses.

    >>> read("depth: 1e3\nopen: no").value
    {'depth': 1000.0, 'open': 'no'}
    """
    if isinstance(source, Path):
        name = name or str(source)
        data = _bytes(source, name)
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise InputError(Problem(f"{name}: the file is not UTF-8 text (byte {error.start})",
                                     hint="save the file as UTF-8")) from None
    else:
        text, name = source.removeprefix("\ufeff"), name or "text"
        data = text.encode("utf-8", "surrogatepass")
    if len(data) > MOST_BYTES:
        raise InputError(Problem(f"{name}: the file has {len(data):,} bytes; the most read is {MOST_BYTES:,}"))
    return _compose(text, name, hashlib.sha256(data).hexdigest())


def _bytes(path: Path, name: str) -> bytes:
    if path.is_dir():
        raise InputError(Problem(f"{name}: this is a folder, not a file", hint="name a file in it"))
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise InputError(Problem(f"{name}: the file has {size:,} bytes; the most read is {MOST_BYTES:,}"))
        return path.read_bytes()
    except FileNotFoundError:
        raise InputError(Problem(f"{name}: there is no such file", hint="check the name and the folder")) from None
    except OSError as error:
        raise InputError(Problem(f"{name}: the file cannot be read: {error.strerror}")) from None


def _compose(text: str, name: str, digest: str) -> Document:
    lines = text.split("\n")

    def place(mark: Any, width: int = 1) -> Place:
        line = min(mark.line, len(lines) - 1)
        return Place(name, mark.line + 1, mark.column + 1, lines[line].rstrip("\r"), width)

    _refuse_deep(name, lines)
    try:
        node = _single(text)
    except yaml.MarkedYAMLError as error:
        mark = _telling_mark(error, lines)
        said = _plain(error)
        raise InputError(Problem(f"this is not YAML: {said}", place(mark) if mark else None,
                                 hint=_yaml_hint(said))) from None
    except (yaml.YAMLError, RecursionError, ValueError) as error:
        raise InputError(Problem(f"{name}: this is not YAML: {str(error).splitlines()[0]}")) from None
    if node is None:
        raise InputError(Problem(f"{name}: the file is empty", expected="a site file that starts with 'methodpick: 1'",
                                 hint="'methodpick new' writes one to start from"))
    walk = _Walk(text, place)
    value = walk.value(node, (), 0)
    if walk.problems:
        raise InputError(walk.problems)
    return Document(name, text, value, digest, walk.values, walk.keys)


def _single(text: str) -> Any:
    """Compose the only document; anchors are refused at the event level, before an alias can multiply anything."""
    loader = _Loader(text)
    try:
        return loader.get_single_node()
    finally:
        loader.dispose()


def _refuse_deep(name: str, lines: list[str]) -> None:
    """Refuse brackets nested far beyond any site file before the parser sees them."""
    depth = 0
    for number, line in enumerate(lines, 1):
        depth += line.count("[") + line.count("{") - line.count("]") - line.count("}")
        if depth > 10 * MOST_DEPTH or line.count("[") > 20 * MOST_DEPTH or line.count("- ") > 20 * MOST_DEPTH:
            raise InputError(Problem("nested too deeply", Place(name, number, 1, line[:120]),
                                     f"at most {MOST_DEPTH} levels"))


def _telling_mark(error: yaml.MarkedYAMLError, lines: list[str]) -> Any:
    """Give the mark that helps: an unclosed bracket or quote is named where it opens, not at the end of the file."""
    mark = error.problem_mark or error.context_mark
    at_end = mark is not None and not any(line.strip() for line in lines[mark.line :])
    return error.context_mark or mark if at_end else mark


def _plain(error: yaml.MarkedYAMLError) -> str:
    return " ".join(part for part in (error.context, error.problem) if part)


def _yaml_hint(said: str) -> str:
    if "\\t" in said or "tab" in said or "cannot start any token" in said:
        return "indent with spaces, not tabs; quote text that starts with a special sign"
    if "mapping values are not allowed" in said:
        return "quote text that holds ': ', or check the indentation"
    if "expected a single document" in said:
        return "one file is one site: remove the '---' in the middle"
    return "check indentation, brackets and quotes near the caret"


class _Walk:
    """Turns nodes into plain values, notes every place, collects every problem."""

    def __init__(self, text: str, place: Any) -> None:
        self.text, self.place = text, place
        self.problems: list[Problem] = []
        self.values: dict[Spot, tuple[int, int, int]] = {}
        self.keys: dict[Spot, tuple[int, int, int]] = {}
        self.seen: set[int] = set()

    def value(self, node: yaml.Node, path: Spot, depth: int) -> Any:
        mark = node.start_mark
        width = max(1, node.end_mark.column - mark.column) if node.end_mark.line == mark.line else 1
        self.values[path] = (mark.line + 1, mark.column + 1, width)
        if id(node) in self.seen:
            return None  # an alias: its anchor is refused already
        self._refuse_decorated(node)
        if len(self.seen) > MOST_NODES or depth > MOST_DEPTH:
            return self._refuse(node, "the file is nested too deeply or has too many values", "split it")
        self.seen.add(id(node))
        if isinstance(node, yaml.ScalarNode):
            return self._scalar(node)
        if isinstance(node, yaml.SequenceNode):
            return [self.value(child, (*path, index), depth + 1) for index, child in enumerate(node.value)]
        return self._mapping(node, path, depth)

    def _mapping(self, node: yaml.Node, path: Spot, depth: int) -> dict[str, Any]:
        result: dict[str, Any] = {}
        for key_node, child in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                self._refuse(key_node, "a key must be a word", "use a plain word as key")
                continue
            self._refuse_decorated(key_node)
            key = key_node.value
            if key == "<<":
                self._refuse(key_node, "merge keys ('<<') are not allowed", "write the values out")
                continue
            spot = (*path, key)
            if key in result:
                first = self.keys[spot][0]
                self._refuse(key_node, f"the key '{key}' stands twice in this map", f"the first is on line {first}")
                continue
            mark = key_node.start_mark
            self.keys[spot] = (mark.line + 1, mark.column + 1, max(1, len(key)))
            result[key] = self.value(child, spot, depth + 1)
        return result

    def _scalar(self, node: yaml.ScalarNode) -> Any:
        text = node.value
        if node.style not in (None, ""):
            return text
        if text in _WORDS:
            return _WORDS[text]
        if _INT.fullmatch(text):
            return int(text)
        if _FLOAT.fullmatch(text):
            number = float(text)
            if math.isinf(number) or abs(number) > 1e300:
                return self._refuse(node, f"{text} is too large a number", "check the exponent")
            return number
        if _NOT_A_NUMBER.fullmatch(text):
            return self._refuse(node, f"'{text}' is not a value that can be used", "leave out what is not known")
        return text

    def _refuse_decorated(self, node: yaml.Node) -> None:
        """Refuse a tag or an anchor: a node without one never starts with these signs."""
        start = node.start_mark.index
        if isinstance(node, yaml.MappingNode) and node.value and node.value[0][0].start_mark.index == start:
            return  # the sign belongs to the first key
        sign = self.text[start : start + 1]
        if sign == "!" or not node.tag.startswith("tag:yaml.org,2002:"):
            self._refuse(node, f"tags are not allowed, here '{node.tag}'", "remove the tag")
        elif sign == "&":
            self._refuse(node, "anchors and aliases ('&name', '*name') are not allowed", "write the value out")

    def _refuse(self, node: yaml.Node, message: str, hint: str) -> None:
        mark = node.start_mark
        width = max(1, node.end_mark.column - mark.column) if node.end_mark.line == mark.line else 1
        self.problems.append(Problem(message, self.place(mark, width), hint=hint))
