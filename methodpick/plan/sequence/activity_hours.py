"""Hours of what is done besides drilling, by its size: bell, cleaning, cage, joints of casing."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.ground.site import Bell, Shaft
from methodpick.plan.result import Casing


def bell_hours(bell: Bell, limits: Mapping[str, float]) -> float:
    """Return the hours to cut a bell, which grow with its diameter."""
    return float(limits["hours_bell"] * (bell.diameter_m / limits["bell_reference_m"]) ** limits["bell_exponent"])


def clean_hours(shaft: Shaft, limits: Mapping[str, float]) -> float:
    """Return the hours to clean the base; half of those of a usual shaft at least."""
    return limits["hours_clean"] * max(0.5, shaft.diameter_m / limits["clean_reference_m"])


def splice_hours(casing: Casing, limits: Mapping[str, float]) -> float:
    """Return the hours of the joints of a casing: welded where it stays, pinned or bolted where it is pulled."""
    each = limits["hours_splice_m"] * casing.outside_diameter_m if casing.kind == "permanent" else limits["hours_joint"]
    return each * casing.joints


def cage_hours(shaft: Shaft, limits: Mapping[str, float]) -> float:
    """Return the hours to set the cage from the cut-off to the tip, wider shafts having heavier ones."""
    return limits["hours_cage_least"] + limits["hours_cage_m"] * (shaft.tip_m - shaft.cutoff_m) * max(1.0, shaft.diameter_m)
