"""Where a shaft is cut for deciding: layers, water levels, the design, seats, and depths where a fact crosses a limit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from math import ceil, floor, isfinite

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.curves import Curve, Curves, Ground, HoleFluid
from methodpick.facts.of_slice import WORSE, bell_top, wet_above
from methodpick.facts.sheet import Station, is_of_ground
from methodpick.facts.strata import Stratum
from methodpick.ground.site import Shaft
from methodpick.records import record

FINEST_M = 0.02
"""Slices are not cut finer than this where a curve crosses a limit."""
UNDER_FLUID = frozenset({"support_margin_kpa", "support_wanted_margin_kpa", "overload_ratio", "overload_share", "uplift_factor"})
"""Facts that run with depth and that hang on what stands in the hole."""
IN_ANY_STATE = frozenset({"cohesion_margin_kpa", "closure_percent", "bulging_ratio"})
"""Facts that run with depth, and are the same whatever stands in the hole."""
WATCHED = UNDER_FLUID | IN_ANY_STATE
"""Facts that run with depth and that rules or proofs compare with limits: slices are cut where they cross one."""
MOST_STEPS = 2
"""So often a length is halved before a curve is taken to cross a limit once in what is left of it."""
DEPTH_STEP_M = 1.5e-4
"""How far beside a straight line's crossing a curve is read, to know on which side it crosses."""
SAME_CUT_M = 0.011
"""Of depths closer than this one is a cut."""


def cut_depths(
    shaft: Shaft, strata: Sequence[Stratum], aquifers: Sequence[Aquifer], extra: Sequence[float], limits: Mapping[str, float]
) -> list[float]:
    """Return the depths at which the shaft is cut, from 0 to the tip, in order."""
    tip = shaft.tip_m
    depths = {0.0, tip, *(s.top_m for s in strata), *(s.base_m for s in strata), *extra}
    depths |= {shaft.cutoff_m, shaft.socket_top_m or 0.0}
    if shaft.bell is not None:
        depths.add(bell_top(shaft, limits))
    for aquifer in aquifers:
        level = aquifer.level_m
        levels = {level.low, level.high} | ({level.likely} if level.likely is not None else set())
        if aquifer.kind == "main":
            depths |= levels
            depths |= {
                level - rise
                for level in levels
                for stratum in strata
                if (rise := wet_above(stratum, limits)) > 0 and stratum.top_m < level - rise < stratum.base_m
            }
        else:
            depths |= {aquifer.top_m, aquifer.base_m}
            depths |= {depth for depth in levels if aquifer.top_m < depth < aquifer.base_m}
    ordered = sorted({round(depth, 3) for depth in depths if 0.0 <= depth <= tip})
    kept = [ordered[0]]
    for depth in ordered[1:]:
        if depth - kept[-1] > SAME_CUT_M or depth == round(tip, 3):
            kept.append(depth)
    if len(kept) > 1 and kept[-1] - kept[-2] <= SAME_CUT_M:
        del kept[-2]
    return kept


@record(order=True)
class Crossing:
    """A depth at which a curve crosses a limit, rounded to its safe side, and whether it passes above it (else below)."""

    depth_m: float
    passes_above: bool


def cuts_at(found: Sequence[Crossing], ends: tuple[float, float]) -> list[float]:
    """Return where to cut between two ends for the crossings, from the top down, no nearer to each other than is worth a slice.

    Of crossings that crowd together each has a cut on its safe side: what passes below one may begin a little deeper.

    >>> cuts_at([Crossing(1.0, True), Crossing(1.004, False), Crossing(1.5, True)], (0.0, 2.0))
    [1.0, 1.02, 1.5]
    """
    cuts = [ends[0]]
    for crossing in sorted(found):
        depth = crossing.depth_m
        if depth - cuts[-1] < FINEST_M and not crossing.passes_above and depth > cuts[-1]:
            depth = round(cuts[-1] + FINEST_M, 3)
        if ends[1] - depth < FINEST_M and crossing.passes_above:
            depth = round(ends[1] - FINEST_M, 3)
        if depth - cuts[-1] >= FINEST_M - 1e-9 and ends[1] - depth >= FINEST_M - 1e-9:
            cuts.append(depth)
    return cuts[1:]


