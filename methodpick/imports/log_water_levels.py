"""Levels of water that a log gives with a time: in the hole at the ends of shifts (PTIM), in standpipes (MONG, MOND); dry holes.

A dry hole (dry, damp, nil in a column of levels) is evidence, not a blank: it says that no water came in below the casing down to that
depth. It holds only above the depth from which water was in the hole, and only where no water was met above it; all other such words stay
as a remark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from methodpick.ground.profile import MOST_LEVELS, Remark, TimedLevel, WaterReading
from methodpick.imports.log_drilling import casing_in
from methodpick.imports.log_tables import LEFT_OUT, DataRow, Tables
from methodpick.imports.log_water_words import MOIST, none_met
from methodpick.patterns import pattern_of
from methodpick.records import record

NO_READING = "no reading is made of it"
"""What is done about words of water that name no level."""
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
                row.set_aside(message, NO_READING, depth_m=hole, quoted=text, severity="note")
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
        row.set_aside("the level was read inside casing", NO_READING, depth_m=level, quoted=f"{casing:.2f} m cased", severity="note")
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


SHORTEST_DRY_M = 0.5
"""A hole dry over less than this says nothing of water (own value)."""
_OF_HOLE = pattern_of(r"\b(?:bore)?hole\b|\bboring\b|\bwater\b", re.IGNORECASE)
_COLUMNS = (("PTIM", "PTIM_DPTH", "PTIM_CAS", ("PTIM_WAT",)), ("ISPT", "ISPT_TOP", "ISPT_CAS", ("ISPT_WAT", "ISPT_REM")))
"""Group, depth of the hole, casing, and where the words stand: at the ends of shifts, at penetration tests."""


@record
class _HoleSeen:
    """What the hole looked like at a depth: dry or moist, in its casing, with the words and the time of the log."""

    hole_m: float
    casing_m: float | None
    dry: bool
    words: str
    date: str | None

    @property
    def shut_off_m(self) -> float:
        """Return down to where the casing shut the ground off."""
        return min(self.casing_m or 0.0, self.hole_m)

    def sees_all_of(self, other: _HoleSeen) -> bool:
        """Return whether this hole stood open where another one did."""
        return self.shut_off_m <= other.shut_off_m and self.hole_m >= other.hole_m


def is_dry(text: str) -> bool:
    """Return whether a cell says that no water stood in the hole.

    >>> [is_dry(text) for text in ("Dry", "borehole dry at time of test", "Water depth = Dry.", "nil", "damp", "4.20")]
    [True, True, True, True, False, False]
    """
    return none_met(text) is not None


def _seen(tables: Tables, boring: str) -> Iterator[_HoleSeen]:
    for group, depth, casing, headings in _COLUMNS:
        for row in tables.holding(group, boring, headings):
            words = next((text for name in headings if (text := row.text(name)) and _tells(row, name, text)), None)
            hole = row.number(depth) if words else None
            if words and hole is not None and hole > 0:
                cased = casing_in(row, casing)
                yield _HoleSeen(hole, cased, is_dry(words), words, row.text("PTIM_DTIM") or None)


def _tells(row: DataRow, heading: str, text: str) -> bool:
    """Return whether a cell tells of the hole; a remark on a test does so only where it names the hole or the water."""
    if heading == "ISPT_REM" and not _OF_HOLE.search(text):
        return False
    return not row.is_number(heading) and (is_dry(text) or MOIST.search(text) is not None)


def dry_readings(tables: Tables, boring: str, others: list[WaterReading], dry_to_m: float | None) -> list[WaterReading]:
    """Return what a dry hole says beside the other readings: no water met down to a depth, each casing that shows more than another.

    ``dry_to_m`` is the depth from which water was in the hole, None where none was.
    """
    met = [depth for other in others if other.reading != "none_met" for depth in (other.met_m, other.level_m) if depth is not None]
    deepest = min([*met, *([dry_to_m] if dry_to_m is not None else [])], default=float("inf"))
    dry = [seen for seen in _seen(tables, boring) if seen.dry and SHORTEST_DRY_M < seen.hole_m < deepest]
    known = [
        _HoleSeen(other.hole_depth_m, other.casing_depth_m, dry=True, words="", date=None)
        for other in others
        if other.reading == "none_met" and other.hole_depth_m is not None
    ]
    found: list[_HoleSeen] = []
    for seen in sorted(dry, key=lambda seen: (-seen.hole_m, seen.shut_off_m, seen.date or "")):
        shows_more = not any(other.sees_all_of(seen) for other in (*found, *known))
        if shows_more and (not found or seen.hole_m - seen.shut_off_m >= OPEN_M):
            found.append(seen)
    return [
        WaterReading(
            reading="none_met", hole_depth_m=seen.hole_m, casing_depth_m=seen.casing_m, date=seen.date, remark=f"'{seen.words}' in the log"
        )
        for seen in found
    ]


HIGHER_M = 0.5
"""Water in the hole so much above every level read is told (own value)."""
DEEP_M = 3.0
"""A hole that stands deeper in water than this may have it from below, under pressure (own value)."""


def _standing(tables: Tables, boring: str) -> list[tuple[float, float, float | None, DataRow]]:
    """Return the levels of water in the hole at tests and shifts: level, depth of the hole, casing, row. Zero stands for a blank."""
    found = [
        (level, hole, casing_in(row, casing), row)
        for group, depth, casing, (heading, *_) in _COLUMNS
        for row in tables.holding(group, boring, (heading,))
        if row.is_number(heading) and (level := row.number(heading)) and (hole := row.number(depth)) and 0 < level <= hole
    ]
    return sorted(found, key=lambda each: (each[1], each[0], each[3].group))


def doubt_high_water(tables: Tables, boring: str, readings: list[WaterReading], dry_to_m: float | None) -> None:
    """Add a doubt where water stood in the hole above every level that is read as groundwater: it was added, or rose under pressure.

    ``dry_to_m`` is the depth from which the log itself has water in the hole, None where it tells of none.
    """
    levels = [reading.level_m for reading in readings if reading.reading != "none_met" and reading.level_m is not None]
    level, hole, _, row = min(_standing(tables, boring), key=lambda each: (each[0], each[1]), default=(None, 0.0, None, None))
    if level is None or row is None or level >= min(levels, default=hole) - HIGHER_M:
        return
    added = dry_to_m is not None and dry_to_m <= hole
    message = f"water stood at {level:.2f} m in the hole of {hole:.2f} m, above every level that is read as groundwater"
    action = "no reading is made of it: " + ("water was added above" if added else "it was added, or rose under pressure")
    row.doubt(message, action, depth_m=hole, severity="note" if added else "serious" if hole - level > DEEP_M else "doubt")


def remarks_on_hole(tables: Tables, boring: str) -> list[Remark]:
    """Return one remark with all depths at which the log calls the hole dry, and one with those at which it was damp or wet."""
    found = []
    seen = sorted(set(_seen(tables, boring)), key=lambda seen: (seen.hole_m, seen.shut_off_m, seen.words))
    for dry, word in ((True, "dry"), (False, "damp or wet")):
        places = [_place(each) for each in seen if each.dry is dry]
        if places:
            first = min(each.hole_m for each in seen if each.dry is dry)
            found.append(Remark(depth_m=first, text=f"hole logged as {word} at {', '.join(dict.fromkeys(places))}"))
    if standing := [each for each in _standing(tables, boring) if each[3].group == "ISPT"]:
        levels = dict.fromkeys(f"{level:.2f} m at {hole:.2f} m{_cased(casing)}" for level, hole, casing, _ in standing)
        found.append(Remark(depth_m=standing[0][1], text=f"water in the hole at penetration tests: {', '.join(levels)}"))
    return found


def _place(seen: _HoleSeen) -> str:
    return f"{seen.hole_m:.2f} m{_cased(seen.casing_m)}"


def _cased(casing_m: float | None) -> str:
    return f" (cased to {casing_m:.2f} m)" if casing_m else ""
