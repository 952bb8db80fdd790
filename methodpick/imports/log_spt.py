"""Penetration tests of a log (ISPT): counts as logged, refusals as blows and penetration, never scaled.

A row says the main drive up to five times: ISPT_NVAL, ISPT_MAIN, the increments with their penetrations, ISPT_NPEN
(in some files of the main drive, in others with the seating drive) and the reported text (``spt_report.py``). All of them
are read; what most of them say is taken, and where they disagree that is a doubt. Nothing is scaled to 300 mm.
"""

from __future__ import annotations

import re
from collections import Counter

from methodpick.ground.profile import Remark, Spt
from methodpick.imports.log_tables import LEFT_OUT, DataRow
from methodpick.imports.spt_report import SEATING_BLOWS, SEATING_M, SHORTEST_M, Drive, SptReport, read_report
from methodpick.patterns import pattern_of
from methodpick.records import record

FULL_M = 0.295
REFUSED_BLOWS = 50
"""Blows at which a drive is given up (BS EN ISO 22476-3, ASTM D1586; from memory)."""

_INCREMENTS = tuple(f"ISPT_INC{index}" for index in range(1, 7))
_PENETRATIONS = tuple(f"ISPT_PEN{index}" for index in range(1, 7))
_USUAL = pattern_of(r"(?:N\s*=\s*)?(\d+)(?:\s*\(\d+,\d+/(\d+),(\d+),(\d+),(\d+)\))?", re.IGNORECASE)
_WEIGHT = pattern_of(r"(?:self|own)[- ]?weight|weight of (?:the )?(?:hammer|rods)|\bS\.?W\.?P?\b|\bWO[HR]\b", re.IGNORECASE)
_SEATING_ONLY = pattern_of(r"seat", re.IGNORECASE)
_ALIKE_M = 0.006
"""Penetrations that differ by less are the same one (own value)."""


@record
class _Count:
    """What the row says: blows, penetration of the drive where it was cut short, an extra doubt."""

    n: int
    penetration_m: float | None = None
    weight: bool = False
    doubt: str = ""


@record
class _Drives:
    """The numbers of a row: its counts by where they stand, the penetrations of the main drive, and the seating drive."""

    counts: tuple[tuple[str, int], ...]
    penetrations: tuple[tuple[str, float], ...]
    seating: Drive | None
    total_m: float | None

    def blows(self) -> int | None:
        """Return the count that most headings give, the earlier one at a tie."""
        return _most([count for _, count in self.counts])

    def penetration_m(self) -> float | None:
        """Return the penetration of the main drive that most headings give; ISPT_NPEN speaks for it with or without seating."""
        read = [length for _, length in self.penetrations]
        if not read:
            return self._of_total()
        seating = self._seating_m()
        scores = {
            length: sum(abs(other - length) < _ALIKE_M for other in read)
            + (self.total_m is not None and min(abs(self.total_m - length), abs(self.total_m - seating - length)) < _ALIKE_M)
            for length in read
        }
        return max(read, key=lambda length: scores[length])

    def _seating_m(self) -> float:
        return self.seating.penetration_m if self.seating is not None and self.seating.penetration_m is not None else SEATING_M

    def _of_total(self) -> float | None:
        if self.total_m is None:
            return None
        seating = self._seating_m()
        return round(max(SHORTEST_M, self.total_m - seating if self.total_m > max(seating, FULL_M) else self.total_m), 4)

    def disagreement(self) -> str:
        """Return in words where the row says different things, empty where it does not."""
        said = [f"{count} ({name})" for name, count in self.counts]
        parts = []
        if len({count for _, count in self.counts}) > 1:
            parts.append("the counts disagree: " + ", ".join(said))
        lengths = [length for _, length in self.penetrations]
        if lengths and max(lengths) - min(lengths) >= _ALIKE_M:
            parts.append(
                "the penetrations disagree: " + ", ".join(f"{length * 1000:.0f} mm ({name})" for name, length in self.penetrations)
            )
        return "; ".join(parts)


