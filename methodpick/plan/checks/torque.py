"""The torque that turns a casing while it goes down, and the torque that starts it again after a stop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.mechanics.casing import turning_torque
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import Contact, ProvedPlace, added, multiplied
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span, point

TORQUE_TURNING = Definition(
    "torque-turning",
    "Torque to turn the casing",
    ("twisted", "oscillated"),
    "The torque along the casing, at the shoe and inside it stays within what can be used of the rated torque.",
)
TORQUE_RESTART = Definition(
    "torque-restart", "Torque to restart the casing", ("twisted", "oscillated"), "After a stop the static friction with its set-up counts."
)

NEEDS = {TORQUE_TURNING.id: "turning the casing takes", TORQUE_RESTART.id: "starting the casing again takes"}
ADVERSE = {
    "friction_kn_m": "the greatest friction",
    "shoe_kn_m": "the hardest ground at the shoe",
    "inside_kn_m": "the most soil inside",
    "rated_kn_m": "the weakest machine",
}


@record
class TorqueFacts:
    """A casing that is twisted, oscillated or rotated.

    ``contacts`` are the lengths that the ground touches; ``shoe_kn_m`` and ``inside_kn_m`` are the torque that the teeth and the soil
    inside take; ``rated_kn_m`` is the torque that the machine is rated for, of its class where no machine is named.
    """

    place: ProvedPlace
    outside_diameter_m: float
    contacts: tuple[Contact, ...]
    shoe_kn_m: Span | None
    inside_kn_m: Span | None
    rated_kn_m: Span | None


def moving_friction(contacts: Sequence[Contact]) -> Span | None:
    """Return the sum of friction times length in kN/m along a casing that moves; None where a friction is not known."""
    spans = [None if contact.moving_kpa is None else multiplied(contact.moving_kpa, point(contact.length_m)) for contact in contacts]
    known = [span for span in spans if span is not None]
    return added(known) if len(known) == len(spans) else None


def starting_friction(contacts: Sequence[Contact]) -> Span | None:
    """Return the sum of static friction, set up, times length in kN/m along a casing that stood; None where one is not known."""
    known = [
        multiplied(multiplied(contact.static_kpa, contact.set_up), point(contact.length_m))
        for contact in contacts
        if contact.static_kpa is not None and contact.set_up is not None
    ]
    return added(known) if len(known) == len(contacts) else None


def check_torque(facts: TorqueFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs of the torque while the casing turns and of the torque that starts it again."""
    return (
        _torque(facts, limits, TORQUE_TURNING, moving_friction(facts.contacts)),
        _torque(facts, limits, TORQUE_RESTART, starting_friction(facts.contacts)),
    )


def _torque(facts: TorqueFacts, limits: Mapping[str, Limit], proof: Definition, friction: Span | None) -> Check:
    share = limits["torque_share"]
    return write_comparison(
        Heading(
            proof,
            facts.place,
            limits=(share,),
            formula="turning_torque",
            remedy="Take a stronger machine or a shorter string, and do not let the casing stand.",
            question="What torque is the machine rated for, and how dense is the ground along the casing?",
        ),
        Wording("The torque that can be used", NEEDS[proof.id], "kNm", ADVERSE),
        Comparison(
            has=lambda value: share.value * value["rated_kn_m"],
            needed=lambda value: turning_torque(facts.outside_diameter_m, value["friction_kn_m"], value["shoe_kn_m"], value["inside_kn_m"]),
            adverse={"rated_kn_m": "low", "friction_kn_m": "high", "shoe_kn_m": "high", "inside_kn_m": "high"},
        ),
        {"rated_kn_m": facts.rated_kn_m, "friction_kn_m": friction, "shoe_kn_m": facts.shoe_kn_m, "inside_kn_m": facts.inside_kn_m},
    )
