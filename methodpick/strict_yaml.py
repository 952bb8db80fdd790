"""The one YAML reader: strict, with the place of every value, and all problems of a file at once.

Scalars follow the YAML 1.2 core rules, so that ``no``, ``on``, ``12:30`` and ``2026-03-14`` stay text, ``1e3`` is a
number and ``08`` is eight. Duplicate keys, anchors, aliases, merge keys, tags, several documents, NaN and infinity
are refused.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, field
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
_FIRST = frozenset("0123456789+-.nNiI")
_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


@dataclass(slots=True)
class _Spots:
    """Where a map or a list stands, with the spots of what is in it; those of keys and plain values are the parser's events."""

    start_mark: Any
    end_mark: Any
    inside: dict[str | int, Any] = field(default_factory=dict)
    keys: dict[str | int, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Document:
    """A read file: its plain value, and the place of every key and value in it."""

    name: str
    text: str
    value: Any
    digest: str
    _lines: list[str]
    _spots: Any

    def place(self, path: Spot, key: bool = False) -> Place:
        """Give the place of the value (or of the key) at a path; of its nearest ancestor where it is not there."""
        spot = found = self._spots
        for step in path:
            if not isinstance(spot, _Spots) or step not in spot.inside:
                break
            found = spot.keys.get(step, spot.inside[step]) if key else spot.inside[step]
            spot = spot.inside[step]
        return _place(self.name, self._lines, found.start_mark, found.end_mark)


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
    lines = text.splitlines()
    walk = _Walk(name, lines)
    try:
        loader = _Loader(text)
        try:
            value = walk.document(loader)
        finally:
            loader.dispose()
    except yaml.MarkedYAMLError as error:
        mark, said = _telling_mark(error, lines), _plain(error)
        walk.problems.append(Problem(f"this is not YAML: {said}", _place(name, lines, mark, mark) if mark else None,
                                     hint=_yaml_hint(said)))
    except _TooMuchError:
        value = None
    except (yaml.YAMLError, ValueError) as error:
        walk.problems.append(Problem(f"{name}: this is not YAML: {str(error).splitlines()[0]}"))
    if walk.problems:
        raise InputError(walk.problems)
    if value is None:
        raise InputError(Problem(f"{name}: the file is empty", expected="a site file that starts with 'methodpick: 1'",
                                 hint="'methodpick new' writes one to start from"))
    return Document(name, text, value, digest, lines, walk.spots)


def _line(lines: list[str], index: int) -> str:
    return lines[index] if index < len(lines) else ""


def _place(name: str, lines: list[str], start: Any, end: Any) -> Place:
    width = max(1, end.column - start.column) if end.line == start.line else 1
    return Place(name, start.line + 1, start.column + 1, _line(lines, start.line), width)


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
    return "check indentation, brackets and quotes near the caret"


class _TooMuchError(Exception):
    """The rest of the file is not read; what was found is told."""


class _Walk:
    """Turns the parser's events into plain values, notes every place, collects every problem."""

    def __init__(self, name: str, lines: list[str]) -> None:
        self.name, self.lines = name, lines
        self.problems: list[Problem] = []
        self.spots: Any = None
        self.count = 0

    def document(self, loader: Any) -> Any:
        """Give the value of the only document, None where there is none."""
        self.take = loader.get_event
        self.take()
        if isinstance(self.take(), yaml.StreamEndEvent):
            return None
        value, self.spots = self.value(self.take(), 0)
        self.take()
        more = self.take()
        if not isinstance(more, yaml.StreamEndEvent):
            self.refuse(more, "another document begins here", "one file is one site: remove the '---' in the middle")
        return value

    def value(self, event: Any, depth: int) -> tuple[Any, Any]:
        """Give a value and its spot."""
        self.count += 1
        if depth > MOST_DEPTH or self.count > MOST_NODES:
            self.refuse(event, "the file is nested too deeply or has too many values", f"at most {MOST_DEPTH} levels")
            raise _TooMuchError
        if event.anchor is not None or event.tag is not None:  # an alias has an anchor
            self.refuse_decorated(event)
        kind = type(event)
        if kind is yaml.ScalarEvent:
            return event.value if event.style else self.scalar(event), event
        spots = _Spots(event.start_mark, event.end_mark)
        if kind is yaml.MappingStartEvent:
            return self.mapping(spots, depth + 1), spots
        return self.sequence(spots, depth + 1) if kind is yaml.SequenceStartEvent else None, spots

    def sequence(self, spots: _Spots, depth: int) -> list[Any]:
        result: list[Any] = []
        while type(event := self.take()) is not yaml.SequenceEndEvent:
            item, spots.inside[len(result)] = self.value(event, depth)
            result.append(item)
        spots.end_mark = event.end_mark
        return result

    def mapping(self, spots: _Spots, depth: int) -> dict[str, Any]:
        result: dict[str, Any] = {}
        take, inside, keys = self.take, spots.inside, spots.keys
        while type(event := take()) is not yaml.MappingEndEvent:
            if type(event) is not yaml.ScalarEvent:
                self.refuse(event, "a key must be a word", "use a plain word as key")
                self.value(event, depth)
                self.value(take(), depth)
                continue
            if event.anchor is not None or event.tag is not None:
                self.refuse_decorated(event)
            key = event.value
            if key == "<<" and not event.style:
                self.refuse(event, "merge keys ('<<') are not allowed", "write the values out")
            elif key in result:
                first = keys[key].start_mark.line + 1
                self.refuse(event, f"the key '{key}' stands twice in this map", f"the first is on line {first}")
            else:
                keys[key] = event
                result[key], inside[key] = self.value(take(), depth)
                continue
            self.value(take(), depth)
        spots.end_mark = event.end_mark
        return result

    def scalar(self, event: Any) -> Any:
        text = event.value
        if text in _WORDS:
            return _WORDS[text]
        if text[0] not in _FIRST:
            return text
        if _INT.fullmatch(text):
            return int(text)
        if _FLOAT.fullmatch(text):
            number = float(text)
            if abs(number) > 1e300:
                return self.refuse(event, f"{text[:40]} is too large a number", "check the exponent")
            return number
        if _NOT_A_NUMBER.fullmatch(text):
            return self.refuse(event, f"'{text}' is not a value that can be used", "leave out what is not known")
        return text

    def refuse_decorated(self, event: Any) -> None:
        if getattr(event, "tag", None) is not None:
            self.refuse(event, f"tags are not allowed, here '{event.tag}'", "remove the tag")
        if event.anchor is not None:
            self.refuse(event, "anchors and aliases ('&name', '*name') are not allowed", "write the value out")

    def refuse(self, event: Any, message: str, hint: str) -> None:
        place = _place(self.name, self.lines, event.start_mark, event.end_mark)
        self.problems.append(Problem(message, place, hint=hint))
