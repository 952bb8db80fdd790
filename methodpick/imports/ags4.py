"""AGS4 (Association of Geotechnical and Geoenvironmental Specialists, edition 4.x) to the tables of a log, and to borings.

Rules 2 to 8 of the format (from memory): one quoted comma-separated record a line; GROUP, HEADING, UNIT, TYPE and DATA lines; a blank
line ends a group.

Line breaks and doubled quotes inside a value are kept. Seen in files that a spreadsheet or a mail program had saved again: tabs or
semicolons between the values, blanks behind the commas, no quotes or curly ones, headings in lower case or with their unit.
"""

from __future__ import annotations

import csv
import hashlib
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import field
from pathlib import Path
from typing import NamedTuple

from methodpick.errors import InputError, Problem
from methodpick.imports.input_formats import DoubtBook, Imported
from methodpick.imports.log_borings import GROUPS, borings_of
from methodpick.imports.log_tables import AS_FAR_AS_IT_GOES, LEFT_OUT, DataRow, Tables, doubt_length, filled, read_text
from methodpick.patterns import pattern_of
from methodpick.records import record

# ---- lines of quoted values, as AGS3 has them too


MOST_JOINED = 60
"""Lines that one record may run over; a quote that is open for longer was never closed (own value)."""
_LOOKED_AT = 60
"""Signs at the beginning that show which quotes a file uses (own value)."""
_CURLY = str.maketrans({"\N{LEFT DOUBLE QUOTATION MARK}": '"', "\N{RIGHT DOUBLE QUOTATION MARK}": '"'})
_SEPARATED = pattern_of(r'^\s*"?(?:GROUP|\*\??[A-Z0-9]{4}_[A-Z0-9]+)"?\s*([,;\t])', re.MULTILINE | re.IGNORECASE)
_WITH_UNIT = pattern_of(r"([A-Z0-9_]+)\s*[(\[]\s*([^()\[\]]*?)\s*[)\]]")


class QuotedRecord(NamedTuple):
    """One record: the line on which it begins, its values, its text, and whether a quote in it was never closed."""

    line: int
    fields: list[str]
    text: str
    unclosed: bool = False


def records(text: str, begins: re.Pattern[str]) -> Iterator[QuotedRecord]:
    r"""Return the records of a text, blank lines left out; ``begins`` matches a line that can only begin a new one.

    A line whose quotes are not even goes on with the next, unless that begins a new record.

    >>> [one.fields for one in records('"DATA","soft\nCLAY"\n"DATA","x"', re.compile('"DATA"'))]
    [['DATA', 'soft\nCLAY'], ['DATA', 'x']]
    >>> [one.fields for one in records('GROUP\tLOCA\nDATA\tBH1, old', re.compile('DATA'))]
    [['GROUP', 'LOCA'], ['DATA', 'BH1, old']]
    """
    found = _SEPARATED.search(text)
    separator = found[1] if found else ","
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    at = 0
    while at < len(lines):
        line, number = lines[at], at + 1
        at += 1
        if not line or line.isspace():
            continue
        quotes = line.count('"')
        if quotes % 2 == 0:
            yield QuotedRecord(number, _fields(line, separator, quotes), line)
            continue
        end = _closing(lines, at, begins)
        if end is None:
            yield QuotedRecord(number, _fields(line, separator, quotes), line, unclosed=True)
        else:
            whole = "\n".join(lines[number - 1 : end])
            at = end
            yield QuotedRecord(number, _fields(whole, separator, whole.count('"')), whole)


def _closing(lines: list[str], start: int, begins: re.Pattern[str]) -> int | None:
    """Return the index behind the line that closes an open quote, None where none does."""
    for index in range(start, min(start + MOST_JOINED, len(lines))):
        if begins.match(lines[index]):
            return None
        if lines[index].count('"') % 2 == 1:
            return index + 1
    return None


def _fields(text: str, separator: str, quotes: int) -> list[str]:
    """Cut a record with its number of quotes into its values; the usual one, with every value quoted and no quote in any, without csv."""
    if text[0] == '"' and text[-1] == '"' and len(text) > 1:
        parts = text[1:-1].split(f'"{separator}"')
        if quotes == 2 * len(parts):
            return parts
    lines = re.split(r"(?<=\n)", text)
    if separator == ",":  # a blank or tab behind a comma would hide the quote that follows
        lines = [re.sub(r'"[ \t]*,[ \t]+"', '","', line) for line in lines]
    try:
        return next(csv.reader(lines, delimiter=separator, skipinitialspace=True), [""]) or [""]
    except csv.Error:
        return [part.strip().strip('"') for part in text.split(separator)]


def plain_quotes(text: str) -> str:
    r"""Return a text with plain quotes where it begins with curly ones.

    >>> plain_quotes("\u201cGROUP\u201d,\u201cLOCA\u201d")
    '"GROUP","LOCA"'
    """
    return text.translate(_CURLY) if text[:_LOOKED_AT].translate(_CURLY) != text[:_LOOKED_AT] else text


def headings_of(cells: list[str]) -> tuple[list[str], dict[str, str]]:
    """Return the headings of a line of a log as the format writes them, and the units that stand in them.

    >>> headings_of(["loca_id", " GEOL_TOP (m)"])
    (['LOCA_ID', 'GEOL_TOP'], {'GEOL_TOP': 'm'})
    """
    names: list[str] = []
    units: dict[str, str] = {}
    for cell in cells:
        name = cell.strip().upper()
        if name.endswith((")", "]")) and (found := _WITH_UNIT.fullmatch(name)) is not None:
            name = found[1]
            units[name] = cell.strip()[len(name) :].strip(" ()[]\t")
        names.append(name)
    return names, units


# ---- groups


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
