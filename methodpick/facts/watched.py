"""Facts that run with depth and that rules compare with limits: their curves, and the depths where they cross a limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

from methodpick.facts.curves import WORSE, Curve, Curves, Ground, Inside, Lid
from methodpick.vocabulary.values import Span, Value

FINEST_M = 0.02
"""Slices are not cut finer than this where a curve crosses a limit."""
WATCHED = frozenset(
    {
        "overload_ratio",
        "overload_share",
        "uplift_factor",
        "support_margin_kpa",
        "support_wanted_margin_kpa",
        "cohesion_margin_kpa",
        "fluid_head_m",
    }
)
"""Facts that run with depth and that rules compare with limits."""
UNDER_FLUID = frozenset({"support_margin_kpa", "support_wanted_margin_kpa", "overload_share", "uplift_factor"})
"""Those that are followed under fluid as well."""


SUPPORT = ("support_margin_kpa", "support_wanted_margin_kpa")
"""The two tiers of support of a granular wall: the least, with the hoop stress as the major one, and the wanted, with it at rest."""


class Station:
    """The watched facts at one depth of a stratum. What all support states share is worked out once, when it is asked for."""

    __slots__ = ("_curves", "_lids", "_needed", "depth_m", "ground")

    def __init__(self, curves: Curves, ground: Ground, depth_m: float) -> None:
        """Stand at a depth."""
        self._curves, self.ground, self.depth_m = curves, ground, depth_m
        self._needed: dict[str, Curve | None] = {}
        self._lids: tuple[Lid, ...] | None = None

    def needed(self, fact: str) -> Curve | None:
        """Return the support that a granular wall needs in one of the two tiers, None in other ground."""
        if fact not in self._needed:
            wanted, factors = fact == "support_wanted_margin_kpa", self._curves.loading
            factor = factors.wall_factor_recommended if wanted else factors.wall_factor_least
            self._needed[fact] = self._curves.support(self.ground, self.depth_m, factor, hoop_k0=wanted)
        return self._needed[fact]

    def curve(self, fact: str, inside: Inside | None) -> Curve | None:
        """Return a watched fact in a state, None where it does not apply."""
        curves, ground = self._curves, self.ground
        if fact in SUPPORT:
            needed = self.needed(fact) if inside is not None else None
            if needed is None or inside is None:
                return None
            pressure = inside.pressure(self.depth_m)
            return pressure - needed[2], None if needed[1] is None else pressure - needed[1], pressure - needed[0]
        if fact == "overload_ratio":
            return curves.overload(ground, self.depth_m, inside)
        if fact == "overload_share":
            return curves.share(ground, self.depth_m, inside)
        if fact == "uplift_factor":
            if self._lids is None:
                self._lids = curves.lids(self.depth_m)
            return curves.uplift(self._lids, inside.pressure(self.depth_m) if inside is not None else 0.0)
        if fact == "cohesion_margin_kpa":
            return curves.cohesion_margin(ground, self.depth_m)
        return curves.fluid_head(ground, inside)


def crossings(
    curves: Curves, ground: Ground, ends: tuple[float, float], watched: Sequence[tuple[str, float]], insides: Mapping[str, Inside | None]
) -> list[float]:
    """Return the depths inside ``ends`` where a watched curve crosses its limit, each rounded to its safe side.

    In the dry state the low, likely and high curve are followed, under fluid the likely one; behind casing none is.
    """
    if ends[1] - ends[0] <= 2 * FINEST_M:
        return []
    limits: dict[str, list[float]] = {}
    for fact, limit in watched:
        limits.setdefault(fact, []).append(limit)
    first, last = Station(curves, ground, ends[0] + 1e-6), Station(curves, ground, ends[1] - 1e-6)
    found: set[float] = set()
    for state, inside in insides.items():
        if state.startswith("cased"):
            continue
        for fact, levels in limits.items():
            if state == "dry" or fact in UNDER_FLUID:
                follow = _Follow(curves, ground, fact, inside)
                found |= _crossed(follow, levels, (first, last), (0, 1, 2) if state == "dry" else (1,))
    return sorted(found)


@dataclass(frozen=True, slots=True)
class _Follow:
    """A curve to follow with depth."""

    curves: Curves
    ground: Ground
    fact: str
    inside: Inside | None

    def at(self, depth_m: float) -> Curve | None:
        return Station(self.curves, self.ground, depth_m).curve(self.fact, self.inside)


def _crossed(follow: _Follow, levels: Sequence[float], ends: tuple[Station, Station], which: Sequence[int]) -> set[float]:
    """Return the depths where the curve crosses one of the levels; a level is looked for only where the ends differ over it."""
    first, last = (station.curve(follow.fact, follow.inside) for station in ends)
    found: set[float] = set()
    if first is None or last is None:
        return found
    worse_is_high = WORSE[follow.fact] is max
    for part in which:
        one, other = first[part], last[part]
        if one is None or other is None:
            continue
        for level in levels:
            passes = _passes(one, level, worse_is_high=worse_is_high)
            if passes != _passes(other, level, worse_is_high=worse_is_high):
                found.add(_bisected(follow, part, level, (ends[0].depth_m, ends[1].depth_m), passes=passes))
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
