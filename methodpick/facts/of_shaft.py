"""Facts of the shaft and of its boring as a whole."""

from __future__ import annotations

import re
from math import hypot

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.sheet import FactSheet, Frame
from methodpick.facts.strata import Stratum, is_fill
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import FALSE, TRUE, Choice, from_bool, known, likely_bool, point

_REFUSED = re.compile(r"\brefus\w*|\bno progress\b", re.IGNORECASE)
_SOLUBLE = ("karst", "cavities", "mined")


def of_shaft(frame: Frame, sheet: FactSheet, strata: tuple[Stratum, ...], aquifers: tuple[Aquifer, ...]) -> None:
    """Write the facts of the shaft."""
    shaft, profile = frame.shaft, frame.profile
    sheet.put("diameter_m", point(shaft.diameter_m), "logged", "shaft")
    sheet.put("tip_depth_m", point(shaft.tip_m), "logged", "shaft")
    sheet.put("slenderness", point(shaft.tip_m / shaft.diameter_m), "derived", "tip / diameter", ("tip_depth_m", "diameter_m"))
    sheet.put("has_socket", from_bool(shaft.socket_top_m is not None), "logged", "shaft")
    sheet.put("has_bell", from_bool(shaft.bell is not None), "logged", "shaft")
    sheet.put("cutoff_above_ground", from_bool(shaft.cutoff_m < -0.005), "logged", "shaft")
    sheet.put("base_bearing", from_bool(shaft.bearing != "side"), "logged", "shaft")
    sheet.put("diameter_minimum", from_bool(shaft.diameter_is == "minimum"), "logged", "shaft")
    cover = shaft.cover_m
    if cover is None and shaft.cage_diameter_m is not None:
        cover = (shaft.diameter_m - shaft.cage_diameter_m) / 2
    if cover is not None:
        sheet.put("cage_cover_m", point(cover), "logged", "shaft")
    end = profile.end_m
    sheet.put("boring_reaches_tip", from_bool(end >= shaft.tip_m - 0.005), "logged", f"boring ends at {mark(end, 'm')}")
    sheet.put("data_below_tip", point((end - shaft.tip_m) / shaft.diameter_m), "logged", f"boring ends at {mark(end, 'm')}")
    if shaft.position is not None and profile.position is not None:
        distance = hypot(shaft.position.east_m - profile.position.east_m, shaft.position.north_m - profile.position.north_m)
        sheet.put("boring_distance_m", point(distance), "logged", "positions")
    if profile.technique != "unknown":
        sheet.put("boring_technique", known(profile.technique), "logged", "boring")
    sheet.put("water_knowledge", _knowledge(frame), "logged", "water readings of the boring")
    _pointers(frame, sheet, strata, aquifers)


def _knowledge(frame: Frame) -> Choice:
    kinds = {reading.reading for reading in frame.profile.water}
    if frame.site.setting == "water" or kinds & {"settled", "piezometer"}:
        return known("settled")
    if kinds & {"while_drilling", "end_of_drilling", "confined"}:
        return known("while_drilling")
    return known("none_met") if "none_met" in kinds else known("not_reported")


def _marks(stratum: Stratum) -> tuple[str, ...]:
    """Return the features that point to soluble or mined ground; voids of fill lie between its pieces and do not."""
    return tuple(mark for mark in _SOLUBLE if mark != "cavities" or not is_fill(stratum))


def _pointers(frame: Frame, sheet: FactSheet, strata: tuple[Stratum, ...], aquifers: tuple[Aquifer, ...]) -> None:
    karst = any(
        s.words.soluble or s.soils == {"void"} or any(mark in s.words.features | set(s.layer.features) for mark in _marks(s))
        for s in strata
    )
    sheet.put("karst_pointer", from_bool(karst), "logged", "rock types and features of the boring")
    deep = [aquifer for aquifer in aquifers if aquifer.kind in {"confined", "artesian", "strike", "unread"}]
    sheet.put(
        "uplift_pointer",
        from_bool(bool(deep)),
        "derived",
        "; ".join(aquifer.source for aquifer in deep[:3]) or "no aquifer below tight ground in the log",
    )
    struck = [aquifer for aquifer in aquifers if aquifer.kind in {"confined", "artesian", "strike"}]
    sheet.put("pressure_strike", from_bool(bool(struck)), "logged", "; ".join(a.source for a in struck[:3]))
    refused = any(test.refusal for s in strata for test in s.spt) or any(
        _REFUSED.search(remark.text) for remark in frame.profile.remarks if "obstruction" in remark.tags
    )
    cored = bool(frame.profile.cores)
    value = FALSE if not refused else (TRUE if not cored else likely_bool(False))
    sheet.put("refusal_without_core", value, "logged", "penetration tests, remarks and cores")
