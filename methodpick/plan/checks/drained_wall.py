"""Soil that only the fluid holds, above a cavity that may take the fluid: when the level falls, the wall falls."""

from __future__ import annotations

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.record import Heading, write_condition
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import FLUIDS
from methodpick.vocabulary.values import NO, YES, Choice, point

DRAINED_WALL = Definition(
    "drained-wall",
    "Soil above a cavity",
    FLUIDS,
    "No cavity is opened while soil that does not stand without the fluid stands in the open hole above it.",
)
CAVITY_TOP = "cavity_top_m"
"""The input that says from what depth on a cavity is open."""
OPEN_SHOE = "open_shoe_m"
"""The input that says at what depth a shoe that does not seal stands below the soil."""
OPEN_VOID = Choice(frozenset({YES, NO}), YES)
"""Whether an open void takes the fluid, where the boring tells of no loss: likely."""
OTHER_CAVITIES = Choice(frozenset({YES, NO}), NO)
"""The same of rock with cavities, which may be filled or small: not likely."""


@record
class DrainedWallFacts:
    """Soil over ``place`` that only the fluid holds when a cavity below it is opened.

    ``cavity_top_m`` is the depth of the cavity, ``cavity`` whether there is one, and ``takes_fluid`` whether it takes the fluid;
    ``open_shoe_m`` is the depth of a shoe that does not seal, under which the soil comes in, None where it stands in the open hole.
    """

    place: ProvedPlace
    cavity_top_m: float
    cavity: Choice
    takes_fluid: Choice
    open_shoe_m: float | None = None


def check_drained_wall(facts: DrainedWallFacts) -> tuple[Check, ...]:
    """Return the proof that no cavity drains the fluid that holds the soil above; it fails where the loss is certain."""
    shoe = {} if facts.open_shoe_m is None else {OPEN_SHOE: point(facts.open_shoe_m)}
    return (
        write_condition(
            Heading(
                DRAINED_WALL,
                facts.place,
                remedy="Case the soil into the rock and seal it before the cavity is opened, or fill the cavity first.",
                question="Are the cavities open, and do they take fluid?",
            ),
            "no cavity takes the fluid that holds the soil above it",
            "a cavity takes the fluid, and the soil that stood by it falls in",
            lambda value: value["cavity"] == YES and value["takes_fluid"] == YES,
            {"cavity": facts.cavity, "takes_fluid": facts.takes_fluid, CAVITY_TOP: point(facts.cavity_top_m), **shoe},
        ),
    )
