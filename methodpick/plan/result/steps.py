"""Intervals, stages and casings: what holds the wall, and in which order it is built."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from methodpick.plan.result.why import Flip, Reason, StateVerdict
from methodpick.plan.result.words import Confidence, Support


@dataclass(frozen=True, slots=True)
class Interval:
    """A length of shaft with one support. ``support`` is what holds the wall there when the tip is reached."""

    top_m: float
    base_m: float
    layer: str
    soil_class: str
    support: Support
    fluid: str | None
    drilled_in: str | None
    later_in: tuple[str, ...]
    confidence: Confidence
    verdicts: Mapping[str, StateVerdict]
    casing_verdicts: Mapping[str, StateVerdict]
    reasons: tuple[Reason, ...]
    would_change: tuple[Flip, ...] | None = None


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of the work, in order."""

    no: int
    action: str
    top_m: float
    base_m: float
    support: Support
    state: str | None
    fluid: str | None
    hours: float | None
    text: str


@dataclass(frozen=True, slots=True)
class Casing:
    """A casing string; ``top_m`` is negative by the stick-up."""

    kind: Literal["starter", "temporary", "permanent"]
    outside_diameter_m: float
    wall_m: float
    top_m: float
    base_m: float
    length_m: float
    mass_kg: float
    installed_by: str
    predrill_base_m: float
    predrill_diameter_m: float | None
    advanced_m: float
    sealed: Literal["yes", "probable", "no"]
    seat_layer: str
    why: str
