"""What the boring said, as far as a report draws it."""

from __future__ import annotations

from dataclasses import dataclass


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
