"""The hours of a way: what is drilled by the rate of the ground, the rest by the hours that the rulebook gives each step."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import Stage
from methodpick.review.contradiction import Contradiction, number
from methodpick.review.written_way import WrittenWay
from methodpick.terms import ROCK
from methodpick.vocabulary.values import Span

SLACK_H = 0.02
"""Hours are written to the hundredth and depths to the millimetre, which is a hundredth of an hour where drilling is slowest."""
SLOWEST_M_H = 0.02
STEPS = {"introduce_fluid": "hours_fill", "refill": "hours_fill"}
"""Steps that take the same hours in any ground, with the limit that says how many."""


def check_hours(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the hours of a stage or of drilling an interval are not those of its length, its ground and its step."""
    for stage in way.built.stages:
        yield from number("hours", stage.hours, _hours(ground, way, stage), stage=stage.no, slack=SLACK_H)
    for interval in way.intervals or ():
        wanted = drilling_hours(ground, interval.top_m, interval.base_m)
        yield from number("intervals.drilling_h", interval.drilling_h, wanted, slack=SLACK_H)


def drilling_hours(ground: GroundFacts, top_m: float, base_m: float) -> float:
    """Return the hours to drill from one depth to another, each slice at the likely rate of its ground, its depth and the diameter."""
    total = 0.0
    for piece in ground.judged:
        length = min(piece.base_m, base_m) - max(piece.top_m, top_m)
        if length > 0:
            total += length * _hours_a_metre(ground, piece)
    return total


def _hours_a_metre(ground: GroundFacts, piece: JudgedSlice) -> float:
    """Return the hours of a metre: of its ground in a shaft of 1 m at 10 m, more with the diameter and with the trips of the tool."""
    counted = piece.above or piece
    limits, soil = ground.ground.limits, counted.slice.stratum.likely
    rock, tested = soil in ROCK, counted.sheet.facts
    by_strength = soil == "rock" and "ucs_kpa" in tested
    said = counted.look_up(ground.book.tables["rock_rate" if by_strength else "drilling_rate"])
    span = said.get("rock_rate_m_h" if by_strength else "drilling_rate_m_h")
    rate = span.likely if isinstance(span, Span) and span.likely is not None else limits["drilling_rate_unknown_m_h"]
    quality = tested["rqd_percent"].value if "rqd_percent" in tested else None
    if rock and isinstance(quality, Span) and quality.likely_or_middle >= limits["massive_rqd_percent"]:
        rate *= limits["massive_rate_share"]
    usual = ground.shaft.diameter_m ** limits["rate_exponent_rock" if rock else "rate_exponent_soil"] / max(rate, SLOWEST_M_H)
    deeper_m = (piece.top_m + piece.base_m) / 2 - 10.0
    return float(max(usual + 2.0 * deeper_m / limits["rate_hoist_m_h"] / limits["rate_bite_m"], 0.1 * usual))


def _hours(ground: GroundFacts, way: WrittenWay, stage: Stage) -> float | None:
    limits = ground.ground.limits
    if stage.action in STEPS:
        return limits[STEPS[stage.action]]
    if stage.action in {"bell", "clean", "cage"}:
        return _finishing_hours(ground, stage.action)
    if stage.action == "drill":
        return drilling_hours(ground, stage.top_m, stage.base_m)
    if stage.action == "advance_casing":
        advanced = limits["hours_advance_m"] * (stage.base_m - stage.top_m)
        return drilling_hours(ground, stage.top_m, stage.base_m) + advanced + _joint_hours(ground, way, stage)
    if stage.action == "set_casing":
        dug = 0.0 if stage.state is None else drilling_hours(ground, way.built.opens_from_m(stage), stage.base_m)
        return limits["hours_casing_set"] + dug + _joint_hours(ground, way, stage)
    if stage.action == "set_starter":
        return limits["hours_casing_set"] / 2
    if stage.action in {"seal_test", "bail"}:
        return limits["hours_bail"] / 2
    if stage.action == "pour":
        return way.built.concrete.pour_hours
    return limits["hours_casing_set"] / 2 + limits["hours_refill"] * (_lifts(way, stage) - 1)


def _finishing_hours(ground: GroundFacts, action: str) -> float:
    """Return the hours of a bell, of cleaning and of the cage, which grow with the size of the shaft."""
    limits, shaft = ground.ground.limits, ground.shaft
    if action == "clean":
        return max(limits["hours_clean"] / 2, limits["hours_clean"] * shaft.diameter_m / limits["clean_reference_m"])
    if action == "cage":
        heavier = max(shaft.diameter_m, 1.0)
        return limits["hours_cage_least"] + heavier * limits["hours_cage_m"] * (shaft.tip_m - shaft.cutoff_m)
    wide = 0.0 if shaft.bell is None else shaft.bell.diameter_m / limits["bell_reference_m"]
    return float(limits["hours_bell"] * wide ** limits["bell_exponent"])


def _joint_hours(ground: GroundFacts, way: WrittenWay, stage: Stage) -> float:
    """Return the hours of the joints between the sections of the casing that a stage brings to its depth."""
    casing = way.built.string_to(stage.base_m)
    if casing is None:
        return 0.0
    limits, welded = ground.ground.limits, casing.kind == "permanent"
    return casing.joints * (limits["hours_splice_m"] * casing.outside_diameter_m if welded else limits["hours_joint"])


def _lifts(way: WrittenWay, stage: Stage) -> int:
    """Return the number of lifts in which a stage pulls its casing."""
    numbers = [place for place, casing in enumerate(way.built.casings, 1) if abs(casing.base_m - stage.base_m) < 0.002]
    return max(1, sum(step.casing_no in numbers for step in way.built.concrete.pulls))
