"""What fills the hole: support fluid with its losses and products; concrete by its parts, and the trucks that bring it."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from methodpick.site.job import Job, between, product
from methodpick.site.result import Estimate, TakeoffLine
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
    broken = Estimate(one.overbreak_low_m3, one.overbreak_m3, one.overbreak_high_m3)
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
    total = Estimate(0.0, 0.0, 0.0)
    for part in parts:
        total = total.plus(part.amount)
    said = " + ".join(mark(part.amount.likely, "m3") for part in parts)
    return [*parts, job.line("concrete", "concrete, to order", "m3", total, said, "concrete", sum_of=PARTS)]


def truck_lines(job: Job, order: Estimate) -> list[TakeoffLine]:
    """Return the trucks that an order takes, each begun one counted."""
    load = job.truck_m3
    loads = Estimate(*(float(ceil(round(volume / load, 6))) for volume in (order.low, order.likely, order.high)))
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


_END = " fluid, to fill the hole"
WATER_KG_M3 = 1000.0


def holes_of(job: Job) -> dict[str, float]:
    """Return the volume in m3 of the hole under each support fluid of the plan."""
    return {one.item.removesuffix(_END): one.value for one in job.plan.quantities if one.item.endswith(_END)}


def fluid_lines(job: Job) -> list[TakeoffLine]:
    """Return for each fluid of a shaft its hole, its loss and what makes the loss good."""
    lines: list[TakeoffLine] = []
    share = between(job.limit("fluid_loss_share_least"), job.limit("fluid_loss_share_most"))
    for fluid, hole in holes_of(job).items():
        loss = share.times(hole)
        lines += [
            job.line(
                "fluid", f"{fluid} fluid, hole volume", "m3", hole, "the hole under fluid at the diameters drilled, as in the plan", "fluid"
            ),
            job.line(
                "fluid",
                f"{fluid} fluid, lost",
                "m3",
                loss,
                f"{share.low:g} to {share.high:g} x hole {mark(hole, 'm3')}",
                "fluid",
                source=job.cite("fluid_loss_share_least", "fluid_loss_share_most"),
            ),
            *_mixed(job, loss, "to make the loss good", f"lost {mark(loss.likely, 'm3')}"),
        ]
    return lines


def stock_lines(jobs: Sequence[Job]) -> list[TakeoffLine]:
    """Return what the site keeps of each fluid for its largest hole: mixed once, and to be rid of at the end."""
    largest: dict[str, tuple[float, Job]] = {}
    for job in jobs:
        for fluid, hole in holes_of(job).items():
            if fluid not in largest or hole > largest[fluid][0]:
                largest[fluid] = (hole, job)
    lines: list[TakeoffLine] = []
    for fluid, (hole, job) in sorted(largest.items()):
        factor = job.limit("fluid_stock_factor")
        stock = Estimate(hole * factor, hole * factor, hole * factor)
        said = f"{factor:g} x the largest hole {mark(hole, 'm3')} ({job.shaft.id})"
        lines += [
            job.line("fluid", f"{fluid} fluid, stock", "m3", stock, said, "fluid", source=job.cite("fluid_stock_factor")),
            *_mixed(job, stock, "for the stock", f"stock {mark(stock.likely, 'm3')}"),
            job.line("fluid", f"{fluid} fluid, to be rid of at the end", "m3", stock, f"the stock {mark(stock.likely, 'm3')}", "disposal"),
        ]
    return lines


def _mixed(job: Job, volume: Estimate, why: str, said: str) -> list[TakeoffLine]:
    """Return what goes into a volume of fluid by the mix of the fluid programme: dry product, water, soda ash."""
    programme = job.plan.fluid_programme
    lines: list[TakeoffLine] = []
    for one in programme.mix.ingredients if programme is not None else ():
        dose = Estimate(one.least_kg_m3, one.kg_m3, one.most_kg_m3)
        source = "; ".join(f"{cited.key}, {cited.where} ({one.confidence})" for cited in one.sources)
        if one.name == "water":
            share = dose.times(1 / WATER_KG_M3)
            lines.append(job.line("fluid", f"mixing water, {why}", "m3", product(share, volume), f"{share.likely:.3f} x {said}", "fluid"))
        elif dose.high > 0:
            name = "bentonite, dry" if one.name == "bentonite" else one.name
            lines.append(
                job.line(
                    "fluid",
                    f"{name}, {why}",
                    "kg",
                    product(dose, volume),
                    f"{mark(dose.low, 'dose')} to {mark(dose.high, 'dose')}, likely {mark(dose.likely, 'dose')}, x {said}",
                    "fluid",
                    source=source,
                )
            )
    return lines
