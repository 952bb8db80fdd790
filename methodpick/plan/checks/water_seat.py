"""The seat of a casing over open water, or of one that is kept full in sand: the fluid in it must not run out around the shoe."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.earth_pressure import WATER_KN_M3, hydrostatic
from methodpick.mechanics.emptied_hole import seat_length
from methodpick.mechanics.slurry import fluid_pressure
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Compared, Heading, Wording, make_comparison, over_words
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import COHESIVE, FLUIDS, ROCK
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Choice, Span

WATER_SEAT = Definition(
    "water-seat",
    "Seat of a casing kept full",
    ("cased_balanced", "cased_plug", *FLUIDS),
    "The seat of a casing over water, or of one kept full in sand, is long enough that the excess of the fluid in it does "
    "not run out around the shoe.",
)

ADVERSE = {
    "ground_m": "the deepest scour",
    "density_kg_m3": "the heaviest fluid",
    "inside_level_m": "the highest level inside",
    "water_level_m": "the lowest water outside",
}


@record
class WaterSeatFacts:
    """A casing that is kept full, and the ground around its shoe.

    ``ground_m`` is the depth from which the ground grips the casing, scour and a predrilled gap left out; ``soil`` are the classes
    that the ground from there to the shoe may be; ``inside_level_m`` and ``density_kg_m3`` are of the fluid in the casing;
    ``water_level_m`` is the open water or groundwater outside. ``over_water`` says that the casing stands in the bed of open water.
    """

    place: ProvedPlace
    shoe_m: float
    outside_diameter_m: float
    ground_m: Span
    soil: Choice
    inside_level_m: Span
    density_kg_m3: Span
    water_level_m: Span | None
    over_water: bool
    water_kn_m3: float = WATER_KN_M3


def check_water_seat(facts: WaterSeatFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the shoe stands deep enough for the excess of the fluid inside; none is made for a shoe on rock only."""
    if facts.soil.values <= ROCK:
        return ()
    return (over_words(WATER_SEAT, facts.soil, lambda soil: _seat(facts, limits, granular=soil not in COHESIVE), _where),)


def _where(soil: str) -> str:
    return f"where its soil is {soil.replace('_', ' ')}"


def _seat(facts: WaterSeatFacts, limits: Mapping[str, Limit], *, granular: bool) -> Compared:
    gradient = limits["seat_gradient_granular" if granular else "seat_gradient_clay"]
    least = limits["bed_seat_sand_m" if granular else "bed_seat_clay_m"]
    least_m = least.value if facts.over_water else 0.0

    def needed(value: Mapping[str, float]) -> float:
        inside = fluid_pressure(value["density_kg_m3"], facts.shoe_m, value["inside_level_m"])
        outside = hydrostatic(facts.shoe_m - value["water_level_m"], facts.water_kn_m3)
        return seat_length((inside - outside) / facts.water_kn_m3, facts.outside_diameter_m, gradient.value, least_m, 0.0)

    return make_comparison(
        Heading(
            WATER_SEAT,
            facts.place,
            limits=(gradient, least) if facts.over_water else (gradient,),
            formula="seat_length",
            remedy="Set the shoe deeper, into clay where there is any, or keep the level inside nearer to the water outside.",
            question="How low can the water outside stand, and how deep is the scour?"
            if facts.over_water
            else "How low can the water outside stand?",
        ),
        Wording("The seat of the casing", "the fluid in it asks for", "m", ADVERSE),
        Comparison(
            has=lambda value: facts.shoe_m - value["ground_m"],
            needed=needed,
            adverse={"ground_m": "high", "density_kg_m3": "high", "inside_level_m": "low", "water_level_m": "high"},
        ),
        {
            "ground_m": facts.ground_m,
            "density_kg_m3": facts.density_kg_m3,
            "inside_level_m": facts.inside_level_m,
            "water_level_m": facts.water_level_m,
        },
    )
