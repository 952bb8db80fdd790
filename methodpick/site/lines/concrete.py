"""Concrete: by the drawing, what casing adds for certain, what the ground adds by experience, over-pour, trucks."""

from __future__ import annotations

from math import ceil, pi

from methodpick.site.lines.job import Job, between
from methodpick.site.result import Range, TakeoffLine
from methodpick.spoken import mark

PARTS = ("concrete, by the drawing", "concrete, casing oversize (method overrun)", "concrete, ground overbreak",
         "concrete, over-pour to trim")


def concrete_lines(job: Job) -> list[TakeoffLine]:
    """Give the four parts of the concrete and their sum. Method overrun is geometry, overbreak is experience: never one line."""
    one = job.plan.concrete
    theory, over = one.theoretical_m3, one.fill_m3 - one.theoretical_m3
    broken = Range(one.expected_low_m3 - one.fill_m3, one.expected_m3 - one.fill_m3, one.expected_high_m3 - one.fill_m3)
    parts = [
        job.line("concrete", PARTS[0], "m3", theory, f"pi/4 D^2 x length, D {mark(job.shaft.diameter_m, 'size')}, tip "
                 f"{mark(job.shaft.tip_m, 'm')} - cut-off {mark(job.shaft.cutoff_m, 'm')}{_socket(job)}", "concrete"),
        job.line("concrete", PARTS[1], "m3", over, f"hole as drilled {mark(one.fill_m3, 'm3')} - drawing {mark(theory, 'm3')}",
                 "method_overrun"),
        job.line("concrete", PARTS[2], "m3", broken, f"{_percent(broken.low, one.fill_m3)} to {_percent(broken.high, one.fill_m3)}, "
                 f"likely {_percent(broken.likely, one.fill_m3)} of the hole {mark(one.fill_m3, 'm3')}, by soil", "overbreak",
                 source="rules/tables/overbreak.yaml (own)"),
        _overpour(job)]
    total = Range(0.0, 0.0, 0.0)
    for part in parts:
        total = total.plus(part.amount)
    said = " + ".join(mark(part.amount.likely, "m3") for part in parts)
    return [*parts, job.line("concrete", "concrete, to order", "m3", total, said, "concrete", sum_of=PARTS)]


def truck_lines(job: Job, order: Range) -> list[TakeoffLine]:
    """Give the trucks that an order takes, each begun one counted."""
    load = job.truck_m3
    loads = Range(*(float(ceil(round(volume / load, 6))) for volume in (order.low, order.likely, order.high)))
    own = bool(job.site.rates and job.site.rates.pour.truck_m3)
    return [job.line("delivery", "trucks of concrete", "1", loads, f"{mark(order.likely, 'm3')} / {mark(load, 'm3')} a truck, begun ones "
                     "counted", "concrete", source="your rates" if own else job.cite("truck_m3"))]


def _overpour(job: Job) -> TakeoffLine:
    """Give what is placed over the cut-off to be trimmed: under fluid only, and no higher than the drilling grade."""
    if job.plan.placement.state != "wet":
        return job.line("concrete", PARTS[3], "m3", 0.0, "none: placed in the dry", "overpour")
    room = max(0.0, job.shaft.cutoff_m - job.grade_m)
    height = between(min(job.limit("overcast_m"), room), min(job.limit("overcast_most_m"), room))
    wide = max([job.shaft.diameter_m, *(bore.diameter_m for bore in job.hole if bore.top_m <= job.shaft.cutoff_m < bore.base_m)])
    return job.line("concrete", PARTS[3], "m3", height.times(pi / 4 * wide**2),
                    f"{mark(height.low, 'm')} to {mark(height.high, 'm')} x pi/4 x {mark(wide, 'size')}^2; room to the drilling grade "
                    f"{mark(room, 'm')}", "overpour", source=job.cite("overcast_m", "overcast_most_m"))


def _percent(part: float, whole: float) -> str:
    return mark(100 * part / whole if whole else 0.0, "%") if abs(part) > 1e-9 else mark(0.0, "%")


def _socket(job: Job) -> str:
    shaft = job.shaft
    said = ""
    if shaft.socket_top_m and shaft.socket_diameter_m:
        said = f"; {mark(shaft.socket_diameter_m, 'size')} below {mark(shaft.socket_top_m, 'm')}"
    return said + ("; and the bell as a frustum" if shaft.bell else "")
