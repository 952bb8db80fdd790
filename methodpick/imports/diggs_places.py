"""Where the boreholes of a DIGGS file stand: in a grid with a unit, or by latitude and longitude in the order that the file gives them."""

from __future__ import annotations

import re

from methodpick.imports.diggs_xml import UNITS, Amount, Element, amount
from methodpick.patterns import pattern_of

_DATUMS = {"4326": "WGS84", "4979": "WGS84", "CRS84": "WGS84", "4258": "ETRS89", "4269": "NAD83", "4267": "NAD27", "4277": "OSGB36"}
"""Datums of geographic systems by their EPSG code or name (from memory)."""
_CODE = pattern_of(r"(?<![\d.])(\d{4,5}|CRS84)(?!\d)")
_EPSG_ORDER = pattern_of(r"\bEPSG\b", re.IGNORECASE)
_DEGREES = frozenset({"dega", "deg", "degree", "degrees", "\N{DEGREE SIGN}"})
FARTHEST_DEG = 80.0
"""Nobody builds farther from the equator (own value): an angle beyond this is a longitude."""


def place_values(element: Element) -> dict[str, str | Amount]:
    """Return the place of a borehole by heading, nothing where the file has none; ``ORDER`` stands there where it leaves the order open."""
    point = element.child("referencePoint", "PointLocation")
    pos = element.child("referencePoint", "PointLocation", "pos")
    if point is None or pos is None or len(numbers := pos.text.split()) < 2:
        return {}
    attributes = {**point.attributes, **pos.attributes}
    labels, axes = attributes.get("uomLabels", "").lower().split(), attributes.get("axisLabels", "").lower().split()
    system = attributes.get("srsName", "")
    datum = next((_DATUMS[code] for code in _CODE.findall(system) if code in _DATUMS), "")
    if datum or (labels[:1] and labels[0] in _DEGREES) or any(axis.startswith(("lat", "lon")) for axis in axes):
        return _on_globe(numbers[0], numbers[1], axes, system, datum)
    if len(labels) < 2 or not all(label in UNITS for label in labels[:2]):
        return {}
    first, second = amount(numbers[0], labels[0]), amount(numbers[1], labels[1])
    east, north = (second, first) if axes[:1] in (["northing"], ["north"], ["n"]) else (first, second)
    return {"LOCA_NATE": east, "LOCA_NATN": north}


def _on_globe(first: str, second: str, axes: list[str], system: str, datum: str) -> dict[str, str | Amount]:
    latitude_first = _latitude_is_first(first, second, axes, system)
    if latitude_first is None:
        return {"ORDER": f"{first} {second}"}
    latitude, longitude = (first, second) if latitude_first else (second, first)
    return {"LOCA_LAT": latitude, "LOCA_LON": longitude, "LOCA_LLZ": datum}


def _latitude_is_first(first: str, second: str, axes: list[str], system: str) -> bool | None:
    """Return whether the first of two numbers is the latitude: as the axes are named, as only one order can be, as the registry has it.

    None where nothing says it: files of one system are known in both orders, where that is a system of the format's own.

    >>> _latitude_is_first("-81.14", "41.09", [], "urn:diggs:def:crs:DIGGS:0.1:4326_5702")
    False
    >>> _latitude_is_first("39.47", "-76.1", ["latitude", "longitude"], ""), _latitude_is_first("39.47", "-76.1", [], "DIGGS:0.1:4326_5702")
    (True, None)
    """
    if axes[:1] and axes[0].startswith(("lat", "lon")):
        return axes[0].startswith("lat")
    try:
        beyond = [abs(float(number)) > FARTHEST_DEG for number in (first, second)]
    except ValueError:
        return None
    if beyond[0] != beyond[1]:
        return beyond[1]
    if "CRS84" in system:
        return False
    return True if _EPSG_ORDER.search(system) else None
