"""What to do about an empty window: each way out with the number that it takes, worked out on the bounds themselves."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor, inf, isfinite

from methodpick.mechanics.stress import WATER_KN_M3
from methodpick.plan.fluid.bounds import WORDS, Bounds, find_bounds, least_factors
from methodpick.plan.fluid.fluid_length import Place
from methodpick.plan.fluid.levels import FLUIDS, STEP_M
from methodpick.plan.fluid.levels_open import open_levels
from methodpick.plan.fluid.specification import Specified, is_salt, specified
from methodpick.plan.result import Remedy
from methodpick.unit_markup import mark

NAMES: Mapping[str, str] = {"water": "plain water", "polymer": "polymer fluid", "mineral": "mineral slurry"}
DOWN_TO_M = 0.01
"""A depth to stop at is found to this."""


def find_remedies(place: Place, bounds: Bounds, said: Specified) -> tuple[Remedy, ...]:
    """Return the ways out of an empty window in the order to try them: the level, another fluid, casing, the water, the depth."""
    found = [
        _level(place, bounds, said),
        *_fluids(place, bounds, said),
        _casing(place, bounds, said),
        _drained(place, bounds, said),
        _shorter(place, said),
    ]
    return tuple(one for one in found if one is not None)


def _sides(bounds: Bounds, said: Specified, level_m: float) -> tuple[float, float]:
    """Return both sides of the window at a level, the specification included."""
    return max(said.low_kg_m3, bounds.least(level_m)[0]), min(said.high_kg_m3, bounds.most(level_m)[0])


def _said(low: float, high: float) -> str:
    return f"{mark(low, 'kg/m3')} to {mark(high, 'kg/m3')}"


def _height(level_m: float) -> str:
    return f"{mark(-level_m, 'm')} above the ground" if level_m < 0 else f"{mark(level_m, 'm')} below the ground"


def _level(place: Place, bounds: Bounds, said: Specified) -> Remedy:
    """Raise the fluid to the lowest level that opens the window, or lower it to the highest one."""
    now = place.levels.fluid_m[said.fluid]
    span = open_levels(bounds, said.low_kg_m3, said.high_kg_m3, place.top_m)
    if span is None:
        return Remedy(
            "raise_level",
            False,
            "No fluid level opens the window: what a higher level gives the deep ground, the ground higher up does not take."
            if bounds.highs
            else "No fluid level opens the window.",
        )
    highest, lowest = span
    up = now > lowest
    level = max(floor(lowest / STEP_M + 1e-6) * STEP_M, highest) if up else highest
    low, high = _sides(bounds, said, level)
    stick_up = place.stick_up_for(level)
    text = (
        f"{'Raise' if up else 'Lower'} the fluid by {mark(abs(now - level), 'm')} to {_height(level)}: a stick-up of "
        f"{mark(stick_up, 'm')} over the drilling grade. The window is then {_said(low, high)}."
    )
    over = place.highest_m - level
    if up and over > 1e-6:
        text += f" That is {mark(over, 'm')} more than the highest practical stick-up holds: raise the platform by as much."
    rule = place.head_level(said.fluid)
    if not up and rule is not None and level > rule + 1e-6:
        text += f" It breaks the head rule, which asks for {_height(rule)}."
    return Remedy(
        "raise_level" if up else "lower_level",
        True,
        text,
        level_m=round(level, 3),
        change_m=round(abs(now - level), 3),
        stick_up_m=round(stick_up, 3),
        density_min_kg_m3=low,
        density_max_kg_m3=high,
    )


def _fluids(place: Place, bounds: Bounds, said: Specified) -> list[Remedy]:
    """Try the other fluids at their own levels."""
    found = []
    salt = is_salt(place.gatherer, place.limits)
    for fluid in FLUIDS:
        if fluid == said.fluid:
            continue
        other, level = specified(fluid, place.limits, salt=salt), place.levels.fluid_m[fluid]
        low, high = _sides(bounds, other, level)
        if low > high:
            continue
        text = f"Use {NAMES[fluid]}, level at {_height(level)}: its window is {_said(low, high)}."
        if fluid not in place.allowed:
            text += " The site file does not allow it: ask the engineer."
        if low > other.usual_kg_m3:
            text += f" At its usual {mark(other.usual_kg_m3, 'kg/m3')} it is too light; it has to be made or kept heavier."
        found.append(Remedy("other_fluid", True, text, level_m=level, fluid=fluid, density_min_kg_m3=low, density_max_kg_m3=high))
    return found


def _casing(place: Place, bounds: Bounds, said: Specified) -> Remedy:
    """Case down to the first layer base below which the window is open; the base lifts inside a casing as it does without one."""
    level, factors = place.levels.fluid_m[said.fluid], least_factors(place.limits)
    lifting = Bounds(tuple(one for one in bounds.lows if one.kind == "uplift"), ())
    if _sides(lifting, said, level)[0] > said.high_kg_m3:
        worst = lifting.least(level)[1]
        where = mark(worst.depth_m, "m") if worst is not None else ""
        return Remedy("case", False, f"Casing alone does not help: at {where} the base lifts inside it too, unless the level is raised.")
    bases = sorted({one.slice.stratum.base_m for one in place.pieces() if one.slice.stratum.base_m < place.base_m - 1e-6})
    for base in bases:
        rest = find_bounds(place.gatherer, place.judged, base, place.base_m, factors)
        low, high = _sides(Bounds(rest.lows + lifting.lows, rest.highs), said, level)
        if low <= high:
            text = (
                f"Case to {mark(base, 'm')}, the shoe kept ahead of the dig: what governs lies above. Below the casing the window "
                f"is {_said(low, high)}."
            )
            return Remedy("case", True, text, top_m=place.top_m, base_m=base, density_min_kg_m3=low, density_max_kg_m3=high)
    return Remedy(
        "case",
        True,
        f"Case the whole length to {mark(place.base_m, 'm')}, the shoe kept ahead of the dig and the level inside "
        "over the groundwater: no shorter casing opens the rest.",
        top_m=place.top_m,
        base_m=place.base_m,
    )


def _drained(place: Place, bounds: Bounds, said: Specified) -> Remedy | None:
    """Return the fall of the groundwater at which the greatest density allowed meets what the ground asks."""
    level = place.levels.fluid_m[said.fluid]
    fall, worst = 0.0, None
    for low in bounds.lows:
        over = low.density(level) - said.high_kg_m3
        if over <= 0:
            continue
        if low.relief <= 0 or not isfinite(over):
            return Remedy(
                "lower_groundwater",
                False,
                f"Lowering the groundwater does not help: {WORDS[low.kind]} at {mark(low.depth_m, 'm')} does not come from it.",
            )
        need = over * (low.pressure_kpa / low.density(level)) / (low.relief * WATER_KN_M3)
        if need > fall:
            fall, worst = need, low
    if worst is None or worst.groundwater_m is None:
        return None
    drained = Bounds(tuple(one.drained(fall) for one in bounds.lows), tuple(one.drained(fall) for one in bounds.highs))
    low_density, high_density = _sides(drained, said, level)
    opens = low_density <= high_density + 1e-6
    target = worst.groundwater_m + fall
    text = (
        f"Lower the groundwater behind it by {mark(fall, 'm')}, to {_height(target)}, by wells that an engineer designs and the owner "
        f"permits: {WORDS[worst.kind]} at {mark(worst.depth_m, 'm')} then asks for no more than {mark(said.high_kg_m3, 'kg/m3')}."
    )
    if not opens:
        text += " That alone does not open the window, for drained ground takes less pressure too."
    return Remedy(
        "lower_groundwater",
        opens,
        text,
        level_m=round(target, 3),
        change_m=round(fall, 3),
        base_m=worst.depth_m,
        density_min_kg_m3=low_density,
        density_max_kg_m3=high_density,
    )


def _shorter(place: Place, said: Specified) -> Remedy | None:
    """Return the depth down to which the window is open."""
    level, factors = place.levels.fluid_m[said.fluid], least_factors(place.limits)

    def window(base_m: float) -> tuple[float, float]:
        return _sides(find_bounds(place.gatherer, place.judged, place.top_m, base_m, factors), said, level)

    good, bad = place.top_m, place.base_m
    while bad - good > DOWN_TO_M:
        middle = (good + bad) / 2
        low, high = window(middle)
        good, bad = (middle, bad) if low <= high else (good, middle)
    if good - place.top_m < 0.5:
        return None
    stop = floor(good / DOWN_TO_M) * DOWN_TO_M
    low, high = window(stop)
    text = (
        f"Stop at {mark(stop, 'm')}, {mark(place.base_m - stop, 'm')} higher: down to there the window is {_said(low, high)}. Ask for "
        "a shorter shaft, or go on from there inside a casing."
    )
    return Remedy(
        "shorten",
        low <= high,
        text,
        change_m=round(place.base_m - stop, 3),
        base_m=round(stop, 3),
        density_min_kg_m3=low,
        density_max_kg_m3=min(high, inf),
    )
