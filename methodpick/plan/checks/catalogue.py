"""All proofs of a plan, in the order of a page."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.engine.rulebook import Rulebook
from methodpick.plan.checks.artesian import ARTESIAN_LID, ARTESIAN_SEAT, ARTESIAN_STICK_UP
from methodpick.plan.checks.bare_ground import BARE_OPENWORK, BARE_SOFT_CLAY, BARE_VOIDS
from methodpick.plan.checks.base_failure import BASE_FAILURE
from methodpick.plan.checks.bell import BELL_BELOW_CASING, BELL_CLAY, BELL_DRY, BELL_GROUND
from methodpick.plan.checks.casing_wall import (
    CASING_WALL_DRIVING,
    CASING_WALL_HANDLING,
    CASING_WALL_OSCILLATING,
    CASING_WALL_PRESSURE,
    CASING_WALL_TWISTING,
)
from methodpick.plan.checks.clearance import CLEARANCE_CAGE, CLEARANCE_STRING, CLEARANCE_TOOL
from methodpick.plan.checks.crowd import CROWD
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.drained_wall import DRAINED_WALL
from methodpick.plan.checks.dry_sand import DRY_SAND_COHESION, DRY_SAND_THICKNESS, UNSEALED_DRY
from methodpick.plan.checks.emptied_seal import (
    EMPTIED_SEAL_LENGTH,
    EMPTIED_SEAL_RISING,
    EMPTIED_SEAL_SOIL,
    EMPTIED_SEAL_STRENGTH,
    EMPTIED_SEAL_WHOLE,
)
from methodpick.plan.checks.fluid_head import CASING_OVER_FLUID, STARTER_SHOE
from methodpick.plan.checks.fluid_window import (
    FLUID_DISPLACED,
    FLUID_OPENING,
    FLUID_SPECIFIED_LEAST,
    FLUID_SPECIFIED_MOST,
    FLUID_WALL,
    FLUID_WATER,
)
from methodpick.plan.checks.inflow import INFLOW_EROSION, INFLOW_PLACEMENT, INFLOW_PUMPS
from methodpick.plan.checks.neighbours import NEIGHBOUR_RAILWAY, NEIGHBOUR_VIBRATION
from methodpick.plan.checks.open_time import OPEN_TIME
from methodpick.plan.checks.open_water import OPEN_WATER_CASING, OPEN_WATER_TOP
from methodpick.plan.checks.pick import PICK
from methodpick.plan.checks.platform import PLATFORM_BEARING, PLATFORM_EDGE
from methodpick.plan.checks.pull import PULL
from methodpick.plan.checks.pull_balance import PULL_BALANCE, PULL_BALANCE_CUTOFF, PULL_COVER
from methodpick.plan.checks.reach import REACH_CASING, REACH_DIAMETER, REACH_KELLY
from methodpick.plan.checks.torque import TORQUE_RESTART, TORQUE_TURNING
from methodpick.plan.checks.wall_cohesion import WALL_COHESION
from methodpick.plan.checks.wall_overload import WALL_CLOSURE, WALL_OVERLOAD
from methodpick.plan.checks.water_seat import WATER_SEAT
from methodpick.plan.checks.workability import WORKABILITY

CATALOGUE: tuple[Definition, ...] = (
    EMPTIED_SEAL_SOIL,
    EMPTIED_SEAL_LENGTH,
    EMPTIED_SEAL_STRENGTH,
    EMPTIED_SEAL_WHOLE,
    EMPTIED_SEAL_RISING,
    WATER_SEAT,
    BASE_FAILURE,
    FLUID_SPECIFIED_LEAST,
    FLUID_SPECIFIED_MOST,
    FLUID_DISPLACED,
    FLUID_WALL,
    FLUID_WATER,
    FLUID_OPENING,
    CASING_OVER_FLUID,
    STARTER_SHOE,
    WALL_OVERLOAD,
    WALL_CLOSURE,
    WALL_COHESION,
    DRAINED_WALL,
    OPEN_TIME,
    INFLOW_PLACEMENT,
    INFLOW_PUMPS,
    INFLOW_EROSION,
    CASING_WALL_HANDLING,
    CASING_WALL_DRIVING,
    CASING_WALL_TWISTING,
    CASING_WALL_OSCILLATING,
    CASING_WALL_PRESSURE,
    CLEARANCE_TOOL,
    CLEARANCE_STRING,
    CLEARANCE_CAGE,
    REACH_CASING,
    REACH_DIAMETER,
    REACH_KELLY,
    TORQUE_TURNING,
    TORQUE_RESTART,
    CROWD,
    PICK,
    PULL,
    PULL_BALANCE,
    PULL_COVER,
    PULL_BALANCE_CUTOFF,
    WORKABILITY,
    BELL_BELOW_CASING,
    BELL_DRY,
    BELL_GROUND,
    BELL_CLAY,
    OPEN_WATER_CASING,
    OPEN_WATER_TOP,
    BARE_VOIDS,
    BARE_OPENWORK,
    BARE_SOFT_CLAY,
    NEIGHBOUR_VIBRATION,
    NEIGHBOUR_RAILWAY,
    PLATFORM_BEARING,
    PLATFORM_EDGE,
    ARTESIAN_STICK_UP,
    ARTESIAN_LID,
    ARTESIAN_SEAT,
    DRY_SAND_THICKNESS,
    DRY_SAND_COHESION,
    UNSEALED_DRY,
)
BY_ID: Mapping[str, Definition] = {proof.id: proof for proof in CATALOGUE}
"""The definitions by id."""

COMPARED = {"bulging_ratio": "bulging_most"}
"""Facts of a slice that a proof compares with a limit of which no rule knows."""


def cutting_limits(book: Rulebook) -> tuple[tuple[str, float], ...]:
    """Return the facts of a slice and the limits that rules and proofs compare them with: where a slice must be cut."""
    return (*book.crossings, *((fact, book.values[limit]) for fact, limit in COMPARED.items()))


def definition(proof_id: str) -> Definition:
    """Return the definition of a proof by its id. Raises KeyError for an id that is not in the catalogue.

    >>> definition("base-failure").life
    True
    """
    return BY_ID[proof_id]
