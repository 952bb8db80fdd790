"""What is built: what holds the wall in which order, concrete, pulls, quantities."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from methodpick.plan.result.checks import Flip, Reason, StateVerdict
from methodpick.records import record
from methodpick.terms import EITHER_TURNS, STARTER, CasingKind, CasingWay, Method, TurningPlant, in_plain_words

# ---- What holds the wall, and in which order it is built: the words for it, intervals, stages and casings


Support = Literal[Method, "undecided"]
"""What holds a length when the tip is reached."""
ShaftMethod = Literal[Method, "combination", "undecided"]
"""The method of a whole shaft: its one support, or a combination."""
Firmness = Literal["firm", "conditional", "undecided"]
"""How far the plan of a length rests on doubt and assumption."""
FORMAT = "methodpick-plan/2"
SLAB = "slab"
"""What a slab, wall or pavement is called."""


def ground_word(soil_class: str, *, slab: bool) -> str:
    """Return what a page calls ground of a class; a slab is not called after the blocks in which it is broken out.

    >>> ground_word("silty_sand", slab=False), ground_word("cobbles", slab=True)
    ('sand with fines', 'slab')
    """
    return SLAB if slab else in_plain_words(soil_class)


@record
class Interval:
    """A length of shaft with one support.

    ``support`` is what holds the wall there when the tip is reached; ``drilling_h`` are the planning hours to drill the length. ``slab``
    marks a slab, wall or pavement, whose class is that of the blocks in which it is broken out.
    """

    top_m: float
    base_m: float
    layer: str
    soil_class: str
    support: Support
    fluid: str | None
    drilled_in: str | None
    later_in: tuple[str, ...]
    confidence: Firmness
    verdicts: Mapping[str, StateVerdict]
    casing_verdicts: Mapping[str, StateVerdict]
    reasons: tuple[Reason, ...]
    drilling_h: float
    would_change: tuple[Flip, ...] | None = None
    slab: bool = False

    @property
    def ground(self) -> str:
        """Return what is met, in one word or two."""
        return ground_word(self.soil_class, slab=self.slab)


@record
class Stage:
    """One step of the work, in order; ``tool_m`` is the diameter of the tool that drills in it, None where nothing is drilled.

    Of the starter it is that of the hole drilled for it. ``casing_no`` is the casing that is set, advanced, tested, bailed or pulled,
    counted from the outermost. ``cored`` says that the tool is a core barrel, ``lowered`` that a casing is lowered in the hole drilled
    for it before it is advanced.
    """

    no: int
    action: str
    top_m: float
    base_m: float
    support: Support
    state: str | None
    fluid: str | None
    hours: float | None
    text: str
    tool_m: float | None = None
    casing_no: int | None = None
    cored: bool = False
    lowered: bool = False


@record
class Night:
    """A night between two shifts: the number of the stage in or after which it falls, the depth reached, how the hole is left.

    ``within`` says that the stage goes on in the morning, ``short_of_tip_m`` how far above the tip an open hole is left that may not be
    left deeper, ``fluid`` what the hole stands full of (None where it was drilled dry), ``cased`` that a casing is left in the middle of
    its work. ``morning_h`` are the hours of the next shift until the work goes on: desanding, sounding, cleaning, or bailing;
    ``rest_h`` those of all that follows the last night, where they are more than a shift.
    """

    no: int
    stage: int
    depth_m: float
    within: bool = False
    short_of_tip_m: float | None = None
    fluid: str | None = None
    cased: bool = False
    morning_h: float = 0.0
    rest_h: float | None = None


@record
class Wall:
    """Why a casing is as thick as it is: the least wall by each reason, and what it bears emptied.

    ``pressure_kpa`` is the greatest pressure outside an emptied casing (0 where it stays full), ``bears_kpa`` what the wall
    bears with the rulebook's ovality and safety. A reason that does not apply is None.
    """

    usual_m: float
    handling_m: float
    driving_m: float | None
    pressure_m: float | None
    pressure_kpa: float
    bears_kpa: float
    governed_by: Literal["usual", "handling", "driving", "twisting", "oscillating", "pressure", "yard"]
    why: str


@record
class Embedment:
    """How deep a shoe stands in its seat, and what water asks for where the casing is emptied.

    ``head_m`` is the head of the water outside over the shoe, ``gradient`` that head over the length given, ``needed_m`` the
    length that the allowed gradient asks for. ``plug_m`` is the tight ground left between the shoe and an aquifer below,
    ``plug_needed_m`` what the recommended safety against uplift asks for, ``uplift_factor`` the safety when emptied to the shoe.
    """

    given_m: float
    head_m: float
    gradient: float | None
    needed_m: float | None
    plug_m: float | None
    plug_needed_m: float | None
    uplift_factor: float | None
    enough: bool
    note: str


@record
class Casing:
    """A casing string; ``top_m`` is negative by the stick-up.

    ``sections_m`` are its pieces from the shoe up, ``step_m`` the outside diameter of the string around it less its own,
    ``wider_m`` how much a piece from the yard is wider than the trade size that would do. ``dug_m`` is the depth to which the top is dug
    out for a casing that is brought down from the surface, through what its way does not pass; 0 where nothing is. ``turned_by`` is the
    plant that turns one that is oscillated or rotated in.
    """

    kind: CasingKind
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
    wall_by: Wall | None = None
    embedment: Embedment | None = None
    sections_m: tuple[float, ...] = ()
    step_m: float | None = None
    stick_up_m: float = 0.0
    stick_up_why: str = ""
    from_yard: bool = False
    wider_m: float = 0.0
    way: CasingWay | None = None
    dug_m: float = 0.0
    turned_by: TurningPlant = EITHER_TURNS

    @property
    def inside_m(self) -> float:
        """Return the inside diameter."""
        return self.outside_diameter_m - 2 * self.wall_m

    @property
    def joints(self) -> int:
        """Return the number of joints between the sections."""
        return max(0, len(self.sections_m) - 1)

    @property
    def is_starter(self) -> bool:
        """Return whether this is the starter casing, which does not count where strings are counted or a method is named."""
        return self.kind == STARTER


# ---- Concrete and its placement, the pulls of casing, and quantities


@record
class OverShoe:
    """Concrete over the shoe of a casing that is still in the ground, after a lift: what stands and what it needs."""

    casing_no: int
    shoe_m: float
    stands_m: float
    needed_m: float


@record(guarded=False)
class PullStep:
    """One lift of a casing: its shoe from and to, the concrete before and after, what is poured before it.

    Levels are depths of the concrete inside the innermost casing. ``concrete_level_needed_m`` is the level that outweighs
    what presses from outside before the lift, ``level_least_m`` the one that does so through the whole lift, with its drop
    and over every shoe that remains; ``level_before_m`` what is poured to, ``level_after_m`` where it then stands.
    ``level_drop_m`` is the fall of a column that stands at the finished level when the casing comes out and nothing is added,
    ``more_drop_m`` what the high ground overbreak can add to it. Where the concrete does not meet the casing (a permanent
    casing stands inside it), the levels are None.
    """

    casing_no: int
    lift_no: int
    shoe_m: float
    shoe_after_m: float
    concrete_level_needed_m: float | None
    level_least_m: float | None
    level_before_m: float | None
    level_after_m: float | None
    level_drop_m: float
    more_drop_m: float
    refill_m3: float
    outside_kpa: float
    annulus: str
    over_shoes: tuple[OverShoe, ...]
    safe: bool
    note: str


@record
class Extraction:
    """What it takes to pull a temporary casing: weight, side friction after its time in the ground, risk of sticking."""

    casing_no: int
    kind: Literal["starter", "temporary"]
    residence_h: float
    weight_low_kn: float
    weight_kn: float
    friction_low_kn: float
    friction_kn: float
    friction_high_kn: float
    pull_low_kn: float
    pull_kn: float
    pull_high_kn: float
    stuck_risk: Literal["low", "medium", "high"]
    stuck_in: str


@record
class Tremie:
    """The tremie: inside diameter, gap to the base, embedment, the charge to start it and what to place before it is lifted."""

    pipe_m: float
    gap_m: float
    embedment_m: float
    charge_m3: float
    before_lift_m3: float


@record(guarded=False)
class CurvePoint:
    """Volumes from the tip up to a depth: by the drawing, with the casings still in, as drilled, and with ground overbreak."""

    depth_m: float
    theoretical_m3: float
    casings_in_m3: float
    fill_m3: float
    expected_low_m3: float
    expected_m3: float
    expected_high_m3: float


@record
class Concrete:
    """Placement and volumes.

    Theoretical is by the shaft diameter; ``casing_oversize_m3`` is what wider casings and predrilled holes add for certain
    (less than nothing inside a narrower casing that stays); ground overbreak is a range of its own. Fill is the first two,
    expected is all three. ``starter_kept`` says that the starter stays until the concrete has set, for water outside stands higher
    over the cut-off than fresh concrete would balance. ``workable_needed_h`` runs from the first truck to the last pull.
    """

    placement: Literal["free_fall", "drop_pipe", "tremie"]
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
    casing_oversize_m3: float
    overbreak_low_m3: float
    overbreak_m3: float
    overbreak_high_m3: float
    over_pour_m3: float
    finished_level_m: float
    slump_min_m: float
    slump_max_m: float
    tremie: Tremie | None
    truck_m3: float
    trucks: int
    trucks_high: int
    truck_every_h: float
    pull_hours: float
    workable_needed_h: float
    workable_h: float
    curve: tuple[CurvePoint, ...]
    extraction: tuple[Extraction, ...] = ()
    starter_kept: bool = False


CONCRETE_TO_FILL = "concrete, to fill the hole as drilled"
CONCRETE_OVER_CUTOFF = "concrete, cast over the cut-off"
FLUID_TO_FILL = ", to fill the hole"
FLUID_IN_STOCK = ", stock to have"
"""How the items of a fluid end, behind its name."""


@record
class QuantityLine:
    """One line of the takeoff with its formula in words and numbers."""

    item: str
    value: float
    unit: str
    formula: str


@record
class Placement:
    """Dry or wet concrete, decided apart from drilling support."""

    state: Literal["dry", "wet"]
    why: str
