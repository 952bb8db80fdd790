"""The length of hole that stands under fluid, with what every question about its fluid looks at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import floor, inf

from methodpick.facts.gather import Gatherer
from methodpick.plan.fluid.bounds import words
from methodpick.plan.fluid.levels import FLUIDS, STEP_M, Levels
from methodpick.plan.judging.slices import Judged
from methodpick.vocabulary.limits import Limit


@dataclass(frozen=True, slots=True)
class Place:
    """A length of hole under fluid: the ground, the levels of the plan and the limits in force."""

    gatherer: Gatherer
    judged: tuple[Judged, ...]
    top_m: float
    base_m: float
    levels: Levels
    limits: Mapping[str, Limit]

    def pieces(self) -> Iterator[Judged]:
        """Return the judged slices that lie in the length, wholly or in part."""
        return (one for one in self.judged if one.slice.base_m > self.top_m + 1e-6 and one.slice.top_m < self.base_m - 1e-6)

    @property
    def allowed(self) -> tuple[str, ...]:
        """Return the fluids that the site file leaves open."""
        fluids = self.gatherer.frame.site.fluids_allowed
        return FLUIDS if fluids is None else tuple(fluid for fluid in FLUIDS if fluid in fluids)

    def left_open(self, fluid: str) -> bool:
        """Return whether the site file and every rule leave a fluid open over the whole length."""
        return fluid in self.allowed and all(one.verdicts[fluid].state != "ruled_out" for one in self.pieces() if one.cut.decided)

    @property
    def freeboard_m(self) -> float:
        """Return the height of the casing over the fluid."""
        return self.limits["freeboard_m"].value

    @property
    def highest_m(self) -> float:
        """Return the highest level that the highest practical stick-up holds."""
        return self.levels.grade_m - self.limits["stick_up_max_m"].value + self.freeboard_m

    def stick_up_for(self, level_m: float) -> float:
        """Return the stick-up over the drilling grade that holds a level, at least the usual one."""
        return max(self.limits["stick_up_m"].value, self.levels.grade_m - level_m + self.freeboard_m)

    @property
    def groundwater_m(self) -> float | None:
        """Return the highest likely groundwater level of the water-bearing ground in the length."""
        found = [
            one.slice.ground.aquifer.level_m.likely
            for one in self.pieces()
            if "yes" in words(one, "water_bearing")
            and (one.slice.ground.aquifer.level_m.likely or -inf) < min(one.slice.base_m, self.base_m)
        ]
        return min((level for level in found if level is not None), default=None)

    def head_level(self, fluid: str) -> float | None:
        """Return the lowest level that the head rule of a fluid allows, None where no water-bearing ground is in the length."""
        water = self.groundwater_m
        return None if water is None else water - self.limits[f"fluid_head_{fluid}_m"].value

    def steps(self, level_m: float, parts: int = 7) -> list[float]:
        """Return levels from the highest that the stick-up holds down to the groundwater, the planned one among them.

        Where no groundwater is in the length, or it lies below the top of the length, they end at that top.
        """
        water = self.groundwater_m
        lowest = min(self.top_m, self.top_m if water is None else water)
        lowest = max(lowest, level_m, self.highest_m + STEP_M * parts)
        step = (lowest - self.highest_m) / parts
        levels = [floor((self.highest_m + step * number) / STEP_M + 1e-6) * STEP_M for number in range(parts + 1)]
        rest = [one for one in levels if abs(one - level_m) > step * 0.4]
        return sorted({round(one, 3) for one in (*rest, level_m)})
