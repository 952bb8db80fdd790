"""The fluid levels at which a window is open: exactly, for every pair of a lower and an upper bound is linear in the level."""

from __future__ import annotations

from math import inf

from methodpick.plan.fluid.bounds import Bounds


def open_levels(bounds: Bounds, low_kg_m3: float, high_kg_m3: float, top_m: float) -> tuple[float, float] | None:
    """Return the highest and the lowest level at which some density meets every bound, None where no level does.

    A lower bound p at d and an upper bound P at D leave a density between them where p (D - L) <= P (d - L); the
    specification where p <= g high (d - L) and g low (D - L) <= P. The level does not lie below the top of the length.
    """
    highest, lowest = -inf, top_m
    for low in bounds.lows:
        lowest = min(lowest, low.level(high_kg_m3))
    for high in bounds.highs:
        highest = max(highest, high.level(low_kg_m3))
    for low in bounds.lows:
        for high in bounds.highs:
            slope = high.pressure_kpa - low.pressure_kpa
            right = high.pressure_kpa * low.depth_m - low.pressure_kpa * high.depth_m
            if slope > 1e-9:
                lowest = min(lowest, right / slope)
            elif slope < -1e-9:
                highest = max(highest, right / slope)
            elif right < -1e-9:
                return None
    return (highest, lowest) if highest <= lowest else None
