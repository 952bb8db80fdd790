"""Fluid levels and stick-up: how high the fluid can and must stand, from the drilling grade and the heads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import ceil, floor, inf

from methodpick.errors import InputError, Problem
from methodpick.facts.aquifer import Aquifer
from methodpick.facts.curves import INSET_M, HoleFluid
from methodpick.facts.gather import Gatherer
from methodpick.facts.of_slice import WAY_PLANT
from methodpick.facts.sheet import FactSheet
from methodpick.facts.strata import run_of_class
from methodpick.ground.profile import Profile
from methodpick.ground.site import SiteConditions
from methodpick.mechanics.clay import clay_needed_pressure
from methodpick.mechanics.earth_pressure import hydrostatic, k0, least_horizontal_stress
from methodpick.mechanics.emptied_hole import plug_needed_pressure
from methodpick.mechanics.slurry import clay_opening_pressure, level_for_pressure
from methodpick.plan.checks.emptied_seal import seal_length
from methodpick.plan.demands.fluid_length import STEP_M
from methodpick.plan.result import HoleLevels
from methodpick.terms import COHESIVE, FLUIDS, GRANULAR
from methodpick.vocabulary.values import Choice

RAISE_STEP_M = 0.1
"""A platform is raised by whole steps of this."""
STARTER_WIDER_STEPS = 2
"""A starter is wider than the shaft by so many steps of casing, with room for a string in it."""
STARTER_STEP_M = 0.1
"""A starter is made deeper by this until the ground at its shoe holds the fluid."""


FREE_WATER = frozenset({"main", "covered", "perched", "below"})
"""Kinds of water that no lid keeps under pressure."""


def drilling_grade(site: SiteConditions, profile: Profile, limits: Mapping[str, float]) -> float:
    """Return the depth of the drilling grade below the ground, negative above it.

    Over water without a stated grade the platform stands 2 m over the highest water.
    """
    grade = site.drilling_grade
    if grade is not None and grade.above_ground_m is not None:
        return -grade.above_ground_m
    if grade is not None and grade.elevation_m is not None and profile.ground_elevation_m is not None:
        return profile.ground_elevation_m - grade.elevation_m
    if site.setting == "water":
        high = site.water_level.high_m if site.water_level and site.water_level.high_m is not None else 0.0
        return -(max(high, site.water_depth_m or 0.0) + limits["platform_above_water_m"])
    return 0.0


def find_levels(gatherer: Gatherer) -> HoleLevels:
    """Return the fluid levels that keep the head over every granular layer of the shaft, as far as the stick-up goes.

    They are a little higher where that alone likely holds the clay. Mineral slurry stands higher over water that was read under pressure,
    as far as the casing allows that stands for it anyway.
    Where the site forbids a starter on land, nothing carries a level above the drilling grade.
    """
    frame, limits = gatherer.frame, gatherer.frame.limits
    grade = drilling_grade(frame.site, frame.profile, limits) - frame.raised_m
    freeboard = limits["casing_over_fluid_m" if frame.site.setting == "water" else "freeboard_m"]
    if grade > frame.shaft.tip_m - limits["run_least_m"]:
        message = f"shaft {frame.shaft.id}: the drilling grade lies {grade:.2f} m below the ground, at or below the tip"
        raise InputError(
            Problem(message, expected=f"a grade above {frame.shaft.tip_m:g} m", hint="check site.drilling_grade, its sign and its datum")
        )
    carried = frame.site.starter_casing is not False or frame.site.setting == "water"
    highest = grade - limits["stick_up_max_m"] + freeboard if carried else grade
    levels: dict[str, float] = {}
    missing = 0.0
    for fluid in FLUIDS:
        wanted = _wanted_level(gatherer, fluid, grade + freeboard, highest)
        missing = max(missing, highest - wanted)
        levels[fluid] = round(max(wanted, highest) / STEP_M - 0.499) * STEP_M
    stick_up = round(max(limits["stick_up_m"], grade - min(levels.values()) + freeboard), 3)
    if frame.site.setting == "land" and carried:
        shoe = _starter_shoes(gatherer, levels, grade)[0]
        levels["mineral"] = _level_over_pressed_water(gatherer, levels["mineral"], shoe, grade - stick_up + freeboard)
    rising = any(water.may_rise_over(grade) for water in gatherer.aquifers)
    starter, without_fluid = _starter_shoes(gatherer, levels, grade)
    return HoleLevels(
        grade_m=grade,
        fluid_m={fluid: round(level, 3) for fluid, level in levels.items()},
        stick_up_m=stick_up,
        starter_base_m=starter,
        head_missing_m=max(0.0, round(missing, 3)),
        dry_stick_up_m=stick_up if rising else limits["stick_up_m"],
        raised_m=frame.raised_m,
        dry_starter_base_m=None if rising else without_fluid,
    )


def _starter_shoes(gatherer: Gatherer, levels: Mapping[str, float], grade_m: float) -> tuple[float, float | None]:
    """Return the depth of the starter's shoe for all fluids, and that for a hole that stays dry where it is above the other."""
    floor, top = max(0.0, grade_m), min(levels.values())
    lid = _lid_base(gatherer, grade_m, floor)
    starter = min(starter_base(gatherer, floor - top, floor), lid)
    if starter > floor:
        starter = _shoe_sealed_in_lid(gatherer, starter, grade_m, lid)
    if starter > floor and top < floor:
        starter = _shoe_that_holds(gatherer, levels, starter, floor, lid)
    without_fluid = starter_base(gatherer, 0.0, floor)
    return starter, without_fluid if floor < without_fluid < starter else None