def crossings(
    curves: Curves,
    ground: Ground,
    ends: tuple[float, float],
    watched: Mapping[str, Sequence[float]],
    insides: Mapping[str, HoleFluid | None],
) -> list[Crossing]:
    """Return the crossings of the watched curves with their limits inside ``ends``.

    The low, likely and high curve are followed, in the dry state and under fluid; behind casing none is. More pressure in the hole is
    never worse: where a curve passes all its limits at both ends it is not read under fluids that press more there.
    """
    if ends[1] - ends[0] <= 2 * FINEST_M:
        return []
    between = Station(curves, ground, ends[0] + 1e-6), Station(curves, ground, ends[1] - 1e-6)
    found: set[Crossing] = set()
    followed = [(fact, levels) for fact, levels in watched.items() if is_of_ground(fact, ground)]
    enough: dict[str, tuple[float, float]] = {}
    for state, inside in insides.items():
        if state.startswith("cased"):
            continue
        upper, lower = (0.0 if inside is None else inside.pressure(station.depth_m) for station in between)
        for fact, levels in followed:
            if state != "dry" and fact not in UNDER_FLUID:
                continue
            if fact in enough and upper >= enough[fact][0] and lower >= enough[fact][1]:
                continue
            read = between[0].curve(fact, inside), between[1].curve(fact, inside)
            if _pass_all(read, fact, levels):
                enough[fact] = upper, lower
            else:
                found.update(_crossed(between, read, (fact, inside), levels))
    return sorted(found)


def _pass_all(curves: tuple[Curve | None, Curve | None], fact: str, levels: Sequence[float]) -> bool:
    """Return whether the curves at both ends exist and are on the good side of every level."""
    if curves[0] is None or curves[1] is None:
        return False
    values = [value for curve in curves if curve is not None for value in curve if value is not None]
    return max(values) <= min(levels) if WORSE[fact] is max else min(values) >= max(levels)


def _crossed(
    ends: tuple[Station, Station],
    curves: tuple[Curve | None, Curve | None],
    followed: tuple[str, HoleFluid | None],
    levels: Sequence[float],
) -> Iterator[Crossing]:
    """Return the depths where a curve crosses one of the levels; a level is looked for only where the ends differ over it."""
    fact, inside = followed
    first, last = curves
    if first is None or last is None:
        return
    worse_is_high = WORSE[fact] is max
    for part, (upper, lower) in enumerate(zip(first, last, strict=True)):
        if upper is None or lower is None:
            continue
        least, most = (upper, lower) if upper < lower else (lower, upper)
        for level in levels:
            if least <= level <= most:
                passes = _passes(upper, level, worse_is_high=worse_is_high)
                if passes != _passes(lower, level, worse_is_high=worse_is_high):
                    yield Crossing(_bisected(ends, (fact, inside, part), level, passes), bool(passes))


def _passes(value: float | None, level: float, *, worse_is_high: bool) -> bool | None:
    if value is None:
        return None
    return value <= level if worse_is_high else value >= level


def _bisected(ends: tuple[Station, Station], curve: tuple[str, HoleFluid | None, int], level: float, passes: bool | None) -> float:
    """Return where one part of a curve, low, likely or high, crosses a level, rounded to the side on which it is safe.

    Once the length is halved a few times the curve is read at those halves alone that lie as near to the crossing as its lines tell.
    """
    fact, inside, part = curve
    worse_is_high = WORSE[fact] is max

    def read(depth_m: float) -> tuple[bool, float | None]:
        there = ends[0].beside(depth_m).curve(fact, inside)
        value = None if there is None else there[part]
        return _passes(value, level, worse_is_high=worse_is_high) == passes, value

    low, high, halves = ends[0].depth_m, ends[1].depth_m, 0
    still, no_more = low, high
    while high - low > 2e-4:
        if halves == MOST_STEPS:
            still, no_more = _closed_in((low, high), level, read)
        middle, halves = (low + high) / 2, halves + 1
        if middle <= still or (middle < no_more and read(middle)[0]):
            low = middle
        else:
            high = middle
    return floor(low * 1000) / 1000 if passes else ceil(high * 1000) / 1000


def _closed_in(ends: tuple[float, float], level: float, read: Callable[[float], tuple[bool, float | None]]) -> tuple[float, float]:
    """Return two depths nearer together than the ends of a curve between which it crosses a level, as straight lines through it tell.

    ``read`` gives whether a depth lies on the side of the upper end, and the value there.
    """
    (first, last), ((_, upper), (_, lower)) = ends, map(read, ends)
    for beside in (-DEPTH_STEP_M, DEPTH_STEP_M, -DEPTH_STEP_M, DEPTH_STEP_M):
        if last - first < 4 * DEPTH_STEP_M or upper is None or lower is None or not isfinite(lower - upper):
            break
        guess = first + (level - upper) / (lower - upper) * (last - first) + beside
        if first < guess < last:
            is_above, value = read(guess)
            first, upper, last, lower = (guess, value, last, lower) if is_above else (first, upper, guess, value)
    return first, last
