"""The least strings for needs in time: exact on small sites, with a bound that nothing falls below on large ones.

A need is a length of casing from one hour to another. A string serves needs one after the other; one that is longer serves
a shorter need, up to what may stick up more. However many needs of at least a length run at once, so many strings of at
least that length there must be: that is the bound.
Search starts from it and adds or lengthens, the cheapest first, until an assignment is found; since every set of strings
that works can be reached that way, the first that works is the least.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import inf

NODES = 20_000
"""Steps after which the search for an assignment gives up and a plain one is taken."""
SETS = 3_000
"""Sets of strings that are tried before a plain one is taken."""


@dataclass(frozen=True, slots=True)
class TimedLength:
    """A need: its length in m, and the hours from which and until which it is in the ground."""

    length_m: float
    from_h: float
    until_h: float


@dataclass(frozen=True, slots=True)
class StringSet:
    """Lengths of strings, the longest first, which string serves each need, and whether nothing less would do."""

    lengths_m: tuple[float, ...]
    serves: tuple[int, ...]
    exact: bool

    @property
    def metres_m(self) -> float:
        """Return the metres of all strings."""
        return sum(self.lengths_m)


def at_once(needs: Sequence[TimedLength]) -> int:
    """Return how many needs run at once at most; one that ends when another starts does not run with it.

    >>> at_once([TimedLength(5, 0, 2), TimedLength(5, 1, 3), TimedLength(5, 2, 4)])
    2
    """
    ends = sorted([(one.from_h, 1) for one in needs] + [(one.until_h, -1) for one in needs])
    most = now = 0
    for _, step in ends:
        now += step
        most = max(most, now)
    return most


def bound(needs: Sequence[TimedLength]) -> tuple[float, ...]:
    """Return the strings that there must be: for every length as many of at least that length as run at once.

    >>> bound([TimedLength(12, 0, 2), TimedLength(6, 1, 3), TimedLength(6, 1, 3)])
    (12, 6, 6)
    """
    lengths = sorted({one.length_m for one in needs}, reverse=True)
    found: list[float] = []
    for length in lengths:
        wanted = at_once([one for one in needs if one.length_m >= length])
        found += [length] * (wanted - len(found))
    return tuple(found)


def least_strings(needs: Sequence[TimedLength], pieces_m: Sequence[float] = (), longer_m: float = inf) -> StringSet:
    """Return the strings that serve all needs: the fewest metres to get beside the yard, then the fewest metres in all.

    A string serves a need that is at most ``longer_m`` shorter than it.

    >>> least_strings([TimedLength(6, 0, 3), TimedLength(6, 1, 5), TimedLength(12, 4, 6)]).lengths_m
    (12, 6)
    """
    levels = sorted({one.length_m for one in needs})
    start = bound(needs)
    queue = [((fill(start, pieces_m).to_get_m, sum(start)), start)]
    seen = {start}
    capped = False
    for _ in range(SETS):
        if not queue:
            break
        _, lengths = heapq.heappop(queue)
        served, complete = serve_all(needs, lengths, longer_m) if _enough(needs, lengths, longer_m) else (None, True)
        capped = capped or not complete
        if served is not None:
            return StringSet(lengths, served, exact=not capped)
        for more in _next(lengths, levels):
            if more not in seen:
                seen.add(more)
                heapq.heappush(queue, ((fill(more, pieces_m).to_get_m, sum(more)), more))
    return _plain(needs, longer_m)


def _enough(needs: Sequence[TimedLength], lengths_m: Sequence[float], longer_m: float) -> bool:
    """Return whether for every length there are as many strings that may serve it as there are needs of it at once."""
    return all(
        sum(level - 1e-9 <= length <= level + longer_m + 1e-9 for length in lengths_m)
        >= at_once([one for one in needs if one.length_m == level])
        for level in {one.length_m for one in needs}
    )


def _next(lengths: tuple[float, ...], levels: Sequence[float]) -> list[tuple[float, ...]]:
    """Return the sets that have one string more, or one a step longer."""
    found = [tuple(sorted([*lengths, level], reverse=True)) for level in levels]
    for index, length in enumerate(lengths):
        longer = [level for level in levels if level > length]
        if longer:
            found.append(tuple(sorted([*lengths[:index], longer[0], *lengths[index + 1 :]], reverse=True)))
    return found


def serve_all(needs: Sequence[TimedLength], lengths_m: Sequence[float], longer_m: float = inf) -> tuple[tuple[int, ...] | None, bool]:
    """Return which string serves each need, None where none can; and whether the search was carried to its end."""
    order = sorted(range(len(needs)), key=lambda index: (needs[index].from_h, -needs[index].length_m, needs[index].until_h, index))
    free = [-inf] * len(lengths_m)
    taken = [-1] * len(needs)
    steps = 0
    tried: list[list[int]] = []
    position = 0
    while position < len(order):
        steps += 1
        if steps > NODES:
            return None, False
        need = needs[order[position]]
        if len(tried) == position:
            fits = [
                index
                for index, length in enumerate(lengths_m)
                if free[index] <= need.from_h + 1e-9 and need.length_m - 1e-9 <= length <= need.length_m + longer_m + 1e-9
            ]
            tried.append(_distinct(fits, lengths_m))
        if tried[position]:
            choice = tried[position].pop()
            taken[order[position]], free[choice] = choice, need.until_h
            position += 1
            continue
        tried.pop()
        position -= 1
        if position < 0:
            return None, True
        string = taken[order[position]]
        free[string] = max((needs[order[index]].until_h for index in range(position) if taken[order[index]] == string), default=-inf)
        taken[order[position]] = -1
    return tuple(taken), True


def _distinct(fits: Sequence[int], lengths_m: Sequence[float]) -> list[int]:
    """Return one free string of each length, the shortest last, to be taken first: free strings of a length are alike."""
    return list({lengths_m[index]: index for index in fits}.values())


def _plain(needs: Sequence[TimedLength], longer_m: float) -> StringSet:
    """Serve needs as they come: the shortest free string that is long enough, else a new one of just that length."""
    lengths: list[float] = []
    free: list[float] = []
    taken = [0] * len(needs)
    for index in sorted(range(len(needs)), key=lambda one: (needs[one].from_h, one)):
        need = needs[index]
        fits = [
            string
            for string, length in enumerate(lengths)
            if need.length_m - 1e-9 <= length <= need.length_m + longer_m + 1e-9 and free[string] <= need.from_h + 1e-9
        ]
        if fits:
            string = min(fits, key=lambda one: (lengths[one], one))
        else:
            string = len(lengths)
            lengths.append(need.length_m)
            free.append(0.0)
        taken[index], free[string] = string, need.until_h
    order = sorted(range(len(lengths)), key=lambda one: -lengths[one])
    place = {string: rank for rank, string in enumerate(order)}
    return StringSet(tuple(lengths[one] for one in order), tuple(place[one] for one in taken), exact=False)


MOST_PIECES = 8
"""Pieces of one size that are looked at, the longest; more make the search long and are of little use."""
Used = tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class PieceUse:
    """What must be got in m, the joints, what is cut off, and the pieces of each string."""

    to_get_m: float
    joints: int
    cut_m: float
    used_m: Used


def fill(lengths_m: Sequence[float], pieces_m: Sequence[float]) -> PieceUse:
    """Return the pieces to strings so that the fewest metres must be got, then with the fewest joints, then with least cut off.

    >>> fill([15, 3], [12, 3]).used_m
    ((12,), (3,))
    >>> fill([15, 3], [12]).to_get_m
    6
    """
    return _fill(tuple(lengths_m), tuple(sorted(pieces_m, reverse=True)[:MOST_PIECES]))


@lru_cache(maxsize=4096)
def _fill(lengths_m: tuple[float, ...], pieces_m: tuple[float, ...]) -> PieceUse:
    states: dict[tuple[tuple[float, ...], ...], Used] = {tuple(() for _ in lengths_m): tuple(() for _ in lengths_m)}
    for piece in pieces_m:
        more: dict[tuple[tuple[float, ...], ...], Used] = dict(states)
        for used in states.values():
            for index, own in enumerate(used):
                if sum(own) < lengths_m[index] - 1e-9:
                    made = (*used[:index], (*own, piece), *used[index + 1 :])
                    more.setdefault(_alike(lengths_m, made), made)
        states = more
    return min(
        (_worth(lengths_m, used) for used in states.values()),
        key=lambda one: (round(one.to_get_m, 6), one.joints, round(one.cut_m, 6), one.used_m),
    )


def _alike(lengths_m: Sequence[float], used: Used) -> tuple[tuple[float, ...], ...]:
    """Return what two ways share that differ only in which of two alike strings has which pieces."""
    return tuple(sorted((length, *own) for length, own in zip(lengths_m, used, strict=True)))


def _worth(lengths_m: Sequence[float], used: Used) -> PieceUse:
    new, joints, cut = 0 * sum(lengths_m), 0, 0.0
    for length, own in zip(lengths_m, used, strict=True):
        left = length - sum(own)
        joints += max(0, len(own) - 1) + (1 if own and left > 1e-9 else 0)
        new += max(0, left) if left > 1e-9 else 0
        cut += max(0.0, -left)
    return PieceUse(new, joints, cut, used)
