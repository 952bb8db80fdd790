"""The proofs of a shaft into water that rises above the ground: how high a casing stands, and whether it is sealed in the lid."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.facts.aquifer import Aquifer
from methodpick.plan.checks.artesian import ArtesianFacts, check_artesian
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer
from methodpick.plan.result import Casing, Stage
from methodpick.plan.result.checks import Check
from methodpick.vocabulary.values import Span, point


def prove_artesian(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs for every aquifer that the shaft enters and whose water can rise above the drilling grade."""
    for aquifer in ground.gatherer.aquifers:
        if aquifer.kind == "perched" or aquifer.level_m.low >= min(0.0, ground.levels.grade_m) or aquifer.top_m <= TOUCH_M:
            continue
        stage = next((each for each in way.opening_stages() if each.base_m > aquifer.top_m + TOUCH_M), None)
        if stage is None:
            continue
        sealing = _sealing(way, stage, aquifer)
        if sealing is not None:
            yield from ground.prove(check_artesian, _facts(ground, (stage, sealing), aquifer))


def _sealing(way: BuiltWay, stage: Stage, aquifer: Aquifer) -> tuple[Casing, float, float] | None:
    """Return the casing that is sealed in the lid when it is pierced, its shoe then, and from where it was forced through undrilled ground.

    A casing that goes ahead of the dig is in the lid with its own length; else it is the one that stands already.
    """
    if stage.action == "advance_casing":
        going = next((casing for casing in way.strings if casing.base_m >= stage.base_m - TOUCH_M), None)
        if going is not None:
            return going, aquifer.top_m, going.predrill_base_m
    standing = way.standing(stage)
    return None if standing is None else (standing, standing.base_m, standing.base_m - standing.advanced_m)


def _facts(ground: GroundFacts, opened: tuple[Stage, tuple[Casing, float, float]], aquifer: Aquifer) -> ArtesianFacts:
    stage, (casing, shoe, undrilled) = opened
    filled = ground.inside_of(stage.state, stage.fluid)
    density = ground.limits["water_density_kg_m3"].value if filled is None else filled.density_kg_m3
    return ArtesianFacts(
        place=ProvedPlace(stage.no, 0.0, aquifer.top_m),
        aquifer_top_m=aquifer.top_m,
        water_level_m=aquifer.level_m,
        grade_m=ground.levels.grade_m,
        density_kg_m3=point(density),
        lid_top_m=ground.same_layer(shoe)[0],
        lid_soil=answer(ground.slice_above(shoe), "soil"),
        starter_shoe_m=shoe,
        undrilled_from_m=Span(0.0, shoe) if casing.is_starter else point(undrilled),
        outside_diameter_m=casing.outside_diameter_m,
    )
