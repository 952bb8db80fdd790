"""The ladder: the plan, what is built when the ground disagrees, and the worst that is credible."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from methodpick.plan.result.checks import Check
from methodpick.plan.result.fluid import Slurry
from methodpick.plan.result.pour import Concrete, Placement
from methodpick.plan.result.steps import Casing, Stage


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
    stages: tuple[Stage, ...] = ()
    casings: tuple[Casing, ...] = ()
    slurries: tuple[Slurry, ...] = ()
    placement: Placement | None = None
    concrete: Concrete | None = None
    checks: tuple[Check, ...] = ()
