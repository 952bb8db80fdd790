"""Remarks of a log lifted as quoted sentences, tagged where it is clear what they are evidence of."""

from __future__ import annotations

import re
from functools import lru_cache

from methodpick.ground.descriptions.remark_words import tag_of, tags_of
from methodpick.ground.profile import Remark
from methodpick.imports.log_drilling import AIR_ALONE
from methodpick.imports.log_tables import DataRow, Tables
from methodpick.patterns import pattern_of
from methodpick.units import FOOT_M

_NUMBERED = pattern_of(r"(?:^|(?<=[.\s]))(?:\d{1,2}|[$])[.)]\s+|(?:^|(?<=\s))\(\d{1,2}\)\s+|(?<=[.;])\s+(?=[A-Z])|\|")
_ENDS = (".", ")", ";", "|")
"""One of these stands wherever a remark is cut."""
_UNIT = r"(m\b|ft\b|feet\b|')"
_NUMBER = r"(\d{1,3}(?:\.\d{1,3})?)"
_AT = pattern_of(rf"\b(?:at|from|below|@|collaps\w*)\s*{_NUMBER}\s*{_UNIT}", re.IGNORECASE)
_FELL_TO = pattern_of(rf"\b(?:collaps\w*|caved)(?: back| in)? to\s*{_NUMBER}\s*{_UNIT}", re.IGNORECASE)
_LENGTH = pattern_of(rf"\b(?:between|from)\s*{_NUMBER}\s*(?:m|ft|feet|')?\s*(?:and|to|-)\s*{_NUMBER}\s*{_UNIT}", re.IGNORECASE)
_LOST_RETURN = 50.0
"""Flush return in percent below which the ground is taken to drink (own value)."""


@lru_cache(maxsize=4096)
def sentences(text: str) -> tuple[str, ...]:
    """Cut a remark into its sentences, numbered or not.

    >>> sentences("1. Pit dug to 1.2m. 2. Groundwater met at 5.5 and 14.0m.")
    ('Pit dug to 1.2m', 'Groundwater met at 5.5 and 14.0m')
    """
    if not any(map(text.__contains__, _ENDS)):
        return (part,) if (part := text.strip(" .;")) else ()
    return tuple([part for piece in _NUMBERED.split(text) if (part := piece.strip(" .;"))])


def depth_in(text: str) -> float | None:
    """Return the depth in metres that a sentence names in metres or feet, the upper one of a length; None where it names none or several.

    >>> depth_in("Unstable below 3.0m"), depth_in("water added between 1.5m and 15.0m"), depth_in("chiselled at 2m and at 5m")
    (3.0, 1.5, None)
    >>> depth_in("Hole collapsed to 2.2m from 3.1m"), depth_in("Void from 6.00 to 4.50m")
    (2.2, 4.5)
    >>> depth_in("Hole caved in to 10 ft")
    3.048
    """
    if (length := _LENGTH.search(text) or _FELL_TO.search(text)) is not None:
        *numbers, unit = length.groups()
        return _metres(min(map(float, numbers)), unit)
    found = _AT.findall(text)
    return _metres(float(found[0][0]), found[0][1]) if len(found) == 1 else None


def _metres(number: float, unit: str) -> float:
    return number if unit.lower() == "m" else round(number * FOOT_M, 3)


def remarks_of(tables: Tables, boring: str) -> list[Remark]:
    """Return the remarks of a boring from all groups that carry them."""
    found: list[Remark] = []
    for row in tables.of("LOCA", boring):
        for heading in ("LOCA_REM", "LOCA_TERM"):
            found += _sentences_of(row.text(heading), None)
    for group, depth, headings in (
        ("HDPH", "HDPH_TOP", ("HDPH_STAB", "HDPH_REM")),
        ("DREM", "DREM_TOP", ("DREM_REM",)),
        ("GEOL", "GEOL_TOP", ("GEOL_REM",)),
        ("CORE", "CORE_TOP", ("CORE_REM",)),
        ("ISPT", "ISPT_TOP", ("ISPT_REM",)),
        ("CDIA", "CDIA_DPTH", ("CDIA_REM",)),
        ("HDIA", "HDIA_DPTH", ("HDIA_REM",)),
        ("PTIM", "PTIM_DPTH", ("PTIM_REM",)),
    ):
        for row in tables.holding(group, boring, headings):
            at = row.number(depth) or None if headings[0] == "HDPH_STAB" else row.number(depth)
            found += [remark for heading in headings if row.text(heading) for remark in _sentences_of(_words(row, heading), at)]
    found += _stability(tables, boring) + _worded_tests(tables, boring)
    for row in tables.holding("ISPT", boring, ("ISPT_WAT",)):
        if "add" in row.text("ISPT_WAT").lower():
            found.append(Remark(depth_m=row.number("ISPT_TOP"), text="water added (penetration test)", tag="water_added"))
    return found + _chiselling(tables, boring) + _flush(tables, boring) + _water_added(tables, boring)


def _words(row: DataRow, heading: str) -> str:
    """Return a remark; a word or two on stability do not say what they speak of, and "poor" is then no stable hole."""
    text = row.text(heading)
    if heading != "HDPH_STAB" or len(text.split()) > 2:
        return text
    return f"stability: {text}" + (" (unstable)" if _POOR.search(text) else "")


