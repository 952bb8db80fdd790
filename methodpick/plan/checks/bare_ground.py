"""Ground that meets fresh concrete without a casing: voids and openwork take it, very soft clay gives way to it."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from methodpick.mechanics.concrete import bulging_ratio
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison, InputWords
from methodpick.plan.checks.record import ACTS, Compared, Heading, Unwritten, Wording, make_comparison, make_condition, make_for_words
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import COHESIVE, GRAVEL
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import YES, Choice, Span

BARE_VOIDS = Definition(
    "bare-voids",
    "Concrete into voids",
    ("bare_concrete",),
    "Fresh concrete meets no void without a casing that stays.",
    rule="void-keeps-its-casing",
)
BARE_OPENWORK = Definition(
    "bare-openwork", "Concrete into openwork", ("bare_concrete",), "Fresh concrete meets no openwork ground without a casing that stays."
)
BARE_SOFT_CLAY = Definition(
    "bare-soft-clay",
    "Concrete against soft clay",
    ("bare_concrete",),
    "Clay that meets fresh concrete bears its excess over the ground without yielding.",
    rule="soft-clay-bulges-when-pulled",
)

STAYS = "Leave a casing or a sleeve over this length, or fill it first."


@record
class BareGroundFacts:
    """A length that the concrete meets bare, once the casing is out.

    ``soil`` are its classes, ``cavities`` yes, no or open, ``permeability_m_s`` of the ground; ``concrete_kpa`` is the pressure of the
    fresh concrete and ``horizontal_kpa`` the total horizontal stress at the worst depth; ``su_kpa`` is None where it is no clay.
    """

    place: ProvedPlace
    soil: Choice
    cavities: Choice
    permeability_m_s: Span | None
    concrete_kpa: Span
    horizontal_kpa: Span
    su_kpa: Span | None


def check_bare_ground(facts: BareGroundFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs that the concrete stays in the hole: against voids, openwork and soft clay."""
    return tuple(made.write() for _, made in compare_bare_ground(facts, limits))


def compare_bare_ground(facts: BareGroundFacts, limits: Mapping[str, Limit]) -> tuple[tuple[str, Unwritten], ...]:
    """Make the proofs that the concrete stays in the hole, each under the name of its definition, without writing them yet."""
    made = [(BARE_VOIDS.id, _voids(facts))]
    if facts.soil.values & GRAVEL:
        made.append((BARE_OPENWORK.id, _openwork(facts, limits)))
    if facts.soil.values & COHESIVE:
        made.append((BARE_SOFT_CLAY.id, make_for_words(BARE_SOFT_CLAY, facts.soil, COHESIVE, _soft(facts, limits))))
    return tuple(made)


def _voids(facts: BareGroundFacts) -> Unwritten:
    return make_condition(
        Heading(BARE_VOIDS, facts.place, remedy=STAYS, question="Are there voids or cavities at this depth?"),
        "the concrete stays clear of voids",
        "the concrete would run into voids",
        lambda value: value["soil"] == "void" or value["cavities"] == YES,
        {"soil": facts.soil, "cavities": facts.cavities},
    )


def _openwork(facts: BareGroundFacts, limits: Mapping[str, Limit]) -> Unwritten:
    most = limits["openwork_m_s"]

    def broken(value: InputWords) -> bool:
        return value["soil"] in GRAVEL and float(value["permeability_m_s"]) > most.value

    return make_condition(
        Heading(
            BARE_OPENWORK, facts.place, limits=(most,), remedy=STAYS, question="Is the gravel openwork, without sand between the stones?"
        ),
        "the ground is too tight for mortar to run away",
        "mortar would run away into openwork ground",
        broken,
        {"soil": facts.soil, "permeability_m_s": facts.permeability_m_s},
    )


def _soft(facts: BareGroundFacts, limits: Mapping[str, Limit]) -> Compared:
    most, recommended = limits["bulging_most"], limits["bulging_limit"]

    def ratio(value: Mapping[str, float]) -> float:
        excess = value["concrete_kpa"] - value["horizontal_kpa"]
        if excess <= 0.0:
            return 0.0
        return bulging_ratio(value["concrete_kpa"], value["horizontal_kpa"], value["su_kpa"]) if value["su_kpa"] > 0.0 else inf

    return make_comparison(
        Heading(
            BARE_SOFT_CLAY,
            facts.place,
            limits=(most, recommended),
            formula="bulging_ratio",
            remedy=STAYS,
            question="What is the undrained strength of the soft clay?",
        ),
        Wording(
            "The excess pressure of the concrete over the strength of the clay that the clay bears",
            ACTS,
            "1",
            {"concrete_kpa": "the heaviest concrete", "horizontal_kpa": "the lightest ground", "su_kpa": "the weakest clay"},
        ),
        Comparison(
            has=lambda _: most.value,
            needed=ratio,
            recommended=lambda value: ratio(value) * most.value / recommended.value,
            adverse={"concrete_kpa": "high", "horizontal_kpa": "low", "su_kpa": "low"},
        ),
        {"concrete_kpa": facts.concrete_kpa, "horizontal_kpa": facts.horizontal_kpa, "su_kpa": facts.su_kpa},
    )
