"""Support fluid: the hole full, what each shaft loses, what the losses and the stock take of clay, polymer, water and soda ash."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.site.lines.job import Job, between, product
from methodpick.site.result import Range, TakeoffLine
from methodpick.unit_markup import mark

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
        stock = Range(hole * factor, hole * factor, hole * factor)
        said = f"{factor:g} x the largest hole {mark(hole, 'm3')} ({job.shaft.id})"
        lines += [
            job.line("fluid", f"{fluid} fluid, stock", "m3", stock, said, "fluid", source=job.cite("fluid_stock_factor")),
            *_mixed(job, stock, "for the stock", f"stock {mark(stock.likely, 'm3')}"),
            job.line("fluid", f"{fluid} fluid, to be rid of at the end", "m3", stock, f"the stock {mark(stock.likely, 'm3')}", "disposal"),
        ]
    return lines


def _mixed(job: Job, volume: Range, why: str, said: str) -> list[TakeoffLine]:
    """Return what goes into a volume of fluid by the mix of the fluid programme: dry product, water, soda ash."""
    programme = job.plan.fluid_programme
    lines: list[TakeoffLine] = []
    for one in programme.mix.ingredients if programme is not None else ():
        dose = Range(one.least_kg_m3, one.kg_m3, one.most_kg_m3)
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
