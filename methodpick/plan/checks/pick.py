"""The heaviest pick against what the crane lifts at the radius that is planned."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.casing import hanging_weight
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.unit_markup import number
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span, point

PICK = Definition(
    "pick",
    "Pick at its radius",
    ("rig",),
    "The crane lifts the heaviest casing, hung whole, and the cage, with hook and slings, within the share of its chart that lifts are "
    "planned with.",
    life=True,
)

ADVERSE = {
    "casing_kg": "the heaviest casing",
    "cage_kg": "the heaviest cage",
    "radius_m": "the farthest hook",
    "capacity_kg": "the weakest crane",
}


@record
class PickFacts:
    """What the crane picks, and what its chart gives.

    ``casing_kg`` is the heaviest casing hung whole, as it hangs when its last piece is spliced on; ``cage_kg`` the cage in one piece.
    ``capacity_kg`` is what the chart gives at ``radius_m``, the hook still to be taken off; None where it is not given.
    """

    place: ProvedPlace
    casing_kg: float
    cage_kg: Span
    radius_m: float
    capacity_kg: float | None


def check_pick(facts: PickFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the crane lifts the heavier of casing and cage at its radius."""
    most, recommended, rigging = limits["pick_chart_share_most"], limits["pick_chart_share"], limits["pick_rigging_share"]

    def needed(value: Mapping[str, float]) -> float:
        return hanging_weight(max(value["casing_kg"], value["cage_kg"]), 0.0) * (1.0 + rigging.value)

    check = write_comparison(
        Heading(
            PICK,
            facts.place,
            limits=(most, recommended, rigging),
            formula="hanging_weight",
            remedy="Come nearer with the crane, take a larger one, or splice casing and cage over the hole in lighter pieces.",
            question="What does the crane lift at that radius, by its chart?",
        ),
        Wording(f"What may be lifted at {number(facts.radius_m, 'm')}", "casing or cage with hook and slings weigh", "kN", ADVERSE),
        Comparison(
            has=lambda value: hanging_weight(value["capacity_kg"], 0.0) * most.value,
            needed=needed,
            recommended=lambda value: needed(value) * most.value / recommended.value,
            adverse={"casing_kg": "high", "cage_kg": "high", "radius_m": "high", "capacity_kg": "low"},
        ),
        {
            "casing_kg": point(facts.casing_kg),
            "cage_kg": facts.cage_kg,
            "radius_m": point(facts.radius_m),
            "capacity_kg": None if facts.capacity_kg is None else point(facts.capacity_kg),
        },
    )
    return (check,)
