"""Facts of the site."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.facts.sheet import FactSheet, Frame
from methodpick.ground.site import Equipment, SiteConditions
from methodpick.terms import FLUIDS, METHODS
from methodpick.vocabulary.values import from_bool, known, point

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
        if near or not site.neighbours:
            sheet.put("neighbour_distance_m", point(min(near, default=1000.0)), "logged", SITE_FILE)
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
