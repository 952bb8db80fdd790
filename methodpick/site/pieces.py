"""Strings made up from pieces at hand: whole, cut or spliced, so that the least must be got."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

MOST_PIECES = 8
"""Pieces of one size that are looked at, the longest; more make the search long and are of little use."""
Used = tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Filled:
    """What must be got in m, the joints, what is cut off, and the pieces of each string."""

    to_get_m: float
    joints: int
    cut_m: float
    used_m: Used


def fill(lengths_m: Sequence[float], pieces_m: Sequence[float]) -> Filled:
    """Return the pieces to strings so that the fewest metres must be got, then with the fewest joints, then with least cut off.

    >>> fill([15, 3], [12, 3]).used_m
    ((12,), (3,))
    >>> fill([15, 3], [12]).to_get_m
    6
    """
    return _fill(tuple(lengths_m), tuple(sorted(pieces_m, reverse=True)[:MOST_PIECES]))


@lru_cache(maxsize=4096)
def _fill(lengths_m: tuple[float, ...], pieces_m: tuple[float, ...]) -> Filled:
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


def _worth(lengths_m: Sequence[float], used: Used) -> Filled:
    new, joints, cut = 0 * sum(lengths_m), 0, 0.0
    for length, own in zip(lengths_m, used, strict=True):
        left = length - sum(own)
        joints += max(0, len(own) - 1) + (1 if own and left > 1e-9 else 0)
        new += max(0, left) if left > 1e-9 else 0
        cut += max(0.0, -left)
    return Filled(new, joints, cut, used)
