"""Spoil: the bank volume of the hole as drilled, loose by the swell of each soil, free fluid on what was dug wet."""

from __future__ import annotations

from methodpick.plan.concrete.hole import area, bell_volume
from methodpick.site.lines.job import WET, Job, between
from methodpick.site.result import Range, TakeoffLine
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span, known

_UNKNOWN = Span(5.0, 60.0, 30.0)
"""Swell of ground that is not known: the table's own ends, as the plan has it."""


def spoil_lines(job: Job) -> list[TakeoffLine]:
    """Return bank, loose and free fluid."""
    banks: dict[str, float] = {}
    wet = 0.0
    for bore in job.hole:
        for piece in job.plan.intervals:
            length = min(piece.base_m, bore.base_m) - max(piece.top_m, bore.top_m)
            if length > 0:
                part = area(bore.drilled_m) * length
                banks[piece.soil_class] = banks.get(piece.soil_class, 0.0) + part
                wet += part if piece.drilled_in in WET else 0.0
    if bell := bell_volume(job.shaft):
        last = job.plan.intervals[-1].soil_class
        banks[last] = banks.get(last, 0.0) + bell
    bank, loose, said = 0.0, Range(0.0, 0.0, 0.0), []
    for soil, part in banks.items():
        swell = swell_of(job, soil)
        bank += part
        loose = loose.plus(Range(*(part * (1 + percent / 100) for percent in (swell.low, swell.likely, swell.high))))
        said.append(f"{soil.replace('_', ' ')} {mark(part, 'm3')} x (1 + {mark(swell.likely, '%')})")
    share = between(job.limit("spoil_fluid_share_least"), job.limit("spoil_fluid_share_most"))
    lines = [
        job.line(
            "spoil",
            "spoil, bank",
            "m3",
            bank,
            "pi/4 D^2 x length of the hole as drilled: "
            + " + ".join(f"{soil.replace('_', ' ')} {mark(part, 'm3')}" for soil, part in banks.items()),
            "spoil",
        ),
        job.line(
            "spoil", "spoil, loose", "m3", loose, " + ".join(said), "spoil", source="rules/tables/swell.yaml (church-1981, secondary)"
        ),
    ]
    if wet > 0:
        lines.append(
            job.line(
                "spoil",
                "free fluid on the spoil",
                "m3",
                share.times(wet),
                f"{share.low:g} to {share.high:g} x bank dug under fluid {mark(wet, 'm3')}",
                "disposal",
                source=job.cite("spoil_fluid_share_least", "spoil_fluid_share_most"),
            )
        )
    return lines


def swell_of(job: Job, soil: str) -> Range:
    """Return the swell in percent of a soil class."""
    table = job.tables["swell"]
    found = table.look_up({"soil": known(soil)}).get("swell_percent") if soil != "unknown" else None
    span = found if isinstance(found, Span) else _UNKNOWN
    return Range(span.low, span.likely if span.likely is not None else (span.low + span.high) / 2, span.high)
