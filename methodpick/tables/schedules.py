"""The schedules of a site, how its shafts are built: method, supports, stages, casings, strings, fluid, concrete and pulls."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Generic, NamedTuple, TypeVar

from methodpick.document.decision import least_confidence, support_runs
from methodpick.document.fluid import NO_FLUID, limits_of
from methodpick.document.record import cited
from methodpick.document.takeoff import least_sizes
from methodpick.plan.result import (
    Casing,
    Concrete,
    CurvePoint,
    FluidProgramme,
    Interval,
    LimitUsed,
    LogWater,
    Plan,
    PullStep,
    ShaftPlan,
    Slurry,
    Stage,
    Tremie,
)
from methodpick.site.result import SitePlan, Takeoff, YardString
from methodpick.tables.cells import Cell, Field, NumberCell, SheetColumn, SheetNumbers, Worksheet, blank, counted, fill, gathered
from methodpick.terms import STARTER, STATE_NAMES, SUPPORT_NAMES
from methodpick.unit_markup import how_many

ShaftPart = TypeVar("ShaftPart")


class _PartOf(NamedTuple, Generic[ShaftPart]):
    """A shaft and a part of it: a stage, a length under fluid, a point of its depth-volume curve, a lift of a casing."""

    shaft: ShaftPlan
    part: ShaftPart


# ---- method, supports, stages, casings, strings


class _ScheduledShaft(NamedTuple):
    """A shaft with what the takeoff, its boring and the water say of it."""

    plan: ShaftPlan
    substructure: str
    water: LogWater | None
    flags: str


def method_schedule(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return a row for each shaft: what it is, which boring decides, how it is built."""
    fields: tuple[Field[_ScheduledShaft], ...] = (
        numbers.worded("shaft", lambda shaft: shaft.plan.id),
        counted("alike", lambda shaft: shaft.plan.count),
        numbers.worded("substructure", lambda shaft: shaft.substructure, 14),
        numbers.measured("diameter", "size", lambda shaft: shaft.plan.diameter_m),
        numbers.measured("cut-off", "m", lambda shaft: shaft.plan.cutoff_m),
        numbers.measured("tip", "m", lambda shaft: shaft.plan.tip_depth_m),
        numbers.worded("boring", lambda shaft: shaft.plan.boring),
        numbers.measured("boring away", "m", lambda shaft: shaft.plan.boring_distance_m),
        numbers.measured("water, highest", "m", lambda shaft: shaft.water.high_m if shaft.water else None),
        numbers.measured("water, likely", "m", lambda shaft: shaft.water.likely_m if shaft.water else None),
        numbers.measured("water, lowest", "m", lambda shaft: shaft.water.low_m if shaft.water else None),
        numbers.worded("method", lambda shaft: SUPPORT_NAMES[shaft.plan.method], 18),
        numbers.worded("concrete", lambda shaft: "" if shaft.plan.placement is None else shaft.plan.placement.state),
        numbers.worded("confidence", lambda shaft: least_confidence(shaft.plan), 12),
        numbers.measured("fluid level", "m", lambda shaft: shaft.plan.fluid_level_m),
        numbers.worded("decision", lambda shaft: shaft.plan.decision, 90),
        numbers.worded("flags of the boring", lambda shaft: shaft.flags, 60),
    )
    notes = ("Depths run down from the ground at the shaft; water is the highest one read.",)
    return fill("method_schedule", "Method schedule", fields, _scheduled(takeoff), notes)


def _scheduled(takeoff: Takeoff) -> list[_ScheduledShaft]:
    substructures = {shaft.shaft: shaft.substructure for shaft in takeoff.shafts}
    flags = {assigned.shaft: "; ".join(flag.text for flag in assigned.flags) for assigned in takeoff.site.assignments}
    return [
        _ScheduledShaft(shaft, substructures.get(shaft.id, ""), _highest_water(shaft), flags.get(shaft.id, ""))
        for shaft in takeoff.site.plan.shafts
    ]


def _highest_water(shaft: ShaftPlan) -> LogWater | None:
    return min((water for water in shaft.ground.water if water.kind != "unread"), key=lambda water: water.high_m, default=None)


class _Support(NamedTuple):
    """What holds a length of a shaft."""

    shaft: ShaftPlan
    interval: Interval
    base_m: float


