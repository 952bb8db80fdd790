"""Steel: length, mass and splices of every casing, the fit of the reinforcement cage, and the tubes to test the shaft by."""

from __future__ import annotations

from math import ceil

from methodpick.mechanics.casing import mass_per_metre
from methodpick.plan.result import Casing
from methodpick.site.job import Job, PayItem
from methodpick.site.result import TUBE_LENGTH, TUBES, FitCheck, TakeoffLine
from methodpick.terms import STARTER
from methodpick.unit_markup import mark

TOLERANCE_M = 5e-4
"""A clearance this little short still fits: diameters are given to the millimetre."""


def casing_lines(job: Job) -> list[TakeoffLine]:
    """Return length, mass and splices of every casing; casings of one size are told apart by their kind only."""
    return [line for casing in job.plan.casings for line in _lines_of(job, casing)]


def _lines_of(job: Job, casing: Casing) -> list[TakeoffLine]:
    name = f"{casing.kind} casing {mark(casing.outside_diameter_m, 'size')} x {mark(casing.wall_m, 'wall')}"
    pay_key = "permanent_casing" if casing.kind == "permanent" else "temporary_casing"
    mass_kg_m = mass_per_metre(casing.outside_diameter_m, casing.wall_m)
    return [
        job.line(
            PayItem("casing", f"{name}, length", "m", pay_key),
            casing.length_m,
            f"base {mark(casing.base_m, 'm')} - top {mark(casing.top_m, 'm')}",
        ),
        job.line(
            PayItem("casing", f"{name}, mass", "kg", pay_key),
            mass_kg_m * casing.length_m,
            f"pi (D - t) t x steel = {mark(mass_kg_m, 'kg/m')} x {mark(casing.length_m, 'm')}",
            source="geometry, steel of 7850 kg/m3",
        ),
        job.line(
            PayItem("casing", f"{name}, splices", "1", pay_key),
            float(casing.joints),
            "joints between " + " + ".join(mark(section, "m") for section in casing.sections_m or (casing.length_m,)),
            source=job.cite("splice_length_m"),
        ),
    ]


def splices(length_m: float, delivered_m: float) -> int:
    """Return the joints of a string made of lengths as delivered.

    >>> splices(12.0, 12.19), splices(25.0, 12.19)
    (0, 2)
    """
    return max(0, int((length_m - 1e-6) // delivered_m))


def cage_checks(job: Job) -> list[FitCheck]:
    """Return the clearance of the cage in the hole and in every temporary casing that is pulled over it."""
    shaft = job.shaft
    cage_m = shaft.cage_diameter_m
    cover_m, source = _cover(job)
    if cage_m is None:
        return [FitCheck("cage in the hole", None, cover_m, None, "The cage diameter is not given.", source)]
    narrow_m = min(shaft.diameter_m, shaft.socket_diameter_m or shaft.diameter_m)
    room_m = (narrow_m - cage_m) / 2
    in_hole = FitCheck(
        item="cage in the hole",
        there_m=room_m,
        wanted_m=cover_m,
        fits=room_m >= cover_m - TOLERANCE_M,
        text=f"({mark(narrow_m, 'size')} - cage {mark(cage_m, 'size')}) / 2 = {mark(room_m, 'size')}, wanted {mark(cover_m, 'size')}.",
        source=source,
    )
    return [in_hole, *(_cage_in(casing, cage_m, job) for casing in job.plan.casings if casing.kind != STARTER)]


def _cage_in(casing: Casing, cage_m: float, job: Job) -> FitCheck:
    least_m = job.limit("cover_least_m")
    inside_m = casing.outside_diameter_m - 2 * casing.wall_m
    room_m = (inside_m - cage_m) / 2
    return FitCheck(
        item=f"cage in the {casing.kind} casing {mark(casing.outside_diameter_m, 'size')}",
        there_m=room_m,
        wanted_m=least_m,
        fits=room_m >= least_m - TOLERANCE_M,
        text=f"(inside {mark(inside_m, 'size')} - cage {mark(cage_m, 'size')}) / 2 = {mark(room_m, 'size')}, wanted {mark(least_m, 'size')}"
        " so that concrete flows between them and spacers pass.",
        source=job.cite("cover_least_m"),
    )


def _cover(job: Job) -> tuple[float, str]:
    """Return the cover that is wanted: the drawing's, else by the diameter; and where it comes from."""
    if job.shaft.cover_m is not None:
        return job.shaft.cover_m, "the drawing"
    if job.shaft.diameter_m >= job.limit("cover_large_diameter_m"):
        name = "cover_large_m"
    elif job.shaft.diameter_m >= job.limit("cover_small_diameter_m"):
        name = "cover_medium_m"
    else:
        name = "cover_least_m"
    return job.limit(name), job.cite(name)


def tube_lines(job: Job) -> list[TakeoffLine]:
    """Return the integrity tubes: one for each spacing of cage diameter, three at least, from the tip to above the concrete."""
    cage_m, shaft = job.shaft.cage_diameter_m, job.shaft
    wide_m = cage_m if cage_m is not None else shaft.diameter_m - 2 * _cover(job)[0]
    guess = "" if cage_m is not None else ", from the diameter less the cover"
    spacing_m, least, above_m = job.limit("tube_spacing_m"), int(job.limit("tubes_least")), job.limit("tube_above_m")
    count = max(least, ceil(round(wide_m / spacing_m, 6)))
    return [
        job.line(
            PayItem("testing", TUBES, "1", "tubes"),
            float(count),
            f"cage {mark(wide_m, 'size')}{guess} / {mark(spacing_m, 'size')}, rounded up, {least} at least",
            source=job.cite("tube_spacing_m", "tubes_least"),
        ),
        job.line(
            PayItem("testing", TUBE_LENGTH, "m", "tubes"),
            count * (shaft.tip_m - shaft.cutoff_m + above_m),
            f"{count} x (tip {mark(shaft.tip_m, 'm')} - cut-off {mark(shaft.cutoff_m, 'm')} + {mark(above_m, 'm')})",
            source=job.cite("tube_above_m"),
        ),
    ]
