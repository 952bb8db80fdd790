"""How long the concrete must stay workable: while it is placed under fluid, or until the last casing is out of it."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span, point

WORKABILITY = Definition(
    "workability",
    "Workable time of concrete",
    ("pour",),
    "Concrete placed under fluid, or with casing to be pulled, stays workable for pour and pull; nothing is asked of a dry "
    "pour without casing.",
    rule="pour-and-pull-longer-than-workable",
)


@record
class WorkabilityFacts:
    """A pour: whether it is placed under fluid, whether casing is pulled, and the hours of waiting, pouring and pulling.

    ``workable_h`` is the time of the mix, None where it is not known and the usual one is taken.
    """

    place: ProvedPlace
    under_fluid: bool
    casing_pulled: bool
    wait_h: Span
    pour_h: Span
    pull_h: Span
    workable_h: Span | None = None


def check_workability(facts: WorkabilityFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the concrete stays workable long enough; none is made for a dry pour without casing."""
    if not (facts.under_fluid or facts.casing_pulled):
        return ()
    usual, near = limits["workable_h"], limits["workable_near_h"]
    share = near.value / usual.value

    def hours(value: Mapping[str, float]) -> float:
        return value["wait_h"] + value["pour_h"] + (value["pull_h"] if facts.casing_pulled else 0.0)

    check = write_comparison(
        Heading(
            WORKABILITY,
            facts.place,
            limits=(usual, near) if facts.workable_h is None else (near,),
            remedy="Order a mix that stays workable longer, more trucks, or pull the casing as the concrete rises.",
        ),
        Wording(
            "The workable time of the concrete",
            "pouring and pulling take" if facts.casing_pulled else "pouring takes",
            "h",
            {
                "workable_h": "the mix that stiffens first",
                "wait_h": "the longest wait",
                "pour_h": "the slowest pour",
                "pull_h": "the slowest pull",
            },
        ),
        Comparison(
            has=lambda value: value["workable_h"],
            needed=hours,
            recommended=lambda value: hours(value) + (1.0 - share) * value["workable_h"],
            adverse={"workable_h": "low", "wait_h": "high", "pour_h": "high", "pull_h": "high"},
        ),
        {"workable_h": facts.workable_h or point(usual.value), "wait_h": facts.wait_h, "pour_h": facts.pour_h, "pull_h": facts.pull_h},
    )
    return (check,)
