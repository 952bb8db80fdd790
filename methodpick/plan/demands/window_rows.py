"""The density window of a length under fluid as the ground and the specification leave it: over the hole, by depth, by fluid level.

The density that is aimed at is no part of it: who verifies a plan works out the same window.
"""

from __future__ import annotations

from functools import cached_property
from math import inf, isfinite

from methodpick.mechanics.slurry import density_for_pressure
from methodpick.plan.demands.bounds import (
    BOUND_WORDS,
    BoundFactors,
    KeptBounds,
    PressureBound,
    PressureBounds,
    for_fluid,
    least_factors,
    recommended_factors,
)
from methodpick.plan.demands.fluid_length import FluidLength, SpecifiedDensity
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.result import DensityAt, HoleLevels, LevelAt, LevelNeeded, WallSpread
from methodpick.records import record
from methodpick.terms import FLUIDS
from methodpick.unit_markup import mark


@record
class DensityWindow:
    """The window of a length at one level: both sides and what governs each."""

    least: float
    most: float
    low: PressureBound | None
    high: PressureBound | None


class GroundWindow:
    """The window of a length under a fluid at the level of the plan: all that follows from the ground and the specification.

    What was found is kept as long as the window. ``kept`` are the bounds that other lengths of the same ground have found.
    """

    def __init__(
        self, ground: JudgedGround, fluid: str, ends: tuple[float, float], levels: HoleLevels, kept: KeptBounds | None = None
    ) -> None:
        self.fluid, self.level_m = fluid, levels.fluid_m[fluid]
        highest = max(ends[0], self.level_m + ground.book.limits["fluid_unheld_m"].value)
        self.length = FluidLength(ground, highest, ends[1], levels, {} if kept is None else kept)
        self.least = self._bounds(least_factors(ground.book.limits))
        self.specified = self.length.specified(fluid)
        self.at_level = window_at(self.least, self.specified, self.level_m)

    def _bounds(self, factors: BoundFactors) -> PressureBounds:
        return self.length.bounds(self.length.top_m, self.length.base_m, for_fluid(factors, self.fluid))

    @cached_property
    def wanted(self) -> PressureBounds:
        """Return what the ground asks for at the recommended factors."""
        return self._bounds(recommended_factors(self.length.limits))

    @property
    def is_empty(self) -> bool:
        """Return whether no density meets both sides."""
        return self.at_level.least > self.at_level.most

    @cached_property
    def by_depth(self) -> tuple[DensityAt, ...]:
        """Return the window by depth."""
        return _by_depth(self.length, self.least, self.wanted, self.level_m)

    @property
    def governed_by(self) -> str:
        """Return what binds each side, in words."""
        return _governed_by(self.at_level, self.specified)

    @property
    def density_wanted_kg_m3(self) -> float:
        """Return the least density at the recommended factors."""
        return max(self.specified.low_kg_m3, self.wanted.least(self.level_m)[0])

    @property
    def head_m(self) -> float | None:
        """Return the least likely head of the fluid over the groundwater of water-bearing ground."""
        return _head(self.length, self.fluid)

    @property
    def wall_spread(self) -> WallSpread | None:
        """Return what the theories ask of a granular wall, where that is most."""
        return _wall_spread(self.length, self.level_m)

    def at(self, level_m: float) -> LevelAt:
        """Return what the ground asks of the fluid with its surface at a level."""
        return _at_level(self.length, (self.least, self.wanted), self.specified, level_m)

    @property
    def levels(self) -> tuple[LevelAt, ...]:
        """Return the window at levels from the highest that the stick-up holds down, the planned one among them."""
        return tuple(self.at(level) for level in self.length.steps(self.level_m))

    @property
    def needed(self) -> tuple[LevelNeeded, ...]:
        """Return the level that every fluid needs at its usual density."""
        return _levels_needed(self.length, self.least)


def window_at(bounds: PressureBounds, specified: SpecifiedDensity, level_m: float) -> DensityWindow:
    """Return the window at a level: the specification and the ground together."""
    least, low = bounds.least(level_m)
    most, high = bounds.most(level_m)
    return DensityWindow(
        max(specified.low_kg_m3, least),
        min(specified.high_kg_m3, most),
        low if least > specified.low_kg_m3 else None,
        high if most < specified.high_kg_m3 else None,
    )


def _governed_by(window: DensityWindow, specified: SpecifiedDensity) -> str:
    low = specified.low_by if window.low is None else window.low.words
    high = specified.high_by if window.high is None else window.high.words
    return f"below by {low}; above by {high}"


def _bound_words(bound: PressureBound | None) -> str:
    return "" if bound is None else bound.words


def _head(length: FluidLength, fluid: str) -> float | None:
    """Return the least likely head of the fluid over the groundwater of the water-bearing ground in the length."""
    heads = [
        getattr(judged.state_values.get(fluid, {}).get("fluid_head_m"), "likely", None)
        for judged in length.slices()
        if "yes" in judged.words("water_bearing")
    ]
    return min((head for head in heads if head is not None), default=None)


