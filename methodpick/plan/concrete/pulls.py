"""The pulls of temporary casing, lift by lift: the concrete that must stand over every shoe, its fall, what is refilled.

The innermost casing goes first, for the concrete stands in it: as its shoe comes up, concrete flows out under it and fills
the space to the next casing from below, so that the fluid there is pushed up and out and never trapped (FHWA-NHI-18-024
sec. 7.3, digest). A casing drawn first from outside would leave its gap to cave on the one inside.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.concrete import annulus_level, concrete_head_needed, concrete_level_needed
from methodpick.mechanics.earth_pressure import unit_weight
from methodpick.plan.concrete.hole import TOUCH_M, area
from methodpick.plan.demands.ground_on_casing import ExternalPressure
from methodpick.plan.result import OverShoe
from methodpick.records import record

OUT_M = -1e3
"""Shoe of a casing that is out of the ground."""
FAR_M = 100.0
"""Column above the top that a level is looked for in."""


# ---- the concrete in a casing


@record
class ColumnPiece:
    """A length of what bounds the concrete outside the casing: the ground, or the casing around it."""

    top_m: float
    base_m: float
    diameter_m: float


@record(caches=True)
class ConcreteColumn:
    """A casing in its hole, with the fluid that stands between it and what is around it.

    Pieces run top down to the tip without gaps. Below the shoe the concrete fills them; above, it stands in the casing and,
    where the shoe stands free, rises outside it to the height that balances the fluid there. A column without a gap above
    the shoe is closed: the ground or a seat holds the casing there. ``more_m3`` lies at the base, in a bell.
    """

    pieces: tuple[ColumnPiece, ...]
    inside_m: float
    outside_m: float
    fluid_kn_m3: float
    fluid_level_m: float
    concrete_kn_m3: float
    more_m3: float = 0.0

    def content(self, level_m: float, shoe_m: float) -> float:
        """Return the concrete in m3 that stands to a level inside the casing while its shoe is at a depth."""
        start, filled = max(level_m, shoe_m), 0.0
        for top, base, area_m2 in self._areas:
            if base > start:
                filled += area_m2 * (base - max(start, top))
        total, first = self.more_m3 + filled, self.pieces[0]
        if start < first.top_m:
            total += area(first.diameter_m) * (first.top_m - start)
        if level_m >= shoe_m:
            return total
        return total + area(self.inside_m) * (shoe_m - level_m) + self._around(level_m, shoe_m)

    @cached_property
    def _areas(self) -> tuple[tuple[float, float, float], ...]:
        """Return the top, the base and the area of every piece."""
        return tuple((piece.top_m, piece.base_m, area(piece.diameter_m)) for piece in self.pieces)

    @cached_property
    def _annuli(self) -> dict[float, tuple[tuple[float, float, float], ...]]:
        """Return what was found of the annulus by the depth of the shoe."""
        return {}

    def _free_annulus(self, shoe_m: float) -> tuple[tuple[float, float, float], ...]:
        """Return top, base and area of the annulus that opens at the shoe, from the shoe up; none where the casing is held. Found once."""
        if shoe_m not in self._annuli:
            found = []
            for piece in reversed(self.pieces):
                if piece.top_m >= shoe_m - TOUCH_M:
                    continue
                if piece.diameter_m <= self.outside_m + TOUCH_M:
                    break
                found.append((piece.top_m, min(piece.base_m, shoe_m), area(piece.diameter_m) - area(self.outside_m)))
            self._annuli[shoe_m] = tuple(found)
        return self._annuli[shoe_m]

    def _around(self, level_m: float, shoe_m: float) -> float:
        reached = annulus_level(level_m, self.fluid_level_m, self.fluid_kn_m3, self.concrete_kn_m3)
        return sum(area_m2 * (base - max(top, reached)) for top, base, area_m2 in self._free_annulus(shoe_m) if base > reached)

    def level(self, volume_m3: float, shoe_m: float) -> float:
        """Return the depth to which a volume stands inside the casing; content grows in straight lines between kinks."""
        kinks = self._kinks(shoe_m)
        deep = kinks[0]
        below = self.content(deep, shoe_m)
        for kink in kinks[1:]:
            above = self.content(kink, shoe_m)
            if above >= volume_m3:
                return deep if above <= below else deep - (deep - kink) * max(0.0, volume_m3 - below) / (above - below)
            deep, below = kink, above
        return deep

    def _kinks(self, shoe_m: float) -> list[float]:
        """Return the levels at which the content changes its slope, the deepest first."""
        ends = {piece.top_m for piece in self.pieces} | {self.pieces[-1].base_m}
        kinks = {end for end in ends if end >= shoe_m}
        if shoe_m > OUT_M:
            kinks |= {shoe_m, min(shoe_m, self.fluid_level_m)}
            share = self.fluid_kn_m3 / self.concrete_kn_m3
            for end in {*(end for end in ends if end < shoe_m), shoe_m}:
                under = max(0.0, end - self.fluid_level_m)
                kinks.add(min(shoe_m, end - share * under))
        return [*sorted(kinks, reverse=True), self.pieces[0].top_m - FAR_M]


# ---- the lifts


@record
class PulledString:
    """A temporary casing to be pulled: its number, top, shoe, pieces from the shoe up and the column that it makes.

    ``gap`` says that fluid may stand around it.
    """

    number: int
    top_m: float
    shoe_m: float
    sections_m: tuple[float, ...]
    column: ConcreteColumn
    gap: bool = True


@record(caches=True)
class PullTerms:
    """What every pull must keep: what presses outside, what stands inside over the concrete, margin, least head, finish.

    Lifts are not halved below ``shortest_lift_m``: who needs shorter ones cannot pull the casing safely.
    """

    outside: ExternalPressure
    inside: HoleFluid | None
    concrete_kn_m3: float
    margin_kpa: float
    least_head_m: float
    finish_m: float
    shortest_lift_m: float

    def needed(self, shoe_m: float, *, gap: bool = True) -> float:
        """Return the depth at or above which the concrete must stand for a shoe at a depth; worked out once.

        Margin and least head fade out over the last stretch, as long as the least head, below the finished level: there
        the shoe leaves the concrete, and plain balance is all that is left.
        """
        if (shoe_m, gap) not in self._needed:
            self._needed[shoe_m, gap] = self._find_needed(shoe_m, gap=gap)
        return self._needed[shoe_m, gap]

    @cached_property
    def _needed(self) -> dict[tuple[float, bool], float]:
        """Return what was found already, by the shoe and whether fluid may stand around it."""
        return {}

    def _find_needed(self, shoe_m: float, *, gap: bool) -> float:
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


@record
class Lift:
    """One lift: shoe from and to, the least level before it, levels before and after, the concrete added, safe or not.

    ``over`` says what stands over every shoe that remains, and what it needs.
    """

    string: PulledString
    number: int
    shoe_m: float
    shoe_after_m: float
    least_m: float
    before_m: float
    after_m: float
    added_m3: float
    over: tuple[OverShoe, ...]
    safe: bool


def pull_all(strings: Sequence[PulledString], terms: PullTerms, placed_m3: float = 0.0, *, top_up: bool = True) -> list[Lift]:
    """Pull the strings in the order given, innermost first; ``placed_m3`` stands in the hole before the first lift.

    Before a lift concrete is added until the whole string can come out and leave the finished level behind it; where the
    casing is too short for that, as much as it holds, and the lift is halved until the level holds through it. With ``top_up``
    off nothing more is added than a lift needs.
    """
    lifts: list[Lift] = []
    for index, string in enumerate(strings):
        found, placed_m3 = _Pull(string, tuple(strings[index + 1 :]), terms).lifts(placed_m3, top_up=top_up)
        lifts += found
    return lifts


@record(caches=True)
class _Pull:
    """A string while it is pulled, with the strings that are still around it and what every pull must keep."""

    string: PulledString
    around: tuple[PulledString, ...]
    terms: PullTerms

    def lifts(self, placed_m3: float, *, top_up: bool) -> tuple[list[Lift], float]:
        """Return the lifts of the string, and the concrete that stands in the hole after the last."""
        column, shoe = self.string.column, self.string.shoe_m
        last = min(self.terms.finish_m, shoe)
        whole = max(self.needs(shoe, last), column.content(self.terms.finish_m, OUT_M)) if top_up else 0.0
        ends, lifts = _lift_ends(self.string, last, self.terms.shortest_lift_m), list[Lift]()
        while ends:
            end, room = ends[0], column.content(self.string.top_m, shoe)
            need = self.needs(shoe, end)
            while need > max(room, placed_m3) + 1e-9 and shoe - end > 2 * self.terms.shortest_lift_m:
                end = (shoe + end) / 2
                ends.insert(0, end)
                need = self.needs(shoe, end)
            filled = max(placed_m3, min(max(need, whole), room))
            lifts.append(self._lift(len(lifts) + 1, (shoe, end), (need, placed_m3, filled), out=end <= last + 1e-9))
            placed_m3, shoe = filled, end
            ends.pop(0)
        return lifts, placed_m3

    def needs(self, shoe_m: float, end_m: float) -> float:
        """Return the concrete that must be in the hole for the shoe to go up from one depth to another.

        Between the depths where a piece ends or a pressure bends, level and need run straight, so that the ends are enough. An
        outer shoe needs its whole head once the moving shoe has come up to it; until then the casing in it keeps the concrete from
        it, and it must only stay covered. The last lift takes the steel out of the concrete above its end too.
        """
        content = self.string.column.content
        between = (depth for depth in self._bends if end_m < depth < shoe_m)
        needed = max(content(self._needed_level(stop), stop) for stop in (shoe_m, end_m, *between))
        if end_m > min(self.terms.finish_m, shoe_m) + 1e-9 or not self.around:
            return needed
        return max(needed, content(min(needed_over(outer, end_m, self.terms) for outer in self.around), OUT_M))

    @cached_property
    def _bends(self) -> tuple[float, ...]:
        """Return the depths at which level or need bends, and those of the outer shoes."""
        terms, column = self.terms, self.string.column
        bends = {piece.top_m for piece in column.pieces} | set(terms.outside.kinks()) | {terms.finish_m + terms.least_head_m}
        return (*bends, *(outer.shoe_m for outer in self.around))

    def _needed_level(self, shoe_m: float) -> float:
        """Return the level that the string and all around it need with its shoe at a depth."""
        levels = [needed_over(outer, shoe_m, self.terms) for outer in self.around]
        return min([needed_at(self.string, shoe_m, self.terms), *levels])

    def _lift(self, number: int, move: tuple[float, float], volumes_m3: tuple[float, float, float], *, out: bool) -> Lift:
        """Return a lift from one depth to another, with the concrete that it needs, that stands before and that is filled up to."""
        (shoe, end), (need, placed, filled) = move, volumes_m3
        column = self.string.column
        after = column.level(filled, OUT_M if out else end)
        over = [
            OverShoe(outer.number, outer.shoe_m, outer.shoe_m - after, outer.shoe_m - needed_over(outer, end, self.terms))
            for outer in self.around
        ]
        if not out:
            over.insert(0, OverShoe(self.string.number, end, end - after, end - needed_at(self.string, end, self.terms)))
        return Lift(
            string=self.string,
            number=number,
            shoe_m=shoe,
            shoe_after_m=0.0 if out else end,
            least_m=column.level(need, shoe),
            before_m=column.level(filled, shoe),
            after_m=after,
            added_m3=filled - placed,
            over=tuple(over),
            safe=filled >= need - 1e-9,
        )


def _lift_ends(string: PulledString, last_m: float, shortest_m: float) -> list[float]:
    """Return where the shoe stands after each lift: the top piece comes off first, the last lift ends at the finished level."""
    ends, shoe = [], string.shoe_m
    for length in reversed(string.sections_m):
        shoe -= length
        if shoe <= last_m + shortest_m:
            break
        ends.append(shoe)
    return [*ends, last_m]


def needed_at(string: PulledString, shoe_m: float, terms: PullTerms) -> float:
    """Return the level that the casing itself needs with its shoe at a depth."""
    return terms.needed(shoe_m, gap=string.gap)


def needed_over(outer: PulledString, moving_m: float, terms: PullTerms) -> float:
    """Return the level that an outer casing needs while a shoe inside it is at a depth."""
    return terms.needed(outer.shoe_m, gap=outer.gap) if moving_m <= outer.shoe_m + 1e-9 else max(outer.shoe_m, terms.finish_m)
