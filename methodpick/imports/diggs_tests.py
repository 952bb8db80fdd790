"""Tests and water of DIGGS: penetration tests, core runs, values of the laboratory; strikes with later readings, levels of standpipes."""

from __future__ import annotations

import csv
import re
from datetime import datetime
from typing import NamedTuple

from methodpick.imports.diggs_xml import Amount, Element, RowMaker, amount, linked, measured
from methodpick.imports.log_places import SOUNDINGS
from methodpick.imports.log_tables import DataRow
from methodpick.patterns import pattern_of

# ---- tests


NOT_STANDARD = pattern_of(r"\b(?:DCP|dynamic cone|large|LPT|california|becker)\b", re.IGNORECASE)
_LABORATORY: dict[str, tuple[str, str]] = {
    "plasticity_index": ("LLPL", "LLPL_PI"),
    "percent_fines": ("GRAG", "GRAG_FINE"),
    "shear_strength_undrained": ("IVAN", "IVAN_IVAN"),
}
"""Classes of properties that belong to a layer: their group and heading in the tables of a log."""


class ClassedResult(NamedTuple):
    """A value of a test with the class of its property, such as n_value, and whether its cell holds any text."""

    property_class: str
    value: Amount


def in_situ_rows(elements: list[Element], make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of all tests that say something of a layer; the others are counted with their kind."""
    found: list[tuple[str, DataRow]] = []
    for test in (element for element in elements if element.name == "Test"):
        procedure = test.child("procedure")
        kind = procedure.children[0] if procedure is not None and procedure.children else None
        if kind is not None and kind.name == "DrivenPenetrationTest":
            found += _penetration(test, kind, make)
        elif kind is not None and kind.name == "StaticConePenetrationTest":
            found += _cone(test, kind, make)
        else:
            found += _laboratory(test, "Test" if kind is None else kind.name, make)
    return found


def results(test: Element) -> list[ClassedResult]:
    """Return the first tuple of values of a test by the class of their property: each property names its place in the list of cells."""
    found: list[ClassedResult] = []
    for result in (element for element in test.inside() if element.name == "ResultSet"):
        properties = result.all("parameters", "PropertyParameters", "properties", "Property")
        cells = first_cells(result.child("dataValues"), len(properties))
        for place, each in enumerate(properties):
            index = each.attributes.get("index", "")
            at = int(index) - 1 if index.isdecimal() and len(index) < 6 else place
            if 0 <= at < len(cells):
                found.append(ClassedResult(property_class(each), amount(cells[at], each.value("uom"))))
    return found


def first_cells(values: Element | None, expected: int = 1) -> list[str]:
    """Return the cells of the first tuple of a list of values, cut at the separators that it names, or at blanks where that gives all."""
    if values is None or not values.text:
        return []
    cell, row = values.attributes.get("cs", ","), values.attributes.get("ts", " ")
    if len(cell) != 1 or cell == '"' or (cell not in values.text and len(values.text.split()) == expected):
        return values.text.split()
    text = values.text if cell in values.text or '"' in values.text else values.text.split(row or None)[0]
    return [part.strip() for part in next(csv.reader([text.replace("\n", " ")], delimiter=cell), [])]


def property_class(each: Element) -> str:
    """Return the class of a property: the end of its link in DIGGS 3, the text before."""
    found = each.child("propertyClass")
    if found is None:
        return ""
    link = found.attributes.get("codeSpace", "").rpartition("#")
    return (link[2] if link[1] else found.text).strip().lower()


def _depths(test: Element, boring: str, make: RowMaker) -> tuple[Amount, Amount]:
    place = next((result.child("location") for result in test.all("outcome", "TestResult")), None)
    return make.depths(place, boring)


def _penetration(test: Element, kind: Element, make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the row of a standard penetration test: its count, its drives as the increments of AGS, its energy."""
    boring = make.home(test)
    if boring is None:
        return []
    top, _ = _depths(test, boring, make)
    stated = next((result.value.text for result in results(test) if result.property_class == "n_value"), "")
    values: dict[str, str | Amount] = {"ISPT_TOP": top, "ISPT_NVAL": stated, "ISPT_ERAT": kind.value("hammerEfficiency")}
    drives = sorted(kind.all("driveSet", "DriveSet"), key=lambda drive: drive.value("index"))
    for place, drive in zip((1, 3, 4, 5, 6), drives, strict=False):
        values[f"ISPT_INC{place}"] = drive.value("blowCount")
        values[f"ISPT_PEN{place}"] = measured(drive.child("penetration"))
    values["ISPT_SETS"] = ",".join(drive.value("blowCount") for drive in drives)
    row = make.row(test, boring, values)
    if NOT_STANDARD.search(kind.value("penetrationTestType")):
        row.set_aside("not a standard penetration test", quoted=kind.value("penetrationTestType"), severity="note")
        return []
    if stated and not row.is_number("ISPT_NVAL"):
        row.values.update({"ISPT_NVAL": "", "ISPT_REM": f"N {stated}"})
    return [("ISPT", row)]


_OF_CONE = {
    "tip_resistance": "SCPT_RES",
    "sleeve_friction": "SCPT_FRES",
    "pore_pressure_u2": "SCPT_PWP2",
    "corrected_tip_resistance": "SCPT_QT",
}


def _cone(test: Element, kind: Element, make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return a row for every reading of a cone test, and one of the cone itself."""
    sounding = make.boreholes.sounding(linked(test.child("samplingFeatureRef")))
    boring = sounding or make.home(test)
    if boring is None:
        return []
    found = [("SCPG", make.row(kind, boring, {"SCPG_CAR": kind.value("netAreaRatioCorrection")}))]
    for result in test.all("outcome", "TestResult"):
        depths = next((each.text.split() for each in result.inside() if each.name == "posList"), [])
        for results_of in (each for each in result.inside() if each.name == "ResultSet"):
            found += _readings(results_of, depths, boring, make)
    if len(found) == 1:
        make.row(test, boring, {}).pass_over("no reading of the cone is given")
    return [*found, (SOUNDINGS, make.row(test, boring, {}))] if sounding else found


def _readings(results_of: Element, depths: list[str], boring: str, make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of a list of tuples of values, one a depth."""
    values = results_of.child("dataValues")
    properties = results_of.all("parameters", "PropertyParameters", "properties", "Property")
    if values is None:
        return []
    cell, unit = values.attributes.get("cs", ",") or ",", make.boreholes.unit(boring)
    found = []
    for depth, words in zip(depths, values.text.split(values.attributes.get("ts", " ").strip() or None), strict=False):
        row: dict[str, str | Amount] = {"SCPT_DPTH": amount(depth, unit)}
        for each, text in zip(properties, words.split(cell), strict=False):
            heading = _OF_CONE.get(property_class(each), "")
            if heading and text.strip() != each.value("nullValue"):
                row[heading] = amount(text, each.value("uom"))
        found.append(("SCPT", make.row(values, boring, row)))
    return found


def _laboratory(test: Element, kind: str, make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of the limits, the fines and the strength of a test at its depth."""
    wanted = {result.property_class: result.value for result in results(test) if result.value.text}
    limits = (wanted.get("liquid_limit", Amount()).text, wanted.get("plastic_limit", Amount()).text)
    if "plasticity_index" not in wanted and all(limits):
        wanted["plasticity_index"] = Amount(_difference(*limits), "%")
    used = {name: value for name, value in wanted.items() if name in _LABORATORY}
    row = make.row(test, "", {})
    if not used:
        row.pass_over(f"nothing is read from a {kind}")
        return []
    boring = make.home(test)
    if boring is None:
        return []
    top, _ = _depths(test, boring, make)
    if not top.text:
        row.set_aside("the test has no depth", quoted=kind, severity="note")
        return []
    found = []
    for name, value in used.items():
        group, heading = _LABORATORY[name]
        found.append((group, make.row(test, boring, {"SPEC_DPTH": top, heading: value})))
    return found


def _difference(liquid: str, plastic: str) -> str:
    try:
        return f"{float(liquid) - float(plastic):g}"
    except ValueError:
        return ""


def core_rows(elements: list[Element], make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of core runs: sampling with a quality designation, or by coring; other samples are counted only."""
    found: list[tuple[str, DataRow]] = []
    for activity in (element for element in elements if element.name == "SamplingActivity"):
        designation = activity.child("samplingActivityRQD") or activity.child("rockQualityDesignationLength")
        cored = re.search(r"\brotary core\b|\brock core\b|\bcored\b", activity.value("samplerInsertionMethod"), re.IGNORECASE)
        if designation is None and cored is None:
            make.row(activity, "", {}).pass_over("a sample, no core run")
            continue
        boring = make.home(activity)
        if boring is None:
            continue
        top, base = make.depths(activity.child("samplingLocation"), boring)
        values: dict[str, str | Amount] = {"CORE_TOP": top, "CORE_BASE": base}
        values["CORE_RQD"] = activity.value("samplingActivityRQD") or _share(activity.child("rockQualityDesignationLength"), top, base)
        values["CORE_PREC"] = _share(activity.child("totalSampleRecoveryLength"), top, base)
        values["CORE_SREC"] = _share(activity.child("solidCoreRecoveryLength"), top, base)
        found.append(("CORE", make.row(activity, boring, values)))
    return found


def _share(length: Element | None, top: Amount, base: Amount) -> str:
    """Return a length of core in percent of its run, where both have the same unit; empty without them."""
    found = measured(length)
    try:
        run = float(base.text) - float(top.text)
        return f"{round(100 * float(found.text) / run, 1):g}" if found.unit == top.unit and run > 0 else ""
    except ValueError:
        return ""


# ---- water


_WHILE = pattern_of(r"\b(?:time of|during|while)\b.*\bdrilling\b|\bwhile\b|\bATD\b|\binitial\b|\bencountered\b", re.IGNORECASE)
_HOURS = pattern_of(r"\b(\d+(?:\.\d+)?)\s*(h(?:ou)?rs?|hour|days?|min(?:ute)?s?)\b|\b(one|two|three)\s+(hours?|days?)\b", re.IGNORECASE)
_IN_HOURS = {"h": 1.0, "d": 24.0, "m": 1 / 60}
_NUMBERS = {"one": 1.0, "two": 2.0, "three": 3.0}


def strike_rows(elements: list[Element], make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of all strikes of water: where it was met, and every level that was read later."""
    found: list[tuple[str, DataRow]] = []
    placed: set[int] = set()
    for identity, borehole in make.boreholes.elements.items():
        for strike in borehole.all("waterStrike", "WaterStrike"):
            placed.add(strike.number)
            found += _strike(strike, make.boreholes.names[identity], make)
    for strike in (element for element in elements if element.name == "WaterStrike" and element.number not in placed):
        if (boring := make.home(strike)) is not None:
            found += _strike(strike, boring, make)
    return found


def _strike(strike: Element, boring: str, make: RowMaker) -> list[tuple[str, DataRow]]:
    if strike.value("notEncountered").lower() in ("true", "1"):
        return [("WSTG", make.row(strike, boring, {"WSTG_REM": "not encountered"}))]
    first = strike.all("initialWaterStrikeReading", "WaterStrikeReading")
    later = strike.all("postStrikeReading", "WaterStrikeReading")
    start = _date(first[0]) if first else None
    found = [("WSTG", _met(strike, reading, boring, make)) for reading in first]
    for reading in (*later, *strike.all("waterStrikeReadings", "WaterStrikeReading")):
        words = " ".join(part for part in (strike.value("status"), reading.value("status"), _remark(strike), _remark(reading)) if part)
        hours = hours_in(words)
        at = _date(reading)
        if hours is None and start is not None and at is not None and at > start:
            hours = (at - start).total_seconds() / 3600
        if reading not in later and hours is None and _WHILE.search(words):
            found.append(("WSTG", _met(strike, reading, boring, make)))
        else:
            found.append(("WLEV", _level(strike, reading, boring, make, hours, words)))
    if not found:
        make.row(strike, boring, {}).set_aside("the strike has no reading", severity="note")
    return found


def _met(strike: Element, reading: Element, boring: str, make: RowMaker) -> DataRow:
    depth, _ = make.depths(reading.child("waterLocation"), boring)
    casing, _ = make.depths(reading.child("bottomCasing"), boring)
    values: dict[str, str | Amount] = {"WSTG_DPTH": depth, "WSTG_CAS": casing, "WSTG_DTIM": reading.value("dateTime")}
    return make.row(strike, boring, {**values, "WSTG_REM": _remark(reading) or _remark(strike)})


def _level(strike: Element, reading: Element, boring: str, make: RowMaker, hours: float | None, words: str) -> DataRow:
    depth, _ = make.depths(reading.child("waterLocation"), boring)
    values: dict[str, str | Amount] = {"WLEV_DPTH": depth, "WLEV_DTIM": reading.value("dateTime"), "WLEV_REM": words}
    return make.row(strike, boring, {**values, "WLEV_HOUR": Amount("" if hours is None else f"{hours:g}", "h")})


def _remark(element: Element) -> str:
    return element.value("remark", "Remark", "content")


def _date(reading: Element) -> datetime | None:
    try:
        return datetime.fromisoformat(reading.value("dateTime")).replace(tzinfo=None)
    except ValueError:
        return None


def hours_in(text: str) -> float | None:
    """Return the time in hours that words name, None where they name none.

    >>> hours_in("Water level after 15 mins."), hours_in("One day following drilling"), hours_in("After drilling")
    (0.25, 24.0, None)
    """
    found = _HOURS.search(text)
    if found is None:
        return None
    count = float(found[1]) if found[1] else _NUMBERS[found[3].lower()]
    return count * _IN_HOURS[(found[2] or found[4])[0].lower()]


def monitor_rows(elements: list[Element], make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of all standpipes: their response zone, and each level with its date."""
    found: list[tuple[str, DataRow]] = []
    for monitor in (element for element in elements if element.name == "Monitor"):
        boring = make.home(monitor)
        if boring is None:
            continue
        levels = _levels(monitor)
        if not levels:
            make.row(monitor, boring, {}).set_aside("no depth to water is read there", severity="note")
            continue
        name = monitor.attributes.get("id", f"line {monitor.line}")
        link = next((element for element in monitor.inside() if element.name == "responseZoneLocationRef"), None)
        top, base = make.depths(link, boring)
        found.append(("MONG", make.row(monitor, boring, {"MONG_ID": name, "MONG_TRZ": top, "MONG_BRZ": base})))
        for date, depth in levels:
            values: dict[str, str | Amount] = {
                "MONG_ID": name,
                "MOND_TYPE": "WDEP",
                "MOND_RDNG": depth,
                "MOND_UNIT": depth.unit,
                "MOND_DTIM": date,
            }
            found.append(("MOND", make.row(monitor, boring, values)))
    return found


def _levels(monitor: Element) -> list[tuple[str, Amount]]:
    """Return date and depth of all readings of the depth to water."""
    found: list[tuple[str, Amount]] = []
    for outcome in (element for element in monitor.inside() if element.name in ("MonitorResult", "TemporalResult")):
        times = next((element.text.split() for element in outcome.inside() if element.name == "timePositionList"), [])
        for result in (element for element in outcome.inside() if element.name == "ResultSet"):
            properties = [each for each in result.inside() if each.name == "Property"]
            values = result.child("dataValues")
            tuples = _tuples(values) if values is not None else []
            place = next((index for index, each in enumerate(properties) if property_class(each) == "water_depth"), None)
            if place is None:
                continue
            unit = properties[place].value("uom")
            found += [
                (time.replace("/", "-"), amount(cells[place], unit))
                for time, cells in zip(times, tuples, strict=False)
                if place < len(cells)
            ]
    return found


def _tuples(values: Element) -> list[list[str]]:
    cell = values.attributes.get("cs", ",") or ","
    return [[part.strip() for part in cells.split(cell)] for cells in values.text.split()]
