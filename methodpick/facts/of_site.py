"""Facts of the site, of the shaft and of its boring as a whole, and of what the boring showed in a stratum."""

from __future__ import annotations

import re
from collections.abc import Mapping

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.sheet import FactSheet, Frame
from methodpick.facts.strata import Stratum, is_fill, names_coal
from methodpick.ground.profile import Profile
from methodpick.ground.site import Equipment, SiteConditions
from methodpick.patterns import pattern_of
from methodpick.terms import FLUIDS, GRANULAR, METHODS, ROCK
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import FALSE, TRUE, Choice, Span, from_bool, known, likely_bool, point

# ---- Facts of the site


SITE_FILE = "site file"


def of_site(frame: Frame, sheet: FactSheet) -> None:
    """Write what the user says of the site; what is not said stays missing."""
    site = frame.site
    sheet.put("over_water", from_bool(site.setting == "water"), "logged", SITE_FILE)
    if site.setting == "water":
        depth = max(site.water_depth_m or 0.0, (site.water_level.high_m or 0.0) if site.water_level else 0.0)
        sheet.put("open_water_depth_m", point(depth), "logged", SITE_FILE)
    else:
        sheet.put("open_water_depth_m", point(0.0), "logged", "land")
        sheet.put("tidal", from_bool(False), "logged", "land")
    if site.water_level is not None:
        if site.water_level.tide_m is not None:
            sheet.put("tidal", from_bool(site.water_level.tide_m > 0), "logged", SITE_FILE)
        if site.water_level.flow_velocity_m_s is not None:
            sheet.put("flow_velocity_m_s", point(site.water_level.flow_velocity_m_s), "logged", SITE_FILE)
    elif site.setting == "land" and site.groundwater_velocity_m_s is not None:
        sheet.put("flow_velocity_m_s", point(site.groundwater_velocity_m_s), "logged", SITE_FILE)
    for method in METHODS:
        sheet.put(f"allows_{method}", from_bool(method in site.allowed), "logged", SITE_FILE)
    if site.fluids_allowed is not None:
        for fluid in FLUIDS:
            sheet.put(f"allows_{fluid}", from_bool(fluid in site.fluids_allowed), "logged", SITE_FILE)
    _surroundings(site, sheet, frame.limits)
    _plant(site, sheet)


def _surroundings(site: SiteConditions, sheet: FactSheet, limits: Mapping[str, float]) -> None:
    if site.contamination.strip().lower() == "none":
        sheet.put("contamination", known("none"), "logged", SITE_FILE)
    elif site.contamination.strip().lower() != "unknown":
        sheet.put("contamination", known("present"), "logged", f"site file: {site.contamination}")
    if site.neighbours is not None:
        near = [n.distance_m for n in site.neighbours if n.distance_m is not None]
        anywhere = [n for n in site.neighbours if n.distance_m is None]
        if near or not site.neighbours:
            nearest_m = min(near, default=1000.0)
            sheet.put("neighbour_distance_m", Span(0.0, nearest_m) if anywhere else point(nearest_m), "logged", SITE_FILE)
        sheet.put("neighbour_unmeasured", from_bool(any(not n.is_railway for n in anywhere)), "logged", SITE_FILE)
        rails = [n.distance_m for n in site.neighbours if n.is_railway]
        near_track = any(distance is None or distance < limits["railway_stop_m"] for distance in rails)
        sheet.put("railway_near", from_bool(near_track), "logged", SITE_FILE)
    if site.headroom_m is not None:
        sheet.put("headroom_m", point(site.headroom_m), "logged", SITE_FILE)
    if site.surcharge_kpa is not None:
        sheet.put("surcharge_kpa", point(site.surcharge_kpa), "logged", SITE_FILE)
    sheet.put("lid_adhesion_agreed", from_bool(site.lid_adhesion_agreed), "logged", SITE_FILE)
    if site.recharge is not None:
        sheet.put("recharge", from_bool(any(source.strip().lower() != "none" for source in site.recharge)), "logged", SITE_FILE)
    chemistry = site.water_chemistry
    if chemistry is not None:
        for name, value in (
            ("chloride_mg_l", chemistry.chloride_mg_l),
            ("hardness_mg_l", chemistry.hardness_mg_l),
            ("water_ph", chemistry.ph),
        ):
            if value is not None:
                sheet.put(name, point(value), "tested", SITE_FILE)
    if site.schedule.overnight_allowed is not None:
        sheet.put("overnight_allowed", from_bool(site.schedule.overnight_allowed), "logged", SITE_FILE)


