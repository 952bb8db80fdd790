"""Where borings and shafts stand: in a grid, by latitude and longitude, or both; and how far they stand apart.

Degrees become metres on a local plane that touches the ellipsoid of WGS84 (NIMA TR8350.2) halfway between the places, by its radii of
curvature there. Up to some kilometres that misses the geodesic by less than a centimetre (``tests/ground/test_position.py``).
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from math import cos, hypot, radians, sin, sqrt
from typing import Annotated

from pydantic import model_validator

from methodpick.ground.quantity import LATITUDE, LONGITUDE, Length, Model, key
from methodpick.patterns import pattern_of

NO_PLACE = "a place needs east and north, or latitude and longitude"
"""What is wrong with a position of which only half is there."""
PAIRS = (("east", "north"), ("latitude", "longitude"))
"""Keys of a position that only say something together."""
_SEMI_MAJOR_M, _FLATTENING = 6378137.0, 1 / 298.257223563
_ECCENTRICITY_SQUARED = _FLATTENING * (2 - _FLATTENING)
_COARSE_DEG = (1 / 3600, 1e-4)
"""Steps of an angle, whole seconds and the fourth decimal of a degree, that are some ten to thirty metres on the ground."""


class Position(Model):
    """Where the boring or the shaft stands: in any local grid, by latitude and longitude in degrees, or both."""

    east_m: Length | None = key("east")
    north_m: Length | None = key("north")
    latitude_deg: Annotated[float, LATITUDE] | None = key("latitude")
    longitude_deg: Annotated[float, LONGITUDE] | None = key("longitude")

    @model_validator(mode="after")
    def _whole(self) -> Position:
        if not (self.grid or self.degrees) or half_given(self.keys_given):
            raise ValueError(NO_PLACE)
        return self

    @property
    def keys_given(self) -> frozenset[str]:
        """Return the keys of the file that say something."""
        return frozenset(info.alias or name for name, info in type(self).model_fields.items() if getattr(self, name) is not None)

    @property
    def grid(self) -> tuple[float, float] | None:
        """Return east and north in m, None where no grid is given."""
        return None if self.east_m is None or self.north_m is None else (self.east_m, self.north_m)

    @property
    def degrees(self) -> tuple[float, float] | None:
        """Return latitude and longitude in degrees, None where they are not given."""
        return None if self.latitude_deg is None or self.longitude_deg is None else (self.latitude_deg, self.longitude_deg)


def half_given(given: AbstractSet[str]) -> bool:
    """Return whether one of two keys is given that only say something together.

    >>> half_given({"east"}), half_given({"latitude", "longitude"})
    (True, False)
    """
    return any((first in given) != (second in given) for first, second in PAIRS)


def apart_m(here: Position | None, there: Position | None) -> float | None:
    """Return how far two places are apart in m, None where a place is not known or one is in a grid and the other in degrees.

    >>> apart_m(Position(east_m=0, north_m=0), Position(east_m=30, north_m=40))
    50.0
    >>> apart_m(Position(latitude_deg=52, longitude_deg=0), Position(latitude_deg=52, longitude_deg=0.001))
    68.67...
    >>> apart_m(Position(east_m=0, north_m=0), Position(latitude_deg=52, longitude_deg=0)) is None
    True
    """
    if here is None or there is None:
        return None
    place, other = here.grid, there.grid
    if place is not None and other is not None:
        return hypot(place[0] - other[0], place[1] - other[1])
    place, other = here.degrees, there.degrees
    if place is None or other is None:
        return None
    return hypot(*_offset_m(place, other, (place[0] + other[0]) / 2))


def on_local_plane(places: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return east and north in m of places in degrees, on the plane that touches the ellipsoid at the first of their middles.

    >>> [(round(east), round(north)) for east, north in on_local_plane([(52.0, 0.0), (52.001, 0.001)])]
    [(-34, -56), (34, 56)]
    """
    if not places:
        return []
    first = places[0][1]
    turned = [first + _turn(longitude - first) for _, longitude in places]
    latitudes = [latitude for latitude, _ in places]
    centre = ((min(latitudes) + max(latitudes)) / 2, (min(turned) + max(turned)) / 2)
    return [_offset_m(centre, (latitude, longitude), centre[0]) for latitude, longitude in zip(latitudes, turned, strict=True)]