_POOR = pattern_of(r"\bpoor\b|\bbad\b|\bnone\b", re.IGNORECASE)
WORDED_TESTS = "IVAN"
"""The group whose results are often words: V250+kPa, too stiff for the vane, failed. Those are kept as remarks."""


def _worded_tests(tables: Tables, boring: str) -> list[Remark]:
    return [
        Remark(depth_m=row.number("IVAN_DPTH"), text=f"vane or hand penetrometer: {row.text('IVAN_IVAN')}")
        for row in tables.holding(WORDED_TESTS, boring, ("IVAN_IVAN",))
        if not row.is_number("IVAN_IVAN") and vane_strength_kpa(row) is None
    ]


def vane_strength_kpa(row: DataRow) -> float | None:
    """Return the strength that a result of a vane states in kPa with its letters, V192kPa; None of anything else, PP150kPa or V250+kPa."""
    found = _VANE.fullmatch(row.text("IVAN_IVAN"))
    return None if found is None else float(found[1])


_VANE = pattern_of(r"(?:H|HS|S|F)?V\s*[=:]?\s*(\d{1,3}(?:\.\d+)?)\s*k[Pp]a", re.IGNORECASE)


def _stability(tables: Tables, boring: str) -> list[Remark]:
    """Read what the header says of the hole itself, where the format says it there."""
    return [
        remark
        for row in tables.of("LOCA", boring)
        for heading in ("LOCA_STAB", "LOCA_SHOR")
        for remark in _sentences_of(row.text(heading), None)
        if len(remark.text) > 3
    ]


def _water_added(tables: Tables, boring: str) -> list[Remark]:
    found = []
    for row in tables.of("WADD", boring):
        start, span = _span_text(row, "WADD_TOP", "WADD_BASE")
        volume = row.number("WADD_VOLM", "m3", "L")
        more = [part for part in (volume and f"{volume * 1000:g} l", row.text("WADD_REM")) if part]
        found.append(Remark(depth_m=start, text=", ".join([f"water added {span}", *more]), tag="water_added"))
    return found


def _sentences_of(text: str, depth: float | None) -> list[Remark]:
    found = []
    for sentence in sentences(text):
        at = depth_in(sentence)
        found.append(Remark(depth_m=depth if at is None else at, text=sentence, tag=tag_of(sentence)))
    return found


def _span_text(row: DataRow, top: str, base: str) -> tuple[float | None, str]:
    start, end = row.number(top), row.number(base)
    depths = " to ".join(f"{depth:.2f}" for depth in (start, end) if depth is not None)
    return start, f"{depths} m" if depths else "at a depth not recorded"


def _chiselling(tables: Tables, boring: str) -> list[Remark]:
    found = []
    for row in tables.of("CHIS", boring):
        start, span = _span_text(row, "CHIS_FROM", "CHIS_TO")
        more = [
            part
            for part in (row.text("CHIS_TIME") and f"{row.text('CHIS_TIME')} hh:mm", row.text("CHIS_TOOL"), row.text("CHIS_REM"))
            if part
        ]
        found.append(Remark(depth_m=start, text=", ".join([f"chiselling {span}", *more]), tag="obstruction"))
    return found


def _flush(tables: Tables, boring: str) -> list[Remark]:
    found = []
    for row in tables.of("FLSH", boring):
        start, span = _span_text(row, "FLSH_TOP", "FLSH_BASE")
        low, high = (row.number(heading, "%") for heading in ("FLSH_RETN", "FLSH_RETX"))
        back = " to ".join(f"{share:.0f}" for share in (low, high) if share is not None)
        words = [
            f"flush {span}",
            f"return {back} %" if back else "return not recorded",
            row.text("FLSH_TYPE").lower(),
            row.text("FLSH_REM"),
        ]
        lost = low is not None and low < _LOST_RETURN
        found.append(Remark(depth_m=start, text=", ".join(word for word in words if word), tag="fluid_loss" if lost else None))
    return found


def dry_length(tables: Tables, boring: str) -> float | None:
    """Return the depth down to which a boring was drilled without water in the hole; None where nothing says that any was.

    Water comes in by flush, by core drilling that does not say to use air, or is added to help the tools.
    """
    wet = [row.number("WADD_TOP") or 0.0 for row in tables.of("WADD", boring)]
    flushes = tables.of("FLSH", boring)
    wet += [top for row in flushes if not AIR_ALONE.match(row.text("FLSH_TYPE")) and (top := row.number("FLSH_TOP")) is not None]
    if not flushes:
        wet += [top for row in tables.of("CORE", boring) if (top := row.number("CORE_TOP")) is not None]
    wet += [row.number("ISPT_TOP") or 0.0 for row in tables.holding("ISPT", boring, ("ISPT_WAT",)) if "add" in row.text("ISPT_WAT").lower()]
    for row in tables.of("LOCA", boring):
        for sentence in sentences(row.text("LOCA_REM")):
            if tag_of(sentence) == "water_added" or "water_added" in tags_of(sentence):
                wet.append(depth_in(sentence) or 0.0)
    return min(wet, default=None)
