"""DIGGS 2.5.a, 2.6 and 3.x (Geo-Institute of ASCE) to the tables of a log, by the local names of its elements.

The names were read in public example files of the three editions; what stands in none of them (casing, flush, stability of the hole,
water not encountered) follows the published schema and is tried on files of our own only.
"""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from pathlib import Path

from methodpick.errors import InputError, Problem
from methodpick.imports.diggs_tests import core_rows, in_situ_rows, monitor_rows, strike_rows
from methodpick.imports.diggs_xml import HOLES, UNITS, Amount, Boreholes, Element, RowMaker, amount, measured, read_xml
from methodpick.imports.input_formats import DoubtBook, Imported
from methodpick.imports.log_borings import borings_of
from methodpick.imports.log_drilling import way_in_words
from methodpick.imports.log_tables import LEFT_OUT, MOST_BYTES, DataRow, Tables
from methodpick.input_files import read_bytes, refuse_empty
from methodpick.patterns import pattern_of
from methodpick.terms import UnitSystem

# ---- where the boreholes stand


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


# ---- the tables


# ---- headers of the boreholes: depth, level, position, technique, casing and flush


VERTICAL: dict[str, str] = {"5702": "ft[US]", "6360": "ft[US]", "8228": "ft", "5703": "m", "5714": "m", "6647": "m"}
"""Units of vertical datums by their EPSG code (from memory): NGVD29 and NAVD88 in feet and metres, mean sea level, CGVD2013."""


def technique(method: Element) -> str:
    """Return the technique that a method of construction names, empty where its words name none or two."""
    texts = [method.value("constructionMethod", "Specification", name) for name in ("name", "shortMethodName")]
    for text in (*texts, method.value("name")):
        if found := way_in_words(text):
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
    place = place_values(element)
    order = place.pop("ORDER", "")
    values: dict[str, str | Amount] = {
        "LOCA_FDEP": total if total.unit else amount(total.text, make.boreholes.unit(boring)),
        "LOCA_GL": level or Amount(),
        **place,
        "LOCA_STAT": element.value("status"),
        "LOCA_STAR": element.value("whenConstructed", "TimeInterval", "start"),
        "LOCA_ENDD": element.value("whenConstructed", "TimeInterval", "end"),
        "LOCA_TYPE": "+".join(dict.fromkeys(filter(None, methods))) if all(methods[:1]) else "",
        "LOCA_REM": ". ".join(remarks),
    }
    row = make.row(element, boring, values)
    if order:
        row.doubt("the file does not say which of two angles is the latitude", LEFT_OUT, quoted=str(order))
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


# ---- layers: observations of lithology; a depth inside a layer is a detail of it


_SYMBOL = pattern_of(r"[GSMCOP][WPMCLHT](?:-[GSMC][WPMCLH])?")
_ROAD_GROUP = pattern_of(r"A-(?:1-[AB]|2-[4-7]|7-[56]|[3-8])")
_PROPERTIES = ("fieldProperties", "lithProperties")
_CODED = ("classificationName", "classificationCode", "lithologyType", "lithologyCode", "legendCode")
"""Elements that name the ground by a list of codes, where no description does."""
_GRADES = ("consistency", "apparentDensity", "rockStrength", "rockWeathering", "cementation")


