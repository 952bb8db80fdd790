"""The one YAML reader: strict, with the place of every value, and all problems of a file at once.

Scalars follow the YAML 1.2 core rules, so that ``no``, ``on``, ``12:30`` and ``2026-03-14`` stay text, ``1e3`` is a
number and ``08`` is eight. Duplicate keys, anchors, aliases, merge keys, tags, several documents, NaN and infinity
are refused.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Any

import yaml
from yaml import AliasEvent, MappingEndEvent, MappingStartEvent, ScalarEvent, SequenceEndEvent, SequenceStartEvent, StreamEndEvent

from methodpick.errors import InputError, Place, Problem, Problems
from methodpick.input_files import not_utf8, place_of_sign, read_bytes, refuse_empty, refuse_large
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.yaml_cures import cure, cure_above

# ---- The one YAML reader: strict, with the place of every value, and all problems of a file at once


MOST_BYTES = 2_000_000
MOST_DEPTH = 40
MOST_NODES = 200_000

_INT = pattern_of(r"[-+]?[0-9]{1,18}")
_FLOAT = pattern_of(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
_NOT_A_NUMBER = pattern_of(r"[-+]?\.(?:inf|nan)|nan|[-+]?inf(?:inity)?", re.IGNORECASE)
_WORDS: dict[str, bool | None] = {
    "true": True,
    "True": True,
    "TRUE": True,
    "false": False,
    "False": False,
    "FALSE": False,
    "null": None,
    "Null": None,
    "NULL": None,
    "~": None,
    "": None,
}
_FIRST = frozenset(("", *"0123456789+-.~nNiItTfF"))
"""How a bare scalar begins that may be no text."""
_NO_YAML = pattern_of("[^\t\n\r -~\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What YAML does not allow in a text."""
KeyPath = tuple[str | int, ...]
"""Where a value stands: the keys and indices that lead to it."""

_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


@record
class YamlDocument:
    """A read file: its plain value, and the place of every key and value in it."""

    name: str
    text: str
    value: Any
    digest: str
    problems: Problems
    """What was refused; its text stands for its value, so that the other problems of the file can be found too."""
    _lines: list[str]
    _spots: Any

    @property
    def to_add(self) -> str:
        """Return what to do about a key that lacks, with ``{}`` for its word."""
        return "add '{}:'"

    def place(self, path: KeyPath, key: bool = False) -> Place:
        """Return the place of the value (or of the key) at a path; of its nearest ancestor where it is not there."""
        spot = found = self._spots
        for step in path:
            if not isinstance(spot, Spots) or (there := spot.at(step)) is None:
                break
            found, spot = there[0 if key else 1], there[1]
        return place_of(self.name, self._lines, found.start_mark, found.end_mark)


def read(source: Path | str, name: str | None = None) -> YamlDocument:
    r"""Read a file (Path) or a text (str), and refuse it where anything is wrong with it.

    Raises InputError with every problem found: the file cannot be read, is empty, too large, not UTF-8, not YAML, or
    uses what this reader refuses.

    >>> read("depth: 1e3\nopen: no").value
    {'depth': 1000.0, 'open': 'no'}
    """
    document = examine(source, name)
    if document.problems:
        raise InputError(document.problems)
    return document


def examine(source: Path | str, name: str | None = None) -> YamlDocument:
    """Read a file (Path) or a text (str) for a caller who adds problems of its own to those of the document.

    Raises InputError where the file cannot be read to its end; what it uses and must not is in ``problems``.

    >>> [problem.message for problem in examine("depth: .nan").problems.kept]
    ["'.nan' is not a value that can be used"]
    """
    if isinstance(source, Path):
        name = name or str(source)
        data = read_bytes(source, name, MOST_BYTES)
        try:
            text = data.decode("utf-8").removeprefix("\ufeff")
        except UnicodeDecodeError as error:
            raise not_utf8(data, error.start, name) from None
    else:
        text, name = source.removeprefix("\ufeff"), name or "text"
        data = text.encode("utf-8", "surrogatepass")
    refuse_large(name, len(data), MOST_BYTES)
    return _compose(text, name, hashlib.sha256(data).hexdigest())


