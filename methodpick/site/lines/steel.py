"""Steel: length, mass and splices of every casing, the fit of the reinforcement cage, and the tubes to test the shaft by."""

from __future__ import annotations

from math import ceil

from methodpick.mechanics.casing import mass_per_metre
from methodpick.plan.result import Casing
from methodpick.site.job import Job
from methodpick.site.result import FitCheck, TakeoffLine
from methodpick.unit_markup import mark


def cage_checks(job: Job) -> list[FitCheck]:
    """Return the clearance of the cage in the hole and in every temporary casing that is pulled over it."""
    shaft = job.shaft
    cage = shaft.cage_diameter_m
    wanted, source = _cover(job)
    narrow = min(shaft.diameter_m, shaft.socket_diameter_m or shaft.diameter_m)
    if cage is None:
        return [FitCheck("cage in the hole", None, wanted, None, "The cage diameter is not given.", source)]
    there = (narrow - cage) / 2
    found = [
        FitCheck(
            "cage in the hole",
            there,
            wanted,
            there >= wanted - 5e-4,
            f"({mark(narrow, 'size')} - cage {mark(cage, 'size')}) / 2 = {mark(there, 'size')}, wanted {mark(wanted, 'size')}.",
            source,
        )
    ]
    inner = [one for one in job.plan.casings if one.kind != "starter"]
    least = job.limit("cover_least_m")
    for casing in inner:
        inside = casing.outside_diameter_m - 2 * casing.wall_m
        room = (inside - cage) / 2
        found.append(
            FitCheck(
                f"cage in the {casing.kind} casing {mark(casing.outside_diameter_m, 'size')}",
                room,
                least,
                room >= least - 5e-4,
                f"(inside {mark(inside, 'size')} - cage {mark(cage, 'size')}) / 2 = {mark(room, 'size')}, wanted {mark(least, 'size')} so "
                "that concrete flows between them and spacers pass.",
                job.cite("cover_least_m"),
            )
        )
    return found


def _cover(job: Job) -> tuple[float, str]:
    """Return the cover that is wanted: the drawing's, else by the diameter."""
    if job.shaft.cover_m is not None:
        return job.shaft.cover_m, "the drawing"
    wide = job.shaft.diameter_m
    name = (
        "cover_large_m"
        if wide >= job.limit("cover_large_diameter_m")
        else "cover_medium_m"
        if wide >= job.limit("cover_small_diameter_m")
        else "cover_least_m"
    )
    return job.limit(name), job.cite(name)


def tube_lines(job: Job) -> list[TakeoffLine]:
    """Return the integrity tubes: one for each spacing of cage diameter, three at least, from the tip to above the concrete."""
    cage = job.shaft.cage_diameter_m
    wide = cage if cage is not None else job.shaft.diameter_m - 2 * _cover(job)[0]
    each = job.limit("tube_spacing_m")
    count = max(int(job.limit("tubes_least")), ceil(round(wide / each, 6)))
    length = job.shaft.tip_m - job.shaft.cutoff_m + job.limit("tube_above_m")
    guess = "" if cage is not None else ", from the diameter less the cover"
    return [
        job.line(
            "testing",
            "integrity tubes",
            "1",
            float(count),
            f"cage {mark(wide, 'size')}{guess} / {mark(each, 'size')}, rounded up, {int(job.limit('tubes_least'))} at least",
            "tubes",
            source=job.cite("tube_spacing_m", "tubes_least"),
        ),
        job.line(
            "testing",
            "integrity tubes, length",
            "m",
            count * length,
            f"{count} x (tip {mark(job.shaft.tip_m, 'm')} - cut-off {mark(job.shaft.cutoff_m, 'm')} + "
            f"{mark(job.limit('tube_above_m'), 'm')})",
            "tubes",
            source=job.cite("tube_above_m"),
        ),
    ]


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
