"""The proofs of the ground that concrete meets without a casing that stays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from methodpick.mechanics.concrete import concrete_pressure
from methodpick.plan.checks.bare_ground import BareGroundFacts, check_bare_ground
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.record import governing
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import GroundFacts, answer, number, su_of
from methodpick.plan.result.checks import Check
from methodpick.terms import COHESIVE
from methodpick.vocabulary.values import point


def prove_bare_ground(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return each proof where it is worst off: over the ground that no casing keeps from the concrete, down to the tip.

    A slice is proved without the number of the pour, so that all ways that pour it bare share its proof.
    """
    pour = next((stage.no for stage in way.stages if stage.action == "pour"), None)
    kept = max((casing.base_m for casing in way.casings if casing.kind == "permanent"), default=0.0)
    found: dict[str, list[Check]] = {}
    for piece in ground.slices(max(kept, way.concrete.finished_level_m), ground.shaft.tip_m):
        if not piece.logged:
            continue
        top, base = max(kept, piece.slice.top_m), min(piece.slice.base_m, ground.shaft.tip_m)
        for check in ground.prove(check_bare_ground, _facts(ground, piece, ProvedPlace(None, top, base))):
            found.setdefault(check.id, []).append(check)
    for checks in found.values():
        yield replace(governing(checks), stage=pour)


def _facts(ground: GroundFacts, piece: JudgedSlice, place: ProvedPlace) -> BareGroundFacts:
    depth = place.base_m
    weight = ground.limits["concrete_unit_weight_kn_m3"].value
    clay = piece.slice.stratum.likely in COHESIVE
    return BareGroundFacts(
        place=place,
        soil=answer(piece, "soil"),
        cavities=answer(piece, "cavities"),
        permeability_m_s=number(piece, "permeability_m_s"),
        concrete_kpa=point(concrete_pressure(weight, depth - min(ground.shaft.cutoff_m, 0.0))),
        horizontal_kpa=ground.gatherer.curves.horizontal(piece.slice.ground, depth),
        su_kpa=su_of(piece) if clay else None,
    )
