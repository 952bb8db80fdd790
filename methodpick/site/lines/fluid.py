"""Support fluid: the hole full, what each shaft loses, what the losses and the stock take of clay, polymer, water and soda ash."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.mechanics.mixture import BENTONITE_KG_M3
from methodpick.site.lines.job import Job, between, product
from methodpick.site.result import Range, TakeoffLine
from methodpick.spoken import mark

_END = " fluid, to fill the hole"
_PRODUCT = {
    "mineral": ("bentonite", ("bentonite_dose_least_kg_m3", "bentonite_dose_kg_m3", "bentonite_dose_most_kg_m3")),
    "polymer": ("polymer", ("polymer_dose_least_kg_m3", "polymer_dose_kg_m3", "polymer_dose_most_kg_m3"))}


def holes_of(job: Job) -> dict[str, float]:
    """Give the volume in m3 of the hole under each support fluid of the plan."""
    return {one.item.removesuffix(_END): one.value for one in job.plan.quantities if one.item.endswith(_END)}


def fluid_lines(job: Job) -> list[TakeoffLine]:
    """Give for each fluid of a shaft its hole, its loss and what makes the loss good."""
    lines: list[TakeoffLine] = []
    share = between(job.limit("fluid_loss_share_least"), job.limit("fluid_loss_share_most"))
    for fluid, hole in holes_of(job).items():
        loss = share.times(hole)
        lines += [
            job.line("fluid", f"{fluid} fluid, hole volume", "m3", hole, "the hole under fluid at the diameters drilled, as in the plan",
                     "fluid"),
            job.line("fluid", f"{fluid} fluid, lost", "m3", loss, f"{share.low:g} to {share.high:g} x hole {mark(hole, 'm3')}", "fluid",
                     source=job.cite("fluid_loss_share_least", "fluid_loss_share_most")),
            *_mixed(job, fluid, loss, "to make the loss good", f"lost {mark(loss.likely, 'm3')}")]
    return lines


def stock_lines(jobs: Sequence[Job]) -> list[TakeoffLine]:
    """Give what the site keeps of each fluid for its largest hole: mixed once, and to be rid of at the end."""
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
            *_mixed(job, fluid, stock, "for the stock", f"stock {mark(stock.likely, 'm3')}"),
            job.line("fluid", f"{fluid} fluid, to be rid of at the end", "m3", stock, f"the stock {mark(stock.likely, 'm3')}", "disposal")]
    return lines


def _mixed(job: Job, fluid: str, volume: Range, why: str, said: str) -> list[TakeoffLine]:
    """Give what goes into a volume of fluid: dry product, water, soda ash."""
    if fluid not in _PRODUCT:
        return [job.line("fluid", f"mixing water, {why}", "m3", volume, said, "fluid")]
    word, names = _PRODUCT[fluid]
    dose = Range(job.limit(names[0]), job.limit(names[1]), job.limit(names[2]))
    dry = product(dose, volume)
    solid = dry.times(1 / BENTONITE_KG_M3) if fluid == "mineral" else Range(0.0, 0.0, 0.0)
    water = Range(*sorted((volume.low - solid.low, volume.likely - solid.likely, volume.high - solid.high)))
    lines = [
        job.line("fluid", f"{word}, dry, {why}", "kg", dry, f"{mark(dose.low, 'dose')} to {mark(dose.high, 'dose')}, likely "
                 f"{mark(dose.likely, 'dose')}, x {said}", "fluid", source=job.cite(*names)),
        job.line("fluid", f"mixing water, {why}", "m3", water, f"{said}" + (" - bentonite / 2600 kg/m3" if fluid == "mineral" else ""),
                 "fluid")]
    ash = between(job.limit("soda_ash_least_kg_m3"), job.limit("soda_ash_most_kg_m3"))
    if fluid == "polymer" or _hard(job):
        lines.append(job.line("fluid", f"soda ash, {why}", "kg", product(ash, water),
                              f"{mark(ash.low, 'dose')} to {mark(ash.high, 'dose')} x water {mark(water.likely, 'm3')}, by test",
                              "fluid", source=job.cite("soda_ash_least_kg_m3", "soda_ash_most_kg_m3")))
    return lines


def _hard(job: Job) -> bool:
    """Tell whether the mixing water is known to want treatment for bentonite."""
    water = job.site.site.water_chemistry
    return water is not None and ((water.hardness_mg_l or 0.0) > job.limit("hardness_high_mg_l")
                                  or (water.ph is not None and water.ph < job.limit("ph_low")))
