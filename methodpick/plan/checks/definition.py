"""What a proof is: its name, what it bars where it fails, whether life hangs on it, and the sentence that defines it."""

from __future__ import annotations

from typing import Literal

from methodpick.records import record
from methodpick.terms import STATES, CasingWay, State

Barred = (
    State | CasingWay | Literal["pull_out", "bare_concrete", "dry_placement", "pour", "bell", "string", "predrilled_casing", "rig", "shaft"]
)
"""What a proof that fails speaks against.

A support state over the length; a way of bringing casing down; pulling a casing, or letting concrete meet the ground bare, which leave a
casing that stays; dry placement, which leaves the tremie; the pour and the bell as planned; a string of this size; a casing set in a hole
drilled open for it; the rig or its platform; the shaft as it is asked for.
"""
ANY_STATE: tuple[Barred, ...] = STATES


@record
class Definition:
    """A proof: its id, a title, what it bars, its sentence, and the rule that says the same of a slice, if any.

    ``life`` marks proofs on which life or the loss of the hole hangs: they must hold in full at the likely values.
    """

    id: str
    title: str
    bars: tuple[Barred, ...]
    sentence: str
    life: bool = False
    rule: str | None = None
