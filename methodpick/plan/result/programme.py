"""The fluid programme of a shaft: which fluid and why, its mix, its control, its loss and reserve."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from methodpick.plan.result.why import Citation

Standing = Literal["planned", "open", "against_advice", "unsettled", "ruled_out", "not_allowed"]
Finding = Literal["good", "act", "not_tested"]


@dataclass(frozen=True, slots=True)
class LimitUsed:
    """A limit as it was used: its name in the rulebook, value, source, how well it is known, and the overlay that set it."""

    limit: str
    value: float
    unit: str
    source: Citation
    confidence: str
    set_by: str = ""


@dataclass(frozen=True, slots=True)
class FluidStanding:
    """How one fluid stands for this shaft, by the site file and the rules, and why."""

    fluid: str
    standing: Standing
    why: str
    rules: tuple[str, ...]
    sources: tuple[Citation, ...]


@dataclass(frozen=True, slots=True)
class WaterCheck:
    """One property of the mixing and ground water against its limit; where nobody tested it the value is an assumption or None."""

    what: str
    value: float | None
    unit: str
    limit: LimitUsed | None
    finding: Finding
    text: str


@dataclass(frozen=True, slots=True)
class Ingredient:
    """What goes into a cubic metre of fluid, and into the stock at the middle dose."""

    name: str
    least_kg_m3: float
    kg_m3: float
    most_kg_m3: float
    stock_kg: float
    formula: str
    sources: tuple[Citation, ...]
    confidence: str


@dataclass(frozen=True, slots=True)
class Grade:
    """The bentonite that one grade needs for the same slurry."""

    grade: str
    least_kg_m3: float
    kg_m3: float
    most_kg_m3: float
    source: Citation
    confidence: str


@dataclass(frozen=True, slots=True)
class Mix:
    """The mix, its density when fresh, and what that means for the window. Plain water has no ingredients but itself."""

    ingredients: tuple[Ingredient, ...]
    grades: tuple[Grade, ...]
    fresh_density_kg_m3: float
    checks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SandLoad:
    """What carried sand does to the density: at the limit of sand, and the sand that brings it to the limit of density."""

    fresh_density_kg_m3: float
    sand_limit: LimitUsed
    density_at_sand_limit_kg_m3: float
    density_limit: LimitUsed
    sand_at_density_limit_percent: float
    sand_at_target_percent: float | None
    text: str


@dataclass(frozen=True, slots=True)
class ControlRow:
    """One property of the fluid with its limits at introduction and before concreting, and the test for it."""

    name: str
    unit: str
    introduction_low: LimitUsed | None
    introduction_high: LimitUsed | None
    concreting_low: LimitUsed | None
    concreting_high: LimitUsed | None
    test: str
    standards: tuple[Citation, ...]


@dataclass(frozen=True, slots=True)
class TestTime:
    """When the fluid is tested."""

    text: str
    limits: tuple[LimitUsed, ...]


@dataclass(frozen=True, slots=True)
class FluidLoss:
    """What is lost: with the work, into the ground each hour, and once into the pores; and how long the reserve lasts.

    None stands where nothing is lost that way, or where the log does not say enough.
    """

    handling_least_m3: float
    handling_most_m3: float
    rate_least_m3_h: float | None
    rate_m3_h: float | None
    rate_most_m3_h: float | None
    once_least_m3: float | None
    once_most_m3: float | None
    hours_open: float
    reserve_m3: float
    hours_covered: float | None
    hours_covered_least: float | None
    stock_needed_m3: float
    text: str


@dataclass(frozen=True, slots=True)
class FluidProgramme:
    """All about the fluid of a shaft but its window."""

    fluid: str
    hole_m3: float
    stock_factor: LimitUsed
    stock_m3: float
    choice: tuple[FluidStanding, ...]
    water: tuple[WaterCheck, ...]
    mix: Mix
    sand: SandLoad
    controls: tuple[ControlRow, ...]
    times: tuple[TestTime, ...]
    loss: FluidLoss
