"""What is dug: drilled length by material, empty bore and the length measured for payment; spoil in the bank and loose."""

from __future__ import annotations

from methodpick.plan.concrete.hole import area, bell_volume
from methodpick.plan.concrete.quantities import UNKNOWN_SWELL
from methodpick.site.job import FULL_STATES, Job, PayItem
from methodpick.site.result import FREE_FLUID, NOTHING, SPOIL_BANK, SPOIL_LOOSE, Estimate, TakeoffLine
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span, known


def drilling_lines(job: Job) -> list[TakeoffLine]:
    """Return the drilled lengths: by material from the ground down, the working pad above it, their sum, and the empty bore."""
    parts = [
        job.line(_drilled(f"drilled in {_words(material)}"), sum(lengths), " + ".join(mark(length, "m") for length in lengths))
        for material, lengths in drilled_lengths(job).items()
    ]
    if job.grade_m < 0 and job.on_land:
        above = f"drilling grade {mark(-job.grade_m, 'm')} above the ground"
        parts.append(job.line(_drilled("drilled in the working pad"), -job.grade_m, above))
    total_m, top_m = sum(line.amount.likely for line in parts), job.drilled_from_m
    ends = f"tip {mark(job.shaft.tip_m, 'm')} - top {mark(top_m, 'm')}"
    total = job.line(_drilled("drilled, all materials"), total_m, ends, sum_of=tuple(line.item for line in parts))
    empty = job.line(
        PayItem("drilling", "empty bore, of the drilled length", "m", "empty_bore"),
        max(0.0, job.shaft.cutoff_m - top_m),
        f"cut-off {mark(job.shaft.cutoff_m, 'm')} - top {mark(top_m, 'm')}",
    )
    return [*parts, total, empty, *_measured_lines(job, total_m)]


def _drilled(name: str) -> PayItem:
    return PayItem("drilling", name, "m", "drilling")


def _words(material: str) -> str:
    return material.replace("_", " ")


def _measured_lines(job: Job, drilled_m: float) -> list[TakeoffLine]:
    """Return the length that the contract measures, and what is drilled beside it; nothing where it does not say from where."""
    measured_from = job.site.pay.measured_from
    if measured_from is None:
        return []
    start_m, words = {
        "ground": (0.0, "ground"),
        "drilling_grade": (job.drilled_from_m, "drilling grade"),
        "cutoff": (job.shaft.cutoff_m, "cut-off"),
    }[measured_from]
    length_m = job.shaft.tip_m - start_m
    return [
        job.line(
            _drilled("shaft, length measured for payment"), length_m, f"tip {mark(job.shaft.tip_m, 'm')} - {words} {mark(start_m, 'm')}"
        ),
        job.line(
            PayItem("drilling", "drilled beside the measured length", "m", "empty_bore"),
            max(0.0, drilled_m - length_m),
            f"drilled {mark(drilled_m, 'm')} - measured {mark(length_m, 'm')}",
        ),
    ]


def drilled_lengths(job: Job) -> dict[str, list[float]]:
    """Return the drilled lengths of every material, neighbours joined; nothing above a drilling grade that lies in a pit."""
    lengths: dict[str, list[float]] = {}
    above = None
    for interval in job.plan.intervals:
        length = interval.base_m - max(interval.top_m, job.drilled_from_m)
        if length <= 0:
            continue
        if interval.soil_class == above:
            lengths[above][-1] += length
        else:
            lengths.setdefault(interval.soil_class, []).append(length)
        above = interval.soil_class
    return lengths


def spoil_lines(job: Job) -> list[TakeoffLine]:
    """Return the spoil in the bank and loose, and the free fluid on what is dug under fluid."""
    banks, wet_m3 = _bank_volumes(job)
    loose = NOTHING
    for soil, bank_m3 in banks.items():
        swell = swell_of(job, soil)
        loose = loose.plus(Estimate(*(bank_m3 * (1 + percent / 100) for percent in (swell.low, swell.likely, swell.high))))
    lines = [
        job.line(
            PayItem("spoil", SPOIL_BANK, "m3", "spoil"),
            sum(banks.values()),
            "pi/4 D^2 x length of the hole as drilled: " + " + ".join(f"{_words(soil)} {mark(bank, 'm3')}" for soil, bank in banks.items()),
        ),
        job.line(
            PayItem("spoil", SPOIL_LOOSE, "m3", "spoil"),
            loose,
            " + ".join(
                f"{_words(soil)} {mark(bank, 'm3')} x (1 + {mark(swell_of(job, soil).likely, '%')})" for soil, bank in banks.items()
            ),
            source="rules/tables/swell.yaml (church-1981, secondary)",
        ),
    ]
    return [*lines, _free_fluid(job, wet_m3)] if wet_m3 > 0 else lines


def _bank_volumes(job: Job) -> tuple[dict[str, float], float]:
    """Return the volume in m3 of the hole in every soil, and that of all that is dug in a full hole."""
    banks: dict[str, float] = {}
    wet_m3 = 0.0
    for bore in job.hole:
        for interval in job.plan.intervals:
            length = min(interval.base_m, bore.base_m) - max(interval.top_m, bore.top_m)
            if length > 0:
                volume = area(bore.drilled_m) * length
                banks[interval.soil_class] = banks.get(interval.soil_class, 0.0) + volume
                wet_m3 += volume if interval.drilled_in in FULL_STATES else 0.0
    if bell := bell_volume(job.shaft, job.limit("bell_height_share")):
        last = job.plan.intervals[-1].soil_class
        banks[last] = banks.get(last, 0.0) + bell
    return banks, wet_m3


def _free_fluid(job: Job, wet_m3: float) -> TakeoffLine:
    share = Estimate.between(job.limit("spoil_fluid_share_least"), job.limit("spoil_fluid_share_most"))
    return job.line(
        PayItem("spoil", FREE_FLUID, "m3", "disposal"),
        share.times(wet_m3),
        f"{share.low:g} to {share.high:g} x bank dug under fluid {mark(wet_m3, 'm3')}",
        source=job.cite("spoil_fluid_share_least", "spoil_fluid_share_most"),
    )


def swell_of(job: Job, soil: str) -> Estimate:
    """Return the swell in percent of a soil class."""
    table = job.tables["swell"]
    value = table.look_up({"soil": known(soil)}).get("swell_percent") if soil != "unknown" else None
    span = value if isinstance(value, Span) else UNKNOWN_SWELL
    return Estimate(span.low, span.likely_or_middle, span.high)
