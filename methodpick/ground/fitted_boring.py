"""A boring made to fit: layers that tile it, elevations set over to a shaft, the water of one aquifer drawn down by wells."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from methodpick.ground.profile import CoreRun, Layer, Profile, Remark, WaterReading
from methodpick.ground.site import Shaft

# ---- Layers made to tile the boring: sorted, without overlaps, gaps named as such; and equal neighbours made one layer


NO_DATA = "no data"
THINNEST_M = 1e-6


def tile(profile: Profile) -> tuple[Layer, ...]:
    """Return layers that cover the ground from 0 to the end of the boring exactly, each length once.

    Layers with the base at or above the top are dropped; where two overlap the upper one is kept, but one that lies
    wholly inside another is a lens and is cut out of it; nothing is claimed below the end of the boring; a gap becomes
    a layer described "no data" without a symbol. :func:`methodpick.ground.check_boring.check_profile` names every repair.

    >>> boring = Profile.model_validate({"id": "B-1", "depth_m": 9, "layers": [{"top_m": 0, "base_m": 4},
    ...     {"top_m": 6, "base_m": 9}]})
    >>> [(layer.top_m, layer.base_m, layer.description) for layer in tile(boring)]
    [(0.0, 4.0, ''), (4.0, 6.0, 'no data'), (6.0, 9.0, '')]
    """
    end_m = profile.end_m
    if is_tiled(profile.layers, end_m):
        return profile.layers
    layers = sorted(
        (layer for layer in profile.layers if layer.base_m - layer.top_m > THINNEST_M), key=lambda layer: (layer.top_m, -layer.base_m)
    )
    ends = {0.0, end_m} | {end for layer in layers for end in (layer.top_m, layer.base_m)}
    cuts = sorted(cut for cut in ends if 0.0 <= cut <= end_m)
    lengths: list[tuple[float, float, Layer | None]] = []
    for top_m, base_m in pairwise(cuts):
        layer = _governing(layers, base_m)
        if lengths and lengths[-1][2] is layer:
            lengths[-1] = (lengths[-1][0], base_m, layer)
        else:
            lengths.append((top_m, base_m, layer))
    return tuple(_layer_of(*length) for length in lengths)


def is_tiled(layers: tuple[Layer, ...], end_m: float) -> bool:
    """Return whether the layers cover 0 to ``end_m`` exactly as they stand."""
    at_m = 0.0
    for layer in layers:
        if layer.top_m != at_m or layer.base_m <= layer.top_m:
            return False
        at_m = layer.base_m
    return at_m == end_m


def _governing(layers: list[Layer], base_m: float) -> Layer | None:
    """Return the layer that holds the length down to a cut: the uppermost one there, or the lens inside it."""
    holder: Layer | None = None
    for layer in layers:
        if layer.top_m >= base_m:
            break
        if layer.base_m >= base_m and (holder is None or is_lens(layer, holder)):
            holder = layer
    return holder


def is_lens(layer: Layer, holder: Layer) -> bool:
    """Return whether a layer lies inside another, thinner than it."""
    return layer.top_m >= holder.top_m and layer.base_m <= holder.base_m and layer.thickness_m < holder.thickness_m


def _layer_of(top_m: float, base_m: float, layer: Layer | None) -> Layer:
    if layer is None:
        return Layer(top_m=top_m, base_m=base_m, description=NO_DATA)
    if layer.top_m == top_m and layer.base_m == base_m:
        return layer
    return layer.model_copy(update={"top_m": top_m, "base_m": base_m})


def join_equal_layers(profile: Profile) -> Profile:
    """Return the boring with neighbours joined that differ in their depths, and in the counts of their tests, only.

    A line in the log between two layers of one description says nothing of the ground: where it stands must change nothing.

    >>> parts = [Layer(top_m=top, base_m=top + 2, symbol="CL", n=(5, 7)) for top in (0.0, 2.0)]
    >>> [(layer.top_m, layer.base_m, layer.n) for layer in join_equal_layers(Profile(id="B", layers=parts)).layers]
    [(0.0, 4.0, (5, 7))]
    """
    tiled = tile(profile)
    found: list[Layer] = []
    for layer in tiled:
        if found and _one_ground(found[-1], layer):
            found[-1] = _joined(found[-1], layer)
        else:
            found.append(layer)
    return profile if len(found) == len(tiled) else profile.model_copy(update={"layers": tuple(found)})


def _one_ground(upper: Layer, lower: Layer) -> bool:
    """Return whether two neighbours are one ground: alike in words and in what was measured of the layer as a whole.

    The order in which features are named says nothing.
    """
    named_alike = set(upper.features) == set(lower.features) and set(upper.absent) == set(lower.absent)
    same = {"top_m": upper.top_m, "base_m": upper.base_m, "n": upper.n, "features": upper.features, "absent": upper.absent}
    return named_alike and lower.model_copy(update=same) == upper


def _joined(upper: Layer, lower: Layer) -> Layer:
    """Return two neighbours as one layer, with the counts of both; the same counts in both are one set, written twice."""
    counts = upper.n if lower.n == upper.n else upper.n + lower.n
    return upper.model_copy(update={"base_m": lower.base_m, "n": counts})


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
            "remarks": _moved_remarks(profile, by_m),
            "layers": layers,
            "spt": tuple(
                test.model_copy(update={"depth_m": _down(test.depth_m, by_m)}) for test in profile.spt if test.depth_m + by_m >= 0
            ),
            "cores": _moved_cores(profile, by_m),
            "cone": tuple(
                reading.model_copy(update={"depth_m": _down(reading.depth_m, by_m)})
                for reading in profile.cone
                if reading.depth_m + by_m >= 0
            ),
        }
    )


def _moved_remarks(profile: Profile, by_m: float) -> tuple[Remark, ...]:
    return tuple(
        remark if remark.depth_m is None else remark.model_copy(update={"depth_m": _down(remark.depth_m, by_m)})
        for remark in profile.remarks
        if remark.depth_m is None or remark.depth_m + by_m >= 0
    )


def _moved_cores(profile: Profile, by_m: float) -> tuple[CoreRun, ...]:
    return tuple(
        run.model_copy(update={"top_m": max(0.0, _down(run.top_m, by_m)), "base_m": _down(run.base_m, by_m)})
        for run in profile.cores
        if run.base_m + by_m > SLACK_M
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
