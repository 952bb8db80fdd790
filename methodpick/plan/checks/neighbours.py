"""What stands near a shaft: the vibration of casing plant at it, and the distance to a railway."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.plant import impact_velocity, vibrator_velocity
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import CasingWay
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

NEIGHBOUR_VIBRATION = Definition(
    "neighbour-vibration",
    "Vibration at a neighbour",
    ("vibrated", "driven"),
    "The vibration that five in a hundred exceed stays below what the neighbour bears.",
    rule="vibration-near-neighbours",
)
NEIGHBOUR_RAILWAY = Definition(
    "neighbour-railway",
    "Distance to a railway",
    ("shaft",),
    "No excavation within twelve feet of a track, cased or not, without the railroad's written approval.",
)

NEAREST_M = 1.0
"""Distance at which the vibration of anything nearer is taken; the formulas hold from there on."""
ADVERSE = {
    "distance_m": "the nearest distance",
    "energy_j": "the hardest blow",
    "ground_factor": "the hardest ground",
    "factor": "the most that five in a hundred exceed",
}
HOW_FAR = "What stands or runs near the shaft, how far away, and what vibration may reach it?"


@record
class VibrationFacts:
    """Casing that is shaken or driven near something that vibration could harm.

    ``most_mm_s`` is what its owner allows, None where no limit is given; ``energy_j`` is the energy of a blow of an impact hammer and
    ``ground_factor`` 1 in soft or loose, 1.5 in stiff or medium dense, 3 in very stiff or dense ground, 5 at refusal.
    """

    place: ProvedPlace
    way: CasingWay
    distance_m: Span | None
    most_mm_s: float | None
    energy_j: Span | None = None
    ground_factor: Span | None = None


@record
class RailwayFacts:
    """A railway: the distance from the edge of the hole to the centre line of the nearest track, and whether it has agreed in writing."""

    place: ProvedPlace
    distance_m: Span | None
    approved: bool


def check_vibration(facts: VibrationFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the vibration at a neighbour stays small enough; none is made for ways that do not shake the ground.

    A vibrator is planned with what five in a hundred exceed; it fails for certain only where one in two would be too much.
    """
    if facts.way not in {"vibrated", "driven"}:
        return ()
    driven, usual = facts.way == "driven", limits["vibration_most_mm_s"]
    most = usual.value if facts.most_mm_s is None else facts.most_mm_s
    factors = () if driven else (limits["vibration_factor"], limits["vibration_factor_median"])
    inputs = _inputs(facts, limits)
    check = write_comparison(
        Heading(
            NEIGHBOUR_VIBRATION,
            facts.place,
            limits=(*factors, limits["vibration_exponent"], *((usual,) if facts.most_mm_s is None else ())),
            formula="impact_velocity" if driven else "vibrator_velocity",
            remedy="Twist, oscillate or rotate the casing, or measure the vibration on a trial and keep a stop value.",
            question=HOW_FAR,
        ),
        Wording("The vibration that the neighbour bears", "to be expected there is", "mm/s", ADVERSE),
        Comparison(
            has=lambda _: most,
            needed=lambda value: _velocity(facts, value, limits["vibration_exponent"].value),
            adverse={name: "low" if name == "distance_m" else "high" for name in inputs},
        ),
        inputs,
    )
    return (check,)


def _inputs(facts: VibrationFacts, limits: Mapping[str, Limit]) -> dict[str, Span | None]:
    if facts.way == "driven":
        return {"distance_m": facts.distance_m, "energy_j": facts.energy_j, "ground_factor": facts.ground_factor}
    high = limits["vibration_factor"].value
    return {"distance_m": facts.distance_m, "factor": Span(min(limits["vibration_factor_median"].value, high), high, high)}


def _velocity(facts: VibrationFacts, value: Mapping[str, float], exponent: float) -> float:
    distance = max(NEAREST_M, value["distance_m"])
    if facts.way == "driven":
        return impact_velocity(distance, value["energy_j"], value["ground_factor"], exponent)
    return vibrator_velocity(distance, value["factor"], exponent)


def check_railway(facts: RailwayFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the hole is far enough from a track; approval in writing takes the least distance away."""
    clear, flag = limits["railway_clear_m"], limits["railway_flag_m"]
    check = write_comparison(
        Heading(
            NEIGHBOUR_RAILWAY,
            facts.place,
            limits=(clear, flag),
            remedy="Have the railroad approve the work in writing, with its flagman and its limits of movement.",
            question="How far is the hole from the centre line of the nearest track?",
        ),
        Wording("The distance to the centre line of the track", "needed is", "m", {"distance_m": "the nearest distance"}),
        Comparison(
            has=lambda value: value["distance_m"],
            needed=lambda _: 0.0 if facts.approved else clear.value,
            recommended=lambda _: flag.value,
            adverse={"distance_m": "low"},
        ),
        {"distance_m": facts.distance_m},
    )
    return (check,)