def _offset_m(start: tuple[float, float], end: tuple[float, float], latitude_deg: float) -> tuple[float, float]:
    """Return how far east and north an end lies of a start, by the radii of curvature of the ellipsoid at a latitude."""
    curved = 1 - _ECCENTRICITY_SQUARED * sin(radians(latitude_deg)) ** 2
    across_m = _SEMI_MAJOR_M / sqrt(curved)
    along_m = across_m * (1 - _ECCENTRICITY_SQUARED) / curved
    east_m = across_m * cos(radians(latitude_deg)) * radians(_turn(end[1] - start[1]))
    return east_m, along_m * radians(end[0] - start[0])


def _turn(degrees: float) -> float:
    """Return an angle between two meridians, the shorter way round."""
    return (degrees + 180.0) % 360.0 - 180.0


def is_coarse(position: Position) -> bool:
    """Return whether latitude and longitude are given to whole seconds or four decimals at most, so that a place is known to some ten m.

    >>> is_coarse(Position(latitude_deg=51.475, longitude_deg=-0.0025)), is_coarse(Position(latitude_deg=51.47512, longitude_deg=-0.00251))
    (True, False)
    """
    places = position.degrees
    return places is not None and any(all(abs(value / step - round(value / step)) < 1e-6 for value in places) for step in _COARSE_DEG)


# ---- angles as files write them


_SECONDS = pattern_of(r"(?<=\d)m\s*(\d+(?:\.\d*)?)s(?=\s*[NSEWnsew]?$)")
"""Seconds marked by a small s behind minutes marked by a small m, which is no south."""
_MINUTES, _SECOND_MARK = pattern_of(r"[M'′’]"), pattern_of(r"[S\"″”]")
_SIGN_OF = {"N": 1.0, "S": -1.0, "E": 1.0, "W": -1.0}
_PARTS = r"(\d+(?:\.\d*)?)"
_DEGREES = pattern_of(rf"([-+]?)\s*{_PARTS}(?:[\s:dD°º]+{_PARTS}(?:[\s:mM'′’]+{_PARTS})?)?[\s:sS\"″”'′’°ºdDmM]*")


def degrees_in(text: str, letters: str) -> float:
    """Read an angle on the globe: decimal degrees, or degrees, minutes and seconds, with a sign or one of two letters, plus then minus.

    Raises ValueError where the text is none, has minutes or seconds of sixty or more, or both a sign and a letter.

    >>> round(degrees_in("51 28 38.5N", "NS"), 6), round(degrees_in("-000:01:30.0", "EW"), 6), degrees_in("E 0.25 deg", "EW")
    (51.477361, -0.025, 0.25)
    """
    plain = " ".join(_SECONDS.sub(r"m\1", text.strip()).upper().split()).removesuffix("DEG").removesuffix("DEGREES").strip()
    letter = next((sign for sign in letters if plain[:1] == sign or plain[-1:] == sign), "")
    plain = plain.removeprefix(letter).strip() if plain[:1] == letter else plain.removesuffix(letter).strip()
    plain = plain.removesuffix("DEG").strip()
    match = _DEGREES.fullmatch(plain)
    if match is None or (match[1] and letter):
        raise ValueError(f"'{text}' is no angle in degrees")
    if (match[3] is None and _MINUTES.search(plain)) or (match[4] is None and _SECOND_MARK.search(plain)):
        raise ValueError(f"'{text}' has minutes or seconds without degrees")
    whole, minutes, seconds = (float(part or 0.0) for part in match.groups()[1:])
    if minutes >= 60 or seconds >= 60 or (match[3] and "." in match[2]) or (match[4] and "." in match[3]):
        raise ValueError(f"'{text}' has minutes or seconds that cannot be")
    size = whole + minutes / 60 + seconds / 3600
    return -size if match[1] == "-" or _SIGN_OF.get(letter, 1.0) < 0 else size
