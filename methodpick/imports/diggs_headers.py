"""Headers of the boreholes of DIGGS: depth, level, position, technique, casing and flush."""

from __future__ import annotations

import re

from methodpick.imports.diggs_amounts import UNITS, Amount, amount, measured
from methodpick.imports.diggs_rows import RowMaker
from methodpick.imports.log_tables import LEFT_OUT, DataRow
from methodpick.imports.xml_tree import Element

VERTICAL: dict[str, str] = {"5702": "ft[US]", "6360": "ft[US]", "8228": "ft", "5703": "m", "5714": "m", "6647": "m"}
"""Units of vertical datums by their EPSG code (from memory): NGVD29 and NAVD88 in feet and metres, mean sea level, CGVD2013."""
_WAYS: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(words, re.IGNORECASE), way)
    for words, way in (
        (r"\bHSA\b|hollow", "hollow_stem_auger"),
        (r"\bSSA\b|\bSFA\b|\bCFA\b|solid[- ]?(?:stem|flight)|continuous[- ]flight", "solid_auger"),
        (r"mud|bentonite|polymer|drilling fluid", "mud_rotary"),
        (r"\bwash", "wash"),
        (r"rock core|\bcoring\b|\bcored?\b|\b[BNHP]Q\d?\b|\b[BNH]X\b", "core"),
        (r"sonic", "sonic"),
        (r"percussion", "cable_percussion"),
        (r"direct push|geoprobe", "window_sampler"),
        (r"^(?=.*auger)(?!.*rotary)", "auger"),
        (r"^(?=.*rotary)(?!.*auger)", "rotary"),
    )
)
"""Words of a method of construction, and the technique that they name; the first that fits."""


def technique(method: Element) -> str:
    """Return the technique that a method of construction names, empty where its words name none or two."""
    texts = [method.value("constructionMethod", "Specification", name) for name in ("name", "shortMethodName")]
    for text in (*texts, method.value("name")):
        found = next((way for pattern, way in _WAYS if pattern.search(text)), "")
        if found:
            return found
    return ""


def header_rows(make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of all boreholes: headers, ways of drilling, casings, flush."""
    found: list[tuple[str, DataRow]] = []
    for identity, element in make.boreholes.elements.items():
        boring = make.boreholes.names[identity]
        found.append(("LOCA", _header(element, boring, make)))
        found += _drilling(element, boring, make)
    return found


def _header(element: Element, boring: str, make: RowMaker) -> DataRow:
    methods = [technique(method) for method in element.all("constructionMethod", "BoreholeConstructionMethod")]
    remarks = [remark for node in element.all("remark", "Remark") if (remark := node.value("content"))]
    total = measured(element.child("totalMeasuredDepth"))
    level = _level(element, total)
    east, north = _position(element)
    values: dict[str, str | Amount] = {
        "LOCA_FDEP": total if total.unit else amount(total.text, make.boreholes.unit(boring)),
        "LOCA_GL": level or Amount(),
        "LOCA_NATE": east,
        "LOCA_NATN": north,
        "LOCA_STAT": element.value("status"),
        "LOCA_TYPE": "+".join(dict.fromkeys(filter(None, methods))) if all(methods[:1]) else "",
        "LOCA_REM": ". ".join(remarks),
    }
    row = make.row(element, boring, values)
    if level is None:
        row.doubt("the ground level has no unit", LEFT_OUT, severity="note")
    return row


def _level(element: Element, total: Amount) -> Amount | None:
    """Return the ground level; its unit stands beside it, lies in its datum, or shows in the depth of the hole. None without one."""
    pos = element.child("referencePoint", "PointLocation", "pos")
    numbers = pos.text.split() if pos is not None else []
    if pos is None or len(numbers) < 3:
        return Amount()
    place = element.child("referencePoint", "PointLocation")
    attributes = {**(place.attributes if place is not None else {}), **pos.attributes}
    labels = attributes.get("uomLabels", "").split()
    if len(labels) > 2 and labels[2].lower() in UNITS:
        return amount(numbers[2], labels[2])
    codes = re.findall(r"\d{4,5}", attributes.get("srsName", ""))
    if codes and codes[-1] in VERTICAL:
        return amount(numbers[2], VERTICAL[codes[-1]])
    line = element.child("centerLine", "LinearExtent", "posList")
    ends = line.text.split() if line is not None else []
    if len(ends) == 6 and total.unit and _alike(ends[2], ends[5], total.text):
        return Amount(numbers[2], total.unit)
    return None


def _alike(top: str, bottom: str, depth: str) -> bool:
    """Return whether the levels of the ends of a hole differ by its depth, so that they are in the same unit."""
    try:
        return abs(float(top) - float(bottom) - float(depth)) < 0.01 * max(1.0, float(depth))
    except ValueError:
        return False


def _position(element: Element) -> tuple[Amount, Amount]:
    """Return east and north where the file places the hole in a grid with a unit; degrees are no grid."""
    pos = element.child("referencePoint", "PointLocation", "pos")
    numbers = pos.text.split() if pos is not None else []
    place = element.child("referencePoint", "PointLocation")
    attributes = {**(place.attributes if place is not None else {}), **(pos.attributes if pos is not None else {})}
    labels, axes = attributes.get("uomLabels", "").split(), attributes.get("axisLabels", "").lower().split()
    if len(numbers) < 2 or len(labels) < 2 or not all(label.lower() in UNITS for label in labels[:2]):
        return Amount(), Amount()
    first, second = amount(numbers[0], labels[0]), amount(numbers[1], labels[1])
    return (second, first) if axes[:1] in (["northing"], ["north"], ["n"]) else (first, second)


def _drilling(element: Element, boring: str, make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of the ways of drilling of a borehole, of its casings and of its flush."""
    found: list[tuple[str, DataRow]] = []
    for method in element.all("constructionMethod", "BoreholeConstructionMethod"):
        top, base = make.depths(method.child("location"), boring)
        values: dict[str, str | Amount] = {
            "HDPH_TOP": top,
            "HDPH_BASE": base,
            "HDPH_TYPE": technique(method),
            "HDPH_STAB": method.value("holeStability"),
            "HDPH_REM": method.value("remark", "Remark", "content"),
        }
        found.append(("HDPH", make.row(method, boring, values)))
    for casing in element.all("casing", "Casing"):
        _, base = make.depths(casing.child("casingLocation"), boring)
        values = {"CDIA_DPTH": base, "CDIA_DIAM": measured(casing.child("casingOutsideDiameter"))}
        found.append(("CDIA", make.row(casing, boring, values)))
    for flush in element.all("flush", "Flush"):
        top, base = make.depths(flush.child("location") or flush.child("flushLocation"), boring)
        values = {
            "FLSH_TOP": top,
            "FLSH_BASE": base,
            "FLSH_TYPE": flush.value("flushType"),
            "FLSH_RETN": flush.value("minFlushReturn"),
            "FLSH_RETX": flush.value("maxflushReturn") or flush.value("maxFlushReturn"),
        }
        found.append(("FLSH", make.row(flush, boring, values)))
    return found
