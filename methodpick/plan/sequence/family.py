"""The families of ways to build a shaft, by what holds the hole, and the family that a path is of."""

from __future__ import annotations

from methodpick.plan.sequence.path import SequencePath
from methodpick.plan.sequence.search_input import DRY_BASE

PERMANENT = "permanent_casing"
UPPER_CASING = "casing_then_fluid"
FAMILIES = ("dry", "slurry", DRY_BASE, UPPER_CASING, "full_depth_casing", PERMANENT)
"""Ways to build a shaft, by what holds the hole."""


def family_of(path: SequencePath) -> str:
    """Return the family of a path."""
    if any(segment.keep for segment in path.strings):
        return PERMANENT
    if not path.strings:
        return "dry" if path.fluid is None else "slurry"
    if path.segments[-1].casing != "none":
        return "full_depth_casing"
    return DRY_BASE if path.last == "dry" else UPPER_CASING
