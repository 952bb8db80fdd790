"""The pull that breaks a temporary casing out against what the plant can pull."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.casing import breakout_pull, hanging_weight
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import Contact, ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.checks.torque import starting_friction
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

PULL = Definition(
    "pull",
    "Pull on a casing",
    ("pull_out",),
    "The plant pulls the static friction with its set-up and the weight; plant that turns the casing meets a share of the friction.",
    rule="ask-pull-of-the-plant",
)

ADVERSE = {"friction_kn_m": "the greatest friction", "plant_kn": "the weakest plant"}


@record
class PullFacts:
    """A temporary casing that is pulled.

    ``turns`` says that the plant turns the casing while it pulls; ``plant_kn`` is its pull, of its class where no plant is named.
    ``mass_kg`` is that of the casing, taken in air.
    """

    place: ProvedPlace
    outside_diameter_m: float
    mass_kg: float
    contacts: tuple[Contact, ...]
    turns: bool
    plant_kn: Span | None


def check_pull(facts: PullFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the plant breaks the casing out."""
    share, reserve = limits["turning_share"], limits["pull_reserve"]
    weight = hanging_weight(facts.mass_kg, 0.0)

    def needed(value: Mapping[str, float]) -> float:
        return breakout_pull(facts.outside_diameter_m, value["friction_kn_m"], weight, share.value if facts.turns else 1.0)

    check = write_comparison(
        Heading(
            PULL,
            facts.place,
            limits=(share, reserve) if facts.turns else (reserve,),
            formula="breakout_pull",
            remedy="Take an oscillator from the start, help with a vibrator, shorten the string, or leave it in.",
            question="How much can the plant pull, and how dense is the ground along the casing?",
        ),
        Wording("The pull of the plant", "breaking the casing out takes", "kN", ADVERSE),
        Comparison(
            has=lambda value: value["plant_kn"],
            needed=needed,
            recommended=lambda value: reserve.value * needed(value),
            adverse={"friction_kn_m": "high", "plant_kn": "low"},
        ),
        {"friction_kn_m": starting_friction(facts.contacts), "plant_kn": facts.plant_kn},
    )
    return (check,)
