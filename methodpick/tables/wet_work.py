"""Sheets of fluid and concrete: the control sheet and the window, the concrete plan, the depth-volume curve, the pulls."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from methodpick.document.fluid import NO_FLUID, limits_of
from methodpick.document.record import cited
from methodpick.plan.result import Concrete, CurvePoint, FluidProgramme, LimitUsed, Plan, PullStep, ShaftPlan, Slurry, Tremie
from methodpick.tables.cells import Cell, Field, NumberCell, SheetColumn, SheetNumbers, Worksheet, blank, counted, fill, gathered


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


class _Held(NamedTuple):
    """A shaft that is held by fluid over a length."""

    shaft: ShaftPlan
    slurry: Slurry


def _programme(held: _Held) -> FluidProgramme | None:
    """Return the programme of a fluid: that of the shaft is of the one that holds the longest length."""
    return held.shaft.fluid_programme if held.slurry == held.shaft.slurry else None


def slurry_window(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return the density window of every hole under fluid, the volume to fill it and the stock."""

    def volume(of: Callable[[FluidProgramme], float]) -> Callable[[_Held], float | None]:
        return lambda held: None if (found := _programme(held)) is None else of(found)

    fields: tuple[Field[_Held], ...] = (
        numbers.worded("shaft", lambda held: held.shaft.id),
        counted("alike", lambda held: held.shaft.count),
        numbers.worded("fluid", lambda held: held.slurry.fluid),
        numbers.measured("from", "m", lambda held: held.slurry.top_m),
        numbers.measured("to", "m", lambda held: held.slurry.base_m),
        numbers.measured("level", "m", lambda held: held.slurry.level_m),
        numbers.measured("least head", "m", lambda held: held.slurry.head_m),
        numbers.measured("density, least", "kg/m3", lambda held: held.slurry.density_min_kg_m3, 12),
        numbers.measured("density, better", "kg/m3", lambda held: held.slurry.density_wanted_kg_m3, 12),
        numbers.measured("density, most", "kg/m3", lambda held: held.slurry.density_max_kg_m3, 12),
        numbers.measured("aim", "kg/m3", lambda held: held.slurry.density_target_kg_m3, 12),
        numbers.worded("window", lambda held: "EMPTY" if held.slurry.density_target_kg_m3 is None else "open"),
        numbers.worded("bound by", lambda held: held.slurry.governed_by, 50),
        numbers.measured("hole", "m3", volume(lambda programme: programme.hole_m3)),
        numbers.measured("stock", "m3", volume(lambda programme: programme.stock_m3)),
    )
    held = (_Held(shaft, slurry) for shaft in plan.shafts for slurry in shaft.slurries)
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


class _Point(NamedTuple):
    """A point of the depth-volume curve of a shaft."""

    shaft: ShaftPlan
    point: CurvePoint


def depth_volume(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return the points of the depth-volume curve from the tip up, with room for what is measured."""
    fields: tuple[Field[_Point], ...] = (
        numbers.worded("shaft", lambda at: at.shaft.id),
        numbers.measured("top of concrete at", "m", lambda at: at.point.depth_m, 16),
        numbers.measured("by the drawing", "m3", lambda at: at.point.theoretical_m3, 13),
        numbers.measured("casings in", "m3", lambda at: at.point.casings_in_m3, 13),
        numbers.measured("as drilled", "m3", lambda at: at.point.fill_m3, 13),
        numbers.measured("expected, low", "m3", lambda at: at.point.expected_low_m3, 13),
        numbers.measured("expected, likely", "m3", lambda at: at.point.expected_m3, 13),
        numbers.measured("expected, high", "m3", lambda at: at.point.expected_high_m3, 13),
        blank("measured", 12),
    )
    points = (_Point(shaft, point) for shaft in plan.with_method for point in shaft.planned_concrete.curve)
    return fill("depth_volume", "Depth-volume curve", fields, points)


class _Lift(NamedTuple):
    """A lift of a casing of a shaft."""

    shaft: ShaftPlan
    step: PullStep


def pulls(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return every lift of every casing."""
    fields: tuple[Field[_Lift], ...] = (
        numbers.worded("shaft", lambda lift: lift.shaft.id),
        counted("casing", lambda lift: lift.step.casing_no, 7),
        counted("lift", lambda lift: lift.step.lift_no),
        numbers.measured("shoe", "m", lambda lift: lift.step.shoe_m, 12),
        numbers.measured("shoe after", "m", lambda lift: lift.step.shoe_after_m, 12),
        numbers.measured("concrete at least", "m", lambda lift: lift.step.level_least_m, 12),
        numbers.measured("fill to", "m", lambda lift: lift.step.level_before_m, 12),
        numbers.measured("falls to", "m", lambda lift: lift.step.level_after_m, 12),
        numbers.measured("add", "m3", lambda lift: lift.step.refill_m3),
        numbers.worded("balance holds", lambda lift: "yes" if lift.step.safe else "NO", 6),
        numbers.worded("note", lambda lift: lift.step.note, 90),
    )
    notes = ("Levels are depths of the concrete in the innermost casing, negative above the ground.",)
    lifts = (_Lift(shaft, step) for shaft in plan.with_method for step in shaft.planned_concrete.pulls)
    return fill("pulls", "Pulls of casing", fields, lifts, notes)
