"""The plan of a shaft and of a file, with the ways beside the plan, and what boring and drawings said."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field, fields
from functools import cached_property
from operator import itemgetter
from typing import Any, ClassVar, Literal

from methodpick.ground.site import Site
from methodpick.plan.result.checks import Caution, Check, Citation, Gap, OpenHazard, TakenAssumption
from methodpick.plan.result.fluid import FluidProgramme, Slurry
from methodpick.plan.result.steps import (
    FORMAT,
    Casing,
    Concrete,
    Drawdown,
    HoleLevels,
    Interval,
    Night,
    Placement,
    QuantityLine,
    ShaftMethod,
    Stage,
)
from methodpick.records import record
from methodpick.terms import UnitSystem

# ---- The ways beside a plan: the cautious one, the best of every other family, the rungs of the ladder


@record(kw_only=True)
class OtherWay:
    """What every way beside the plan has: how it is built, its checks, and whether it is proven.

    Nothing is built, without placement and concrete, where no sequence is found. ``trials_ended`` says that the trials of its search ended.
    """

    stages: tuple[Stage, ...] = ()
    casings: tuple[Casing, ...] = ()
    slurries: tuple[Slurry, ...] = ()
    placement: Placement | None = None
    concrete: Concrete | None = None
    checks: tuple[Check, ...] = ()
    proven: bool = True
    trials_ended: bool = False

    def parts(self) -> dict[str, Any]:
        """Return the fields by name, from which the record of a certain way is made."""
        return {part.name: getattr(self, part.name) for part in fields(OtherWay)}


@record
class Rung(OtherWay):
    """A way of building on the ladder, when to climb to it, and what it takes beyond the plan (negative where it takes less).

    The concrete of the last rung is counted with the high end of the ground's overbreak, the others with the likely one.
    """

    name: Literal["planned", "fallback", "worst_credible"]
    method: str
    trigger: str
    relative_cost: float
    extra_casing_m: float
    extra_casing_kg: float
    extra_fluid_m3: float
    extra_concrete_m3: float


@record
class CautiousPlan(OtherWay):
    """The plan on firmer states only, and what the difference hangs on."""

    intervals: tuple[Interval, ...]
    slurry: Slurry | None
    relative_cost: float
    differs_because: str
    trigger: str = ""
    settles: str = ""


ARE_OPEN = "both are open, and "
"""The words before what decides between two ways of about the same cost."""


@record
class Alternate(OtherWay):
    """The best plan of another family and why it lost; ``drawdown`` where wells draw water down for it.

    ``leaves_open_m`` is the length on which it leaves a hazard open that the plan does not. ``excluded_by`` are the lines of the site
    file that exclude it.
    """

    family: str
    intervals: tuple[Interval, ...]
    relative_cost: float | None
    why_not: str
    drawdown: Drawdown | None = None
    leaves_open_m: float = 0.0
    excluded_by: tuple[str, ...] = ()

    @property
    def decided_by(self) -> str:
        """Return what decides between the way and the plan where both are open at about the same cost; else nothing."""
        return self.why_not.partition(ARE_OPEN)[2].partition(".")[0]


@record
class CautiousDifference:
    """What the cautious plan hangs on, what triggers it on site, and which reading would settle it."""

    because: str
    trigger: str
    settles: str


def proven_then_cheap(cost: float, *, proven: bool, leaves_open_m: float) -> tuple[bool, bool, float]:
    """Return by what the ways beside a plan are ranked: proven ones first, of these the ones that leave no more open, then by cost.

    >>> proven_then_cheap(9.0, proven=True, leaves_open_m=0.0) < proven_then_cheap(5.0, proven=True, leaves_open_m=2.0)
    True
    """
    return not proven, leaves_open_m > 0.0, cost


class OtherWays:
    """The ways beside a plan. Each part is worked out when it is first asked for, and kept as long as the plan: most pages show none.

    What works a part out reads nothing that changes, so that it does not matter when, or whether, a part is asked for. Two are equal
    where their parts are.
    """

    PARTS: ClassVar[Mapping[str, Any]] = {"cautious": CautiousPlan | None, "alternates": tuple[Alternate, ...], "ladder": tuple[Rung, ...]}
    """The names of the parts as a plan is written, with their types."""

    def __init__(
        self,
        find_cautious: Callable[[], CautiousPlan | None],
        find_alternates: Callable[[], tuple[Alternate, ...]],
        find_ladder: Callable[[], tuple[Rung, ...]],
        find_next_best: Callable[[], Alternate | None] | None = None,
        find_difference: Callable[[], CautiousDifference | None] | None = None,
    ) -> None:
        """Take what works out each part; without the last two they are read off the alternates and the cautious plan."""
        self._find_cautious, self._find_alternates, self._find_ladder = find_cautious, find_alternates, find_ladder
        self._find_next_best, self._find_difference = find_next_best, find_difference

    @classmethod
    def known(cls, cautious: CautiousPlan | None, alternates: tuple[Alternate, ...], ladder: tuple[Rung, ...]) -> OtherWays:
        """Return ways that are worked out already, such as those of a written plan."""
        return cls(lambda: cautious, lambda: alternates, lambda: ladder)

    @cached_property
    def cautious(self) -> CautiousPlan | None:
        """Return the plan on firmer states only; None where it is the plan itself."""
        return self._find_cautious()

    @cached_property
    def alternates(self) -> tuple[Alternate, ...]:
        """Return the best plan of every other family, and relief wells where they are an option."""
        return self._find_alternates()

    @cached_property
    def ladder(self) -> tuple[Rung, ...]:
        """Return the rungs: planned, fallback, worst credible."""
        return self._find_ladder()

    @cached_property
    def next_best(self) -> Alternate | None:
        """Return the alternate that ranks first of those that can be built; None where none can. The others are left alone."""
        if self._find_next_best is not None:
            return self._find_next_best()
        built = (
            (proven_then_cheap(way.relative_cost, proven=way.proven, leaves_open_m=way.leaves_open_m), way)
            for way in self.alternates
            if way.relative_cost is not None
        )
        return min(built, key=itemgetter(0), default=(None, None))[1]

    @cached_property
    def difference(self) -> CautiousDifference | None:
        """Return what the cautious plan hangs on; None where it is the plan itself. The cautious plan is not worked out for it."""
        if self._find_difference is not None:
            return self._find_difference()
        plan = self.cautious
        return None if plan is None else CautiousDifference(plan.differs_because, plan.trigger, plan.settles)

    def __eq__(self, other: object) -> bool:
        """Compare part by part."""
        if not isinstance(other, OtherWays):
            return NotImplemented
        return all(getattr(self, name) == getattr(other, name) for name in self.PARTS)

    def __hash__(self) -> int:
        return hash((self.cautious, self.alternates, self.ladder))


# ---- The plan of a shaft and of a file, with the ways beside the plan, and what boring and drawings said


@record
class LogLayer:
    """A layer as the strip shows it."""

    top_m: float
    base_m: float
    soil_class: str
    description: str
    symbol: str


@record
class LogWater:
    """A water line as the strip shows it: low is the deepest level, high the shallowest."""

    low_m: float
    likely_m: float | None
    high_m: float
    aquifer_top_m: float
    aquifer_base_m: float
    kind: str
    source: str


@record
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
    grade_m: float = 0.0
    water_depth_m: float | None = None

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
