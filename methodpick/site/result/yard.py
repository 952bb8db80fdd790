"""Casing strings: what the shafts need one after the other, and what serves them all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class StringNeed:
    """A temporary string that a shaft needs, from the hour of work at which it goes in until it is out again."""

    shaft: str
    kind: str
    outside_diameter_m: float
    wall_m: float
    length_m: float
    from_h: float
    until_h: float


@dataclass(frozen=True, slots=True)
class YardString:
    """A string to have: what it is made of, what it serves and what of it is only rounding up.

    ``from_yard_m`` of it is at hand (whole pieces, cut or spliced); ``to_get_m`` must be bought or rented.
    """

    name: str
    outside_diameter_m: float
    wall_m: float
    length_m: float
    needed_m: float
    mass_kg: float
    origin: Literal["yard", "yard and new", "new"]
    pieces_m: tuple[float, ...]
    splices: int
    from_yard_m: float
    to_get_m: float
    uses: int
    shafts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Yard:
    """The least that serves all shafts in sequence: first the fewest sizes, then the fewest metres to get, then the fewest metres.

    ``least_sizes`` is a bound that no choice falls below, ``least_m`` one that none with as few sizes does; ``exact`` says that
    no better choice exists.
    """

    strings: tuple[YardString, ...]
    sizes: int
    least_sizes: int
    metres_m: float
    least_m: float
    exact: bool
    to_get_m: float
    to_get_kg: float
    rounding_m: float
    rounding_kg: float
    larger_m3: float
    interval_h: float
    longest_residence_h: float
    needs: tuple[StringNeed, ...]
    said: tuple[str, ...]
