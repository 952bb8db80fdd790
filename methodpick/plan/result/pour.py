"""Concrete and quantities."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class PullStep:
    """Concrete level before and after one pull of a casing."""

    casing_no: int
    shoe_m: float
    concrete_level_needed_m: float
    level_drop_m: float
    note: str


@dataclass(frozen=True, slots=True)
class Concrete:
    """Placement and volumes: theoretical by the shaft diameter, fill by the hole as drilled, overbreak as a range."""

    placement: Literal["free_fall", "tremie"]
    why: str
    theoretical_m3: float
    fill_m3: float
    expected_low_m3: float
    expected_m3: float
    expected_high_m3: float
    pour_hours: float
    free_fall_m: float | None
    tremie_embedment_m: float | None
    pulls: tuple[PullStep, ...]
    bulging_ratio: float | None


@dataclass(frozen=True, slots=True)
class QuantityLine:
    """One line of the takeoff with its formula in words and numbers."""

    item: str
    value: float
    unit: str
    formula: str


@dataclass(frozen=True, slots=True)
class Placement:
    """Dry or wet concrete, decided apart from drilling support."""

    state: Literal["dry", "wet"]
    why: str
