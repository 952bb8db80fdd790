"""The fewest casing sizes that serve all needs: every cover tried on small sites, a bound beside a plain choice on large ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import comb, inf, pi, prod

from methodpick.site.yard_strings import MOST_PIECES, StringSet, TimedLength, bound, fill, least_strings

COVERS = 60_000
"""Sets of sizes that are looked at before a plain choice is taken."""
WAYS = 2_000
"""Ways of sharing needs out over sizes that are looked at."""


@dataclass(frozen=True, slots=True, order=True)
class CasingSize:
    """A casing size."""

    outside_m: float
    wall_m: float

    @property
    def inside_m(self) -> float:
        """Return the inside diameter."""
        return self.outside_m - 2 * self.wall_m


@dataclass(frozen=True, slots=True, order=True)
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

    def takes(self, size: CasingSize) -> bool:
        """Return whether a size serves."""
        return (
            size.inside_m >= self.inside_m - 1e-4
            and size.outside_m <= self.outside_most_m + 1e-4
            and size.wall_m / size.outside_m >= self.wall_ratio - 2e-5
        )

    def larger_m3(self, size: CasingSize) -> float:
        """Return the hole that a size is larger by than the planned one."""
        return pi / 4 * max(0.0, size.outside_m**2 - self.planned_m**2) * self.in_ground_m


@dataclass(frozen=True, slots=True)
class SizeChoice:
    """Sizes with the needs of each (by their places) and its strings.

    ``least_sizes`` and ``least_m`` are bounds: no choice has fewer sizes, and with as few sizes none has fewer metres.
    ``exact`` says that every way of sharing the needs out was tried.
    """

    sizes: tuple[tuple[CasingSize, tuple[int, ...], StringSet], ...]
    least_sizes: int
    least_m: float
    larger_m3: float
    exact: bool


def choose_sizes(
    kinds: Sequence[SizeNeed],
    spans: Sequence[TimedLength],
    sizes: Sequence[CasingSize],
    yard: Sequence[tuple[CasingSize, float]],
    longer_m: float = inf,
) -> SizeChoice:
    """Choose for needs (their kinds and spans) from sizes: the fewest sizes, then the fewest metres to get, then in all.

    ``yard`` holds pieces at hand. A string serves a need up to ``longer_m`` shorter. Every kind must
    be taken by a size. Ties go to less hole, then to smaller sizes.
    """
    groups = sorted(set(kinds))
    options = {kind: [size for size in sorted(set(sizes)) if kind.takes(size)] for kind in groups}
    covers, few, complete = _covers(groups, options)
    least_m = max(sum(bound(spans)), min((_tied(kinds, spans, options, cover) for cover in covers), default=0.0) if complete else 0.0)
    best: tuple[tuple[float, ...], SizeChoice] | None = None
    kept: dict[tuple[CasingSize, tuple[int, ...]], StringSet] = {}
    for cover in covers:
        ways, whole = _ways(kinds, options, cover)
        complete = complete and whole
        for way in ways:
            found = _value(kinds, spans, way, yard, longer_m, kept)
            if best is None or found[0] < best[0]:
                best = found
    if best is None:
        return SizeChoice((), 0, 0.0, 0.0, exact=True)
    made = best[1]
    many = any(sum(own == size for own, _ in yard) > MOST_PIECES for size, _, _ in made.sizes)
    exact = complete and not many and all(strings.exact for strings in kept.values())
    return SizeChoice(made.sizes, few, least_m, made.larger_m3, exact)


def _covers(groups: Sequence[SizeNeed], options: dict[SizeNeed, list[CasingSize]]) -> tuple[list[tuple[CasingSize, ...]], int, bool]:
    """Return all least covers, or one plain cover with the bound that no cover falls below."""
    sizes = sorted({size for found in options.values() for size in found})
    apart = _apart(groups, options)
    if not groups:
        return [()], 0, True
    for count in range(apart, len(sizes) + 1):
        if comb(len(sizes), count) > COVERS:
            break
        found = [cover for cover in combinations(sizes, count) if all(any(size in cover for size in options[kind]) for kind in groups)]
        if found:
            return found, count, True
        apart = count + 1
    return [_plain_cover(groups, options)], apart, False


def _apart(groups: Sequence[SizeNeed], options: dict[SizeNeed, list[CasingSize]]) -> int:
    """Return how many kinds share no size with one another: a cover has a size for each."""
    used: set[CasingSize] = set()
    count = 0
    for kind in sorted(groups, key=lambda one: (len(options[one]), one)):
        if not used & set(options[kind]):
            used |= set(options[kind])
            count += 1
    return count


def _plain_cover(groups: Sequence[SizeNeed], options: dict[SizeNeed, list[CasingSize]]) -> tuple[CasingSize, ...]:
    """Take the size that serves most of what is left, again and again."""
    left, found = list(groups), list[CasingSize]()
    while left:
        sizes = sorted({size for kind in left for size in options[kind]})
        best = max(sizes, key=lambda size: (sum(size in options[kind] for kind in left), -size.outside_m, -size.wall_m))
        found.append(best)
        left = [kind for kind in left if best not in options[kind]]
    return tuple(sorted(found))


def _tied(
    kinds: Sequence[SizeNeed], spans: Sequence[TimedLength], options: dict[SizeNeed, list[CasingSize]], cover: tuple[CasingSize, ...]
) -> float:
    """Return the metres that a cover cannot do without: for each size the strings of the needs that only it serves."""
    total = 0.0
    for size in cover:
        own = [span for kind, span in zip(kinds, spans, strict=True) if [one for one in options[kind] if one in cover] == [size]]
        total += sum(bound(own))
    return total


def _ways(
    kinds: Sequence[SizeNeed], options: dict[SizeNeed, list[CasingSize]], cover: tuple[CasingSize, ...]
) -> tuple[list[tuple[CasingSize, ...]], bool]:
    """Return the ways of sharing the needs out over a cover: each need by itself, else kind by kind, else all to the smallest."""
    own = {kind: [size for size in options[kind] if size in cover] for kind in set(kinds)}
    if prod(len(own[kind]) for kind in kinds) <= WAYS:
        return list(product(*(own[kind] for kind in kinds))), True
    groups = sorted(own)
    if prod(len(own[kind]) for kind in groups) <= WAYS:
        shared = [dict(zip(groups, way, strict=True)) for way in product(*(own[kind] for kind in groups))]
        return [tuple(way[kind] for kind in kinds) for way in shared], False
    return [tuple(own[kind][0] for kind in kinds)], False


def _value(
    kinds: Sequence[SizeNeed],
    spans: Sequence[TimedLength],
    way: tuple[CasingSize, ...],
    yard: Sequence[tuple[CasingSize, float]],
    longer_m: float,
    kept: dict[tuple[CasingSize, tuple[int, ...]], StringSet],
) -> tuple[tuple[float, ...], SizeChoice]:
    """Return what a way of sharing out is worth, and the choice."""
    by_size: dict[CasingSize, list[int]] = {}
    for index, size in enumerate(way):
        by_size.setdefault(size, []).append(index)
    rows, new, metres = [], 0.0, 0.0
    for size in sorted(by_size):
        places = tuple(by_size[size])
        pieces = [length for own, length in yard if own == size]
        if (size, places) not in kept:
            kept[size, places] = least_strings([spans[index] for index in places], pieces, longer_m)
        strings = kept[size, places]
        new += fill(strings.lengths_m, pieces).to_get_m
        metres += strings.metres_m
        rows.append((size, places, strings))
    larger = sum(kind.larger_m3(size) for kind, size in zip(kinds, way, strict=True))
    outside = sum(size.outside_m for size in by_size)
    worth = (len(rows), round(new, 6), round(metres, 6), round(larger, 6), round(outside, 6))
    return worth, SizeChoice(tuple(rows), 0, 0.0, larger, exact=True)
