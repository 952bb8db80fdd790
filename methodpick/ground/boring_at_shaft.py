"""A boring as it reads from the ground at a shaft, and as it would read with the water of one aquifer drawn down by wells."""

from __future__ import annotations

from typing import Any

from methodpick.ground.profile import Layer, Profile, WaterReading
from methodpick.ground.site import Shaft

# ---- A boring as it reads from the ground at a shaft: where both levels are known, elevations are kept and depths change


SLACK_M = 0.0005
"""Levels that agree to half a millimetre are one level."""


def level_difference(profile: Profile, shaft: Shaft) -> float | None:
    """Return how far in m the ground at the shaft lies above that at the boring (negative below); None where a level is unknown."""
    if profile.ground_elevation_m is None or shaft.ground_elevation_m is None:
        return None
    return round(shaft.ground_elevation_m - profile.ground_elevation_m, 4)


def at_shaft(profile: Profile, shaft: Shaft, stretch_m: float) -> Profile:
    """Return the boring as it would read from the ground at the shaft: depth there = depth at the boring + level difference.

    Where the shaft's ground is lower, what lies above it is cut off. Where it is higher, the log knows nothing of the ground
    between: up to ``stretch_m`` the top layer is taken to reach up to it, above that the length stays without a log. The
    boring itself comes back where a level is not known or both are the same.

    >>> boring = Profile(id="B-1", ground_elevation_m=100.0, layers=(Layer(top_m=0, base_m=4), Layer(top_m=4, base_m=9)))
    >>> lower = at_shaft(boring, Shaft(id="P1", diameter_m=1.2, tip_m=8, ground_elevation_m=98.5), 1.0)
    >>> [(layer.top_m, layer.base_m) for layer in lower.layers]
    [(0.0, 2.5), (2.5, 7.5)]
    """
    by_m = level_difference(profile, shaft)
    if by_m is None or abs(by_m) < SLACK_M:
        return profile
    layers = tuple(_moved_layer(layer, by_m) for layer in profile.layers if layer.base_m + by_m > SLACK_M)
    if 0 < by_m <= stretch_m:
        layers = tuple(_reaching_up(layer, by_m) for layer in layers)
    return profile.model_copy(
        update={
            "ground_elevation_m": shaft.ground_elevation_m,
            "depth_m": None if profile.depth_m is None else max(_down(profile.depth_m, by_m), 0.001),
            "water": tuple(_moved_reading(reading, by_m) for reading in profile.water),
            "cave_in_depth_m": _clipped(profile.cave_in_depth_m, by_m),
            "casing_depth_m": _clipped(profile.casing_depth_m, by_m),
            "remarks": tuple(
                remark if remark.depth_m is None else remark.model_copy(update={"depth_m": _down(remark.depth_m, by_m)})
                for remark in profile.remarks
                if remark.depth_m is None or remark.depth_m + by_m >= 0
            ),
            "layers": layers,
            "spt": tuple(
                test.model_copy(update={"depth_m": _down(test.depth_m, by_m)}) for test in profile.spt if test.depth_m + by_m >= 0
            ),
            "cores": tuple(
                run.model_copy(update={"top_m": max(0.0, _down(run.top_m, by_m)), "base_m": _down(run.base_m, by_m)})
                for run in profile.cores
                if run.base_m + by_m > SLACK_M
            ),
        }
    )


def _down(depth_m: float, by_m: float) -> float:
    return round(depth_m + by_m, 4) + 0.0


def _clipped(depth_m: float | None, by_m: float) -> float | None:
    return None if depth_m is None else max(0.0, _down(depth_m, by_m))


def _moved_layer(layer: Layer, by_m: float) -> Layer:
    return layer.model_copy(update={"top_m": max(0.0, _down(layer.top_m, by_m)), "base_m": _down(layer.base_m, by_m)})


def _reaching_up(layer: Layer, ground_m: float) -> Layer:
    """Return a layer that began at the ground of the boring, now at a depth, as reaching up to that of the shaft; any other as it is."""
    return layer.model_copy(update={"top_m": 0.0}) if abs(layer.top_m - ground_m) < SLACK_M else layer


def _moved_reading(reading: WaterReading, by_m: float) -> WaterReading:
    """Return a reading with every depth moved; levels may come to stand above the ground."""
    moved: dict[str, Any] = {
        name: _down(value, by_m) for name in ("depth_m", "struck_m", "rises_to_m") if (value := getattr(reading, name)) is not None
    }
    moved |= {
        name: max(0.0, _down(value, by_m)) for name in ("hole_depth_m", "casing_depth_m") if (value := getattr(reading, name)) is not None
    }
    if reading.response_zone_m is not None:
        top_m, base_m = reading.response_zone_m
        moved["response_zone_m"] = (max(0.0, _down(top_m, by_m)), max(0.0, _down(base_m, by_m)))
    return reading.model_copy(update=moved)


# ---- A boring as it would read with the water of one aquifer drawn down by wells


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
