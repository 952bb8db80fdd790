"""The reported text of a penetration test (ISPT_REP), taken apart into its seating and its main drive.

Seen in public logs of AGS3 and AGS4; increments are 75 mm each, the last one as long as its "for" says (BS EN ISO 22476-3,
from memory). Nothing is scaled to 300 mm.
"""

from __future__ import annotations

import re

from methodpick.patterns import pattern_of
from methodpick.records import record

INCREMENT_M = 0.075
SEATING_M = 0.15
SEATING_BLOWS = 25
"""Blows at which the seating drive is given up (BS EN ISO 22476-3, from memory)."""
SHORTEST_M = 0.001
"""Penetration written for "50 for 0 mm": the sampler bounced."""

_PART = pattern_of(r"^\s*(?P<blows>\d+|-|)\s*(?:blows?)?\s*(?:(?:for|in|over)\s*(?P<mm>\d+(?:\.\d+)?)\s*mm)?\s*$", re.IGNORECASE)
_TOTAL = pattern_of(
    r"(?:^|[=>])\s*(?:(?:SPT|CPT|ref(?:usal)?|[NSCR])\b\s*[=>:]*\s*|[NSCR])?(\d+)\s*(?:blows?)?\s*"
    r"(?:/\s*(\d+(?:\.\d+)?)\s*(?:mm)?|[-@:]\s*(\d+(?:\.\d+)?)\s*mm)(?=\s*$|\s*\()",
    re.IGNORECASE,
)
_PAIR = pattern_of(r"\d+\s*/\s*\d+(?:\s*,\s*\d+)?\s*,\s*(\d+)\s*/\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*$")
_BARE_FOR = pattern_of(r"^\D{0,3}(\d+)\s*(?:blows?)?\s*(?:for|in|over)\s*(\d+(?:\.\d+)?)\s*mm", re.IGNORECASE)
_LEADING = pattern_of(r"^\s*(?:\(?(?:SPT|CPT|[NSC])\)?\s*[=>:]*\s*)*>?\s*(\d+)\s?[SCR]?\b(?!\s*[,/*])", re.IGNORECASE)
_NAMED = pattern_of(r"\bN\s*[=>]+\s*(\d+)\b(?!\s*[/*])", re.IGNORECASE)
_SEATING_STARRED = pattern_of(r"^\s*(?:[SCN]\s*=?\s*)?(\d+)\s*\*\s*/\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*$", re.IGNORECASE)
"""A star before the stroke marks the blows of a seating drive that met refusal: 25*/50."""
_DRIVES_IN_A_ROW = pattern_of(r"\d+(?:\s*([-,])\s*\d+){2}|\d+(?:\s*([-,])\s*\d+){5}|[1-4]?\d(?:\s*/\s*[1-4]?\d){2}")
"""Three drives of 150 mm (5-7-9, 5/7/9) or six of 75 mm, without a stroke behind the seating."""
_STOPPED_IN_A_ROW = pattern_of(r"^\s*(\d+\s*,\s*\d+)\s*,\s*(\d+(?:\s*,\s*\d+){0,3})\s*(?:/|for)\s*(\d+)\s*mm\s*$", re.IGNORECASE)
"""Increments without a stroke behind the seating, the last one cut short: 8,11,16,18,16/75mm."""
_LAST_BY_STROKE = pattern_of(r"(\d+\s*,\s*\d+\s*/\s*\d+(?:\s*,\s*\d+)*)\s*/\s*(\d+(?:\.\d+)?)\s*mm", re.IGNORECASE)
"""Increments of which the last one says its length behind a stroke: 8,11/16,18,16/75mm."""
_TWO_DRIVES = pattern_of(
    r"^\D{0,3}?\(?(\d+)\s*(?:blows?)?\s*(?:/|for|in|over)\s*(\d+(?:\.\d+)?)\s*(?:mm)?\)?(?:\s*[,;]\s*|\s*(?:and|then)\s*|\s*\(|\s+)"
    r"(\d+)\s*(?:blows?)?\s*(?:/|for|in|over)\s*(\d+(?:\.\d+)?)\s*mm\)?\s*$",
    re.IGNORECASE,
)
"""Both drives as blows and penetration: 25 for 75mm, 50 for 100mm."""
_OTHER_LENGTH = pattern_of(r"(\d+(?:\.\d+)?)\s*(in(?:ch(?:es)?)?\b\.?|\"|cm\b)", re.IGNORECASE)
_STARRED = pattern_of(r"^\s*(?:N\s*=?\s*)?(\d+)\s*\*", re.IGNORECASE)
_AFTER_DRIVES = pattern_of(r"\s+(?:SPT\s*)?(?:N\s*)?=.*$", re.IGNORECASE)
_BRACKETS = pattern_of(r"\(([^()]*/[^()]*)\)")