def read_spt(row: DataRow) -> Spt | Remark | None:
    """Read one ISPT row: a test, or a remark where the row gives no count; None where it has no depth."""
    depth = row.number("ISPT_TOP")
    report = row.text("ISPT_REP") or ("" if row.is_number("ISPT_NVAL") else row.text("ISPT_NVAL"))
    if depth is None or depth < 0:
        row.set_aside("the penetration test has no depth", LEFT_OUT, quoted=report)
        return None
    count = _count(row, report)
    if isinstance(count, str):
        row.doubt(count, "it is kept as a remark", depth_m=depth, quoted=report or row.text("ISPT_REM"))
        return Remark(depth_m=depth, text=f"penetration test: {count}" + (f" ({report})" if report else ""))
    if count.doubt:
        row.doubt(count.doubt, f"kept as {_written(count)}", depth_m=depth, quoted=report)
    if not 0 <= count.n <= 1000:
        row.doubt(f"{count.n} blows cannot be", "it is kept as a remark", depth_m=depth, quoted=report)
        return Remark(depth_m=depth, text=f"penetration test with {count.n} blows: {report}".strip(": "))
    blows = () if count.penetration_m is not None else _increments(row, count.n)
    return Spt(depth_m=depth, n=count.n, penetration_m=count.penetration_m, weight_of_hammer=count.weight, blows=blows, text=report)


def _written(count: _Count) -> str:
    length = "" if count.penetration_m is None else f" over {count.penetration_m * 1000:g} mm"
    return f"{count.n} blows{length}"


def _count(row: DataRow, report: str) -> _Count | str:
    """Return the count of a row, or why it has none."""
    if (plain := _plain(row, report)) is not None:
        return plain
    words = f"{report} {row.text('ISPT_REM')}"
    said, stated = read_report(report), _stated(row, report)
    if _SEATING_ONLY.search(report) and "/" not in report and stated is None:
        return f"no count, {report}"
    drives = _drives(row, said, stated)
    n = drives.blows()
    if not n and _WEIGHT.search(words):
        return _Count(0, weight=True)
    if n is None or (n == 0 and stated is None and drives.seating is not None and drives.seating.blows >= SEATING_BLOWS):
        return _without_main(row, drives)
    stopped = _is_stopped(stated, said, n, drives)
    length = drives.penetration_m() if stopped else None
    if length is not None and (length >= FULL_M or (length > 0.6)):
        length = None
    return _Count(n, length, doubt=_doubt_of(said, drives, n, stopped, length))


def _plain(row: DataRow, report: str) -> _Count | None:
    """Return the count of the usual row, whose headings all say one number below 50; None where it has to be looked at closer."""
    text = row.text("ISPT_NVAL")
    if not (text.isdecimal() and len(text) < 3) or not 0 < (n := int(text)) < REFUSED_BLOWS or row.text("ISPT_MAIN") not in ("", text):
        return None
    match = _USUAL.fullmatch(report)
    if report and (match is None or match[1] != text or (match[2] and sum(map(int, match.groups()[1:])) != n)):
        return None
    increments = [row.text(heading) for heading in _INCREMENTS[2:]]
    if any(increments) and not (all(part.isdecimal() for part in increments) and sum(map(int, increments)) == n):
        return None
    return _Count(n)


def _is_stopped(stated: float | None, said: SptReport, n: int, drives: _Drives) -> bool:
    """Return whether the main drive ended early: never below 50 blows where N is stated, else as far as something says so."""
    if said.extrapolated is not None:
        return True
    if stated is not None and n < REFUSED_BLOWS:
        return False
    if stated is None:
        return n >= REFUSED_BLOWS or bool(drives.penetrations)
    return bool(drives.penetrations) or (drives.total_m is not None and abs(drives.total_m - FULL_M) >= _ALIKE_M)


def _doubt_of(said: SptReport, drives: _Drives, n: int, stopped: bool, length: float | None) -> str:
    parts = []
    if said.extrapolated is not None:
        parts.append(f"{said.extrapolated}* looks extrapolated")
    elif said.count is not None and length is not None and said.count != n and abs(said.count * length / 0.3 - n) < 2:
        parts.append(f"{said.count} looks extrapolated")
    elif (different := drives.disagreement()) and (stopped or "counts" in different):
        parts.append(different)
    if stopped and n >= REFUSED_BLOWS and length is None and drives.penetration_m() is None:
        parts.append("the penetration at refusal is not recorded")
    return "; ".join(parts)