def plant_at_hand(plant: Equipment) -> dict[str, bool | None]:
    """Return for every fact of the plant what the site file says; None where it says nothing."""
    return {
        "plant_vibratory": plant.vibratory,
        "plant_twist": plant.kelly_twist,
        "plant_oscillator": plant.oscillator,
        "plant_rotator": plant.rotator,
        "plant_impact": plant.impact_hammer,
        "plant_desander": plant.desander,
    }


def _plant(site: SiteConditions, sheet: FactSheet) -> None:
    for name, at_hand in plant_at_hand(site.equipment).items():
        if at_hand is not None:
            sheet.put(name, from_bool(at_hand), "logged", "site file, equipment")


# ---- Facts of the shaft and of its boring as a whole


_REFUSED = pattern_of(r"\brefus\w*|\bno progress\b", re.IGNORECASE)
_SOLUBLE = ("karst", "cavities", "mined")


def of_shaft(frame: Frame, sheet: FactSheet, strata: tuple[Stratum, ...], aquifers: tuple[Aquifer, ...]) -> None:
    """Write the facts of the shaft."""
    shaft, profile = frame.shaft, frame.profile
    sheet.put("diameter_m", point(shaft.diameter_m), "logged", "shaft")
    sheet.put("platform_raise_m", point(frame.raised_m), "derived", "drilling grade of the plan")
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
    if (away_m := shaft.away_m(profile)) is not None:
        sheet.put("boring_distance_m", point(away_m), "logged", "positions")
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


def _is_hollow(stratum: Stratum) -> bool:
    """Return whether the log tells of karst, cavities or old workings; voids of fill lie between its pieces and are none."""
    marks = {mark for mark in _SOLUBLE if mark != "cavities" or not is_fill(stratum)}
    return stratum.soils == {"void"} or not marks.isdisjoint(stratum.words.features | set(stratum.layer.features))


def _pointers(frame: Frame, sheet: FactSheet, strata: tuple[Stratum, ...], aquifers: tuple[Aquifer, ...]) -> None:
    karst = any(s.words.soluble or _is_hollow(s) for s in strata)
    sheet.put("karst_pointer", from_bool(karst), "logged", "rock types and features of the boring")
    sheet.put("coal_near", from_bool(any(names_coal(s) for s in strata)), "logged", "coal that the boring tells of in rock")
    met = any(s.top_m < frame.shaft.tip_m and _is_hollow(s) for s in strata)
    sheet.put("cavities_met", from_bool(met), "logged", "voids, cavities and workings that the boring tells of above the tip")
    deep = [aquifer for aquifer in aquifers if aquifer.kind in {"confined", "artesian", "strike", "unread"}]
    sheet.put(
        "uplift_pointer",
        from_bool(bool(deep)),
        "derived",
        "; ".join(aquifer.source for aquifer in deep[:3]) or "no aquifer below tight ground in the log",
    )
    struck = [aquifer for aquifer in aquifers if aquifer.kind in {"confined", "artesian", "strike"}]
    sheet.put("pressure_strike", from_bool(bool(struck)), "logged", "; ".join(a.source for a in struck[:3]))
    read = bool(struck) and all(aquifer.in_standpipe for aquifer in struck)
    sheet.put("pressure_in_standpipe", from_bool(read), "logged", "standpipes with a response zone below tight ground")
    refused = any(test.refusal for s in strata for test in s.spt) or any(
        _REFUSED.search(remark.text) for remark in frame.profile.remarks if "obstruction" in remark.tags
    )
    cored = bool(frame.profile.cores)
    value = FALSE if not refused else (TRUE if not cored else likely_bool(False))
    sheet.put("refusal_without_core", value, "logged", "penetration tests, remarks and cores")


# ---- What the boring itself showed in a stratum: evidence for the shaft, which is many times wider


