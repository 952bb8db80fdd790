"""The wall of a casing: handling, the pressure outside it when it is emptied, and the way it is brought down."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.casing import driving_wall, oval_collapse_pressure, slender_wall
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import GREATEST_OUTSIDE, ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import SHAKING_WAYS, CasingWay
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

CASING_WALL_HANDLING = Definition(
    "casing-wall-handling", "Wall for handling", ("string",), "The wall is the least of the trade and stiff enough to be lifted and stored."
)
CASING_WALL_DRIVING = Definition(
    "casing-wall-driving",
    "Wall for driving",
    ("driven", "vibrated"),
    "A driven or vibrated casing has a wall of a quarter inch and a hundredth of its diameter.",
)
CASING_WALL_TWISTING = Definition(
    "casing-wall-twisting", "Wall for twisting", ("twisted",), "A twisted casing has the wall of a driven one, and twelve millimetres."
)
CASING_WALL_OSCILLATING = Definition(
    "casing-wall-oscillating",
    "Wall for oscillating",
    ("oscillated",),
    "An oscillated or rotated casing is segmental, or has a single wall of twenty millimetres and an eightieth of its diameter.",
)
CASING_WALL_PRESSURE = Definition(
    "casing-wall-pressure",
    "Wall against pressure",
    ("cased_dry",),
    "The emptied casing, out of round, bears the pressure outside with its safety; segmental casing by its skins.",
)

THICKER = "Take a thicker wall, or another way of bringing the casing down."


@record
class CasingWallFacts:
    """A casing: outside diameter, wall, the way it is brought down (None where it is set in a drilled hole).

    ``segmental`` casing has two skins with joints; its wall is that of both skins and what is between them. ``outside_kpa`` is the
    greatest pressure outside less what stands inside, None where it is not known; a casing that stays full has none, a point at 0.
    """

    place: ProvedPlace
    outside_diameter_m: float
    wall_m: float
    way: CasingWay | None
    segmental: bool
    outside_kpa: Span | None


def check_casing_wall(facts: CasingWallFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs of a wall: for handling, for the way it is brought down, and against the pressure outside."""
    checks = [_handling(facts, limits)]
    if facts.way in SHAKING_WAYS:
        checks.append(_least(facts, CASING_WALL_DRIVING, "driving", driving_wall(facts.outside_diameter_m), "driving_wall", ()))
    elif facts.way == "twisted":
        least = limits["twisted_wall_min_m"]
        wall = max(least.value, driving_wall(facts.outside_diameter_m))
        checks.append(_least(facts, CASING_WALL_TWISTING, "twisting", wall, "driving_wall", (least,)))
    elif facts.way == "oscillated" and not facts.segmental:
        least, slender = limits["oscillated_wall_min_m"], limits["oscillated_slenderness"]
        wall = slender_wall(facts.outside_diameter_m, least.value, slender.value)
        checks.append(_least(facts, CASING_WALL_OSCILLATING, "oscillating", wall, "slender_wall", (least, slender)))
    return (*checks, _pressure(facts, limits))


def _handling(facts: CasingWallFacts, limits: Mapping[str, Limit]) -> Check:
    least, slender = limits["casing_wall_min_m"], limits["handling_slenderness"]
    wall = slender_wall(facts.outside_diameter_m, least.value, slender.value)
    return _least(facts, CASING_WALL_HANDLING, "handling", wall, "slender_wall", (least, slender))


def _least(facts: CasingWallFacts, proof: Definition, reason: str, wall_m: float, formula: str, limits: tuple[Limit, ...]) -> Check:
    return write_comparison(
        Heading(proof, facts.place, limits=limits, formula=formula, remedy=THICKER),
        Wording("The wall of the casing", f"{reason} asks for", "wall", {}),
        Comparison(has=lambda _: facts.wall_m, needed=lambda _: wall_m, adverse={}),
        {},
    )


def _pressure(facts: CasingWallFacts, limits: Mapping[str, Limit]) -> Check:
    ovality, yields, safety = limits["casing_ovality"], limits["steel_yield_kpa"], limits["collapse_safety"]
    share = limits["segmental_share"]
    collapse = oval_collapse_pressure(facts.outside_diameter_m, facts.wall_m, ovality.value, yields.value)
    bears = collapse * (share.value if facts.segmental else 1.0)
    return write_comparison(
        Heading(
            CASING_WALL_PRESSURE,
            facts.place,
            limits=(ovality, yields, safety, share) if facts.segmental else (ovality, yields, safety),
            formula="oval_collapse_pressure",
            remedy="Take a thicker wall, or empty the casing less deep.",
            question="What presses on the casing from outside when it is emptied?",
        ),
        Wording(
            "The pressure at which the oval casing collapses",
            "with its safety the pressure outside asks for",
            "kPa",
            {"outside_kpa": GREATEST_OUTSIDE},
        ),
        Comparison(has=lambda _: bears, needed=lambda value: safety.value * value["outside_kpa"], adverse={"outside_kpa": "high"}),
        {"outside_kpa": facts.outside_kpa},
    )
