"""Water of DIGGS: strikes with their later readings, water not encountered, levels of standpipes over time."""

from __future__ import annotations

import re
from datetime import datetime

from methodpick.imports.diggs_amounts import Amount, amount
from methodpick.imports.diggs_rows import RowMaker
from methodpick.imports.diggs_tests import property_class
from methodpick.imports.log_tables import DataRow
from methodpick.imports.xml_tree import Element

_WHILE = re.compile(r"\b(?:time of|during|while)\b.*\bdrilling\b|\bwhile\b|\bATD\b|\binitial\b|\bencountered\b", re.IGNORECASE)
_HOURS = re.compile(r"\b(\d+(?:\.\d+)?)\s*(h(?:ou)?rs?|hour|days?|min(?:ute)?s?)\b|\b(one|two|three)\s+(hours?|days?)\b", re.IGNORECASE)
_IN_HOURS = {"h": 1.0, "d": 24.0, "m": 1 / 60}
_NUMBERS = {"one": 1.0, "two": 2.0, "three": 3.0}


def strike_rows(elements: list[Element], make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of all strikes of water: where it was met, and every level that was read later."""
    found: list[tuple[str, DataRow]] = []
    for borehole in (element for element in elements if element.name == "Borehole"):
        boring = make.boreholes.named(borehole.attributes.get("id", f"line {borehole.line}"))
        for strike in borehole.all("waterStrike", "WaterStrike") if boring is not None else ():
            found += _strike(strike, boring or "", make)
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
