"""AGS4 (Association of Geotechnical and Geoenvironmental Specialists, edition 4.x) to the tables of a log, and to borings.

Rules 2 to 8 of the format (from memory): one quoted comma-separated record a line; GROUP, HEADING, UNIT, TYPE and DATA
lines; a blank line ends a group. Real files also break lines inside a quoted value, which the records keep.
"""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from dataclasses import field
from pathlib import Path

from methodpick.errors import InputError, Problem
from methodpick.imports.input_formats import DoubtBook, Imported
from methodpick.imports.log_borings import GROUPS, borings_of
from methodpick.imports.log_records import QuotedRecord, headings_of, plain_quotes, records
from methodpick.imports.log_tables import AS_FAR_AS_IT_GOES, LEFT_OUT, DataRow, Tables, doubt_length, filled, read_text
from methodpick.patterns import pattern_of
from methodpick.records import record

_BEGINS = pattern_of(r'\s*"?(?:GROUP|HEADING|UNIT|TYPE|DATA)"?\s*[,;\t]', re.IGNORECASE)
_GROUP_LINE = pattern_of(r'^\s*"?GROUP"?\s*[,;\t]', re.MULTILINE | re.IGNORECASE)
_AGS3 = pattern_of(r'\s*"?\*\*\??[A-Z]', re.IGNORECASE)
_READ = GROUPS | {"ABBR"}


def read_ags4(source: Path | str, name: str | None = None) -> Imported:
    r"""Read the borings of an AGS4 file (Path) or text (str), with a doubt for everything that is not clear.

    Raises InputError where it is no AGS4 file or names no boring.

    >>> text = '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP"\n"UNIT","","m"\n"DATA","BH1","9.5"\n'
    >>> read_ags4(text).profiles[0].depth_m
    9.5
    """
    name = name or (source.name if isinstance(source, Path) else "")
    return borings_of(read_ags4_tables(source, name), "AGS4 file", "groups LOCA and GEOL with rows")


def read_ags4_tables(source: Path | str, name: str | None = None) -> Tables:
    r"""Read an AGS4 file (Path) or text (str) into its tables; rows of groups that no boring is made of are only counted.

    Raises InputError where it is no regular file, cannot be read, is too large, empty, AGS3 or no AGS4 at all.

    >>> text = '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_GL"\n"UNIT","","m"\n"DATA","BH1","4.5"\n'
    >>> read_ags4_tables(text).of("LOCA")[0].values
    {'LOCA_ID': 'BH1', 'LOCA_GL': '4.5'}
    """
    file = name or (str(source) if isinstance(source, Path) else "the text")
    text, content = read_text(source, file, "an AGS4 file")
    text = plain_quotes(text)
    _refuse_others(text, file)
    book = DoubtBook(file)
    rows, in_file = _rows(text, book)
    return Tables({group: tuple(found) for group, found in rows.items()}, book, hashlib.sha256(content).hexdigest(), in_file)


def _refuse_others(text: str, file: str) -> None:
    if text.startswith("PK\x03\x04"):
        raise InputError(Problem(f"{file}: this is a packed file, not AGS4", hint="unpack it; give a workbook the suffix .xlsx"))
    if _AGS3.match(text):
        raise InputError(Problem(f"{file}: this is an AGS3 file, not AGS4", expected='AGS4, which starts with "GROUP"'))
    if not _GROUP_LINE.search(text):
        raise InputError(Problem(f"{file}: no GROUP line is in it, so it is not AGS4", expected='lines such as "GROUP","LOCA"'))


@record(frozen=False)
class _Ags4Group:
    name: str
    headings: list[str] = field(default_factory=list)
    has_units: bool = False
    units: dict[str, str] = field(default_factory=dict)


def _rows(text: str, book: DoubtBook) -> tuple[dict[str, list[DataRow]], Counter[str]]:
    """Return the rows of the groups that are read, and how many rows each group of the file has."""
    rows: dict[str, list[DataRow]] = {}
    in_file: Counter[str] = Counter()
    group: _Ags4Group | None = None
    for quoted in records(text, _BEGINS):
        fields = quoted.fields
        kind = fields[0].strip().upper()
        if kind == "DATA" and group is not None and group.headings:
            in_file[group.name] += 1
            if not group.has_units and group.name in GROUPS:
                group.has_units = True  # told once
                book.add(quoted.line, f"group {group.name} has no line of units", "those that AGS suggests are taken", severity="note")
            if group.name in _READ or quoted.unclosed or len(fields) != len(group.headings) + 1:
                rows[group.name].append(_row(group, quoted, book))
        elif kind == "GROUP":
            group = _Ags4Group(fields[1].strip().upper() if len(fields) > 1 else "")
            if group.name in in_file:
                book.add(quoted.line, f"group {group.name} stands twice", "the rows are read together", severity="note")
            in_file.setdefault(group.name, 0)
            rows.setdefault(group.name, [])
        elif kind == "HEADING" and group is not None:
            group.headings, group.units = headings_of(fields[1:])
            group.has_units = bool(group.units)
        elif kind == "UNIT" and group is not None:
            group.has_units = True
            group.units |= {heading: unit for heading, unit in zip(group.headings, fields[1:], strict=False) if unit}
        elif kind != "TYPE":
            book.add(quoted.line, "the line is no AGS4 record here", LEFT_OUT, quoted=quoted.text.strip())
    return rows, in_file


def _row(group: _Ags4Group, record: QuotedRecord, book: DoubtBook) -> DataRow:
    fields = record.fields[1:]
    row = DataRow(group.name, record.line, filled(group.headings, fields), group.units, book)
    if record.unclosed:
        row.doubt("a quote is not closed", AS_FAR_AS_IT_GOES, quoted=record.text.strip())
    elif len(fields) != len(group.headings) and (
        len(fields) < len(group.headings) or any(value.strip() for value in fields[len(group.headings) :])
    ):
        doubt_length(row, len(fields), len(group.headings), record.text)
    return row
