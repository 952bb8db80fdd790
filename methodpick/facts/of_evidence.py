"""What the boring itself showed in a stratum: evidence for the shaft, which is many times wider."""

from __future__ import annotations

from methodpick.facts.sheet import FactSheet, Frame
from methodpick.facts.strata import Stratum
from methodpick.ground.profile import Profile
from methodpick.terms import GRANULAR, ROCK
from methodpick.vocabulary.values import FALSE, TRUE, from_bool, likely_bool

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

    What was not seen is only then not there where the way of drilling would have shown it.
    """
    profile = frame.profile
    near_m = frame.limits["log_depth_tolerance_m"]
    tags = _tags(profile, stratum, near_m)
    cased = profile.casing_depth_m is not None and profile.casing_depth_m > stratum.top_m + near_m
    technique = profile.technique_at((stratum.top_m + stratum.base_m) / 2)
    for fact, mark in _EVIDENCE.items():
        hidden = technique not in _WOULD_SHOW[fact] or (fact == "caving_seen" and cased)
        if fact == "blowing_seen" and not stratum.soils & GRANULAR:
            hidden = False  # clay and rock do not blow, whatever held the hole
        if mark in tags:
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
    refused = any(test.refusal for test in stratum.spt)
    if stratum.logged:
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
