"""Levels of water that a log gives: in words (none met and how far down, struck, rose to), and with a time.

A time is given to levels in the hole at the ends of shifts (PTIM) and in standpipes (MONG, MOND).
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime

from methodpick.ground.profile import MOST_LEVELS, TimedLevel, WaterReading
from methodpick.imports.log_drilling import casing_in
from methodpick.imports.log_tables import LEFT_OUT, DataRow, Tables
from methodpick.patterns import pattern_of
from methodpick.records import record

# ---- in words


_WATER = r"\b(?:free )?(?:ground[- ]?)?water\b"
NONE_MET = pattern_of(
    rf"\b(?:no|nil)\b (?:{_WATER}(?! table)|(?:ground[- ]?water |water )?(?:strikes?|seepages?|inflows?)\b)|"
    r"\b(?:none|not) (?:was |were )?(?:encountered|met|observed|struck|noted)\b(?! (?:to|below))|"
    r"^\s*(?:none|dry|nil)\.?\s*$|^\s*dry (?:down )?to\b|\b(?:hole|borehole|boring|pit) (?:was |remained |is )?dry\b|"
    r"\bwater (?:depth|level) *[=:-]? *(?:nil|dry|none)\b",
    re.IGNORECASE,
)
MOIST = pattern_of(r"\b(?:damp|moist|wet|see?page|seep\w*)\b", re.IGNORECASE)
"""Words of a hole in which no level stood and that was not dry."""
_HEDGED = pattern_of(
    r"\bnot (?:be )?(?:recorded|possible|noted due)\b|\bunable\b|\bcould not\b|\bmask\w*|\bobscur\w*|"
    r"\b(?:due|owing) to\b|\bbecause of\b|"
    r"\bingress after\b|\bprior to\b|\bbefore\b|\buntil\b|\bflush\b|\bwater (?:was |being )?added\b|\badd(?:ed|ition of) water\b",
    re.IGNORECASE,
)
_DRY_TO = pattern_of(r"\b(?:prior to|before|until|above|down to)\b[^.;]{0,60}?\b(\d{1,3}(?:\.\d{1,3})?)\s*m(?:etres)?\b", re.IGNORECASE)
_NONE_TO = pattern_of(
    rf"(?:^\s*|\b(?:hole|borehole|boring|pit) (?:was |remained |is )?)dry (?:down )?to (?:a depth of )?(\d{{1,3}}(?:\.\d{{1,3}})?)|"
    rf"{_WATER}[^.;\d]{{0,20}}\bnot (?:encountered|met|observed|struck) (?:down )?to (?:a depth of )?(\d{{1,3}}(?:\.\d{{1,3}})?)\s*m",
    re.IGNORECASE,
)
_ABOUT = r"(?:\bc\.\s*)?"
_NUMBER = r"(\d{1,3}(?:\.\d{1,3})?)"
_DEPTH = rf"{_NUMBER}\s*(?:m\b|metres?\b|mbgl\b)"
_EVENT = r"\b(?:encounter\w*|struck|strikes?|met|seep\w*|inflows?|ingress|entry|entered|noted|observed|enters)\b"
_STRUCK = pattern_of(
    rf"{_WATER}[^.;]{{0,40}}?{_EVENT}[^.;\d]{{0,40}}?{_ABOUT}{_NUMBER}(?=\s*(?:m\b|mbgl|metres?|and\b|to\b|-|,))|"
    rf"{_EVENT}[^.;\d]{{0,12}}{_WATER}[^.;\d]{{0,20}}{_ABOUT}{_NUMBER}(?=\s*(?:m\b|mbgl|metres?))|"
    rf"^\W*(?:slight |slow |fast |rapid |medium |very |water |heavy )*"
    rf"(?:seepage|strike|inflow|ingress|struck|encountered)\w*\b[^.;\d]{{0,20}}{_ABOUT}{_NUMBER}"
    r"(?=\s*(?:m\b|mbgl|metres?))",
    re.IGNORECASE,
)
_ALSO = pattern_of(rf"\s*(?:m\b|mbgl\b|metres?\b)?\s*(?:bgl\b)?\s*(?:,|and|&)\s*(?:at\s*)?{_DEPTH}", re.IGNORECASE)
_RISEN = pattern_of(rf"\b(?:rose|rising|rises|risen)\b[^.;\d]{{0,20}}?\b(?:t|r)o\s*{_NUMBER}", re.IGNORECASE)
_ROSE_FROM = pattern_of(
    rf"\b(?:rose|rising|rises|risen)\b[^.;\d]{{0,20}}?\bfrom\s*{_NUMBER}\s*m?(?:etres)?\s*(?:bgl\s*)?to\s*{_NUMBER}|"
    rf"\bfrom\s*{_NUMBER}\s*m?\s*to\s*{_NUMBER}\s*m?\b",
    re.IGNORECASE,
)
_AFTER = pattern_of(r"(\d{1,4}(?:\.\d+)?)\s*(min|hour|hr)", re.IGNORECASE)
_AT_END = pattern_of(
    rf"{_WATER}[^.;\d]{{0,30}}\bcompletion\b[^.;\d]{{0,40}}{_DEPTH}|\bstanding {_WATER}[^.;\d]{{0,30}}{_DEPTH}|"
    rf"{_WATER} level (?:was |stood )?(?:at )?{_DEPTH}(?![^.;]*\b(?:ros|ris|str[iu]))",
    re.IGNORECASE,
)
_NO_STRIKE = pattern_of(rf"\badd(?:ed|ing)\b|\bflush\b|\bdrain\b|\bstandpipe\b|\bmains?\b|{_WATER} level\W*$", re.IGNORECASE)


@record
class WordedWater:
    """Water as a sentence tells it: the depths at which it was struck, the level that the last one rose to, the level at the end."""

    struck_m: tuple[float, ...] = ()
    rises_to_m: float | None = None
    after_h: float | None = None
    at_end_m: float | None = None


@record
class NoneMet:
    """A sentence that says that no water was met: plainly, or only down to a depth, or with a reason why it could not be seen."""

    hedged: bool = False
    to_m: float | None = None


def none_met(text: str) -> NoneMet | None:
    """Return how far a sentence says that no water was met, None where it does not say so.

    >>> none_met("No groundwater encountered")
    NoneMet(hedged=False, to_m=None)
    >>> none_met("Groundwater not encountered prior to use of water flush at 6.50m").to_m
    6.5
    >>> none_met("DRY to 6.0")
    NoneMet(hedged=True, to_m=6.0)
    >>> none_met("Groundwater strikes not recorded, water added while drilling").hedged
    True
    """
    text = " ".join(text.split())
    if (down_to := _NONE_TO.search(text)) is not None:
        return NoneMet(hedged=True, to_m=float(down_to[1] or down_to[2]))
    found = NONE_MET.search(text)
    hedge = _HEDGED.search(text)
    if found is None:
        return (
            NoneMet(hedged=True)
            if hedge and re.search(rf"(?:{_WATER}|strikes?)[^.;]*\bnot (?:be )?recorded\b", text, re.IGNORECASE)
            else None
        )
    if hedge is None:
        return NoneMet()
    depth = _DRY_TO.search(text)
    return NoneMet(hedged=True, to_m=float(depth[1]) if depth else None)


def water_in(text: str) -> WordedWater | None:
    """Return the water that a sentence tells of, None where it tells of none or denies it.

    >>> water_in("Groundwater encountered at 6.50m, rising to 5.40m after 20 mins.")
    WordedWater(struck_m=(6.5,), rises_to_m=5.4, after_h=0.3333, at_end_m=None)
    >>> water_in("Groundwater met at 5.5 and 14.0m during drilling").struck_m
    (5.5, 14.0)
    """
    text = " ".join(text.split())
    if (ended := _AT_END.search(text)) is not None:
        return WordedWater(at_end_m=float(next(number for number in ended.groups() if number)))
    if none_met(text) is not None or _NO_STRIKE.search(text):
        return None
    after = _hours(text)
    rose = _ROSE_FROM.search(text) if re.search(r"\bros|\bris", text, re.IGNORECASE) else None
    if rose is not None and re.search(_WATER, text, re.IGNORECASE):
        start, risen_to = (float(number) for number in rose.groups() if number is not None)
        return WordedWater((start,), risen_to, after)
    struck = _STRUCK.search(text)
    if struck is None:
        return None
    depths = [float(next(number for number in struck.groups() if number is not None))]
    end = struck.end()
    while (also := _ALSO.match(text, end)) is not None:
        depths.append(float(also[1]))
        end = also.end()
    if len(depths) > 1 and re.search(r"\bbetween\b", struck[0], re.IGNORECASE):
        depths = depths[:1]
    risen = _RISEN.search(text, end)
    level = float(risen[1]) if risen else None
    return WordedWater(tuple(depths), level, after if level is not None else None)


def _hours(text: str) -> float | None:
    found = _AFTER.search(text)
    if found is None:
        return None
    return round(float(found[1]) / (60 if found[2].lower() == "min" else 1), 4)


# ---- with a time


RESTED_H = 6.0
"""Hours without drilling after which a level in the hole counts as settled (own value)."""
OPEN_M = 0.3
"""Hole open below the casing that lets the water of that ground be read (own value)."""


def progress_levels(tables: Tables, boring: str) -> list[WaterReading]:
    """Read the levels in the hole at the ends of shifts; after a rest without drilling they are settled."""
    found: list[WaterReading] = []
    before: tuple[float, datetime] | None = None
    for row in sorted(tables.of("PTIM", boring), key=lambda row: (row.text("PTIM_DTIM"), row.text("PTIM_DPTH"))):
        hole = row.number("PTIM_DPTH")
        time = _time(row.text("PTIM_DTIM"))
        text = row.text("PTIM_WAT")
        rested = None
        if before is not None and time is not None and hole is not None and abs(hole - before[0]) < 0.01:
            rested = (time - before[1]).total_seconds() / 3600
        if hole is not None and time is not None:
            before = (hole, time)
        if not re.fullmatch(r"[-+]?\d+(?:\.\d+)?", text):
            message = "no level is given with the progress of drilling"
            if not text:
                row.pass_over(message)
            elif none_met(text) is None and not MOIST.search(text):
                row.set_aside(message, "no reading is made of it", depth_m=hole, quoted=text, severity="note")
            continue
        settled = rested is not None and rested >= RESTED_H
        reading = _level_in_hole(row, rested if settled else None)
        found += [reading] if reading else []
    return found


def _level_in_hole(row: DataRow, rested_h: float | None) -> WaterReading | None:
    """Read a level in the hole. Inside casing it is the level of the ground below the shoe, if it has settled."""
    level, hole, casing = row.number("PTIM_WAT"), row.number("PTIM_DPTH"), casing_in(row, "PTIM_CAS")
    date = row.text("PTIM_DTIM") or None
    after = None if rested_h is None else round(rested_h, 2)
    if level is None:
        row.pass_over("the level is not a length")
        return None
    if casing is None or casing <= level:
        return WaterReading(
            reading="end_of_drilling" if after is None else "settled",
            depth_m=level,
            after_h=after,
            hole_depth_m=hole,
            casing_depth_m=casing,
            date=date,
        )
    if after is None or hole is None or hole - casing < OPEN_M:
        row.set_aside(
            "the level was read inside casing", "no reading is made of it", depth_m=level, quoted=f"{casing:.2f} m cased", severity="note"
        )
        return None
    return WaterReading(
        reading="piezometer",
        depth_m=level,
        after_h=after,
        hole_depth_m=hole,
        casing_depth_m=casing,
        response_zone_m=(casing, hole),
        date=date,
        remark=f"in the hole cased to {casing:.2f} m",
    )


def _time(text: str) -> datetime | None:
    try:
        return datetime.fromisoformat(text).replace(tzinfo=None)
    except ValueError:
        return None


def timed_levels(tables: Tables, boring: str) -> list[WaterReading]:
    """Read the levels that a log gives with the time since the water was met (WLEV): settled after some hours, else at the end."""
    found = []
    for row in tables.of("WLEV", boring):
        level, hours = row.number("WLEV_DPTH"), row.number("WLEV_HOUR", "h")
        if level is None:
            row.set_aside("the level has no depth", quoted=row.text("WLEV_REM"))
            continue
        settled = hours is not None and hours >= RESTED_H
        found.append(
            WaterReading(
                reading="settled" if settled else "end_of_drilling",
                depth_m=level,
                after_h=hours if hours is not None and hours >= 0 else None,
                date=row.text("WLEV_DTIM") or None,
                remark=row.text("WLEV_REM") or None,
            )
        )
    return found


def standpipe_levels(tables: Tables, boring: str) -> list[WaterReading]:
    """Return one reading for each standpipe: the highest level with its date, its response zone, and all levels over time.

    A standpipe that was dry at every visit says that no water was met down to the base of its zone.
    """
    zones: dict[str, DataRow] = {}
    for row in tables.of("MONG", boring):
        zones.setdefault(_pipe(row), row)
    levels: dict[str, list[tuple[float, str]]] = {}
    dry: dict[str, list[DataRow]] = {}
    for row in tables.of("MOND", boring):
        if (kind := _kind(row)) is None:
            row.pass_over("not a depth to water")
            continue
        if none_met(row.text("MOND_RDNG")) is not None or (not row.text("MOND_RDNG") and _DRY_PIPE.match(row.text("MOND_REM"))):
            dry.setdefault(_pipe(row), []).append(row)
            continue
        with_unit = replace(row, units={**row.units, "MOND_RDNG": row.text("MOND_UNIT") or "m"})
        level = with_unit.number("MOND_RDNG")
        if level is not None and kind == "level":
            level = _depth_of(level, tables, boring)
        if level is None:
            row.set_aside("the standpipe gave no level", LEFT_OUT, quoted=row.text("MOND_REM"))
        else:
            levels.setdefault(_pipe(row), []).append((level, row.text("MOND_DTIM")))
    for name, row in zones.items():
        if name not in levels and name not in dry:
            row.pass_over("a standpipe without a reading of water")
    found = [_standpipe(name, read, zones.get(name)) for name, read in sorted(levels.items())]
    return found + [reading for name, rows in sorted(dry.items()) if (reading := _dry_standpipe(name, rows, zones.get(name), levels))]


def _kind(row: DataRow) -> str | None:
    """Return whether a reading is a depth to water or a level of water on the datum, by its type or its name; None of anything else."""
    kind, name = row.text("MOND_TYPE").upper(), row.text("MOND_NAME")
    if kind in ("WDEP", "WLEV"):
        return "level" if kind == "WLEV" else "depth"
    if not _OF_WATER.search(name) or kind == "WHD":
        return None
    return "level" if _ON_DATUM.search(f"{name} {row.text('MOND_UNIT')}") else "depth" if "depth" in name.lower() else None


_OF_WATER = pattern_of(r"\b(?:depth to|level of) (?:ground ?)?water\b|\b(?:ground ?)?water (?:level|depth|table)\b", re.IGNORECASE)
_ON_DATUM = pattern_of(r"\bm?a?od\b|ordnance|elevation|reduced level", re.IGNORECASE)


def _depth_of(level_m: float, tables: Tables, boring: str) -> float | None:
    """Return the depth of a level on the datum below the ground of its boring, None where that is not known."""
    ground = next((height for row in tables.of("LOCA", boring) if (height := row.number("LOCA_GL")) is not None), None)
    return None if ground is None else round(ground - level_m, 3)


_DRY_PIPE = pattern_of(r"\s*(?:(?:stand)?pipe |well |piezometer |found |remained )*dry\b", re.IGNORECASE)


def _dry_standpipe(name: str, rows: list[DataRow], zone: DataRow | None, levels: dict[str, list[tuple[float, str]]]) -> WaterReading | None:
    """Return that a standpipe was dry at every visit, None where a level was read at another or its depth is not known."""
    if name in levels:
        for row in rows:
            row.pass_over("the standpipe was dry at this visit and gave a level at another")
        return None
    ends = [zone.number(heading) for heading in ("MONG_TRZ", "MONG_BRZ", "MONG_DIS")] if zone else []
    top, base = (ends[0], ends[1] if ends[1] is not None else ends[2]) if ends else (None, rows[0].number("MONG_DIS"))
    if base is None or base <= 0:
        for row in rows:
            row.set_aside("the standpipe was dry, its depth is not known", LEFT_OUT, quoted=row.text("MOND_REM") or row.text("MOND_RDNG"))
        return None
    dates = sorted(row.text("MOND_DTIM") for row in rows)
    remark = f"standpipe {name} dry at {len(rows)} visit{'s' if len(rows) > 1 else ''}"
    shut_off = top if top is not None and top < base else None
    return WaterReading(reading="none_met", hole_depth_m=base, casing_depth_m=shut_off, date=dates[-1] or None, remark=remark)


def _pipe(row: DataRow) -> str:
    """Return the name of a standpipe: its id, else the depth that it was set to."""
    return row.text("MONG_ID") or row.text("MONG_DIS")


def _standpipe(name: str, read: list[tuple[float, str]], zone: DataRow | None) -> WaterReading:
    level, date = min(read)
    ends = [zone.number(heading) for heading in ("MONG_TRZ", "MONG_BRZ")] if zone else []
    known = [end for end in ends if end is not None]
    several = f"{len(read)} readings from {level:.2f} to {max(read)[0]:.2f} m"
    remark = f"standpipe {name}: {several if len(read) > 1 else 'one reading'}"
    in_time = sorted(read, key=lambda pair: (pair[1], pair[0]))[-MOST_LEVELS:]
    history = tuple(TimedLevel(depth_m=depth, date=at or None) for depth, at in in_time) if len(read) > 1 else ()
    reading = WaterReading(reading="settled", depth_m=level, date=date or None, remark=remark, history=history)
    if len(known) == 2:
        reading = reading.model_copy(update={"reading": "piezometer", "response_zone_m": (min(known), max(known))})
    return reading
