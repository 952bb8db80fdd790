"""The granular wall of a dry hole above water: the cohesion that it has against the cohesion that it needs to stand."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.earth_pressure import cohesion_needed
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

WALL_COHESION = Definition(
    "wall-cohesion",
    "Cohesion of a dry wall",
    ("dry",),
    "A granular wall above water stands dry only by the cohesion that its friction and weight ask for.",
    rule="granular-wall-lacks-cohesion",
)

SHALLOWEST_M = 0.01
"""Depth at which the cohesion of shallower ground is looked at."""


@record
class WallCohesionFacts:
    """The granular wall at a depth: cohesion (cement, moisture, fines), friction and unit weight; None where one is not known."""

    place: ProvedPlace
    depth_m: float
    diameter_m: float
    cohesion_kpa: Span | None
    phi_deg: Span | None
    unit_weight_kn_m3: Span


def check_wall_cohesion(facts: WallCohesionFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that a granular wall above water holds itself; no limit enters, for the need comes out of the formula."""
    del limits
    check = write_comparison(
        Heading(
            WALL_COHESION,
            facts.place,
            formula="cohesion_needed",
            remedy="Case the length with the shoe ahead of the dig, or drill it under fluid.",
            question="Is the ground cemented, moist or clean, and how dense is it?",
        ),
        Wording(
            "The cohesion of the granular wall",
            "to stand it needs",
            "kPa",
            {"cohesion_kpa": "the least cohesion", "phi_deg": "the least friction", "unit_weight_kn_m3": "the heaviest ground"},
        ),
        Comparison(
            has=lambda value: value["cohesion_kpa"],
            needed=lambda value: cohesion_needed(
                max(facts.depth_m, SHALLOWEST_M), facts.diameter_m, value["unit_weight_kn_m3"], value["phi_deg"]
            ),
            adverse={"cohesion_kpa": "low", "phi_deg": "low", "unit_weight_kn_m3": "high"},
        ),
        {"cohesion_kpa": facts.cohesion_kpa, "phi_deg": facts.phi_deg, "unit_weight_kn_m3": facts.unit_weight_kn_m3},
    )
    return (check,)
