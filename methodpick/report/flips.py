"""What would change the answer, in words: single inputs in two lists, and pairs."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from methodpick.plan.result import Flip, ShaftPlan
from methodpick.report.voice import SUPPORT, Voice

MOST_PAIRS = 8
DEPTHS = frozenset({"water_level", "struck_water", "deep_water", "tip"})
"""Inputs that are depths: negative ones stand above the ground."""


def of_intervals(shaft: ShaftPlan, voice: Voice) -> None:
    """Write what flips each interval, neighbours with the same answer together; nothing where flips were not asked for."""
    if all(one.would_change is None for one in shaft.intervals):
        return
    voice.head("What alone would change the support")
    for (support, found), group in groupby(shaft.intervals, key=lambda one: (one.support, one.would_change or ())):
        held = list(group)
        voice.say(f"{voice.n(held[0].top_m, 'm')} to {voice.n(held[-1].base_m, 'm')}, {SUPPORT[support]}:", 2, "bold")
        if found:
            singles(found, voice)
        else:
            voice.item("-", "No change of one input within its credible range does.")


def singles(found: Sequence[Flip], voice: Voice) -> None:
    """Write the single changes that flip the answer, in two lists."""
    for design, title in ((False, "If the ground or its water were different:"), (True, "If you changed the design:")):
        voice.say(title)
        chosen = [flip for flip in found if flip.design is design]
        for flip in chosen:
            voice.item("-", sentence(flip, voice))
        if not chosen:
            voice.item("-", "No change of one input within its credible range does.")


def pairs(found: Sequence[Flip], voice: Voice) -> None:
    """Write the nearest changes of two inputs together."""
    voice.head("What two inputs together would change")
    for flip in found[:MOST_PAIRS]:
        voice.item("-", sentence(flip, voice))
    if not found:
        voice.item("-", "No two inputs within their credible ranges do.")


def sentence(flip: Flip, voice: Voice) -> str:
    """Write a flip: the input, its value now and where it flips, and the support then."""
    then = SUPPORT[flip.then] + (f" ({flip.fluid})" if flip.fluid else "")
    if flip.then == "undecided":
        then = "undecided: no sequence could be built"
    second = f", with {_moved(flip.together, voice)}" if flip.together else ""
    return f"{_moved(flip, voice)}{second}: {then}."


def _moved(flip: Flip, voice: Voice) -> str:
    if flip.flips_at is None:
        return f"{flip.said}, now not read, at any value read"
    now = "now not read" if flip.now is None else f"now {_value(flip, flip.now, voice)}"
    return f"{flip.said} at {_value(flip, flip.flips_at, voice)} ({now})"


def _value(flip: Flip, value: float, voice: Voice) -> str:
    if flip.input == "diameter":
        return voice.n(value, "size")
    if flip.input not in DEPTHS:
        return voice.n(value, flip.unit)
    return f"{voice.n(abs(value), 'm')} {'above' if value < 0 else 'below'} the ground"
