"""The support fluid: its density window by depth and over the hole."""

from __future__ import annotations

from dataclasses import dataclass


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
