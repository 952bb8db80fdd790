"""Schedules: method of every shaft, supports by depth, stages, casings, strings, hours."""

from __future__ import annotations

from methodpick.drawings.shaft_columns import runs
from methodpick.plan.result import Casing, Interval, ShaftPlan
from methodpick.site.result import HoursRow, Range, SitePlan, Takeoff
from methodpick.tables.cells import Cell, Column, Number, Sheet, SheetNumbers
from methodpick.terms import STATE_NAMES, SUPPORT_NAMES

SHAFT, COUNT = Column("shaft"), Column("alike", width=6)


def method_schedule(takeoff: Takeoff, numbers: SheetNumbers) -> Sheet:
    """Return a row for each shaft: what it is, which boring decides, how it is built."""
    taken = {one.shaft: one.substructure for one in takeoff.shafts}
    assigned = {one.shaft: one for one in takeoff.site.assignments}
    rows: list[tuple[Cell, ...]] = []
    for one in takeoff.site.plan.shafts:
        read = [water for water in one.ground.water if water.kind != "unread"]
        water = min(read, key=lambda line: line.high_m, default=None)
        held = {interval.confidence for interval in one.intervals}
        flags = "; ".join(flag.text for flag in assigned[one.id].flags) if one.id in assigned else ""
        levels = (water.high_m, water.likely_m, water.low_m) if water else (None, None, None)
        rows.append(
            (
                numbers.text(one.id),
                one.count,
                numbers.text(taken.get(one.id, "")),
                numbers.cell(one.diameter_m, "size"),
                numbers.cell(one.cutoff_m, "m"),
                numbers.cell(one.tip_depth_m, "m"),
                numbers.text(one.boring),
                numbers.cell(one.boring_distance_m, "m"),
                *(numbers.cell(level, "m") for level in levels),
                SUPPORT_NAMES[one.method],
                one.placement.state,
                next((word for word in ("undecided", "conditional") if word in held), "firm"),
                numbers.cell(one.fluid_level_m, "m"),
                numbers.text(one.decision),
                numbers.text(flags),
            )
        )
    m = numbers.column
    return Sheet(
        "method_schedule",
        "Method schedule",
        (
            SHAFT,
            COUNT,
            Column("substructure", width=14),
            m("diameter", "size"),
            m("cut-off", "m"),
            m("tip", "m"),
            Column("boring"),
            m("boring away", "m"),
            m("water, highest", "m"),
            m("water, likely", "m"),
            m("water, lowest", "m"),
            Column("method", width=18),
            Column("concrete"),
            Column("confidence", width=12),
            m("fluid level", "m"),
            Column("decision", width=90),
            Column("flags of the boring", width=60),
        ),
        tuple(rows),
        ("Depths run down from the ground at the shaft; water is the highest one read.",),
    )


def supports(site: SitePlan, numbers: SheetNumbers) -> Sheet:
    """Return what holds the wall over every length."""

    def alike(one: Interval) -> tuple[str | None, ...]:
        return one.soil_class, one.support, one.fluid, one.drilled_in, one.confidence

    rows = tuple(
        (
            numbers.text(shaft.id),
            shaft.count,
            numbers.cell(one.top_m, "m"),
            numbers.cell(base, "m"),
            one.soil_class.replace("_", " "),
            SUPPORT_NAMES[one.support],
            one.fluid or "",
            STATE_NAMES.get(one.drilled_in or "", ""),
            one.confidence,
        )
        for shaft in site.plan.shafts
        for one, base in runs(shaft.intervals, alike)
    )
    return Sheet(
        "supports",
        "Support by depth, when the tip is reached",
        (
            SHAFT,
            COUNT,
            numbers.column("top", "m"),
            numbers.column("base", "m"),
            Column("ground", width=16),
            Column("held by", width=18),
            Column("fluid"),
            Column("drilled", width=24),
            Column("confidence", width=12),
        ),
        rows,
    )


def stages(site: SitePlan, numbers: SheetNumbers) -> Sheet:
    """Return the steps of the work, in order."""
    rows = tuple(
        (
            numbers.text(shaft.id),
            one.no,
            one.action.replace("_", " "),
            numbers.cell(one.top_m, "m"),
            numbers.cell(one.base_m, "m"),
            numbers.cell(one.hours, "h"),
            numbers.text(one.text),
        )
        for shaft in site.plan.shafts
        for one in shaft.stages
    )
    return Sheet(
        "stages",
        "Stages",
        (
            SHAFT,
            Column("no.", width=6),
            Column("step", width=16),
            numbers.column("from", "m"),
            numbers.column("to", "m"),
            Column("planning time", "h"),
            Column("work", width=110),
        ),
        rows,
    )


