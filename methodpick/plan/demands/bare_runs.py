"""The lengths that stand bare under a fluid at one time: from the shoe that stands to the depth that is reached before the next casing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from methodpick.plan.result import Casing, Stage
from methodpick.records import record
from methodpick.terms import FLUIDS, Fluid

TOUCH_M = 0.002
"""Depths of stages and shoes are written to the millimetre."""
SETS = frozenset({"set_starter", "set_casing", "advance_casing"})
"""Actions that bring a shoe to its depth."""


@record
class BareRun:
    """A length that stands bare under one fluid at one time, and the first stage that drills under it.

    It begins at the shoe above, whether the hole was drilled under the fluid from there or dry at first.
    """

    fluid: Fluid
    stage: int
    top_m: float
    base_m: float


def bare_runs(stages: Iterable[Stage], casings: Iterable[Casing], floor_m: float) -> tuple[BareRun, ...]:
    """Return the lengths that stand bare under fluid, in the order of the stages; ``floor_m`` is where a hole without casing begins.

    What a casing holds is bare no longer, and below its shoe another length begins, be it under the same fluid.
    """
    shoes, shoe_m, found = [casing.base_m for casing in casings], floor_m, list[BareRun]()
    for stage in stages:
        if stage.action in SETS:
            shoe_m = max([shoe_m, *(shoe for shoe in shoes if abs(shoe - stage.base_m) < TOUCH_M)])
        elif stage.action == "drill" and (fluid := next((known for known in FLUIDS if known == stage.state), None)) is not None:
            last = found[-1] if found else None
            if last is not None and (last.fluid, last.top_m) == (fluid, shoe_m):
                found[-1] = replace(last, base_m=max(last.base_m, stage.base_m))
            else:
                found.append(BareRun(fluid, stage.no, shoe_m, stage.base_m))
    return tuple(found)
