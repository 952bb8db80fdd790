"""What the water may be otherwise: the main level, and the head of each struck or confined aquifer."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.facts.aquifers import Aquifer
from methodpick.facts.gather import Gatherer
from methodpick.ground.profile import Profile, WaterReading
from methodpick.ground.site import Site
from methodpick.unit_markup import mark
from methodpick.why.lever import Lever, lever, with_profile

STEP_M = 0.05
ABOVE_M = 3.0
"""How far above the ground a confined head is thought possible (own value)."""
_MAIN = {"while_drilling", "end_of_drilling", "settled", "piezometer"}


def water_levers(gatherer: Gatherer, depth_m: float) -> Iterator[Lever]:
    """Return the levers of the water at a boring: its readings, and the next covered aquifer below a depth that has none."""
    frame = gatherer.frame
    if frame.site.setting == "water" and frame.site.water_depth_m is not None:
        made = [_open_water(frame.site.water_depth_m)]
    else:
        made = [_main(gatherer)]
    made += [
        _struck(frame.profile, reading, index, frame.shaft.tip_m)
        for index, reading in enumerate(frame.profile.water)
        if reading.reading == "confined" and reading.rises_to_m is not None
    ]
    silent = (
        aquifer
        for aquifer in gatherer.aquifers
        if aquifer.kind == "unread" and aquifer.top_m > depth_m and gatherer.curves.lids(aquifer.top_m - 0.01)
    )
    made += [_unread(frame.profile, aquifer) for aquifer in [next(silent, None)] if aquifer is not None]
    yield from (one for one in made if one is not None)


def _unread(profile: Profile, aquifer: Aquifer) -> Lever | None:
    """Return the level to which water would rise if it were struck in covered ground of which no reading speaks."""

    def change(site: Site, value: float) -> Site:
        def water(one: Profile) -> Profile:
            return one.model_copy(
                update={"water": (*one.water, WaterReading(reading="confined", struck_m=aquifer.top_m, rises_to_m=value))}
            )

        return with_profile(site, profile.id, water)

    return lever(
        "deep_water",
        f"the level to which water rises from {mark(aquifer.top_m, 'm')}",
        "m",
        (-ABOVE_M, aquifer.top_m),
        STEP_M,
        change,
        now=None,
    )


def _main(gatherer: Gatherer) -> Lever | None:
    """Return the main water level: its readings moved alike, or a settled reading where the log has none."""
    frame, main = gatherer.frame, gatherer.aquifers[0]
    moved = [reading for reading in frame.profile.water if reading.reading in _MAIN and reading.level_m is not None]
    likely = main.level_m.likely if main.read else None
    if main.read and likely is None:
        return None
    fresh = not moved or main.source.startswith("none met")

    def change(site: Site, value: float) -> Site:
        def water(profile: Profile) -> Profile:
            if fresh:
                kept = tuple(one for one in profile.water if one.reading != "none_met")
                return profile.model_copy(update={"water": (*kept, settled(value))})
            return profile.model_copy(
                update={"water": tuple(shifted(one, value - (likely or 0.0)) if one in moved else one for one in profile.water)}
            )

        return with_profile(site, frame.profile.id, water)

    return lever("water_level", "the water level", "m", (0.0, max(frame.shaft.tip_m, likely or 0.0)), STEP_M, change, now=likely)


def settled(level_m: float) -> WaterReading:
    """Return a settled reading at a depth."""
    return WaterReading(reading="settled", depth_m=level_m, after_h=24.0)


def shifted(reading: WaterReading, by_m: float) -> WaterReading:
    """Return a reading with its level moved, where it was struck left alone."""
    update = {name: value + by_m for name in ("depth_m", "rises_to_m") if (value := getattr(reading, name)) is not None}
    return reading.model_copy(update=update)


def _struck(profile: Profile, reading: WaterReading, index: int, tip_m: float) -> Lever | None:
    """Return the level to which struck water rises."""
    now, met = reading.rises_to_m or 0.0, reading.met_m if reading.met_m is not None else tip_m

    def change(site: Site, value: float) -> Site:
        def water(one: Profile) -> Profile:
            readings = list(one.water)
            readings[index] = reading.model_copy(update={"rises_to_m": value})
            return one.model_copy(update={"water": tuple(readings)})

        return with_profile(site, profile.id, water)

    return lever(
        "struck_water",
        f"the level to which the water struck at {mark(met, 'm')} rises",
        "m",
        (min(now, 0.0) - ABOVE_M, max(met, now)),
        STEP_M,
        change,
        now=now,
    )


def _open_water(depth_m: float) -> Lever | None:
    """Return the level of the open water: depth, low and high level moved alike."""

    def change(site: Site, value: float) -> Site:
        by = value - depth_m
        level = site.site.water_level
        if level is not None:
            level = level.model_copy(update={name: end + by for name in ("low_m", "high_m") if (end := getattr(level, name)) is not None})
        conditions = site.site.model_copy(update={"water_depth_m": value, "water_level": level})
        return site.model_copy(update={"site": conditions})

    return lever("open_water", "the depth of open water above the mudline", "m", (0.5, depth_m + 5.0), STEP_M, change, now=depth_m)


__all__ = ["settled", "shifted", "water_levers"]
