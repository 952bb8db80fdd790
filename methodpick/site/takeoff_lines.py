"""Lines of the takeoff for what is dug and what fills the hole: excavation and spoil, support fluid and concrete."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from methodpick.plan.concrete.hole import UNKNOWN_SWELL, area, bell_volume
from methodpick.plan.fluid.programme import stock_words
from methodpick.plan.result import FLUID_TO_FILL, FluidProgramme
from methodpick.site.estimate import FOR_THE_LOSS, FOR_THE_STOCK, NOTHING, RID_OF, Estimate
from methodpick.site.job import FULL_STATES, Job, PayItem
from methodpick.site.result import (
    BY_DRAWING,
    DRILLED_IN,
    DRILLED_IN_ALL,
    DRILLED_IN_PAD,
    EMPTY_BORE,
    FREE_FLUID,
    HOLE,
    LOST,
    MEASURED,
    OVER_POUR,
    OVERBREAK,
    OVERSIZE,
    PAD_BANK,
    PAD_LOOSE,
    SPOIL_BANK,
    SPOIL_LOOSE,
    STOCK,
    TO_ORDER,
    TRUCKS,
    TakeoffLine,
)
from methodpick.terms import FLUID_NAMES
from methodpick.unit_markup import how_many, mark
from methodpick.vocabulary.values import Span, known

# ---- What is dug: drilled length by material, empty bore and the length measured for payment; spoil in the bank and loose


def drilling_lines(job: Job) -> list[TakeoffLine]:
    """Return the drilled lengths: by material from the ground down, the working pad above it, their sum, and the empty bore."""
    parts = [
        job.line(_drilled(f"{DRILLED_IN}{material}"), sum(lengths), " + ".join(mark(length, "m") for length in lengths))
        for material, lengths in drilled_lengths(job).items()
    ]
    if job.grade_m < 0 and job.on_land:
        above = f"drilling grade {mark(-job.grade_m, 'm')} above the ground"
        parts.append(job.line(_drilled(DRILLED_IN_PAD), -job.grade_m, above))
    total_m, top_m = sum(line.amount.likely for line in parts), job.drilled_from_m
    ends = f"tip {mark(job.shaft.tip_m, 'm')} - top {mark(top_m, 'm')}"
    total = job.line(_drilled(DRILLED_IN_ALL), total_m, ends, sum_of=tuple(line.item for line in parts))
    empty = job.line(
        PayItem("drilling", EMPTY_BORE, "m", "empty_bore"),
        max(0.0, job.shaft.cutoff_m - top_m),
        f"cut-off {mark(job.shaft.cutoff_m, 'm')} - top {mark(top_m, 'm')}"
        if job.shaft.cutoff_m > top_m
        else f"none: cut-off {mark(job.shaft.cutoff_m, 'm')}, no lower than the top, {mark(top_m, 'm')}",
    )
    return [*parts, total, empty, *_measured_lines(job, total_m)]


def _drilled(name: str) -> PayItem:
    return PayItem("drilling", name, "m", "drilling")


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
        job.line(_drilled(MEASURED), length_m, f"tip {mark(job.shaft.tip_m, 'm')} - {words} {mark(start_m, 'm')}"),
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
        if interval.ground == above:
            lengths[above][-1] += length
        else:
            lengths.setdefault(interval.ground, []).append(length)
        above = interval.ground
    return lengths


def spoil_lines(job: Job) -> list[TakeoffLine]:
    """Return the spoil in the bank and loose, and the free fluid on what is dug under fluid."""
    banks, wet_m3 = _bank_volumes(job)
    loose = NOTHING
    for (soil, _), bank_m3 in banks.items():
        swell = swell_of(job, soil)
        loose = loose.plus(Estimate(*(bank_m3 * (1 + percent / 100) for percent in (swell.low, swell.likely, swell.high))))
    lines = [
        job.line(
            PayItem("spoil", SPOIL_BANK, "m3", "spoil"),
            sum(banks.values()),
            "pi/4 D^2 x length of the hole as drilled: "
            + " + ".join(f"{ground} {mark(bank, 'm3')}" for (_, ground), bank in banks.items()),
        ),
        job.line(
            PayItem("spoil", SPOIL_LOOSE, "m3", "spoil"),
            loose,
            " + ".join(
                f"{ground} {mark(bank, 'm3')} x (1 + {mark(swell_of(job, soil).likely, '%')})" for (soil, ground), bank in banks.items()
            ),
            source="rules/tables/swell.yaml (church-1981, secondary)",
        ),
    ]
    return [*lines, *_pad_lines(job), *([_free_fluid(job, wet_m3)] if wet_m3 > 0 else [])]


def _pad_lines(job: Job) -> list[TakeoffLine]:
    """Return the spoil of the working pad that the rig drills through, with the swell of ground that is not known; nothing without one."""
    if job.grade_m >= 0 or not job.on_land:
        return []
    hole, height_m, swell = job.hole[0], -job.grade_m, swell_of(job, "unknown")
    bank_m3 = area(hole.drilled_m) * height_m
    loose = Estimate(*(bank_m3 * (1 + percent / 100) for percent in (swell.low, swell.likely, swell.high)))
    return [
        job.line(
            PayItem("spoil", PAD_BANK, "m3", "spoil"),
            bank_m3,
            f"pi/4 D^2 x height, D {mark(hole.drilled_m, 'size')}, drilling grade {mark(height_m, 'm')} above the ground",
        ),
        job.line(
            PayItem("spoil", PAD_LOOSE, "m3", "spoil"),
            loose,
            f"{mark(bank_m3, 'm3')} x (1 + {mark(swell.likely, '%')}), fill that is not known",
            source="rules/tables/swell.yaml, its ends",
        ),
    ]


def _bank_volumes(job: Job) -> tuple[dict[tuple[str, str], float], float]:
    """Return the volume in m3 of the hole by class of soil and what it is called, and that of all that is dug in a full hole."""
    banks: dict[tuple[str, str], float] = {}
    wet_m3 = 0.0
    for bore in job.hole:
        for interval in job.plan.intervals:
            length = min(interval.base_m, bore.base_m) - max(interval.top_m, bore.top_m)
            if length > 0:
                volume = area(bore.drilled_m) * length
                ground = interval.soil_class, interval.ground
                banks[ground] = banks.get(ground, 0.0) + volume
                wet_m3 += volume if interval.drilled_in in FULL_STATES else 0.0
    if bell := bell_volume(job.shaft, job.limit("bell_height_share")):
        last = job.plan.intervals[-1]
        ground = last.soil_class, last.ground
        banks[ground] = banks.get(ground, 0.0) + bell
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
    table = job.book.tables["swell"]
    value = table.look_up({"soil": known(soil)}).get("swell_percent") if soil != "unknown" else None
    span = value if isinstance(value, Span) else UNKNOWN_SWELL
    return Estimate(span.low, span.likely_or_middle, span.high)


# ---- What fills the hole: concrete by its parts and the trucks that bring it; support fluid with its losses and products


CONCRETE_PARTS = (BY_DRAWING, OVERSIZE, OVERBREAK, OVER_POUR)


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
        job.plan.planned_concrete.theoretical_m3,
        f"pi/4 D^2 x length, D {mark(shaft.diameter_m, 'size')}, tip {mark(shaft.tip_m, 'm')} - cut-off {mark(shaft.cutoff_m, 'm')}"
        f"{socket}{bell}",
    )


def _oversize(job: Job) -> TakeoffLine:
    concrete = job.plan.planned_concrete
    return job.line(
        PayItem("concrete", OVERSIZE, "m3", "method_overrun"),
        concrete.casing_oversize_m3,
        f"hole as drilled {mark(concrete.fill_m3, 'm3')} - drawing {mark(concrete.theoretical_m3, 'm3')}",
    )


def _overbreak(job: Job) -> TakeoffLine:
    concrete = job.plan.planned_concrete
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
    concrete = job.plan.planned_concrete
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
            job.line(_fluid(f"{fluid}{HOLE}"), hole_m3, "the hole under fluid at the diameters drilled, as in the plan"),
            job.line(
                _fluid(f"{fluid}{LOST}"),
                loss,
                f"{share.low:g} to {share.high:g} x hole {mark(hole_m3, 'm3')}",
                source=job.cite("fluid_loss_share_least", "fluid_loss_share_most"),
            ),
            *_ingredients(job, loss, FOR_THE_LOSS, f"lost {mark(loss.likely, 'm3')}"),
        ]
    return lines


def stock_lines(jobs: Sequence[Job]) -> list[TakeoffLine]:
    """Return what the site keeps of each fluid for the hole that asks for most: mixed once, and to be rid of at the end."""
    most: dict[str, tuple[FluidProgramme, Job]] = {}
    for job in jobs:
        if (programme := job.plan.fluid_programme) is not None:
            fluid = FLUID_NAMES[programme.fluid]
            if fluid not in most or programme.stock_m3 > most[fluid][0].stock_m3:
                most[fluid] = (programme, job)
    return [line for fluid, (programme, job) in sorted(most.items()) for line in _stock_of(fluid, programme, job)]


def two_fluids_note(jobs: Sequence[Job], stock: Sequence[TakeoffLine]) -> tuple[str, ...]:
    """Return what a second fluid asks for, and where to see the site with one; nothing where there are fewer than two."""
    shafts: dict[str, int] = {}
    for job in jobs:
        for fluid in _holes(job):
            shafts[fluid] = shafts.get(fluid, 0) + job.shaft.count
    if len(shafts) < 2:
        return ()
    volumes = {line.item.removesuffix(STOCK): line.amount.likely for line in stock if line.item.endswith(STOCK)}
    each = "; ".join(f"{fluid} for {how_many(count, 'shaft')}, a stock of {mark(volumes[fluid], 'm3')}" for fluid, count in shafts.items())
    note = (
        f"{len(shafts)} fluids are planned, each with tanks, a stock and a clean-up of its own: {each}. 'methodpick compare' shows what "
        "one fluid for the whole site would take."
    )
    return (note,)


def _stock_of(fluid: str, programme: FluidProgramme, job: Job) -> list[TakeoffLine]:
    """Return the stock of one fluid, that of the shaft which asks for most."""
    stock = Estimate.exactly(programme.stock_m3)
    return [
        job.line(
            _fluid(f"{fluid}, stock"),
            stock,
            f"{stock_words(programme)}, hole {mark(programme.hole_m3, 'm3')} ({job.shaft.id}, which asks for most)",
            source=job.cite(programme.stock_factor.limit),
        ),
        *_ingredients(job, stock, FOR_THE_STOCK, f"stock {mark(stock.likely, 'm3')}"),
        job.line(PayItem("fluid", f"{fluid}, {RID_OF}", "m3", "disposal"), stock, f"the stock {mark(stock.likely, 'm3')}"),
    ]


def _fluid(name: str, unit: str = "m3") -> PayItem:
    return PayItem("fluid", name, unit, "fluid")


def _holes(job: Job) -> dict[str, float]:
    """Return the volume in m3 of the hole under each support fluid of the plan."""
    return {line.item.removesuffix(FLUID_TO_FILL): line.value for line in job.plan.quantities if line.item.endswith(FLUID_TO_FILL)}


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
