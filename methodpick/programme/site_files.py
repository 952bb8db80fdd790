"""The site files of a programme, and their digests."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from pathlib import Path

from methodpick.errors import InputError, Problem

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
