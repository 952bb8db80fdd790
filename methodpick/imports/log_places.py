"""Where the borings of a log stand: in its grid, by latitude and longitude, or both."""

from __future__ import annotations

from collections import Counter

from methodpick.ground.position import Position, degrees_in
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
