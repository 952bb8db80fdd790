"""The files of a programme: the sites that it works through with their digests, and its results as JSON lines.

The results begin with a head that says what was done; then comes a line a site, as it is done. A line is written whole and at once; what a
kill leaves of the last one is cut off when the programme goes on. A site whose line is there with the digest of its present content is not
worked on again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

from methodpick.errors import InputError, Problem
from methodpick.records import record

# ---- sites


_PIECE = 1 << 20
_SPECIAL = frozenset("*?[")


def find_files(names: Iterable[str], suffixes: frozenset[str]) -> tuple[Path, ...]:
    """Return the files that are named, those of these suffixes in folders and below them, and those that patterns match, each once.

    Raises InputError with every name under which there is nothing.
    """
    found: dict[Path, None] = {}
    problems = []
    for name in names:
        files = sorted(_files(name, suffixes))
        if not files:
            what = "no file matches" if _is_pattern(name) else "there is no such file, or no file to read in the folder"
            problems.append(Problem(f"{name}: {what}", expected=f"files ending in {', '.join(sorted(suffixes))}"))
        found |= dict.fromkeys(files)
    if problems:
        raise InputError(problems)
    return tuple(found)


def _is_pattern(name: str) -> bool:
    return bool(_SPECIAL & set(name)) and not Path(name).exists()


def _files(name: str, suffixes: frozenset[str]) -> Iterator[Path]:
    path = Path(name)
    if path.is_dir():
        yield from (file for file in path.rglob("*") if file.suffix.lower() in suffixes and file.is_file() and not _is_hidden(file, path))
    elif _is_pattern(name):
        anchor = Path(path.anchor)
        yield from (file for file in anchor.glob(str(path.relative_to(anchor))) if file.is_file())
    elif path.exists():
        yield path


def _is_hidden(file: Path, folder: Path) -> bool:
    return any(part.startswith(".") for part in file.relative_to(folder).parts)


def digest_of(path: Path) -> str:
    """Return the SHA-256 digest of a file as hexadecimal digits, an empty text where it cannot be read."""
    digest = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while piece := file.read(_PIECE):
                digest.update(piece)
    except OSError:
        return ""
    return digest.hexdigest()


def digest_of_all(paths: Iterable[Path]) -> str:
    """Return one digest over the content of several files in their order."""
    return hashlib.sha256("".join(map(digest_of, paths)).encode()).hexdigest()


# ---- results


FORMAT = "methodpick-programme/1"
ANEW = "name another file; --force begins the results anew"
Row = dict[str, Any]


@record(frozen=False)
class ResultFile:
    """The file that results go to; ``before`` holds the rows of an earlier run by the name of their file, without the plans."""

    stream: IO[str]
    before: Mapping[str, Row]

    def write(self, row: Row) -> None:
        """Write one row to the disk."""
        self.stream.write(_line(row))
        self.stream.flush()


@contextmanager
def open_results(path: Path, head: Mapping[str, Any], *, anew: bool) -> Iterator[ResultFile]:
    """Open the results at a place to go on with them, or begin them where there are none or with ``anew``.

    ``head`` says what is done and with which rulebook. Raises InputError where something else stands there, or results of other work.
    """
    try:
        before = {} if anew or not path.exists() or not path.stat().st_size else _earlier(path, head)
        with path.open("a" if before or _has_head(path, anew=anew) else "w", encoding="utf-8", newline="\n") as stream:
            if not stream.tell():
                stream.write(_line({"format": FORMAT, **head}))
                stream.flush()
            yield ResultFile(stream, before)
    except OSError as error:
        raise InputError(Problem(f"{path}: the results cannot be written: {error.strerror}")) from None


def _has_head(path: Path, *, anew: bool) -> bool:
    return not anew and path.exists() and path.stat().st_size > 0


def _line(row: Mapping[str, Any]) -> str:
    return json.dumps(row, ensure_ascii=True, allow_nan=False) + "\n"


def _earlier(path: Path, head: Mapping[str, Any]) -> dict[str, Row]:
    """Return the rows of an earlier run, after cutting off a last line that is not whole."""
    rows: dict[str, Row] = {}
    with path.open("rb+") as file:
        first = _row(file.readline())
        if first is None or first.get("format") != FORMAT:
            raise InputError(
                Problem(f"{path}: this file holds no results of a programme", expected=f"{FORMAT} in its first line", hint=ANEW)
            )
        if other := [name for name, value in head.items() if first.get(name) != value]:
            message = f"{path}: these results were made otherwise: {', '.join(other)} differ"
            raise InputError(Problem(message, hint=ANEW))
        whole = file.tell()
        while line := file.readline():
            row = _row(line)
            if row is None or not isinstance(row.get("file"), str):
                break
            rows[row["file"]] = {name: value for name, value in row.items() if name != "plan"}  # which may be long, and is not asked for
            whole = file.tell()
        file.truncate(whole)
    return rows


def _row(line: bytes) -> Row | None:
    if not line.endswith(b"\n"):
        return None
    try:
        row = json.loads(line)
    except ValueError:
        return None
    return row if isinstance(row, dict) else None
