"""Penetration tests of AGS4 (ISPT): counts as logged, refusals as blows and penetration, never scaled.

ISPT_REP is written in about thirty ways; ISPT_NPEN is the penetration of the main drive in some files and includes
the seating drive in others, which the increments or the reported text decide.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from methodpick.ground.profile import Remark, Spt
from methodpick.imports.ags4_tables import LEFT_OUT, DataRow

SEATING_M = 0.15
FULL_M = 0.295
SHORTEST_M = 0.001
"""Penetration written for "50 for 0 mm": the sampler bounced."""

_MAIN_FOR = re.compile(r"/\s*(\d+)\s*(?:blows?)?\s*(?:for|in|over)\s*(\d+(?:\.\d+)?)\s*mm", re.IGNORECASE)
_BARE_FOR = re.compile(r"^\D{0,3}(\d+)\s*(?:blows?)?\s*(?:for|in|over)\s*(\d+(?:\.\d+)?)\s*mm", re.IGNORECASE)
_SLASH = re.compile(r"^(?:N\s*[=>]\s*)?(\d+)\s*/\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*$", re.IGNORECASE)
_COUNT = re.compile(r"^N\s*=\s*(\d+)", re.IGNORECASE)
_OVER = re.compile(r"^(?:N\s*)?>\s*(\d+)|^(?:N\s*[=>]*\s*)?(\d+)\s*\+", re.IGNORECASE)
_PLAIN = re.compile(r"^(\d+)\b")
_EXTRAPOLATED = re.compile(r"^(?:N\s*=?\s*)?(\d+)\s*\*", re.IGNORECASE)
_SEATING = re.compile(r"seat", re.IGNORECASE)
_WEIGHT = re.compile(r"self[- ]?weight|weight of (?:the )?(?:hammer|rods)|\bS\.?W\.?P?\b|\bWO[HR]\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Count:
    """What the row says: blows, penetration of the main drive where it was cut short, an extra doubt."""

    n: int
    penetration_m: float | None = None
    weight: bool = False
    doubt: str = ""


def read_spt(row: DataRow) -> Spt | Remark | None:
    """Read one ISPT row: a test, or a remark where the row gives no count; None where it has no depth."""
    depth = row.number("ISPT_TOP")
    if depth is None or depth < 0:
        row.doubt("the penetration test has no depth", LEFT_OUT, quoted=row.text("ISPT_REP"))
        return None
    report = row.text("ISPT_REP")
    count = _count(row, report)
    if count is None:
        text = report or row.text("ISPT_REM") or "no count recorded"
        row.doubt("the penetration test gives no count", "it is kept as a remark", depth_m=depth, quoted=text)
        return Remark(depth_m=depth, text=f"penetration test without a count: {text}")
    if count.doubt:
        row.doubt(count.doubt, f"kept as {count.n} blows", depth_m=depth, quoted=report)
    if not 0 <= count.n <= 1000:
        row.doubt(f"{count.n} blows cannot be", "it is kept as a remark", depth_m=depth, quoted=report)
        return Remark(depth_m=depth, text=f"penetration test with {count.n} blows: {report}".strip(": "))
    blows = () if count.penetration_m is not None else _drives(row, count.n)
    return Spt(depth_m=depth, n=count.n, penetration_m=count.penetration_m, weight_of_hammer=count.weight, blows=blows, text=report)


def _count(row: DataRow, report: str) -> _Count | None:
    value = row.number("ISPT_NVAL", "1")
    if value is None:
        value = row.number("ISPT_MAIN", "1") if not report else None
    if value is not None:
        return _from_value(row, round(value), report)
    if not report:
        weight = row.number("ISPT_SWP", "m", "mm")
        return _Count(0, weight=True) if weight is not None and weight >= SEATING_M + 0.3 else None
    return _from_report(row, report)


def _from_value(row: DataRow, n: int, report: str) -> _Count:
    """Read a stated count; with 50 blows or more a penetration below 300 mm makes it a refusal."""
    if n == 0 and _WEIGHT.search(report):
        return _Count(0, weight=True)
    if _EXTRAPOLATED.match(report):
        return _stopped(row, min(n, 50), f"{n}* looks extrapolated")
    if n < 50 or (_COUNT.match(report) and not _main_for(report)):
        return _Count(n)
    total = row.number("ISPT_NPEN", "m", "mm")
    whole = total is not None and abs(total - FULL_M) < 0.006 and not _main_for(report)
    main = None if whole else _penetration(row, report)
    return _Count(n, main if main is not None and main < FULL_M else None)


def _from_report(row: DataRow, report: str) -> _Count | None:
    """Read the refusals, which have no ISPT_NVAL."""
    if _WEIGHT.search(report):
        return _Count(0, weight=True)
    if _SEATING.search(report) and "/" not in report:
        return None
    if main := _main_for(report):
        return _Count(main[0], main[1] if main[1] < FULL_M else None)
    if match := _EXTRAPOLATED.match(report):
        number = int(match[1])
        return _stopped(row, min(number, 50), f"{number}* looks extrapolated")
    if match := _COUNT.match(report):
        return _stopped(row, int(match[1]), "")
    if match := _OVER.match(report) or _PLAIN.match(report):
        return _stopped(row, int(next(group for group in match.groups() if group)), "")
    return None


def _stopped(row: DataRow, n: int, doubt: str) -> _Count:
    main = _penetration(row, "") if n >= 50 else None
    if main is None and n >= 50:
        doubt = "; ".join(part for part in (doubt, "the penetration at refusal is not recorded") if part)
    return _Count(n, main if main is not None and main < FULL_M else None, doubt=doubt)


def _main_for(report: str) -> tuple[int, float] | None:
    """Read "50 for 75mm" of the main drive: after the slash in brackets, or bare, or written 50/75."""
    match = _MAIN_FOR.search(report) or _SLASH.match(report)
    if match is None and "/" not in report:
        match = _BARE_FOR.match(report)
    if match is None:
        return None
    return int(match[1]), max(SHORTEST_M, round(float(match[2]) / 1000, 4))


def _penetration(row: DataRow, report: str) -> float | None:
    """Return the penetration of the main drive: by the text, by the increments, else by the total."""
    if main := _main_for(report):
        return main[1]
    pens = [row.number(f"ISPT_PEN{index}", "m", "mm") for index in range(1, 7)]
    if any(pen is not None for pen in pens[2:]):
        return round(max(SHORTEST_M, sum(pen for pen in pens[2:] if pen is not None)), 4)
    total = row.number("ISPT_NPEN", "m", "mm")
    if total is None:
        return None
    seating = sum(pen for pen in pens[:2] if pen is not None) or SEATING_M
    return round(max(SHORTEST_M, total - seating if total > max(seating, FULL_M) else total), 4)


def _drives(row: DataRow, n: int) -> tuple[int, ...]:
    """Return the blows of the seating drive and the two main ones, where all six increments agree with the count."""
    texts = [row.text(f"ISPT_INC{index}") for index in range(1, 7)]
    if not all(text.isdecimal() and len(text) < 5 for text in texts):
        return ()
    six = [int(text) for text in texts]
    drives = (six[0] + six[1], six[2] + six[3], six[4] + six[5])
    return drives if drives[1] + drives[2] == n else ()
