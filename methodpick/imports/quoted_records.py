"""QuotedRecords of quoted values, comma between them, as AGS files write them: line breaks and doubled quotes inside a value are kept."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from typing import NamedTuple

_NEW_LINE = re.compile(r"\r\n|\r|\n")
MOST_JOINED = 60
"""Lines that one record may run over; a quote that is open for longer was never closed (own value)."""


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
    """
    lines = _NEW_LINE.split(text)
    at = 0
    while at < len(lines):
        line, number = lines[at], at + 1
        at += 1
        if not line or line.isspace():
            continue
        if line.count('"') % 2 == 0:
            yield QuotedRecord(number, _fields(line), line)
            continue
        end = _closing(lines, at, begins)
        if end is None:
            yield QuotedRecord(number, _fields(line), line, unclosed=True)
        else:
            whole = "\n".join(lines[number - 1 : end])
            at = end
            yield QuotedRecord(number, _fields(whole), whole)


def _closing(lines: list[str], start: int, begins: re.Pattern[str]) -> int | None:
    """Return the index behind the line that closes an open quote, None where none does."""
    for index in range(start, min(start + MOST_JOINED, len(lines))):
        if begins.match(lines[index]):
            return None
        if lines[index].count('"') % 2 == 1:
            return index + 1
    return None


def _fields(text: str) -> list[str]:
    """Cut a record into its values; the usual one, with every value quoted and no quote in any, without the csv reader."""
    if text[0] == '"' and text[-1] == '"' and len(text) > 1:
        parts = text[1:-1].split('","')
        if text.count('"') == 2 * len(parts):
            return parts
    try:
        return next(csv.reader(re.split(r"(?<=\n)", text)), [""]) or [""]
    except csv.Error:
        return [part.strip().strip('"') for part in text.split(",")]
