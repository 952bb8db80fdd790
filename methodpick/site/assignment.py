"""Which boring each shaft is planned with, and what speaks against it: records of a planned site, with marks in their sentences."""

from __future__ import annotations

from typing import Literal

from methodpick.plan.result import Citation
from methodpick.records import record

AssignedBy = Literal["named", "only", "nearest", "substructure", "envelope", "first"]
"""How the boring of a shaft was chosen."""


@record
class Flag:
    """What speaks against planning a shaft with its boring, and how serious it is.

    ``claim`` is what may hold at several shafts alike, ``here`` what it names at this one, ``advice`` what to do about it.
    """

    kind: Literal["method", "short", "far", "level", "position", "worse"]
    severity: Literal["note", "caution"]
    claim: str
    source: Citation
    here: str = ""
    advice: str = ""

    @property
    def text(self) -> str:
        """Return all of it as sentences."""
        return f"{self.claim}{f': {self.here}' if self.here else ''}.{f' {self.advice}' if self.advice else ''}"


@record
class Weighed:
    """A boring that was considered for a shaft.

    ``level_m`` is how far the ground at the shaft lies above that at the boring, None where a level is not known.
    ``score`` is the ordering tuple of the expected plan (undecided, unlikely, unknown and doubtful length in m, relative
    cost, changes of method); None where the boring was not planned with.
    """

    boring: str
    distance_m: float | None
    level_m: float | None
    same_substructure: bool
    reaches_tip: bool
    method: str | None
    score: tuple[float, ...] | None


@record
class Assignment:
    """The boring that a shaft is planned with, how it was chosen, the others that were considered and what is flagged.

    ``way`` names how it was chosen and ``said`` puts it in words. ``shifted`` tells that both ground levels are known, so that
    depths of the boring became depths of the shaft by elevation.
    """

    shaft: str
    way: AssignedBy
    boring: str
    distance_m: float | None
    level_m: float | None
    shifted: bool
    said: str
    weighed: tuple[Weighed, ...]
    flags: tuple[Flag, ...]
