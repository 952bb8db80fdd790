"""What the search sees of a slice: verdict ranks per state, penalties, stand-up, plant, seal. No soil mechanics here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from methodpick.plan.result import STATES, VERDICTS

RANK = {name: index for index, name in enumerate(VERDICTS)}
ALLOWED, DISCOURAGED, DOUBTFUL, UNKNOWN, UNLIKELY, RULED_OUT = range(6)
OPEN_STATES = STATES[:4]
FLUIDS = STATES[1:4]
WAYS = ("twisted", "vibrated", "driven", "oscillated")
"""How casing gets ahead of the excavation, the cheapest plant first."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A slice for the search.

    ``rank`` is the verdict of each state, ``should`` the open or true should-excludes against it, ``points`` the
    preferences; ``stand_h`` and ``stand_worst_h`` the likely and the worst stand-up time of a dry wall; ``ways`` the
    ways of advancing casing that are at hand and get through; ``pull`` and ``leave`` the verdict ranks of pulling a
    temporary casing and of leaving one in.
    """

    top_m: float
    base_m: float
    decided: bool
    rank: Mapping[str, int]
    should: Mapping[str, int]
    points: Mapping[str, int]
    stand_h: float
    stand_worst_h: float
    rate_m_h: float
    ways: frozenset[str]
    pull: int
    leave: int
    stratum: int
    clearly_stands: bool

    @property
    def length_m(self) -> float:
        """Return the length of the slice."""
        return self.base_m - self.top_m


@dataclass(frozen=True, slots=True)
class Seat:
    """A depth at which a casing may end: what it seals there and how deep the shoe is embedded.

    ``pushed_m`` is the last length, through which any plant pushes or twists the shoe into undrilled ground.
    """

    depth_m: float
    seals: str
    embedment_m: float
    stratum: int
    in_socket: bool
    pushed_m: float

    @property
    def pushed_from_m(self) -> float:
        """Return the depth below which the shoe is pushed or twisted into undrilled ground."""
        return round(self.depth_m - self.pushed_m, 3)
