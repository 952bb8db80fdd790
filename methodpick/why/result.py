"""What is handed out of a question: a derivation as a tree of sentences; numbers are marked, so that a page spells them in its units."""

from __future__ import annotations

from methodpick.plan.result import Flip, Interval, Support
from methodpick.records import record


@record
class DerivationStep:
    """A sentence and what it rests on."""

    text: str
    parts: tuple[DerivationStep, ...] = ()


@record
class Explanation:
    """Why a depth of a shaft is held as it is.

    ``derivation`` holds the log, the states asked of and the casings; ``other_states`` the verdicts of the states not derived,
    ``other_ways`` why other ways of building lost. ``flips`` and ``pairs`` are None where they were not asked for; ``tried`` names
    the inputs that were moved.
    """

    shaft: str
    boring: str
    depth_m: float
    held: Interval
    derivation: tuple[DerivationStep, ...]
    other_states: tuple[str, ...]
    other_ways: tuple[str, ...]
    flips: tuple[Flip, ...] | None
    pairs: tuple[Flip, ...] | None
    tried: tuple[str, ...]


@record
class RangeFlip:
    """A change of one input that changes the plan although it lies within the range that is stated of it, from ``low`` to ``high``.

    From ``top_m`` to ``base_m``, and it may be further down, the support then is ``flip.then`` in place of ``was``.
    """

    flip: Flip
    low: float
    high: float
    top_m: float
    base_m: float
    was: Support
