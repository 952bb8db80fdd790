"""The plan of a shaft and of a file, with the ways beside the plan, and what boring and drawings said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from typing import Literal

from methodpick.ground.position import Position
from methodpick.ground.site import Site
from methodpick.plan.result.checks import Caution, Check, Citation, Gap, OpenHazard, TakenAssumption
from methodpick.plan.result.fluid import FluidProgramme, HoleLevels, Slurry
from methodpick.plan.result.other_ways import Alternate, CautiousPlan, OtherWays, Rung
from methodpick.plan.result.steps import FORMAT, Casing, Concrete, Interval, Night, Placement, QuantityLine, ShaftMethod, Stage, ground_word
from methodpick.records import record
from methodpick.terms import STARTER, UnitSystem
from methodpick.unit_markup import SAME_LENGTH_M


@record
class LogLayer:
    """A layer as the strip shows it."""

    top_m: float
    base_m: float
    soil_class: str
    description: str
    symbol: str
    slab: bool = False

    @property
    def ground(self) -> str:
        """Return what is met, in one word or two."""
        return ground_word(self.soil_class, slab=self.slab)


@record
class LogWater:
    """A water line as the strip shows it: low is the deepest level, high the shallowest.

    ``none_met`` where the boring met no water: the level is counted below it then, and nobody has read one.
    """

    low_m: float
    likely_m: float | None
    high_m: float
    aquifer_top_m: float
    aquifer_base_m: float
    kind: str
    source: str
    none_met: bool


@record
class PlanDoubt:
    """What does not fit in the logs and is planned with: about what, where in it in words, and what is done or to be done about it.

    ``about`` is the boring or a shaft, then by ``name``, the whole site, or the facts that were worked out, whose sentence says where.
    """

    about: Literal["boring", "shaft", "site", "facts"]
    name: str
    at: str
    text: str

    @classmethod
    def of_facts(cls, text: str) -> PlanDoubt:
        """Return a doubt about the facts that were worked out."""
        return cls("facts", "", "", text)

    @property
    def words(self) -> str:
        """Return the doubt as pages tell it."""
        subject = f"{self.about} {self.name}".rstrip()
        return self.text if self.about == "facts" else f"{subject}, {self.at}: {self.text}" if self.at else f"{subject}: {self.text}"


@record
class Log:
    """What the boring said, as far as a report draws it, and when it was drilled; empty where nobody says when."""

    layers: tuple[LogLayer, ...]
    spt: tuple[tuple[float, str], ...]
    water: tuple[LogWater, ...]
    end_m: float
    ground_elevation_m: float | None
    technique: str
    cave_in_depth_m: float | None
    remarks: tuple[tuple[float | None, str], ...]
    date: str = ""


@record
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
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    grade_m: float = 0.0
    water_depth_m: float | None = None

    def placed_at(self, position: Position | None) -> Design:
        """Return the same design at another place; at none where that is not known."""
        if position is None:
            return replace(self, east_m=None, north_m=None, latitude_deg=None, longitude_deg=None)
        east_m, north_m, latitude_deg, longitude_deg = position.east_m, position.north_m, position.latitude_deg, position.longitude_deg
        return replace(self, east_m=east_m, north_m=north_m, latitude_deg=latitude_deg, longitude_deg=longitude_deg)

    @property
    def datum(self) -> str:
        """Return the surface from which depths and heights are told: the ground, or the mudline under open water."""
        return "the mudline" if self.water_depth_m else "the ground"


@record
class ShaftPlan:
    """The method for one shaft.

    Where nothing is decided at any depth (``has_method``), there are no stages, casings, fluids, quantities and nights, and neither
    placement nor concrete: nothing of it can be counted, priced or scheduled.

    ``proven`` is off, here and in every other way, where a check fails or is short at the likely
    values that no sequence meets, and where the trials of its search ended.

    ``cuts_m`` are the depths between which the facts of the ground keep one set of values, from the ground to the tip;
    ``slurries`` holds every length that stands bare under a fluid at one time, in the order in which they are opened, ``slurry`` the
    longest of the fluid that drills most; ``nights`` those between the shifts of its work.
    """

    id: str
    boring: str
    boring_distance_m: float | None
    diameter_m: float
    tip_depth_m: float
    method: ShaftMethod
    decision: str
    placement: Placement | None
    intervals: tuple[Interval, ...]
    stages: tuple[Stage, ...]
    casings: tuple[Casing, ...]
    slurry: Slurry | None
    fluid_programme: FluidProgramme | None
    concrete: Concrete | None
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
    doubts: tuple[PlanDoubt, ...]
    ground: Log
    boring_level_m: float | None = None
    design: Design = field(default_factory=Design)
    checks: tuple[Check, ...] = ()
    proven: bool = True
    levels: HoleLevels | None = None
    cuts_m: tuple[float, ...] = ()
    slurries: tuple[Slurry, ...] = ()
    nights: tuple[Night, ...] = ()

    def named(self, name: str) -> ShaftPlan:
        """Return the plan under another name of its shaft, its doubts included."""
        doubts = tuple(replace(doubt, name=name) if doubt.about == "shaft" else doubt for doubt in self.doubts)
        return replace(self, id=name, doubts=doubts)

    def in_starter(self, interval: Interval) -> bool:
        """Return whether a length that is decided stands in the starter and in no other casing."""
        around = {
            casing.kind for casing in self.casings if casing.top_m <= interval.top_m and casing.base_m >= interval.base_m - SAME_LENGTH_M
        }
        return around == {STARTER} and interval.support != "undecided"

    @property
    def built_intervals(self) -> tuple[Interval, ...]:
        """Return the intervals; where the starter holds some of its length it is told over all of it, and one is cut at its shoe."""
        if not any(map(self.in_starter, self.intervals)):
            return self.intervals
        shoe_m = max(casing.base_m for casing in self.casings if casing.is_starter)
        parts: list[Interval] = []
        for interval in self.intervals:
            if interval.top_m + SAME_LENGTH_M < shoe_m < interval.base_m - SAME_LENGTH_M:
                parts += [replace(interval, base_m=shoe_m), replace(interval, top_m=shoe_m)]
            else:
                parts.append(interval)
        return tuple(parts)

    @property
    def has_method(self) -> bool:
        """Return whether the support of any depth is decided; else nothing is built, bought or poured."""
        return self.method != "undecided"

    @property
    def excluded_by(self) -> tuple[str, ...]:
        """Return the lines of the site file that leave a shaft without a method; empty where something else stands in the way as well.

        Each change that opens a way takes one of them back, whatever else it needs.
        """
        openings = [way for way in self.alternates if way.drawdown is None]
        if self.has_method or not all(way.excluded_by for way in openings):
            return ()
        return tuple(dict.fromkeys(line for way in openings for line in way.excluded_by))

    @property
    def dated_boring(self) -> str:
        """Return the name of the boring that the shaft is planned with, and when it was drilled where the log says so."""
        return f"{self.boring} of {self.ground.date}" if self.ground.date else self.boring

    @property
    def not_firm_m(self) -> float:
        """Return the length that is conditional or undecided."""
        return sum(interval.base_m - interval.top_m for interval in self.intervals if interval.confidence != "firm")

    @property
    def raised_m(self) -> float:
        """Return the fill by which the plan raises the drilling grade of a site that states none."""
        return 0.0 if self.levels is None else self.levels.raised_m

    @property
    def planned_placement(self) -> Placement:
        """Return how the concrete of a shaft with a method is placed. Raises ValueError where it has none."""
        if self.placement is None:
            raise ValueError(f"nothing is decided on shaft {self.id}: it has no placement")
        return self.placement

    @property
    def planned_concrete(self) -> Concrete:
        """Return the concrete of a shaft with a method. Raises ValueError where it has none."""
        if self.concrete is None:
            raise ValueError(f"nothing is decided on shaft {self.id}: it has no concrete")
        return self.concrete

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


@record
class SetValue:
    """A limit that an overlay set, with its source and how well it is known."""

    name: str
    value: float
    unit: str
    overlay: str
    source: Citation
    confidence: str


@record
class Departure:
    """A change that made the rulebook less careful: whose it is, what it is, and the reason that was given."""

    origin: str
    what: str
    reason: str


@record
class RulebookStamp:
    """Which rulebook decided, the limits that its overlays set, and everything that makes it less careful than the shipped one."""

    digest: str
    overlays: tuple[str, ...]
    set_by_overlays: tuple[SetValue, ...] = ()
    loosened: tuple[Departure, ...] = ()


@record
class InputStamp:
    """Which file was read, and whether what practice takes as normal was assumed."""

    path: str
    digest: str
    assumptions: bool = True


@record
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

    @property
    def with_method(self) -> tuple[ShaftPlan, ...]:
        """Return the shafts of which any depth is decided; the others are in no sum."""
        return tuple(shaft for shaft in self.shafts if shaft.has_method)
