"""Water below that rises above the ground: how high the casing must stand, and whether the starter is sealed in the lid."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.earth_pressure import WATER_KN_M3, hydrostatic
from methodpick.mechanics.slurry import level_for_pressure
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.emptied_seal import SEAL_LIMITS, seal_length
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison, InputWords
from methodpick.plan.checks.record import SEAL_ASKS, Heading, Wording, write_comparison, write_condition
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import COHESIVE
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Choice, Span

ARTESIAN_STICK_UP = Definition(
    "artesian-stick-up",
    "Stick-up, artesian head",
    ("shaft",),
    "The casing stands high enough for fluid that holds the water below; above about three metres relief wells with the engineer.",
    life=True,
)
ARTESIAN_LID = Definition(
    "artesian-lid",
    "Starter in the lid",
    ("shaft",),
    "The starter's shoe stands in tight ground over the water, so that nothing pipes up outside it.",
    life=True,
)
ARTESIAN_SEAT = Definition(
    "artesian-seat", "Seat of the starter in the lid", ("shaft",), "The starter is sealed in the lid before the lid is pierced.", life=True
)

QUESTION = "How high does the water of the lower layer rise, measured in a sealed standpipe?"
RELIEF = "Lower the water below by relief wells with the engineer, or raise the platform; otherwise the lid is not pierced."


@record
class ArtesianFacts:
    """A shaft into water that rises above the ground.

    ``aquifer_top_m`` is where the lid ends, ``water_level_m`` the level to which its water rises, ``grade_m`` the drilling grade (both
    negative above the ground); ``density_kg_m3`` is that of the fluid in the hole. ``lid_top_m`` and ``lid_soil`` are the lid,
    ``starter_shoe_m`` and ``undrilled_from_m`` the starter and the depth from which it is forced through undrilled ground.
    """

    place: ProvedPlace
    aquifer_top_m: float
    water_level_m: Span | None
    grade_m: float
    density_kg_m3: Span
    lid_top_m: float
    lid_soil: Choice
    starter_shoe_m: float
    undrilled_from_m: Span
    outside_diameter_m: float
    water_kn_m3: float = WATER_KN_M3


def check_artesian(facts: ArtesianFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs of the stick-up and of the starter's seat in the lid."""
    return _stick_up(facts, limits), _lid(facts), _seat(facts, limits)


def stick_up_needed(facts: ArtesianFacts, water_level_m: float, density_kg_m3: float, limits: Mapping[str, Limit]) -> float:
    """Return the height in m over the drilling grade at which a casing holds fluid against the water below, freeboard included.

    The fluid balances the water and the least head at the top of the aquifer; a heavier fluid needs less height.
    """
    return _height(facts, water_level_m, density_kg_m3, limits["fluid_head_least_m"].value, limits["freeboard_m"].value)


def _height(facts: ArtesianFacts, water_level_m: float, density_kg_m3: float, head_m: float, free_m: float) -> float:
    press = hydrostatic(facts.aquifer_top_m - water_level_m + head_m, facts.water_kn_m3)
    return max(0.0, facts.grade_m - level_for_pressure(press, facts.aquifer_top_m, density_kg_m3) + free_m)


def _stick_up(facts: ArtesianFacts, limits: Mapping[str, Limit]) -> Check:
    most, head, free = limits["stick_up_max_m"], limits["fluid_head_least_m"], limits["freeboard_m"]
    return write_comparison(
        Heading(ARTESIAN_STICK_UP, facts.place, limits=(most, head, free), formula="level_for_pressure", remedy=RELIEF, question=QUESTION),
        Wording(
            "The height that a casing can stand above the drilling grade",
            "fluid that holds the water below needs",
            "m",
            {"water_level_m": "the highest water below", "density_kg_m3": "the lightest fluid"},
        ),
        Comparison(
            has=lambda _: most.value,
            needed=lambda value: stick_up_needed(facts, value["water_level_m"], value["density_kg_m3"], limits),
            needed_adverse=lambda value: _height(facts, value["water_level_m"], value["density_kg_m3"], 0.0, free.value),
            adverse={"water_level_m": "low", "density_kg_m3": "low"},
        ),
        {"water_level_m": facts.water_level_m, "density_kg_m3": facts.density_kg_m3},
    )


def _lid(facts: ArtesianFacts) -> Check:
    def broken(value: InputWords) -> bool:
        return value["soil"] not in COHESIVE | {"intermediate"}

    return write_condition(
        Heading(
            ARTESIAN_LID,
            facts.place,
            remedy="Set the starter deeper, into tight ground over the water below.",
            question="What is the ground at the starter's shoe?",
        ),
        "the starter's shoe stands in tight ground",
        "the starter's shoe stands in ground that water pipes through, up outside the casing",
        broken,
        {"soil": facts.lid_soil},
    )


def _seat(facts: ArtesianFacts, limits: Mapping[str, Limit]) -> Check:
    values = {name: limits[name].value for name in SEAL_LIMITS}

    def needed(value: Mapping[str, float]) -> float:
        return seal_length(facts.grade_m - value["water_level_m"], facts.outside_diameter_m, values)

    return write_comparison(
        Heading(
            ARTESIAN_SEAT,
            facts.place,
            limits=tuple(limits[name] for name in SEAL_LIMITS),
            formula="seat_length",
            remedy="Push the starter further into the lid, or grout around it.",
            question=f"{QUESTION} From which depth is the starter pushed rather than set in a drilled hole?",
        ),
        Wording(
            "The length of the starter in the undrilled lid",
            SEAL_ASKS,
            "m",
            {"water_level_m": "the highest water below", "undrilled_from_m": "the deepest drilled hole"},
        ),
        Comparison(
            has=lambda value: facts.starter_shoe_m - max(value["undrilled_from_m"], facts.lid_top_m),
            needed=needed,
            adverse={"water_level_m": "low", "undrilled_from_m": "high"},
        ),
        {"water_level_m": facts.water_level_m, "undrilled_from_m": facts.undrilled_from_m},
    )
