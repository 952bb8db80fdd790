"""The least casing strings for needs in time: exact on small sites, with a bound that nothing falls below on large ones.

A need is a length of casing from one hour to another. A string serves needs one after the other; one that is longer serves
a shorter need, up to what may stick up more. However many needs of at least a length run at once, so many strings of at
least that length there must be: that is the bound.
The search starts from the bound and adds or lengthens strings, the cheapest set first, until one serves all needs; since every
set that works can be reached that way, the first that works is the least. Strings are made up from pieces at hand, whole, cut
or spliced, so that the least must be got.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from heapq import nsmallest
from itertools import accumulate
from math import inf

from methodpick.records import record

MOST_STEPS = 20_000
"""Steps after which the search for who serves whom gives up and strings are taken as needs come."""
MOST_SETS = 3_000
"""Sets of strings that are tried before strings are taken as needs come."""
MOST_PIECES = 8
"""Pieces of one size that are looked at, the longest; more make the search long and are of little use."""
SAME_M = 1e-9
"""Lengths and hours closer than this are equal."""
MOST_FILLS = 24
"""Ways of giving pieces to strings that are followed after each piece, the best ones; small yards have fewer."""


@record(order=True)
class StringPart:
    """A part of a string: its length in m, and the number of the piece at hand of which it is all or a cut."""

    length_m: float
    piece: int


PartsByString = tuple[tuple[StringPart, ...], ...]


@record
class TimedLength:
    """A need: its length in m, and the hours from which and until which it is in the ground."""

    length_m: float
    from_h: float
    until_h: float


@record
class StringSet:
    """Lengths of strings, the longest first, which string serves each need, and whether nothing less would do."""

    lengths_m: tuple[float, ...]
    serves: tuple[int, ...]
    exact: bool

    @property
    def metres_m(self) -> float:
        """Return the metres of all strings."""
        return sum(self.lengths_m)


@record
class PieceUse:
    """How pieces at hand make up strings: what must be got in m, joints, cuts between strings, what is too long, and all parts.

    The last part that is cut from a piece is what is left of it, which may be more than its string lacks.
    """

    to_get_m: float
    joints: int
    cuts: int
    left_m: float
    parts: PartsByString

    @property
    def used_m(self) -> tuple[tuple[float, ...], ...]:
        """Return the lengths of the parts of each string."""
        return tuple(tuple(part.length_m for part in parts) for parts in self.parts)


def at_once(needs: Sequence[TimedLength]) -> int:
    """Return how many needs run at once at most; one that ends when another starts does not run with it.

    >>> at_once([TimedLength(5, 0, 2), TimedLength(5, 1, 3), TimedLength(5, 2, 4)])
    2
    """
    changes = sorted([(need.from_h, 1) for need in needs] + [(need.until_h, -1) for need in needs])
    return max(accumulate((change for _, change in changes), initial=0))


def bound(needs: Sequence[TimedLength]) -> tuple[float, ...]:
    """Return the strings that there must be: for every length as many of at least that length as run at once.

    >>> bound([TimedLength(12, 0, 2), TimedLength(6, 1, 3), TimedLength(6, 1, 3)])
    (12, 6, 6)
    """
    strings: list[float] = []
    for length in sorted({need.length_m for need in needs}, reverse=True):
        wanted = at_once([need for need in needs if need.length_m >= length])
        strings += [length] * (wanted - len(strings))
    return tuple(strings)


def least_strings(needs: Sequence[TimedLength], pieces_m: Sequence[float] = (), longer_m: float = inf) -> StringSet:
    """Return the strings that serve all needs: the fewest metres to get beside the pieces at hand, then the fewest metres in all.

    A string serves a need that is at most ``longer_m`` shorter than it.

    >>> least_strings([TimedLength(6, 0, 3), TimedLength(6, 1, 5), TimedLength(12, 4, 6)]).lengths_m
    (12, 6)
    """
    levels = sorted({need.length_m for need in needs})
    wanted = {level: at_once([need for need in needs if need.length_m == level]) for level in levels}
    start = bound(needs)
    queue = [((to_get_m(start, pieces_m), sum(start)), start)]
    seen = {start}
    capped = False
    for _ in range(MOST_SETS):
        if not queue:
            break
        _, lengths = heapq.heappop(queue)
        served, complete = serve_all(needs, lengths, longer_m) if _enough(wanted, lengths, longer_m) else (None, True)
        capped = capped or not complete
        if served is not None:
            return StringSet(lengths, served, exact=not capped)
        for larger in _larger_sets(lengths, levels):
            if larger not in seen:
                seen.add(larger)
                heapq.heappush(queue, ((to_get_m(larger, pieces_m), sum(larger)), larger))
    return _as_they_come(needs, longer_m)


def _fits(string_m: float, need_m: float, longer_m: float) -> bool:
    """Return whether a string may serve a need."""
    return need_m - SAME_M <= string_m <= need_m + longer_m + SAME_M


def _enough(wanted: Mapping[float, int], lengths_m: Sequence[float], longer_m: float) -> bool:
    """Return whether for every length there are as many strings that may serve it as are ``wanted`` at once."""
    return all(sum(_fits(length, level, longer_m) for length in lengths_m) >= count for level, count in wanted.items())


def _larger_sets(lengths: tuple[float, ...], levels: Sequence[float]) -> list[tuple[float, ...]]:
    """Return the sets that have one string more, or one a step longer."""
    sets = [tuple(sorted([*lengths, level], reverse=True)) for level in levels]
    for index, length in enumerate(lengths):
        longer = [level for level in levels if level > length]
        if longer:
            sets.append(tuple(sorted([*lengths[:index], longer[0], *lengths[index + 1 :]], reverse=True)))
    return sets


def serve_all(needs: Sequence[TimedLength], lengths_m: Sequence[float], longer_m: float = inf) -> tuple[tuple[int, ...] | None, bool]:
    """Return which string serves each need, None where none can; and whether the search was carried to its end."""
    order = sorted(range(len(needs)), key=lambda index: (needs[index].from_h, -needs[index].length_m, needs[index].until_h, index))
    free_from = [-inf] * len(lengths_m)
    serving = [-1] * len(needs)
    untried: list[list[int]] = []
    steps = position = 0
    while position < len(order):
        steps += 1
        if steps > MOST_STEPS:
            return None, False
        need = needs[order[position]]
        if len(untried) == position:
            free = (index for index in range(len(lengths_m)) if free_from[index] <= need.from_h + SAME_M)
            untried.append(_distinct([index for index in free if _fits(lengths_m[index], need.length_m, longer_m)], lengths_m))
        if untried[position]:
            string = untried[position].pop()
            serving[order[position]], free_from[string] = string, need.until_h
            position += 1
            continue
        untried.pop()
        position -= 1
        if position < 0:
            return None, True
        string = serving[order[position]]
        free_from[string] = max((needs[index].until_h for index in order[:position] if serving[index] == string), default=-inf)
        serving[order[position]] = -1
    return tuple(serving), True


def _distinct(strings: Sequence[int], lengths_m: Sequence[float]) -> list[int]:
    """Return one free string of each length, the shortest last, to be used first: free strings of a length are equal."""
    return list({lengths_m[index]: index for index in strings}.values())


def _as_they_come(needs: Sequence[TimedLength], longer_m: float) -> StringSet:
    """Serve needs as they come: the shortest free string that is long enough, else a new one of just that length."""
    lengths: list[float] = []
    free_from: list[float] = []
    serving = [0] * len(needs)
    for index in sorted(range(len(needs)), key=lambda index: (needs[index].from_h, index)):
        need = needs[index]
        fitting = [
            string
            for string, length in enumerate(lengths)
            if _fits(length, need.length_m, longer_m) and free_from[string] <= need.from_h + SAME_M
        ]
        if fitting:
            string = min(fitting, key=lambda string: (lengths[string], string))
        else:
            string = len(lengths)
            lengths.append(need.length_m)
            free_from.append(0.0)
        serving[index], free_from[string] = string, need.until_h
    order = sorted(range(len(lengths)), key=lambda string: -lengths[string])
    place = {string: rank for rank, string in enumerate(order)}
    return StringSet(tuple(lengths[string] for string in order), tuple(place[string] for string in serving), exact=False)


def to_get_m(lengths_m: Sequence[float], pieces_m: Sequence[float]) -> float:
    """Return the metres that must be got beside the pieces at hand: pieces are cut and spliced, so that only their sum counts.

    >>> to_get_m([15, 3], [12]), to_get_m([9, 3], [12, 12])
    (6, 0)
    """
    missing_m = sum(lengths_m) - sum(sorted(pieces_m, reverse=True)[:MOST_PIECES])
    return max(0, missing_m) if missing_m > SAME_M else 0


def fill(lengths_m: Sequence[float], pieces_m: Sequence[float]) -> PieceUse:
    """Return the pieces to strings so that the fewest metres must be got, then with the fewest joints, cuts and metres left over.

    A piece that is longer than its string may be cut, and what is cut off may serve another string.

    >>> fill([15, 3], [12, 3]).used_m
    ((12,), (3,))
    >>> fill([15, 3], [12]).to_get_m
    6
    >>> fill([9, 3], [12]).used_m, fill([9, 3], [12]).to_get_m
    (((9,), (3,)), 0)
    """
    return _fill(tuple(lengths_m), tuple(sorted(pieces_m, reverse=True)[:MOST_PIECES]))


@lru_cache(maxsize=4096)
def _fill(lengths_m: tuple[float, ...], pieces_m: tuple[float, ...]) -> PieceUse:
    none_used: PartsByString = tuple(() for _ in lengths_m)
    ways: dict[PartsByString, PartsByString] = {none_used: none_used}
    for number, piece_m in enumerate(pieces_m):
        more = dict(ways)
        for used in ways.values():
            for longer in _given_piece(lengths_m, used, StringPart(piece_m, number)):
                more.setdefault(_without_names(lengths_m, longer), longer)
        ways = more if len(more) <= MOST_FILLS else dict(nsmallest(MOST_FILLS, more.items(), key=lambda way: _worth(lengths_m, way[1])))
    return _use(lengths_m, min(ways.values(), key=lambda used: _worth(lengths_m, used)))


def _worth(lengths_m: Sequence[float], used: PartsByString) -> tuple[float, int, int, float, PartsByString]:
    """Return what ways of giving pieces to strings are compared by, the better the lower."""
    use = _use(lengths_m, used)
    return round(use.to_get_m, 6), use.joints, use.cuts, round(use.left_m, 6), use.parts


def _given_piece(lengths_m: Sequence[float], used: PartsByString, rest: StringPart) -> Iterator[PartsByString]:
    """Yield the ways of giving a piece to strings: whole, or cut, so that it fills one string and the rest of it goes to another."""
    seen: set[tuple[float, ...]] = set()
    for index, parts in enumerate(used):
        left_m = lengths_m[index] - sum(part.length_m for part in parts)
        kind = (lengths_m[index], *(part.length_m for part in parts))
        if left_m <= SAME_M or kind in seen or any(part.piece == rest.piece for part in parts):
            continue
        seen.add(kind)
        yield (*used[:index], (*parts, rest), *used[index + 1 :])
        if rest.length_m > left_m + SAME_M:
            filled = (*used[:index], (*parts, StringPart(left_m, rest.piece)), *used[index + 1 :])
            yield from _given_piece(lengths_m, filled, StringPart(rest.length_m - left_m, rest.piece))


def _without_names(lengths_m: Sequence[float], used: PartsByString) -> PartsByString:
    """Return a key that is the same for two ways which differ only in which of two equal strings has which parts."""
    named = zip(lengths_m, used, strict=True)
    return tuple(sorted((StringPart(length, -1), *sorted(parts)) for length, parts in named))


def _use(lengths_m: Sequence[float], used: PartsByString) -> PieceUse:
    new, joints, left = 0 * sum(lengths_m), 0, 0.0
    for length, parts in zip(lengths_m, used, strict=True):
        missing = length - sum(part.length_m for part in parts)
        joints += max(0, len(parts) - 1) + (1 if parts and missing > SAME_M else 0)
        new += max(0, missing) if missing > SAME_M else 0
        left += max(0.0, -missing)
    pieces = [part.piece for parts in used for part in parts]
    return PieceUse(to_get_m=new, joints=joints, cuts=len(pieces) - len(set(pieces)), left_m=left, parts=used)
