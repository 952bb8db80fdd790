"""How far the plant reaches: the whole buried length of a string, the greatest casing of the machine, and the kelly to the tip."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import CASING_WAYS, CasingWay
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

REACH_CASING = Definition(
    "reach-casing", "Reach of the casing plant", CASING_WAYS, "The plant reaches over the whole buried length of the string."
)
REACH_DIAMETER = Definition("reach-diameter", "Casing for the machine", CASING_WAYS, "The machine takes a casing of this diameter.")
REACH_KELLY = Definition("reach-kelly", "Reach of the kelly", ("rig",), "The kelly reaches the tip from the top of the casing.")

QUESTION = "Which machine is at hand, how far does it reach, and what is its greatest diameter?"


@record
class CasingReachFacts:
    """A string that is brought down ahead of the dig.

    ``buried_m`` is its whole length in the ground, whatever part of it was predrilled less the gap; ``machine_reach_m`` and
    ``machine_diameter_m`` are what the named machine is good for, None where none is named.
    """

    place: ProvedPlace
    way: CasingWay
    buried_m: float
    outside_diameter_m: float
    machine_reach_m: Span | None = None
    machine_diameter_m: Span | None = None


@record
class KellyReachFacts:
    """The kelly over a hole: the top of the casing that it works from (negative above the ground), the tip, its reach where it is named."""

    place: ProvedPlace
    casing_top_m: float
    tip_m: float
    kelly_m: Span | None


def check_casing_reach(facts: CasingReachFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs that the way reaches the shoe and that its machine takes the casing; what is usual where none is named."""
    usual = limits[f"reach_{facts.way}_m"]
    reach = facts.machine_reach_m or Span(usual.value, usual.value, usual.value)
    length = write_comparison(
        Heading(
            REACH_CASING,
            facts.place,
            limits=() if facts.machine_reach_m is not None else (usual,),
            remedy="Take stronger plant, a shorter string, or a second string inside this one.",
            question=QUESTION,
        ),
        Wording("The reach of the casing plant", "the casing in the ground is", "m", {"reach_m": "the weakest machine"}),
        Comparison(has=lambda value: value["reach_m"], needed=lambda _: facts.buried_m, adverse={"reach_m": "low"}),
        {"reach_m": reach},
    )
    if facts.machine_diameter_m is None:
        return (length,)
    width = write_comparison(
        Heading(REACH_DIAMETER, facts.place, remedy="Take a larger machine or a narrower casing.", question=QUESTION),
        Wording("The greatest casing of the machine", "this casing has", "size", {"machine_diameter_m": "the smallest machine"}),
        Comparison(
            has=lambda value: value["machine_diameter_m"], needed=lambda _: facts.outside_diameter_m, adverse={"machine_diameter_m": "low"}
        ),
        {"machine_diameter_m": facts.machine_diameter_m},
    )
    return length, width


def check_kelly_reach(facts: KellyReachFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the kelly reaches the tip from over the casing.

    Where none is named a large rig surely reaches what is usual less the spread of its class, and no rig more than the longest kelly
    does; between them the rig is still to be chosen by its kelly, so that no value is likely.
    """
    usual, share, longest = limits["kelly_m"], limits["plant_class_share"], limits["kelly_longest_m"]
    spread = share.value * usual.value
    check = write_comparison(
        Heading(
            REACH_KELLY,
            facts.place,
            limits=() if facts.kelly_m is not None else (usual, share, longest),
            remedy="Take a rig with a longer kelly, or cut the stick-up.",
            question="How long is the kelly of the rig, and what torque is left at the tip?",
        ),
        Wording("The reach of the kelly", "from the top of the casing to the tip it is", "m", {"kelly_m": "the shortest kelly"}),
        Comparison(has=lambda value: value["kelly_m"], needed=lambda _: facts.tip_m - facts.casing_top_m, adverse={"kelly_m": "low"}),
        {"kelly_m": facts.kelly_m or Span(usual.value - spread, max(longest.value, usual.value))},
    )
    return (check,)
