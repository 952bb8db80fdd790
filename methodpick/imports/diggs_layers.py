"""Layers of DIGGS: observations of lithology with their words, symbol and seams; a depth inside a layer is a detail of it."""

from __future__ import annotations

import re

from methodpick.imports.diggs_amounts import Amount
from methodpick.imports.diggs_rows import RowMaker
from methodpick.imports.log_tables import DataRow
from methodpick.imports.xml_tree import Element

_SYMBOL = re.compile(r"[GSMCOP][WPMCLHT](?:-[GSMC][WPMCLH])?")
_PROPERTIES = ("fieldProperties", "lithProperties")
_GRADES = ("consistency", "apparentDensity", "rockStrength", "rockWeathering", "cementation")


def layer_rows(elements: list[Element], make: RowMaker) -> list[tuple[str, DataRow]]:
    """Return the rows of all layers and details of a file, each with its group."""
    found: list[tuple[str, DataRow]] = []
    for system in (element for element in elements if element.name == "LithologySystem"):
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
        lengths = [_ends(make, observation, boring) for observation in observations]
        for observation in observations:
            found += _observation(observation, boring, make, [length for length in lengths if length is not None])
    return found


def _ends(make: RowMaker, observation: Element, boring: str) -> tuple[float, float] | None:
    """Return top and base of an observation as numbers, None where it has no length."""
    top, base = make.depths(observation.child("location"), boring)
    try:
        return float(top.text), float(base.text)
    except ValueError:
        return None


def _observation(observation: Element, boring: str, make: RowMaker, lengths: list[tuple[float, float]]) -> list[tuple[str, DataRow]]:
    """Return the rows of an observation: a layer, or a detail where it is a depth inside the length of another one."""
    top, base = make.depths(observation.child("location"), boring)
    words = description(observation)
    found: list[tuple[str, DataRow]] = []
    if not base.text and _inside(top, lengths):
        row = make.row(observation, boring, {"DETL_TOP": top, "DETL_DESC": words})
        if words:
            found.append(("DETL", row))
        else:
            row.pass_over("a depth without words inside a layer")
    else:
        values: dict[str, str | Amount] = {"GEOL_TOP": top, "GEOL_BASE": base, "GEOL_DESC": words, "GEOL_USCS": symbol(observation)}
        found.append(("GEOL", make.row(observation, boring, values)))
    for placed in observation.all("placedObservation", "PlacedObservation"):
        start, end = make.depths(placed.child("location"), boring)
        text = placed.value("observation") or placed.value("remark", "Remark", "content") or description(placed)
        found.append(("DETL", make.row(placed, boring, {"DETL_TOP": start, "DETL_BASE": end, "DETL_DESC": text})))
    return found


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
    for name in ("classificationSymbol", "classificationCode", "legendCode"):
        for element in lithology.all(name):
            text = element.text.strip().upper().replace(" ", "")
            if _SYMBOL.fullmatch(text):
                return text
    return ""


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
    codes = [text for text in (lithology.value("classificationCode"), observation.value("unitName")) if not _SYMBOL.fullmatch(text.upper())]
    main = [part for part in parts if part][:1] or [code for code in codes if code][:1]
    lead = " ".join(word for word in (*grades, *colours, *main) if word)
    rest = [part for part in parts if part][1:] + [found.value("moistureCondition") for found in properties]
    notes = [found.value("remark", "Remark", "content") for found in properties]
    return ", ".join(part for part in (lead, *rest, *notes) if part)