def _compose(text: str, name: str, digest: str) -> YamlDocument:
    lines = text.splitlines()
    events, complete = EventReader(name, lines), False
    try:
        loader = _Loader(text)
        try:
            value = events.document(loader)
            complete = True
        finally:
            loader.dispose()
    except yaml.MarkedYAMLError as error:
        mark, message = _helpful_mark(error, lines), _plain(error)
        line = lines[mark.line] if mark and mark.line < len(lines) else ""
        hint = cure_above(message, lines, mark.line) if mark else ""
        hint = hint or cure(message, line, mark.column if mark else 0)
        events.problems.kept.append(Problem(f"this is not YAML: {message}", place_of(name, lines, mark, mark) if mark else None, hint=hint))
    except TooMuchError:
        pass
    except (yaml.YAMLError, ValueError) as error:
        events.problems.kept.append(_unreadable(text, name, error))
    if not complete:
        raise InputError(events.problems)
    if value is None and not events.problems:
        refuse_empty(name, "", "a site file that starts with 'methodpick: 1'", "'methodpick new' writes one to start from")
    return YamlDocument(name, text, value, digest, events.problems, lines, events.spots)


def _unreadable(text: str, name: str, error: Exception) -> Problem:
    """Return the problem of a text that no YAML is: a control character at its place, else what the parser says."""
    found = _NO_YAML.search(text)
    if found is None:
        return Problem(f"{name}: this is not YAML: {str(error).splitlines()[0]}")
    message = f"the character U+{ord(found[0]):04X} cannot stand in a file of text"
    return Problem(message, place_of_sign(text, found.start(), name), hint="remove it, or write the text anew from the source")


def _helpful_mark(error: yaml.MarkedYAMLError, lines: list[str]) -> Any:
    """Return the mark of the mistake: an unclosed bracket or quote is named where it opens, not at the end of the file."""
    mark = error.problem_mark or error.context_mark
    at_end = mark is not None and not any(line.strip() for line in lines[mark.line :])
    return error.context_mark or mark if at_end else mark


def _plain(error: yaml.MarkedYAMLError) -> str:
    return " ".join(part for part in (error.context, error.problem) if part)


class Spots:
    """Where a map or a list stands and what is in it; the spot of a key or of a plain value is the parser's event.

    ``inside`` holds the spots of the values in their order, ``keys`` those of a map's keys beside them, None for a list.
    A key is looked for only where a place is asked for, which is seldom: building an index of all would take longer.
    """

    __slots__ = ("end_mark", "inside", "keys", "start_mark")

    def __init__(self, start_mark: Any, end_mark: Any, keys: list[Any] | None) -> None:
        """Start with the marks between which it stands; what is in it is added later."""
        self.start_mark, self.end_mark, self.keys = start_mark, end_mark, keys
        self.inside: list[Any] = []

    def at(self, step: str | int) -> tuple[Any, Any] | None:
        """Return the spots of the key and of the value at a step, of the value twice in a list; None where nothing is."""
        if self.keys is None:
            there = isinstance(step, int) and 0 <= step < len(self.inside)
            return (self.inside[int(step)],) * 2 if there else None
        for index, key in enumerate(self.keys):
            if key.value == step:
                return key, self.inside[index]
        return None


def place_of(name: str, lines: list[str], start: Any, end: Any) -> Place:
    """Return the place between two marks of the parser, as wide as it is on its first line."""
    width = max(1, end.column - start.column) if end.line == start.line else 1
    return Place(name, start.line + 1, start.column + 1, lines[start.line] if start.line < len(lines) else "", width)


def first_on_line(line: int) -> str:
    """Write where a word that stands twice stands first."""
    return f"the first is on line {line}"


class TooMuchError(Exception):
    """The file is too large to be read on; its problems so far are kept."""


