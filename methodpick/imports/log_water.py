"""Water of a log: strikes (WSTG) with their rise (WSTD), what remarks tell of water, and no water met.

A strike is taken to be under pressure only where tight ground parts it from the level that it rose to, or from the
ground above when the rise was not recorded: water that rises inside the same sand is the level of that sand.
"No water met" holds only for the length that was drilled without water in the hole.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

from methodpick.ground.descriptions.remark_words import tags_of
from methodpick.ground.profile import MOST_LEVELS, Layer, TimedLevel, WaterReading
from methodpick.imports.log_drilling import casing_in
from methodpick.imports.log_remarks import dry_length, sentences
from methodpick.imports.log_tables import KEPT_AS_IT_STANDS, LEFT_OUT, DataRow, Tables, in_order
from methodpick.imports.log_water_levels import (
    NO_READING,
    SHORTEST_DRY_M,
    doubt_high_water,
    dry_readings,
    progress_levels,
    standpipe_levels,
    timed_levels,
)
from methodpick.imports.log_water_words import WordedWater, none_met, water_in
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import TIGHT

THIN_M = 0.3
"""Tight ground thinner than this parts no water (own value, as for the aquifers of a plan)."""
LONE_COVER_M = 5.0
"""Tight ground above the only strike from which its water is taken to be under pressure (own value)."""
SAME_STRIKE_M = 0.05
"""A strike in a remark nearer than this to a strike of the table is the same one (own value)."""


@record(caches=True)
class LoggedGround:
    """What the readings are judged by: the layers, the depth of the boring, and down to where no water was in the hole."""

    layers: list[Layer]
    end_m: float | None
    dry_to_m: float | None = None

    def tight(self, top_m: float, base_m: float) -> float:
        """Return the thickness of tight ground between two depths."""
        return sum(max(0.0, min(layer.base_m, base_m) - max(layer.top_m, top_m)) for layer in self._tight_layers)

    def _holds_tight(self, layer: Layer) -> bool:
        """Return whether any tight ground lies between the ends of a layer."""
        return any(min(each.base_m, layer.base_m) > max(each.top_m, layer.top_m) for each in self._tight_layers)

    @cached_property
    def _from_below(self) -> list[Layer]:
        return sorted(self.layers, key=lambda layer: -layer.top_m)

    @cached_property
    def _tight_layers(self) -> list[Layer]:
        return [layer for layer in self.layers if layer.main_soil.likely in TIGHT]

    def cover(self, depth_m: float) -> float:
        """Return the thickness of the tight ground that reaches down to a depth, or to the top of its layer."""
        total, at = 0.0, depth_m
        home = next((layer for layer in self.layers if layer.top_m < depth_m <= layer.base_m), None)
        if home is not None and not self._holds_tight(home):
            at = home.top_m
        for layer in self._from_below:
            if layer.top_m >= at - 1e-6:
                continue
            if not self._holds_tight(layer):
                break
            total += min(layer.base_m, at) - layer.top_m
        return total


@record
class _Strike:
    """Water struck at a depth, the levels that it rose to in order of time, and what its row says of it."""

    at_m: float
    row: DataRow
    levels: tuple[TimedLevel, ...] = ()
    remark: str = ""
    by_table: bool = True
    artesian: bool = False


def read_water(tables: Tables, boring: str, layers: list[Layer], end_m: float | None) -> list[WaterReading]:
    """Return all readings of a boring, none met included where the log says so."""
    ground = LoggedGround(layers, end_m, dry_length(tables, boring))
    told = _told(tables, boring)
    struck, blank = _rows(tables, boring)
    rises = _Rises(tables, boring)
    strikes = _with_rises(struck, rises, told)
    rises.set_aside_rest()
    strikes += _only_told(strikes, told)
    strikes = _artesian(strikes, told)
    strikes = in_order(strikes, lambda strike: strike.at_m, lambda strike: strike.row.order_beside("WSTG_DPTH"))
    found = [_reading(strike, strike.at_m > strikes[0].at_m, ground) for strike in strikes]
    found += [_at_end(row, water.at_end_m, sentence) for row, sentence, water in told if water.at_end_m is not None]
    found += _without_depth(blank, [strike.at_m for strike in strikes], ground)
    if not strikes and not tables.of("WSTG", boring):
        found += _none_by_remark(tables, boring, ground)
    found += progress_levels(tables, boring) + timed_levels(tables, boring) + standpipe_levels(tables, boring)
    if not found:
        _doubt_water_without_depth(tables, boring)
    doubt_high_water(tables, boring, found, ground.dry_to_m)
    return found + dry_readings(tables, boring, found, ground.dry_to_m)


def _rows(tables: Tables, boring: str) -> tuple[list[_Strike], list[DataRow]]:
    """Return the strikes of the table, and its rows without a depth. A depth of zero with "none met" is no depth, nor is "dry"."""
    struck: list[_Strike] = []
    blank: list[DataRow] = []
    for row in tables.of("WSTG", boring):
        remark = _remark(row)
        at = row.number("WSTG_DPTH") if none_met(row.text("WSTG_DPTH")) is None else None
        if at == 0 and none_met(remark) is not None:
            at = None
        told = water_in(remark) if remark else None
        if at is None and told is not None and len(told.struck_m) == 1:
            at = told.struck_m[0]
            row.doubt("the strike has no depth", "the depth in its remark is taken", depth_m=at, quoted=remark)
        if at is None or at < 0:
            blank.append(row)
        else:
            levels = _levels(told) if told is not None and at in told.struck_m else ()
            struck.append(_Strike(at, row, levels, remark, artesian=told is not None and told.artesian))
    return struck, blank


def _remark(row: DataRow) -> str:
    """Return what a water row says in words; some stand in the column of the depth."""
    depth = row.text("WSTG_DPTH")
    return "; ".join(part for part in (depth if none_met(depth) is not None else "", row.text("WSTG_REM")) if part)


def _levels(told: WordedWater) -> tuple[TimedLevel, ...]:
    return () if told.rises_to_m is None else (TimedLevel(depth_m=told.rises_to_m, after_h=told.after_h),)


_TOLD_IN = (
    ("LOCA", "", ("LOCA_REM", "LOCA_TERM")),
    ("DREM", "DREM_TOP", ("DREM_REM",)),
    ("HDPH", "", ("HDPH_REM",)),
    ("GEOL", "", ("GEOL_REM",)),
    ("DETL", "DETL_TOP", ("DETL_DESC", "DETL_REM")),
)
"""Groups whose remarks may tell of water: the heading of their depth where it is that of the remark, and those of their words."""


def _told(tables: Tables, boring: str) -> list[tuple[DataRow, str, WordedWater]]:
    """Return what the sentences of the remarks tell of water; "water strike" alone is one at the depth of its row."""
    found: list[tuple[DataRow, str, WordedWater]] = []
    for group, depth, headings in _TOLD_IN:
        for row in tables.holding(group, boring, headings):
            for sentence in (sentence for heading in headings for sentence in _joined(sentences(row.text(heading)))):
                water = water_in(sentence)
                if water is None and depth and _STRIKE_ALONE.match(sentence) and (at := row.number(depth)) is not None:
                    water = WordedWater((at,))
                if water is not None:
                    found.append((row, sentence, water))
    return found


_STRIKE_ALONE = pattern_of(
    r"\W*(?:\w+ ){0,2}?(?:water strike|(?:ground ?)?water (?:struck|encountered|met|seepage|inflow|ingress)|seepage)\b[^\d]*$",
    re.IGNORECASE,
)
_GOES_ON = pattern_of(r"\W*(?:ris(?:ing|es)|rose|standing at|stood at|level )\b", re.IGNORECASE)


def _joined(parts: Sequence[str]) -> list[str]:
    """Return the sentences of a remark, a rise joined to the strike that it belongs to.

    >>> _joined(["Groundwater met at 3.2m", "Rising to 2.2m after 20 minutes"])
    ['Groundwater met at 3.2m, Rising to 2.2m after 20 minutes']
    """
    found: list[str] = []
    for part in parts:
        if found and _GOES_ON.match(part) and (before := water_in(found[-1])) is not None and before.struck_m:
            found[-1] = f"{found[-1]}, {part}"
        else:
            found.append(part)
    return found


def _with_rises(strikes: list[_Strike], rises: _Rises, told: list[tuple[DataRow, str, WordedWater]]) -> list[_Strike]:
    """Return the strikes with their levels: those of the table, else those of their own remark, else those that the header tells."""
    found = []
    for strike in strikes:
        levels = rises.of(strike.at_m) or strike.levels
        if not levels:
            worded = next((water for _, _, water in told if water.struck_m and abs(water.struck_m[-1] - strike.at_m) < SAME_STRIKE_M), None)
            levels = _levels(worded) if worded else ()
            if levels:
                strike.row.doubt("the rise stands in a remark only", "the remark is believed", depth_m=strike.at_m, severity="note")
        found.append(replace(strike, levels=levels))
    return found


def _only_told(strikes: list[_Strike], told: list[tuple[DataRow, str, WordedWater]]) -> list[_Strike]:
    """Return the strikes that only a remark tells of."""
    found: list[_Strike] = []
    for row, sentence, water in told:
        for depth in water.struck_m:
            if any(abs(strike.at_m - depth) < SAME_STRIKE_M for strike in [*strikes, *found]):
                continue
            row.doubt("a strike stands in a remark only", "the remark is believed", depth_m=depth, quoted=sentence, severity="note")
            levels = _levels(water) if depth == water.struck_m[-1] else ()
            found.append(_Strike(depth, row, levels, sentence, by_table=False, artesian=water.artesian))
    return found


def _artesian(strikes: list[_Strike], told: list[tuple[DataRow, str, WordedWater]]) -> list[_Strike]:
    """Return the strikes, the only one with what a remark without a depth says of artesian water; of several it is told."""
    for row, sentence, water in told:
        if not water.artesian or water.struck_m or water.at_end_m is not None:
            continue
        if len(strikes) == 1:
            strikes = [replace(strikes[0], levels=strikes[0].levels or _levels(water), artesian=True)]
        else:
            message = "the log speaks of artesian water and not of the depth at which it was struck"
            row.doubt(message, "add a confined reading: the plan does not know of it", quoted=sentence, severity="serious")
    return strikes


def _reading(strike: _Strike, earlier: bool, ground: LoggedGround) -> WaterReading:
    """Make the reading of a strike: under pressure where tight ground says so, else the level of its ground."""
    at, row = strike.at_m, strike.row
    reading = _risen(strike, ground) if strike.levels else _unrisen(strike, earlier, ground)
    if strike.levels and strike.levels[-1].depth_m > at:
        message = f"the water struck at {at:.2f} m is said to stand at {strike.levels[-1].depth_m:.2f} m"
        row.doubt(message, KEPT_AS_IT_STANDS, depth_m=at)
    if reading.reading == "confined" and not strike.levels:
        what = "artesian water was struck" if strike.artesian else "water was struck below tight ground"
        message = f"{what}, its rise is not recorded"
        row.doubt(message, "it is taken to be under pressure of unknown height", depth_m=at)
    history = strike.levels[-MOST_LEVELS:] if len(strike.levels) > 1 else ()
    if not strike.by_table:
        return reading.model_copy(update={"history": history})
    update = {"casing_depth_m": casing_in(row, "WSTG_CAS"), "date": row.text("WSTG_DTIM") or None, "history": history}
    seal = casing_in(row, "WSTG_SEAL")
    if seal is not None and 0 < seal <= (at + 100.0 if ground.end_m is None else ground.end_m):
        update["remark"] = _with_note(reading.remark or "", f"sealed off by casing at {seal:.2f} m")
    return reading.model_copy(update=update)


def _unrisen(strike: _Strike, earlier: bool, ground: LoggedGround) -> WaterReading:
    """Read a strike without a rise: under pressure below tight ground, unless it is the first water met."""
    at = strike.at_m
    remark = _with_note(strike.remark, "rise not recorded")
    if strike.artesian or ground.cover(at) >= (THIN_M if earlier else LONE_COVER_M):
        return WaterReading(reading="confined", struck_m=at, remark=remark)
    return WaterReading(reading="while_drilling", depth_m=at, hole_depth_m=at, remark=remark)


def _risen(strike: _Strike, ground: LoggedGround) -> WaterReading:
    """Read a strike with its rise: under pressure where tight ground lies between strike and level."""
    at, level, hours = strike.at_m, strike.levels[-1].depth_m, strike.levels[-1].after_h
    after = f"read after {round(hours * 60, 1):g} min" if hours is not None else "time of the rise not recorded"
    remark = strike.remark if hours is None and "read after" in strike.remark else _with_note(strike.remark, after)
    if level < 0 or strike.artesian or (level < at and ground.tight(level, at) >= THIN_M):
        return WaterReading(reading="confined", struck_m=at, rises_to_m=level, remark=remark)
    return WaterReading(reading="while_drilling", depth_m=at, struck_m=at, rises_to_m=level, hole_depth_m=at, remark=remark)


def _with_note(remark: str, note: str) -> str:
    """Return a remark with a note behind it, unless it says that already: a log that was written by this package is read back."""
    return remark if note in remark else "; ".join(part for part in (remark, note) if part)


class _Rises:
    """The WSTD rows of a boring by the depth of the strike."""

    def __init__(self, tables: Tables, boring: str) -> None:
        self.rows: dict[float, list[tuple[float, float, DataRow]]] = {}
        for row in tables.of("WSTD", boring):
            at = row.number("WSTG_DPTH")
            level = None if none_met(row.text("WSTD_POST")) is not None else row.number("WSTD_POST")
            if level is None and none_met(row.text("WSTD_POST") or row.text("WSTD_REM")) is not None:
                row.pass_over("no water, so no rise")
                continue
            if at is None or level is None:
                row.set_aside("the rise has no strike or no level", quoted=row.text("WSTD_REM") or row.text("WSTD_POST"))
                continue
            hours = row.number("WSTD_NMIN", "h", "min")
            minutes = -1.0 if hours is None or hours < 0 else round(hours * 60, 3)
            self.rows.setdefault(round(at, 2), []).append((minutes, level, row))

    def of(self, strike_m: float) -> tuple[TimedLevel, ...]:
        """Return the levels of a strike in order of time; the last one counts, of several at one time the highest."""
        found = self.rows.pop(round(strike_m, 2), [])
        found.sort(key=lambda rise: (rise[0], -rise[1]))
        return tuple(TimedLevel(depth_m=level, after_h=round(minutes / 60, 4) if minutes >= 0 else None) for minutes, level, _ in found)

    def set_aside_rest(self) -> None:
        for at, found in self.rows.items():
            for _, level, row in found:
                row.set_aside("the rise belongs to no strike", LEFT_OUT, depth_m=at, quoted=f"{level:.2f} m")


def _at_end(row: DataRow, level_m: float, sentence: str) -> WaterReading:
    row.doubt("a level stands in a remark only", "the remark is believed", depth_m=level_m, quoted=sentence, severity="note")
    return WaterReading(reading="end_of_drilling", depth_m=level_m, remark=sentence)


def _without_depth(rows: list[DataRow], struck_m: list[float], ground: LoggedGround) -> list[WaterReading]:
    """Read the rows without a depth: "none encountered" is a fact, a blank row says nothing; "dry to 4 m" holds above a strike at 6 m."""
    found: list[WaterReading] = []
    for row in rows:
        remark = _remark(row)
        said = none_met(remark)
        if said is None:
            message = "a water row has no depth" if remark else "a water row has neither depth nor remark"
            if struck_m:
                row.set_aside(message, "it says nothing", quoted=remark, severity="note")
            else:
                row.set_aside(message, "whether water was met is not known", quoted=remark)
        elif struck_m and (said.to_m is None or said.to_m > min(struck_m)):
            row.set_aside("the log says that no water was met, and gives a strike", "the strike is believed", quoted=remark)
        else:
            found += _none(row, remark, casing_in(row, "WSTG_CAS"), ground)
    return found


def _doubt_water_without_depth(tables: Tables, boring: str) -> None:
    """Add a doubt where a remark speaks of water that was met and nothing says where."""
    for row in tables.of("LOCA", boring):
        for sentence in sentences(row.text("LOCA_REM")):
            if "seepage" in tags_of(sentence) and none_met(sentence) is None and water_in(sentence) is None:
                row.doubt("a remark speaks of water without a depth", NO_READING, quoted=sentence)


def _none_by_remark(tables: Tables, boring: str, ground: LoggedGround) -> list[WaterReading]:
    """Read "no groundwater encountered" in the remarks of a boring that has no water rows at all."""
    for row in tables.of("LOCA", boring):
        for heading in ("LOCA_REM", "LOCA_TERM"):
            for sentence in sentences(row.text(heading)):
                if none_met(sentence) is not None:
                    row.doubt("no water rows; a remark says that none was met", "the remark is read", quoted=sentence, severity="note")
                    return _none(row, sentence, None, ground)
    return []


def _none(row: DataRow, words: str, casing_m: float | None, ground: LoggedGround) -> list[WaterReading]:
    """Read "none met" for the length that was drilled without water in the hole; nothing where there is no such length."""
    said = none_met(words)
    if said is None:
        return []
    if said.hedged and said.to_m is None and ground.dry_to_m is None:
        row.doubt("the log says why water could not be seen", "whether water was met is not known", quoted=words)
        return []
    ends = [end for end in (ground.end_m, said.to_m, ground.dry_to_m) if end is not None]
    to = min(ends) if ends else None
    if ground.dry_to_m is not None and (ground.end_m is None or ground.dry_to_m < ground.end_m):
        message = f"water was in the hole from {ground.dry_to_m:.2f} m on"
        row.doubt(message, "that no water was met holds only above", depth_m=ground.dry_to_m, quoted=words)
    if to is not None and to <= SHORTEST_DRY_M:
        return []
    return [WaterReading(reading="none_met", hole_depth_m=to, casing_depth_m=casing_m, remark=words)]