def casing_schedule(site: SitePlan, numbers: SheetNumbers) -> Sheet:
    """Return every casing of every shaft."""
    rows = tuple(_casing(shaft, number, one, numbers) for shaft in site.plan.shafts for number, one in enumerate(shaft.casings, 1))
    m = numbers.column
    return Sheet(
        "casing_schedule",
        "Casing schedule",
        (
            SHAFT,
            COUNT,
            Column("no.", width=6),
            Column("kind", width=12),
            m("outside", "size"),
            m("wall", "wall"),
            m("top", "m"),
            m("base", "m"),
            m("base elevation", "m", 14),
            m("length", "m"),
            m("mass", "kg", 12),
            Column("pieces from the shoe up", width=22),
            Column("put in by", width=30),
            Column("sealed"),
            Column("seat", width=24),
            m("into the seat", "m", 12),
            m("needed in the seat", "m", 12),
            m("stick-up", "m"),
            Column("from the yard"),
            Column("why", width=90),
        ),
        rows,
        ("A top that is negative stands above the ground.",),
    )


def _casing(shaft: ShaftPlan, number: int, one: Casing, numbers: SheetNumbers) -> tuple[Cell, ...]:
    ground, seat = shaft.ground.ground_elevation_m, one.embedment
    why = " ".join(part for part in (one.why, one.wall_by.why if one.wall_by else "", one.stick_up_why) if part)
    return (
        numbers.text(shaft.id),
        shaft.count,
        number,
        one.kind,
        numbers.cell(one.outside_diameter_m, "size"),
        numbers.cell(one.wall_m, "wall"),
        numbers.cell(one.top_m, "m"),
        numbers.cell(one.base_m, "m"),
        numbers.cell(None if ground is None else ground - one.base_m, "m"),
        numbers.cell(one.length_m, "m"),
        numbers.cell(one.mass_kg, "kg"),
        _pieces(one.sections_m or (one.length_m,), numbers),
        numbers.text(one.installed_by),
        "" if one.kind == "starter" else one.sealed,
        numbers.text(one.seat_layer),
        numbers.cell(seat.given_m if seat else None, "m"),
        numbers.cell(seat.needed_m if seat else None, "m"),
        numbers.cell(one.stick_up_m, "m"),
        "yes" if one.from_yard else "no",
        numbers.text(why),
    )


def _pieces(lengths_m: tuple[float, ...], numbers: SheetNumbers) -> str:
    return " + ".join(f"{numbers.cell_value(length, 'm'):.2f}" for length in lengths_m)


def strings(takeoff: Takeoff, numbers: SheetNumbers) -> Sheet:
    """Return the strings that serve all shafts in sequence, what is at hand of them and what is to be got."""
    yard = takeoff.yard
    rows = tuple(
        (
            numbers.text(one.name),
            numbers.cell(one.outside_diameter_m, "size"),
            numbers.cell(one.wall_m, "wall"),
            numbers.cell(one.length_m, "m"),
            numbers.cell(one.needed_m, "m"),
            numbers.cell(one.mass_kg, "kg"),
            one.origin,
            _pieces(one.pieces_m, numbers),
            one.splices,
            numbers.cell(one.from_yard_m, "m"),
            numbers.cell(one.to_get_m, "m"),
            one.uses,
            numbers.text(", ".join(one.shafts)),
        )
        for one in yard.strings
    )
    m = numbers.column
    said = (f"{yard.sizes} sizes; no choice has fewer than {yard.least_sizes}.", *yard.said) if yard.strings else ("No temporary casing.",)
    return Sheet(
        "strings",
        "Casing strings",
        (
            Column("string"),
            m("outside", "size"),
            m("wall", "wall"),
            m("length", "m"),
            m("needed", "m"),
            m("mass", "kg", 12),
            Column("origin", width=14),
            Column("pieces", width=22),
            Column("joints", width=8),
            m("from the yard", "m", 12),
            m("to get", "m"),
            Column("uses", width=6),
            Column("shafts", width=80),
        ),
        rows,
        tuple(map(numbers.text, said)),
    )


def hours(takeoff: Takeoff, numbers: SheetNumbers) -> Sheet:
    """Return the hours of each shaft by kind of work, likely, and in all."""
    rows = tuple(
        (
            numbers.text(one.shaft),
            one.count,
            *(_likely(part, numbers) for part in (one.drill, one.casing, one.fluid, one.clean, one.cage, one.pour, one.pull, one.move)),
            *_ends(one),
            _basis(one),
        )
        for one in takeoff.hours
    )
    return Sheet(
        "hours",
        "Hours of each shaft",
        (
            SHAFT,
            COUNT,
            *(
                Column(name, "h")
                for name in ("drill", "casing", "fluid", "clean", "cage", "pour", "pull", "move", "all, low", "all, likely", "all, high")
            ),
            Column("by", width=40),
        ),
        rows,
    )


def _likely(part: Range | None, numbers: SheetNumbers) -> Number | None:
    return numbers.cell(part.likely if part else None, "h")


def _ends(one: HoursRow) -> tuple[Number, ...]:
    return tuple(Number(value, 2) for value in (one.total.low, one.total.likely, one.total.high))


def _basis(one: HoursRow) -> str:
    return "your rates" if one.by_rates else "planning hours of this tool's own"
