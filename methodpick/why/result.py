"""A derivation as a tree of sentences; numbers are marked, so that the report spells them in the reader's units."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.plan.result import Flip, Interval


@dataclass(frozen=True, slots=True)
class DerivationStep:
    """A sentence and what it rests on."""

    text: str
    parts: tuple[DerivationStep, ...] = ()


@dataclass(frozen=True, slots=True)
class Why:
    """Why a depth of a shaft is held as it is.

    ``others`` gives the verdicts of the states not derived, ``ways`` why other ways of building lost; ``flips`` and
    ``pairs`` are None where they were not asked for; ``tried`` names the inputs that were moved.
    """

    shaft: str
    boring: str
    depth_m: float
    held: Interval
    trees: tuple[DerivationStep, ...]
    others: tuple[str, ...]
    ways: tuple[str, ...]
    flips: tuple[Flip, ...] | None
    pairs: tuple[Flip, ...] | None
    tried: tuple[str, ...]