def supports(site: SitePlan, numbers: SheetNumbers) -> Worksheet:
    """Return what holds the wall over every length."""
    fields: tuple[Field[_Support], ...] = (
        numbers.worded("shaft", lambda support: support.shaft.id),
        counted("alike", lambda support: support.shaft.count),
        numbers.measured("top", "m", lambda support: support.interval.top_m),
        numbers.measured("base", "m", lambda support: support.base_m),
        numbers.worded("ground", lambda support: support.interval.ground, 16),
        numbers.worded("held by", lambda support: SUPPORT_NAMES[support.interval.support], 18),
        numbers.worded("fluid", lambda support: support.interval.fluid or ""),
        numbers.worded("drilled", lambda support: STATE_NAMES.get(support.interval.drilled_in or "", ""), 24),
        numbers.worded("confidence", lambda support: support.interval.confidence, 12),
    )
    held = (_Support(shaft, interval, base_m) for shaft in site.plan.shafts for interval, base_m in support_runs(shaft))
    return fill("supports", "Support by depth, when the tip is reached", fields, held)


def stages(site: SitePlan, numbers: SheetNumbers) -> Worksheet:
    """Return the steps of the work, in order."""
    fields: tuple[Field[_PartOf[Stage]], ...] = (
        numbers.worded("shaft", lambda step: step.shaft.id),
        counted("no.", lambda step: step.part.no),
        numbers.worded("step", lambda step: step.part.action.replace("_", " "), 16),
        numbers.measured("from", "m", lambda step: step.part.top_m),
        numbers.measured("to", "m", lambda step: step.part.base_m),
        numbers.measured("planning time", "h", lambda step: step.part.hours),
        numbers.worded("work", lambda step: step.part.text, 110),
    )
    return fill("stages", "Stages", fields, (_PartOf(shaft, stage) for shaft in site.plan.shafts for stage in shaft.stages))


class _NumberedCasing(NamedTuple):
    """A casing of a shaft with its number."""

    shaft: ShaftPlan
    number: int
    casing: Casing

    @property
    def base_elevation_m(self) -> float | None:
        """Return the elevation of its shoe, where the ground level is known."""
        ground = self.shaft.ground.ground_elevation_m
        return None if ground is None else ground - self.casing.base_m

    @property
    def why(self) -> str:
        """Describe why it is as long, as thick and as high as it is."""
        wall = self.casing.wall_by.why if self.casing.wall_by else ""
        return " ".join(part for part in (self.casing.why, wall, self.casing.stick_up_why) if part)


def casing_schedule(site: SitePlan, numbers: SheetNumbers) -> Worksheet:
    """Return every casing of every shaft."""
    fields: tuple[Field[_NumberedCasing], ...] = (
        numbers.worded("shaft", lambda at: at.shaft.id),
        counted("alike", lambda at: at.shaft.count),
        counted("no.", lambda at: at.number),
        numbers.worded("kind", lambda at: at.casing.kind, 12),
        numbers.measured("outside", "size", lambda at: at.casing.outside_diameter_m),
        numbers.measured("wall", "wall", lambda at: at.casing.wall_m),
        numbers.measured("top", "m", lambda at: at.casing.top_m),
        numbers.measured("base", "m", lambda at: at.casing.base_m),
        numbers.measured("base elevation", "m", lambda at: at.base_elevation_m, 14),
        numbers.measured("length", "m", lambda at: at.casing.length_m),
        numbers.measured("mass", "kg", lambda at: at.casing.mass_kg, 12),
        numbers.worded("pieces from the shoe up", lambda at: _pieces(at.casing.sections_m or (at.casing.length_m,), numbers), 22),
        numbers.worded("put in by", lambda at: at.casing.installed_by, 30),
        numbers.worded("sealed", lambda at: "" if at.casing.kind == STARTER else at.casing.sealed),
        numbers.worded("seat", lambda at: at.casing.seat_layer, 24),
        numbers.measured("into the seat", "m", lambda at: at.casing.embedment.given_m if at.casing.embedment else None, 12),
        numbers.measured("needed in the seat", "m", lambda at: at.casing.embedment.needed_m if at.casing.embedment else None, 12),
        numbers.measured("stick-up", "m", lambda at: at.casing.stick_up_m),
        numbers.worded("from the yard", lambda at: "yes" if at.casing.from_yard else "no"),
        numbers.worded("why", lambda at: at.why, 90),
    )
    casings = (_NumberedCasing(shaft, no, casing) for shaft in site.plan.shafts for no, casing in enumerate(shaft.casings, 1))
    return fill("casing_schedule", "Casing schedule", fields, casings, ("A top that is negative stands above the ground.",))