def platform_raise(site: SiteConditions, head_missing_m: float, limits: Mapping[str, float]) -> float:
    """Return the fill in m that raises a platform by the head that is missing without it, in whole steps to the most; 0 off land."""
    if site.setting != "land":
        return 0.0
    whole_steps = ceil(head_missing_m / RAISE_STEP_M - 1e-6)
    return min(limits["platform_raise_most_m"], round(whole_steps * RAISE_STEP_M, 3))


def chosen_raise(site: SiteConditions, head_missing_m: float, limits: Mapping[str, float]) -> float:
    """Return the fill in m that a plan may choose by itself: none where the site file states its drilling grade."""
    return 0.0 if site.drilling_grade is not None else platform_raise(site, head_missing_m, limits)


def _level_over_pressed_water(gatherer: Gatherer, level_m: float, shoe_m: float, highest_m: float) -> float:
    """Return the level of mineral slurry that holds water read under pressure at its highest, by the least head and over the base.

    Such water meets the hole at once where its lid is pierced, when nobody has time to raise a level. The slurry stands no lower than
    ``level_m``, not over ``highest_m``, to which the casing lets it stand, nor so high that the ground at the starter's shoe or at the
    top of a layer below it may open.
    """
    limits, tip_m, density = gatherer.frame.limits, gatherer.frame.shaft.tip_m, gatherer.frame.limits["mineral_density_kg_m3"]
    pressed = [water for water in gatherer.aquifers if water.read and water.kind not in FREE_WATER and water.top_m < tip_m]
    if not pressed:
        return level_m
    held_down = _level_against_uplift(gatherer, density, limits["uplift_factor_least"], pressed)
    asked_m = min(held_down, *(water.level_m.low - limits["fluid_head_least_m"] for water in pressed))
    tops = [stratum.top_m + INSET_M for stratum in gatherer.strata if stratum.logged and shoe_m < stratum.top_m < tip_m]
    borne_m = max(level_for_pressure(opening_least_kpa(gatherer, depth), depth, density) for depth in (shoe_m, *tops))
    steps = max(floor(asked_m / STEP_M + 1e-6), ceil(max(highest_m, borne_m) / STEP_M - 1e-6))
    return min(level_m, steps * STEP_M)


