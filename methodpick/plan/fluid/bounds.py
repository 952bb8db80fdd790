"""What the ground asks of the pressure in the hole, depth by depth, whatever the fluid and its level."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, inf
from typing import Literal

from methodpick.facts.curves import INSET_M
from methodpick.facts.gather import Gatherer
from methodpick.mechanics.clay import clay_needed_pressure, collapse_limit
from methodpick.mechanics.granular_wall import k0
from methodpick.mechanics.slurry import clay_opening_pressure, density_for_pressure, excluding_pressure, level_for_pressure
from methodpick.mechanics.stress import hydrostatic, least_horizontal_stress
from methodpick.mechanics.uplift import plug_needed_pressure
from methodpick.plan.judging.slices import Judged
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Choice

Kind = Literal["wall", "water", "clay", "uplift", "opening"]
WORDS: Mapping[Kind, str] = {
    "wall": "stability of the granular wall",
    "water": "keeping groundwater out",
    "clay": "overload of the clay wall",
    "uplift": "uplift by the aquifer below",
    "opening": "opening of the ground",
}
STEP_M = 2.0
"""A slice is looked at no further apart than this: a bound over the depth below the fluid may peak inside it."""
_ROCK = frozenset({"rock", "weathered_rock", "intermediate"})


@dataclass(frozen=True, slots=True)
class Bound:
    """A pressure at a depth that the fluid must reach (or, for ``opening``, may not pass), and how it follows the groundwater.

    ``relief`` is the fall of the bound for each kPa that the groundwater behind it loses; ``groundwater_m`` its likely level.
    """

    depth_m: float
    pressure_kpa: float
    kind: Kind
    relief: float = 0.0
    groundwater_m: float | None = None

    def density(self, level_m: float) -> float:
        """Return the density that just makes this pressure under a fluid level; without end at or above the level."""
        return density_for_pressure(self.pressure_kpa, self.depth_m, level_m) if self.depth_m - level_m > 1e-9 else inf

    def level(self, density_kg_m3: float) -> float:
        """Return the fluid level at which a density just makes this pressure."""
        return level_for_pressure(self.pressure_kpa, self.depth_m, density_kg_m3)

    def drained(self, fall_m: float) -> Bound:
        """Return the bound with the groundwater behind it lower by a height."""
        return Bound(
            self.depth_m,
            max(0.0, self.pressure_kpa - self.relief * hydrostatic(fall_m)),
            self.kind,
            self.relief,
            None if self.groundwater_m is None else self.groundwater_m + fall_m,
        )


@dataclass(frozen=True, slots=True)
class Bounds:
    """All bounds of a length of hole."""

    lows: tuple[Bound, ...]
    highs: tuple[Bound, ...]

    def least(self, level_m: float) -> tuple[float, Bound | None]:
        """Return the density that the fluid needs at a level, and the bound that asks for it; 0 where nothing does."""
        return max(((one.density(level_m), one) for one in self.lows), key=lambda pair: pair[0], default=(0.0, None))

    def most(self, level_m: float) -> tuple[float, Bound | None]:
        """Return the density that the ground takes at a level, and the bound that says so; without end where nothing does."""
        return min(((one.density(level_m), one) for one in self.highs), key=lambda pair: pair[0], default=(inf, None))

    def within(self, top_m: float, base_m: float) -> Bounds:
        """Return the bounds of a part of the length."""
        return Bounds(*(tuple(one for one in side if top_m - 1e-6 <= one.depth_m <= base_m + 1e-6) for side in (self.lows, self.highs)))


@dataclass(frozen=True, slots=True)
class Factors:
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


def least_factors(limits: Mapping[str, Limit]) -> Factors:
    """Return the factors that nobody goes below."""
    value = {name: limit.value for name, limit in limits.items()}
    return Factors(
        value["wall_factor_least"],
        value["water_exclusion_factor"],
        1.0 / value["overload_share_collapse"],
        value["uplift_factor_least"],
        hoop_k0=False,
        **_opening_shares(value),
    )


def recommended_factors(limits: Mapping[str, Limit]) -> Factors:
    """Return the factors that good practice takes."""
    value = {name: limit.value for name, limit in limits.items()}
    return Factors(
        value["wall_factor_recommended"],
        value["water_exclusion_factor"],
        1.0 / value["overload_share_recommended"],
        value["uplift_factor_recommended"],
        hoop_k0=True,
        **_opening_shares(value),
    )


def for_fluid(factors: Factors, fluid: str) -> Factors:
    """Return the factors for a fluid: the margin on groundwater is a rule of mineral slurry, whose cake it presses on."""
    return factors if fluid == "mineral" else replace(factors, water=1.0)


def _opening_shares(value: Mapping[str, float]) -> dict[str, float]:
    return {"extra": value["opening_stress_share"], "extra_su": value["opening_su_share"], "at_rest": value["at_rest_unknown"]}


def find_bounds(gatherer: Gatherer, judged: Sequence[Judged], top_m: float, base_m: float, factors: Factors) -> Bounds:
    """Return what the ground asks between two depths at the likely values; ground that no log tells of asks for nothing."""
    lows: list[Bound] = []
    highs: list[Bound] = []
    for one, depth in stations(judged, top_m, base_m):
        sides = (_wall, _water, _clay)
        lows += [bound for side in sides if (bound := side(gatherer, one, depth, factors)) is not None and bound.pressure_kpa > 0]
        lows += [bound for bound in _uplift(gatherer, one, depth, factors) if bound.pressure_kpa > 0]
        if (high := _opening(gatherer, one, depth, factors)) is not None:
            highs.append(high)
    return Bounds(tuple(lows), tuple(highs))


def stations(judged: Iterable[Judged], top_m: float, base_m: float) -> Iterator[tuple[Judged, float]]:
    """Return the depths to look at: both ends of every logged slice in a length, and between them every two metres.

    The top of a slice is left out where the one above ends there in the same ground.
    """
    above: Judged | None = None
    for one in judged:
        first, last = max(one.slice.top_m, top_m), min(one.slice.base_m, base_m)
        if last - first <= 1e-6 or not one.slice.stratum.logged:
            continue
        parts = max(1, ceil((last - first) / STEP_M))
        alike = (
            above is not None and above.slice.ground == one.slice.ground and words(above, "water_bearing") == words(one, "water_bearing")
        )
        for number in range(1 if alike else 0, parts + 1):
            yield one, first + (last - first) * number / parts if number < parts else last
        above = one


def words(one: Judged, name: str) -> frozenset[str]:
    """Return the words that a fact of a slice may still be."""
    value = one.slice.sheet.value(name)
    return value.values if isinstance(value, Choice) else frozenset()


def _wall(gatherer: Gatherer, one: Judged, depth_m: float, factors: Factors) -> Bound | None:
    """Return pore pressure and the active pressure on the round granular wall; the latter grows as the water falls."""
    curves, ground = gatherer.curves, one.slice.ground
    support = curves.support(ground, depth_m, factors.wall, hoop_k0=factors.hoop_k0)
    pore, effective = curves.pore(ground, depth_m)[1], curves.effective(ground, depth_m)[1]
    if support is None or support[1] is None or pore is None or effective is None:
        return None
    active = (support[1] - pore) / effective if effective > 0 else 0.0
    return Bound(depth_m, support[1], "wall", max(0.0, 1.0 - active) if pore > 0 else 0.0, ground.aquifer.level_m.likely)


def _water(gatherer: Gatherer, one: Judged, depth_m: float, factors: Factors) -> Bound | None:
    pore = gatherer.curves.pore(one.slice.ground, depth_m)[1]
    if not pore or "yes" not in words(one, "water_bearing"):
        return None
    return Bound(depth_m, excluding_pressure(pore, factors.water), "water", factors.water, one.slice.ground.aquifer.level_m.likely)


def _clay(gatherer: Gatherer, one: Judged, depth_m: float, factors: Factors) -> Bound | None:
    ground = one.slice.ground
    if ground.su is None or ground.su.likely is None:
        return None
    load = gatherer.curves.surcharge
    total = gatherer.curves.total(depth_m)[1] + (load.likely or load.low)
    limit = collapse_limit(depth_m, gatherer.curves.diameter_m)
    return Bound(depth_m, clay_needed_pressure(total, ground.su.likely, limit, factors.clay), "clay")


def _uplift(gatherer: Gatherer, one: Judged, depth_m: float, factors: Factors) -> list[Bound]:
    """Return the pressure on the base that, with the ground between, holds down the water of every aquifer below.

    At the base of its slice it is read just above, where a lid that thins to nothing still is one.
    """
    bounds = []
    for weight, top_m, level in gatherer.curves.lids(min(depth_m, one.slice.base_m - INSET_M)):
        likely = level.likely
        if likely is not None and likely < top_m:
            needed = plug_needed_pressure(hydrostatic(top_m - likely), weight[1], factors.uplift)
            bounds.append(Bound(depth_m, needed, "uplift", factors.uplift, likely))
    return bounds


def _opening(gatherer: Gatherer, one: Judged, depth_m: float, factors: Factors) -> Bound | None:
    """Return the pressure from which the ground may open; rock is left out, for fluid runs into joints at any density.

    Clay adds a share of its strength to the pressure at rest, other ground a share of the effective vertical stress.
    """
    ground = one.slice.ground
    effective, pore = gatherer.curves.effective(ground, depth_m)[1], gatherer.curves.pore(ground, depth_m)[1]
    if effective is None or pore is None or one.slice.stratum.likely in _ROCK:
        return None
    phi, su = (None if span is None else span.likely for span in (ground.phi, ground.su))
    share = factors.at_rest if phi is None else k0(phi)
    if su is None:
        share += factors.extra
    share /= factors.opening
    pressure = least_horizontal_stress(effective, pore, share)
    if su is not None:
        pressure = clay_opening_pressure(pressure, su / factors.opening, factors.extra_su)
    return Bound(depth_m, pressure, "opening", 1.0 - share if pore > 0 else 0.0, ground.aquifer.level_m.likely)
