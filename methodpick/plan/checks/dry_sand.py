"""Casing in dry ground: when it may be set in a hole predrilled through clean sand, and when no seal is needed."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

DRY_SAND_THICKNESS = Definition(
    "dry-sand-thickness",
    "Dry sand drilled open",
    ("predrilled_casing",),
    "Clean dry sand runs at any thickness: it is drilled open for a casing only where the layer is three to four metres at most.",
)
DRY_SAND_COHESION = Definition(
    "dry-sand-cohesion", "Cohesion of dry sand drilled open", ("predrilled_casing",), "And where its cohesion is enough at its low end."
)
UNSEALED_DRY = Definition(
    "unsealed-dry",
    "Casing emptied unsealed",
    ("cased_dry",),
    "A casing is dug dry without a seal, and the hole below it, only where no water stands within a metre and a half and one "
    "diameter below the shoe.",
)


@record
class PredrilledSandFacts:
    """Dry sand that is drilled open before a casing is set in it: its thickness and its cohesion (cement, moisture, fines)."""

    place: ProvedPlace
    thickness_m: float
    cohesion_kpa: Span | None


@record
class UnsealedDryFacts:
    """A casing without a seal that is dug dry, or below which the hole is dug dry, and the water near its shoe.

    ``water_level_m`` is the depth of the highest water, None where it is not known.
    """

    place: ProvedPlace
    shoe_m: float
    diameter_m: float
    water_level_m: Span | None


def check_predrilled_sand(facts: PredrilledSandFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs that dry sand is thin enough and has enough cohesion at its low end to be drilled open for a casing."""
    wanted, most, least = limits["predrill_sand_m"], limits["predrill_sand_most_m"], limits["predrill_cohesion_kpa"]
    ahead = "Bring the casing down ahead of the dig."
    thin = write_comparison(
        Heading(DRY_SAND_THICKNESS, facts.place, limits=(wanted, most), remedy=ahead),
        Wording("The thickness of dry sand that may be drilled open for a casing", "this layer has", "m", {}),
        Comparison(
            has=lambda _: most.value,
            needed=lambda _: facts.thickness_m,
            recommended=lambda _: facts.thickness_m + most.value - wanted.value,
            adverse={},
        ),
        {},
    )
    holds = write_comparison(
        Heading(DRY_SAND_COHESION, facts.place, limits=(least,), remedy=ahead, question="Is the sand moist, cemented or clean?"),
        Wording(
            "The cohesion of the dry sand at its low end", "to be drilled open for a casing it needs", "kPa", {"low_kpa": "the low end"}
        ),
        Comparison(has=lambda value: value["low_kpa"], needed=lambda _: least.value, adverse={"low_kpa": "low"}),
        {"low_kpa": None if facts.cohesion_kpa is None else Span(*[facts.cohesion_kpa.low] * 3)},
    )
    return thin, holds


def clear_below_m(shoe_m: float, diameter_m: float, least_m: float, diameters: float) -> float:
    """Return the depth in m down to which no water may stand for a shoe to need no seal: a length and a number of diameters below it.

    >>> clear_below_m(9.0, 2.0, 1.5, 1.0)
    11.0
    """
    return shoe_m + max(least_m, diameters * diameter_m)


def check_unsealed_dry(facts: UnsealedDryFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that no water stands near below the shoe of a casing that is dry without a seal."""
    clear, diameters = limits["unsealed_water_clear_m"], limits["unsealed_clear_diameters"]
    needed_m = clear_below_m(facts.shoe_m, facts.diameter_m, clear.value, diameters.value)
    check = write_comparison(
        Heading(
            UNSEALED_DRY,
            facts.place,
            limits=(clear, diameters),
            remedy="Seal the casing in clay, or keep it full and pour by tremie.",
            question="How high can the groundwater stand?",
        ),
        Wording("The depth of the water", "without a seal it has to be", "m", {"water_level_m": "the highest water"}),
        Comparison(has=lambda value: max(0.0, value["water_level_m"]), needed=lambda _: needed_m, adverse={"water_level_m": "low"}),
        {"water_level_m": facts.water_level_m},
    )
    return (check,)
