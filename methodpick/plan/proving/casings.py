"""The proofs of the casings of a way and of the plant that turns, pushes and pulls them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import pi

from methodpick.facts.aquifer import highest_rising
from methodpick.ground.site import Equipment
from methodpick.plan.checks.casing_wall import CasingWallFacts, check_casing_wall
from methodpick.plan.checks.clearance import ClearanceFacts, check_clearance
from methodpick.plan.checks.crowd import CrowdFacts, check_crowd
from methodpick.plan.checks.dry_sand import UnsealedDryFacts, check_unsealed_dry, clear_below_m
from methodpick.plan.checks.emptied_seal import EmptiedSealFacts, check_emptied_seal
from methodpick.plan.checks.inputs import Contact, ProvedPlace, multiplied
from methodpick.plan.checks.reach import CasingReachFacts, KellyReachFacts, check_casing_reach, check_kelly_reach
from methodpick.plan.checks.torque import TorqueFacts, check_torque
from methodpick.plan.checks.water_seat import WaterSeatFacts, check_water_seat
from methodpick.plan.demands.ground_on_casing import (
    TouchingLength,
    eased_friction,
    full_friction,
    hours_with_nights,
    set_up_share,
    touching_lengths,
    values_after,
)
from methodpick.plan.judging.planning_input import is_casing_outside
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer, su_of
from methodpick.plan.result import Casing
from methodpick.plan.result.checks import Check
from methodpick.terms import COHESIVE, FLUIDS, GRANULAR, GRAVEL, ROCK, CasingWay
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span, point

# ---- The proofs of the casing plant: the torque that turns a casing, the crowd that pushes it, the machine that takes it, vibration


TURNED: frozenset[CasingWay] = frozenset({"twisted", "oscillated"})
HARD = ROCK | {"intermediate", "cobbles"}
"""Ground that the teeth of a shoe cut rather than dig."""
HALF_TO_TWICE = Span(0.5, 2.0, 1.0)


def prove_plant(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proof of the kelly, and those of torque and crowd of every casing that is turned or pushed into undrilled ground."""
    yield from ground.prove(check_kelly_reach, _kelly(ground, way))
    for casing in way.casings:
        if casing.way in TURNED:
            yield from ground.prove(check_torque, _torque(ground, way, casing, casing.way))
        elif casing.way is None and casing.advanced_m > TOUCH_M:
            yield from ground.prove(check_crowd, _crowd(ground, way, casing))


def _kelly(ground: GroundFacts, way: BuiltWay) -> KellyReachFacts:
    top = min((casing.top_m for casing in way.casings), default=ground.levels.grade_m)
    named = ground.site.site.equipment.kelly_m
    place = ProvedPlace(None, 0.0, 0.0)
    return KellyReachFacts(place, min(top, ground.levels.grade_m), ground.shaft.tip_m, None if named is None else point(named))


def of_class(ground: GroundFacts, limit: Limit) -> Span:
    """Return what machines of the class that is usual are good for, about its middle, where the site names none."""
    share = ground.limits["plant_class_share"].value
    return Span(limit.value * (1.0 - share), limit.value * (1.0 + share), limit.value)


def widest_casing(ground: GroundFacts, way: CasingWay) -> Span | None:
    """Return the widest casing that the machine of a way takes: its own, else of its class; None where no class has a limit."""
    equipment = ground.site.site.equipment
    known = {"twisted": equipment.rig_casing_m, "oscillated": equipment.oscillator_casing_m}.get(way, equipment.vibrator_casing_m)
    if known is not None:
        return point(known)
    return point(ground.limits[f"casing_{way}_m"].value) if way in TURNED else None


def rated_torque(ground: GroundFacts, way: CasingWay) -> Span:
    """Return the torque in kNm that the machine of a way that turns casing is rated for."""
    equipment: Equipment = ground.site.site.equipment
    known = equipment.rig_torque_knm if way == "twisted" else equipment.oscillator_torque_knm
    return of_class(ground, ground.limits[f"torque_{way}_knm"]) if known is None else point(known)


def contacts(ground: GroundFacts, casing: Casing, touching: Sequence[TouchingLength], hours: float) -> tuple[Contact, ...]:
    """Return the lengths that the ground touches, with their friction after the hours that a casing stood."""
    moving = point(ground.limits["moving_share"].value)
    found: list[Contact] = []
    for length in touching:
        values = values_after(length, hours)
        static = eased_friction(full_friction(ground.ground, length, values), casing.way, ground.ground.limits)
        found.append(Contact(length.length_m, static, multiplied(static, moving), set_up_share(ground.ground, values)))
    return tuple(found)


