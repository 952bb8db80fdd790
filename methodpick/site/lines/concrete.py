"""Concrete: by the drawing, what casing adds for certain, what the ground adds by experience, over-pour, trucks."""

from __future__ import annotations

from math import ceil

from methodpick.site.lines.job import Job
from methodpick.site.result import Range, TakeoffLine
from methodpick.unit_markup import mark

PARTS = (
    "concrete, by the drawing",
    "concrete, casing oversize (method overrun)",
    "concrete, ground overbreak",
    "concrete, over-pour to trim",
)


def concrete_lines(job: Job) -> list[TakeoffLine]:
    """Return the four parts of the concrete and their sum. Method overrun is geometry, overbreak is experience: never one line."""
    one = job.plan.concrete
    theory, over = one.theoretical_m3, one.casing_oversize_m3
    broken = Range(one.overbreak_low_m3, one.overbreak_m3, one.overbreak_high_m3)
    parts = [
        job.line(
            "concrete",
            PARTS[0],
            "m3",
            theory,
            f"pi/4 D^2 x length, D {mark(job.shaft.diameter_m, 'size')}, tip "
            f"{mark(job.shaft.tip_m, 'm')} - cut-off {mark(job.shaft.cutoff_m, 'm')}{_socket(job)}",
            "concrete",
        ),
        job.line(
            "concrete", PARTS[1], "m3", over, f"hole as drilled {mark(one.fill_m3, 'm3')} - drawing {mark(theory, 'm3')}", "method_overrun"
        ),
        job.line(
            "concrete",
            PARTS[2],
            "m3",
            broken,
            f"{_percent(broken.low, one.fill_m3)} to {_percent(broken.high, one.fill_m3)}, "
            f"likely {_percent(broken.likely, one.fill_m3)} of the hole {mark(one.fill_m3, 'm3')}, by soil",
            "overbreak",
            source="rules/tables/overbreak.yaml (own)",
        ),
        _overpour(job),
    ]
    total = Range(0.0, 0.0, 0.0)
    for part in parts:
        total = total.plus(part.amount)
    said = " + ".join(mark(part.amount.likely, "m3") for part in parts)
    return [*parts, job.line("concrete", "concrete, to order", "m3", total, said, "concrete", sum_of=PARTS)]


def truck_lines(job: Job, order: Range) -> list[TakeoffLine]:
    """Return the trucks that an order takes, each begun one counted."""
    load = job.truck_m3
    loads = Range(*(float(ceil(round(volume / load, 6))) for volume in (order.low, order.likely, order.high)))
    own = bool(job.site.rates and job.site.rates.pour.truck_m3)
    return [
        job.line(
            "delivery",
            "trucks of concrete",
            "1",
            loads,
            f"{mark(order.likely, 'm3')} / {mark(load, 'm3')} a truck, begun ones counted",
            "concrete",
            source="your rates" if own else job.cite("truck_m3"),
        )
    ]


def _overpour(job: Job) -> TakeoffLine:
    """Return what is placed over the cut-off: cast over under fluid to be trimmed, or to keep water off the concrete."""
    one = job.plan.concrete
    if one.over_pour_m3 <= 0:
        return job.line("concrete", PARTS[3], "m3", 0.0, "none: finished at the cut-off", "overpour")
    return job.line(
        "concrete",
        PARTS[3],
        "m3",
        one.over_pour_m3,
        f"the hole from the cut-off {mark(job.shaft.cutoff_m, 'm')} up to {mark(one.finished_level_m, 'm')}",
        "overpour",
        source=job.cite("overcast_m"),
    )


def _percent(part: float, whole: float) -> str:
    return mark(100 * part / whole if whole else 0.0, "%") if abs(part) > 1e-9 else mark(0.0, "%")


def _socket(job: Job) -> str:
    shaft = job.shaft
    said = ""
    if shaft.socket_top_m and shaft.socket_diameter_m:
        said = f"; {mark(shaft.socket_diameter_m, 'size')} below {mark(shaft.socket_top_m, 'm')}"
    return said + ("; and the bell as a frustum" if shaft.bell else "")
