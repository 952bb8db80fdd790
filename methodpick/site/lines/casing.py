"""Casing: length, mass and splices of every string, by size."""

from __future__ import annotations

from methodpick.mechanics.casing import mass_per_metre
from methodpick.plan.result import Casing
from methodpick.site.lines.job import Job
from methodpick.site.result import TakeoffLine
from methodpick.unit_markup import mark


def casing_lines(job: Job) -> list[TakeoffLine]:
    """Return the lines of the casings; alike sizes of one shaft stand apart by their kind only."""
    lines: list[TakeoffLine] = []
    for casing in job.plan.casings:
        lines += _one(job, casing)
    return lines


def _one(job: Job, casing: Casing) -> list[TakeoffLine]:
    name = f"{casing.kind} casing {mark(casing.outside_diameter_m, 'size')} x {mark(casing.wall_m, 'wall')}"
    pay = "permanent_casing" if casing.kind == "permanent" else "temporary_casing"
    each = mass_per_metre(casing.outside_diameter_m, casing.wall_m)
    return [
        job.line(
            "casing", f"{name}, length", "m", casing.length_m, f"base {mark(casing.base_m, 'm')} - top {mark(casing.top_m, 'm')}", pay
        ),
        job.line(
            "casing",
            f"{name}, mass",
            "kg",
            each * casing.length_m,
            f"pi (D - t) t x steel = {mark(each, 'kg/m')} x {mark(casing.length_m, 'm')}",
            pay,
            source="geometry, steel of 7850 kg/m3",
        ),
        job.line(
            "casing",
            f"{name}, splices",
            "1",
            float(joints(casing)),
            "joints between " + " + ".join(mark(piece, "m") for piece in casing.sections_m or (casing.length_m,)),
            pay,
            source=job.cite("splice_length_m"),
        ),
    ]


def joints(casing: Casing) -> int:
    """Return the joints between the pieces that a casing is planned of."""
    return max(0, len(casing.sections_m) - 1)


def splices(length_m: float, delivered_m: float) -> int:
    """Return the joints of a string made of lengths as delivered.

    >>> splices(12.0, 12.19), splices(25.0, 12.19)
    (0, 2)
    """
    return max(0, int((length_m - 1e-6) // delivered_m))
