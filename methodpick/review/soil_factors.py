"""What the kind of ground adds to volumes: the overbreak that concrete fills, the swell of the spoil."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import Casing, ShaftPlan
from methodpick.review.contradiction import Contradiction, number
from methodpick.review.volumes import SLACK_M3, TOUCH_M, bell_m3, cylinder_m3, solids
from methodpick.review.written_way import WrittenWay
from methodpick.vocabulary.values import Span

SWELL_NOT_KNOWN = 30.0
"""Swell in percent of ground of which no log tells: the usual value of earth."""
PER_CENT = 0.01


def overbreak_m3(ground: GroundFacts, casings: Sequence[Casing], top_m: float) -> tuple[float, float, float]:
    """Return the overbreak below a depth, low, likely and high: of every length that no casing lines, by the class of its ground."""
    low = likely = high = 0.0
    for solid in solids(ground.shaft, casings):
        if any(casing.kind == "permanent" and casing.base_m >= solid.base_m - TOUCH_M for casing in casings):
            continue
        for piece, length in _pieces(ground, max(solid.top_m, top_m), solid.base_m):
            counted = piece.above or piece
            said = counted.look_up(ground.book.tables["overbreak"]).get("overbreak_percent")
            if counted.logged and isinstance(said, Span):
                volume = cylinder_m3(solid.filled_m, length) * PER_CENT
                low, likely, high = low + volume * said.low, likely + volume * said.likely_or_middle, high + volume * said.high
    return low, likely, high


def loose_m3(ground: GroundFacts, casings: Sequence[Casing]) -> float:
    """Return the spoil as it lies loose: every length as drilled with the likely swell of its ground; a bell swells as the mean."""
    bank = loose = 0.0
    for solid in solids(ground.shaft, casings):
        for piece, length in _pieces(ground, solid.top_m, solid.base_m):
            said = piece.look_up(ground.book.tables["swell"]).get("swell_percent")
            swell = said.likely_or_middle if isinstance(said, Span) else SWELL_NOT_KNOWN
            volume = cylinder_m3(solid.drilled_m, length)
            bank, loose = bank + volume, loose + volume * (1 + swell * PER_CENT)
    return loose * (1 + bell_m3(ground.shaft) / bank)


def check_overbreak(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the overbreak of the concrete, and of its curve, is not that of the ground against it."""
    concrete, casings = way.built.concrete, way.built.casings
    right = overbreak_m3(ground, casings, ground.shaft.cutoff_m)
    written = concrete.overbreak_low_m3, concrete.overbreak_m3, concrete.overbreak_high_m3
    for name, said, value in zip(("low_m3", "m3", "high_m3"), written, right, strict=True):
        yield from number(f"concrete, overbreak_{name}", said, value, slack=SLACK_M3)
    for point in concrete.curve:
        adds = overbreak_m3(ground, casings, point.depth_m)
        expected = point.expected_low_m3, point.expected_m3, point.expected_high_m3
        for name, said, added in zip(("expected_low_m3", "expected_m3", "expected_high_m3"), expected, adds, strict=True):
            yield from number(f"concrete, curve at {point.depth_m:.2f} m, {name}", said, point.fill_m3 + added, slack=2 * SLACK_M3)


def check_swell(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the loose spoil of the takeoff is not the ground as drilled with the swell of its classes."""
    for line in shaft.quantities:
        if line.item == "spoil, loose":
            yield from number(f"takeoff, {line.item}", line.value, loose_m3(ground, shaft.casings), slack=2 * SLACK_M3)


def _pieces(ground: GroundFacts, top_m: float, base_m: float) -> Iterator[tuple[JudgedSlice, float]]:
    """Return the slices between two depths, each with the length of it that lies there."""
    for piece in ground.judged:
        length = min(piece.base_m, base_m) - max(piece.top_m, top_m)
        if length > 0:
            yield piece, length
