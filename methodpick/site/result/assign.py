"""Which boring a shaft is planned with, why, and what speaks against it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from methodpick.plan.result import Citation

Way = Literal["named", "only", "nearest", "substructure", "envelope", "first"]


@dataclass(frozen=True, slots=True)
class Flag:
    """What is wrong or doubtful with the boring of a shaft, and how far it goes."""

    kind: Literal["method", "short", "far", "level", "position", "worse"]
    severity: Literal["note", "caution"]
    text: str
    source: Citation


@dataclass(frozen=True, slots=True)
class Weighed:
    """A boring that was looked at for a shaft.

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


@dataclass(frozen=True, slots=True)
class Assignment:
    """The boring that decides for a shaft, how it came to it, the others that were weighed and what is flagged.

    ``shifted`` says that both levels are known, so that depths of the boring became depths of the shaft by elevation.
    """

    shaft: str
    way: Way
    boring: str
    distance_m: float | None
    level_m: float | None
    shifted: bool
    said: str
    weighed: tuple[Weighed, ...]
    flags: tuple[Flag, ...]
