"""The crowd that pushes a casing its last length into undrilled ground."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.casing import hanging_weight, push_force
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import Contact, ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.checks.torque import moving_friction
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

CROWD = Definition(
    "crowd",
    "Crowd on the casing",
    ("string",),
    "The crowd of the rig and the weight of the casing push its shoe the last length into undrilled ground while the rig twists it.",
)

ADVERSE = {"friction_kn_m": "the greatest friction", "shoe_kn": "the strongest clay under the shoe", "crowd_kn": "the weakest rig"}


@record
class CrowdFacts:
    """A casing that is pushed and twisted into its seat.

    ``contacts`` are the lengths that it is pushed through, ``shoe_kn`` is what the soil under its edge bears; ``crowd_kn`` is that of the
    rig, of its class where none is named. ``mass_kg`` is that of the casing, taken in air.
    """

    place: ProvedPlace
    outside_diameter_m: float
    mass_kg: float
    contacts: tuple[Contact, ...]
    shoe_kn: Span | None
    crowd_kn: Span | None


def check_crowd(facts: CrowdFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the casing is pushed as far as it is planned."""
    share = limits["turning_share"]
    weight = hanging_weight(facts.mass_kg, 0.0)
    check = write_comparison(
        Heading(
            CROWD,
            facts.place,
            limits=(share,),
            formula="push_force",
            remedy="Take a heavier rig, help with a vibrator, or push the casing less far.",
            question="What crowd does the rig give, and how strong is the ground that the shoe is pushed through?",
        ),
        Wording("The crowd of the rig and the weight of the casing", "pushing it takes", "kN", ADVERSE),
        Comparison(
            has=lambda value: value["crowd_kn"] + weight,
            needed=lambda value: push_force(facts.outside_diameter_m, value["friction_kn_m"], value["shoe_kn"], share.value),
            adverse={"crowd_kn": "low", "friction_kn_m": "high", "shoe_kn": "high"},
        ),
        {"crowd_kn": facts.crowd_kn, "friction_kn_m": moving_friction(facts.contacts), "shoe_kn": facts.shoe_kn},
    )
    return (check,)
