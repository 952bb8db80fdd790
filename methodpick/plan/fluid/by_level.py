"""The window as a function of the fluid level, and the level that each fluid needs at its usual density."""

from __future__ import annotations

from math import inf, isfinite

from methodpick.plan.fluid.bounds import WORDS, Bound, Bounds
from methodpick.plan.fluid.fluid_length import Place
from methodpick.plan.fluid.levels import FLUIDS
from methodpick.plan.fluid.specification import Specified, is_salt, specified
from methodpick.plan.result import LevelAt, LevelNeeded
from methodpick.unit_markup import mark


def by_level(place: Place, least: Bounds, wanted: Bounds, said: Specified) -> tuple[LevelAt, ...]:
    """Return what the ground asks at levels from the highest that the stick-up holds down to the groundwater."""
    planned = place.levels.fluid_m[said.fluid]
    return tuple(_at(place, least, wanted, said, level, planned) for level in place.steps(planned))


def _at(place: Place, least: Bounds, wanted: Bounds, said: Specified, level_m: float, planned_m: float) -> LevelAt:
    low, low_by = least.least(level_m)
    high, high_by = least.most(level_m)
    recommended, asked_by = wanted.least(level_m)
    floor = max(low, said.low_kg_m3)
    roof = min(high, said.high_kg_m3)
    water, rule = place.groundwater_m, place.head_level(said.fluid)
    return LevelAt(
        level_m,
        None if water is None else round(water - level_m, 3),
        round(place.stick_up_for(level_m), 3),
        _finite(low, low_by),
        _finite(recommended, asked_by),
        _finite(high, high_by),
        _words(low_by),
        _words(asked_by),
        _words(high_by),
        open_=floor <= roof,
        recommended=max(floor, recommended) <= roof,
        head_kept=rule is None or level_m <= rule + 1e-6,
        planned=level_m == planned_m,
    )


def _finite(density_kg_m3: float, by: Bound | None) -> float | None:
    return density_kg_m3 if by is not None and isfinite(density_kg_m3) else None


def _words(by: Bound | None) -> str:
    return "" if by is None else f"{WORDS[by.kind]} at {mark(by.depth_m, 'm')}"


def fluids_by_level(place: Place, least: Bounds) -> tuple[LevelNeeded, ...]:
    """Return the level that every fluid needs at its usual density, those that the site file and the rules leave open first."""
    salt = is_salt(place.gatherer, place.limits)
    found = [_needed(place, least, specified(fluid, place.limits, salt=salt)) for fluid in FLUIDS]
    return tuple(sorted(found, key=lambda one: not one.allowed))


def _needed(place: Place, bounds: Bounds, said: Specified) -> LevelNeeded:
    density = min(max(said.usual_kg_m3, said.low_kg_m3), said.high_kg_m3)
    level, why = place.top_m, "the top of the length that it holds"
    for one in bounds.lows:
        if (at := one.level(density)) < level:
            level, why = at, _words(one)
    rule = place.head_level(said.fluid)
    if rule is not None and rule < level:
        head = place.limits[f"fluid_head_{said.fluid}_m"]
        level, why = rule, f"a head of {mark(head.value, 'm')} over the groundwater{head.beside}"
    highest = max((one.level(density) for one in bounds.highs), default=-inf)
    water = place.groundwater_m
    possible = level >= highest - 1e-9
    return LevelNeeded(
        said.fluid,
        density,
        said.low_kg_m3,
        said.high_kg_m3,
        round(level, 3) if possible else None,
        round(highest, 3) if isfinite(highest) else None,
        round(water - level, 3) if possible and water is not None else None,
        round(place.stick_up_for(level), 3) if possible else None,
        reachable=possible and level >= place.highest_m - 1e-6,
        allowed=place.left_open(said.fluid),
        because=why,
    )
