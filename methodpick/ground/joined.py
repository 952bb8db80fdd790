"""Neighbouring layers that a log tells alike in every word and number are one layer, wherever the log draws its lines."""

from __future__ import annotations

from methodpick.ground.profile import Layer, Profile


def joined(profile: Profile) -> Profile:
    """Return the boring with neighbours of stated strength joined that differ in their depths only.

    Where no strength is stated the tests decide, and they may differ from one part to the next: such layers stay apart.

    >>> from methodpick.ground.quantity import Band
    >>> stiff = Band(low=90, likely=90, high=90)
    >>> parts = [Layer(top_m=top, base_m=top + 2, symbol="CL", su_kpa=stiff) for top in (0.0, 2.0)]
    >>> [(one.top_m, one.base_m) for one in joined(Profile(id="B", layers=parts)).layers]
    [(0.0, 4.0)]
    """
    found: list[Layer] = []
    for layer in profile.layers:
        if found and _alike(found[-1], layer):
            found[-1] = found[-1].model_copy(update={"base_m": layer.base_m})
        else:
            found.append(layer)
    return profile if len(found) == len(profile.layers) else profile.model_copy(update={"layers": tuple(found)})


def _alike(upper: Layer, lower: Layer) -> bool:
    if lower.top_m != upper.base_m or upper.n or lower.n:
        return False
    if upper.su_kpa is None and upper.phi_deg is None and upper.ucs_kpa is None:
        return False
    return lower.model_copy(update={"top_m": upper.top_m, "base_m": upper.base_m}) == upper
