"""The base of a hole over water below: the weight of the lid and of what stands in the hole against the pressure under the lid.

Weight and fluid only are counted. The side of the lid is counted on where the clay is intact and thick and the engineer agrees;
then more is asked for. Rock that carries the water itself is no lid: it has no proof here but one of inflow.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from methodpick.mechanics.seat import lid_adhesion, plug_factor
from methodpick.mechanics.stress import WATER_KN_M3, hydrostatic
from methodpick.plan.checks.definition import ANY_STATE, Definition
from methodpick.plan.checks.inputs import ProvedPlace, as_number
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, at_best, write_comparison
from methodpick.plan.result.checks import CHECK_RESULTS, Check
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import YES, Choice, Span

UPLIFT = Definition(
    "uplift",
    "Uplift of the base by water below",
    ANY_STATE,
    "Weight and fluid only stand over the water pressure under an intact lid; the side of thick intact clay counts by half, "
    "with a higher safety and the engineer agreeing.",
    life=True,
    rule="base-lifts-by-water-below",
)

REMEDY = "Keep fluid in the hole above the level that holds the base down, stop higher, or lower the water below with the engineer."
QUESTION = "How high does the water in the layer below rise?"
ADVERSE = {
    "lid_kpa": "the lightest ground",
    "lid_intact": "a lid that is not whole",
    "inside_kpa": "the least in the hole",
    "water_level_m": "the highest water below",
    "su_kpa": "the weakest clay",
}


@dataclass(frozen=True, slots=True)
class UpliftFacts:
    """A base, the lid under it and one aquifer below the lid.

    ``lid_kpa`` is the weight of the ground between base and aquifer, ``inside_kpa`` what stands on the base (0 in an empty hole, the
    fluid, a plug of soil), ``water_level_m`` the level to which the water below rises. ``intact`` is whether the lid is whole; a lid
    that is not has no weight here. ``su_kpa`` is the strength along the side of the lid, counted on where ``engineer_agrees``.
    """

    place: ProvedPlace
    diameter_m: float
    lid_m: float
    lid_kpa: Span
    intact: Choice
    inside_kpa: Span
    aquifer_top_m: float
    water_level_m: Span | None
    su_kpa: Span | None = None
    engineer_agrees: bool = False
    water_kn_m3: float = WATER_KN_M3


def check_uplift(facts: UpliftFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the base is not lifted: by weight alone, or with the side of the lid where that is agreed and needed."""
    by_weight = _check(facts, limits, side=False)
    if by_weight.result == "holds" or not _side_counts(facts, limits):
        return (by_weight,)
    with_side = at_best(_check(facts, limits, side=True), "little_margin", "Have the engineer agree to the adhesion of the lid in writing.")
    return (min((by_weight, with_side), key=lambda check: CHECK_RESULTS.index(check.result)),)


def _side_counts(facts: UpliftFacts, limits: Mapping[str, Limit]) -> bool:
    least = max(limits["adhesion_lid_least_m"].value, limits["adhesion_lid_diameters"].value * facts.diameter_m)
    return facts.engineer_agrees and facts.intact.values == {YES} and facts.su_kpa is not None and facts.lid_m >= least


def _check(facts: UpliftFacts, limits: Mapping[str, Limit], *, side: bool) -> Check:
    least, recommended = limits["uplift_factor_least"], limits["uplift_factor_recommended"]
    counted, share = limits["adhesion_factor"], limits["adhesion_share"]
    inputs: dict[str, Span | None] = {
        "lid_kpa": facts.lid_kpa,
        "lid_intact": as_number(facts.intact),
        "inside_kpa": facts.inside_kpa,
        "water_level_m": facts.water_level_m,
    }
    if side:
        inputs["su_kpa"] = facts.su_kpa

    def factor(value: Mapping[str, float]) -> float:
        held = lid_adhesion(facts.lid_m, value["su_kpa"], share.value, facts.diameter_m) if side else 0.0
        press = hydrostatic(facts.aquifer_top_m - value["water_level_m"], facts.water_kn_m3)
        return plug_factor(value["lid_intact"] * value["lid_kpa"], value["inside_kpa"], held, press)

    return write_comparison(
        Heading(
            UPLIFT,
            facts.place,
            limits=(counted, share, least) if side else (least, recommended),
            formula="plug_factor",
            remedy=REMEDY,
            question=QUESTION,
        ),
        Wording("The safety of the base against uplift", "needed is", "1", ADVERSE),
        Comparison(
            has=factor,
            needed=lambda _: counted.value if side else least.value,
            needed_adverse=lambda _: least.value,
            recommended=None if side else lambda _: recommended.value,
            adverse=dict.fromkeys(inputs, "low"),
        ),
        inputs,
    )
