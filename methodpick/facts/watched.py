"""Facts that run with depth and that rules compare with limits: their curves, and the depths where they cross a limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

from methodpick.facts.curves import WORSE, Curve, Curves, Ground, Inside
from methodpick.vocabulary.values import Span, Value

FINEST_M = 0.02
"""Slices are not cut finer than this where a curve crosses a limit."""
WATCHED = frozenset({"overload_ratio", "overload_share", "uplift_factor", "support_margin_kpa",
                     "support_wanted_margin_kpa", "cohesion_margin_kpa", "fluid_head_m"})
"""Facts that run with depth and that rules compare with limits."""
UNDER_FLUID = frozenset({"support_margin_kpa", "support_wanted_margin_kpa", "overload_share", "uplift_factor"})
"""Those that are followed under fluid as well."""


def curve_at(curves: Curves, fact: str, ground: Ground, depth_m: float, inside: Inside | None) -> Curve | None:
    """Give a watched fact at a depth, None where it does not apply."""
    if fact == "overload_ratio":
        return curves.overload(ground, depth_m, inside)
    if fact == "overload_share":
        return curves.share(ground, depth_m, inside)
    if fact == "uplift_factor":
        return curves.uplift(ground, depth_m, inside)
    if fact == "cohesion_margin_kpa":
        return curves.cohesion_margin(ground, depth_m)
    if fact == "fluid_head_m":
        return curves.fluid_head(ground, inside)
    factor, hoop_k0 = (1.1, False) if fact == "support_margin_kpa" else (1.3, True)
    needed = curves.support(ground, depth_m, factor, hoop_k0=hoop_k0) if inside is not None else None
    if needed is None or inside is None:
        return None
    pressure = inside.pressure(depth_m)
    return pressure - needed[2], None if needed[1] is None else pressure - needed[1], pressure - needed[0]


def crossings(curves: Curves, ground: Ground, ends: tuple[float, float], watched: Sequence[tuple[str, float]],
              insides: Mapping[str, Inside | None]) -> list[float]:
    """Give the depths inside ``ends`` where a watched curve crosses its limit, each rounded to its safe side.

    In the dry state the low, likely and high curve are followed, under fluid the likely one.
    """
    if ends[1] - ends[0] <= 2 * FINEST_M:
        return []
    limits: dict[str, list[float]] = {}
    for fact, limit in watched:
        limits.setdefault(fact, []).append(limit)
    found: set[float] = set()
    for fact, levels in limits.items():
        for state, inside in insides.items():
            if state == "dry" or fact in UNDER_FLUID:
                found |= _crossed(_Follow(curves, ground, fact, inside), levels, ends, (0, 1, 2) if state == "dry" else (1,))
    return sorted(found)


@dataclass(frozen=True, slots=True)
class _Follow:
    """A curve to follow with depth."""

    curves: Curves
    ground: Ground
    fact: str
    inside: Inside | None

    def at(self, depth_m: float) -> Curve | None:
        return curve_at(self.curves, self.fact, self.ground, depth_m, self.inside)


def _crossed(follow: _Follow, levels: Sequence[float], ends: tuple[float, float], which: Sequence[int]) -> set[float]:
    """Give the depths where the curve crosses one of the levels; a level is looked for only where the ends differ over it."""
    first, last = follow.at(ends[0] + 1e-6), follow.at(ends[1] - 1e-6)
    if first is None or last is None:
        return set()
    worse_is_high = WORSE[follow.fact] is max
    found = set()
    for part in which:
        one, other = first[part], last[part]
        if one is None or other is None:
            continue
        for level in levels:
            passes = _passes(one, level, worse_is_high=worse_is_high)
            if passes != _passes(other, level, worse_is_high=worse_is_high):
                found.add(_bisected(follow, part, level, ends, passes=passes))
    return found


def _passes(value: float | None, level: float, *, worse_is_high: bool) -> bool | None:
    if value is None:
        return None
    return value <= level if worse_is_high else value >= level


def _bisected(follow: _Follow, part: int, level: float, ends: tuple[float, float], *, passes: bool | None) -> float:
    worse_is_high = WORSE[follow.fact] is max
    low, high = ends
    while high - low > 2e-4:
        middle = (low + high) / 2
        curve = follow.at(middle)
        value = None if curve is None else curve[part]
        if _passes(value, level, worse_is_high=worse_is_high) == passes:
            low = middle
        else:
            high = middle
    return floor(low * 1000) / 1000 if passes else ceil(high * 1000) / 1000


def clip(span: Span, domain: Value) -> Span:
    """Clip a span to a domain."""
    if not isinstance(domain, Span):
        return span
    low, high = min(max(span.low, domain.low), domain.high), min(max(span.high, domain.low), domain.high)
    return Span(low, high, None if span.likely is None else min(max(span.likely, low), high))