def _without_main(row: DataRow, drives: _Drives) -> _Count | str:
    """Return what a test without a main drive says: weight of the hammer, refusal while seating, or nothing."""
    sank = row.number("ISPT_SWP", "m", "mm")
    if sank is not None and sank >= SEATING_M + 0.3:
        return _Count(0, weight=True)
    seating = drives.seating
    if seating is None or seating.blows == 0:
        return "no count recorded"
    length = seating.penetration_m
    if seating.blows >= REFUSED_BLOWS and length is not None and length < FULL_M:
        return _Count(seating.blows, length, doubt="the seating drive met refusal, no main drive was made")
    over = "" if length is None else f" over {0 if length <= SHORTEST_M else length * 1000:g} mm"
    return f"stopped in the seating drive after {seating.blows} blows{over}, no main drive was made"


def _drives(row: DataRow, said: SptReport, stated: float | None) -> _Drives:
    """Collect what the headings of a row and its reported text say."""
    counts: list[tuple[str, int]] = []
    lengths: list[tuple[str, float]] = []
    if stated is not None and said.extrapolated is None:
        counts.append((row.heading("ISPT_NVAL"), round(stated)))
    increments = [row.number(heading, "1") for heading in _INCREMENTS]
    pens = [row.number(heading, "m", "mm") for heading in _PENETRATIONS]
    by_increments, seating = _by_increments(increments, pens)
    main = row.number("ISPT_MAIN", "1")
    if main is not None:
        counts.append((row.heading("ISPT_MAIN"), round(main)))
    if said.main is not None:
        counts.append(("reported text", said.main.blows))
        exact = by_increments is None or by_increments.penetration_m is None or not said.main.nominal
        if said.main.penetration_m is not None and exact:
            lengths.append(("reported text", said.main.penetration_m))
    elif said.count is not None:
        counts.append(("reported text", said.count))
    elif said.extrapolated is not None:
        counts.append(("reported text", min(said.extrapolated, REFUSED_BLOWS)))
    if by_increments is not None:
        counts += [("increments", by_increments.blows)] if any(inc is not None for inc in increments[2:]) else []
        lengths += [("increments", by_increments.penetration_m)] if by_increments.penetration_m is not None else []
    return _Drives(tuple(counts), tuple(lengths), said.seating or seating, row.number("ISPT_NPEN", "m", "mm"))


def _stated(row: DataRow, report: str) -> float | None:
    """Return the count of ISPT_NVAL; a text such as 50/0.25 or >50, which stands there in some files, is read as the reported text."""
    text = row.text("ISPT_NVAL")
    return None if text == report or re.match(r"\s*\D{0,3}\d+\s*[/*]", text) else row.number("ISPT_NVAL", "1")


def _by_increments(blows: list[float | None], pens: list[float | None]) -> tuple[Drive | None, Drive | None]:
    """Return main and seating drive of six increments. A penetration without blows is the nominal one; all zero is not given."""
    given = any(pen for pen in pens)

    def drive(first: int, last: int) -> Drive | None:
        part = range(first, last)
        struck = [index for index in part if blows[index]]
        if not any(blows[index] is not None for index in part):
            struck = [index for index in part if pens[index] is not None]
            if not struck or not given or any(blow is not None for blow in blows):
                return None
        length = sum(pens[index] or 0.0 for index in struck) if given and all(pens[index] is not None for index in struck) else None
        total = sum(round(blows[index] or 0) for index in part)
        return Drive(total, None if length is None or not struck else max(SHORTEST_M, round(length, 4)))

    return drive(2, 6), drive(0, 2)


def _increments(row: DataRow, n: int) -> tuple[int, ...]:
    """Return the blows of the seating drive and the two main ones, where the sets of 150 mm or all six increments agree with the count."""
    sets = row.text("ISPT_SETS").split(",")
    if len(sets) == 3 and all(text.isdecimal() and len(text) < 5 for text in sets) and int(sets[1]) + int(sets[2]) == n:
        return tuple(int(text) for text in sets)
    texts = [row.text(heading) for heading in _INCREMENTS]
    if not all(text.isdecimal() and len(text) < 5 for text in texts):
        return ()
    six = [int(text) for text in texts]
    drives = (six[0] + six[1], six[2] + six[3], six[4] + six[5])
    return drives if drives[1] + drives[2] == n else ()


def _most(values: list[int]) -> int | None:
    """Return the commonest value, the first at a tie; None of none."""
    if not values:
        return None
    counted = Counter(values)
    return max(values, key=lambda value: (counted[value], -values.index(value)))
