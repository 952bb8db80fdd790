"""The proofs of the casings of a way: seal, seat, wall, clearance, reach."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.checks.casing_wall import CasingWallFacts, check_casing_wall
from methodpick.plan.checks.clearance import ClearanceFacts, check_clearance
from methodpick.plan.checks.dry_sand import UnsealedDryFacts, check_unsealed_dry
from methodpick.plan.checks.emptied_seal import EmptiedSealFacts, check_emptied_seal
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.reach import CasingReachFacts, check_casing_reach
from methodpick.plan.checks.water_seat import WaterSeatFacts, check_water_seat
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer, su_of
from methodpick.plan.proving.plant import widest_casing
from methodpick.plan.result import Casing
from methodpick.plan.result.checks import Check
from methodpick.terms import GRANULAR
from methodpick.vocabulary.values import point


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
    drawn_outside = shaft.is_casing_outside(ground.book.values)
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
    emptied = way.emptied_at(casing)
    if emptied is not None:
        yield from ground.prove(check_emptied_seal, seal_facts(ground, casing, emptied.no))
        return
    sets = way.stage_that_sets(casing)
    if sets is not None and sets.state == "cased_dry":
        place = ProvedPlace(sets.no, way.opens_from_m(sets), sets.base_m)
        facts = UnsealedDryFacts(place, casing.base_m, ground.shaft.diameter_m, ground.water_outside_m(casing.base_m))
        yield from ground.prove(check_unsealed_dry, facts)
        return
    over_water = ground.site.site.setting == "water"
    piece = ground.slice_above(casing.base_m)
    if not over_water and not answer(piece, "soil").values & GRANULAR:
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
