"""Coherence of a boring with the cone test beside it: words of a layer against how the ground behaves as the cone passes."""

from __future__ import annotations

from methodpick.ground.cone import CLAYS_FROM, SANDS_BELOW, usual_index
from methodpick.ground.doubt import Doubts
from methodpick.ground.layer_parts import at_named_depths
from methodpick.ground.profile import Layer, Profile
from methodpick.terms import GRANULAR

_COARSE = GRANULAR - {"silt", "silty_sand"}
"""Sand and gravel that no cone takes for clay; silty sand may behave as silt."""


def check_cone(profile: Profile, doubts: Doubts) -> None:
    """Check every layer with enough readings; those of ground that nobody described are told."""
    if not profile.cone:
        return
    for layer in at_named_depths(profile).layers:
        here = [reading for reading in profile.cone if layer.top_m <= reading.depth_m < layer.base_m]
        index = usual_index(here)
        if index is not None:
            _check_layer(layer, index, doubts)
    outside = [reading for reading in profile.cone if not any(layer.top_m <= reading.depth_m < layer.base_m for layer in profile.layers)]
    if outside:
        doubts.doubt(outside[0].depth_m, "a cone was read where no layer is described", "nothing is made of it: a cone brings up no ground")


def _check_layer(layer: Layer, index: float, doubts: Doubts) -> None:
    likely = layer.described.likely
    if likely == "clay" and index < SANDS_BELOW:
        message = f"described as clay, but the cone behaves as in sand (index {index:.2f}, sand below {SANDS_BELOW:g})"
        doubts.doubt(layer.top_m, message, "the words are followed, and no strength is read off the cone there; look at the samples")
    elif likely in _COARSE and index >= CLAYS_FROM:
        message = f"described as {likely.replace('_', ' ')}, but the cone behaves as in clay (index {index:.2f}, clay from {CLAYS_FROM:g})"
        doubts.doubt(layer.top_m, message, "the words are followed; look at the samples")
