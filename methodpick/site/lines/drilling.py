"""Drilled length by material, empty bore, and the length that is measured for payment."""

from __future__ import annotations

from methodpick.site.lines.job import Job
from methodpick.site.result import TakeoffLine
from methodpick.unit_markup import mark


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
