"""A boring as it would read with the water of one aquifer drawn down by wells."""

from __future__ import annotations

from methodpick.ground.profile import Profile, WaterReading

STRIKE_SLACK_M = 0.5
"""Water struck this far above the top of an aquifer belongs to it (own value)."""


def drawn_down(profile: Profile, zone_m: tuple[float, float], level_m: float) -> Profile:
    """Return a boring with the readings of an aquifer, from its top to its base in m, replaced by a measured level.

    >>> struck = WaterReading(reading="confined", struck_m=14.0, rises_to_m=2.0)
    >>> lower = drawn_down(Profile(id="B-1", water=(struck,)), (14.0, 20.0), 15.0)
    >>> [(reading.reading, reading.depth_m) for reading in lower.water]
    [('piezometer', 15.0)]
    """
    kept = tuple(reading for reading in profile.water if not _belongs(reading, zone_m))
    measured = WaterReading(reading="piezometer", depth_m=round(level_m, 3), response_zone_m=zone_m)
    return profile.model_copy(update={"water": (*kept, measured)})


def _belongs(reading: WaterReading, zone_m: tuple[float, float]) -> bool:
    top_m, base_m = zone_m
    if reading.response_zone_m is not None:
        return reading.response_zone_m[0] < base_m and reading.response_zone_m[1] > top_m
    return reading.struck_m is not None and top_m - STRIKE_SLACK_M <= reading.struck_m <= base_m
