"""Schedules: method of every shaft, supports by depth, stages, casings, strings, hours."""

from __future__ import annotations

from methodpick.drawings.shaft_columns import runs
from methodpick.plan.result import STATE_SAID, SUPPORT_SAID, Casing, Interval, ShaftPlan
from methodpick.site.result import Estimate, HoursRow, SitePlan, Takeoff
from methodpick.tables.cells import Cell, Column, Number, Scale, Table

SHAFT, COUNT = Column("shaft"), Column("alike", width=6)


def method_schedule(takeoff: Takeoff, scale: Scale) -> Table:
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
                scale.t(one.id),
                one.count,
                scale.t(taken.get(one.id, "")),
                scale.n(one.diameter_m, "size"),
                scale.n(one.cutoff_m, "m"),
                scale.n(one.tip_depth_m, "m"),
                scale.t(one.boring),
                scale.n(one.boring_distance_m, "m"),
                *(scale.n(level, "m") for level in levels),
                SUPPORT_SAID[one.method],
                one.placement.state,
                next((word for word in ("undecided", "conditional") if word in held), "firm"),
                scale.n(one.fluid_level_m, "m"),
                scale.t(one.decision),
                scale.t(flags),
            )
        )
    m = scale.column
    return Table(
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


def supports(site: SitePlan, scale: Scale) -> Table:
    """Return what holds the wall over every length."""

    def alike(one: Interval) -> tuple[str | None, ...]:
        return one.soil_class, one.support, one.fluid, one.drilled_in, one.confidence

    rows = tuple(
        (
            scale.t(shaft.id),
            shaft.count,
            scale.n(one.top_m, "m"),
            scale.n(base, "m"),
            one.soil_class.replace("_", " "),
            SUPPORT_SAID[one.support],
            one.fluid or "",
            STATE_SAID.get(one.drilled_in or "", ""),
            one.confidence,
        )
        for shaft in site.plan.shafts
        for one, base in runs(shaft.intervals, alike)
    )
    return Table(
        "supports",
        "Support by depth, when the tip is reached",
        (
            SHAFT,
            COUNT,
            scale.column("top", "m"),
            scale.column("base", "m"),
            Column("ground", width=16),
            Column("held by", width=18),
            Column("fluid"),
            Column("drilled", width=24),
            Column("confidence", width=12),
        ),
        rows,
    )


def stages(site: SitePlan, scale: Scale) -> Table:
    """Return the steps of the work, in order."""
    rows = tuple(
        (
            scale.t(shaft.id),
            one.no,
            one.action.replace("_", " "),
            scale.n(one.top_m, "m"),
            scale.n(one.base_m, "m"),
            scale.n(one.hours, "h"),
            scale.t(one.text),
        )
        for shaft in site.plan.shafts
        for one in shaft.stages
    )
    return Table(
        "stages",
        "Stages",
        (
            SHAFT,
            Column("no.", width=6),
            Column("step", width=16),
            scale.column("from", "m"),
            scale.column("to", "m"),
            Column("planning time", "h"),
            Column("work", width=110),
        ),
        rows,
    )


def casing_schedule(site: SitePlan, scale: Scale) -> Table:
    """Return every casing of every shaft."""
    rows = tuple(_casing(shaft, number, one, scale) for shaft in site.plan.shafts for number, one in enumerate(shaft.casings, 1))
    m = scale.column
    return Table(
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


def _casing(shaft: ShaftPlan, number: int, one: Casing, scale: Scale) -> tuple[Cell, ...]:
    ground, seat = shaft.ground.ground_elevation_m, one.embedment
    why = " ".join(part for part in (one.why, one.wall_by.why if one.wall_by else "", one.stick_up_why) if part)
    return (
        scale.t(shaft.id),
        shaft.count,
        number,
        one.kind,
        scale.n(one.outside_diameter_m, "size"),
        scale.n(one.wall_m, "wall"),
        scale.n(one.top_m, "m"),
        scale.n(one.base_m, "m"),
        scale.n(None if ground is None else ground - one.base_m, "m"),
        scale.n(one.length_m, "m"),
        scale.n(one.mass_kg, "kg"),
        _pieces(one.sections_m or (one.length_m,), scale),
        scale.t(one.installed_by),
        "" if one.kind == "starter" else one.sealed,
        scale.t(one.seat_layer),
        scale.n(seat.given_m if seat else None, "m"),
        scale.n(seat.needed_m if seat else None, "m"),
        scale.n(one.stick_up_m, "m"),
        "yes" if one.from_yard else "no",
        scale.t(why),
    )


def _pieces(lengths_m: tuple[float, ...], scale: Scale) -> str:
    return " + ".join(f"{scale.value(length, 'm'):.2f}" for length in lengths_m)


def strings(takeoff: Takeoff, scale: Scale) -> Table:
    """Return the strings that serve all shafts in sequence, what is at hand of them and what is to be got."""
    yard = takeoff.yard
    rows = tuple(
        (
            scale.t(one.name),
            scale.n(one.outside_diameter_m, "size"),
            scale.n(one.wall_m, "wall"),
            scale.n(one.length_m, "m"),
            scale.n(one.needed_m, "m"),
            scale.n(one.mass_kg, "kg"),
            one.origin,
            _pieces(one.pieces_m, scale),
            one.splices,
            scale.n(one.from_yard_m, "m"),
            scale.n(one.to_get_m, "m"),
            one.uses,
            scale.t(", ".join(one.shafts)),
        )
        for one in yard.strings
    )
    m = scale.column
    said = (f"{yard.sizes} sizes; no choice has fewer than {yard.least_sizes}.", *yard.said) if yard.strings else ("No temporary casing.",)
    return Table(
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
        tuple(map(scale.t, said)),
    )


def hours(takeoff: Takeoff, scale: Scale) -> Table:
    """Return the hours of each shaft by kind of work, likely, and in all."""
    rows = tuple(
        (
            scale.t(one.shaft),
            one.count,
            *(_likely(part, scale) for part in (one.drill, one.casing, one.fluid, one.clean, one.cage, one.pour, one.pull, one.move)),
            *_ends(one),
            _basis(one),
        )
        for one in takeoff.hours
    )
    return Table(
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


def _likely(part: Estimate | None, scale: Scale) -> Number | None:
    return scale.n(part.likely if part else None, "h")


def _ends(one: HoursRow) -> tuple[Number, ...]:
    return tuple(Number(value, 2) for value in (one.total.low, one.total.likely, one.total.high))


def _basis(one: HoursRow) -> str:
    return "your rates" if one.by_rates else "planning hours of this tool's own"
