"""The records of a log that is written as lines of quoted values (AGS4, AGS3), and how files on the way through other programs change them.

Line breaks and doubled quotes inside a value are kept. Seen in files that a spreadsheet or a mail program had saved again: tabs or
semicolons between the values, blanks behind the commas, no quotes or curly ones, headings in lower case or with their unit.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from typing import NamedTuple

from methodpick.patterns import pattern_of

_NEW_LINE = pattern_of(r"\r\n|\r|\n")
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
    lines = _NEW_LINE.split(text)
    at = 0
    while at < len(lines):
        line, number = lines[at], at + 1
        at += 1
        if not line or line.isspace():
            continue
        if line.count('"') % 2 == 0:
            yield QuotedRecord(number, _fields(line, separator), line)
            continue
        end = _closing(lines, at, begins)
        if end is None:
            yield QuotedRecord(number, _fields(line, separator), line, unclosed=True)
        else:
            whole = "\n".join(lines[number - 1 : end])
            at = end
            yield QuotedRecord(number, _fields(whole, separator), whole)


def _closing(lines: list[str], start: int, begins: re.Pattern[str]) -> int | None:
    """Return the index behind the line that closes an open quote, None where none does."""
    for index in range(start, min(start + MOST_JOINED, len(lines))):
        if begins.match(lines[index]):
            return None
        if lines[index].count('"') % 2 == 1:
            return index + 1
    return None


def _fields(text: str, separator: str) -> list[str]:
    """Cut a record into its values; the usual one, with every value quoted and no quote in any, without the csv reader."""
    if text[0] == '"' and text[-1] == '"' and len(text) > 1:
        parts = text[1:-1].split(f'"{separator}"')
        if text.count('"') == 2 * len(parts):
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
