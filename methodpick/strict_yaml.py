"""The one YAML reader: strict, with the place of every value, and all problems of a file at once.

Scalars follow the YAML 1.2 core rules, so that ``no``, ``on``, ``12:30`` and ``2026-03-14`` stay text, ``1e3`` is a
number and ``08`` is eight. Duplicate keys, anchors, aliases, merge keys, tags, several documents, NaN and infinity
are refused.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from methodpick.errors import InputError, Place, Problem, Problems
from methodpick.regular_file import read_bytes
from methodpick.yaml_walk import Spots, TooMuchError, Walk, place_of

MOST_BYTES = 2_000_000
Spot = tuple[str | int, ...]

_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


@dataclass(frozen=True, slots=True)
class Document:
    """A read file: its plain value, and the place of every key and value in it."""

    name: str
    text: str
    value: Any
    digest: str
    problems: Problems
    """What was refused on the way, its text standing for a value, so that the file's other problems can be found too."""
    _lines: list[str]
    _spots: Any

    def place(self, path: Spot, key: bool = False) -> Place:
        """Return the place of the value (or of the key) at a path; of its nearest ancestor where it is not there."""
        spot = found = self._spots
        for step in path:
            if not isinstance(spot, Spots) or (there := spot.at(step)) is None:
                break
            found, spot = there[0 if key else 1], there[1]
        return place_of(self.name, self._lines, found.start_mark, found.end_mark)


def read(source: Path | str, name: str | None = None) -> Document:
    r"""Read a file (Path) or a text (str) whose meaning nobody checks further.

    Raises InputError with every problem found: the file cannot be read, is empty, too large, not UTF-8, not YAML, or
    uses what this reader refuses.

    >>> read("depth: 1e3\nopen: no").value
    {'depth': 1000.0, 'open': 'no'}
    """
    document = examine(source, name)
    if document.problems:
        raise InputError(document.problems)
    return document


def examine(source: Path | str, name: str | None = None) -> Document:
    """Read a file (Path) or a text (str) for a reader who adds its own problems to those of the document.

    Raises InputError where the file cannot be read to its end; what it uses and must not is in ``problems``.

    >>> [problem.message for problem in examine("depth: .nan").problems.kept]
    ["'.nan' is not a value that can be used"]
    """
    if isinstance(source, Path):
        name = name or str(source)
        data = read_bytes(source, name, MOST_BYTES)
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise InputError(Problem(f"{name}: the file is not UTF-8 text (byte {error.start})", hint="save the file as UTF-8")) from None
    else:
        text, name = source.removeprefix("\ufeff"), name or "text"
        data = text.encode("utf-8", "surrogatepass")
    if len(data) > MOST_BYTES:
        raise InputError(Problem(f"{name}: the file has {len(data):,} bytes; the most read is {MOST_BYTES:,}"))
    return _compose(text, name, hashlib.sha256(data).hexdigest())


def _compose(text: str, name: str, digest: str) -> Document:
    lines = text.splitlines()
    walk, read_on = Walk(name, lines), False
    try:
        loader = _Loader(text)
        try:
            value = walk.document(loader)
            read_on = True
        finally:
            loader.dispose()
    except yaml.MarkedYAMLError as error:
        mark, said = _telling_mark(error, lines), _plain(error)
        walk.problems.kept.append(
            Problem(f"this is not YAML: {said}", place_of(name, lines, mark, mark) if mark else None, hint=_yaml_hint(said))
        )
    except TooMuchError:
        pass
    except (yaml.YAMLError, ValueError) as error:
        walk.problems.kept.append(Problem(f"{name}: this is not YAML: {str(error).splitlines()[0]}"))
    if not read_on:
        raise InputError(walk.problems)
    if value is None and not walk.problems:
        raise InputError(
            Problem(
                f"{name}: the file is empty",
                expected="a site file that starts with 'methodpick: 1'",
                hint="'methodpick new' writes one to start from",
            )
        )
    return Document(name, text, value, digest, walk.problems, lines, walk.spots)


def _telling_mark(error: yaml.MarkedYAMLError, lines: list[str]) -> Any:
    """Return the mark that helps: an unclosed bracket or quote is named where it opens, not at the end of the file."""
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
