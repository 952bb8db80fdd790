"""The slurry window: least and greatest density by depth at the fluid level, what governs, and how it follows the level."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from methodpick.facts.gather import Gatherer
from methodpick.mechanics.slurry import density_for_pressure
from methodpick.plan.fluid.bounds import WORDS, Bound, Bounds, find_bounds, for_fluid, least_factors, recommended_factors, words
from methodpick.plan.fluid.by_level import by_level, fluids_by_level
from methodpick.plan.fluid.fluid_length import Place
from methodpick.plan.fluid.levels import Levels
from methodpick.plan.fluid.levels_open import open_levels
from methodpick.plan.fluid.remedies import find_remedies
from methodpick.plan.fluid.specification import Specified, is_salt, specified
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import DensityAt, Slurry, WallSpread
from methodpick.unit_markup import mark
from methodpick.vocabulary.limits import Limit


@dataclass(frozen=True, slots=True)
class Window:
    """The window of a length at one level: both sides and what governs each."""

    least: float
    most: float
    low: Bound | None
    high: Bound | None


def slurry_window(
    gatherer: Gatherer, judged: Sequence[Judged], fluid: str, ends: tuple[float, float], levels: Levels, limits: Mapping[str, Limit]
) -> Slurry:
    """Return the window of the length held by fluid, as a function of the fluid level, with the way out where it is empty."""
    level = levels.fluid_m[fluid]
    top_m, base_m = max(ends[0], level + limits["fluid_unheld_m"].value), ends[1]
    place = Place(gatherer, tuple(judged), top_m, base_m, levels, limits)
    least, wanted = (
        find_bounds(gatherer, judged, top_m, base_m, for_fluid(make(limits), fluid)) for make in (least_factors, recommended_factors)
    )
    said = specified(fluid, limits, salt=is_salt(gatherer, limits))
    found = window_at(least, said, level)
    empty = found.least > found.most
    opens = open_levels(least, said.low_kg_m3, said.high_kg_m3, top_m) if empty else None
    return Slurry(
        fluid,
        ends[0],
        base_m,
        level,
        _head(place, fluid),
        found.least,
        found.most,
        None if empty else max(found.least, min(found.most, said.usual_kg_m3)),
        _governed(found, said),
        opens[1] if opens is not None and opens[1] < level else None,
        _spread(place, level),
        _rows(place, least, wanted, level),
        max(said.low_kg_m3, wanted.least(level)[0]),
        by_level(place, least, wanted, said),
        fluids_by_level(place, least),
        find_remedies(place, least, said) if empty else (),
    )


def window_at(bounds: Bounds, said: Specified, level_m: float) -> Window:
    """Return the window at a level: the specification and the ground together."""
    least, low = bounds.least(level_m)
    most, high = bounds.most(level_m)
    return Window(
        max(said.low_kg_m3, least),
        min(said.high_kg_m3, most),
        low if least > said.low_kg_m3 else None,
        high if most < said.high_kg_m3 else None,
    )


def _governed(found: Window, said: Specified) -> str:
    low = said.low_by if found.low is None else f"{WORDS[found.low.kind]} at {mark(found.low.depth_m, 'm')}"
    high = said.high_by if found.high is None else f"{WORDS[found.high.kind]} at {mark(found.high.depth_m, 'm')}"
    return f"below by {low}; above by {high}"


def _head(place: Place, fluid: str) -> float | None:
    """Return the least likely head of the fluid over the groundwater of the water-bearing ground in the length."""
    heads = [
        getattr(one.state_values.get(fluid, {}).get("fluid_head_m"), "likely", None)
        for one in place.pieces()
        if "yes" in words(one, "water_bearing")
    ]
    return min((head for head in heads if head is not None), default=None)


def _rows(place: Place, least: Bounds, wanted: Bounds, level_m: float) -> tuple[DensityAt, ...]:
    """Return the window at the base of every layer, at the base of the length, and where the ground asks for most and takes least."""
    governing = {one.depth_m for one in (least.least(level_m)[1], least.most(level_m)[1]) if one is not None}
    bases = {one.slice.stratum.base_m for one in place.judged if place.top_m < one.slice.stratum.base_m < place.base_m - 1e-6}
    rows = []
    for depth in sorted(governing | bases | {place.base_m}):
        at, asked = least.within(depth - 0.002, depth + 0.002), wanted.within(depth - 0.002, depth + 0.002)
        if not at.lows and not at.highs:
            continue
        low, low_by = at.least(level_m)
        high, high_by = at.most(level_m)
        rows.append(
            DensityAt(
                round(depth, 3),
                low if low_by else None,
                high if high_by else None,
                WORDS[low_by.kind] if low_by else "",
                WORDS[high_by.kind] if high_by else "",
                asked.least(level_m)[0] or None,
            )
        )
    return tuple({row.depth_m: row for row in rows}.values())


def _spread(place: Place, level_m: float) -> WallSpread | None:
    """Return the density that either theory asks of a granular wall, at the base of the slice where that is most."""
    curves, least = place.gatherer.curves, place.limits["wall_factor_least"].value
    most = place.limits["wall_factor_recommended"].value
    found: list[WallSpread] = []
    for one in place.pieces():
        depth = min(one.slice.base_m, place.base_m)
        if depth - level_m < place.limits["wall_theories_from_m"].value:
            continue
        hard = curves.support(one.slice.ground, depth, least, hoop_k0=False)
        wanted = curves.support(one.slice.ground, depth, most, hoop_k0=True)
        if hard is None or wanted is None or hard[1] is None or wanted[1] is None:
            continue
        asked = [density_for_pressure(pressure, depth, level_m) for pressure in (hard[1], wanted[1], wanted[2])]
        found.append(WallSpread(asked[0], asked[1], asked[2], round(depth, 3), least, most))
    return max(found, key=lambda one: one.wanted_kg_m3, default=None)