def _pieces(lengths_m: tuple[float, ...], numbers: SheetNumbers) -> str:
    return " + ".join(f"{numbers.cell_value(length, 'm'):.2f}" for length in lengths_m)


def strings(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return the strings that serve all shafts in sequence, what is at hand of them and what is to be got."""
    yard = takeoff.yard
    fields: tuple[Field[YardString], ...] = (
        numbers.worded("string", lambda string: string.name),
        numbers.measured("outside", "size", lambda string: string.outside_diameter_m),
        numbers.measured("wall", "wall", lambda string: string.wall_m),
        numbers.measured("length", "m", lambda string: string.length_m),
        numbers.measured("needed", "m", lambda string: string.needed_m),
        numbers.measured("mass", "kg", lambda string: string.mass_kg, 12),
        numbers.worded("origin", lambda string: string.origin, 14),
        numbers.worded("pieces", lambda string: _pieces(string.pieces_m, numbers), 22),
        counted("joints", lambda string: string.splices, 8),
        numbers.measured("from the yard", "m", lambda string: string.from_yard_m, 12),
        numbers.measured("to get", "m", lambda string: string.to_get_m),
        counted("uses", lambda string: string.uses),
        counted("working days", lambda string: round(string.days.likely), 8),
        numbers.worded("shafts", lambda string: ", ".join(string.shafts), 80),
    )
    notes = (f"{how_many(yard.sizes, 'size')}; {least_sizes(yard)}.", *yard.said) if yard.strings else ("No temporary casing.",)
    return fill("strings", "Casing strings", fields, yard.strings, map(numbers.text, notes))


# ---- fluid and concrete


def slurry_control(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return the properties of the fluid with their limits, when to test, and room for the readings; alike shafts share a row."""
    rows: list[tuple[int, list[Cell]]] = []
    for index, shaft in enumerate(plan.shafts):
        if shaft.fluid_programme is not None:
            rows += [(index, row) for row in _controls(shaft.fluid_programme, numbers)]
    limits = ("introduction, least", "introduction, most", "before concrete, least", "before concrete, most")
    columns = (
        SheetColumn("shafts", width=40),
        SheetColumn("fluid"),
        SheetColumn("property", width=16),
        SheetColumn("unit", width=8),
        *(SheetColumn(name, width=14) for name in limits),
        SheetColumn("test, or when", width=60),
        SheetColumn("standards", width=30),
        SheetColumn("limits from", width=60),
        SheetColumn("measured", width=14),
        SheetColumn("depth, date, by", width=20),
    )
    narrower = "The density that the ground asks for stands in the sheet 'slurry_window'; the narrower of both holds."
    found = gathered([numbers.text(shaft.id) for shaft in plan.shafts], rows)
    return Worksheet("slurry_control", "Slurry control sheet", columns, found, (narrower if found else NO_FLUID,))


def _controls(programme: FluidProgramme, numbers: SheetNumbers) -> Iterator[list[Cell]]:
    """Return a row for every property of the fluid, and one for every time of testing."""
    for row in programme.controls:
        sides = (row.introduction_low, row.introduction_high, row.concreting_low, row.concreting_high)
        limits = [_limit(side, numbers) for side in sides]
        origin = _origins(limits_of(row))
        yield [
            programme.fluid,
            row.name,
            numbers.cell_unit(row.unit),
            *limits,
            numbers.text(row.test),
            cited(row.standards),
            origin,
            "",
            "",
        ]
    for time in programme.times:
        yield [programme.fluid, "times", "", *(None,) * 4, numbers.text(time.text), "", _origins(time.limits), "", ""]


def _limit(side: LimitUsed | None, numbers: SheetNumbers) -> NumberCell | None:
    return None if side is None else numbers.cell(side.value, side.unit)


def _origins(limits: Sequence[LimitUsed]) -> str:
    """Return the sources of limits, each once, with how well it is known and the overlay that set it."""
    texts = (
        f"{limit.source.key}, {limit.source.where} ({limit.confidence}{f', set by {limit.set_by}' if limit.set_by else ''})"
        for limit in limits
    )
    return "; ".join(dict.fromkeys(texts))


def _programme(held: _PartOf[Slurry]) -> FluidProgramme | None:
    """Return the programme of a fluid: that of the shaft is of the one that holds the longest length."""
    return held.shaft.fluid_programme if held.part == held.shaft.slurry else None


def slurry_window(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return the density window of every hole under fluid, the volume to fill it and the stock."""

    def volume(of: Callable[[FluidProgramme], float]) -> Callable[[_PartOf[Slurry]], float | None]:
        return lambda held: None if (found := _programme(held)) is None else of(found)

    fields: tuple[Field[_PartOf[Slurry]], ...] = (
        numbers.worded("shaft", lambda held: held.shaft.id),
        counted("alike", lambda held: held.shaft.count),
        numbers.worded("fluid", lambda held: held.part.fluid),
        numbers.measured("from", "m", lambda held: held.part.top_m),
        numbers.measured("to", "m", lambda held: held.part.base_m),
        numbers.measured("level", "m", lambda held: held.part.level_m),
        numbers.measured("least head", "m", lambda held: held.part.head_m),
        numbers.measured("density, least", "kg/m3", lambda held: held.part.density_min_kg_m3, 12),
        numbers.measured("density, better", "kg/m3", lambda held: held.part.density_wanted_kg_m3, 12),
        numbers.measured("density, most", "kg/m3", lambda held: held.part.density_max_kg_m3, 12),
        numbers.measured("aim", "kg/m3", lambda held: held.part.density_target_kg_m3, 12),
        numbers.worded("window", lambda held: "EMPTY" if held.part.density_target_kg_m3 is None else "open"),
        numbers.worded("bound by", lambda held: held.part.governed_by, 50),
        numbers.measured("hole", "m3", volume(lambda programme: programme.hole_m3)),
        numbers.measured("stock", "m3", volume(lambda programme: programme.stock_m3)),
    )
    held = (_PartOf(shaft, slurry) for shaft in plan.shafts for slurry in shaft.slurries)
    return fill("slurry_window", "Density window of the fluid", fields, held)


def _volume_fields(numbers: SheetNumbers) -> tuple[Field[ShaftPlan], ...]:
    """Return the columns of the volumes, each cause apart."""

    def volume(name: str, of: Callable[[Concrete], float]) -> Field[ShaftPlan]:
        return numbers.measured(name, "m3", lambda shaft: of(shaft.planned_concrete))

    return (
        volume("by the drawing", lambda concrete: concrete.theoretical_m3),
        volume("casing oversize", lambda concrete: concrete.casing_oversize_m3),
        volume("hole as drilled", lambda concrete: concrete.fill_m3),
        volume("overbreak, low", lambda concrete: concrete.overbreak_low_m3),
        volume("overbreak, likely", lambda concrete: concrete.overbreak_m3),
        volume("overbreak, high", lambda concrete: concrete.overbreak_high_m3),
        volume("in all, low", lambda concrete: concrete.expected_low_m3),
        volume("in all, likely", lambda concrete: concrete.expected_m3),
        volume("in all, high", lambda concrete: concrete.expected_high_m3),
        volume("over-pour", lambda concrete: concrete.over_pour_m3),
    )


def concrete_plan(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return placing, volumes by their cause, trucks, tremie and times of every shaft."""

    def tremie(name: str, unit: str, of: Callable[[Tremie], float]) -> Field[ShaftPlan]:
        return numbers.measured(
            name, unit, lambda shaft: None if shaft.planned_concrete.tremie is None else of(shaft.planned_concrete.tremie)
        )

    fields: tuple[Field[ShaftPlan], ...] = (
        numbers.worded("shaft", lambda shaft: shaft.id),
        counted("alike", lambda shaft: shaft.count),
        numbers.worded("placed by", lambda shaft: shaft.planned_concrete.placement.replace("_", " "), 12),
        *_volume_fields(numbers),
        numbers.measured("finished at", "m", lambda shaft: shaft.planned_concrete.finished_level_m),
        numbers.measured("slump, least", "size", lambda shaft: shaft.planned_concrete.slump_min_m),
        numbers.measured("slump, most", "size", lambda shaft: shaft.planned_concrete.slump_max_m),
        tremie("tremie", "size", lambda pipe: pipe.pipe_m),
        tremie("above the base", "size", lambda pipe: pipe.gap_m),
        tremie("embedment", "m", lambda pipe: pipe.embedment_m),
        tremie("first charge", "m3", lambda pipe: pipe.charge_m3),
        tremie("in before a lift", "m3", lambda pipe: pipe.before_lift_m3),
        numbers.measured("truck", "m3", lambda shaft: shaft.planned_concrete.truck_m3),
        counted("trucks", lambda shaft: shaft.planned_concrete.trucks, 8),
        counted("trucks, high", lambda shaft: shaft.planned_concrete.trucks_high, 8),
        numbers.measured("truck every", "h", lambda shaft: shaft.planned_concrete.truck_every_h),
        numbers.measured("pour", "h", lambda shaft: shaft.planned_concrete.pour_hours),
        numbers.measured("pulls", "h", lambda shaft: shaft.planned_concrete.pull_hours),
        numbers.measured("must flow for", "h", lambda shaft: shaft.planned_concrete.workable_needed_h),
        numbers.measured("counted on", "h", lambda shaft: shaft.planned_concrete.workable_h),
        numbers.worded("why", lambda shaft: shaft.planned_concrete.why, 70),
    )
    notes = ("Casing oversize is geometry and certain; overbreak is the ground's, by experience, and a range.",)
    return fill("concrete_plan", "Concrete plan", fields, plan.with_method, notes)


def depth_volume(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return the points of the depth-volume curve from the tip up, with room for what is measured."""
    fields: tuple[Field[_PartOf[CurvePoint]], ...] = (
        numbers.worded("shaft", lambda at: at.shaft.id),
        numbers.measured("top of concrete at", "m", lambda at: at.part.depth_m, 16),
        numbers.measured("by the drawing", "m3", lambda at: at.part.theoretical_m3, 13),
        numbers.measured("casings in", "m3", lambda at: at.part.casings_in_m3, 13),
        numbers.measured("as drilled", "m3", lambda at: at.part.fill_m3, 13),
        numbers.measured("expected, low", "m3", lambda at: at.part.expected_low_m3, 13),
        numbers.measured("expected, likely", "m3", lambda at: at.part.expected_m3, 13),
        numbers.measured("expected, high", "m3", lambda at: at.part.expected_high_m3, 13),
        blank("measured", 12),
    )
    points = (_PartOf(shaft, point) for shaft in plan.with_method for point in shaft.planned_concrete.curve)
    return fill("depth_volume", "Depth-volume curve", fields, points)


def pulls(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return every lift of every casing."""
    fields: tuple[Field[_PartOf[PullStep]], ...] = (
        numbers.worded("shaft", lambda lift: lift.shaft.id),
        counted("casing", lambda lift: lift.part.casing_no, 7),
        counted("lift", lambda lift: lift.part.lift_no),
        numbers.measured("shoe", "m", lambda lift: lift.part.shoe_m, 12),
        numbers.measured("shoe after", "m", lambda lift: lift.part.shoe_after_m, 12),
        numbers.measured("concrete at least", "m", lambda lift: lift.part.level_least_m, 12),
        numbers.measured("fill to", "m", lambda lift: lift.part.level_before_m, 12),
        numbers.measured("falls to", "m", lambda lift: lift.part.level_after_m, 12),
        numbers.measured("add", "m3", lambda lift: lift.part.refill_m3),
        numbers.worded("balance holds", lambda lift: "yes" if lift.part.safe else "NO", 6),
        numbers.worded("note", lambda lift: lift.part.note, 90),
    )
    notes = ("Levels are depths of the concrete in the innermost casing, negative above the ground.",)
    lifts = (_PartOf(shaft, step) for shaft in plan.with_method for step in shaft.planned_concrete.pulls)
    return fill("pulls", "Pulls of casing", fields, lifts, notes)