def _levels_for_head(gatherer: Gatherer, head_m: float) -> list[float]:
    """Return the levels that keep a head over the water of every granular layer, and over every strike or perched water."""
    tip = gatherer.frame.shaft.tip_m
    levels = []
    for stratum, ground in zip(gatherer.strata, gatherer.grounds, strict=True):
        if stratum.top_m < tip and (stratum.soils & GRANULAR or ground.aquifer.kind not in {"main", "covered"}):
            water = ground.aquifer.level_m
            if water.low < min(stratum.base_m, tip):
                levels.append((water.likely if water.likely is not None else water.low) - head_m)
    return levels


def _level_against_uplift(gatherer: Gatherer, density_kg_m3: float, factor: float, at_highest: Iterable[Aquifer] = ()) -> float:
    """Return the level at which a fluid holds down the base over every aquifer that the hole comes near; infinitely deep without one.

    The likely level of the water counts; only that of the aquifers that are given ``at_highest``, where they are, at its highest.
    """
    tip, curves = gatherer.frame.shaft.tip_m, gatherer.curves
    level, highest = inf, tuple(at_highest)
    for aquifer in highest or gatherer.aquifers:
        base = min(tip, aquifer.top_m - INSET_M)
        for weight, top, water in curves.lids(base):
            rises_to = water.low if highest else water.likely
            if top == aquifer.top_m and rises_to is not None and rises_to < top:
                needed = plug_needed_pressure(hydrostatic(top - rises_to), weight[1], factor)
                if needed > 0:
                    level = min(level, level_for_pressure(needed, base, density_kg_m3))
    return level


def _wanted_level(gatherer: Gatherer, fluid: str, usual_m: float, highest_m: float) -> float:
    """Return the level of a fluid that the ground asks for, the usual one at least; a little more than that alone for a clay wall."""
    limits = gatherer.frame.limits
    density = limits[f"{fluid}_density_kg_m3"]
    held_down = _level_against_uplift(gatherer, density, limits["uplift_factor_least"])
    wanted = min([usual_m, held_down, *_levels_for_head(gatherer, limits[f"fluid_head_{fluid}_m"])])
    for_clay = _level_for_clay_walls(gatherer, density)
    is_near = highest_m <= for_clay and wanted - limits["level_for_clay_m"] <= for_clay
    return for_clay if is_near and for_clay < wanted else wanted


def _level_for_clay_walls(gatherer: Gatherer, density_kg_m3: float) -> float:
    """Return the level at which a fluid likely holds every clay wall of the shaft; infinitely deep without clay of known strength."""
    tip, curves, level = gatherer.frame.shaft.tip_m, gatherer.curves, inf
    for stratum, ground in zip(gatherer.strata, gatherer.grounds, strict=True):
        base, su = min(stratum.base_m, tip), ground.su
        if stratum.top_m >= tip or not stratum.logged or stratum.likely not in COHESIVE or su is None or su.likely is None:
            continue
        total = curves.total(base)[1] + curves.surcharge(base).likely_or_middle
        needed = clay_needed_pressure(total, su.likely, curves.collapse(base)[0])
        if needed > 0:
            level = min(level, level_for_pressure(needed, base, density_kg_m3))
    return level


def _lid_base(gatherer: Gatherer, grade_m: float, floor_m: float) -> float:
    """Return how deep a starter goes at most in the lid over water that rises above the drilling grade; infinitely deep without such water.

    Through the lid, the water below would pipe up outside the starter before anything holds it. A lid that is thinner than what is left
    under the shoe carries no starter, and bounds none.
    """
    left = gatherer.frame.limits["lid_under_starter_m"]
    rising = (
        aquifer.top_m - left
        for aquifer in gatherer.aquifers
        if aquifer.kind not in {"main", "perched"} and aquifer.level_m.likely is not None and aquifer.level_m.likely < min(0.0, grade_m)
    )
    return round(min((depth for depth in rising if depth > floor_m + left), default=inf), 3)


