"""Water of a log: strikes (WSTG) with their rise (WSTD), what remarks tell of water, no water met, and holes that stood dry.

A strike is taken to be under pressure only where tight ground parts it from the level that it rose to, or from the
ground above when the rise was not recorded: water that rises inside the same sand is the level of that sand.
"No water met" holds only for the length that was drilled without water in the hole.

A hole that is called dry (damp, nil) in the columns of water levels is evidence, not a blank: no water came in below the casing down to
that depth. It holds only above the depth from which water was in the hole, and only where no water was met above it; all other such
words stay as a remark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cached_property

from methodpick.ground.profile import MOST_LEVELS, Layer, Remark, TimedLevel, WaterReading
from methodpick.imports.log_remarks import dry_length, sentences
from methodpick.imports.log_tables import KEPT_AS_IT_STANDS, LEFT_OUT, DataRow, Tables, in_order
from methodpick.imports.log_water_levels import (
    MOIST,
    OPEN_M,
    WordedWater,
    none_met,
    progress_levels,
    standpipe_levels,
    timed_levels,
    water_in,
)
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import TIGHT

# ---- holes that stood dry


SHORTEST_DRY_M = 0.5
"""A hole dry over less than this says nothing of water (own value)."""
_NO_CASING = pattern_of(r"\s*(?:nil|none|uncased|no casing)\s*$", re.IGNORECASE)
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
                cased = None if _NO_CASING.match(row.text(casing)) else row.number(casing)
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


def remarks_on_hole(tables: Tables, boring: str) -> list[Remark]:
    """Return one remark with all depths at which the log calls the hole dry, and one with those at which it was damp or wet."""
    found = []
    seen = sorted(set(_seen(tables, boring)), key=lambda seen: (seen.hole_m, seen.shut_off_m, seen.words))
    for dry, word in ((True, "dry"), (False, "damp or wet")):
        places = [_place(each) for each in seen if each.dry is dry]
        if places:
            first = min(each.hole_m for each in seen if each.dry is dry)
            found.append(Remark(depth_m=first, text=f"hole logged as {word} at {', '.join(dict.fromkeys(places))}"))
    return found


def _place(seen: _HoleSeen) -> str:
    cased = f" (cased to {seen.casing_m:.2f} m)" if seen.casing_m else ""
    return f"{seen.hole_m:.2f} m{cased}"


# ---- strikes, and what remarks tell of water


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

    @cached_property
    def _tight_layers(self) -> list[Layer]:
        return [layer for layer in self.layers if layer.described.likely in TIGHT]

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


@record
class _Strike:
    """Water struck at a depth, the levels that it rose to in order of time, and what its row says of it."""

    at_m: float
    row: DataRow
    levels: tuple[TimedLevel, ...] = ()
    remark: str = ""
    by_table: bool = True


def read_water(tables: Tables, boring: str, layers: list[Layer], end_m: float | None) -> list[WaterReading]:
    """Return all readings of a boring, none met included where the log says so."""
    ground = LoggedGround(layers, end_m, dry_length(tables, boring))
    told = _told(tables, boring)
    struck, blank = _rows(tables, boring)
    rises = _Rises(tables, boring)
    strikes = _with_rises(struck, rises, told)
    rises.set_aside_rest()
    strikes += _only_told(strikes, told)
    strikes = in_order(strikes, lambda strike: strike.at_m, lambda strike: strike.row.order_beside("WSTG_DPTH"))
    found = [_reading(strike, strike.at_m > strikes[0].at_m, ground) for strike in strikes]
    found += [_at_end(row, water.at_end_m, sentence) for row, sentence, water in told if water.at_end_m is not None]
    found += _without_depth(blank, [strike.at_m for strike in strikes], ground)
    if not strikes and not tables.of("WSTG", boring):
        found += _none_by_remark(tables, boring, ground)
    found += progress_levels(tables, boring) + timed_levels(tables, boring) + standpipe_levels(tables, boring)
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
            struck.append(_Strike(at, row, levels, remark))
    return struck, blank


def _remark(row: DataRow) -> str:
    """Return what a water row says in words; some stand in the column of the depth."""
    depth = row.text("WSTG_DPTH")
    return "; ".join(part for part in (depth if none_met(depth) is not None else "", row.text("WSTG_REM")) if part)


def _levels(told: WordedWater) -> tuple[TimedLevel, ...]:
    return () if told.rises_to_m is None else (TimedLevel(depth_m=told.rises_to_m, after_h=told.after_h),)


def _told(tables: Tables, boring: str) -> list[tuple[DataRow, str, WordedWater]]:
    """Return what the sentences of the header tell of water."""
    return [
        (row, sentence, water)
        for row in tables.of("LOCA", boring)
        for heading in ("LOCA_REM", "LOCA_TERM")
        for sentence in sentences(row.text(heading))
        if (water := water_in(sentence)) is not None
    ]


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
        found.append(_Strike(strike.at_m, strike.row, levels, strike.remark))
    return found


def _only_told(strikes: list[_Strike], told: list[tuple[DataRow, str, WordedWater]]) -> list[_Strike]:
    """Return the strikes that only a remark tells of."""
    found: list[_Strike] = []
    for row, sentence, water in told:
        for depth in water.struck_m:
            if any(abs(strike.at_m - depth) < SAME_STRIKE_M for strike in [*strikes, *found]):
                continue
            row.doubt("a strike stands in a remark only", "the remark is believed", depth_m=depth, quoted=sentence, severity="note")
            found.append(_Strike(depth, row, _levels(water) if depth == water.struck_m[-1] else (), sentence, by_table=False))
    return found


def _reading(strike: _Strike, earlier: bool, ground: LoggedGround) -> WaterReading:
    """Make the reading of a strike: under pressure where tight ground says so, else the level of its ground."""
    at, row = strike.at_m, strike.row
    reading = _risen(strike, ground) if strike.levels else _unrisen(strike, earlier, ground)
    if strike.levels and strike.levels[-1].depth_m > at:
        message = f"the water struck at {at:.2f} m is said to stand at {strike.levels[-1].depth_m:.2f} m"
        row.doubt(message, KEPT_AS_IT_STANDS, depth_m=at)
    if reading.reading == "confined" and not strike.levels:
        message = "water was struck below tight ground, its rise is not recorded"
        row.doubt(message, "it is taken to be under pressure of unknown height", depth_m=at)
    history = strike.levels[-MOST_LEVELS:] if len(strike.levels) > 1 else ()
    if not strike.by_table:
        return reading.model_copy(update={"history": history})
    casing = row.number("WSTG_CAS")
    return reading.model_copy(update={"casing_depth_m": casing, "date": row.text("WSTG_DTIM") or None, "history": history})


def _unrisen(strike: _Strike, earlier: bool, ground: LoggedGround) -> WaterReading:
    """Read a strike without a rise: under pressure below tight ground, unless it is the first water met."""
    at = strike.at_m
    remark = _with_note(strike.remark, "rise not recorded")
    if ground.cover(at) >= (THIN_M if earlier else LONE_COVER_M):
        return WaterReading(reading="confined", struck_m=at, remark=remark)
    return WaterReading(reading="while_drilling", depth_m=at, hole_depth_m=at, remark=remark)


def _risen(strike: _Strike, ground: LoggedGround) -> WaterReading:
    """Read a strike with its rise: under pressure where tight ground lies between strike and level."""
    at, level, hours = strike.at_m, strike.levels[-1].depth_m, strike.levels[-1].after_h
    after = f"read after {round(hours * 60, 1):g} min" if hours is not None else "time of the rise not recorded"
    remark = strike.remark if hours is None and "read after" in strike.remark else _with_note(strike.remark, after)
    if level < 0 or (level < at and ground.tight(level, at) >= THIN_M):
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
            found += _none(row, remark, row.number("WSTG_CAS"), ground)
    return found


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
