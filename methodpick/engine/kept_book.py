"""Keep a rulebook that was read and checked in the user's cache folder, so that the next command reads its records and not its YAML.

A kept book is data alone: texts, numbers, and records of the kinds that are named here, each made of what stands before it. It belongs to
the content of the rule files and to this copy of the program. It is read only where both are the same, its own digest is right, and nobody
else can have written it; anything else is as if nothing were kept. ``METHODPICK_CACHE`` names another folder, or ``off``.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

import methodpick
from methodpick.engine import load, rule
from methodpick.engine.rule import Loosening
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import Place
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.catalogue import Catalogue, FactSpec
from methodpick.vocabulary.limits import Limit, Source
from methodpick.vocabulary.pay_items import PayGrouping
from methodpick.vocabulary.tables import ClassRow, ClassTable
from methodpick.vocabulary.trade_sizes import ListedSize, SizeList
from methodpick.vocabulary.values import Choice, Span

FORMAT = "methodpick-rulebook-cache/1"
MOST_KEPT = 8
"""So many books are kept: the shipped one, those of some agencies, and what is being changed."""
_RECORDS: tuple[type[Any], ...] = (
    *(rule.Number, rule.LimitRef, rule.FactRef, rule.Arithmetic, rule.Compare, rule.Within, rule.Both, rule.Either, rule.Not, rule.Always),
    *(rule.Cited, rule.Exemption, rule.Case, rule.Rule, Loosening, Rulebook, Place, Assumption, Catalogue, FactSpec, Limit, Source),
    *(PayGrouping, ClassRow, ClassTable, ListedSize, SizeList, Choice, Span),
)
_MAKERS = (lambda *parts: parts, lambda *parts: frozenset(parts), lambda *parts: dict(zip(parts[::2], parts[1::2], strict=True)), *_RECORDS)
"""What makes the compound values: tuples, sets, maps of keys and values in turn, records of their fields."""
_TUPLE, _SET, _MAP, _FIRST_RECORD = range(4)
_PLAIN = frozenset({str, int, float, bool, type(None)})
_CODE = ("", "engine", "vocabulary")
"""The folders of the program whose modules read and check a rulebook."""


def load_rulebook(folder: Path, overlays: Sequence[Path] = ()) -> Rulebook:
    """Load a rulebook as :func:`methodpick.engine.load.load_rulebook` does, from the cache where it is kept there, else keeping it.

    Raises RuleError with every problem of every file; only a book without any is kept.
    """
    place = _place()
    if place is None:
        return load.load_rulebook(folder, overlays)
    try:
        identity = _identity(folder, overlays)
    except OSError:
        return load.load_rulebook(folder, overlays)
    path = place / f"rulebook-{identity[:32]}.json"
    with suppress(OSError, ValueError, TypeError, LookupError, AttributeError, RecursionError):
        return _read(path, identity)
    book = load.load_rulebook(folder, overlays)
    with suppress(OSError, TypeError):
        _write(path, identity, book)
    return book


def _place() -> Path | None:
    """Return the folder that books are kept in, None where nothing is to be kept."""
    named = os.environ.get("METHODPICK_CACHE")
    if named is not None:
        return None if named.strip().casefold() in ("", "off", "no", "0") else Path(named)
    if sys.platform == "win32":
        home = os.environ.get("LOCALAPPDATA")
        return Path(home, "methodpick", "cache") if home else None
    with suppress(RuntimeError):  # a user without a home
        caches = Path.home() / ("Library/Caches" if sys.platform == "darwin" else ".cache")
        return Path(os.environ.get("XDG_CACHE_HOME") or caches) / "methodpick"
    return None


def _identity(folder: Path, overlays: Sequence[Path]) -> str:
    """Return one digest over what a book depends on: this copy of the program, the names and the content of all rule files."""
    digest = hashlib.sha256(f"{FORMAT} {methodpick.__version__}".encode())
    package = Path(methodpick.__file__).parent
    for module in sorted(path for name in _CODE for path in (package / name).glob("*.py")):
        known = module.stat()
        digest.update(f"\n{module}\0{known.st_size}\0{known.st_mtime_ns}".encode("utf-8", "surrogateescape"))
    for path in (*sorted(folder.rglob("*.yaml")), *overlays):
        content = path.read_bytes()
        digest.update(f"\n{path}\0{folder}\0{len(content)}\0".encode("utf-8", "surrogateescape") + content)
    return digest.hexdigest()


# ---- the file: a line that says what it belongs to and its own digest, then the parts


def _read(path: Path, identity: str) -> Rulebook:
    """Read a kept book. Raises OSError where there is none, ValueError and the like where the file is not what was written."""
    if not _is_ours(path.parent) or not _is_ours(path):
        raise ValueError("somebody else may have written it")
    head, _, body = path.read_bytes().partition(b"\n")
    if json.loads(head) != {"format": FORMAT, "of": identity, "digest": hashlib.sha256(body).hexdigest()}:
        raise ValueError("it belongs to something else, or is damaged")
    found = json.loads(body)
    values = found["plain"]
    for maker, *parts in found["compound"]:
        values.append(_MAKERS[maker](*[values[index] for index in parts]))
    book = values[-1]
    if not isinstance(book, Rulebook):
        raise TypeError("it holds no rulebook")
    book.__dict__["digest"] = found["meaning"]
    return book


def _is_ours(path: Path) -> bool:
    """Return whether only this user can have written a file or a folder; not asked where the system has no such owners."""
    known = path.stat()
    return not hasattr(os, "geteuid") or (known.st_uid == os.geteuid() and not known.st_mode & 0o022)


def _write(path: Path, identity: str, book: Rulebook) -> None:
    """Write a book whole or not at all, into a folder of this user alone, and drop the oldest of many.

    Raises OSError, TypeError for what cannot be kept.
    """
    parts = _Parts()
    parts.add(book)
    text = json.dumps({"meaning": book.digest, "plain": parts.plain, "compound": parts.compound()}, separators=(",", ":"))
    body = text.encode("ascii")
    head = json.dumps({"format": FORMAT, "of": identity, "digest": hashlib.sha256(body).hexdigest()})
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not _is_ours(path.parent):
        return
    half = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        with os.fdopen(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(head.encode("ascii") + b"\n" + body)
        half.replace(path)
    finally:
        half.unlink(missing_ok=True)
    for old in sorted(path.parent.glob("rulebook-*"), key=lambda each: each.stat().st_mtime)[:-MOST_KEPT]:
        old.unlink(missing_ok=True)


class _Parts:
    """The values of a book, each once: the plain ones, and the compound ones by their maker and their parts."""

    def __init__(self) -> None:
        self.plain: list[Any] = []
        self._compound: list[tuple[int, ...]] = []
        self._known: dict[Any, int] = {}

    def add(self, value: Any) -> int:
        """Add a value with its parts; return its number, which is even for a plain one. Raises TypeError for what cannot be kept."""
        kind = type(value)
        if kind in _PLAIN:
            known = kind, repr(value)
            if known not in self._known:
                self._known[known] = 2 * len(self.plain)
                self.plain.append(value)
            return self._known[known]
        made = self._made(kind, value)
        if made not in self._known or kind is dict:  # a map may be changed, and is never shared
            self._known[made] = 2 * len(self._compound) + 1
            self._compound.append(made)
        return self._known[made]

    def _made(self, kind: type[Any], value: Any) -> tuple[int, ...]:
        if kind is tuple:
            return _TUPLE, *map(self.add, value)
        if kind is frozenset:
            return _SET, *map(self.add, sorted(value))
        if kind is dict:
            return _MAP, *(self.add(part) for entry in value.items() for part in entry)
        if kind not in _RECORDS:
            raise TypeError(f"a {kind.__name__} is not kept")
        return _FIRST_RECORD + _RECORDS.index(kind), *(self.add(getattr(value, name)) for name in kind.__match_args__)

    def compound(self) -> list[list[int]]:
        """Return the compound values in their order, each after its parts, which are counted through with the plain ones first."""
        first = len(self.plain)
        return [[maker, *(part // 2 + (first if part % 2 else 0) for part in parts)] for maker, *parts in self._compound]
