"""AGS4 text to tables: groups, headings, units and rows, nothing interpreted.

Format: AGS4 (Association of Geotechnical and Geoenvironmental Specialists, edition 4.x), rules 2 to 8: one quoted
comma-separated record a line; GROUP, HEADING, UNIT, TYPE and DATA lines; a blank line ends a group (from memory).
"""

from __future__ import annotations

import csv
import hashlib
import math
import re
from dataclasses import dataclass, field
from pathlib import Path

from methodpick import units
from methodpick.errors import InputError, Place, Problem
from methodpick.ground.doubt import DoubtSeverity
from methodpick.imports.input_formats import MOST_QUOTED, DoubtBook, ImportDoubt
from methodpick.regular_file import read_bytes, refuse_empty

MOST_BYTES = 20_000_000
"""The largest file that is read: some thousand borings with their laboratory tests (own value)."""
LEFT_OUT = "it is left out"
KEPT_AS_IT_STANDS = "kept as it stands"
"""What is done about a doubt, where nothing better can be."""
LARGEST = 1e6
"""A number beyond this is a slip, whatever its unit."""
_AGS3 = re.compile(r'\s*"\*{1,2}[A-Z?]')
_NEW_LINE = re.compile(r"\r\n|\r|\n")
_UNIT_NAMES = {"kN/m2": "kPa", "kpa": "kPa", "MN/m2": "MPa", "feet": "ft", "metres": "m", "metre": "m", "M": "m"}


@dataclass(frozen=True, slots=True)
class DataRow:
    """One DATA line: its group, line number, values and units by heading, and where its doubts are collected."""

    group: str
    line: int
    values: dict[str, str]
    units: dict[str, str]
    book: DoubtBook = field(compare=False, repr=False)

    def text(self, heading: str) -> str:
        """Return the value of a heading without outer spaces, empty where there is none."""
        return self.values.get(heading, "").strip()

    @property
    def boring(self) -> str:
        """Return the id of the boring that the row belongs to."""
        return self.text("LOCA_ID")

    @property
    def order(self) -> list[tuple[str, str]]:
        """Return what sorts rows of like depth, whatever their order in the file."""
        return sorted(self.values.items())

    def order_beside(self, *numbers: str) -> list[tuple[str, str]]:
        """Return the same without some headings, whose numbers sort by their size: as text their order would hang on the unit."""
        return [pair for pair in self.order if pair[0] not in numbers]

    def number(self, heading: str, inside: str = "m", bare: str = "") -> float | None:
        """Read a number in the column's own unit into the unit kept inside; blank and unreadable give None.

        ``bare`` is the unit of a column that names none; without it that is the unit kept inside. Metres are
        rounded to 1 mm, or 0.1 mm in columns of mm or in, as those of a site file. A value that is no number,
        or has a unit of another kind, is a doubt.
        """
        text = self.text(heading)
        if not text:
            return None
        unit = self.units.get(heading, "").strip() or bare or inside
        decimals = 9 if inside != "m" else 4 if unit in {"mm", "in"} else 3
        try:
            value = round(units.convert(float(text), _UNIT_NAMES.get(unit, unit), inside), decimals) + 0.0
        except ValueError:
            value = math.nan
        if math.isfinite(value) and abs(value) <= LARGEST:
            return value
        self.doubt(f"{heading} is not a number in {unit}", "the value is left out", quoted=text)
        return None

    def doubt(
        self, message: str, action: str, *, depth_m: float | None = None, quoted: str = "", severity: DoubtSeverity = "doubt"
    ) -> None:
        """Add a doubt about this row."""
        place = Place(self.book.file, self.line, 1)
        self.book.found.append(ImportDoubt(severity, place, self.boring, depth_m, message, action, quoted[:MOST_QUOTED]))