def _torque(ground: GroundFacts, way: BuiltWay, casing: Casing, how: CasingWay) -> TorqueFacts:
    stages = [stage for stage in way.stages if stage.action == "advance_casing" and stage.base_m <= casing.base_m + TOUCH_M]
    shift = ground.site.site.schedule.shift_hours or ground.limits["shift_h"].value
    hours = hours_with_nights(sum(stage.hours or 0.0 for stage in stages if stage.top_m >= casing.predrill_base_m - TOUCH_M), shift)
    touching = touching_lengths(casing, way.casings, ground.judged)
    outside = contacts(ground, casing, touching, hours)
    return TorqueFacts(
        place=way.setting_place(casing),
        outside_diameter_m=casing.outside_diameter_m,
        contacts=outside,
        shoe_kn_m=_shoe_torque(ground, casing, touching),
        inside_kn_m=_inside_torque(ground, casing, outside),
        rated_kn_m=rated_torque(ground, how),
    )


def _shoe_torque(ground: GroundFacts, casing: Casing, touching: Sequence[TouchingLength]) -> Span:
    """Return the torque of the teeth in the hardest ground that the shoe is likely to go through."""
    hard = any(answer(length.judged, "soil").likely in HARD for length in touching if length.judged.base_m > casing.dug_m + TOUCH_M)
    force = ground.limits["shoe_cut_hard_kn_m" if hard else "shoe_cut_soil_kn_m"].value
    return multiplied(point(force * pi * casing.outside_diameter_m**2 / 2.0), HALF_TO_TWICE)


def _inside_torque(ground: GroundFacts, casing: Casing, outside: Sequence[Contact]) -> Span:
    """Return the torque of the plug of soil that is kept in the casing: as long as its lead, with the friction at its shoe."""
    if not outside or outside[-1].moving_kpa is None:
        return point(0.0)
    lead = ground.limits["shoe_lead_diameters"].value * casing.outside_diameter_m
    return multiplied(outside[-1].moving_kpa, point(lead * pi * casing.inside_m**2 / 2.0))


def _crowd(ground: GroundFacts, way: BuiltWay, casing: Casing) -> CrowdFacts:
    touching = touching_lengths(casing, way.casings, ground.judged)
    last = touching[-1].judged if touching else None
    strength = None if last is None else last.slice.ground.su
    steel = pi * casing.outside_diameter_m * casing.wall_m
    shoe = point(0.0)
    if strength is not None and last is not None and last.slice.stratum.likely in COHESIVE:
        shoe = multiplied(Span(strength.low, strength.high, strength.likely_or_middle), point(9.0 * steel))
    named = ground.site.site.equipment.rig_crowd_kn
    return CrowdFacts(
        place=way.setting_place(casing),
        outside_diameter_m=casing.outside_diameter_m,
        mass_kg=casing.mass_kg,
        contacts=contacts(ground, casing, touching, 0.0),
        shoe_kn=shoe,
        crowd_kn=of_class(ground, ground.limits["crowd_kn"]) if named is None else point(named),
    )


# ---- The proofs of the casings of a way: seal, seat, wall, clearance, reach


