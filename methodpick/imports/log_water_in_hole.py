"""What the columns of water levels say of the hole: where it stood without water (dry, damp, nil), and how high water stood in it.

A dry hole is evidence, not a blank: it says that no water came in below the casing down to that depth. It holds only above the
depth from which water was in the hole, and only where no water was met above it; all other such words stay as a remark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from methodpick.ground.profile import Remark, WaterReading
from methodpick.imports.log_drilling import casing_in
from methodpick.imports.log_tables import DataRow, Tables
from methodpick.imports.log_water_levels import OPEN_M
from methodpick.imports.log_water_words import MOIST, none_met
from methodpick.patterns import pattern_of
from methodpick.records import record

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
