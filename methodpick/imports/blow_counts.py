"""Blow counts as drillers write them: 11, ``50/3in``, ``50/75mm``, ``WOH``; never scaled to 300 mm."""

from __future__ import annotations

import re
from typing import Any

from methodpick import units
from methodpick.imports.site_reader import MISSING, Missing, SiteReader, shown
from methodpick.strict_yaml import KeyPath

_REFUSAL = re.compile(r"(\d{1,4})\s*/\s*(\S.*)")
_WEIGHT = re.compile(r"(?:WOH|WOR|WH|WR|weight of (?:the )?(?:hammer|rods?))(?:\s*/.*)?", re.IGNORECASE)
MOST_BLOWS = 1000
LONGEST_M = 0.6
_EXPECTED = "a count such as 11, blows and penetration such as 50/3in or 50/75mm, or WOH"

Count = dict[str, Any]


def read_count(reader: SiteReader, path: KeyPath, value: Any) -> Count | Missing:
    """Read one count into the fields of a penetration test; complains and gives MISSING where it is none."""
    if isinstance(value, int) and not isinstance(value, bool):
        return _whole(reader, path, value)
    if isinstance(value, float) and value.is_integer() and abs(value) <= MOST_BLOWS:
        return _whole(reader, path, int(value))
    text = value.strip() if isinstance(value, str) else ""
    if text.isdecimal():
        return _whole(reader, path, int(text[:9]))
    if _WEIGHT.fullmatch(text):
        return {"n": 0, "weight_of_hammer": True, "text": text}
    if match := _REFUSAL.fullmatch(text):
        return _refusal(reader, path, text, int(match[1]), match[2])
    return reader.complain(path, f"n: {shown(value)} is not a blow count", _EXPECTED, _hint(text))


def _whole(reader: SiteReader, path: KeyPath, count: int) -> Count | Missing:
    if 0 <= count <= MOST_BLOWS:
        return {"n": count}
    hint = "at refusal write the blows and the penetration, for example 50/3in" if count > 0 else "correct the number"
    return reader.complain(path, f"n {count} cannot be", f"from 0 to {MOST_BLOWS}", hint)


def _refusal(reader: SiteReader, path: KeyPath, text: str, blows: int, length: str) -> Count | Missing:
    try:
        size_m = units.parse(length, "in" if reader.units == "us" else "mm", "m")
    except ValueError:
        return reader.complain(path, f"n: the penetration in '{text}' is not a length", _EXPECTED)
    if not 0 < size_m <= LONGEST_M or blows > MOST_BLOWS:
        return reader.complain(
            path,
            f"n: '{text}' cannot be",
            f"up to {MOST_BLOWS} blows over up to 24 in (600 mm)",
            "name the unit of the penetration, for example 50/3in or 50/75mm",
        )
    return {"n": blows, "penetration_m": round(size_m, 4), "text": text}


def _hint(text: str) -> str:
    if text.casefold() in ("refusal", "r", "ref") or text.startswith(">") or text.endswith("+"):
        return "at refusal write the blows and the penetration, for example 50/3in"
    if count := re.fullmatch(r"N\s*[=:]?\s*(\d+)", text, re.IGNORECASE):
        return f"write the number alone: n: {count[1]}"
    if re.fullmatch(r"\d+(?:\s*[-/,+]\s*\d+){2,3}", text):
        return f"write the blows of each interval: blows: [{', '.join(re.findall(r'[0-9]+', text))}]"
    return "leave 'n' out where the test was not made"


def read_blows(reader: SiteReader, path: KeyPath, value: Any) -> tuple[list[int], Count] | Missing:
    """Read the blows of the seating drive and of each interval, the last one perhaps ``50/3in``.

    Gives the whole numbers and the count that follows from them: of three or four intervals of 6 in (150 mm) the sum
    of the second and third (ASTM D1586), at refusal the blows and penetration of the last.
    """
    if not isinstance(value, list):
        return reader.complain(path, f"blows: {shown(value)} is not a list", "a list such as [3, 5, 6]")
    counts = [read_count(reader, (*path, index), entry) for index, entry in enumerate(value)]
    read = [count for count in counts if not isinstance(count, Missing)]
    if len(read) < len(counts):
        return MISSING
    whole = [int(count["n"]) for count in read]
    refused = next((count for count in read if "penetration_m" in count), None)
    if refused is not None:
        return whole, refused
    return whole, {"n": whole[1] + whole[2]} if len(whole) in (3, 4) else {}
