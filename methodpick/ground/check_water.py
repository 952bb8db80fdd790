"""Coherence of the water readings: what was read, how, when, and how far it can be believed."""

from __future__ import annotations

from methodpick.ground.doubt import CORRECT_EITHER, Doubts
from methodpick.ground.profile import Profile, WaterReading
from methodpick.ground.tiling import tile
from methodpick.terms import SLOW_DRAINING

MASKING = ("mud_rotary", "wash")
"""Ways of drilling that keep the hole full, so that what is read is the drilling fluid."""
EARLY = ("while_drilling", "end_of_drilling")
"""Readings made before the level could settle."""


def check_water(profile: Profile, doubts: Doubts, over_water: bool = False) -> None:
    """Check the readings of one boring; ``over_water`` lets levels above the mudline pass."""
    if not profile.water:
        action = "no reading does not mean dry; ask for a standpipe or a level read after 24 h"
        doubts.doubt(None, "the log says nothing about water", action)
        return
    levels = [reading for reading in profile.water if reading.level_m is not None and reading.reading not in {"perched", "drilling_fluid"}]
    if all(reading.reading == "drilling_fluid" for reading in profile.water):
        message = "only the level of the drilling fluid is logged"
        doubts.doubt(profile.water[0].depth_m, message, "it says nothing about groundwater; ask for a standpipe")
    for reading in profile.water:
        if reading.reading == "none_met":
            _check_none_met(profile, reading, levels, doubts)
        else:
            _check_depths(profile, reading, doubts)
            if reading.struck_m is not None and reading.struck_m < 0 and not over_water:
                message = f"water is said to be struck {doubts.say_m(-reading.struck_m)} above the ground"
                doubts.serious(None, message, "write where it was struck, and the level that it rose to as 'rises_to'")
            _check_kind(profile, reading, doubts, over_water)
            _check_trust(profile, reading, doubts)


def _check_none_met(profile: Profile, reading: WaterReading, levels: list[WaterReading], doubts: Doubts) -> None:
    hole_m = profile.end_m if reading.hole_depth_m is None else reading.hole_depth_m
    met = next((level for level in levels if level.met_m is not None and level.met_m <= hole_m), None)
    if met is not None:
        kind = met.reading.replace("_", " ")
        message = f"no water is said to be met down to {doubts.say_m(hole_m)}, yet a reading ({kind}) stands in that depth"
        doubts.doubt(met.met_m, message, "the level is believed")
    if hole_m > profile.end_m > 0:
        doubts.doubt(hole_m, "no water was met in a hole deeper than the boring", CORRECT_EITHER)
    if profile.technique in MASKING:
        message = f"'no water met' means nothing when drilled by {_technique(profile)}"
        doubts.doubt(None, message, "the hole was full of drilling fluid; ask for a standpipe")


def _check_depths(profile: Profile, reading: WaterReading, doubts: Doubts) -> None:
    """Check that level, strike, hole and boring can be as deep as they are said to be."""
    level_m, say_m = reading.level_m, doubts.say_m
    deepest_m = max((depth for depth in (level_m, reading.struck_m) if depth is not None), default=None)
    if deepest_m is not None and deepest_m > profile.end_m > 0:
        message = f"water is read below the end of the boring at {say_m(profile.end_m)}"
        doubts.serious(deepest_m, message, CORRECT_EITHER)
    if level_m is not None and reading.hole_depth_m is not None and level_m > reading.hole_depth_m:
        message = f"water is read below the hole, then {say_m(reading.hole_depth_m)} deep"
        doubts.serious(level_m, message, CORRECT_EITHER)
    if reading.struck_m is not None and reading.rises_to_m is not None and reading.rises_to_m > reading.struck_m:
        message = f"water is said to rise, yet to {say_m(reading.rises_to_m)}, below where it was struck"
        doubts.serious(reading.struck_m, message, "swap or correct the two depths")


def _check_kind(profile: Profile, reading: WaterReading, doubts: Doubts, over_water: bool) -> None:
    """Check what an artesian, a confined or a piezometer reading needs."""
    level_m = reading.level_m
    if level_m is not None and level_m < 0 and not over_water:
        message = f"water stands {doubts.say_m(-level_m)} above the ground"
        doubts.note(None, message, "artesian: the fluid in the hole has to stand above it")
    if reading.reading == "confined" and reading.rises_to_m is None:
        message = "confined water was struck, but not how far it rises"
        doubts.doubt(reading.met_m, message, "ask for the level; until then it may rise to the ground")
    if reading.reading == "piezometer":
        zone = reading.response_zone_m
        if zone is None:
            doubts.doubt(level_m, "the piezometer does not say which depth it measures", "ask for its response zone")
        elif max(zone) > profile.end_m > 0:
            doubts.doubt(max(zone), "the response zone reaches below the end of the boring", "correct its depths")


def _check_trust(profile: Profile, reading: WaterReading, doubts: Doubts) -> None:
    """Check whether the reading can be the level of the ground water."""
    level_m, at_m = reading.level_m, reading.met_m
    if level_m is None:
        return
    if profile.technique in MASKING and reading.reading == "settled":
        action = "mud seals the wall, so that its own level stands too high for long; ask how the hole was flushed"
        doubts.doubt(level_m, f"a settled level in a hole drilled by {_technique(profile)}", action)
    if reading.reading not in EARLY:
        return
    if profile.technique in MASKING and not _before_mud(reading):
        action = "it is the drilling fluid that was read; ask for a standpipe"
        doubts.doubt(level_m, f"read in a hole kept full ({_technique(profile)})", action)
    if at_m is not None and any(
        layer.top_m < at_m + 1e-9 and at_m < layer.base_m and layer.described.likely in SLOW_DRAINING for layer in tile(profile)
    ):
        action = "the true level is likely higher; ask for a level after 24 h or a standpipe"
        doubts.doubt(level_m, "read in clay or silt before the hole could fill", action)


def _technique(profile: Profile) -> str:
    return profile.technique.replace("_", " ")


def _before_mud(reading: WaterReading) -> bool:
    """Return whether the log says how deep hole and casing were: then it was read before the mud went in."""
    return reading.reading == "while_drilling" and reading.casing_depth_m is not None
