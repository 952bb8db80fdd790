"""The pulls of temporary casing, lift by lift: the concrete that must stand over every shoe, its fall, what is refilled.

The innermost casing goes first, for the concrete stands in it: as its shoe comes up, concrete flows out under it and fills
the space to the next casing from below, so that the fluid there is pushed up and out and never trapped (FHWA-NHI-18-024
sec. 7.3, digest). A casing drawn first from outside would leave its gap to cave on the one inside.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.concrete import concrete_head_needed, concrete_level_needed
from methodpick.mechanics.stress import unit_weight
from methodpick.plan.casing.external_pressure import Outside
from methodpick.plan.concrete.column import OUT_M, Column


@dataclass(frozen=True, slots=True)
class String:
    """A temporary casing to be pulled: its number, top, shoe, pieces from the shoe up and the column that it makes.

    ``gap`` says that fluid may stand around it.
    """

    number: int
    top_m: float
    shoe_m: float
    sections_m: tuple[float, ...]
    column: Column
    gap: bool = True


@dataclass(frozen=True, slots=True)
class Terms:
    """What every pull must keep: what presses outside, what stands inside over the concrete, margin, least head, finish.

    Lifts are not halved below ``shortest_lift_m``: who needs shorter ones cannot pull the casing safely.
    """

    outside: Outside
    inside: HoleFluid | None
    concrete_kn_m3: float
    margin_kpa: float
    least_head_m: float
    finish_m: float
    shortest_lift_m: float

    def needed(self, shoe_m: float, *, gap: bool = True) -> float:
        """Return the depth at or above which the concrete must stand for a shoe at a depth.

        Margin and least head fade out over the last stretch, as long as the least head, below the finished level: there
        the shoe leaves the concrete, and plain balance is all that is left.
        """
        over = max(0.0, shoe_m - self.finish_m)
        margin = self.margin_kpa * min(1.0, over / self.least_head_m)
        pressure = self.outside.pressure(shoe_m, gap=gap)
        head = concrete_head_needed(pressure, self.concrete_kn_m3, margin)
        level = shoe_m - head
        if self.inside is not None:
            fluid = unit_weight(self.inside.density_kg_m3)
            lower = concrete_level_needed(shoe_m, self.inside.level_m, pressure, margin, self.concrete_kn_m3, fluid)
            level = max(level, min(lower, shoe_m))
        return min(level, shoe_m - min(self.least_head_m, over))


@dataclass(frozen=True, slots=True)
class Lift:
    """One lift: shoe from and to, the least level before it, levels before and after, the concrete added, safe or not."""

    string: String
    number: int
    shoe_m: float
    shoe_after_m: float
    least_m: float
    before_m: float
    after_m: float
    added_m3: float
    over: tuple[tuple[int, float, float, float], ...]
    safe: bool


def pull_all(strings: Sequence[String], terms: Terms, placed_m3: float = 0.0, *, top_up: bool = True) -> list[Lift]:
    """Pull the strings in the order given, innermost first; ``placed_m3`` stands in the hole before the first lift.

    Before a lift concrete is added until the whole string can come out and leave the finished level behind it; where the
    casing is too short for that, as much as it holds, and the lift is halved until the level holds through it. With ``top_up``
    off nothing more is added than a lift needs.
    """
    lifts: list[Lift] = []
    now = placed_m3
    for index, string in enumerate(strings):
        now = _pull(string, strings[index + 1 :], terms, now, lifts, top_up=top_up)
    return lifts


def _pull(string: String, rest: Sequence[String], terms: Terms, now_m3: float, lifts: list[Lift], *, top_up: bool) -> float:
    shoe, number = string.shoe_m, 0
    last = min(terms.finish_m, shoe)
    ends = _ends(string, last, terms.shortest_lift_m)
    whole = max(_needs(string, rest, terms, shoe, last), string.column.content(terms.finish_m, OUT_M))
    while True:
        end = ends[0]
        room = string.column.content(string.top_m, shoe)
        need = _needs(string, rest, terms, shoe, end)
        while need > max(room, now_m3) + 1e-9 and shoe - end > 2 * terms.shortest_lift_m:
            end = (shoe + end) / 2
            ends.insert(0, end)
            need = _needs(string, rest, terms, shoe, end)
        filled = max(now_m3, min(max(need, whole if top_up else 0.0), room))
        number += 1
        lifts.append(_lift(string, rest, terms, (number, shoe, end), (need, now_m3, filled), out=end <= last + 1e-9))
        now_m3, shoe = filled, end
        ends.pop(0)
        if not ends:
            return now_m3


def _ends(string: String, last_m: float, shortest_m: float) -> list[float]:
    """Return where the shoe stands after each lift: the top piece comes off first, the last lift ends at the finished level."""
    ends, shoe = [], string.shoe_m
    for length in reversed(string.sections_m):
        shoe -= length
        if shoe <= last_m + shortest_m:
            break
        ends.append(shoe)
    return [*ends, last_m]


def _needs(string: String, rest: Sequence[String], terms: Terms, shoe_m: float, end_m: float) -> float:
    """Return the concrete that must be in the hole for the shoe to go up from one depth to another.

    Between the depths where a piece ends or a pressure bends, level and need run straight, so that the ends are enough. An
    outer shoe needs its whole head once the moving shoe has come up to it; until then the casing in it keeps the concrete from
    it, and it must only stay covered.
    """
    bends = {piece.top_m for piece in string.column.pieces} | set(terms.outside.kinks()) | {terms.finish_m + terms.least_head_m}
    stops = [shoe_m, end_m, *(depth for depth in (*bends, *(one.shoe_m for one in rest)) if end_m < depth < shoe_m)]
    return max(
        string.column.content(min([needed_at(string, stop, terms), *(needed_over(one, stop, terms) for one in rest)]), stop)
        for stop in stops
    )


def needed_at(string: String, shoe_m: float, terms: Terms) -> float:
    """Return the level that the casing itself needs with its shoe at a depth."""
    return terms.needed(shoe_m, gap=string.gap)


def needed_over(other: String, moving_m: float, terms: Terms) -> float:
    """Return the level that an outer casing needs while a shoe inside it is at a depth."""
    return terms.needed(other.shoe_m, gap=other.gap) if moving_m <= other.shoe_m + 1e-9 else max(other.shoe_m, terms.finish_m)


def _lift(
    string: String, rest: Sequence[String], terms: Terms, step: tuple[int, float, float], volumes: tuple[float, float, float], *, out: bool
) -> Lift:
    number, shoe, end = step
    need, now, filled = volumes
    column = string.column
    after = column.level(filled, OUT_M if out else end)
    over = [(other.number, other.shoe_m, other.shoe_m - after, other.shoe_m - needed_over(other, end, terms)) for other in rest]
    if not out:
        over.insert(0, (string.number, end, end - after, end - needed_at(string, end, terms)))
    safe = filled >= need - 1e-9
    return Lift(
        string,
        number,
        shoe,
        0.0 if out else end,
        column.level(need, shoe),
        column.level(filled, shoe),
        after,
        filled - now,
        tuple(over),
        safe,
    )
