"""What presses on a casing shoe from outside while concrete stands in it: groundwater, drilling fluid, soft clay."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from methodpick.facts.curves import HoleFluid
from methodpick.facts.gather import Gatherer
from methodpick.mechanics.clay import capped_limit, clay_needed_pressure
from methodpick.mechanics.stress import hydrostatic


@dataclass(frozen=True, slots=True)
class Outside:
    """The pressures outside a shoe: (top, level) of every aquifer, the fluid left outside, and soft clay.

    ``clays`` holds (top, base, pressure at the top, pressure at the base) that the clay needs from inside so as not to squeeze.
    """

    waters: tuple[tuple[float, float], ...]
    fluid: HoleFluid | None = None
    clays: tuple[tuple[float, float, float, float], ...] = ()

    def pressure(self, depth_m: float, *, gap: bool) -> float:
        """Return the greatest pressure in kPa at a depth; an aquifer presses from its top down, the fluid in a gap around the casing."""
        worst = self.fluid.pressure(depth_m) if gap and self.fluid is not None else 0.0
        for top, level in self.waters:
            if top <= depth_m + 1e-9:
                worst = max(worst, hydrostatic(depth_m - level))
        for top, base, first, last in self.clays:
            if top <= depth_m <= base:
                worst = max(worst, first + (last - first) * (depth_m - top) / (base - top))
        return max(0.0, worst)

    def water_level(self, depth_m: float) -> float:
        """Return the highest water that acts at a depth, infinitely deep without one."""
        return min((level for top, level in self.waters if top <= depth_m + 1e-9), default=inf)

    def kinks(self) -> list[float]:
        """Return the depths at which the pressure bends or jumps."""
        ends = [end for top, base, _, _ in self.clays for end in (top, base)]
        return [*(depth for pair in self.waters for depth in pair), *ends]


def outside_of(gatherer: Gatherer) -> Outside:
    """Return what presses outside the shoes of a shaft, clay at its likely values.

    Waters that were read stand at their shallowest credible level, others at the likely one where there is one.
    """
    waters = tuple(
        (one.top_m, one.level_m.low if one.read or one.level_m.likely is None else one.level_m.likely) for one in gatherer.aquifers
    )
    clays = []
    for ground in gatherer.grounds:
        if ground.su is None or ground.su.likely is None:
            continue
        su, curves = ground.su.likely, gatherer.curves
        top, base = ground.top_m + 0.01, min(ground.base_m, gatherer.frame.shaft.tip_m)
        if base <= top:
            continue
        cap = gatherer.frame.limits["overload_cap"]
        ends = [clay_needed_pressure(curves.total(depth)[1], su, capped_limit(depth, curves.diameter_m, cap)) for depth in (top, base)]
        if max(ends) > 0:
            clays.append((ground.top_m, base, ends[0], ends[1]))
    return Outside(waters, None, tuple(clays))