@record
class Drive:
    """Blows of a drive and its penetration, None where it is not said; ``nominal`` where it is 75 mm an increment, unsaid."""

    blows: int
    penetration_m: float | None = None
    nominal: bool = False


@record
class SptReport:
    """What a reported text says: the count it names, its seating and main drive, and whether the count is marked as extrapolated."""

    count: int | None = None
    seating: Drive | None = None
    main: Drive | None = None
    extrapolated: int | None = None


def read_report(text: str) -> SptReport:
    """Take a reported text apart; what it does not say is None.

    >>> read_report("5-7-9").main, read_report("25*/50").seating
    (Drive(blows=16, penetration_m=0.3, nominal=True), Drive(blows=25, penetration_m=0.05, nominal=False))

    >>> read_report("8,11/16,18,16   for 75mm").main
    Drive(blows=50, penetration_m=0.225, nominal=False)
    >>> read_report("0 (25 for 0mm/0 for 0mm)").seating
    Drive(blows=25, penetration_m=0.001, nominal=False)
    """
    text = _in_millimetres(text)
    if "*" in text and (seated := _SEATING_STARRED.match(text)):
        return SptReport(seating=Drive(int(seated[1][:6]), _metres(seated[2])))
    if _DRIVES_IN_A_ROW.fullmatch(text.strip()):
        blows = [int(part[:6]) for part in re.findall(r"\d+", text)]
        first = len(blows) // 3
        return SptReport(None, Drive(sum(blows[:first]), SEATING_M), Drive(sum(blows[first:]), 2 * SEATING_M, nominal=True))
    if "*" in text and (starred := _STARRED.match(text)):
        return SptReport(extrapolated=int(starred[1][:6]))
    both = _two_drives(text)
    seating, main = both or _reported_drives(text)
    if both is None and (total := _total(text)):
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
    blows, millimetres = (part for part in match if part)
    return Drive(int(blows[:6]), _metres(millimetres))


def _in_millimetres(text: str) -> str:
    """Return a text with its inches and centimetres in millimetres, and a length behind a last stroke as "for".

    >>> _in_millimetres("50/3in"), _in_millimetres("8,11/16,18,16/75mm")
    ('50/76.2mm', '8,11/16,18,16 for 75mm')
    """
    if _OTHER_LENGTH.search(text):
        text = _OTHER_LENGTH.sub(lambda length: f"{float(length[1]) * (10.0 if length[2].lower() == 'cm' else 25.4):g}mm", text)
    if (row := _STOPPED_IN_A_ROW.match(text)) is not None:
        return f"{row[1]}/{row[2]} for {row[3]}mm"
    return _LAST_BY_STROKE.sub(r"\1 for \2mm", text) if text.count("/") > 1 else text


def _two_drives(text: str) -> tuple[Drive, Drive] | None:
    """Return seating and main drive where each is written as blows and penetration, None where they are not.

    >>> _two_drives("25 for 75mm, 50 for 100mm")[1].penetration_m
    0.1
    """
    found = _TWO_DRIVES.match(text)
    if found is None or int(found[1][:6]) > SEATING_BLOWS:
        return None
    return Drive(int(found[1]), _metres(found[2])), Drive(int(found[3][:6]), _metres(found[4]))


def _reported_drives(text: str) -> tuple[Drive | None, Drive | None]:
    """Read "(7,16/16,17,17 for 70mm)", with or without brackets: what stands before and after the stroke."""
    bracket = _BRACKETS.search(text)
    before_bracket = text.partition("(")[0]
    inner = bracket[1] if bracket else _AFTER_DRIVES.sub("", before_bracket)
    if bracket is None and "(" in text and not ("/" in before_bracket and "," in before_bracket):
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
    struck = [part for part in parts if part["blows"].isdecimal()]
    blows = sum(int(part["blows"][:6]) for part in struck)
    last = float(parts[-1]["mm"]) / 1000 if parts[-1]["mm"] is not None else INCREMENT_M
    whole = (max(1, len(struck)) - 1) * INCREMENT_M
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
