"""Work over open water: nothing is drilled below the bed before a casing stands in it, up out of the water."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison, write_condition
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import OPEN_STATES
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

OPEN_WATER_CASING = Definition(
    "open-water-casing", "Casing in the bed", OPEN_STATES, "Nothing is drilled below open water before a casing stands in the bed."
)
OPEN_WATER_TOP = Definition("open-water-top", "Casing out of the water", OPEN_STATES, "The casing stands out of the highest water.")

TOUCH_M = 0.01
"""A casing that stands less than this in the bed stands on it."""


@record
class OpenWaterFacts:
    """A stage that drills below open water, and the casing that stands when it begins.

    ``casing_top_m`` and ``casing_base_m`` are of the deepest casing then, None where none stands; ``bed_m`` is the bed with its scour,
    ``water_level_m`` the open water (negative above the bed).
    """

    place: ProvedPlace
    casing_top_m: float | None
    casing_base_m: float | None
    bed_m: Span
    water_level_m: Span | None


def check_open_water(facts: OpenWaterFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs that a casing stands in the bed and over the water before a stage drills.

    A casing ends in the bed where it stands deeper than the bed: how much deeper is a proof of its seat.
    """
    free = limits["casing_over_fluid_m"]
    base = facts.casing_base_m
    stands = write_condition(
        Heading(
            OPEN_WATER_CASING,
            facts.place,
            remedy="Set a casing into the bed before anything is drilled.",
            question="How deep is the scour?",
        ),
        "a casing stands in the bed before anything is drilled",
        "the hole is drilled below open water before a casing stands in the bed",
        lambda value: base is None or base < float(value["bed_m"]) + TOUCH_M,
        {"bed_m": facts.bed_m},
    )
    if facts.casing_top_m is None:
        return (stands,)
    top = facts.casing_top_m
    dry = write_comparison(
        Heading(
            OPEN_WATER_TOP,
            facts.place,
            limits=(free,),
            remedy="Let the casing stand higher out of the water.",
            question="How high can the water stand, with tide and waves?",
        ),
        Wording("The height of the casing over the open water", "needed is", "m", {"water_level_m": "the highest water"}),
        Comparison(has=lambda value: value["water_level_m"] - top, needed=lambda _: free.value, adverse={"water_level_m": "low"}),
        {"water_level_m": facts.water_level_m},
    )
    return stands, dry
