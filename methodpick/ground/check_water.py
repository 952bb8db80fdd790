"""Coherence of the water readings: what was read, how, when, and how far it can be believed."""

from __future__ import annotations

from methodpick.ground.descriptions.reader import read_words
from methodpick.ground.doubt import Doubts
from methodpick.ground.profile import Profile, WaterReading
from methodpick.ground.tiling import tile

SLOW = frozenset({"clay", "silt", "organic", "intermediate"})
"""Ground in which a hole fills too slowly for a level read at once."""
MASKING = ("mud_rotary", "wash")
"""Ways of drilling that keep the hole full, so that what is read is the drilling fluid."""
EARLY = ("while_drilling", "end_of_drilling")


def check_water(profile: Profile, doubts: Doubts, over_water: bool = False) -> None:
    """Look at the readings of one boring; ``over_water`` lets levels above the mudline pass."""
    if not profile.water:
        doubts.add(
            "doubt",
            None,
            "the log says nothing about water",
            "no reading does not mean dry; ask for a standpipe or a level read after 24 h",
        )
        return
    levels = [reading for reading in profile.water if reading.level_m is not None and reading.reading not in {"perched", "drilling_fluid"}]
    if all(reading.reading == "drilling_fluid" for reading in profile.water):
        doubts.add(
            "doubt",
            profile.water[0].depth_m,
            "only the level of the drilling fluid is logged",
            "it says nothing about groundwater; ask for a standpipe",
        )
    for reading in profile.water:
        if reading.reading == "none_met":
            _check_none_met(profile, reading, levels, doubts)
        else:
            _check_level(profile, reading, doubts, over_water)
            _check_trust(profile, reading, doubts)


def _check_none_met(profile: Profile, reading: WaterReading, levels: list[WaterReading], doubts: Doubts) -> None:
    hole_m = profile.end_m if reading.hole_depth_m is None else reading.hole_depth_m
    inside = [level for level in levels if level.met_m is not None and level.met_m <= hole_m]
    if inside:
        doubts.add(
            "doubt",
            inside[0].met_m,
            f"no water is said to be met down to {doubts.say_m(hole_m)}, yet a "
            f"reading ({inside[0].reading.replace('_', ' ')}) stands in that depth",
            "the level is believed",
        )
    if hole_m > profile.end_m > 0:
        doubts.add("doubt", hole_m, "no water was met in a hole deeper than the boring", "correct the one or the other")
    if profile.technique in MASKING:
        doubts.add(
            "doubt",
            None,
            f"'no water met' means nothing when drilled by {profile.technique.replace('_', ' ')}",
            "the hole was full of drilling fluid; ask for a standpipe",
        )


def _check_level(profile: Profile, reading: WaterReading, doubts: Doubts, over_water: bool) -> None:
    level_m, say_m = reading.level_m, doubts.say_m
    deepest_m = max((depth for depth in (level_m, reading.struck_m) if depth is not None), default=None)
    if deepest_m is not None and deepest_m > profile.end_m > 0:
        doubts.add(
            "serious", deepest_m, f"water is read below the end of the boring at {say_m(profile.end_m)}", "correct the one or the other"
        )
    if level_m is not None and reading.hole_depth_m is not None and level_m > reading.hole_depth_m:
        doubts.add(
            "serious", level_m, f"water is read below the hole, then {say_m(reading.hole_depth_m)} deep", "correct the one or the other"
        )
    if reading.struck_m is not None and reading.rises_to_m is not None and reading.rises_to_m > reading.struck_m:
        doubts.add(
            "serious",
            reading.struck_m,
            f"water is said to rise, yet to {say_m(reading.rises_to_m)}, below where it was struck",
            "swap or correct the two depths",
        )
    if level_m is not None and level_m < 0 and not over_water:
        doubts.add(
            "note", None, f"water stands {say_m(-level_m)} above the ground", "artesian: the fluid in the hole has to stand above it"
        )
    if reading.reading == "confined" and reading.rises_to_m is None:
        doubts.add(
            "doubt",
            reading.met_m,
            "confined water was struck, but not how far it rises",
            "ask for the level; until then it may rise to the ground",
        )
    if reading.reading == "piezometer":
        zone = reading.response_zone_m
        if zone is None:
            doubts.add("doubt", level_m, "the piezometer does not say which depth it measures", "ask for its response zone")
        elif max(zone) > profile.end_m > 0:
            doubts.add("doubt", max(zone), "the response zone reaches below the end of the boring", "correct its depths")


def _check_trust(profile: Profile, reading: WaterReading, doubts: Doubts) -> None:
    if reading.level_m is None:
        return
    if profile.technique in MASKING and reading.reading == "settled":
        doubts.add(
            "doubt",
            reading.level_m,
            f"a settled level in a hole drilled by {profile.technique.replace('_', ' ')}",
            "mud seals the wall, so that its own level stands too high for long; ask how the hole was flushed",
        )
    if reading.reading not in EARLY:
        return
    if profile.technique in MASKING and not _before_mud(reading):
        doubts.add(
            "doubt",
            reading.level_m,
            f"read in a hole kept full ({profile.technique.replace('_', ' ')})",
            "it is the drilling fluid that was read; ask for a standpipe",
        )
    at_m = reading.met_m
    if at_m is not None and any(
        layer.top_m < at_m + 1e-9 and at_m < layer.base_m and read_words(layer.description, layer.symbol, layer.origin).likely in SLOW
        for layer in tile(profile)
    ):
        doubts.add(
            "doubt",
            reading.level_m,
            "read in clay or silt before the hole could fill",
            "the true level is likely higher; ask for a level after 24 h or a standpipe",
        )


def _before_mud(reading: WaterReading) -> bool:
    """Return whether the log says how deep hole and casing were: then it was read before the mud went in."""
    return reading.reading == "while_drilling" and reading.casing_depth_m is not None
