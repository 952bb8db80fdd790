"""Layers made to tile the boring: sorted, without overlaps, gaps named as such; and equal neighbours made one layer."""

from __future__ import annotations

from itertools import pairwise

from methodpick.ground.profile import Layer, Profile

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
