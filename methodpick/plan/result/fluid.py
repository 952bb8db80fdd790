"""The levels of the hole with water that wells draw down, and the support fluid in it.

Of the fluid: its density window by depth, over the hole and as the level changes; its choice, mix, control, loss and reserve.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

from methodpick.plan.result.checks import Citation, LimitUsed
from methodpick.records import record
from methodpick.terms import Fluid

# ---- the levels of the hole, and water that wells draw down


@record
class HoleLevels:
    """Depths below the ground: the drilling grade (negative above it), the level of every fluid, the base of the starter.

    ``stick_up_m`` is the height of the casings over the drilling grade, ``dry_stick_up_m`` that of a starter in which no fluid ever stands,
    ``head_missing_m`` what the highest stick-up leaves of the head that the ground asks for. ``raised_m`` is the fill by which the plan
    raises the drilling grade, where the site file states none. ``dry_starter_base_m`` is the base of the starter of a hole that is dry
    from there to the tip, where that may end above what the fluids ask for; None where it may not.
    """

    grade_m: float
    fluid_m: Mapping[str, float]
    stick_up_m: float
    starter_base_m: float
    head_missing_m: float
    dry_stick_up_m: float
    raised_m: float = 0.0
    dry_starter_base_m: float | None = None

    @property
    def casing_top_m(self) -> float:
        """Return the depth of the casing tops (negative above the ground)."""
        return self.grade_m - self.stick_up_m

    @property
    def without_fluid(self) -> HoleLevels:
        """Return the same levels for a hole that is dry from the starter to the tip: the starter stands no higher than it has to."""
        return replace(self, stick_up_m=self.dry_stick_up_m)

    def dry_below(self, depth_m: float) -> HoleLevels:
        """Return the levels for a hole that is dry from the shoe of its starter to the tip: the shoe as shallow as such a hole may have it.

        It is that for the fluids where the depth is not that of the shallower one.
        """
        shallow_m = self.dry_starter_base_m
        if shallow_m is None or abs(depth_m - shallow_m) > 1e-6:
            return self.without_fluid
        return replace(self.without_fluid, starter_base_m=shallow_m)

    @property
    def floor_m(self) -> float:
        """Return the depth that is drilled from: the ground, or the floor of a pit."""
        return max(0.0, self.grade_m)

    @property
    def has_starter(self) -> bool:
        """Return whether a starter is planned; where none is, its base is the depth that is drilled from."""
        return self.starter_base_m > self.floor_m

    @property
    def surface_m(self) -> float | None:
        """Return the depth from which a casing that is brought down first stands in place of a starter; None where there is none."""
        return self.floor_m if self.has_starter else None

    def predug_m(self, usual_m: float) -> float:
        """Return to where the top is dug out for a casing in place of a starter; ``usual_m`` is the greatest usual length of a starter."""
        return min(self.starter_base_m, self.floor_m + usual_m)

    def level_of(self, fluid: str | None) -> float | None:
        """Return the level of a fluid, None without a fluid."""
        return None if fluid is None else self.fluid_m[fluid]


@record
class Drawdown:
    """Ground in which wells keep the water of one aquifer at a level, with the levels and the slices of the hole in it."""

    aquifer_top_m: float
    aquifer_base_m: float
    level_m: float
    levels: HoleLevels
    cuts_m: tuple[float, ...]


# ---- the support fluid


Action = Literal["raise_level", "lower_level", "other_fluid", "case", "lower_groundwater", "shorten"]


@record
class DensityAt:
    """The density window at one depth; None where a side does not bind. ``wanted`` is the least at the recommended factors."""

    depth_m: float
    density_min_kg_m3: float | None
    density_max_kg_m3: float | None
    min_by: str
    max_by: str
    density_wanted_kg_m3: float | None = None


@record
class WallSpread:
    """What the theories ask of the fluid where they ask most of a granular wall, at the likely friction and at its low end.

    ``hard`` takes the hoop stress as the major one and the least factor, ``wanted`` the stress at rest and the recommended one.
    """

    hard_kg_m3: float
    wanted_kg_m3: float
    cautious_kg_m3: float
    depth_m: float
    hard_factor: float
    wanted_factor: float


@record
class LevelAt:
    """What the ground asks of the fluid with its surface at one level, and whether the planned fluid meets it there.

    Densities are those of the ground alone, the specification not counted: the least at the factors that nobody goes below,
    the least at the recommended ones, the greatest; None where a side does not bind. ``open_`` and ``recommended`` tell
    whether the fluid, within its specification, has a density that meets the least and the recommended factors;
    ``head_kept`` whether the head rule is met.
    """

    level_m: float
    head_m: float | None
    stick_up_m: float
    density_min_kg_m3: float | None
    density_wanted_kg_m3: float | None
    density_max_kg_m3: float | None
    min_by: str
    wanted_by: str
    max_by: str
    open_: bool
    recommended: bool
    head_kept: bool
    planned: bool


@record
class LevelNeeded:
    """The level that a fluid needs at its usual density, what asks for it, and the highest that the ground takes.

    ``level_m`` is None where no level does. ``allowed`` tells whether the site file and every rule leave the fluid open here.
    """

    fluid: str
    density_kg_m3: float
    density_low_kg_m3: float
    density_high_kg_m3: float
    level_m: float | None
    level_highest_m: float | None
    head_m: float | None
    stick_up_m: float | None
    reachable: bool
    allowed: bool
    because: str


@record
class Remedy:
    """What to do about an empty window, with its numbers. ``opens`` tells whether this alone opens the window.

    Only the numbers of its own kind are given: the level and the stick-up, the other fluid, the length to case, the
    groundwater level to reach and by how much it falls, or the depth to stop at.
    """

    action: Action
    opens: bool
    text: str
    level_m: float | None = None
    change_m: float | None = None
    stick_up_m: float | None = None
    fluid: str | None = None
    top_m: float | None = None
    base_m: float | None = None
    density_min_kg_m3: float | None = None
    density_max_kg_m3: float | None = None


@record
class Slurry:
    """The density window of the hole at its fluid level. An empty window has its minimum above its maximum.

    ``density_wanted_kg_m3`` is the least at the recommended factors; ``levels`` run from the highest that the stick-up
    allows down to the groundwater; ``remedies`` are given where the window is empty, in the order to try them.
    """

    fluid: Fluid
    top_m: float
    base_m: float
    level_m: float
    head_m: float | None
    density_min_kg_m3: float | None
    density_max_kg_m3: float | None
    density_target_kg_m3: float | None
    governed_by: str
    level_that_opens_m: float | None
    wall_spread: WallSpread | None
    by_depth: tuple[DensityAt, ...]
    density_wanted_kg_m3: float | None = None
    levels: tuple[LevelAt, ...] = ()
    needed: tuple[LevelNeeded, ...] = ()
    remedies: tuple[Remedy, ...] = ()


# ---- fluid programme


Standing = Literal["planned", "open", "against_advice", "unsettled", "ruled_out", "not_allowed"]
WaterFinding = Literal["good", "act", "not_tested"]


@record
class FluidStanding:
    """How one fluid stands for this shaft, by the site file and the rules, and why."""

    fluid: str
    standing: Standing
    why: str
    rules: tuple[str, ...]
    sources: tuple[Citation, ...]


@record
class WaterCheck:
    """One property of the mixing and ground water against its limit; where nobody tested it the value is an assumption or None."""

    what: str
    value: float | None
    unit: str
    limit: LimitUsed | None
    finding: WaterFinding
    text: str


@record
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


@record
class Grade:
    """The bentonite that one grade needs for the same slurry."""

    grade: str
    least_kg_m3: float
    kg_m3: float
    most_kg_m3: float
    source: Citation
    confidence: str


@record
class Mix:
    """The mix, its density when fresh, and what that means for the window. Plain water has no ingredients but itself."""

    ingredients: tuple[Ingredient, ...]
    grades: tuple[Grade, ...]
    fresh_density_kg_m3: float
    checks: tuple[str, ...]


@record
class SandLoad:
    """What carried sand does to the density: at the limit of sand, and the sand that brings it to the limit of density."""

    fresh_density_kg_m3: float
    sand_limit: LimitUsed
    density_at_sand_limit_kg_m3: float
    density_limit: LimitUsed
    sand_at_density_limit_percent: float
    sand_at_target_percent: float | None
    text: str


@record
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


@record
class TestTime:
    """When the fluid is tested."""

    text: str
    limits: tuple[LimitUsed, ...]


@record
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


@record
class FluidProgramme:
    """All about the fluid of a shaft but its window."""

    fluid: Fluid
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

    @property
    def stocks_losses(self) -> bool:
        """Return whether hole and losses come to more than the factor of the stock gives, and are the stock."""
        return self.stock_m3 > self.hole_m3 * self.stock_factor.value + 1e-6
