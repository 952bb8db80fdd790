"""The hours of a way: what is drilled by the rate of the ground, the rest by the hours that the rulebook gives each step."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import Stage
from methodpick.review.contradiction import Contradiction, number
from methodpick.review.written_way import WrittenWay
from methodpick.vocabulary.values import Span

SLACK_H = 0.02
"""Hours are written to the hundredth and depths to the millimetre, which is a hundredth of an hour where drilling is slowest."""
SLOWEST_M_H = 0.1
STEPS = {"bell": "hours_bell", "clean": "hours_clean", "cage": "hours_cage", "introduce_fluid": "hours_fill", "refill": "hours_fill"}
"""Steps that take the same hours in any ground, with the limit that says how many."""


def check_hours(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the hours of a stage or of drilling an interval are not those of its length, its ground and its step."""
    for stage in way.built.stages:
        yield from number("hours", stage.hours, _hours(ground, way, stage), stage=stage.no, slack=SLACK_H)
    for interval in way.intervals or ():
        wanted = drilling_hours(ground, interval.top_m, interval.base_m)
        yield from number("intervals.drilling_h", interval.drilling_h, wanted, slack=SLACK_H)


def drilling_hours(ground: GroundFacts, top_m: float, base_m: float) -> float:
    """Return the hours to drill from one depth to another, each slice at the likely rate of its class of ground."""
    total = 0.0
    for piece in ground.judged:
        length = min(piece.base_m, base_m) - max(piece.top_m, top_m)
        if length > 0:
            said = piece.look_up(ground.book.tables["drilling_rate"]).get("drilling_rate_m_h")
            known = isinstance(said, Span) and said.likely is not None
            rate = said.likely if known and isinstance(said, Span) else ground.ground.limits["drilling_rate_unknown_m_h"]
            total += length / max(rate or 0.0, SLOWEST_M_H)
    return total


def _hours(ground: GroundFacts, way: WrittenWay, stage: Stage) -> float | None:
    limits = ground.ground.limits
    if stage.action in STEPS:
        return limits[STEPS[stage.action]]
    if stage.action == "drill":
        return drilling_hours(ground, stage.top_m, stage.base_m)
    if stage.action == "advance_casing":
        return drilling_hours(ground, stage.top_m, stage.base_m) + limits["hours_advance_m"] * (stage.base_m - stage.top_m)
    if stage.action == "set_casing":
        dug = 0.0 if stage.state is None else drilling_hours(ground, way.built.opens_from_m(stage), stage.base_m)
        return limits["hours_casing_set"] + dug
    if stage.action == "set_starter":
        return limits["hours_casing_set"] / 2
    if stage.action in {"seal_test", "bail"}:
        return limits["hours_bail"] / 2
    if stage.action == "pour":
        return way.built.concrete.pour_hours
    return limits["hours_casing_set"] / 2 + limits["hours_refill"] * (_lifts(way, stage) - 1)


def _lifts(way: WrittenWay, stage: Stage) -> int:
    """Return the number of lifts in which a stage pulls its casing."""
    numbers = [place for place, casing in enumerate(way.built.casings, 1) if abs(casing.base_m - stage.base_m) < 0.002]
    return max(1, sum(step.casing_no in numbers for step in way.built.concrete.pulls))
