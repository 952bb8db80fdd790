"""A bell: cut in ground that stands undercut, dry, and below every casing."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison, InputWords
from methodpick.plan.checks.record import Heading, Wording, for_words, write_comparison, write_condition
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import GRANULAR, State
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import YES, Choice, Span

BELL_BELOW_CASING = Definition("bell-below-casing", "Bell below the casing", ("bell",), "A bell is never cut inside a casing.")
BELL_DRY = Definition(
    "bell-dry", "Bell in the dry", ("bell",), "A bell is cut in a dry hole: an undercut is not cut blind under fluid.", rule="bell-dry-only"
)
BELL_GROUND = Definition(
    "bell-ground", "Bell in standing ground", ("bell",), "A bell is cut in ground that stands undercut.", rule="bell-only-in-standing-clay"
)
BELL_CLAY = Definition(
    "bell-clay", "Bell in stiff clay", ("bell",), "The clay in which a bell is cut is stiff at least.", rule="bell-in-stiff-clay-only"
)

FALLS_IN = GRANULAR | {"organic", "void"}
"""Ground that does not stand undercut; cemented ground is judged by the engineer."""


@record
class BellFacts:
    """A bell from its top to the tip, the state in which it is cut, the deepest shoe then, and the ground and water there.

    ``seeps`` is whether water comes in over the height of the bell; ``su_kpa`` the strength of clay there.
    """

    place: ProvedPlace
    bell_top_m: float
    deepest_shoe_m: float
    state: State
    soil: Choice
    seeps: Choice
    su_kpa: Span | None


def check_bell(facts: BellFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs that a bell is cut below the casing, dry, and in ground that stands."""
    checks = [_below_casing(facts), _dry(facts), _ground(facts)]
    if "clay" in facts.soil.values:
        checks.append(for_words(BELL_CLAY, facts.soil, {"clay"}, _clay(facts, limits)))
    return tuple(checks)


def _below_casing(facts: BellFacts) -> Check:
    return write_comparison(
        Heading(BELL_BELOW_CASING, facts.place, remedy="End the casing above the bell, or make the shaft wider instead of a bell."),
        Wording("The depth of the top of the bell", "the deepest shoe stands at", "m", {}),
        Comparison(has=lambda _: facts.bell_top_m, needed=lambda _: facts.deepest_shoe_m, adverse={}),
        {},
    )


def _dry(facts: BellFacts) -> Check:
    def broken(value: InputWords) -> bool:
        return facts.state not in {"dry", "cased_dry"} or value["seeps"] == YES

    return write_condition(
        Heading(
            BELL_DRY,
            facts.place,
            remedy="Make the shaft wider or deeper instead of a bell: an undercut is not cut blind under fluid.",
            question="Does water come in over the height of the bell?",
        ),
        "the bell is cut dry",
        "the bell is cut in water or fluid",
        broken,
        {"seeps": facts.seeps},
    )


def _ground(facts: BellFacts) -> Check:
    return write_condition(
        Heading(
            BELL_GROUND,
            facts.place,
            remedy="Move the bell into clay or rock, or make the shaft wider or deeper.",
            question="What is the ground over the height of the bell?",
        ),
        "the bell is cut in clay or rock",
        "the bell is cut in ground that does not stand undercut",
        lambda value: value["soil"] in FALLS_IN,
        {"soil": facts.soil},
    )


def _clay(facts: BellFacts, limits: Mapping[str, Limit]) -> Check:
    stiff = limits["bell_su_kpa"]
    return write_comparison(
        Heading(
            BELL_CLAY,
            facts.place,
            limits=(stiff,),
            remedy="Cut the bell in stiffer clay, or make the shaft wider or deeper.",
            question="What is the undrained strength of the clay at the bell?",
        ),
        Wording("The strength of the clay at the bell", "to stand undercut it needs", "kPa", {"su_kpa": "the weakest clay"}),
        Comparison(has=lambda value: value["su_kpa"], needed=lambda _: stiff.value, adverse={"su_kpa": "low"}),
        {"su_kpa": facts.su_kpa},
    )
