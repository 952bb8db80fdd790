"""Water of AGS4: strikes (WSTG) with their rise (WSTD), no water met, levels in the hole (PTIM), standpipes (MONG, MOND).

A strike is taken to be under pressure only where tight ground parts it from the level that it rose to, or from the
ground above when the rise was not recorded: water that rises inside the same sand is the level of that sand.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime

from methodpick.ground.profile import Layer, WaterReading
from methodpick.imports.ags4_remarks import NONE_MET, sentences
from methodpick.imports.ags4_tables import KEPT_AS_IT_STANDS, LEFT_OUT, DataRow, Tables
from methodpick.terms import TIGHT

THIN_M = 0.3
"""Tight ground thinner than this parts no water (own value, as for the aquifers of a plan)."""
LONE_COVER_M = 5.0
"""Tight ground above the only strike from which its water is taken to be under pressure (own value)."""
RESTED_H = 6.0
"""Hours without drilling after which a level in the hole counts as settled (own value)."""
OPEN_M = 0.3
"""Hole open below the casing that lets the water of that ground be read (own value)."""
_METRES = re.compile(r"(\d{1,3}(?:\.\d{1,2})?)\s*m\b")


@dataclass(frozen=True, slots=True)
class LoggedGround:
    """What the readings are judged by: the layers and the depth of the boring."""

    layers: list[Layer]
    end_m: float | None

    def tight(self, top_m: float, base_m: float) -> float:
        """Return the thickness of tight ground between two depths."""
        return sum(
            max(0.0, min(layer.base_m, base_m) - max(layer.top_m, top_m)) for layer in self.layers if layer.described.likely in TIGHT
        )

    def cover(self, depth_m: float) -> float:
        """Return the thickness of the tight ground that reaches down to a depth, or to the top of its layer."""
        total, at = 0.0, depth_m
        home = next((layer for layer in self.layers if layer.top_m < depth_m <= layer.base_m), None)
        if home is not None and self.tight(home.top_m, home.base_m) == 0.0:
            at = home.top_m
        for layer in sorted(self.layers, key=lambda layer: -layer.top_m):
            if layer.top_m >= at - 1e-6:
                continue
            if self.tight(layer.top_m, layer.base_m) == 0.0:
                break
            total += min(layer.base_m, at) - layer.top_m
        return total


def read_water(tables: Tables, boring: str, layers: list[Layer], end_m: float | None) -> list[WaterReading]:
    """Return all readings of a boring, none met included where the log says so."""
    ground = LoggedGround(layers, end_m)
    found = _strikes(tables, boring, ground) + progress_levels(tables, boring) + standpipe_levels(tables, boring)
    if not tables.of("WSTG", boring):
        found += _by_remark(tables, boring, ground)
    return found


def _strikes(tables: Tables, boring: str, ground: LoggedGround) -> list[WaterReading]:
    struck: list[tuple[float, DataRow]] = []
    blank: list[DataRow] = []
    for row in tables.of("WSTG", boring):
        at = row.number("WSTG_DPTH")
        remark = row.text("WSTG_REM")
        if at == 0 and NONE_MET.search(remark):
            at = None
        if at is None and not NONE_MET.search(remark) and len(depths := _METRES.findall(remark)) == 1:
            at = float(depths[0])
            row.doubt("the strike has no depth", "the depth in its remark is taken", depth_m=at, quoted=remark)
        if at is None or at < 0:
            blank.append(row)
        else:
            struck.append((at, row))
    struck.sort(key=lambda pair: (pair[0], pair[1].order_beside("WSTG_DPTH")))
    rises = _Rises(tables, boring)
    found = []
    for at, row in struck:
        rise = rises.of(at)
        reading = _risen(row, at, rise, ground) if rise else _unrisen(row, at, struck[0][0] < at, ground)
        if rise and rise[0] > at:
            row.doubt(f"the water struck at {at:.2f} m is said to stand at {rise[0]:.2f} m", KEPT_AS_IT_STANDS, depth_m=at)
        casing = row.number("WSTG_CAS")
        found.append(reading.model_copy(update={"casing_depth_m": casing, "date": row.text("WSTG_DTIM") or None}))
        if reading.reading == "confined" and rise is None:
            message = "water was struck below tight ground, its rise is not recorded"
            row.doubt(message, "it is taken to be under pressure of unknown height", depth_m=at)
    rises.doubt_rest()
    return found + _without_depth(blank, bool(struck), ground)


def _unrisen(row: DataRow, at: float, earlier: bool, ground: LoggedGround) -> WaterReading:
    """Read a strike without a rise: under pressure below tight ground, unless it is the first water met."""
    remark = "; ".join(part for part in (row.text("WSTG_REM"), "rise not recorded") if part)
    if ground.cover(at) >= (THIN_M if earlier else LONE_COVER_M):
        return WaterReading(reading="confined", struck_m=at, remark=remark)
    return WaterReading(reading="while_drilling", depth_m=at, hole_depth_m=at, remark=remark)


def _risen(row: DataRow, at: float, rise: tuple[float, float | None], ground: LoggedGround) -> WaterReading:
    """Read a strike with its rise: under pressure where tight ground lies between strike and level."""
    level, minutes = rise
    after = f"read after {minutes:g} min" if minutes is not None else "time of the rise not recorded"
    remark = "; ".join(part for part in (row.text("WSTG_REM"), after) if part)
    if level < 0 or (level < at and ground.tight(level, at) >= THIN_M):
        return WaterReading(reading="confined", struck_m=at, rises_to_m=level, remark=remark)
    return WaterReading(reading="while_drilling", depth_m=at, struck_m=at, rises_to_m=level, hole_depth_m=at, remark=remark)


class _Rises:
    """The WSTD rows of a boring by the depth of the strike: the last reading of each counts."""

    def __init__(self, tables: Tables, boring: str) -> None:
        self.rows: dict[float, list[tuple[float, float, DataRow]]] = {}
        for row in tables.of("WSTD", boring):
            at, level = row.number("WSTG_DPTH"), row.number("WSTD_POST")
            if at is None or level is None:
                row.doubt("the rise has no strike or no level", LEFT_OUT, quoted=row.text("WSTD_REM") or row.text("WSTD_POST"))
                continue
            hours = row.number("WSTD_NMIN", "h", "min")
            self.rows.setdefault(round(at, 2), []).append((-1.0 if hours is None else round(hours * 60, 3), level, row))

    def of(self, strike_m: float) -> tuple[float, float | None] | None:
        found = self.rows.pop(round(strike_m, 2), None)
        if found is None:
            return None
        minutes, level, _ = max(found, key=lambda rise: (rise[0], -rise[1]))
        return level, minutes if minutes >= 0 else None

    def doubt_rest(self) -> None:
        for at, found in self.rows.items():
            for _, level, row in found:
                row.doubt(f"a rise to {level:.2f} m belongs to no strike", LEFT_OUT, depth_m=at)


def _without_depth(rows: list[DataRow], struck: bool, ground: LoggedGround) -> list[WaterReading]:
    """Read the rows without a depth: "none encountered" is a fact, a blank row says nothing."""
    found: list[WaterReading] = []
    for row in rows:
        remark = row.text("WSTG_REM")
        if not NONE_MET.search(remark):
            message = "a water row has no depth" if remark else "a water row has neither depth nor remark"
            if struck:
                row.doubt(message, "it says nothing", quoted=remark, severity="note")
            else:
                row.doubt(message, "whether water was met is not known", quoted=remark)
        elif struck:
            row.doubt("the log says that no water was met, and gives a strike", "the strike is believed", quoted=remark)
        else:
            found.append(WaterReading(reading="none_met", hole_depth_m=ground.end_m, casing_depth_m=row.number("WSTG_CAS"), remark=remark))
    return found


def _by_remark(tables: Tables, boring: str, ground: LoggedGround) -> list[WaterReading]:
    """Read "no groundwater encountered" in the remarks of a boring that has no water rows at all."""
    for row in tables.of("LOCA", boring):
        for heading in ("LOCA_REM", "LOCA_TERM"):
            for sentence in sentences(row.text(heading)):
                if NONE_MET.search(sentence):
                    row.doubt("no water rows; a remark says that none was met", "the remark is believed", quoted=sentence, severity="note")
                    return [WaterReading(reading="none_met", hole_depth_m=ground.end_m, remark=sentence)]
    return []


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
            row.doubt(message, "no reading is made of it", depth_m=hole, quoted=text, severity="note")
            continue
        settled = rested is not None and rested >= RESTED_H
        reading = _level_in_hole(row, rested if settled else None)
        found += [reading] if reading else []
    return found


def _level_in_hole(row: DataRow, rested_h: float | None) -> WaterReading | None:
    """Read a level in the hole. Inside casing it is the level of the ground below the shoe, if it has settled."""
    level, hole, casing = (row.number(heading) for heading in ("PTIM_WAT", "PTIM_DPTH", "PTIM_CAS"))
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
        row.doubt(f"the level was read inside casing to {casing:.2f} m", "no reading is made of it", depth_m=level, severity="note")
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
    """Return one reading for each standpipe: the highest level, with its date and its response zone."""
    zones = {row.text("MONG_ID"): row for row in tables.of("MONG", boring)}
    levels: dict[str, list[tuple[float, str]]] = {}
    for row in tables.of("MOND", boring):
        if row.text("MOND_TYPE").upper() != "WDEP":
            continue
        with_unit = replace(row, units={**row.units, "MOND_RDNG": row.text("MOND_UNIT") or "m"})
        level = with_unit.number("MOND_RDNG")
        if level is None:
            row.doubt("the standpipe gave no level", LEFT_OUT, quoted=row.text("MOND_REM"))
        else:
            levels.setdefault(row.text("MONG_ID"), []).append((level, row.text("MOND_DTIM")))
    found = []
    for name, read in sorted(levels.items()):
        level, date = min(read)
        zone = zones.get(name)
        ends = [zone.number(heading) for heading in ("MONG_TRZ", "MONG_BRZ")] if zone else []
        known = [end for end in ends if end is not None]
        remark = f"standpipe {name}: {len(read)} readings from {level:.2f} to {max(read)[0]:.2f} m"
        reading = WaterReading(reading="settled", depth_m=level, date=date or None, remark=remark)
        if len(known) == 2:
            reading = reading.model_copy(update={"reading": "piezometer", "response_zone_m": (min(known), max(known))})
        found.append(reading)
    return found
