"""Where the holes of a log stand: positions in a grid or on the globe, and cone soundings that stand beside a boring.

A sounding brings up no ground. One that stands a few metres from a boring was made to be read with it: its readings are set beside
the layers there, as those of a cone in the log of the boring itself are.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from methodpick.ground.position import Position, apart_m, degrees_in, is_coarse
from methodpick.imports.log_tables import VALUE_LEFT_OUT, DataRow, Tables, natural_order
from methodpick.patterns import pattern_of

_GRIDS = (("LOCA_NATE", "LOCA_NATN"), ("LOCA_LOCX", "LOCA_LOCY"))
_ON_GLOBE = (("LOCA_LAT", "NS", 90.0), ("LOCA_LON", "EW", 180.0))
_DATUM = "LOCA_LLZ"
_LIKE_WGS84 = frozenset({"", "WGS84", "WGS1984", "ETRS89", "EPSG4326", "EPSG4258", "NAD83", "4326", "GRS80"})
"""Datums that differ from WGS84 by less than two metres, from memory; what the file does not name is taken for one of them."""
_NO_SIGNS = pattern_of(r"[^A-Z0-9]")


def position_of(tables: Tables, header: DataRow) -> Position | None:
    """Return where a boring stands, None where the log does not say; half a place, and one on another datum, are doubts."""
    grid, degrees = _grid(header), _degrees(tables, header)
    if grid is None and degrees is None:
        return None
    east, north = grid if grid is not None else (None, None)
    latitude, longitude = degrees if degrees is not None else (None, None)
    return Position(east_m=east, north_m=north, latitude_deg=latitude, longitude_deg=longitude)


def _grid(header: DataRow) -> tuple[float, float] | None:
    for east, north in _GRIDS:
        if header.text(east) and header.text(north):
            x, y = header.number(east, largest=9e7), header.number(north, largest=9e7)
            if x is not None and y is not None and (x, y) != (0.0, 0.0):
                return x, y
    return None


def _degrees(tables: Tables, header: DataRow) -> tuple[float, float] | None:
    """Return latitude and longitude, on the datum that most borings of the log have."""
    texts = [header.text(heading) for heading, *_ in _ON_GLOBE]
    if not any(texts):
        return None
    found = [_angle(header, heading, letters, most) for heading, letters, most in _ON_GLOBE]
    latitude, longitude = found
    if latitude is None or longitude is None:
        if not all(texts):
            header.doubt("only one of latitude and longitude is given", VALUE_LEFT_OUT, quoted="".join(texts))
        return None
    if latitude == longitude == 0.0:
        return None
    usual = _usual_datum(tables)
    if _datum(header) != usual:
        here, there = header.text(_DATUM) or "no datum that is named", usual or "another"
        message = f"latitude and longitude are on {here}, those of other borings on {there}"
        header.doubt(message, "they are left out, since the two may differ by a hundred metres", severity="serious")
        return None
    return latitude, longitude


def _angle(header: DataRow, heading: str, letters: str, most: float) -> float | None:
    """Return an angle in degrees, None where there is none; what is no angle is a doubt."""
    if not (text := header.text(heading)):
        return None
    try:
        angle = degrees_in(text, letters)
    except ValueError:
        header.doubt(f"{header.heading(heading)} is no angle", VALUE_LEFT_OUT, quoted=text)
        return None
    if abs(angle) > most:
        header.doubt(f"{header.heading(heading)} of {angle:g} degrees cannot be", VALUE_LEFT_OUT, quoted=text)
        return None
    return angle


def _datum(row: DataRow) -> str:
    """Return the datum of a header, "" for WGS84 and what is like it."""
    plain = _NO_SIGNS.sub("", row.text(_DATUM).upper())
    return "" if plain in _LIKE_WGS84 else plain


def _usual_datum(tables: Tables) -> str:
    """Return the datum that most headers with latitude and longitude have, that of the first boring at a tie."""
    rows = [row for row in tables.of("LOCA") if all(row.text(heading) for heading, *_ in _ON_GLOBE)]
    counted = Counter(_datum(row) for row in sorted(rows, key=lambda row: natural_order(row.boring)))
    return max(counted, key=lambda name: counted[name], default="")


# ---- cone soundings beside a boring


BESIDE_M = 5.0
"""A sounding nearer than this to a boring is read with it (own value; pairs are set some metres apart, common practice)."""
SAME_LEVEL_M = 0.3
"""Levels of the ground that differ by more part the two: layers may follow the ground or not (own value)."""
SOUNDINGS = "SCPS"
"""Soundings as such: no group of AGS, readers of other formats fill it where one element holds all readings."""
_OF_CONE = ("SCPT", "SCPG", SOUNDINGS)


def set_beside_borings(tables: Tables, ground: Sequence[str], soundings: frozenset[str]) -> frozenset[str]:
    """Set the readings of soundings beside the borings that they stand near; return the names of the holes that are none any more.

    ``ground`` are the groups whose rows show that a boring was made. Of ``soundings`` none stays a hole.
    """
    alone = [name for name in tables.by_boring("SCPT") if name and not any(tables.of(group, name) for group in ground)]
    if not alone and not soundings:
        return frozenset()
    borings = [name for name in sorted(tables.by_boring("GEOL"), key=natural_order) if name and tables.of("LOCA", name)]
    places = {name: _place(tables, name) for name in (*borings, *alone, *soundings)}
    gone = set(soundings)
    for name in sorted({*alone, *soundings}, key=natural_order):
        headers = tables.of("LOCA", name)
        away = {boring: metres for boring in borings if (metres := apart_m(places[name], places[boring])) is not None}
        nearest = min(away, key=lambda boring: away[boring], default=None)
        if headers and nearest is not None and away[nearest] <= BESIDE_M and _on_one_level(headers[0], tables.of("LOCA", nearest)[0]):
            message = f"the cone sounding stands {away[nearest]:.1f} m from boring {nearest}"
            headers[0].doubt(message, "its readings are set beside the layers there", severity="note")
            for group in _OF_CONE:
                tables.give(group, name, nearest)
            gone.add(name)
        elif name in soundings:
            _leave(tables, name, None if nearest is None else (nearest, away[nearest]))
    return frozenset(gone)


def _place(tables: Tables, name: str) -> Position | None:
    """Return where a hole stands, None where that is not known to a few metres."""
    headers = tables.of("LOCA", name)
    position = position_of(tables, headers[0]) if headers else None
    return None if position is None or (position.grid is None and is_coarse(position)) else position


def _on_one_level(sounding: DataRow, boring: DataRow) -> bool:
    """Return whether the ground at both is level, as far as their levels are known."""
    levels = [header.number("LOCA_GL") if header.is_number("LOCA_GL") else None for header in (sounding, boring)]
    return None in levels or abs((levels[0] or 0.0) - (levels[1] or 0.0)) <= SAME_LEVEL_M


def _leave(tables: Tables, name: str, nearest: tuple[str, float] | None) -> None:
    """Set a sounding aside that stands beside no boring, with how far the nearest one is."""
    where = "beside no boring whose place is known" if nearest is None else f"{nearest[1]:.0f} m from boring {nearest[0]}, the nearest"
    for header in tables.of("LOCA", name)[:1]:
        header.doubt(f"the cone sounding stands {where}", "its readings are left out", severity="note")
    for group in _OF_CONE:
        for row in tables.of(group, name):
            row.pass_over("the sounding stands beside no boring")
        tables.give(group, name, None)