class EventReader:
    """Turns the parser's events into plain values and notes the place of each; collects the problems on the way."""

    def __init__(self, name: str, lines: list[str]) -> None:
        """Start with the name of the file and its lines, for the places of problems."""
        self.name, self.lines = name, lines
        self.problems = Problems()
        self.spots: Any = None
        self.count = 0

    def document(self, loader: Any) -> Any:
        """Return the value of the only document, None where there is none.

        Raises TooMuchError where the file is nested too deeply or holds too much, and what the parser raises.
        """
        self.take = loader.get_event
        self.take()
        if isinstance(self.take(), StreamEndEvent):
            return None
        value, self.spots = self._value(self.take(), 0)
        self.take()
        more = self.take()
        if not isinstance(more, StreamEndEvent):
            self._refuse(more, "another document begins here", "one file is one site: remove the '---' in the middle")
        return value

    def _value(self, event: Any, depth: int) -> tuple[Any, Any]:
        """Return a value and its spot."""
        if depth > MOST_DEPTH or self.count > MOST_NODES:
            self._too_much(event)
        kind = type(event)
        if event.anchor is not None or kind is AliasEvent or event.tag is not None:
            self._refuse_decorated(event)
        if kind is MappingStartEvent:
            return self._mapping(event, depth + 1)
        if kind is SequenceStartEvent:
            return self._sequence(event, depth + 1)
        self.count += 1
        return (self._plain(event) if kind is ScalarEvent else None), event

    def _sequence(self, start: Any, depth: int) -> tuple[list[Any], Spots]:
        result: list[Any] = []
        spots = Spots(start.start_mark, None, None)
        take, inside = self.take, spots.inside
        while (kind := type(event := take())) is not SequenceEndEvent:
            if kind is ScalarEvent and event.anchor is None and event.tag is None:  # most are; a call saved
                text, spot = event.value, event
                result.append(text if event.style or text[:1] not in _FIRST else self._plain(event))
            else:
                value, spot = self._value(event, depth)
                result.append(value)
            inside.append(spot)
            if len(inside) > MOST_NODES:
                self._too_much(event)
        self.count += len(result) + 1
        spots.end_mark = event.end_mark
        return result, spots

    def _mapping(self, start: Any, depth: int) -> tuple[dict[str, Any], Spots]:
        result: dict[str, Any] = {}
        keys: list[Any] = []
        spots = Spots(start.start_mark, None, keys)
        take, inside = self.take, spots.inside
        while (kind := type(event := take())) is not MappingEndEvent:
            if (
                kind is not ScalarEvent
                or event.anchor is not None
                or event.tag is not None
                or (key := event.value) in result
                or (key == "<<" and not event.style)
            ):
                self._odd_key(event, result, spots, depth)
                continue
            item = take()
            if type(item) is ScalarEvent and item.anchor is None and item.tag is None:  # most are; a call saved
                text = item.value
                result[key] = text if item.style or text[:1] not in _FIRST else self._plain(item)
                spot = item
            else:
                result[key], spot = self._value(item, depth)
            keys.append(event)
            inside.append(spot)
            if len(inside) > MOST_NODES:
                self._too_much(event)
        self.count += len(keys) + 1
        spots.end_mark = event.end_mark
        return result, spots

    def _odd_key(self, event: Any, result: dict[str, Any], spots: Spots, depth: int) -> None:
        """Refuse a key that is no plain new word, and go on behind its value."""
        if type(event) is not ScalarEvent:
            self._refuse(event, "a key must be a word", "use a plain word as key")
            self._value(event, depth)
            self._value(self.take(), depth)
            return
        if event.anchor is not None or event.tag is not None:
            self._refuse_decorated(event)
        key, merged = event.value, event.value == "<<" and not event.style
        if merged:
            self._refuse(event, "merge keys ('<<') are not allowed", "write the values out")
        elif key in result:
            first = None if self.problems.full else spots.at(key)
            self._refuse(event, f"the key '{key}' stands twice in this map", first_on_line(first[0].start_mark.line + 1) if first else "")
        value, spot = self._value(self.take(), depth)
        if not merged and key not in result and spots.keys is not None:
            result[key] = value
            spots.keys.append(event)
            spots.inside.append(spot)

    def _plain(self, event: Any) -> Any:
        text = event.value
        if event.style or text[:1] not in _FIRST:
            return text
        if text in _WORDS:
            return _WORDS[text]
        if _INT.fullmatch(text):
            return int(text)
        if _FLOAT.fullmatch(text):
            number = float(text)
            if abs(number) > 1e300:
                self._refuse(event, f"{text[:40]} is too large a number", "check the exponent")
                return text
            return number
        if _NOT_A_NUMBER.fullmatch(text):
            self._refuse(event, f"'{text}' is not a value that can be used", "leave out what is not known")
        return text

    def _too_much(self, event: Any) -> None:
        self._refuse(event, "the file is nested too deeply or has too many values", f"at most {MOST_DEPTH} levels")
        raise TooMuchError

    def _refuse_decorated(self, event: Any) -> None:
        if getattr(event, "tag", None) is not None:
            self._refuse(event, f"tags are not allowed, here '{event.tag}'", "remove the tag")
        if event.anchor is not None:
            self._refuse(event, "anchors and aliases ('&name', '*name') are not allowed", "write the value out")

    def _refuse(self, event: Any, message: str, hint: str) -> None:
        self.problems.note(lambda: Problem(message, place_of(self.name, self.lines, event.start_mark, event.end_mark), hint=hint))
