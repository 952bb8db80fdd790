"""The tools of a way: as wide as the casing that is set in the hole asks for, else as drawn; rock that no auger cuts is cored."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.result import Casing, Stage
from methodpick.review.contradiction import Contradiction, number
from methodpick.review.written_way import WrittenWay
from methodpick.vocabulary.values import Span

DRILLS = frozenset({"drill", "advance_casing", "set_casing"})
"""Actions that may drill."""


def check_tools(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the tool of a stage is not as wide as its casing or the drawing asks for, or stands where nothing is drilled."""
    for stage in way.built.stages:
        drills = stage.action in DRILLS and stage.state is not None
        yield from number("tool_m", stage.tool_m, _tool_m(ground, way, stage) if drills else None, stage=stage.no)


def _tool_m(ground: GroundFacts, way: WrittenWay, stage: Stage) -> float:
    deeper = [casing for casing in way.built.strings if casing.base_m > stage.base_m - TOUCH_M]
    if stage.action == "drill":
        return _drawn_m(ground, stage) if not deeper else min(_hole_m(deeper[0]), _in_socket_m(ground, stage) or _hole_m(deeper[0]))
    below = _hole_m(deeper[1]) if len(deeper) > 1 else _below_casings_m(ground)
    return min(below, deeper[0].inside_m) if deeper else below


def _hole_m(casing: Casing) -> float:
    """Return the diameter of the hole that a casing stands in."""
    return max(casing.outside_diameter_m, casing.predrill_diameter_m or 0.0)


def _in_socket_m(ground: GroundFacts, stage: Stage) -> float | None:
    """Return the diameter of the socket where a stage drills it."""
    shaft, middle = ground.shaft, (stage.top_m + stage.base_m) / 2
    return shaft.socket_diameter_m if shaft.socket_top_m is not None and middle > shaft.socket_top_m else None


def _drawn_m(ground: GroundFacts, stage: Stage) -> float:
    return min(ground.shaft.diameter_m, _in_socket_m(ground, stage) or ground.shaft.diameter_m)


def _below_casings_m(ground: GroundFacts) -> float:
    shaft = ground.shaft
    return shaft.socket_diameter_m if shaft.diameter_is == "casing_outside" and shaft.socket_diameter_m else shaft.diameter_m


def is_cored_at(ground: GroundFacts, depth_m: float) -> bool:
    """Return whether rock at a depth is cored: its likely strength is not known, or more than a rock auger cuts."""
    piece = next((judged for judged in ground.judged if judged.top_m <= depth_m <= judged.base_m), None)
    piece = piece and (piece.above or piece)
    if piece is None or piece.slice.stratum.likely != "rock":
        return False
    strength = piece.sheet.facts["ucs_kpa"].value if "ucs_kpa" in piece.sheet.facts else None
    return not isinstance(strength, Span) or strength.likely_or_middle >= ground.limits["core_ucs_least_kpa"].value
