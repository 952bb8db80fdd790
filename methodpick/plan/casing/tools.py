"""With what tool each length of a hole is drilled: how wide it is, and whether it cores rock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from methodpick.ground.shaft import Shaft
from methodpick.plan.casing.strings import tool_below_casings
from methodpick.plan.casing.trade_sizes import tool_to
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing
from methodpick.plan.sequence.path import TOLERANCE_M, Run, Segment
from methodpick.vocabulary.values import Span


class SegmentTools(NamedTuple):
    """The diameters in m of the tools of a segment: in the open hole, and inside the casing that ends it."""

    open_m: float
    inside_m: float


class DrilledPart(NamedTuple):
    """A length that one tool drills; ``cored`` says that it is rock which no auger cuts, ``logged`` that a log tells of it."""

    top_m: float
    base_m: float
    tool_m: float
    cored: bool
    logged: bool = True


def segment_tools(ground: JudgedGround, segments: Iterable[Segment], strings: Sequence[Casing]) -> list[SegmentTools]:
    """Return the tools of every segment, top down; ``strings`` are its casings, outermost first.

    A hole for a casing is drilled as wide as the casing asks for. In and below a casing works the tool of what comes below it, where it
    passes, else the widest of the trade that does.
    """
    shaft, left = ground.shaft, list(strings)
    passing = [_through(casing, ground) for casing in strings]
    found: list[SegmentTools] = []
    for segment in segments:
        casing = left.pop(0) if segment.casing != "none" else None
        below = _hole_for(left[0]) if left else tool_below_casings(shaft, ground.limits)
        if casing is None:
            found.append(SegmentTools(*[min(shaft.diameter_m, *passing[-1:])] * 2) if passing else SegmentTools(*[shaft.diameter_m] * 2))
        else:
            found.append(SegmentTools(_hole_for(casing), min(below, _through(casing, ground))))
    return found


def _through(casing: Casing, ground: JudgedGround) -> float:
    """Return the widest tool of the trade that passes through a casing, where it is no wider than the shaft itself."""
    if casing.inside_m >= ground.shaft.diameter_m:
        return casing.inside_m
    return tool_to(casing.inside_m, 0.0, ground.site.units, ground.limits)


def _hole_for(casing: Casing) -> float:
    return max(casing.outside_diameter_m, casing.predrill_diameter_m or 0.0)


def parts_drilled(
    run: Run, tool_m: float, shaft: Shaft, slices: Sequence[JudgedSlice], limits: Mapping[str, float]
) -> tuple[DrilledPart, ...]:
    """Return a run cut where its tool changes: at the socket, which is drilled at its own diameter, and where rock is cored.

    It is also cut where no log tells of the ground.
    """
    cuts = [judged.top_m for judged in slices] + ([shaft.socket_top_m] if shaft.socket_top_m else [])
    inside = sorted({cut for cut in cuts if run.top_m + TOLERANCE_M < cut < run.base_m - TOLERANCE_M})
    parts: list[DrilledPart] = []
    for above, base in pairwise([run.top_m, *inside, run.base_m]):
        top, middle = above, (above + base) / 2
        in_socket = shaft.socket_diameter_m is not None and shaft.socket_top_m is not None and middle > shaft.socket_top_m
        tool = min(tool_m, shaft.socket_diameter_m or tool_m) if in_socket else tool_m
        here = [judged for judged in slices if judged.top_m <= middle <= judged.base_m]
        part = DrilledPart(top, base, tool, any(is_cored(judged, limits) for judged in here), all(judged.logged for judged in here))
        if parts and parts[-1][2:] == part[2:]:
            part = part._replace(top_m=parts.pop().top_m)
        parts.append(part)
    return tuple(parts)


def is_cored(judged: JudgedSlice, limits: Mapping[str, float]) -> bool:
    """Return whether a slice is rock that is cored: one whose likely strength, where it is known, no rock auger cuts."""
    ground = judged.counted_as
    if ground.slice.stratum.likely != "rock":
        return False
    strength = ground.sheet.value("ucs_kpa") if "ucs_kpa" in ground.sheet.facts else None
    return not isinstance(strength, Span) or strength.likely_or_middle >= limits["core_ucs_least_kpa"]
