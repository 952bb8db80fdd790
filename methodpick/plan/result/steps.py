"""What holds the wall, and in which order it is built: the words for it, intervals, stages and casings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from methodpick.plan.result.reasons import Flip, Reason, StateVerdict
from methodpick.terms import STARTER, CasingKind, CasingWay, Method

Support = Literal[Method, "undecided"]
"""What holds a length when the tip is reached."""
ShaftMethod = Literal[Method, "combination", "undecided"]
"""The method of a whole shaft: its one support, or a combination."""
Firmness = Literal["firm", "conditional", "undecided"]
"""How far the plan of a length rests on doubt and assumption."""
FORMAT = "methodpick-plan/2"


@dataclass(frozen=True, slots=True)
class Interval:
    """A length of shaft with one support.

    ``support`` is what holds the wall there when the tip is reached; ``drilling_h`` are the planning hours to drill the length.
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


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of the work, in order; ``tool_m`` is the diameter of the tool that drills in it, None where nothing is drilled."""

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


@dataclass(frozen=True, slots=True)
class Night:
    """A night between two shifts: the number of the stage in or after which it falls, the depth reached, how the hole is left."""

    no: int
    stage: int
    depth_m: float
    text: str


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class Casing:
    """A casing string; ``top_m`` is negative by the stick-up.

    ``sections_m`` are its pieces from the shoe up, ``step_m`` the outside diameter of the string around it less its own,
    ``wider_m`` how much a piece from the yard is wider than the trade size that would do.
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
