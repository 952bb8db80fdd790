"""The plan of a shaft and of a file, with the ways beside the plan, and what boring and drawings said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from methodpick.ground.site import Site
from methodpick.plan.result.built import HoleLevels
from methodpick.plan.result.checks import Check
from methodpick.plan.result.concrete import Concrete, Placement, QuantityLine
from methodpick.plan.result.fluid import FluidProgramme, Slurry
from methodpick.plan.result.other_ways import Alternate, CautiousPlan, OtherWays, Rung
from methodpick.plan.result.reasons import Caution, Citation, Gap, OpenHazard, TakenAssumption
from methodpick.plan.result.steps import FORMAT, Casing, Interval, Night, ShaftMethod, Stage
from methodpick.terms import UnitSystem


@dataclass(frozen=True, slots=True)
class LogLayer:
    """A layer as the strip shows it."""

    top_m: float
    base_m: float
    soil_class: str
    description: str
    symbol: str


@dataclass(frozen=True, slots=True)
class LogWater:
    """A water line as the strip shows it: low is the deepest level, high the shallowest."""

    low_m: float
    likely_m: float | None
    high_m: float
    aquifer_top_m: float
    aquifer_base_m: float
    kind: str
    source: str


@dataclass(frozen=True, slots=True)
class Log:
    """What the boring said, as far as a report draws it."""

    layers: tuple[LogLayer, ...]
    spt: tuple[tuple[float, str], ...]
    water: tuple[LogWater, ...]
    end_m: float
    ground_elevation_m: float | None
    technique: str
    cave_in_depth_m: float | None
    remarks: tuple[tuple[float | None, str], ...]


@dataclass(frozen=True, slots=True)
class Design:
    """Socket, bell and cage of the shaft, its place, the drilling grade (negative above the ground), the open water over it.

    None where the file does not say.
    """

    socket_top_m: float | None = None
    socket_diameter_m: float | None = None
    bell_diameter_m: float | None = None
    bell_height_m: float | None = None
    cage_diameter_m: float | None = None
    east_m: float | None = None
    north_m: float | None = None
    grade_m: float = 0.0
    water_depth_m: float | None = None


@dataclass(frozen=True, slots=True)
class ShaftPlan:
    """The method for one shaft.

    ``proven`` is off, here and in every other way, where a check fails that no sequence meets, and where the trials of its search ended.

    ``cuts_m`` are the depths between which the facts of the ground keep one set of values, from the ground to the tip;
    ``slurries`` holds every fluid of the plan in the order of use, ``slurry`` the one of the longest length; ``nights`` those between
    the shifts of its work.
    """

    id: str
    boring: str
    boring_distance_m: float | None
    diameter_m: float
    tip_depth_m: float
    method: ShaftMethod
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
    other_ways: OtherWays
    relative_cost: float
    fluid_level_m: float | None
    cutoff_m: float
    count: int
    doubts: tuple[str, ...]
    ground: Log
    boring_level_m: float | None = None
    design: Design = field(default_factory=Design)
    checks: tuple[Check, ...] = ()
    proven: bool = True
    levels: HoleLevels | None = None
    cuts_m: tuple[float, ...] = ()
    slurries: tuple[Slurry, ...] = ()
    nights: tuple[Night, ...] = ()

    @property
    def cautious(self) -> CautiousPlan | None:
        """Return the plan on firmer states only; None where it is the plan itself."""
        return self.other_ways.cautious

    @property
    def alternates(self) -> tuple[Alternate, ...]:
        """Return the best plan of every other family, and relief wells where they are an option."""
        return self.other_ways.alternates

    @property
    def ladder(self) -> tuple[Rung, ...]:
        """Return the rungs: planned, fallback, worst credible."""
        return self.other_ways.ladder


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
class Departure:
    """A change that made the rulebook less careful: whose it is, what it is, and the reason that was given."""

    origin: str
    what: str
    reason: str


@dataclass(frozen=True, slots=True)
class RulebookStamp:
    """Which rulebook decided, the limits that its overlays set, and everything that makes it less careful than the shipped one."""

    digest: str
    overlays: tuple[str, ...]
    set_by_overlays: tuple[SetValue, ...] = ()
    loosened: tuple[Departure, ...] = ()


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
    units: UnitSystem = "us"
    sources: Mapping[str, str] = field(default_factory=dict)
    format: str = FORMAT
    site: Site | None = None
