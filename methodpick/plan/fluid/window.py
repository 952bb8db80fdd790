"""A length that fluid holds: the window that ground and specification leave it, the density that is aimed at, and the ways out of none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from copy import copy
from dataclasses import replace
from functools import cached_property
from math import floor, inf, isfinite

from methodpick.mechanics.earth_pressure import WATER_KN_M3
from methodpick.plan.demands.bounds import KeptBounds, PressureBounds, least_factors
from methodpick.plan.demands.fluid_length import STEP_M, FluidLength, SpecifiedDensity
from methodpick.plan.demands.window_rows import GroundWindow
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.result import DensityAt, HoleLevels, Remedy, Slurry
from methodpick.terms import FLUIDS, Fluid
from methodpick.unit_markup import mark


class HeldLength:
    """A length held by fluid: its window at the planned level at once, for the proofs; the rest of its record when that is asked for.

    ``kept`` are the bounds that other lengths of the same ground have found. ``shared_kg_m3`` are the densities that other lengths under
    the same fluid leave open too, where they leave any.
    """

    def __init__(
        self, ground: JudgedGround, fluid: Fluid, ends: tuple[float, float], levels: HoleLevels, kept: KeptBounds | None = None
    ) -> None:
        self.fluid, self.level_m = fluid, levels.fluid_m[fluid]
        self.shared_kg_m3: tuple[float, float] | None = None
        self.top_m, self.base_m = ends
        self.window = GroundWindow(ground, fluid, ends, levels, kept)

    @property
    def density_min_kg_m3(self) -> float:
        """Return the least density that the ground and the specification ask for."""
        return self.window.at_level.least

    @property
    def density_target_kg_m3(self) -> float | None:
        """Return the density that is aimed at, the same in every length under the fluid where one will do; None in an empty window."""
        if self.window.is_empty:
            return None
        least, most = self.shared_kg_m3 or self._ends
        return max(least, min(most, self.window.specified.usual_kg_m3))

    @property
    def _ends(self) -> tuple[float, float]:
        return self.window.at_level.least, self.window.at_level.most

    def sharing(self, lengths: Iterable[HeldLength]) -> HeldLength:
        """Return the length with a density that every one of several lengths under the fluid takes, itself where none does."""
        windows = [each.window.at_level for each in lengths]
        least, most = max(window.least for window in windows), min(window.most for window in windows)
        if least > most or (least, most) == self._ends:
            return self
        shared = copy(self)
        shared.shared_kg_m3 = least, most
        shared.__dict__.pop("slurry", None)
        return shared

    @property
    def by_depth(self) -> tuple[DensityAt, ...]:
        """Return the window by depth."""
        return self.window.by_depth

    @cached_property
    def slurry(self) -> Slurry:
        """Return the window as a function of the fluid level, with the way out where it is empty."""
        window, level = self.window, self.level_m
        low, high = window.specified.low_kg_m3, window.specified.high_kg_m3
        opens = window.least.open_levels(low, high, window.length.top_m) if window.is_empty else None
        return Slurry(
            fluid=self.fluid,
            top_m=self.top_m,
            base_m=self.base_m,
            level_m=level,
            head_m=window.head_m,
            density_min_kg_m3=self.density_min_kg_m3,
            density_max_kg_m3=window.at_level.most,
            density_target_kg_m3=self.density_target_kg_m3,
            governed_by=window.governed_by,
            level_that_opens_m=opens[1] if opens is not None and opens[1] < level else None,
            wall_spread=window.wall_spread,
            by_depth=self.by_depth,
            density_wanted_kg_m3=window.density_wanted_kg_m3,
            levels=window.levels,
            needed=window.needed,
            remedies=find_remedies(window.length, window.least, window.specified) if window.is_empty else (),
        )


# ---- What to do about an empty window: each way out with the number that it takes, worked out on the bounds themselves


FLUID_NAMES: Mapping[str, str] = {"water": "plain water", "polymer": "polymer fluid", "mineral": "mineral slurry"}
DEPTH_STEP_M = 0.01
"""A depth to stop at is found to this."""


def find_remedies(length: FluidLength, bounds: PressureBounds, specified: SpecifiedDensity) -> tuple[Remedy, ...]:
    """Return the ways out of an empty window in the order to try them: the level, another fluid, casing, the water, the depth."""
    found = [
        _move_level(length, bounds, specified),
        *_other_fluids(length, bounds, specified),
        _case(length, bounds, specified),
        _lower_groundwater(length, bounds, specified),
        _shorten(length, specified),
    ]
    return tuple(remedy for remedy in found if remedy is not None)


def _window(bounds: PressureBounds, specified: SpecifiedDensity, level_m: float) -> tuple[float, float]:
    """Return both sides of the window at a level, the specification included."""
    return max(specified.low_kg_m3, bounds.least(level_m)[0]), min(specified.high_kg_m3, bounds.most(level_m)[0])


def _window_words(low: float, high: float) -> str:
    return f"{mark(low, 'kg/m3')} to {mark(high, 'kg/m3')}"


def _height_words(level_m: float) -> str:
    return f"{mark(-level_m, 'm')} above the ground" if level_m < 0 else f"{mark(level_m, 'm')} below the ground"


def _move_level(length: FluidLength, bounds: PressureBounds, specified: SpecifiedDensity) -> Remedy:
    """Raise the fluid to the lowest level that opens the window, or lower it to the highest one."""
    now = length.levels.fluid_m[specified.fluid]
    opens = bounds.open_levels(specified.low_kg_m3, specified.high_kg_m3, length.top_m)
    if opens is None:
        why = ": what a higher level gives the deep ground, the ground higher up does not take." if bounds.highs else "."
        return Remedy("raise_level", opens=False, text=f"No fluid level opens the window{why}")
    highest, lowest = opens
    up = now > lowest
    lowered_to = highest if isfinite(highest) else lowest
    level = max(floor(lowest / STEP_M + 1e-6) * STEP_M, highest) if up else lowered_to
    low, high = _window(bounds, specified, level)
    stick_up = length.stick_up_for(level)
    text = (
        f"{'Raise' if up else 'Lower'} the fluid by {mark(abs(now - level), 'm')} to {_height_words(level)}: a stick-up of "
        f"{mark(stick_up, 'm')} over the drilling grade. The window is then {_window_words(low, high)}."
    )
    over = length.highest_m - level
    if up and over > 1e-6:
        text += f" That is {mark(over, 'm')} more than the highest practical stick-up holds: raise the platform by as much."
    rule = length.head_level(specified.fluid)
    if not up and rule is not None and level > rule + 1e-6:
        text += f" It breaks the head rule, which asks for {_height_words(rule)}."
    return Remedy(
        "raise_level" if up else "lower_level",
        opens=True,
        text=text,
        level_m=round(level, 3),
        change_m=round(abs(now - level), 3),
        stick_up_m=round(stick_up, 3),
        density_min_kg_m3=low,
        density_max_kg_m3=high,
    )


def _other_fluids(length: FluidLength, bounds: PressureBounds, specified: SpecifiedDensity) -> list[Remedy]:
    """Try the other fluids at their own levels."""
    found = []
    for fluid in FLUIDS:
        if fluid == specified.fluid:
            continue
        other, level = length.specified(fluid), length.levels.fluid_m[fluid]
        low, high = _window(bounds, other, level)
        if low > high:
            continue
        text = f"Use {FLUID_NAMES[fluid]}, level at {_height_words(level)}: its window is {_window_words(low, high)}."
        if fluid not in length.allowed:
            text += " The site file does not allow it: ask the engineer."
        if low > other.usual_kg_m3:
            text += f" At its usual {mark(other.usual_kg_m3, 'kg/m3')} it is too light; it has to be made or kept heavier."
        found.append(
            Remedy("other_fluid", opens=True, text=text, level_m=level, fluid=fluid, density_min_kg_m3=low, density_max_kg_m3=high)
        )
    return found


def _case(length: FluidLength, bounds: PressureBounds, specified: SpecifiedDensity) -> Remedy:
    """Case down to the first layer base below which the window is open; the base lifts inside a casing as it does without one."""
    level, factors = length.levels.fluid_m[specified.fluid], least_factors(length.limits)
    lifting = PressureBounds(tuple(low for low in bounds.lows if low.kind == "uplift"), ())
    if _window(lifting, specified, level)[0] > specified.high_kg_m3:
        worst = lifting.least(level)[1]
        where = mark(worst.depth_m, "m") if worst is not None else ""
        text = f"Casing alone does not help: at {where} the base lifts inside it too, unless the level is raised."
        return Remedy("case", opens=False, text=text)
    layers = {judged.slice.stratum.base_m for judged in length.slices()}
    remedy = Remedy("case", opens=True, text="", top_m=length.top_m)
    for base in sorted(base for base in layers if base < length.base_m - 1e-6):
        rest = length.bounds(base, length.base_m, factors)
        low, high = _window(PressureBounds(rest.lows + lifting.lows, rest.highs), specified, level)
        if low <= high:
            text = (
                f"Case to {mark(base, 'm')}, the shoe kept ahead of the dig: what governs lies above. Below the casing the window "
                f"is {_window_words(low, high)}."
            )
            return replace(remedy, text=text, base_m=base, density_min_kg_m3=low, density_max_kg_m3=high)
    text = (
        f"Case the whole length to {mark(length.base_m, 'm')}, the shoe kept ahead of the dig and the level inside "
        "over the groundwater: no shorter casing opens the rest."
    )
    return replace(remedy, text=text, base_m=length.base_m)


def _lower_groundwater(length: FluidLength, bounds: PressureBounds, specified: SpecifiedDensity) -> Remedy | None:
    """Return how far the groundwater must fall until the greatest density allowed meets what the ground asks."""
    level = length.levels.fluid_m[specified.fluid]
    fall, worst = 0.0, None
    for low in bounds.lows:
        over = low.density(level) - specified.high_kg_m3
        if over <= 0:
            continue
        if low.relief <= 0 or not isfinite(over):
            text = f"Lowering the groundwater does not help: {low.words} does not come from it."
            return Remedy("lower_groundwater", opens=False, text=text)
        need = over * (low.pressure_kpa / low.density(level)) / (low.relief * WATER_KN_M3)
        if need > fall:
            fall, worst = need, low
    if worst is None or worst.groundwater_m is None:
        return None
    low_density, high_density = _window(bounds.drained(fall), specified, level)
    opens = low_density <= high_density + 1e-6
    target = worst.groundwater_m + fall
    text = (
        f"Lower the groundwater behind it by {mark(fall, 'm')}, to {_height_words(target)}, by wells that an engineer designs and the "
        f"owner permits: {worst.words} then asks for no more than {mark(specified.high_kg_m3, 'kg/m3')}."
    )
    if not opens:
        text += " That alone does not open the window, for drained ground takes less pressure too."
    return Remedy(
        "lower_groundwater",
        opens=opens,
        text=text,
        level_m=round(target, 3),
        change_m=round(fall, 3),
        base_m=worst.depth_m,
        density_min_kg_m3=low_density,
        density_max_kg_m3=high_density,
    )


def _shorten(length: FluidLength, specified: SpecifiedDensity) -> Remedy | None:
    """Return the depth down to which the window is open."""
    level, factors = length.levels.fluid_m[specified.fluid], least_factors(length.limits)

    def window(base_m: float) -> tuple[float, float]:
        return _window(length.bounds(length.top_m, base_m, factors), specified, level)

    good, bad = length.top_m, length.base_m
    while bad - good > DEPTH_STEP_M:
        middle = (good + bad) / 2
        low, high = window(middle)
        good, bad = (middle, bad) if low <= high else (good, middle)
    if good - length.top_m < 0.5:
        return None
    stop = floor(good / DEPTH_STEP_M) * DEPTH_STEP_M
    low, high = window(stop)
    text = (
        f"Stop at {mark(stop, 'm')}, {mark(length.base_m - stop, 'm')} higher: down to there the window is {_window_words(low, high)}. "
        "Ask for a shorter shaft, or go on from there inside a casing."
    )
    return Remedy(
        "shorten",
        opens=low <= high,
        text=text,
        change_m=round(length.base_m - stop, 3),
        base_m=round(stop, 3),
        density_min_kg_m3=low,
        density_max_kg_m3=min(high, inf),
    )
