"""The ladder: the plan, what is built when the ground disagrees, and the worst that is credible."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Rung:
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
