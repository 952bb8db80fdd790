"""The plan as it is handed out: frozen records in SI, in the order of the format ``methodpick-plan/1``.

Depth 0 is the ground at the shaft (over water the mudline); depths run down, stages and casings may start above 0.
An open end of a range is None.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Support = Literal["dry", "slurry", "temporary_casing", "permanent_casing", "undecided"]
Method = Literal["dry", "slurry", "temporary_casing", "permanent_casing", "combination", "undecided"]
Confidence = Literal["firm", "conditional", "undecided"]
STATES = ("dry", "water", "polymer", "mineral", "cased_dry", "cased_balanced", "cased_plug")
VERDICTS = ("allowed", "discouraged", "doubtful", "unknown", "unlikely", "ruled_out")
FORMAT = "methodpick-plan/1"


@dataclass(frozen=True, slots=True)
class Citation:
    """A source by its key in ``rules/sources.yaml`` and the place in it."""

    key: str
    where: str


@dataclass(frozen=True, slots=True)
class FactValue:
    """A fact as a reason shows it: a number's low, likely and high, or the words that are possible."""

    low: float | None
    likely: float | str | None
    high: float | None
    values: tuple[str, ...] | None
    unit: str
    basis: str
    from_: str


@dataclass(frozen=True, slots=True)
class Reason:
    """A rule that decided, in a full sentence, with the facts it looked at."""

    rule: str
    text: str
    sources: tuple[Citation, ...]
    facts: Mapping[str, FactValue]
    confidence: str = "read"


@dataclass(frozen=True, slots=True)
class StateVerdict:
    """The verdict of one support state and the rules behind it."""

    state: str
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Flip:
    """The nearest change of one input, or of two together, that changes the support of an interval.

    With the input at ``flips_at`` the support is ``then``; one step nearer to ``now`` it is what the plan says. ``now``
    is None for what the log does not give, ``flips_at`` None where any value read would change the support.
    """

    input: str
    said: str
    design: bool
    now: float | None
    flips_at: float | None
    step: float
    unit: str
    then: str
    fluid: str | None = None
    together: Flip | None = None


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


@dataclass(frozen=True, slots=True)
class DensityAt:
    """The density window at one depth; None where a side does not bind."""

    depth_m: float
    density_min_kg_m3: float | None
    density_max_kg_m3: float | None
    min_by: str
    max_by: str


@dataclass(frozen=True, slots=True)
class WallSpread:
    """What the theories ask of the fluid where they ask most of a granular wall, at the likely friction and at its low end."""

    hard_kg_m3: float
    wanted_kg_m3: float
    cautious_kg_m3: float
    depth_m: float


@dataclass(frozen=True, slots=True)
class Slurry:
    """The density window of the hole at its fluid level. An empty window has its minimum above its maximum."""

    fluid: str
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
class TakenAssumption:
    """What was taken as normal, where, why and by whose word."""

    fact: str
    where: str
    assumed: str
    why: str
    source: str
    id: str = ""


@dataclass(frozen=True, slots=True)
class OpenHazard:
    """A must rule that is still open on the planned support, with what to do about it."""

    rule: str
    state: str
    treatment: str
    top_m: float | None = None
    base_m: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """What to watch."""

    rule: str
    severity: Literal["note", "caution", "danger"]
    text: str
    sources: tuple[Citation, ...]
    hazard: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """What the log does not say, why it matters and the question to put."""

    need: str
    why: str
    question: str


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


@dataclass(frozen=True, slots=True)
class Alternate:
    """The best plan of another family and why it lost."""

    family: str
    intervals: tuple[Interval, ...]
    stages: tuple[Stage, ...]
    casings: tuple[Casing, ...]
    relative_cost: float | None
    why_not: str


@dataclass(frozen=True, slots=True)
class Placement:
    """Dry or wet concrete, decided apart from drilling support."""

    state: Literal["dry", "wet"]
    why: str


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
class ShaftPlan:
    """The method for one shaft."""

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
    """Which file was read."""

    path: str
    digest: str


@dataclass(frozen=True, slots=True)
class Plan:
    """The plans of all shafts of one file, with what they rest on."""

    tool_version: str
    rulebook: RulebookStamp
    input: InputStamp
    shafts: tuple[ShaftPlan, ...]
    site_name: str = ""
    units: Literal["us", "si"] = "us"
    sources: Mapping[str, str] = field(default_factory=dict)
    format: str = FORMAT
