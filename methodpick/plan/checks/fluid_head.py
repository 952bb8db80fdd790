"""The casing that holds a fluid, and the starter's shoe that must not be opened by it.

The head of the fluid over the groundwater is a fact of a slice: the rule ``fluid-head-too-low`` decides it.
"""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.earth_pressure import WATER_KN_M3, hydrostatic, least_horizontal_stress
from methodpick.mechanics.slurry import clay_opening_pressure, fluid_pressure
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import HIGHEST_FLUID, ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import FLUID_HAS, Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import FLUIDS
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span, point

CASING_OVER_FLUID = Definition(
    "casing-over-fluid",
    "Casing over the fluid",
    (*FLUIDS, "cased_balanced"),
    "The casing stands over the fluid in it by the freeboard, over open water by more.",
)
STARTER_SHOE = Definition(
    "starter-shoe",
    "Fluid under the starter",
    FLUIDS,
    "The fluid does not open the ground at the starter's shoe and run out there.",
    life=True,
)

SHOE = {
    "density_kg_m3": "the heaviest fluid",
    "fluid_level_m": HIGHEST_FLUID,
    "total_kpa": "the lightest ground",
    "water_level_m": "the lowest groundwater",
    "at_rest": "the least pressure at rest",
    "su_kpa": "the weakest clay",
}


@record
class CasingTopFacts:
    """The fluid in a casing and the top of that casing, as depths, negative above the ground; ``over_water`` asks for more of it."""

    place: ProvedPlace
    fluid_level_m: Span
    casing_top_m: float
    over_water: bool


@record
class StarterShoeFacts:
    """The shoe of the starter under the fluid: total stress, groundwater, pressure at rest over the effective stress, strength.

    ``at_rest`` is None where no friction is known, ``su_kpa`` None where the ground is not clay; ``water_level_m`` None in dry ground.
    """

    place: ProvedPlace
    shoe_m: float
    density_kg_m3: Span
    fluid_level_m: Span
    total_kpa: Span
    water_level_m: Span | None
    at_rest: Span | None
    su_kpa: Span | None
    water_kn_m3: float = WATER_KN_M3


def check_starter_shoe(facts: StarterShoeFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the fluid does not open the ground at the starter's shoe and run out there."""
    names = ("opening_stress_share", "opening_su_share", "at_rest_unknown")
    extra, extra_su, rest = (limits[name] for name in names)
    strength = facts.su_kpa is not None
    inputs: dict[str, Span | None] = {
        "density_kg_m3": facts.density_kg_m3,
        "fluid_level_m": facts.fluid_level_m,
        "total_kpa": facts.total_kpa,
        "water_level_m": facts.water_level_m or point(facts.shoe_m),
        "at_rest": facts.at_rest or point(rest.value),
    }
    if strength:
        inputs["su_kpa"] = facts.su_kpa

    def bears(value: Mapping[str, float]) -> float:
        pore = hydrostatic(facts.shoe_m - value["water_level_m"], facts.water_kn_m3)
        effective = max(0.0, value["total_kpa"] - pore)
        stress = least_horizontal_stress(effective, pore, value["at_rest"] + (0.0 if strength else extra.value))
        return clay_opening_pressure(stress, value["su_kpa"], extra_su.value) if strength else stress

    check = write_comparison(
        Heading(
            STARTER_SHOE,
            facts.place,
            limits=(extra, extra_su, rest),
            formula="clay_opening_pressure" if strength else "least_horizontal_stress",
            remedy="Set the starter deeper, into clay where there is any, or lower the fluid level.",
        ),
        Wording("The pressure at which the ground at the starter's shoe may open", FLUID_HAS, "kPa", SHOE),
        Comparison(
            has=bears,
            needed=lambda value: fluid_pressure(value["density_kg_m3"], facts.shoe_m, value["fluid_level_m"]),
            adverse={name: "high" if name in {"density_kg_m3", "water_level_m"} else "low" for name in inputs},
        ),
        inputs,
    )
    return (check,)


def check_casing_top(facts: CasingTopFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the casing stands over the fluid in it by its freeboard."""
    free = limits["casing_over_fluid_m" if facts.over_water else "freeboard_m"]
    check = write_comparison(
        Heading(
            CASING_OVER_FLUID,
            facts.place,
            limits=(free,),
            remedy="Lengthen the casing at its top, or lower the fluid as far as its head allows.",
        ),
        Wording("The height of the casing over the fluid in it", "needed is", "m", {"fluid_level_m": HIGHEST_FLUID}),
        Comparison(
            has=lambda value: value["fluid_level_m"] - facts.casing_top_m, needed=lambda _: free.value, adverse={"fluid_level_m": "low"}
        ),
        {"fluid_level_m": facts.fluid_level_m},
    )
    return (check,)
