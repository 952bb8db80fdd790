"""The nights between the shifts: where each falls, how the hole is left, and what the morning takes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from methodpick.document.model import Items
from methodpick.plan.result import Night, ShaftPlan
from methodpick.terms import FLUID_NAMES
from methodpick.unit_markup import all_of, bare_number, how_many, number, number_span

MOST_DEPTHS = 3
"""So many nights in one stage are told with the depth of each; of more, the first and the last."""
HOLE_OR_CASING = "hole or casing, its shoe in undug ground,"


def nights(shaft: ShaftPlan) -> Items:
    """Return the nights of the work, each with the stage in or after which it falls; how the hole is left once for those left alike.

    What the morning takes stands once where it is the same after all, and the last night says what is left after it.
    """
    alike: dict[tuple[str | None, bool], list[Night]] = {}
    for night in shaft.nights:
        alike.setdefault((night.fluid, night.fluid is None and night.cased), []).append(night)
    same = len({held[-1].morning_h for held in alike.values()}) == 1
    told = [f"{_nights_named(held)}. {_left_standing(held)}{'' if same else _guarded(held[-1])}" for held in alike.values()]
    for night in shaft.nights[-1:]:
        rest = (
            ""
            if night.rest_h is None
            else f" After night {night.no} about {number(night.rest_h, 'h')} are left without a night: crews take turns."
        )
        told[-1] += (_guarded(night, "it" if len(told) == 1 else "the hole every night") if same else "") + rest
    return Items(tuple(told))


def _guarded(night: Night, what: str = "it") -> str:
    return f" Cover and guard {what}; the morning takes {number(night.morning_h, 'h')}."


def _nights_named(held: Sequence[Night]) -> str:
    """Return when and where nights fall, those in one stage together.

    >>> _nights_named([Night(no=1, stage=3, depth_m=2.0), Night(no=2, stage=4, depth_m=9.0)])
    'Night 1, after stage 3; night 2, after stage 4'
    """
    words = "; ".join(_in_one_stage(tuple(those)) for _, those in groupby(held, lambda night: (night.stage, night.within)))
    return words[:1].upper() + words[1:]


def _in_one_stage(held: Sequence[Night]) -> str:
    """Return the nights that fall in or after one stage, with the depths reached."""
    first, last = held[0], held[-1]
    lone = len(held) == 1
    numbers = "night " + str(first.no) if lone else f"nights {first.no} {'and' if len(held) == 2 else 'to'} {last.no}"
    if not first.within:
        return f"{numbers}, after stage {first.stage}"
    short = "" if last.short_of_tip_m is None else f", {'' if lone else 'the last '}{number(last.short_of_tip_m, 'm')} short of the tip"
    if len(held) > MOST_DEPTHS:
        return f"{numbers}, in stage {first.stage} at about {number_span(first.depth_m, last.depth_m, 'm')}{short}"
    depths = all_of([*(bare_number(night.depth_m, "m") for night in held[:-1]), number(last.depth_m, "m")])
    return f"{numbers}, in stage {first.stage} at about {depths}{short}"


def _left_standing(held: Sequence[Night]) -> str:
    """Describe what stands in the hole in nights that are left alike, and what is done before the work goes on."""
    night = held[0]
    if night.fluid is not None:
        words = FLUID_NAMES[night.fluid]
        ways = {night.cased for night in held}
        hole = "the hole" if True not in ways else "the casing, its shoe in undug ground," if False not in ways else HOLE_OR_CASING
        next_day = "" if night.fluid == "water" else "desand and test it, "
        return f"Leave {hole} full of {words}, its level watched; in the morning {next_day}sound and clean the base."
    if night.cased:
        return (
            "Leave the casing with its shoe ahead of the dig, filled over the water outside where any stands near; in the morning watch "
            "the level, bail and look at the base."
        )
    return (
        "Leave no open dry hole: fill it with water over the level outside, or with soil, unless the engineer agrees that it stands; in "
        "the morning bail it and cut away what softened or fell."
    )


def nights_in_short(shaft: ShaftPlan) -> str:
    """Return in which stages the shifts end; nothing where the work fits into one."""
    if not shaft.nights:
        return ""
    numbers = list(dict.fromkeys(str(night.stage) for night in shaft.nights))
    ends = f"stage {numbers[0]}" if len(numbers) == 1 else f"stages {numbers[0]} {'and' if len(numbers) == 2 else 'to'} {numbers[-1]}"
    return f"{how_many(len(shaft.nights), 'night')} in {ends}"