_EVIDENCE = {"caving_seen": "collapse", "loss_seen": "fluid_loss", "blowing_seen": "blowing_sand", "water_added_seen": "water_added"}
_UNCASED = frozenset({"solid_auger", "auger", "window_sampler"})
_FLUSHED = frozenset({"mud_rotary", "wash", "rotary", "core"})
_WOULD_SHOW = {
    "caving_seen": _UNCASED,
    "loss_seen": _FLUSHED,
    "blowing_seen": _UNCASED | {"hollow_stem_auger", "cable_percussion"},
    "water_added_seen": _UNCASED | {"hollow_stem_auger", "cable_percussion"},
}
"""Ways of drilling whose silence is an answer: a hole without casing or fluid shows caving, only a flushed one loses fluid."""


def of_evidence(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write what the boring itself showed in this stratum: caving, lost fluid, added water, blowing sand, casing.

    What was not seen is only then not there where the way of drilling would have shown it, and no remark tells of it without a depth.
    """
    profile = frame.profile
    near_m = frame.limits["log_depth_tolerance_m"]
    tags = _tags(profile, stratum, near_m)
    somewhere = frozenset().union(*(remark.tags for remark in profile.remarks if remark.depth_m is None))
    cased = profile.casing_depth_m is not None and profile.casing_depth_m > stratum.top_m + near_m
    technique = profile.technique_at((stratum.top_m + stratum.base_m) / 2)
    for fact, tag in _EVIDENCE.items():
        hidden = technique not in _WOULD_SHOW[fact] or (fact == "caving_seen" and cased) or tag in somewhere
        if fact == "blowing_seen" and not stratum.soils & GRANULAR:
            hidden = False  # clay and rock do not blow, whatever held the hole
        if tag in tags:
            sheet.put(fact, TRUE, "logged", "remarks and cave-in depth of the boring")
        elif not hidden:
            sheet.put(fact, FALSE, "logged", "no remark of the boring, which would have shown it")
    if profile.casing_depth_m is not None:
        sheet.put("boring_cased", from_bool(cased), "logged", "casing of the boring")
    if "void" in tags:
        sheet.put("cavities", TRUE, "logged", "remark of the boring")
    for fact in sorted(_pieces(profile, stratum)):
        if fact not in sheet.facts:
            sheet.put(fact, likely_bool(True), "logged", "remark of the boring")
    if "gas" in tags:
        sheet.put("gas", TRUE, "logged", "remark of the boring")
    if stratum.logged:
        _of_logged(sheet, stratum, tags)


def _of_logged(sheet: FactSheet, stratum: Stratum, tags: frozenset[str]) -> None:
    refused = any(test.refusal for test in stratum.spt)
    sheet.put(
        "coarse_signs",
        from_bool("obstruction" in tags or refused or stratum.words.gravel is not None),
        "logged",
        "words, remarks and refusals of the log",
    )
    layer = stratum.layer
    cored = bool(stratum.cores) or layer.rqd_percent is not None or layer.recovery_percent is not None
    sheet.put("cored", from_bool(cored), "logged", "core runs of the boring")
    sheet.put("fines_tested", from_bool(layer.fines_percent is not None), "logged", "boring log")
    sheet.put("strength_tested", from_bool(layer.su_kpa is not None), "logged", "boring log")


def _pieces(profile: Profile, stratum: Stratum) -> frozenset[str]:
    """Return the large pieces that the remarks in a stratum point to; hard drilling in rock points to none."""
    found: set[str] = set()
    for remark in profile.remarks:
        if remark.depth_m is not None and stratum.top_m <= remark.depth_m < stratum.base_m:
            found |= remark.pieces
    return frozenset(found) - ({"cobbles", "boulders"} if stratum.soils and stratum.soils <= ROCK else set())


def _tags(profile: Profile, stratum: Stratum, near_m: float) -> frozenset[str]:
    """Return what the remarks in a stratum, and the depth to which the boring caved in, are evidence of."""
    tags: set[str] = set()
    for remark in profile.remarks:
        if remark.depth_m is not None and stratum.top_m <= remark.depth_m < stratum.base_m:
            tags |= remark.tags
    caved = profile.cave_in_depth_m
    if caved is not None and stratum.top_m <= caved < stratum.base_m and caved < profile.end_m - near_m:
        tags.add("collapse")
    return frozenset(tags)