def _shoe_sealed_in_lid(gatherer: Gatherer, start_m: float, grade_m: float, lid_m: float) -> float:
    """Return the depth of a starter that can be pushed far enough into a clay lid to seal it over water that rises above the grade.

    It is no deeper than the lid lets it and a starter goes; in other ground, and where no water rises, the starter stays as it is.
    """
    shaft, limits, floor_m = gatherer.frame.shaft, gatherer.frame.limits, max(0.0, grade_m)
    rising = [water.level_m.low for water in gatherer.aquifers if water.may_rise_over(grade_m) and start_m < water.top_m < shaft.tip_m]
    at_shoe = next((stratum for stratum in gatherer.strata if start_m <= stratum.base_m + INSET_M), None)
    if not rising or at_shoe is None or at_shoe.likely not in COHESIVE:
        return start_m
    top_m, base_m = run_of_class(gatherer.strata, start_m)
    outside_m = shaft.diameter_m + STARTER_WIDER_STEPS * limits["casing_step_m"]
    sealed_m = max(top_m, floor_m) + seal_length(grade_m - min(rising), outside_m, limits)
    return max(start_m, round(min(sealed_m, lid_m, base_m, _furthest_starter(gatherer, floor_m)), 3))


def _furthest_starter(gatherer: Gatherer, floor_m: float) -> float:
    limits, tip_m = gatherer.frame.limits, gatherer.frame.shaft.tip_m
    return floor_m + min(limits["starter_fluid_max_m"], (tip_m - floor_m) * limits["starter_tip_share"])


def _shoe_that_holds(gatherer: Gatherer, levels: Mapping[str, float], start_m: float, floor_m: float, lid_m: float) -> float:
    """Return the depth from a start down at which the ground at the starter's shoe, and the top of every layer below it, holds the fluid.

    It is sought as far as a starter goes, and no deeper than the lid over rising water lets it.
    """
    limits, depth = gatherer.frame.limits, start_m
    fluids = [HoleFluid(limits[f"{fluid}_density_kg_m3"], level) for fluid, level in levels.items()]
    set_m = min(_deepest_set(gatherer, floor_m), _rock_from_m(gatherer))
    deepest = min(_furthest_starter(gatherer, floor_m), lid_m, max(start_m, set_m))
    tops = [stratum.top_m + INSET_M for stratum in gatherer.strata if stratum.logged and start_m < stratum.top_m < deepest]

    def opens(depth_m: float) -> bool:
        return any(fluid.pressure(depth_m) > opening_kpa(gatherer, depth_m) for fluid in fluids)

    while depth < deepest and (opens(depth) or any(opens(top) for top in tops if top > depth)):
        depth = min(round(depth + STARTER_STEP_M, 3), deepest)
    return depth


def _rock_from_m(gatherer: Gatherer) -> float:
    """Return the depth from which the ground is rock for certain; infinitely deep without such."""
    return next((stratum.top_m for stratum in gatherer.strata if stratum.logged and stratum.soils == {"rock"}), inf)


def _deepest_set(gatherer: Gatherer, floor_m: float) -> float:
    """Return how deep a starter can be set: to the first ground below the usual length that neither stands open nor lets a casing in."""
    usual_m = floor_m + gatherer.frame.limits["starter_max_m"]
    for stratum, sheet in zip(gatherer.strata, gatherer.sheets, strict=True):
        if stratum.base_m > usual_m and stratum.soils & GRANULAR and not _lets_casing_in(gatherer, sheet):
            return max(usual_m, stratum.top_m)
    return inf


def _lets_casing_in(gatherer: Gatherer, sheet: FactSheet) -> bool:
    """Return whether casing plant that is likely at hand likely gets a casing through a layer."""
    table = gatherer.frame.tables["penetration"]
    found = table.look_up({name: sheet.value(name) for name in table.inputs})
    through = {way: found.get(f"penetrable_{way}") for way in WAY_PLANT}
    passed = [way for way, goes in through.items() if isinstance(goes, Choice) and goes.likely_yes]
    return any(gatherer.base.choice(plant).likely_yes for way in passed for plant in WAY_PLANT[way])


