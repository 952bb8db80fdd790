"""The records of casing: what the shafts need, the strings that serve them, and the choice of sizes and stock for the whole site."""

from __future__ import annotations

from typing import Literal

from methodpick.records import record
from methodpick.site.estimate import NOTHING, Estimate


@record
class StringNeed:
    """A temporary string that a shaft needs, from the hour on the clock at which it goes in until it is out again.

    Hours run from the morning of the first working day, which is day 1, nights included. ``string`` names what serves it.
    """

    shaft: str
    kind: str
    outside_diameter_m: float
    wall_m: float
    length_m: float
    from_h: float
    until_h: float
    first_day: int = 0
    last_day: int = 0
    string: str = ""


@record
class CutPart:
    """A part of a string from the yard, and the length of the piece that it is, or is cut from; the rest of that stays in the yard."""

    length_m: float
    of_m: float


@record
class YardString:
    """A string to have: its size and length, the pieces it is made of, and the shafts that it serves.

    Of its length ``needed_m`` is needed, the rest is rounding up; ``from_yard_m`` is at hand (whole pieces, cut or spliced), and
    ``to_get_m`` must be bought or rented. ``cuts`` are the parts that are cut from a longer piece; ``days`` are the working days from
    where it first goes in until it is last out, at low, likely and high hours.
    """

    name: str
    outside_diameter_m: float
    wall_m: float
    length_m: float
    needed_m: float
    mass_kg: float
    origin: Literal["yard", "yard and new", "new"]
    pieces_m: tuple[float, ...]
    cuts: tuple[CutPart, ...]
    splices: int
    from_yard_m: float
    to_get_m: float
    uses: int
    shafts: tuple[str, ...]
    days: Estimate = NOTHING


@record
class StockPieces:
    """Pieces of casing in the yard."""

    outside_diameter_m: float
    wall_m: float
    length_m: float
    count: int


@record
class CasingCandidate:
    """A way of choosing all casing of a site, by what it takes from the yard; its likely cost where every line of it has a rate."""

    yard: str
    sizes: int
    to_get_m: float
    cost: float | None


@record
class CasingChoice:
    """The casing that was chosen for the site as a whole, out of ``candidates``, the chosen one first; ``stock`` is what it may take.

    No choice has fewer than ``least_sizes`` sizes, and none with as few sizes has fewer than ``least_m`` metres; ``exact`` tells that all
    ways of giving sizes to kinds of need were tried. Holes are larger by ``larger_m3`` than each shaft would want by itself.
    """

    candidates: tuple[CasingCandidate, ...]
    stock: tuple[StockPieces, ...]
    least_sizes: int
    least_m: float
    larger_m3: float
    exact: bool
    by_cost: bool


@record
class Yard:
    """The casing strings that serve all shafts in sequence, of the sizes that the plans have.

    No choice of sizes has fewer than ``least_sizes``, and none with as few has fewer than ``least_m`` metres; ``exact`` tells that all
    ways of giving sizes to kinds of need were tried.
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
    longest_residence_h: float
    needs: tuple[StringNeed, ...]
    said: tuple[str, ...]
