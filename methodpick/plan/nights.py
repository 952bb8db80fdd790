"""Where the shifts end when the work of a shaft is longer than one, and how the hole is left over night.

The last cleaning, the cage, the pour and the pulls follow without a night: before them the hole is left short of the tip.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from methodpick.plan.concrete.placement import FLUID_WORDS
from methodpick.plan.result import Night, Stage
from methodpick.unit_markup import mark

FINISHING = frozenset({"bell", "clean", "cage", "refill", "pour", "pull", "remove_starter"})
"""Actions from the tip to the last pull."""
DRILLING = frozenset({"drill", "advance_casing"})
"""Actions that a night may part."""


@dataclass(slots=True)
class _Clock:
    """The hours worked in this shift, the nights so far, and the depth at which the last of them began."""

    shift_h: float
    worked_h: float = 0.0
    count: int = 0
    reached_m: float = 0.0


def nights_of(stages: Sequence[Stage], tip_m: float, shift_h: float, limits: Mapping[str, float]) -> tuple[Night, ...]:
    """Return the nights of the work in order; none where it fits into one shift."""
    if sum(stage.hours or 0.0 for stage in stages) <= shift_h:
        return ()
    clock = _Clock(shift_h)
    hole = _NightHole(tip_m, max(limits["stop_short_m"], 2.0 * _widest(stages)))
    found: list[Night] = []
    for place, stage in enumerate(stages):
        if stage.action in FINISHING:
            rest_h = sum(each.hours or 0.0 for each in stages[place:])
            if clock.worked_h > 0.0 and clock.worked_h + rest_h > shift_h and place > 0:
                found.append(hole.night(stages[place - 1], tip_m, clock, before_the_tip=True))
            break
        found += _within(stage, stages[max(0, place - 1)], hole, clock)
    return tuple(found)


def _widest(stages: Sequence[Stage]) -> float:
    return max((stage.tool_m or 0.0 for stage in stages if stage.action in DRILLING), default=0.0)


def _within(stage: Stage, before: Stage, hole: _NightHole, clock: _Clock) -> Iterator[Night]:
    """Return the nights in or before a stage, and go on with the clock."""
    left_h = stage.hours or 0.0
    if stage.action not in DRILLING:
        if clock.worked_h > 0.0 and clock.worked_h + left_h > clock.shift_h:
            yield hole.night(before, before.base_m, clock)
        clock.worked_h += left_h
        return
    length_m, done_h = stage.base_m - stage.top_m, 0.0
    while clock.worked_h + left_h > clock.shift_h:
        part_h = clock.shift_h - clock.worked_h
        done_h, left_h = done_h + part_h, left_h - part_h
        yield hole.night(stage, stage.top_m + length_m * done_h / (stage.hours or 1.0), clock)
    clock.worked_h += left_h


@dataclass(frozen=True, slots=True)
class _NightHole:
    """What stands in the ground, and how far short of the tip an open hole is left."""

    tip_m: float
    short_m: float

    def night(self, stage: Stage, depth_m: float, clock: _Clock, *, before_the_tip: bool = False) -> Night:
        """Return the night that begins in a stage, or after it where ``before_the_tip`` says that only finishing is left."""
        clock.count += 1
        clock.worked_h = 0.0
        if before_the_tip:
            depth_m = min(depth_m, max(stage.top_m, clock.reached_m, self.tip_m - self.short_m))
        clock.reached_m = depth_m
        within = stage.action in DRILLING and depth_m < stage.base_m - 1e-6
        where = f"{'in' if within else 'after'} stage {stage.no}" + (f" at about {mark(depth_m, 'm')}" if within else "")
        short = f", {mark(self.tip_m - depth_m, 'm')} short of the tip" if before_the_tip and within else ""
        text = f"Night {clock.count}, {where}{short}. {self._left(stage)} Cover and guard it."
        return Night(no=clock.count, stage=stage.no, depth_m=round(depth_m, 3), text=text)

    def _left(self, stage: Stage) -> str:
        """Describe what stands in the hole over night, and what is done before the work goes on."""
        cased = stage.action != "drill"
        if stage.fluid is not None:
            words = FLUID_WORDS[stage.fluid]
            hole = "the casing, its shoe in ground that is not dug," if cased else "the hole"
            next_day = (
                "sound the base and clean it" if stage.fluid == "water" else f"desand and test the {words}, sound the base and clean it"
            )
            return f"Leave {hole} full of {words}, its level held by a watch with fluid at hand; in the morning {next_day} before going on."
        if cased:
            return (
                "Leave the casing with its shoe ahead of the dig, filled over the water outside where any stands near; in the morning "
                "watch the level, bail and look at the base before going on."
            )
        return (
            "An open dry hole is not left: fill it with water to above the level outside, or back with soil, unless the engineer agrees "
            "that this ground stands; in the morning bail, and cut away what has softened or fallen."
        )
