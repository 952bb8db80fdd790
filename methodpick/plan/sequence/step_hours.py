"""Hours of what is done besides drilling, by its size (bell, cleaning, cage, joints of casing), and what low headroom takes off a rate."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor

from methodpick.ground.site import Bell, Shaft
from methodpick.plan.result import Casing
from methodpick.plan.sequence.path import TOLERANCE_M


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


def cage_pieces(shaft: Shaft, limits: Mapping[str, float]) -> int:
    """Return in how many pieces the cage from the cut-off to the tip comes, which are spliced over the hole."""
    return 1 + max(0, floor((shaft.tip_m - shaft.cutoff_m - TOLERANCE_M) / limits["splice_length_m"]))


def cage_hours(shaft: Shaft, limits: Mapping[str, float]) -> float:
    """Return the hours to set the cage from the cut-off to the tip, wider shafts having heavier ones, its splices included."""
    set_h = limits["hours_cage_least"] + limits["hours_cage_m"] * (shaft.tip_m - shaft.cutoff_m) * max(1.0, shaft.diameter_m)
    return set_h + limits["hours_cage_splice"] * (cage_pieces(shaft, limits) - 1)


def headroom_share(headroom_m: float | None, limits: Mapping[str, float]) -> float:
    """Return the drilling rate under a headroom in m over that under free sky: as much less as the kelly and the tool are shorter.

    >>> limits = {"headroom_low_m": 12.0, "headroom_rate_least": 0.3}
    >>> headroom_share(6.0, limits), headroom_share(2.0, limits), headroom_share(15.0, limits), headroom_share(None, limits)
    (0.5, 0.3, 1.0, 1.0)
    """
    if headroom_m is None:
        return 1.0
    return min(1.0, max(limits["headroom_rate_least"], headroom_m / limits["headroom_low_m"]))