def opening_kpa(gatherer: Gatherer, depth_m: float) -> float:
    """Return the pressure at which the ground at a depth may open, at the likely values.

    Where no level is likelier the lowest water is taken: it gives the least pressure.
    """
    ground, curves = gatherer.curves.at(depth_m), gatherer.curves
    pores, phi, su = curves.pore(ground, depth_m), ground.phi, ground.su
    pore = pores[0] if pores[1] is None else pores[1]
    friction, strength = None if phi is None else phi.likely, None if su is None else su.likely
    return _opening(gatherer, pore, curves.total(depth_m)[1], friction, strength)


def opening_least_kpa(gatherer: Gatherer, depth_m: float) -> float:
    """Return the pressure at which the ground at a depth may open, with one value after the other at its adverse end."""
    ground, curves = gatherer.curves.at(depth_m), gatherer.curves
    (least, pore, _), (light, total, _) = curves.pore(ground, depth_m), curves.total(depth_m)
    pore = least if pore is None else pore
    phi, su = ground.phi, ground.su
    friction, strength = None if phi is None else phi.likely, None if su is None else su.likely
    steepest = None if phi is None or friction is None else phi.high
    weakest = None if su is None or strength is None else su.low
    return min(
        _opening(gatherer, pore, total, friction, weakest),
        _opening(gatherer, pore, total, steepest, strength),
        _opening(gatherer, pore, light, friction, strength),
        _opening(gatherer, least, total, friction, strength),
    )


def _opening(gatherer: Gatherer, pore_kpa: float, total_kpa: float, friction_deg: float | None, strength_kpa: float | None) -> float:
    """Return the pressure at which ground opens under a pore pressure and a total stress, by its friction and, of clay, its strength."""
    limits, effective = gatherer.frame.limits, max(0.0, total_kpa - pore_kpa)
    rest = limits["at_rest_unknown"] if friction_deg is None else k0(friction_deg)
    if strength_kpa is None:
        return least_horizontal_stress(effective, pore_kpa, rest + limits["opening_stress_share"])
    return clay_opening_pressure(least_horizontal_stress(effective, pore_kpa, rest), strength_kpa, limits["opening_su_share"])


def starter_base(gatherer: Gatherer, fluid_above_m: float, floor_m: float) -> float:
    """Return the depth of the starter casing: through loose top ground, 5 to 10 ft or one diameter; none, and so the floor, on rock.

    It stands on rock that lies deeper, and goes into it only where the ground above would run in under its shoe.

    ``floor_m`` is the depth that is drilled from: the ground, or the floor of a pit, from which a starter is counted.
    Over water there is none either: a casing from the platform into the bottom is the first string.
    It stands at least as deep as its fluid stands above the floor, so that the fluid does not run out under it.
    """
    site, shaft, limits = gatherer.frame.site, gatherer.frame.shaft, gatherer.frame.limits
    if site.starter_casing is False or site.setting == "water":
        return floor_m
    below = [stratum for stratum in gatherer.strata if stratum.base_m > floor_m] or gatherer.strata[-1:]
    if below[0].logged and below[0].soils == {"rock"}:
        return floor_m
    least, most, room = limits["starter_min_m"], limits["starter_max_m"], (shaft.tip_m - floor_m) * limits["starter_tip_share"]
    length = min(max(least, shaft.diameter_m, fluid_above_m), most)
    for stratum in below:
        loose = bool(stratum.soils & GRANULAR) or stratum.layer.origin == "fill" or stratum.words.origin == "fill"
        if not loose:
            into = max(stratum.top_m - floor_m, 0.0) + limits["starter_into_m"]
            if length < into <= most:
                length = into
            if stratum.soils != {"rock"}:
                on_rock_m = _rock_from_m(gatherer) - floor_m
                length = 0.0 if stratum is below[0] and on_rock_m < limits["starter_into_m"] else min(length, on_rock_m)
            break
        if stratum.base_m - floor_m > most:
            length = max(length, most if room > most else length)
            break
    return round(floor_m + min(length, room), 3)
