"""The base of a hole in clay: whether the ground beside it pushes the base up, dry, under fluid, balanced or over a plug of soil."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.clay import base_heave_factor
from methodpick.mechanics.emptied_hole import soil_plug_pressure
from methodpick.plan.checks.definition import ANY_STATE, Definition
from methodpick.plan.checks.inputs import GREATEST_LOAD, ProvedPlace, as_number
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Compared, Heading, Wording, make_comparison
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Choice, Span

BASE_FAILURE = Definition(
    "base-failure",
    "Failure of a base in clay",
    ANY_STATE,
    "The strength at the base, or its mean over one diameter below where that is lower, times the bearing number, stands "
    "over the stress beside the base less what stands in the hole, fluid or plug.",
    life=True,
)

HIGH = frozenset({"sensitive", "total_kpa", "surcharge_kpa"})
ADVERSE = {
    "su_base_kpa": "the weakest clay at the base",
    "su_below_kpa": "the weakest clay below the base",
    "sensitive": "sensitive clay",
    "total_kpa": "the heaviest ground",
    "surcharge_kpa": GREATEST_LOAD,
    "inside_kpa": "the least in the hole",
    "plug_unit_weight_kn_m3": "the lightest plug",
    "plug_adhesion_kpa": "the weakest plug",
}


@record
class SoilPlug:
    """The soil that is left in a casing over the shoe: its height, unit weight, remoulded adhesion, and the inside of the casing."""

    height_m: float
    unit_weight_kn_m3: Span
    adhesion_kpa: Span
    inside_diameter_m: float


@record
class BaseFailureFacts:
    """A base in clay.

    ``su_base_kpa`` is the strength at the base, ``su_below_kpa`` its mean over one diameter below; the lower one counts.
    ``total_kpa`` is the total vertical stress beside the base, ``surcharge_kpa`` what a load on the ground adds there, ``inside_kpa``
    the pressure of the fluid in the hole on the base or on the plug.
    """

    place: ProvedPlace
    depth_m: float
    diameter_m: float
    su_base_kpa: Span | None
    su_below_kpa: Span | None
    sensitive: Choice
    total_kpa: Span
    surcharge_kpa: Span
    inside_kpa: Span
    plug: SoilPlug | None = None


def _inputs(facts: BaseFailureFacts) -> dict[str, Span | None]:
    """Return the ranges of a base by their names, those of a plug where one stands in it."""
    inputs: dict[str, Span | None] = {
        "su_base_kpa": facts.su_base_kpa,
        "su_below_kpa": facts.su_below_kpa,
        "sensitive": as_number(facts.sensitive),
        "total_kpa": facts.total_kpa,
        "surcharge_kpa": facts.surcharge_kpa,
        "inside_kpa": facts.inside_kpa,
    }
    if facts.plug is not None:
        inputs |= {"plug_unit_weight_kn_m3": facts.plug.unit_weight_kn_m3, "plug_adhesion_kpa": facts.plug.adhesion_kpa}
    return inputs


def compare_base_failure(facts: BaseFailureFacts, limits: Mapping[str, Limit]) -> Compared:
    """Compare what holds a base in clay with what pushes it up."""
    least, sensitive = limits["base_factor_least"], limits["base_factor_sensitive"]
    recommended = limits["base_factor_recommended"]
    inputs, plug = _inputs(facts), facts.plug

    def factor(value: Mapping[str, float]) -> float:
        held = 0.0
        if plug is not None:
            held = soil_plug_pressure(plug.height_m, value["plug_unit_weight_kn_m3"], value["plug_adhesion_kpa"], plug.inside_diameter_m)
        strength = min(value["su_base_kpa"], value["su_below_kpa"])
        stress = value["total_kpa"] + value["surcharge_kpa"]
        return base_heave_factor(facts.depth_m, facts.diameter_m, strength, stress, value["inside_kpa"] + held)

    return make_comparison(
        Heading(
            BASE_FAILURE,
            facts.place,
            limits=(least, sensitive, recommended),
            formula="base_heave_factor",
            remedy="Keep fluid or a plug of soil in the hole, stop higher, or advance the casing deeper before digging.",
            question="What is the undrained strength of the clay at the base and below it?",
        ),
        Wording("The safety of the clay base against failure", "needed is", "1", ADVERSE),
        Comparison(
            has=factor,
            needed=lambda value: sensitive.value if value["sensitive"] > 0.5 else least.value,
            needed_adverse=lambda _: 1.0,
            recommended=lambda _: recommended.value,
            adverse={name: "high" if name in HIGH else "low" for name in inputs},
        ),
        inputs,
    )