def layer_rows(elements: list[Element], make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of all layers and details of a file, each with its group."""
    found: list[tuple[str, DataRow]] = []
    taken: dict[str, list[tuple[float, float]]] = {}
    systems = [element for element in elements if element.name == "LithologySystem"]
    for system in sorted(systems, key=_words_in, reverse=True):
        observations = system.all("lithologyObservation", "LithologyObservation")
        if system.child("sampleRef") is not None and system.child("samplingFeatureRef") is None:
            for observation in observations:
                make.row(observation, "", {}).pass_over("it describes a sample, no layer")
            continue
        boring = make.home(system)
        if boring is None:
            for observation in observations:
                make.row(observation, "", {}).pass_over("its system belongs to no boring")
            continue
        lengths = [length for observation in observations if (length := _ends(make, observation, boring)) is not None]
        before = taken.setdefault(boring, [])
        for observation in observations:
            found += _observation(observation, boring, make, lengths, before)
        taken[boring] = [*before, *lengths]
    return found


def _words_in(system: Element) -> int:
    """Return how many layers of a system are described; where two systems lie over each other, the one with more has the layers."""
    return sum(bool(description(each)) for each in system.all("lithologyObservation", "LithologyObservation"))


def _ends(make: RowMaker, observation: Element, boring: str) -> tuple[float, float] | None:
    """Return top and base of an observation as numbers, None where it has no length."""
    top, base = make.depths(observation.child("location"), boring)
    try:
        return float(top.text), float(base.text)
    except ValueError:
        return None


def _observation(
    observation: Element, boring: str, make: RowMaker, lengths: list[tuple[float, float]], taken: list[tuple[float, float]]
) -> list[tuple[str, DataRow]]:
    """Return the rows of an observation: a layer, or a detail where it is a depth inside another one or lies over what is ``taken``."""
    top, base = make.depths(observation.child("location"), boring)
    words = description(observation)
    found: list[tuple[str, DataRow]] = []
    if (not base.text and _inside(top, [*lengths, *taken])) or _overlaps(_ends(make, observation, boring), taken):
        row = make.row(observation, boring, {"DETL_TOP": top, "DETL_BASE": base, "DETL_DESC": words})
        if words and base.text:
            row.doubt(
                "another system of layers describes the same depths", "its words stay beside the layers", quoted=words, severity="note"
            )
        if words:
            found.append(("DETL", row))
        else:
            row.pass_over("a depth without words inside a layer")
    else:
        values: dict[str, str | Amount] = {"GEOL_TOP": top, "GEOL_BASE": base, "GEOL_DESC": words, "GEOL_USCS": symbol(observation)}
        found.append(("GEOL", make.row(observation, boring, values)))
        found += [
            ("WETH", make.row(grade, boring, {"WETH_TOP": top, "WETH_BASE": base, "WETH_WETH": grade.text}))
            for holder in observation.all("primaryLithology", "Lithology")
            for name in _PROPERTIES
            for properties in holder.all(name)
            for grade in (each for found_in in properties.children for each in found_in.all("rockWeathering"))
            if grade.text
        ]
    for placed in observation.all("placedObservation", "PlacedObservation"):
        start, end = make.depths(placed.child("location"), boring)
        text = placed.value("observation") or placed.value("remark", "Remark", "content") or description(placed)
        found.append(("DETL", make.row(placed, boring, {"DETL_TOP": start, "DETL_BASE": end, "DETL_DESC": text})))
    return found


def _overlaps(length: tuple[float, float] | None, taken: list[tuple[float, float]]) -> bool:
    return length is not None and any(min(length[1], base) - max(length[0], top) > 1e-6 for top, base in taken)


def _inside(top: Amount, lengths: list[tuple[float, float]]) -> bool:
    try:
        depth = float(top.text)
    except ValueError:
        return False
    return any(start <= depth < end for start, end in lengths)


def symbol(observation: Element) -> str:
    """Return the group symbol of a layer, where one of its codes is one: some files write words in their place."""
    lithology = observation.child("primaryLithology", "Lithology")
    if lithology is None:
        return ""
    texts = [
        element.text.strip().upper().replace(" ", "")
        for name in ("classificationSymbol", "classificationCode", "legendCode")
        for element in lithology.all(name)
    ]
    return next((text for pattern in (_SYMBOL, _ROAD_GROUP) for text in texts if pattern.fullmatch(text)), "")


def description(observation: Element) -> str:
    """Return the words of an observation: as written, else put together from grade, colour, constituents and moisture."""
    lithology = observation.child("primaryLithology", "Lithology")
    if lithology is None:
        return ""
    written = lithology.value("lithDescription")
    if written:
        return written
    properties = [found for name in _PROPERTIES for holder in lithology.all(name) for found in holder.children]
    grades = [found.value(name) for found in properties for name in _GRADES]
    colours = [colour.value("colorName") for colour in lithology.all("color", "Color")]
    parts = [constituent.value("codeValue") or constituent.value("name") for constituent in lithology.all("constituent", "Constituent")]
    codes = [
        text.replace("_", " ")
        for text in (*(lithology.value(name) for name in _CODED), observation.value("unitName"))
        if text and not _SYMBOL.fullmatch(text.upper()) and not _ROAD_GROUP.fullmatch(text.upper())
    ]
    main = [part for part in parts if part][:1] or [code for code in codes if code][:1]
    lead = " ".join(word for word in (*grades, *colours, *main) if word)
    rest = [part for part in parts if part][1:] + [found.value("moistureCondition") for found in properties]
    notes = [found.value("remark", "Remark", "content") for found in properties]
    return ", ".join(part for part in (lead, *rest, *notes) if part)


# ---- the file


COUNTED = (
    *HOLES,
    "BoreholeConstructionMethod",
    "LithologyObservation",
    "PlacedObservation",
    "Test",
    "SamplingActivity",
    "WaterStrike",
    "Monitor",
    "Casing",
    "Flush",
)
"""Elements that are rows of the log; they are counted as groups."""


def read_diggs(source: Path | str, name: str | None = None) -> Imported:
    """Read the borings of a DIGGS file (Path) or text (str), with a doubt for everything that is not clear.

    Raises InputError where it is no DIGGS file, holds no borehole, or declares a document type or entities.
    """
    name = name or (source.name if isinstance(source, Path) else "")
    tables, us = _tables(source, name)
    units: UnitSystem = "us" if us else "si"
    soundings = frozenset(row.boring for row in tables.of("LOCA") if row.group == "Sounding")
    return borings_of(tables, "DIGGS file", "elements Borehole and LithologyObservation", units, frozenset(COUNTED), soundings)


def _tables(source: Path | str, file: str) -> tuple[Tables, bool]:
    file = file or "the text"
    content = read_bytes(source, file, MOST_BYTES) if isinstance(source, Path) else source.encode("utf-8", "replace")
    refuse_empty(file, content[:1000].decode("utf-8", "replace"), "a DIGGS file")
    root = read_xml(content, file, "Diggs")
    book = DoubtBook(file)
    elements = list(root.inside())
    boreholes = Boreholes(elements, book)
    if not boreholes.names:
        raise InputError(Problem(f"{file}: no Borehole is in this DIGGS file", expected="elements Borehole and LithologyObservation"))
    by_id = {element.attributes["id"]: element for element in elements if "id" in element.attributes}
    make = RowMaker(book, boreholes, by_id)
    rows: dict[str, list[DataRow]] = {}
    for found in (header_rows(make), layer_rows(elements, make), in_situ_rows(elements, make), core_rows(elements, make)):
        _add(rows, found)
    _add(rows, strike_rows(elements, make))
    _add(rows, monitor_rows(elements, make))
    tested = {row.boring for row in rows.get("SCPT", ())}
    _add(rows, [("LOCA", _header(element, name, make)) for name, element in boreholes.soundings.items() if name in tested])
    counts = Counter(_counted(elements))
    in_file = {element: counts[element] for element in COUNTED if counts[element]}
    tables = {group: tuple(found) for group, found in rows.items()}
    return Tables(tables, book, hashlib.sha256(content).hexdigest(), in_file), boreholes.in_feet


def _add(rows: dict[str, list[DataRow]], found: list[tuple[str, DataRow]]) -> None:
    for group, row in found:
        rows.setdefault(group, []).append(row)


def _counted(elements: list[Element]) -> list[str]:
    """Return the names of the elements that are counted; the lining of a standpipe is no casing of the boring."""
    linings = {id(child) for element in elements if element.name == "wellCasing" for child in element.children}
    return [element.name for element in elements if element.name in COUNTED and id(element) not in linings]
