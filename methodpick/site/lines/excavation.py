"""What is dug: drilled length by material, empty bore and the length measured for payment; spoil in the bank and loose."""

from __future__ import annotations

from methodpick.plan.hole import area, bell_volume
from methodpick.site.job import WET, Job, between
from methodpick.site.result import Estimate, TakeoffLine
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span, known


def drilling_lines(job: Job) -> list[TakeoffLine]:
    """Return the drilled lengths: by material from the ground down, the working pad above it, their sum, and the empty bore."""
    lengths = drilled(job)
    parts = []
    for material, pieces in lengths.items():
        said = " + ".join(mark(piece, "m") for piece in pieces)
        parts.append(job.line("drilling", f"drilled in {material.replace('_', ' ')}", "m", sum(pieces), said, "drilling"))
    if job.grade_m < 0 and job.site.site.setting == "land":
        parts.append(
            job.line(
                "drilling",
                "drilled in the working pad",
                "m",
                -job.grade_m,
                f"drilling grade {mark(-job.grade_m, 'm')} above the ground",
                "drilling",
            )
        )
    total = sum(one.amount.likely for one in parts)
    top = _top(job)
    lines = [
        *parts,
        job.line(
            "drilling",
            "drilled, all materials",
            "m",
            total,
            f"tip {mark(job.shaft.tip_m, 'm')} - top {mark(top, 'm')}",
            "drilling",
            sum_of=tuple(one.item for one in parts),
        ),
    ]
    empty = max(0.0, job.shaft.cutoff_m - top)
    lines.append(
        job.line(
            "drilling",
            "empty bore, of the drilled length",
            "m",
            empty,
            f"cut-off {mark(job.shaft.cutoff_m, 'm')} - top {mark(top, 'm')}",
            "empty_bore",
        )
    )
    return [*lines, *_measured(job, total, top)]


def _measured(job: Job, drilled_m: float, top_m: float) -> list[TakeoffLine]:
    """Return the length that the contract measures, and what is drilled beside it; nothing where it does not say from where."""
    by = job.site.pay.measured_from
    if by is None:
        return []
    start, words = {"ground": (0.0, "ground"), "drilling_grade": (top_m, "drilling grade"), "cutoff": (job.shaft.cutoff_m, "cut-off")}[by]
    length = job.shaft.tip_m - start
    return [
        job.line(
            "drilling",
            "shaft, length measured for payment",
            "m",
            length,
            f"tip {mark(job.shaft.tip_m, 'm')} - {words} {mark(start, 'm')}",
            "drilling",
        ),
        job.line(
            "drilling",
            "drilled beside the measured length",
            "m",
            max(0.0, drilled_m - length),
            f"drilled {mark(drilled_m, 'm')} - measured {mark(length, 'm')}",
            "empty_bore",
        ),
    ]


def _top(job: Job) -> float:
    """Return the depth from which ground is drilled: the grade on land, below the ground too; the mudline over water."""
    return job.grade_m if job.site.site.setting == "land" else 0.0


def drilled(job: Job) -> dict[str, list[float]]:
    """Return the drilled lengths of every material, neighbours joined; nothing above a drilling grade that lies in a pit."""
    found: dict[str, list[float]] = {}
    last = None
    for one in job.plan.intervals:
        length = one.base_m - max(one.top_m, _top(job))
        if length <= 0:
            continue
        if one.soil_class == last:
            found[last][-1] += length
        else:
            found.setdefault(one.soil_class, []).append(length)
        last = one.soil_class
    return found


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
    bank, loose, said = 0.0, Estimate(0.0, 0.0, 0.0), []
    for soil, part in banks.items():
        swell = swell_of(job, soil)
        bank += part
        loose = loose.plus(Estimate(*(part * (1 + percent / 100) for percent in (swell.low, swell.likely, swell.high))))
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


def swell_of(job: Job, soil: str) -> Estimate:
    """Return the swell in percent of a soil class."""
    table = job.tables["swell"]
    found = table.look_up({"soil": known(soil)}).get("swell_percent") if soil != "unknown" else None
    span = found if isinstance(found, Span) else _UNKNOWN
    return Estimate(span.low, span.likely if span.likely is not None else (span.low + span.high) / 2, span.high)
