"""Water levels of AGS4 that are no strikes: levels in the hole during drilling (PTIM), standpipes (MONG, MOND)."""

from __future__ import annotations

import re
from datetime import datetime

from methodpick.ground.water import WaterReading
from methodpick.imports.ags4 import Row, Tables
from methodpick.imports.imported import DoubtBook

RESTED_H = 6.0
"""Hours without drilling after which a level in the hole counts as settled (own value)."""
OPEN_M = 0.3
"""Hole open below the casing that lets the water of that ground be read (own value)."""


def progress_levels(tables: Tables, boring: str) -> list[WaterReading]:
    """Read the levels in the hole at the ends of shifts; after a rest without drilling they are settled."""
    found: list[WaterReading] = []
    before: tuple[float, datetime] | None = None
    for row in sorted(tables.of("PTIM", boring), key=lambda one: (one.text("PTIM_DTIM"), one.text("PTIM_DPTH"))):
        hole = row.number(tables.book, "PTIM_DPTH")
        time = _time(row.text("PTIM_DTIM"))
        text = row.text("PTIM_WAT")
        rested = None
        if before is not None and time is not None and hole is not None and abs(hole - before[0]) < 0.01:
            rested = (time - before[1]).total_seconds() / 3600
        if hole is not None and time is not None:
            before = (hole, time)
        if not re.fullmatch(r"[-+]?\d+(?:\.\d+)?", text):
            row.doubt(
                tables.book,
                "no level is given with the progress of drilling",
                "no reading is made of it",
                depth_m=hole,
                quoted=text,
                note=True,
            )
            continue
        settled = rested is not None and rested >= RESTED_H
        reading = _in_the_hole(row, tables.book, rested if settled else None)
        found += [reading] if reading else []
    return found


def _in_the_hole(row: Row, book: DoubtBook, rested_h: float | None) -> WaterReading | None:
    """Read a level in the hole. Inside casing it is the level of the ground below the shoe, if it has settled."""
    level, hole, casing = (row.number(book, heading) for heading in ("PTIM_WAT", "PTIM_DPTH", "PTIM_CAS"))
    date = row.text("PTIM_DTIM") or None
    after = None if rested_h is None else round(rested_h, 2)
    if level is None:
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
        row.doubt(book, f"the level was read inside casing to {casing:.2f} m", "no reading is made of it", depth_m=level, note=True)
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


def standpipe_levels(tables: Tables, boring: str) -> list[WaterReading]:
    """Return one reading a standpipe: the highest level, with its date and its response zone."""
    zones = {row.text("MONG_ID"): row for row in tables.of("MONG", boring)}
    levels: dict[str, list[tuple[float, str]]] = {}
    for row in tables.of("MOND", boring):
        kind = row.text("MOND_TYPE").upper()
        if kind != "WDEP":
            continue
        unit = row.text("MOND_UNIT") or "m"
        plain = Row(row.group, row.line, row.values, {**row.units, "MOND_RDNG": unit})
        level = plain.number(tables.book, "MOND_RDNG")
        if level is None:
            row.doubt(tables.book, "the standpipe gave no level", "it is left out", quoted=row.text("MOND_REM"))
        else:
            levels.setdefault(row.text("MONG_ID"), []).append((level, row.text("MOND_DTIM")))
    found = []
    for name, read in sorted(levels.items()):
        level, date = min(read)
        zone = zones.get(name)
        ends = [zone.number(tables.book, heading) for heading in ("MONG_TRZ", "MONG_BRZ")] if zone else []
        known = [end for end in ends if end is not None]
        said = f"standpipe {name}: {len(read)} readings from {level:.2f} to {max(read)[0]:.2f} m"
        if len(known) == 2:
            found.append(
                WaterReading(reading="piezometer", depth_m=level, date=date or None, remark=said, response_zone_m=(min(known), max(known)))
            )
        else:
            found.append(WaterReading(reading="settled", depth_m=level, date=date or None, remark=said))
    return found
