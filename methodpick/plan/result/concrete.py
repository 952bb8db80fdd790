"""Concrete and its placement, the pulls of casing, and quantities."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class OverShoe:
    """Concrete over the shoe of a casing that is still in the ground, after a lift: what stands and what it needs."""

    casing_no: int
    shoe_m: float
    stands_m: float
    needed_m: float


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class Tremie:
    """The tremie: inside diameter, gap to the base, embedment, the charge to start it and what to place before it is lifted."""

    pipe_m: float
    gap_m: float
    embedment_m: float
    charge_m3: float
    before_lift_m3: float


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """Volumes from the tip up to a depth: by the drawing, with the casings still in, as drilled, and with ground overbreak."""

    depth_m: float
    theoretical_m3: float
    casings_in_m3: float
    fill_m3: float
    expected_low_m3: float
    expected_m3: float
    expected_high_m3: float


@dataclass(frozen=True, slots=True)
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


FLUID_TO_FILL = " fluid, to fill the hole"
"""How the item of the fluid in the hole ends, behind the name of the fluid."""


@dataclass(frozen=True, slots=True)
class QuantityLine:
    """One line of the takeoff with its formula in words and numbers."""

    item: str
    value: float
    unit: str
    formula: str


@dataclass(frozen=True, slots=True)
class Placement:
    """Dry or wet concrete, decided apart from drilling support."""

    state: Literal["dry", "wet"]
    why: str
