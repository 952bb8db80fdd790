"""What a way of building stands on: the levels of the hole, and water that wells draw down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class HoleLevels:
    """Depths below the ground: the drilling grade (negative above it), the level of every fluid, the base of the starter.

    ``stick_up_m`` is the height of the casings over the drilling grade, ``head_missing_m`` what the stick-up leaves of the head
    that the ground asks for.
    """

    grade_m: float
    fluid_m: Mapping[str, float]
    stick_up_m: float
    starter_base_m: float
    head_missing_m: float


@dataclass(frozen=True, slots=True)
class Drawdown:
    """Ground in which wells keep the water of one aquifer at a level, with the levels and the slices of the hole in it."""

    aquifer_top_m: float
    aquifer_base_m: float
    level_m: float
    levels: HoleLevels
    cuts_m: tuple[float, ...]
