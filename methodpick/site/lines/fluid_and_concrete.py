"""What fills the hole: concrete by its parts and the trucks that bring it; support fluid with its losses and products."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from methodpick.site.job import Job, PayItem
from methodpick.site.result import BY_DRAWING, NOTHING, OVER_POUR, OVERBREAK, OVERSIZE, TO_ORDER, TRUCKS, Estimate, TakeoffLine
from methodpick.unit_markup import mark

CONCRETE_PARTS = (BY_DRAWING, OVERSIZE, OVERBREAK, OVER_POUR)
_HOLE_FULL = " fluid, to fill the hole"


def concrete_lines(job: Job) -> list[TakeoffLine]:
    """Return the four parts of the concrete and their sum. Method overrun is geometry, overbreak is experience: never one line."""
    parts = [_by_drawing(job), _oversize(job), _overbreak(job), _over_pour(job)]
    total = NOTHING
    for part in parts:
        total = total.plus(part.amount)
    added = " + ".join(mark(part.amount.likely, "m3") for part in parts)
    return [*parts, job.line(PayItem("concrete", TO_ORDER, "m3", "concrete"), total, added, sum_of=CONCRETE_PARTS)]


def _by_drawing(job: Job) -> TakeoffLine:
    shaft = job.shaft
    socket = ""
    if shaft.socket_top_m and shaft.socket_diameter_m:
        socket = f"; {mark(shaft.socket_diameter_m, 'size')} below {mark(shaft.socket_top_m, 'm')}"
    bell = "; and the bell as a frustum" if shaft.bell else ""
    return job.line(
        PayItem("concrete", BY_DRAWING, "m3", "concrete"),
        job.plan.concrete.theoretical_m3,
        f"pi/4 D^2 x length, D {mark(shaft.diameter_m, 'size')}, tip {mark(shaft.tip_m, 'm')} - cut-off {mark(shaft.cutoff_m, 'm')}"
        f"{socket}{bell}",
    )


def _oversize(job: Job) -> TakeoffLine:
    concrete = job.plan.concrete
    return job.line(
        PayItem("concrete", OVERSIZE, "m3", "method_overrun"),
        concrete.casing_oversize_m3,
        f"hole as drilled {mark(concrete.fill_m3, 'm3')} - drawing {mark(concrete.theoretical_m3, 'm3')}",
    )


def _overbreak(job: Job) -> TakeoffLine:
    concrete = job.plan.concrete
    overbreak = Estimate(concrete.overbreak_low_m3, concrete.overbreak_m3, concrete.overbreak_high_m3)
    low, likely, high = (_percent(end, concrete.fill_m3) for end in (overbreak.low, overbreak.likely, overbreak.high))
    return job.line(
        PayItem("concrete", OVERBREAK, "m3", "overbreak"),
        overbreak,
        f"{low} to {high}, likely {likely} of the hole {mark(concrete.fill_m3, 'm3')}, by soil",
        source="rules/tables/overbreak.yaml (own)",
    )


def _percent(part_m3: float, whole_m3: float) -> str:
    return mark(100 * part_m3 / whole_m3 if whole_m3 else 0.0, "%") if abs(part_m3) > 1e-9 else mark(0.0, "%")


def _over_pour(job: Job) -> TakeoffLine:
    """Return what is placed over the cut-off: cast over under fluid to be trimmed, or to keep water off the concrete."""
    concrete = job.plan.concrete
    item = PayItem("concrete", OVER_POUR, "m3", "overpour")
    if concrete.over_pour_m3 <= 0:
        return job.line(item, 0.0, "none: finished at the cut-off")
    return job.line(
        item,
        concrete.over_pour_m3,
        f"the hole from the cut-off {mark(job.shaft.cutoff_m, 'm')} up to {mark(concrete.finished_level_m, 'm')}",
        source=job.cite("overcast_m"),
    )


def truck_lines(job: Job, order: Estimate) -> list[TakeoffLine]:
    """Return the trucks that an order takes, each begun one counted."""
    load_m3 = job.truck_m3
    trucks = Estimate(*(float(ceil(round(volume / load_m3, 6))) for volume in (order.low, order.likely, order.high)))
    given = bool(job.site.rates and job.site.rates.pour.truck_m3)
    return [
        job.line(
            PayItem("delivery", TRUCKS, "1", "concrete"),
            trucks,
            f"{mark(order.likely, 'm3')} / {mark(load_m3, 'm3')} a truck, begun ones counted",
            source="your rates" if given else job.cite("truck_m3"),
        )
    ]


def fluid_lines(job: Job) -> list[TakeoffLine]:
    """Return for each fluid of a shaft its hole, its loss and what makes the loss good."""
    lines: list[TakeoffLine] = []
    share = Estimate.between(job.limit("fluid_loss_share_least"), job.limit("fluid_loss_share_most"))
    for fluid, hole_m3 in _holes(job).items():
        loss = share.times(hole_m3)
        lines += [
            job.line(_fluid(f"{fluid} fluid, hole volume"), hole_m3, "the hole under fluid at the diameters drilled, as in the plan"),
            job.line(
                _fluid(f"{fluid} fluid, lost"),
                loss,
                f"{share.low:g} to {share.high:g} x hole {mark(hole_m3, 'm3')}",
                source=job.cite("fluid_loss_share_least", "fluid_loss_share_most"),
            ),
            *_ingredients(job, loss, "to make the loss good", f"lost {mark(loss.likely, 'm3')}"),
        ]
    return lines


def stock_lines(jobs: Sequence[Job]) -> list[TakeoffLine]:
    """Return what the site keeps of each fluid for its largest hole: mixed once, and to be rid of at the end."""
    largest: dict[str, tuple[float, Job]] = {}
    for job in jobs:
        for fluid, hole_m3 in _holes(job).items():
            if fluid not in largest or hole_m3 > largest[fluid][0]:
                largest[fluid] = (hole_m3, job)
    return [line for fluid, (hole_m3, job) in sorted(largest.items()) for line in _stock_of(fluid, hole_m3, job)]


def _stock_of(fluid: str, hole_m3: float, job: Job) -> list[TakeoffLine]:
    """Return the stock of one fluid, for the largest hole that stands full of it."""
    factor = job.limit("fluid_stock_factor")
    stock = Estimate.exactly(hole_m3 * factor)
    return [
        job.line(
            _fluid(f"{fluid} fluid, stock"),
            stock,
            f"{factor:g} x the largest hole {mark(hole_m3, 'm3')} ({job.shaft.id})",
            source=job.cite("fluid_stock_factor"),
        ),
        *_ingredients(job, stock, "for the stock", f"stock {mark(stock.likely, 'm3')}"),
        job.line(
            PayItem("fluid", f"{fluid} fluid, to be rid of at the end", "m3", "disposal"), stock, f"the stock {mark(stock.likely, 'm3')}"
        ),
    ]


def _fluid(name: str, unit: str = "m3") -> PayItem:
    return PayItem("fluid", name, unit, "fluid")


def _holes(job: Job) -> dict[str, float]:
    """Return the volume in m3 of the hole under each support fluid of the plan."""
    return {line.item.removesuffix(_HOLE_FULL): line.value for line in job.plan.quantities if line.item.endswith(_HOLE_FULL)}


def _ingredients(job: Job, volume: Estimate, purpose: str, volume_words: str) -> list[TakeoffLine]:
    """Return what goes into a volume of fluid by the mix of the fluid programme: dry product, water, soda ash."""
    programme = job.plan.fluid_programme
    lines: list[TakeoffLine] = []
    for ingredient in programme.mix.ingredients if programme is not None else ():
        dose = Estimate(ingredient.least_kg_m3, ingredient.kg_m3, ingredient.most_kg_m3)
        if ingredient.name == "water":
            share = dose.times(1 / job.limit("water_density_kg_m3"))
            lines.append(job.line(_fluid(f"mixing water, {purpose}"), share.product(volume), f"{share.likely:.3f} x {volume_words}"))
        elif dose.high > 0:
            name = "bentonite, dry" if ingredient.name == "bentonite" else ingredient.name
            low, likely, high = (mark(end, "dose") for end in (dose.low, dose.likely, dose.high))
            lines.append(
                job.line(
                    _fluid(f"{name}, {purpose}", "kg"),
                    dose.product(volume),
                    f"{low} to {high}, likely {likely}, x {volume_words}",
                    source="; ".join(f"{cited.key}, {cited.where} ({ingredient.confidence})" for cited in ingredient.sources),
                )
            )
    return lines
