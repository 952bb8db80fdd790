"""All checks of a way of building, in the order of a page."""

from __future__ import annotations

from methodpick.plan.proving.artesian import prove_artesian
from methodpick.plan.proving.bare_ground import prove_bare_ground
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.casings import prove_casings
from methodpick.plan.proving.fluids import prove_fluids
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.proving.open_hole import prove_open_hole
from methodpick.plan.proving.plant import prove_plant
from methodpick.plan.proving.pour import prove_pour
from methodpick.plan.proving.slice_rules import prove_slices
from methodpick.plan.proving.surroundings import prove_surroundings
from methodpick.plan.proving.walls import prove_predrilled_sand, prove_wide_walls
from methodpick.plan.result.checks import Check


def prove(ground: GroundFacts, way: BuiltWay) -> tuple[Check, ...]:
    """Return all checks of a way of building; the same ground and way give the same checks."""
    return (
        *prove_casings(ground, way),
        *prove_plant(ground, way),
        *prove_open_hole(ground, way),
        *prove_wide_walls(ground, way),
        *prove_predrilled_sand(ground, way),
        *prove_artesian(ground, way),
        *prove_slices(ground, way),
        *prove_fluids(ground, way),
        *prove_pour(ground, way),
        *prove_bare_ground(ground, way),
        *prove_surroundings(ground, way),
    )
