"""The fewest casing sizes that serve all needs: every cover tried on small sites, a bound beside a plain choice on large ones."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from itertools import combinations, product
from math import comb, inf, pi, prod

from methodpick.records import record
from methodpick.site.yard_strings import MOST_PIECES, StringSet, TimedLength, bound, least_strings, to_get_m

MOST_COVERS = 60_000
"""Sets of sizes that are looked at before a plain choice is taken."""
MOST_WAYS = 2_000
"""Ways of sharing needs out over sizes that are looked at."""


@record(order=True)
class YardSize:
    """A casing size."""

    outside_m: float
    wall_m: float

    @property
    def inside_m(self) -> float:
        """Return the inside diameter."""
        return self.outside_m - 2 * self.wall_m


@record(order=True)
class SizeNeed:
    """What a need asks of a size.

    The inside that must pass, how wide it may be outside, the least wall over the outside diameter (its strength when
    emptied or driven goes by that ratio), its planned outside and the length that stands in the ground.
    """

    inside_m: float
    outside_most_m: float
    wall_ratio: float
    planned_m: float
    in_ground_m: float

    @property
    def kind(self) -> SizeNeed:
        """Return the need whatever its length: needs of a kind get casing of one size, so that alike shafts are built alike."""
        return replace(self, in_ground_m=0.0)

    def served_by(self, size: YardSize) -> bool:
        """Return whether a size serves."""
        return (
            size.inside_m >= self.inside_m - 1e-4
            and size.outside_m <= self.outside_most_m + 1e-4
            and size.wall_m / size.outside_m >= self.wall_ratio - 2e-5
        )

    def larger_m3(self, size: YardSize) -> float:
        """Return by how much the hole of a size is larger than that of the planned one."""
        return pi / 4 * max(0.0, size.outside_m**2 - self.planned_m**2) * self.in_ground_m


@record
class SizeChoice:
    """Sizes with the needs of each (by their places) and its strings.

    No choice has fewer than ``least_sizes`` sizes, and none with as few sizes has fewer than ``least_m`` metres. ``exact`` says
    that every way of sharing the needs out was tried, needs of a kind together. Of two choices the one with the lower ``worth`` is
    better: sizes, metres to get, metres in all, volume of larger holes, diameters.
    """

    sizes: tuple[tuple[YardSize, tuple[int, ...], StringSet], ...]
    least_sizes: int
    least_m: float
    larger_m3: float
    exact: bool
    worth: tuple[float, ...] = ()


ServingSizes = Mapping[SizeNeed, Sequence[YardSize]]
"""The sizes that serve each need, the smallest first."""
Cover = tuple[YardSize, ...]
"""Sizes that together serve every kind of need."""
Sharing = tuple[YardSize, ...]
"""A way of sharing the needs out over sizes: the size of each need."""


@record(frozen=False)
class _Valuation:
    """What a way of sharing needs out over sizes is valued by; strings found once are kept."""

    needs: Sequence[SizeNeed]
    times: Sequence[TimedLength]
    yard: Sequence[tuple[YardSize, float]]
    longer_m: float
    strings: dict[tuple[YardSize, tuple[int, ...]], StringSet] = field(default_factory=dict)
    at_hand: dict[YardSize, list[float]] = field(default_factory=dict)

    def pieces(self, size: YardSize) -> list[float]:
        """Return the lengths of a size that are at hand; found once."""
        if size not in self.at_hand:
            self.at_hand[size] = [length for kind, length in self.yard if kind == size]
        return self.at_hand[size]

    def value(self, way: Sharing) -> SizeChoice:
        """Return the choice that a way of sharing out makes."""
        by_size: dict[YardSize, list[int]] = {}
        for index, size in enumerate(way):
            by_size.setdefault(size, []).append(index)
        rows, new_m, metres = [], 0.0, 0.0
        for size in sorted(by_size):
            places = tuple(by_size[size])
            strings = self._least_strings(size, places)
            new_m += to_get_m(strings.lengths_m, self.pieces(size))
            metres += strings.metres_m
            rows.append((size, places, strings))
        larger = sum(need.larger_m3(size) for need, size in zip(self.needs, way, strict=True))
        outside = sum(size.outside_m for size in by_size)
        worth = (len(rows), round(new_m, 6), round(metres, 6), round(larger, 6), round(outside, 6))
        return SizeChoice(sizes=tuple(rows), least_sizes=0, least_m=0.0, larger_m3=larger, exact=True, worth=worth)

    def _least_strings(self, size: YardSize, places: tuple[int, ...]) -> StringSet:
        if (size, places) not in self.strings:
            self.strings[size, places] = least_strings([self.times[index] for index in places], self.pieces(size), self.longer_m)
        return self.strings[size, places]


def choose_sizes(
    needs: Sequence[tuple[SizeNeed, TimedLength]], sizes: Sequence[YardSize], yard: Sequence[tuple[YardSize, float]], longer_m: float = inf
) -> SizeChoice:
    """Choose sizes for needs: the fewest sizes, then the fewest metres to get, then the fewest metres in all.

    ``yard`` holds pieces at hand. A string serves a need up to ``longer_m`` shorter. Every need must be served by a size. Ties go
    to the smaller hole, then to smaller sizes.
    """
    valuation = _Valuation([need for need, _ in needs], [time for _, time in needs], yard, longer_m)
    kinds = sorted(set(valuation.needs))
    options = {kind: [size for size in sorted(set(sizes)) if kind.served_by(size)] for kind in kinds}
    covers, least_sizes, complete = _covers(kinds, options)
    tied_m = min((_tied_m(needs, options, cover) for cover in covers), default=0.0) if complete else 0.0
    best: SizeChoice | None = None
    for cover in covers:
        ways, all_ways = _ways(valuation.needs, options, cover)
        complete = complete and all_ways
        for way in ways:
            valued = valuation.value(way)
            if best is None or valued.worth < best.worth:
                best = valued
    if best is None:
        return SizeChoice((), 0, 0.0, 0.0, exact=True)
    all_pieces = all(len(valuation.pieces(size)) <= MOST_PIECES for size, _, _ in best.sizes)
    exact = complete and all_pieces and all(strings.exact for strings in valuation.strings.values())
    return replace(best, least_sizes=least_sizes, least_m=max(sum(bound(valuation.times)), tied_m), exact=exact)


def _covers(kinds: Sequence[SizeNeed], options: ServingSizes) -> tuple[list[Cover], int, bool]:
    """Return all least covers, or one plain cover; the count that no cover falls below; and whether all were found."""
    sizes = sorted({size for serving in options.values() for size in serving})
    least = _apart(kinds, options)
    if not kinds:
        return [()], 0, True
    for count in range(least, len(sizes) + 1):
        if comb(len(sizes), count) > MOST_COVERS:
            break
        covers = _covers_of(count, sizes, [options[kind] for kind in kinds])
        if covers:
            return covers, count, True
        least = count + 1
    return [_plain_cover(kinds, options)], least, False


def _covers_of(count: int, sizes: Sequence[YardSize], serving: Sequence[Sequence[YardSize]]) -> list[Cover]:
    """Return the sets of so many sizes that hold one of those that serve each kind; a set is told by the sum of a bit for each size."""
    by_bit = {1 << place: size for place, size in enumerate(sizes)}
    bits = {size: bit for bit, size in by_bit.items()}
    asked = {sum(bits[size] for size in of_kind) for of_kind in serving}
    sets = ((chosen, sum(chosen)) for chosen in combinations(by_bit, count))
    return [tuple(by_bit[bit] for bit in chosen) for chosen, held in sets if all(held & kind for kind in asked)]


def _apart(kinds: Sequence[SizeNeed], options: ServingSizes) -> int:
    """Return how many kinds of need share no size with one another: a cover has a size for each."""
    used: set[YardSize] = set()
    count = 0
    for kind in sorted(kinds, key=lambda kind: (len(options[kind]), kind)):
        if not used & set(options[kind]):
            used |= set(options[kind])
            count += 1
    return count


def _plain_cover(kinds: Sequence[SizeNeed], options: ServingSizes) -> Cover:
    """Take the size that serves most of what is left, again and again."""
    left, cover = list(kinds), list[YardSize]()
    while left:
        sizes = sorted({size for kind in left for size in options[kind]})
        best = max(sizes, key=lambda size: (sum(size in options[kind] for kind in left), -size.outside_m, -size.wall_m))
        cover.append(best)
        left = [kind for kind in left if best not in options[kind]]
    return tuple(sorted(cover))


def _tied_m(needs: Sequence[tuple[SizeNeed, TimedLength]], options: ServingSizes, cover: Cover) -> float:
    """Return the metres that a cover cannot do without: for each size the strings of the needs that only it serves."""
    chosen, served_by = set(cover), dict[SizeNeed, YardSize]()
    for need in {need for need, _ in needs}:
        serving = [size for size in options[need] if size in chosen]
        if len(serving) == 1:
            served_by[need] = serving[0]
    tied: dict[YardSize, list[TimedLength]] = {size: [] for size in cover}
    for need, time in needs:
        if need in served_by:
            tied[served_by[need]].append(time)
    return sum((sum(bound(times)) for times in tied.values()), 0.0)


def _ways(needs: Sequence[SizeNeed], options: ServingSizes, cover: Cover) -> tuple[list[Sharing], bool]:
    """Return the ways of sharing the needs out over a cover, needs of a kind together, and whether these are all.

    Where that is too much, all needs go to the smallest size that serves them.
    """
    kind_of = {need: need.kind for need in set(needs)}
    serving = {kind: [size for size in options[need] if size in cover] for need, kind in kind_of.items()}
    kinds = sorted(serving)
    if prod(len(serving[kind]) for kind in kinds) <= MOST_WAYS:
        by_kind = [dict(zip(kinds, way, strict=True)) for way in product(*(serving[kind] for kind in kinds))]
        return [tuple(way[kind_of[need]] for need in needs) for way in by_kind], True
    return [tuple(serving[kind_of[need]][0] for need in needs)], False
