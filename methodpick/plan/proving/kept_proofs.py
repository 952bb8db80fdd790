"""What was proved of the ground of one shaft already, whatever stage asks: the ways through it share slices, walls and bases."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field

from methodpick.plan.checks.fluid_window import WallCompared
from methodpick.plan.checks.record import Compared
from methodpick.plan.proving.slice_comparison import SliceComparison
from methodpick.plan.result.checks import Check

SliceInState = tuple[float, str]
"""The top of a slice, and a support state."""
WallUnderFluid = tuple[str, float, float, float, float]
"""A fluid, its density and level, the top of a slice, and the depth in it."""
PlugAt = tuple[float, float, str | None, float]
"""The ends of a length that is dug in a casing, the fluid in it, and its diameter."""
BaseAt = tuple[float, float, float, float, bool]
"""The top of a slice, the depth and diameter of the hole, the pressure in it, and whether a plug of soil may be left."""


ProvedFacts = dict[tuple[object, Hashable], tuple[Check, ...]]
"""The records of whole proofs, by the proof and its facts. They hold for any ground under the same rulebook."""


@dataclass(frozen=True, slots=True)
class KeptProofs:
    """The comparisons that were made in the ground of one shaft; they live as long as its plan is worked out.

    ``checks`` may be shared by plans of several shafts, or of one shaft on changed sites, that are made under the same rulebook.
    """

    slices: dict[SliceInState, tuple[SliceComparison, ...]] = field(default_factory=dict)
    walls: dict[WallUnderFluid, WallCompared] = field(default_factory=dict)
    bases: dict[BaseAt, Compared] = field(default_factory=dict)
    plugs: dict[PlugAt, float] = field(default_factory=dict)
    checks: ProvedFacts = field(default_factory=dict)
