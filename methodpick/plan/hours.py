"""Hours of the work: of what is done besides drilling, by its size, what low headroom takes off a rate, and where the shifts end.

Where the work of a shaft is longer than a shift, the hole is left over night. The last cleaning, the cage, the pour and the pulls follow
without a night: before them an open hole is left short of the tip.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import floor, inf, pi
from typing import NamedTuple

from methodpick.ground.site import Bell, Shaft
from methodpick.plan.result import Casing, Night, Stage
from methodpick.records import record

# ---- what is done besides drilling


SMALL_M = 1e-6
"""What is shorter is no length: a cage of just two lengths comes in two."""


def bell_hours(bell: Bell, limits: Mapping[str, float]) -> float:
    """Return the hours to cut a bell, which grow with its diameter."""
    return float(limits["hours_bell"] * (bell.diameter_m / limits["bell_reference_m"]) ** limits["bell_exponent"])


def clean_hours(shaft: Shaft, limits: Mapping[str, float]) -> float:
    """Return the hours to clean the base; half of those of a usual shaft at least."""
    return limits["hours_clean"] * max(0.5, shaft.diameter_m / limits["clean_reference_m"])


def splice_hours(casing: Casing, limits: Mapping[str, float]) -> float:
    """Return the hours of the joints of a casing: welded where it stays, pinned or bolted where it is pulled."""
    each = limits["hours_splice_m"] * casing.outside_diameter_m if casing.kind == "permanent" else limits["hours_joint"]
    return each * casing.joints


def joints(length_m: float, piece_m: float) -> int:
    """Return the joints of a string of casing, or of a cage, made of pieces of one length.

    >>> joints(12.0, 12.19), joints(25.0, 12.19)
    (0, 2)
    """
    return max(0, floor((length_m - SMALL_M) / piece_m))


def cage_pieces(shaft: Shaft, limits: Mapping[str, float]) -> int:
    """Return in how many pieces the cage from the cut-off to the tip comes, which are spliced over the hole."""
    return 1 + joints(shaft.tip_m - shaft.cutoff_m, limits["splice_length_m"])


def cage_hours(shaft: Shaft, limits: Mapping[str, float]) -> float:
    """Return the hours to set the cage from the cut-off to the tip, wider shafts having heavier ones, its splices included."""
    set_h = limits["hours_cage_least"] + limits["hours_cage_m"] * (shaft.tip_m - shaft.cutoff_m) * max(1.0, shaft.diameter_m)
    return set_h + limits["hours_cage_splice"] * (cage_pieces(shaft, limits) - 1)


def pour_wait_hours(shaft: Shaft, limits: Mapping[str, float]) -> float:
    """Return the hours from the cage in place to the last of the concrete, by the volume of the shaft: so long its wall stays open.

    >>> limits = {"hours_pour_start": 0.5, "pour_rate_m3_h": 30.0}
    >>> round(pour_wait_hours(Shaft(id="P", diameter_m=1.2, tip_m=20.0), limits), 2)
    1.25
    """
    volume_m3 = pi * shaft.diameter_m**2 / 4 * (shaft.tip_m - shaft.cutoff_m)
    return limits["hours_pour_start"] + volume_m3 / limits["pour_rate_m3_h"]


def headroom_share(headroom_m: float | None, limits: Mapping[str, float]) -> float:
    """Return the drilling rate under a headroom in m over that under free sky: as much less as the kelly and the tool are shorter.

    >>> limits = {"headroom_low_m": 12.0, "headroom_rate_least": 0.3}
    >>> headroom_share(6.0, limits), headroom_share(2.0, limits), headroom_share(15.0, limits), headroom_share(None, limits)
    (0.5, 0.3, 1.0, 1.0)
    """
    if headroom_m is None:
        return 1.0
    return min(1.0, max(limits["headroom_rate_least"], headroom_m / limits["headroom_low_m"]))


# ---- where the shifts end


FINISHING = frozenset({"bell", "clean", "cage", "refill", "pour", "pull", "remove_starter"})
"""Actions from the tip to the last pull."""
DRILLING = frozenset({"drill", "advance_casing"})
"""Actions that a night may part."""
CASING = frozenset({"set_casing", "advance_casing"})
"""Actions after which a casing stands that is more than the starter."""


@record(frozen=False)
class _Clock:
    """The hours worked in this shift, those of its morning, the nights so far, the depth where the last began, whether a casing stands."""

    shift_h: float
    worked_h: float = 0.0
    morning_h: float = 0.0
    count: int = 0
    reached_m: float = 0.0
    cased: bool = False


def nights_of(
    stages: Sequence[Stage], tip_m: float, shift_h: float, limits: Mapping[str, float], rock_from_m: float = inf
) -> tuple[Night, ...]:
    """Return the nights of the work in order; none where it fits into one shift.

    A hole that is full below a casing may be left at any depth, and so may one in rock that lasts, from ``rock_from_m`` down, which is
    filled over night; another two diameters and ``stop_short_m`` short of the tip at least: from there on the work goes on to the last
    pull without a night, and where that is longer than a shift the last night says so.
    """
    if sum(stage.hours or 0.0 for stage in stages) <= shift_h:
        return ()
    clock = _Clock(shift_h)
    mornings = _Mornings(limits["hours_resume"], limits["hours_bail"])
    hole = _NightHole(tip_m, tip_m - max(limits["stop_short_m"], 2.0 * _widest(stages)), mornings, rock_from_m, limits["run_least_m"])
    found: list[Night] = []
    for place, stage in enumerate(stages):
        if stage.action in FINISHING:
            rest_h = sum(each.hours or 0.0 for each in stages[place:])
            last = stages[place - 1] if place > 0 else stage
            if clock.worked_h > clock.morning_h and clock.worked_h + rest_h > shift_h and hole.goes_on_from(clock.reached_m, last, clock):
                found.append(hole.night(last, tip_m, clock))
            break
        clock.cased |= stage.action in CASING
        found += _within(stage, stages[max(0, place - 1)], hole, clock)
    return (*found[:-1], _with_what_is_left(found[-1], stages, shift_h)) if found else ()


def _widest(stages: Sequence[Stage]) -> float:
    return max((stage.tool_m or 0.0 for stage in stages if stage.action in DRILLING), default=0.0)


def _within(stage: Stage, before: Stage, hole: _NightHole, clock: _Clock) -> Iterator[Night]:
    """Return the nights in or before a stage, and go on with the clock."""
    left_h = stage.hours or 0.0
    if stage.action not in DRILLING:
        if clock.worked_h > clock.morning_h and clock.worked_h + left_h > clock.shift_h:
            yield hole.night(before, before.base_m, clock, finished=True)
        clock.worked_h += left_h
        return
    hours_m = left_h / max(stage.base_m - stage.top_m, 1e-6)
    while clock.worked_h + left_h > clock.shift_h and hole.goes_on_from(max(clock.reached_m, stage.top_m), stage, clock):
        depth_m = stage.base_m - (left_h - (clock.shift_h - clock.worked_h)) / hours_m
        yield hole.night(stage, depth_m, clock)
        left_h = (stage.base_m - clock.reached_m) * hours_m
    clock.worked_h += left_h


def _with_what_is_left(night: Night, stages: Sequence[Stage], shift_h: float) -> Night:
    """Return the last night with the hours of what follows it, where they are more than a shift."""
    rest_h = night.morning_h + sum(_hours_below(stage, night) for stage in stages if stage.no >= night.stage)
    if rest_h <= shift_h:
        return night
    return replace(night, rest_h=round(rest_h, 3))


def _hours_below(stage: Stage, night: Night) -> float:
    """Return the hours of a stage that are left after a night."""
    if stage.no > night.stage or stage.action not in DRILLING:
        return (stage.hours or 0.0) if stage.no > night.stage else 0.0
    return (stage.hours or 0.0) * max(0.0, stage.base_m - night.depth_m) / max(stage.base_m - stage.top_m, 1e-6)


class _Mornings(NamedTuple):
    """The hours in the morning until the work goes on: of a full hole, and of one that is bailed first."""

    full_h: float
    bailed_h: float


@record
class _NightHole:
    """The tip, how deep an open hole may be when it is left, short of the tip, what its morning takes, and from where on rock lasts.

    A night that is no more than ``least_m`` deeper than the last is none: the work goes on from there.
    """

    tip_m: float
    open_m: float
    mornings: _Mornings
    rock_from_m: float
    least_m: float

    def deepest_m(self, stage: Stage, clock: _Clock) -> float:
        """Return how deep the hole may be when it is left in a stage: to the tip where it is full below a casing, or in lasting rock."""
        lasts = stage.fluid is not None or stage.action in CASING or stage.top_m >= self.rock_from_m
        return self.tip_m if clock.cased and lasts else self.open_m

    def goes_on_from(self, depth_m: float, stage: Stage, clock: _Clock) -> bool:
        """Return whether the hole may be left deeper in a stage than a depth, by a length that is worth a shift."""
        deepest_m = self.deepest_m(stage, clock)
        return depth_m < deepest_m - (self.least_m if clock.count else 0.0)

    def night(self, stage: Stage, depth_m: float, clock: _Clock, *, finished: bool = False) -> Night:
        """Return the night that begins in a stage, no deeper than the hole may be left, or after it where it is ``finished``."""
        clock.count += 1
        clock.morning_h = min(self.mornings.bailed_h if stage.fluid is None else self.mornings.full_h, clock.shift_h / 2)
        clock.worked_h = clock.morning_h
        deepest_m = self.deepest_m(stage, clock)
        early = not finished and depth_m > deepest_m
        if early:
            depth_m = max(stage.top_m, clock.reached_m, deepest_m)
        clock.reached_m = depth_m
        within = stage.action in DRILLING and depth_m < stage.base_m - 1e-6
        return Night(
            no=clock.count,
            stage=stage.no,
            depth_m=round(depth_m, 3),
            within=within,
            short_of_tip_m=round(self.tip_m - depth_m, 3) if early and within else None,
            fluid=stage.fluid,
            cased=stage.action != "drill",
            morning_h=clock.morning_h,
        )
