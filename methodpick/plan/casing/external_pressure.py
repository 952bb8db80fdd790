"""What presses on a casing shoe from outside while concrete stands in it: groundwater, drilling fluid, soft clay."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.clay import capped_limit, clay_needed_pressure
from methodpick.mechanics.stress import hydrostatic
from methodpick.plan.judging.slices import JudgedGround


class SoftClay(NamedTuple):
    """A length of clay, with the pressure in kPa at its top and its base that it needs from inside so as not to squeeze."""

    top_m: float
    base_m: float
    top_kpa: float
    base_kpa: float


@dataclass(frozen=True, slots=True)
class ExternalPressure:
    """The pressures outside a shoe: (top, level) of every aquifer, the fluid left around the casing, and soft clay."""

    waters: tuple[tuple[float, float], ...]
    fluid: HoleFluid | None = None
    clays: tuple[SoftClay, ...] = ()

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
        ends = [end for clay in self.clays for end in (clay.top_m, clay.base_m)]
        return [*(depth for pair in self.waters for depth in pair), *ends]


def external_pressure(ground: JudgedGround) -> ExternalPressure:
    """Return what presses outside the shoes of a shaft, clay at its likely values.

    Waters that were read stand at their shallowest credible level, others at the likely one where there is one.
    """
    waters = tuple(
        (aquifer.top_m, aquifer.level_m.low if aquifer.read or aquifer.level_m.likely is None else aquifer.level_m.likely)
        for aquifer in ground.aquifers
    )
    curves = ground.curves
    clays = []
    for stratum in ground.grounds:
        if stratum.su is None or stratum.su.likely is None:
            continue
        top, base = stratum.top_m + 0.01, min(stratum.base_m, ground.shaft.tip_m)
        if base <= top:
            continue
        cap, strength = ground.limits["overload_cap"], stratum.su.likely
        first, last = (
            clay_needed_pressure(curves.total(depth)[1], strength, capped_limit(depth, curves.diameter_m, cap)) for depth in (top, base)
        )
        if max(first, last) > 0:
            clays.append(SoftClay(stratum.top_m, base, first, last))
    return ExternalPressure(waters, None, tuple(clays))
