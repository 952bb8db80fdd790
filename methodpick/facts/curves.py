"""Facts that run with depth, as curves: low, likely and high at any depth of the shaft.

Every curve is an outer bound: each formula is evaluated at the ends of its arguments by the sign of its monotony, the
likely value at the likely arguments. Margins are formed at each depth, before a range over a slice is taken.
"""

from __future__ import annotations

from bisect import bisect_left
from copy import copy
from math import inf
from typing import NamedTuple

from methodpick.facts.aquifer import Aquifer
from methodpick.mechanics.clay import closure_percent, collapse_limit, overload_ratio, overload_share
from methodpick.mechanics.concrete import bulging_ratio, concrete_pressure, concrete_pressure_stiffened
from methodpick.mechanics.earth_pressure import (
    cohesion_needed,
    cylinder_pressure,
    effective_stress,
    granular_needed_pressure,
    hydrostatic,
    k0,
    least_horizontal_stress,
    total_stress,
)
from methodpick.mechanics.emptied_hole import lid_adhesion, plug_factor
from methodpick.mechanics.plant import spread_pressure
from methodpick.mechanics.slurry import fluid_pressure
from methodpick.records import record
from methodpick.vocabulary.values import Span

Curve = tuple[float, float | None, float]
"""Low, likely and high of a value at a depth."""
Lid = tuple[tuple[float, float, float], float, Span]
"""Ground between a hole base and an aquifer: its weight as low, likely and high, the aquifer's top and its level."""
WaterPressure = tuple[float, float | None, float]
"""The pressure of the water under a lid: greatest, likely (where it is known), least."""
PressedLid = tuple[tuple[float, float, float], tuple[float, float, float], WaterPressure]
"""A lid over water: its weight and what its side holds, as low, likely and high, and the pressure of the water."""
NO_SIDE = (0.0, 0.0, 0.0)
CERTAINLY_MORE = 1.0 + 1e-9
"""A quotient that is greater by this factor is greater whatever the rounding."""
LEAST_SU_KPA = 0.1
"""Strength is not taken below this, so that an overload ratio stays a number."""
NO_UPLIFT = 1000.0
"""The uplift factor where no water presses from below: the end of its domain."""
NOTHING_PRESSES: Curve = (NO_UPLIFT, NO_UPLIFT, NO_UPLIFT)


@record
class Ground:
    """What curves need of a stratum: its depths, weight, strengths and aquifer; whether it is tight, and clay that is known as whole."""

    top_m: float
    base_m: float
    weight: Span
    su: Span | None
    phi: Span | None
    cohesion: Span | None
    aquifer: Aquifer
    tight: bool
    whole: bool = False


@record
class LidSide:
    """How the side of a lid of whole clay counts against uplift where the engineer has agreed.

    ``share`` of the strength counts where the lid is ``least_m`` thick. As more is asked of such a lid than of weight alone, the safety
    with its side is multiplied by ``credit``, the one limit over the other, so that one limit judges both.
    """

    share: float
    least_m: float
    credit: float


class HoleFluid(NamedTuple):
    """What stands inside the hole in one support state: fluid density and level, or nothing."""

    density_kg_m3: float
    level_m: float

    def pressure(self, depth_m: float) -> float:
        """Return the fluid pressure at a depth."""
        return fluid_pressure(self.density_kg_m3, depth_m, self.level_m)


