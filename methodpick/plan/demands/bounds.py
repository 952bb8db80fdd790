"""What the ground asks of the pressure in the hole, depth by depth, whatever the fluid and its level."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import ceil, inf
from operator import itemgetter
from typing import Literal, NamedTuple

from methodpick.facts.curves import INSET_M, Curves
from methodpick.mechanics.clay import clay_needed_pressure
from methodpick.mechanics.earth_pressure import hydrostatic, k0, least_horizontal_stress
from methodpick.mechanics.emptied_hole import plug_needed_pressure
from methodpick.mechanics.slurry import clay_opening_pressure, density_for_pressure, excluding_pressure, level_for_pressure
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.records import record
from methodpick.terms import ROCK_LIKE
from methodpick.unit_markup import mark
from methodpick.vocabulary.limits import Limit

BoundKind = Literal["wall", "water", "clay", "uplift", "opening"]
BOUND_WORDS: Mapping[BoundKind, str] = {
    "wall": "stability of the granular wall",
    "water": "keeping groundwater out",
    "clay": "overload of the clay wall",
    "uplift": "uplift by the aquifer below",
    "opening": "opening of the ground",
}
STEP_M = 2.0
"""A slice is looked at no further apart than this: a bound over the depth below the fluid may peak inside it."""


class PressureBound(NamedTuple):
    """A pressure at a depth that the fluid must reach (or, for ``opening``, may not pass), and how it follows the groundwater.

    ``relief`` is the fall of the bound for each kPa that the groundwater behind it loses; ``groundwater_m`` its likely level.
    """

    depth_m: float
    pressure_kpa: float
    kind: BoundKind
    relief: float = 0.0
    groundwater_m: float | None = None

    @property
    def words(self) -> str:
        """Return what asks for the pressure, and where, in words."""
        return f"{BOUND_WORDS[self.kind]} at {mark(self.depth_m, 'm')}"

    def density(self, level_m: float) -> float:
        """Return the density that just makes this pressure under a fluid level; without end at or above the level."""
        return density_for_pressure(self.pressure_kpa, self.depth_m, level_m) if self.depth_m - level_m > 1e-9 else inf

    def level(self, density_kg_m3: float) -> float:
        """Return the fluid level at which a density just makes this pressure."""
        return level_for_pressure(self.pressure_kpa, self.depth_m, density_kg_m3)

    def drained(self, fall_m: float) -> PressureBound:
        """Return the bound with the groundwater behind it lower by a height."""
        return self._replace(
            pressure_kpa=max(0.0, self.pressure_kpa - self.relief * hydrostatic(fall_m)),
            groundwater_m=None if self.groundwater_m is None else self.groundwater_m + fall_m,
        )


@record
class PressureBounds:
    """All bounds of a length of hole."""

    lows: tuple[PressureBound, ...]
    highs: tuple[PressureBound, ...]

    def least(self, level_m: float) -> tuple[float, PressureBound | None]:
        """Return the density that the fluid needs at a level, and the bound that asks for it; 0 where nothing does."""
        return max([(low.density(level_m), low) for low in self.lows], key=_density, default=(0.0, None))

    def most(self, level_m: float) -> tuple[float, PressureBound | None]:
        """Return the density that the ground takes at a level, and the bound that says so; without end where nothing does."""
        return min([(high.density(level_m), high) for high in self.highs], key=_density, default=(inf, None))

    def within(self, top_m: float, base_m: float) -> PressureBounds:
        """Return the bounds of a part of the length."""
        return PressureBounds(
            *(tuple(bound for bound in side if top_m - 1e-6 <= bound.depth_m <= base_m + 1e-6) for side in (self.lows, self.highs))
        )

    def drained(self, fall_m: float) -> PressureBounds:
        """Return the bounds with the groundwater behind them lower by a height."""
        return PressureBounds(*(tuple(bound.drained(fall_m) for bound in side) for side in (self.lows, self.highs)))

    def open_levels(self, low_kg_m3: float, high_kg_m3: float, top_m: float) -> tuple[float, float] | None:
        """Return the highest and the lowest fluid level at which some density meets every bound, None where no level does.

        A lower bound p at d and an upper bound P at D leave a density between them where p (D - L) <= P (d - L); the
        specification where p <= g high (d - L) and g low (D - L) <= P. All are linear in the level L, so that the ends are exact.
        The level does not lie below ``top_m``, the top of the length.
        """
        highest, lowest = -inf, top_m
        for low in self.lows:
            lowest = min(lowest, low.level(high_kg_m3))
        for high in self.highs:
            highest = max(highest, high.level(low_kg_m3))
        for low in self.lows:
            for high in self.highs:
                slope = high.pressure_kpa - low.pressure_kpa
                right = high.pressure_kpa * low.depth_m - low.pressure_kpa * high.depth_m
                if slope > 1e-9:
                    lowest = min(lowest, right / slope)
                elif slope < -1e-9:
                    highest = max(highest, right / slope)
                elif right < -1e-9:
                    return None
        return (highest, lowest) if highest <= lowest else None


_density = itemgetter(0)


class BoundFactors(NamedTuple):
    """Factors on what the ground asks. ``hoop_k0`` takes the hoop stress of the wall as at rest, else as the major one.

    ``clay`` divides the overload ratio at which the wall collapses, ``opening`` the effective stress that holds the ground
    shut; ``extra`` is the share of the effective vertical stress counted on beside the pressure at rest, ``extra_su`` that of
    the strength in clay, ``at_rest`` the coefficient where no friction is known.
    """

    wall: float
    water: float
    clay: float
    uplift: float
    hoop_k0: bool
    extra: float
    extra_su: float
    at_rest: float
    opening: float = 1.0


def least_factors(limits: Mapping[str, Limit]) -> BoundFactors:
    """Return the factors that nobody goes below."""
    return BoundFactors(
        wall=limits["wall_factor_least"].value,
        water=limits["water_exclusion_factor"].value,
        clay=1.0 / limits["overload_share_collapse"].value,
        uplift=limits["uplift_factor_least"].value,
        hoop_k0=False,
        **_opening_shares(limits),
    )


def recommended_factors(limits: Mapping[str, Limit]) -> BoundFactors:
    """Return the factors that good practice takes."""
    return BoundFactors(
        wall=limits["wall_factor_recommended"].value,
        water=limits["water_exclusion_factor"].value,
        clay=1.0 / limits["overload_share_recommended"].value,
        uplift=limits["uplift_factor_recommended"].value,
        hoop_k0=True,
        **_opening_shares(limits),
    )


def for_fluid(factors: BoundFactors, fluid: str) -> BoundFactors:
    """Return the factors for a fluid: the margin on groundwater is a rule of mineral slurry, whose cake it presses on."""
    return factors if fluid == "mineral" else factors._replace(water=1.0)


def _opening_shares(limits: Mapping[str, Limit]) -> dict[str, float]:
    shares = {"extra": "opening_stress_share", "extra_su": "opening_su_share", "at_rest": "at_rest_unknown"}
    return {factor: limits[name].value for factor, name in shares.items()}


KeptBounds = dict[tuple[float, float, BoundFactors], PressureBounds]
"""Bounds that were found, by the top of the slice, the depth and the factors: the windows of one ground share depths."""


def find_bounds(ground: JudgedGround, top_m: float, base_m: float, factors: BoundFactors, kept: KeptBounds | None = None) -> PressureBounds:
    """Return what the ground asks between two depths at the likely values; ground that no log tells of asks for nothing.

    ``kept`` holds what was found in the same ground before, and takes what is found now.
    """
    kept = {} if kept is None else kept
    lows: list[PressureBound] = []
    highs: list[PressureBound] = []
    for judged, depth in stations(ground.slices, top_m, base_m):
        key = judged.top_m, depth, factors
        if key not in kept:
            kept[key] = _bounds_at(ground.curves, judged, depth, factors)
        lows += kept[key].lows
        highs += kept[key].highs
    return PressureBounds(tuple(lows), tuple(highs))


def _bounds_at(curves: Curves, judged: JudgedSlice, depth_m: float, factors: BoundFactors) -> PressureBounds:
    """Return what the ground asks at one depth of a slice."""
    sides = (side(curves, judged, depth_m, factors) for side in (_wall, _water, _clay))
    asked = (*(bound for bound in sides if bound is not None), *_uplift(curves, judged, depth_m, factors))
    high = _opening(curves, judged, depth_m, factors)
    return PressureBounds(tuple(bound for bound in asked if bound.pressure_kpa > 0), () if high is None else (high,))


def stations(slices: Iterable[JudgedSlice], top_m: float, base_m: float) -> Iterator[tuple[JudgedSlice, float]]:
    """Return the depths to look at: both ends of every logged slice in a length, and between them every two metres.

    The top of a slice is left out where the one above ends there in the same ground.
    """
    above: JudgedSlice | None = None
    for judged in slices:
        first, last = max(judged.top_m, top_m), min(judged.base_m, base_m)
        if last - first <= 1e-6 or not judged.logged:
            continue
        parts = max(1, ceil((last - first) / STEP_M))
        for number in range(1 if above is not None and _same_ground(above, judged) else 0, parts + 1):
            yield judged, first + (last - first) * number / parts if number < parts else last
        above = judged


def _same_ground(above: JudgedSlice, below: JudgedSlice) -> bool:
    return above.slice.ground == below.slice.ground and above.words("water_bearing") == below.words("water_bearing")


def _wall(curves: Curves, judged: JudgedSlice, depth_m: float, factors: BoundFactors) -> PressureBound | None:
    """Return pore pressure and the active pressure on the round granular wall; the latter grows as the water falls."""
    ground = judged.slice.ground
    support = curves.support(ground, depth_m, factors.wall, hoop_k0=factors.hoop_k0)
    pore, effective = curves.pore(ground, depth_m)[1], curves.effective(ground, depth_m)[1]
    if support is None or support[1] is None or pore is None or effective is None:
        return None
    active = (support[1] - pore) / effective if effective > 0 else 0.0
    return PressureBound(
        depth_m=depth_m,
        pressure_kpa=support[1],
        kind="wall",
        relief=max(0.0, 1.0 - active) if pore > 0 else 0.0,
        groundwater_m=ground.aquifer.level_m.likely,
    )


def _water(curves: Curves, judged: JudgedSlice, depth_m: float, factors: BoundFactors) -> PressureBound | None:
    pore = curves.pore(judged.slice.ground, depth_m)[1]
    if not pore or "yes" not in judged.words("water_bearing"):
        return None
    return PressureBound(
        depth_m=depth_m,
        pressure_kpa=excluding_pressure(pore, factors.water),
        kind="water",
        relief=factors.water,
        groundwater_m=judged.slice.ground.aquifer.level_m.likely,
    )


def _clay(curves: Curves, judged: JudgedSlice, depth_m: float, factors: BoundFactors) -> PressureBound | None:
    ground = judged.slice.ground
    if ground.su is None or ground.su.likely is None:
        return None
    load = curves.surcharge(depth_m)
    total = curves.total(depth_m)[1] + (load.high if load.likely is None else load.likely)
    needed = clay_needed_pressure(total, ground.su.likely, curves.collapse(depth_m)[0], factors.clay)
    return PressureBound(depth_m, needed, "clay")


def _uplift(curves: Curves, judged: JudgedSlice, depth_m: float, factors: BoundFactors) -> list[PressureBound]:
    """Return the pressure on the base that, with the ground between, holds down the water of every aquifer below.

    At the base of its slice it is read just above, where a lid that thins to nothing still is one.
    """
    return [
        PressureBound(
            depth_m=depth_m,
            pressure_kpa=plug_needed_pressure(hydrostatic(top_m - level.likely), weight[1], factors.uplift),
            kind="uplift",
            relief=factors.uplift,
            groundwater_m=level.likely,
        )
        for weight, top_m, level in curves.lids(min(depth_m, judged.base_m - INSET_M))
        if level.likely is not None and level.likely < top_m
    ]


def _opening(curves: Curves, judged: JudgedSlice, depth_m: float, factors: BoundFactors) -> PressureBound | None:
    """Return the pressure from which the ground may open; rock is left out, for fluid runs into joints at any density.

    Clay adds a share of its strength to the pressure at rest, other ground a share of the effective vertical stress.
    """
    ground = judged.slice.ground
    effective, pore = curves.effective(ground, depth_m)[1], curves.pore(ground, depth_m)[1]
    if effective is None or pore is None or judged.slice.stratum.likely in ROCK_LIKE:
        return None
    phi, su = (None if span is None else span.likely for span in (ground.phi, ground.su))
    share = factors.at_rest if phi is None else k0(phi)
    if su is None:
        share += factors.extra
    share /= factors.opening
    pressure = least_horizontal_stress(effective, pore, share)
    if su is not None:
        pressure = clay_opening_pressure(pressure, su / factors.opening, factors.extra_su)
    return PressureBound(
        depth_m=depth_m,
        pressure_kpa=pressure,
        kind="opening",
        relief=1.0 - share if pore > 0 else 0.0,
        groundwater_m=ground.aquifer.level_m.likely,
    )
