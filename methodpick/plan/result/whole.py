"""The plan of a shaft and of a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from methodpick.ground.site import Site
from methodpick.plan.result.built import Drawdown, HoleLevels
from methodpick.plan.result.checks import Check
from methodpick.plan.result.design import Design
from methodpick.plan.result.fluid import Slurry
from methodpick.plan.result.ladder import Rung
from methodpick.plan.result.log import Log
from methodpick.plan.result.notes import Caution, Gap, OpenHazard, TakenAssumption
from methodpick.plan.result.pour import Concrete, Placement, QuantityLine
from methodpick.plan.result.programme import FluidProgramme
from methodpick.plan.result.steps import Casing, Interval, Stage
from methodpick.plan.result.why import Citation
from methodpick.plan.result.words import FORMAT, Method


@dataclass(frozen=True, slots=True)
class CautiousPlan:
    """The plan on firmer states only, and what the difference hangs on."""

    intervals: tuple[Interval, ...]
    stages: tuple[Stage, ...]
    casings: tuple[Casing, ...]
    slurry: Slurry | None
    relative_cost: float
    differs_because: str
    trigger: str = ""
    settles: str = ""
    slurries: tuple[Slurry, ...] = ()
    placement: Placement | None = None
    concrete: Concrete | None = None
    checks: tuple[Check, ...] = ()


@dataclass(frozen=True, slots=True)
class Alternate:
    """The best plan of another family and why it lost; ``drawdown`` where wells draw water down for it."""

    family: str
    intervals: tuple[Interval, ...]
    stages: tuple[Stage, ...]
    casings: tuple[Casing, ...]
    relative_cost: float | None
    why_not: str
    slurries: tuple[Slurry, ...] = ()
    placement: Placement | None = None
    concrete: Concrete | None = None
    checks: tuple[Check, ...] = ()
    drawdown: Drawdown | None = None


@dataclass(frozen=True, slots=True)
class ShaftPlan:
    """The method for one shaft.

    ``cuts_m`` are the depths between which the facts of the ground keep one set of values, from the ground to the tip;
    ``slurries`` holds every fluid of the plan in the order of use, ``slurry`` the one of the longest length.
    """

    id: str
    boring: str
    boring_distance_m: float | None
    diameter_m: float
    tip_depth_m: float
    method: Method
    decision: str
    placement: Placement
    intervals: tuple[Interval, ...]
    stages: tuple[Stage, ...]
    casings: tuple[Casing, ...]
    slurry: Slurry | None
    fluid_programme: FluidProgramme | None
    concrete: Concrete
    quantities: tuple[QuantityLine, ...]
    assumptions: tuple[TakenAssumption, ...]
    open_hazards: tuple[OpenHazard, ...]
    cautions: tuple[Caution, ...]
    gaps: tuple[Gap, ...]
    cautious: CautiousPlan | None
    alternates: tuple[Alternate, ...]
    relative_cost: float
    fluid_level_m: float | None
    cutoff_m: float
    count: int
    doubts: tuple[str, ...]
    ground: Log
    boring_level_m: float | None = None
    design: Design = field(default_factory=Design)
    ladder: tuple[Rung, ...] = ()
    checks: tuple[Check, ...] = ()
    proven: bool = True
    levels: HoleLevels | None = None
    cuts_m: tuple[float, ...] = ()
    slurries: tuple[Slurry, ...] = ()


@dataclass(frozen=True, slots=True)
class SetValue:
    """A limit that an overlay set, with its source and how well it is known."""

    name: str
    value: float
    unit: str
    overlay: str
    source: Citation
    confidence: str


@dataclass(frozen=True, slots=True)
class RulebookStamp:
    """Which rulebook decided, and the limits that its overlays set."""

    digest: str
    overlays: tuple[str, ...]
    set_by_overlays: tuple[SetValue, ...] = ()


@dataclass(frozen=True, slots=True)
class InputStamp:
    """Which file was read, and whether what practice takes as normal was assumed."""

    path: str
    digest: str
    assumptions: bool = True


@dataclass(frozen=True, slots=True)
class Plan:
    """The plans of all shafts of one file, with what they rest on: ``site`` is the ground and the design as planned."""

    tool_version: str
    rulebook: RulebookStamp
    input: InputStamp
    shafts: tuple[ShaftPlan, ...]
    site_name: str = ""
    units: Literal["us", "si"] = "us"
    sources: Mapping[str, str] = field(default_factory=dict)
    format: str = FORMAT
    site: Site | None = None
