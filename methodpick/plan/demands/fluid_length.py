"""The lengths of hole that stand under fluid: what stands bare at one time, and what the specification says of the fluid.

A length is bare from the shoe that stands to the depth that is reached before the next casing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field, fields, is_dataclass, replace
from functools import cached_property
from math import floor, inf
from typing import Any

from methodpick.facts.sheet import FactSheet
from methodpick.mechanics.earth_pressure import GRAVITY_M_S2
from methodpick.plan.demands.bounds import BoundFactors, KeptBounds, PressureBounds, find_bounds
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing, Citation, HoleLevels, LimitUsed, Stage
from methodpick.records import record
from methodpick.terms import FLUIDS, Fluid
from methodpick.vocabulary.limits import Limit

# ---- what stands bare at one time


TOUCH_M = 0.002
"""Depths of stages and shoes are written to the millimetre."""
SETS = frozenset({"set_starter", "set_casing", "advance_casing"})
"""Actions that bring a shoe to its depth."""


@record
class BareRun:
    """A length that stands bare under one fluid at one time, and the first stage that drills under it.

    It begins at the shoe above, whether the hole was drilled under the fluid from there or dry at first.
    """

    fluid: Fluid
    stage: int
    top_m: float
    base_m: float


def bare_runs(stages: Iterable[Stage], casings: Iterable[Casing], floor_m: float) -> tuple[BareRun, ...]:
    """Return the lengths that stand bare under fluid, in the order of the stages; ``floor_m`` is where a hole without casing begins.

    What a casing holds is bare no longer, and below its shoe another length begins, be it under the same fluid.
    """
    shoes, shoe_m, found = [casing.base_m for casing in casings], floor_m, list[BareRun]()
    for stage in stages:
        if stage.action in SETS:
            shoe_m = max([shoe_m, *(shoe for shoe in shoes if abs(shoe - stage.base_m) < TOUCH_M)])
        elif stage.action == "drill" and (fluid := next((known for known in FLUIDS if known == stage.state), None)) is not None:
            last = found[-1] if found else None
            if last is not None and (last.fluid, last.top_m) == (fluid, shoe_m):
                found[-1] = replace(last, base_m=max(last.base_m, stage.base_m))
            else:
                found.append(BareRun(fluid, stage.no, shoe_m, stage.base_m))
    return tuple(found)


# ---- a length under fluid


STEP_M = 0.05
"""Fluid levels and stick-ups are rounded up to this."""

# ---- What the specification says of a fluid: its limits with their sources, and its density in fresh and in salt water


@record
class SpecifiedDensity:
    """The densities that a fluid may have whatever the ground asks, with the words for each side."""

    fluid: str
    low_kg_m3: float
    high_kg_m3: float
    usual_kg_m3: float
    low_by: str
    high_by: str


def is_salt(shared: FactSheet, limits: Mapping[str, Limit]) -> bool:
    """Return whether the water of a site is salt for certain, so that the rows for salt water hold."""
    return shared.span("chloride_mg_l").low > limits["chloride_salt_mg_l"].value


def density_limits(fluid: str, limits: Mapping[str, Limit], *, salt: bool) -> tuple[Limit, Limit]:
    """Return the least and greatest density before concreting; mineral slurry and polymer have rows of their own in salt water."""
    water = "salt_" if salt else ""
    if fluid == "mineral":
        return limits[f"mineral_density_{water}min_kg_m3"], limits[f"mineral_density_{water}max_kg_m3"]
    top = limits[f"polymer_density_{water}max_kg_m3"] if fluid == "polymer" else limits["water_fluid_density_max_kg_m3"]
    return limits["water_density_kg_m3"], top


def specified_density(fluid: str, limits: Mapping[str, Limit], *, salt: bool) -> SpecifiedDensity:
    """Return the densities that the specification allows a fluid, less what concrete could no longer push out."""
    low, high = density_limits(fluid, limits, salt=salt)
    displaced = (limits["concrete_unit_weight_kn_m3"].value - limits["displacement_margin_kn_m3"].value) * 1000.0 / GRAVITY_M_S2
    high_by = f"the specification before concreting{high.beside}"
    if displaced < high.value:
        high_by = f"displacement by concrete{limits['displacement_margin_kn_m3'].beside}"
    return SpecifiedDensity(
        fluid=fluid,
        low_kg_m3=low.value,
        high_kg_m3=min(high.value, displaced),
        usual_kg_m3=limits[f"{fluid}_density_kg_m3"].value,
        low_by=f"the specification{low.beside}" if fluid == "mineral" else f"the fluid itself{low.beside}",
        high_by=high_by,
    )


def limit_used(limits: Mapping[str, Limit], name: str) -> LimitUsed:
    """Return a limit with its source, for the programme to show. Raises KeyError where the rulebook has no such limit."""
    limit = limits[name]
    return LimitUsed(
        limit=limit.name,
        value=limit.value,
        unit=limit.unit,
        source=Citation(limit.source, limit.where),
        confidence=limit.confidence,
        set_by="" if limit.origin == "base" else limit.origin,
    )


def sources_of(record: Any) -> set[str]:
    """Return the keys of all sources that stand anywhere in a record.

    >>> sources_of((Citation("statics", "whole"), [Citation("own", "")])) == {"statics", "own"}
    True
    """
    if isinstance(record, Citation):
        return {record.key}
    if isinstance(record, (tuple, list)):
        return {key for part in record for key in sources_of(part)}
    if is_dataclass(record) and not isinstance(record, type):
        return {key for field in fields(record) for key in sources_of(getattr(record, field.name))}
    return set()


# ---- The length of hole that stands under fluid, with what every question about its fluid looks at


@record(caches=True)
class FluidLength:
    """A length of hole under fluid: the ground with the limits in force, and the levels of the plan.

    ``kept`` are the bounds that other lengths of the same ground have found; ``beside`` are the ends of other lengths that the same
    fluid holds at other times, whose ground it must suit too.
    """

    ground: JudgedGround
    top_m: float
    base_m: float
    levels: HoleLevels
    kept: KeptBounds = field(default_factory=dict, compare=False, repr=False)
    beside: tuple[tuple[float, float], ...] = ()

    def bounds(self, top_m: float, base_m: float, factors: BoundFactors) -> PressureBounds:
        """Return what the ground asks between two depths."""
        return find_bounds(self.ground, top_m, base_m, factors, self.kept)

    @property
    def limits(self) -> Mapping[str, Limit]:
        """Return the limits in force with their sources."""
        return self.ground.book.limits

    def slices(self) -> tuple[JudgedSlice, ...]:
        """Return the judged slices that lie in the length or in those beside it, wholly or in part, each once."""
        ends = sorted({(self.top_m, self.base_m), *self.beside})
        return tuple({piece.top_m: piece for top, base in ends for piece in self.ground.between(top, base)}.values())

    def clip(self, judged: JudgedSlice) -> tuple[float, float]:
        """Return the top and the base of the part of a slice that lies in the length."""
        return max(judged.top_m, self.top_m), min(judged.base_m, self.base_m)

    @cached_property
    def salt(self) -> bool:
        """Return whether the water is salt for certain."""
        return is_salt(self.ground.gatherer.base, self.limits)

    def specified(self, fluid: str) -> SpecifiedDensity:
        """Return the densities that the specification allows a fluid here."""
        return specified_density(fluid, self.limits, salt=self.salt)

    def density_limits(self, fluid: str) -> tuple[Limit, Limit]:
        """Return the least and the greatest density of a fluid before concreting here."""
        return density_limits(fluid, self.limits, salt=self.salt)

    @property
    def allowed(self) -> tuple[str, ...]:
        """Return the fluids that the site file leaves open."""
        fluids = self.ground.site.fluids_allowed
        return FLUIDS if fluids is None else tuple(fluid for fluid in FLUIDS if fluid in fluids)

    def left_open(self, fluid: str) -> bool:
        """Return whether the site file and every rule leave a fluid open over the whole length."""
        return fluid in self.allowed and all(judged.verdicts[fluid].state != "ruled_out" for judged in self.slices() if judged.logged)

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

    @cached_property
    def groundwater_m(self) -> float | None:
        """Return the highest likely groundwater level of the water-bearing ground in the length."""
        levels = [
            judged.slice.ground.aquifer.level_m.likely
            for judged in self.slices()
            if "yes" in judged.words("water_bearing")
            and (judged.slice.ground.aquifer.level_m.likely or -inf) < min(judged.base_m, self.base_m)
        ]
        return min((level for level in levels if level is not None), default=None)

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
        rest = [level for level in levels if abs(level - level_m) > step * 0.4]
        return sorted({round(level, 3) for level in (*rest, level_m)})