def prove_casings(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of every casing."""
    for place, casing in enumerate(way.casings):
        inner = way.casings[place + 1] if place + 1 < len(way.casings) else None
        yield from _fit(ground, way, casing, inner)
    for casing in way.strings:
        yield from _seat(ground, way, casing)
        if casing.way is not None:
            facts = CasingReachFacts(
                place=way.setting_place(casing),
                way=casing.way,
                buried_m=_buried_m(casing),
                outside_diameter_m=casing.outside_diameter_m,
                machine_diameter_m=widest_casing(ground, casing.way),
            )
            yield from ground.prove(check_casing_reach, facts)


def _stands_in_fluid(way: BuiltWay, casing: Casing) -> bool:
    """Return whether a casing is set in a full hole and its shoe pushed in below that: fluid stands as high around it as in it."""
    above_m = casing.predrill_base_m
    drilled = (stage for stage in way.opening_stages() if stage.top_m < above_m - TOUCH_M and stage.base_m >= above_m - TOUCH_M)
    return casing.way is None and casing.advanced_m > TOUCH_M and any(stage.state in FLUIDS for stage in drilled)


def _unsealed(ground: GroundFacts, casing: Casing, place: ProvedPlace) -> UnsealedDryFacts:
    """Return what a casing that is dry without a seal hangs on: the waters of all ground that reaches into the length kept clear."""
    diameter, limits = ground.shaft.diameter_m, ground.book.values
    clear = clear_below_m(casing.base_m, diameter, limits["unsealed_water_clear_m"], limits["unsealed_clear_diameters"])
    return UnsealedDryFacts(place, casing.base_m, diameter, ground.water_near_m(clear))


def seal_facts(ground: GroundFacts, casing: Casing, stage: int | None) -> EmptiedSealFacts:
    """Return what the seal of a casing hangs on."""
    return seal_at(ground, casing.base_m, casing.base_m - casing.advanced_m, casing.outside_diameter_m, stage)


def seal_at(ground: GroundFacts, shoe_m: float, undrilled_from_m: float, outside_m: float, stage: int | None = None) -> EmptiedSealFacts:
    """Return what the seal of a shoe at a depth hangs on, forced through undrilled ground from a depth."""
    piece = ground.slice_above(shoe_m)
    top, base = ground.same_layer(shoe_m)
    return EmptiedSealFacts(
        place=ProvedPlace(stage, 0.0, shoe_m),
        shoe_m=shoe_m,
        undrilled_from_m=undrilled_from_m,
        outside_diameter_m=outside_m,
        layer_top_m=top,
        layer_base_m=base,
        soil=answer(piece, "soil"),
        plastic=answer(piece, "cohesive"),
        fissured=answer(piece, "fissured"),
        seamed=answer(piece, "wet_seams"),
        bouldery=answer(piece, "boulders"),
        su_kpa=su_of(piece),
        water_level_m=ground.water_outside_m(shoe_m),
        rising_level_m=highest_rising(ground.gatherer.aquifers, shoe_m, over_water=ground.site.site.setting == "water"),
    )


def _buried_m(casing: Casing) -> float:
    """Return the length of a casing that the ground touches: a wider predrilled hole keeps the ground off."""
    free = casing.predrill_diameter_m is not None and casing.predrill_diameter_m > casing.outside_diameter_m + TOUCH_M
    return max(0.0, casing.base_m - (casing.predrill_base_m if free else 0.0))


def _fit(ground: GroundFacts, way: BuiltWay, casing: Casing, inner: Casing | None) -> Iterator[Check]:
    place = way.setting_place(casing)
    outside = casing.wall_by.pressure_kpa if casing.wall_by is not None else 0.0
    yield from ground.prove(
        check_casing_wall,
        CasingWallFacts(place, casing.outside_diameter_m, casing.wall_m, casing.way, segmental=False, outside_kpa=point(outside)),
    )
    shaft = ground.shaft
    drawn_outside = is_casing_outside(shaft, ground.book.values)
    tool = (shaft.socket_diameter_m or 0.0) if drawn_outside else shaft.diameter_m
    facts = ClearanceFacts(
        place=place,
        outside_diameter_m=casing.outside_diameter_m,
        wall_m=casing.wall_m,
        tool_m=tool if inner is None else 0.0,
        string_m=None if inner is None else inner.outside_diameter_m,
        cage_m=shaft.cage_diameter_m if inner is None else None,
        cover_m=shaft.cover_m,
    )
    yield from ground.prove(check_clearance, facts)


def _seat(ground: GroundFacts, way: BuiltWay, casing: Casing) -> Iterator[Check]:
    emptied, sets = way.emptied_at(casing), way.stage_that_sets(casing)
    if emptied is not None:
        yield from ground.prove(check_emptied_seal, seal_facts(ground, casing, emptied.no))
    dug_dry = sets if sets is not None and sets.state == "cased_dry" else None
    if dug_dry is not None and (emptied is None or casing.sealed == "no"):
        place = ProvedPlace(dug_dry.no, way.opens_from_m(dug_dry), dug_dry.base_m)
        yield from ground.prove(check_unsealed_dry, _unsealed(ground, casing, place))
    elif emptied is not None and casing.sealed == "no":
        yield from ground.prove(check_unsealed_dry, _unsealed(ground, casing, ProvedPlace(emptied.no, 0.0, casing.base_m)))
    if emptied is not None or dug_dry is not None:
        return
    over_water = ground.site.site.setting == "water"
    piece = ground.slice_above(casing.base_m)
    soil = answer(piece, "soil").values
    if not over_water and (not soil & GRANULAR or (_stands_in_fluid(way, casing) and not soil & GRAVEL)):
        return
    fluid = next((stage.fluid for stage in way.stages if stage.fluid is not None and stage.base_m > casing.base_m - TOUCH_M), None)
    filled = ground.inside_of("cased_balanced", fluid)
    if filled is None:
        return
    seat = WaterSeatFacts(
        place=way.setting_place(casing),
        shoe_m=casing.base_m,
        outside_diameter_m=casing.outside_diameter_m,
        ground_m=point(max(0.0, casing.base_m - casing.advanced_m)),
        soil=answer(piece, "soil"),
        inside_level_m=point(filled.level_m),
        density_kg_m3=point(filled.density_kg_m3),
        water_level_m=ground.water_outside_m(casing.base_m),
        over_water=over_water,
    )
    yield from ground.prove(check_water_seat, seat)
