"""Cone tests of a boring: readings with depth, and how the ground behaves by them.

A cone brings up no ground: it tests the layers that somebody described, and never makes one.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, log10
from statistics import median
from typing import Annotated

from methodpick.ground.quantity import CONE, PORE, STRESS, Length, Model, key, need

MOST_READINGS = 5000
_ATMOSPHERE_KPA = 100.0
SANDS_BELOW, CLAYS_FROM = 2.05, 2.95
"""Borders of the behaviour index: sands lie below the first, clays from the second on, mixtures and silts between (Robertson 2010)."""
DRAINED_BELOW = 2.60
"""Below this index ground drains as the cone passes, and the cone says nothing of an undrained strength (Robertson and Wride 1998)."""
FEWEST = 5
"""Readings in a layer from which their index is held against its words (own value)."""


class ConeReading(Model):
    """A reading of a cone: resistance at the tip, friction on the sleeve, pore pressure behind the tip (u2)."""

    depth_m: Length = need("depth", ge=0)
    resistance_kpa: Annotated[float, CONE] = need("resistance", ge=0)
    friction_kpa: Annotated[float, STRESS] | None = key("friction", ge=0)
    pore_kpa: Annotated[float, PORE] | None = key("pore_pressure")

    @property
    def behaviour_index(self) -> float | None:
        """Return the behaviour index, None without friction.

        It is the radius of the chart of resistance over atmosphere and friction over resistance in percent, without stresses (Robertson
        2010, soil behaviour type from the CPT: an update; from memory).

        >>> ConeReading(depth_m=5, resistance_kpa=1000, friction_kpa=40).behaviour_index
        3.069...
        """
        if not self.friction_kpa or not self.resistance_kpa:
            return None
        percent = 100.0 * self.friction_kpa / self.resistance_kpa
        return hypot(3.47 - log10(self.resistance_kpa / _ATMOSPHERE_KPA), log10(percent) + 1.22)


def usual_index(readings: Sequence[ConeReading]) -> float | None:
    """Return the median behaviour index of readings, None where too few have one.

    >>> usual_index([ConeReading(depth_m=5, resistance_kpa=20000, friction_kpa=100)] * 5)
    1.486...
    """
    found = [index for reading in readings if (index := reading.behaviour_index) is not None]
    return median(found) if len(found) >= FEWEST else None