@record
class ClayBehaviour:
    """How clay gives way: to the empty hole by its rigidity, and to fresh concrete that outweighs its horizontal stress.

    ``rigidity`` is the shear modulus over the undrained strength; ``at_rest_low`` and ``at_rest_likely`` are coefficients of earth
    pressure at rest; the concrete stands from the tip up to ``concrete_top_m``. It presses with its whole weight at most, and at least as
    concrete that stiffens in a deep pour; ``whole_weight_share`` is where between the two its pressure likely lies.
    """

    rigidity: Span
    at_rest_low: float
    at_rest_likely: float
    concrete_kn_m3: float
    concrete_top_m: float
    tip_m: float
    whole_weight_share: float

    def concrete_pressure(self, depth_m: float) -> Span:
        """Return the pressure of fresh concrete at a depth."""
        height = depth_m - self.concrete_top_m
        most = concrete_pressure(self.concrete_kn_m3, height)
        least = concrete_pressure_stiffened(self.concrete_kn_m3, height, self.tip_m - self.concrete_top_m)
        return Span(least, most, least + (most - least) * self.whole_weight_share)


@record
class Loading:
    """What loads the wall beside the ground, and what is asked of it.

    ``surcharge`` lies on the ground over ``surcharge_area_m`` (width and length); ``water_above_m`` is the depth of open water;
    ``overload_cap`` is the most that a clay wall bears, the factors are those on active pressure.
    """

    diameter_m: float
    surcharge: Span
    surcharge_area_m: tuple[float, float]
    water_above_m: float
    wall_factor_least: float
    wall_factor_recommended: float
    overload_cap: float
    clay: ClayBehaviour
    lid_side: LidSide | None = None