def _by_depth(length: FluidLength, least: PressureBounds, wanted: PressureBounds, level_m: float) -> tuple[DensityAt, ...]:
    """Return the window at the base of every layer, at the base of the length, and where the ground asks for most and takes least."""
    governing = {bound.depth_m for bound in (least.least(level_m)[1], least.most(level_m)[1]) if bound is not None}
    layers = {judged.slice.stratum.base_m for judged in length.ground.slices}
    bases = {base for base in layers if length.top_m < base < length.base_m - 1e-6}
    rows = []
    for depth in sorted(governing | bases | {length.base_m}):
        at, asked = least.within(depth - 0.002, depth + 0.002), wanted.within(depth - 0.002, depth + 0.002)
        if not at.lows and not at.highs:
            continue
        low, low_by = at.least(level_m)
        high, high_by = at.most(level_m)
        rows.append(
            DensityAt(
                depth_m=round(depth, 3),
                density_min_kg_m3=low if low_by else None,
                density_max_kg_m3=high if high_by else None,
                min_by=BOUND_WORDS[low_by.kind] if low_by else "",
                max_by=BOUND_WORDS[high_by.kind] if high_by else "",
                density_wanted_kg_m3=asked.least(level_m)[0] or None,
            )
        )
    return tuple({row.depth_m: row for row in rows}.values())


def _wall_spread(length: FluidLength, level_m: float) -> WallSpread | None:
    """Return the density that either theory asks of a granular wall, at the base of the slice where that is most."""
    curves, least = length.ground.curves, length.limits["wall_factor_least"].value
    most = length.limits["wall_factor_recommended"].value
    spreads: list[WallSpread] = []
    for judged in length.slices():
        depth = min(judged.base_m, length.base_m)
        if depth - level_m < length.limits["wall_theories_from_m"].value:
            continue
        hard = curves.support(judged.slice.ground, depth, least, hoop_k0=False)
        wanted = curves.support(judged.slice.ground, depth, most, hoop_k0=True)
        if hard is None or wanted is None or hard[1] is None or wanted[1] is None:
            continue
        spreads.append(
            WallSpread(
                hard_kg_m3=density_for_pressure(hard[1], depth, level_m),
                wanted_kg_m3=density_for_pressure(wanted[1], depth, level_m),
                cautious_kg_m3=density_for_pressure(wanted[2], depth, level_m),
                depth_m=round(depth, 3),
                hard_factor=least,
                wanted_factor=most,
            )
        )
    return max(spreads, key=lambda spread: spread.wanted_kg_m3, default=None)


# ---- the window as a function of the fluid level


def _at_level(length: FluidLength, bounds: tuple[PressureBounds, PressureBounds], specified: SpecifiedDensity, level_m: float) -> LevelAt:
    """Return what the ground asks at a level, by the least and the recommended factors, and whether the fluid meets it there."""
    least, wanted = bounds
    low, low_by = least.least(level_m)
    high, high_by = least.most(level_m)
    recommended, recommended_by = wanted.least(level_m)
    lightest, heaviest = max(low, specified.low_kg_m3), min(high, specified.high_kg_m3)
    water, rule = length.groundwater_m, length.head_level(specified.fluid)
    return LevelAt(
        level_m=level_m,
        head_m=None if water is None else round(water - level_m, 3),
        stick_up_m=round(length.stick_up_for(level_m), 3),
        density_min_kg_m3=_finite(low, low_by),
        density_wanted_kg_m3=_finite(recommended, recommended_by),
        density_max_kg_m3=_finite(high, high_by),
        min_by=_bound_words(low_by),
        wanted_by=_bound_words(recommended_by),
        max_by=_bound_words(high_by),
        open_=lightest <= heaviest,
        recommended=max(lightest, recommended) <= heaviest,
        head_kept=rule is None or level_m <= rule + 1e-6,
        planned=level_m == length.levels.fluid_m[specified.fluid],
    )


def _finite(density_kg_m3: float, bound: PressureBound | None) -> float | None:
    return density_kg_m3 if bound is not None and isfinite(density_kg_m3) else None


def _levels_needed(length: FluidLength, least: PressureBounds) -> tuple[LevelNeeded, ...]:
    """Return the level that every fluid needs at its usual density, those that the site file and the rules leave open first."""
    found = [_level_needed(length, least, length.specified(fluid)) for fluid in FLUIDS]
    return tuple(sorted(found, key=lambda needed: not needed.allowed))


def _level_needed(length: FluidLength, bounds: PressureBounds, specified: SpecifiedDensity) -> LevelNeeded:
    density = min(max(specified.usual_kg_m3, specified.low_kg_m3), specified.high_kg_m3)
    level, why = length.top_m, "the top of the length that it holds"
    for low in bounds.lows:
        if (at := low.level(density)) < level:
            level, why = at, low.words
    rule = length.head_level(specified.fluid)
    if rule is not None and rule < level:
        head = length.limits[f"fluid_head_{specified.fluid}_m"]
        level, why = rule, f"a head of {mark(head.value, 'm')} over the groundwater{head.beside}"
    highest = max((high.level(density) for high in bounds.highs), default=-inf)
    water = length.groundwater_m
    possible = level >= highest - 1e-9
    return LevelNeeded(
        fluid=specified.fluid,
        density_kg_m3=density,
        density_low_kg_m3=specified.low_kg_m3,
        density_high_kg_m3=specified.high_kg_m3,
        level_m=round(level, 3) if possible else None,
        level_highest_m=round(highest, 3) if isfinite(highest) else None,
        head_m=round(water - level, 3) if possible and water is not None else None,
        stick_up_m=round(length.stick_up_for(level), 3) if possible else None,
        reachable=possible and level >= length.highest_m - 1e-6,
        allowed=length.left_open(specified.fluid),
        because=why,
    )