@dataclass(slots=True)
class _Group:
    name: str
    headings: list[str] = field(default_factory=list)
    units: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Tables:
    """All rows of a file by group, what was doubtful about its form, and its SHA-256 digest."""

    rows: dict[str, tuple[DataRow, ...]]
    book: DoubtBook
    digest: str
    _sorted: dict[str, dict[str, tuple[DataRow, ...]]] = field(default_factory=dict, compare=False, repr=False)

    def of(self, group: str, boring: str | None = None) -> tuple[DataRow, ...]:
        """Return the rows of a group, of one boring where it is named."""
        rows = self.rows.get(group, ())
        if boring is None:
            return rows
        if group not in self._sorted:  # once a group, since a file may hold thousands of borings
            by_boring: dict[str, list[DataRow]] = {}
            for row in rows:
                by_boring.setdefault(row.boring, []).append(row)
            self._sorted[group] = {name: tuple(found) for name, found in by_boring.items()}
        return self._sorted[group].get(boring, ())


def read_tables(source: Path | str, name: str | None = None) -> Tables:
    r"""Read an AGS4 file (Path) or text (str) into its tables.

    Raises InputError where it is no regular file, cannot be read, is too large, empty, AGS3 or no AGS4 at all.

    >>> text = '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_GL"\n"UNIT","","m"\n"DATA","BH1","4.5"\n'
    >>> read_tables(text).of("LOCA")[0].values
    {'LOCA_ID': 'BH1', 'LOCA_GL': '4.5'}
    """
    file = name or (str(source) if isinstance(source, Path) else "the text")
    content = read_bytes(source, file, MOST_BYTES) if isinstance(source, Path) else source.encode()
    text = _decode(content, file)
    _refuse_others(text, file)
    book = DoubtBook(file)
    return Tables(_rows(text, book), book, hashlib.sha256(content).hexdigest())


def _decode(content: bytes, file: str) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", "replace")
    if b"\x00" in content[:4000]:
        raise InputError(Problem(f"{file}: this is not a text file", expected="an AGS4 file"))
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")


def _refuse_others(text: str, file: str) -> None:
    refuse_empty(file, text, "an AGS4 file")
    if _AGS3.match(text):
        raise InputError(
            Problem(
                f"{file}: this is an AGS3 file, which is not read",
                expected='AGS4, which starts with "GROUP"',
                hint="ask whoever made it for AGS4; most software writes both",
            )
        )
    if not re.search(r'^\s*"?GROUP"?\s*,', text, re.MULTILINE):
        raise InputError(Problem(f"{file}: no GROUP line is in it, so it is not AGS4", expected='lines such as "GROUP","LOCA"'))


def _rows(text: str, book: DoubtBook) -> dict[str, tuple[DataRow, ...]]:
    rows: dict[str, list[DataRow]] = {}
    group: _Group | None = None
    for number, line in enumerate(_NEW_LINE.split(text), 1):
        if not line.strip():
            continue
        fields = _fields(line)
        kind = fields[0].strip().upper()
        if kind == "GROUP":
            group = _Group(fields[1].strip() if len(fields) > 1 else "")
            if group.name in rows:
                book.add(number, f"group {group.name} stands twice", "the rows are read together", severity="note")
            rows.setdefault(group.name, [])
        elif kind == "HEADING" and group is not None:
            group.headings = [heading.strip() for heading in fields[1:]]
        elif kind == "UNIT" and group is not None:
            group.units = dict(zip(group.headings, fields[1:], strict=False))
        elif kind == "DATA" and group is not None and group.headings:
            rows[group.name].append(_row(group, number, fields[1:], book, line))
        elif kind != "TYPE":
            book.add(number, "the line is no AGS4 record here", LEFT_OUT, quoted=line.strip())
    return {name: tuple(found) for name, found in rows.items()}


def _fields(line: str) -> list[str]:
    try:
        return next(csv.reader([line]), [""]) or [""]
    except csv.Error:
        return [part.strip().strip('"') for part in line.split(",")]


def _row(group: _Group, number: int, fields: list[str], book: DoubtBook, line: str) -> DataRow:
    row = DataRow(group.name, number, dict(zip(group.headings, fields, strict=False)), group.units, book)
    spare = [value for value in fields[len(group.headings) :] if value.strip()]
    if len(fields) < len(group.headings) or spare:
        row.doubt(
            f"the row has {len(fields)} values for {len(group.headings)} headings of {group.name}",
            "it is read as far as it goes",
            quoted=line.strip(),
        )
    return row