class Curves:
    """The depth curves of one shaft."""

    def __init__(self, grounds: tuple[Ground, ...], aquifers: tuple[Aquifer, ...], loading: Loading) -> None:
        """Take the strata top down, the aquifers and what loads the wall."""
        self.grounds = grounds
        self.aquifers = aquifers
        self.loading = loading
        self.diameter_m = loading.diameter_m
        start = hydrostatic(loading.water_above_m)
        self._bases = [ground.base_m for ground in grounds]
        self._totals: dict[float, tuple[float, float, float]] = {}
        self._pressures: dict[int, WaterPressure] = {}
        self._sums: list[tuple[float, float, float]] = []
        low = likely = high = start
        for ground in grounds:
            self._sums.append((low, likely, high))
            thickness = ground.base_m - ground.top_m
            weight = ground.weight
            low, high = total_stress(low, weight.low, thickness), total_stress(high, weight.high, thickness)
            likely = total_stress(likely, weight.likely_or_middle, thickness)
        self._under = [
            (aquifer.top_m, self._tight_to(aquifer), aquifer.level_m, self.total(aquifer.top_m))
            for aquifer in aquifers
            if aquifer.kind != "perched"
        ]

    def at(self, depth_m: float) -> Ground:
        """Return the stratum at a depth (the upper one at a boundary)."""
        for ground in self.grounds:
            if depth_m <= ground.base_m:
                return ground
        return self.grounds[-1]

    def total(self, depth_m: float) -> tuple[float, float, float]:
        """Return the total vertical stress: low, likely and high. All curves at a depth hang on it, so that it is kept."""
        if depth_m not in self._totals:
            self._totals[depth_m] = self._find_total(depth_m)
        return self._totals[depth_m]

    def _find_total(self, depth_m: float) -> tuple[float, float, float]:
        index = min(bisect_left(self._bases, depth_m), len(self.grounds) - 1)
        (low, likely, high), ground = self._sums[index], self.grounds[index]
        over, weight = depth_m - ground.top_m, ground.weight
        low, high = total_stress(low, weight.low, over), total_stress(high, weight.high, over)
        return low, total_stress(likely, weight.likely_or_middle, over), high

    def head(self, ground: Ground, depth_m: float) -> Curve:
        """Return the pressure head of the stratum's own aquifer."""
        level = ground.aquifer.level_m
        likely = None if level.likely is None else max(0.0, depth_m - level.likely)
        return max(0.0, depth_m - level.high), likely, max(0.0, depth_m - level.low)

    def pore(self, ground: Ground, depth_m: float) -> Curve:
        """Return the pore pressure."""
        low, likely, high = self.head(ground, depth_m)
        return hydrostatic(low), None if likely is None else hydrostatic(likely), hydrostatic(high)

    def effective(self, ground: Ground, depth_m: float) -> Curve:
        """Return the effective vertical stress."""
        total, pore = self.total(depth_m), self.pore(ground, depth_m)
        low, high = effective_stress(total[0], pore[2]), effective_stress(total[2], pore[0])
        return low, None if pore[1] is None else effective_stress(total[1], pore[1]), high

    def surcharge(self, depth_m: float) -> Span:
        """Return what the loads on the ground add to the vertical stress at a depth, spread 2 down to 1 out on every side."""
        load, (width, length) = self.loading.surcharge, self.loading.surcharge_area_m
        low, high = (spread_pressure(end * width * length, width, length, depth_m) for end in (load.low, load.high))
        likely = None if load.likely is None else spread_pressure(load.likely * width * length, width, length, depth_m)
        return Span(low, high, likely)

    def collapse(self, depth_m: float) -> Curve:
        """Return the overload ratio that a round clay wall bears: that of its collapse, and the cap of every clay at most."""
        limit = min(collapse_limit(depth_m, self.diameter_m), self.loading.overload_cap)
        return limit, limit, limit

    def cohesion_needed(self, ground: Ground, depth_m: float) -> Curve | None:
        """Return the cohesion that a granular wall needs; falls with friction, grows with weight."""
        if ground.phi is None:
            return None
        weight, phi, depth = ground.weight, ground.phi, max(depth_m, 0.01)
        low, high = (
            cohesion_needed(depth, self.diameter_m, heavy, angle) for heavy, angle in ((weight.low, phi.high), (weight.high, phi.low))
        )
        likely = None if phi.likely is None or weight.likely is None else cohesion_needed(depth, self.diameter_m, weight.likely, phi.likely)
        return low, likely, high

    def cohesion_margin(self, ground: Ground, depth_m: float) -> Curve | None:
        """Return the cohesion at hand less the cohesion needed."""
        needed, at_hand = self.cohesion_needed(ground, depth_m), ground.cohesion
        if needed is None or at_hand is None:
            return None
        likely = None if needed[1] is None or at_hand.likely is None else at_hand.likely - needed[1]
        return at_hand.low - needed[2], likely, at_hand.high - needed[0]

    def support(self, ground: Ground, depth_m: float, factor: float, hoop_k0: bool) -> Curve | None:
        """Return the pressure that a granular wall needs, with a factor on its active pressure."""
        if ground.phi is None:
            return None
        depth, phi = max(depth_m, 0.05), ground.phi
        effective, pore = self.effective(ground, depth), self.pore(ground, depth)

        def needed(water: float, stress: float, angle: float) -> float:
            hoop = k0(angle) if hoop_k0 else 1.0
            active = cylinder_pressure(depth, self.diameter_m, max(stress / depth, 0.01), angle, hoop=hoop)
            return granular_needed_pressure(water, active, factor)

        low, high = needed(pore[0], effective[0], phi.high), needed(pore[2], effective[2], phi.low)
        likely = None if effective[1] is None or pore[1] is None or phi.likely is None else needed(pore[1], effective[1], phi.likely)
        return low, likely, high

    def overload(self, ground: Ground, depth_m: float, inside: HoleFluid | None, load: Span | None = None) -> Curve | None:
        """Return the overload ratio of a clay wall; strength makes it less where the ground presses in, more where the fluid does.

        ``load`` is the surcharge at the depth, where it is known already.
        """
        su = ground.su
        if su is None:
            return None
        totals, load = self.total(depth_m), load or self.surcharge(depth_m)
        pressure = inside.pressure(depth_m) if inside else 0.0
        low, high = totals[0] + load.low, totals[2] + load.high
        least = overload_ratio(low, pressure, max(su.high if low >= pressure else su.low, LEAST_SU_KPA))
        most = overload_ratio(high, pressure, max(su.low if high >= pressure else su.high, LEAST_SU_KPA))
        if su.likely is None or load.likely is None:
            return least, None, most
        return least, overload_ratio(totals[1] + load.likely, pressure, max(su.likely, LEAST_SU_KPA)), most

    def share(self, ratio: Curve, limit: float) -> Curve:
        """Return the overload ratio over what the wall bears."""
        low, high = overload_share(ratio[0], limit), overload_share(ratio[2], limit)
        return low, None if ratio[1] is None else overload_share(ratio[1], limit), high

    def closure(self, ratio: Curve | None) -> Curve | None:
        """Return the closure in percent of the radius at an overload ratio; stiffer clay closes less."""
        if ratio is None:
            return None
        rigidity = self.loading.clay.rigidity
        likely = None if ratio[1] is None else closure_percent(ratio[1], rigidity.likely_or_middle)
        return closure_percent(ratio[0], rigidity.high), likely, closure_percent(ratio[2], rigidity.low)

    def horizontal(self, ground: Ground, depth_m: float) -> Span:
        """Return the total horizontal stress in clay: at rest with the least weight and water, up to the whole vertical stress."""
        clay, total, pore = self.loading.clay, self.total(depth_m), self.pore(ground, depth_m)
        water = pore[1] if pore[1] is not None else (pore[0] + pore[2]) / 2
        least = least_horizontal_stress(effective_stress(total[0], pore[0]), pore[0], clay.at_rest_low)
        likely = least_horizontal_stress(effective_stress(total[1], water), water, clay.at_rest_likely)
        most = max(least, total[2])
        return Span(least, most, min(max(likely, least), most))

    def bulging(self, ground: Ground, depth_m: float) -> Curve | None:
        """Return the excess of the pressure of fresh concrete over the horizontal stress in clay, divided by the strength of the clay."""
        clay, su = self.loading.clay, ground.su
        if su is None or su.likely is None:
            return None
        concrete = clay.concrete_pressure(depth_m)
        side, strengths = self.horizontal(ground, depth_m), [max(end, LEAST_SU_KPA) for end in (su.low, su.high)]
        ends = [(concrete.low, side.high), (concrete.high, side.low)]
        ratios = [bulging_ratio(pressed, end, strength) for pressed, end in ends for strength in strengths]
        likely = bulging_ratio(concrete.likely_or_middle, side.likely_or_middle, max(su.likely, LEAST_SU_KPA))
        return min(ratios), min(max(likely, min(ratios)), max(ratios)), max(ratios)

    def lids(self, depth_m: float) -> tuple[Lid, ...]:
        """Return what lies between a hole base at this depth and every aquifer below tight ground."""
        return tuple((weight, top, level) for _, weight, top, level in self._lids(depth_m))

    def _lids(self, depth_m: float) -> list[tuple[int, tuple[float, float, float], float, Span]]:
        """Return the lids under a depth, each with the place of its water among those that are not perched."""
        low, likely, high = self.total(depth_m)
        return [
            (place, (there[0] - low, there[1] - likely, there[2] - high), top, level)
            for place, (top, tight_to, level, there) in enumerate(self._under)
            if top >= depth_m - 1e-9 and depth_m <= tight_to
        ]

    def pressed_lids(self, depth_m: float) -> tuple[PressedLid, ...]:
        """Return the weight of every lid under a depth, what its side holds, and the water pressure on it, whatever stands in the hole."""
        return tuple((weight, self.side(depth_m, top), self._pressure_under(place)) for place, weight, top, _ in self._lids(depth_m))

    def _pressure_under(self, place: int) -> WaterPressure:
        """Return the pressure of a water on its lid, the same from whatever depth it is looked at; found once."""
        if place not in self._pressures:
            top, _, level, _ = self._under[place]
            likely = None if level.likely is None else hydrostatic(top - level.likely)
            self._pressures[place] = hydrostatic(top - level.low), likely, hydrostatic(top - level.high)
        return self._pressures[place]

    def anew(self) -> Curves:
        """Return the same curves, which work the pressures of the waters out again: where the calls behind a value are recorded."""
        other = copy(self)
        other._pressures = {}  # noqa: SLF001 (another of the same class)
        return other

    def side(self, depth_m: float, top_m: float) -> tuple[float, float, float]:
        """Return the pressure that the side of a lid between two depths holds, low, likely and high; nothing where it is not counted on."""
        terms, lid = self.loading.lid_side, top_m - depth_m
        if terms is None or lid < terms.least_m:
            return NO_SIDE
        parts = [ground for ground in self.grounds if ground.top_m < top_m - 1e-6 and ground.base_m > depth_m + 1e-6]
        strengths = [ground.su for ground in parts if ground.whole and ground.su is not None]
        if not parts or len(strengths) < len(parts):
            return NO_SIDE
        ends = zip(*((su.low, su.likely_or_middle, su.high) for su in strengths), strict=True)
        low, likely, high = (lid_adhesion(lid, min(end), terms.share, self.diameter_m) for end in ends)
        return low, likely, high

    def safety(self, weight_kpa: float, inside_kpa: float, side_kpa: float, press_kpa: float) -> float:
        """Return the safety by weight and what stands in the hole, or that with the side times its credit, whichever is more."""
        by_weight, terms = plug_factor(weight_kpa, inside_kpa, 0.0, press_kpa), self.loading.lid_side
        if terms is None or side_kpa <= 0.0:
            return by_weight
        return max(by_weight, terms.credit * plug_factor(weight_kpa, inside_kpa, side_kpa, press_kpa))

    def uplift(self, pressed_lids: tuple[PressedLid, ...], pressure_kpa: float) -> Curve:
        """Return the safety of a hole base against uplift through its lids, with a pressure inside the hole.

        The safety of a lid is worked out only where its weight does not show already that another lid has less.
        """
        low = likely = high = NO_UPLIFT
        certain = True
        for weight, side, (most, usual, least) in pressed_lids:
            if weight[0] + pressure_kpa <= low * most * CERTAINLY_MORE:
                low = min(low, self.safety(weight[0], pressure_kpa, side[0], most))
            if weight[2] + pressure_kpa <= high * least * CERTAINLY_MORE:
                high = min(high, self.safety(weight[2], pressure_kpa, side[2], least))
            if usual is None:
                certain = False
            elif weight[1] + pressure_kpa <= likely * usual * CERTAINLY_MORE:
                likely = min(likely, self.safety(weight[1], pressure_kpa, side[1], usual))
        if low > high:
            low, high = high, low
        return low, min(max(likely, low), high) if certain else None, high

    def _tight_to(self, aquifer: Aquifer) -> float:
        """Return the depth down to which tight ground lies between a hole base and the aquifer; a strike is covered itself."""
        bases = [min(g.base_m, aquifer.top_m) - 1e-9 for g in self.grounds if g.tight and g.top_m < aquifer.top_m - 1e-9]
        own = [aquifer.top_m + 1e-6] if aquifer.kind in {"strike", "confined", "artesian"} else []
        return max(bases + own, default=-inf)

    def fluid_head(self, ground: Ground, inside: HoleFluid | None) -> Curve | None:
        """Return the fluid level above the piezometric level of the stratum's aquifer."""
        if inside is None:
            return None
        level = ground.aquifer.level_m
        likely = None if level.likely is None else level.likely - inside.level_m
        return level.low - inside.level_m, likely, level.high - inside.level_m


INSET_M = 0.0011
"""Curves are read this far inside a slice, just more than its ends are rounded, so that a cut parts them cleanly."""


def inset(top_m: float, base_m: float) -> tuple[float, float]:
    """Return the depths at which the curves of a slice are read.

    >>> inset(1.0, 2.0)
    (1.0011, 1.9989)
    """
    shift = min(INSET_M, (base_m - top_m) / 3)
    return top_m + shift, base_m - shift
