"""The reported text of a penetration test, such as ``50 (7,16/16,17,17 for 70mm)``, taken apart into its two drives.

Seen in public logs of AGS3 and AGS4; increments are 75 mm each, the last one as long as its "for" says (BS EN ISO 22476-3,
from memory). Nothing is scaled to 300 mm.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

INCREMENT_M = 0.075
SHORTEST_M = 0.001
"""Penetration written for "50 for 0 mm": the sampler bounced."""

_PART = re.compile(r"^\s*(?P<blows>\d+|-|)\s*(?:blows?)?\s*(?:(?:for|in|over)\s*(?P<mm>\d+(?:\.\d+)?)\s*mm)?\s*$", re.IGNORECASE)
_TOTAL = re.compile(r"(?:^|[=>])\s*(?:N\s*[=>]+\s*)?(\d+)\s*/\s*(\d+(?:\.\d+)?)\s*(?:mm)?(?=\s*$|\s*\()", re.IGNORECASE)
_PAIR = re.compile(r"\d+\s*/\s*\d+(?:\s*,\s*\d+)?\s*,\s*(\d+)\s*/\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*$")
_BARE_FOR = re.compile(r"^\D{0,3}(\d+)\s*(?:blows?)?\s*(?:for|in|over)\s*(\d+(?:\.\d+)?)\s*mm", re.IGNORECASE)
_LEADING = re.compile(r"^\s*(?:N\s*[=>]*\s*)?>?\s*(\d+)\b(?!\s*[,/*])", re.IGNORECASE)
_NAMED = re.compile(r"\bN\s*[=>]+\s*(\d+)\b(?!\s*[/*])", re.IGNORECASE)
_STARRED = re.compile(r"^\s*(?:N\s*=?\s*)?(\d+)\s*\*", re.IGNORECASE)
_AFTER_DRIVES = re.compile(r"\s+(?:SPT\s*)?(?:N\s*)?=.*$", re.IGNORECASE)
_BRACKETS = re.compile(r"\(([^()]*/[^()]*)\)")


@dataclass(frozen=True, slots=True)
class Drive:
    """Blows of a drive and its penetration, None where it is not said; ``nominal`` where it is 75 mm an increment, unsaid."""

    blows: int
    penetration_m: float | None = None
    nominal: bool = False


@dataclass(frozen=True, slots=True)
class SptReport:
    """What a reported text says: the count it names, its seating and main drive, and whether the count is marked as extrapolated."""

    count: int | None = None
    seating: Drive | None = None
    main: Drive | None = None
    extrapolated: int | None = None


def read_report(text: str) -> SptReport:
    """Take a reported text apart; what it does not say is None.

    >>> read_report("8,11/16,18,16   for 75mm").main
    Drive(blows=50, penetration_m=0.225, nominal=False)
    >>> read_report("0 (25 for 0mm/0 for 0mm)").seating
    Drive(blows=25, penetration_m=0.001, nominal=False)
    """
    if starred := _STARRED.match(text):
        return SptReport(extrapolated=int(starred[1][:6]))
    seating, main = _drives(text)
    if total := _total(text):
        main = total
    named = _NAMED.search(text) or _LEADING.match(text)
    count = int(named[1][:6]) if named else None
    if main is not None and main.blows == 0 and count:
        main = None
    return SptReport(count, seating, main)


def _total(text: str) -> Drive | None:
    """Read blows and penetration of the main drive where they are written as such: 50/75mm, 50 for 75 mm, 25/0, 50/0."""
    found = _TOTAL.findall(text)
    match = found[-1] if found else None
    if match is None and (pair := _PAIR.search(text.strip().rstrip(")"))):
        match = pair.groups()
    if match is None and "/" not in text and "(" not in text and (bare := _BARE_FOR.match(text)):
        match = bare.groups()
    if match is None:
        return None
    blows, millimetres = match
    return Drive(int(blows[:6]), _metres(millimetres))


def _drives(text: str) -> tuple[Drive | None, Drive | None]:
    """Read "(7,16/16,17,17 for 70mm)", with or without brackets: what stands before and after the stroke."""
    bracket = _BRACKETS.search(text)
    inner = bracket[1] if bracket else _AFTER_DRIVES.sub("", text)
    if bracket is None and "(" in text:
        lone = re.match(r"\s*\(([^()]*)\)", text)
        return (_drive(lone[1]), None) if lone else (None, None)
    if inner.count("/") != 1 or (bracket is None and "," not in inner and "for" not in inner):
        return None, None
    before, after = inner.split("/")
    return _drive(before), _drive(after)


def _drive(text: str) -> Drive | None:
    """Add up the increments of a drive: "16,17,17 for 70mm" is 50 blows over 220 mm; no blows at all give None."""
    parts = [match for part in text.split(",") if (match := _PART.match(part))]
    if len(parts) != text.count(",") + 1:
        return None
    while parts and not parts[-1]["blows"].isdecimal() and parts[-1]["mm"] is None:
        parts.pop()
    if not parts:
        return None
    blows = sum(int(part["blows"][:6]) for part in parts if part["blows"].isdecimal())
    last = float(parts[-1]["mm"]) / 1000 if parts[-1]["mm"] is not None else INCREMENT_M
    whole = (len(parts) - 1) * INCREMENT_M
    if any(part["mm"] is not None for part in parts[:-1]):
        whole = sum(float(part["mm"]) / 1000 if part["mm"] is not None else INCREMENT_M for part in parts[:-1])
    if last > INCREMENT_M + 0.001 and len(parts) > 1 and last >= whole:
        whole = 0.0  # the length is that of the drive, not of its last increment
    nominal = all(part["mm"] is None for part in parts)
    return Drive(blows, max(SHORTEST_M, round(whole + last, 4)), nominal)


def _metres(length: str) -> float:
    """Return a penetration in metres; it is written in millimetres, or as a fraction of a metre (50/0.25)."""
    size = float(length)
    return max(SHORTEST_M, round(size if 0 < size < 1 and "." in length else size / 1000, 4))
